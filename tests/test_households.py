"""Whole small books: any of them is read, answered and linted, however its files are cut."""

from __future__ import annotations

import strategies as some
from books import day, iso, shares, standings
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.household.model import Household
from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.report.due import due
from ledger.report.week import week
from ledger.text.source import Source
from ledger.workspace import Workspace, read_sources

TODAY = day("2026-03-04")
days = st.integers(some.BASE - 5, some.BASE + 150)


def read(*texts: str) -> Workspace:
    """The household of some files, named in order."""
    return read_sources(Source(f"{number}.chores", text) for number, text in enumerate(texts))


def file_of(lines: list[str]) -> str:
    return "\n".join([*lines, ""])


def stands(household: Household, on: int) -> list[tuple[str, str, str, int, int]]:
    """Where every chore stands, in no order of the book."""
    return sorted(
        (one.chore, one.person or "", one.state, one.first, one.last)
        for one in standings(household, on)
    )


@settings(max_examples=60)
@given(some.small_books())
def test_a_sound_book_is_read_without_a_finding(book: some.SmallBook) -> None:
    assert [finding.message for finding in read(book.text()).findings] == []


@settings(max_examples=60)
@given(some.small_books(), days, st.data())
def test_a_book_with_slips_is_answered_and_its_findings_lie_in_its_lines(
    book: some.SmallBook, on: int, data: st.DataObject
) -> None:
    lines = book.text().split("\n")[:-1]
    for at in data.draw(st.lists(st.integers(0, len(lines) - 1), max_size=3)):
        if lines[at]:
            lines[at] = data.draw(some.mutated(st.just(lines[at])))
    workspace = read(file_of(lines)).on(on)
    found = lint(LintedBook(workspace.trees, workspace.household), workspace.findings)
    for finding in found:
        place = finding.place
        length = len(place.source.lines[place.line]) if place.source.lines else 0
        assert 0 <= place.start <= place.end <= length + 1
    assert due(workspace.household, on).day.toordinal() == on
    assert len(week(workspace.household, on).days) == 7


@settings(max_examples=60)
@given(some.small_books(), days, st.data())
def test_a_book_says_the_same_however_it_is_cut_into_files(
    book: some.SmallBook, on: int, data: st.DataObject
) -> None:
    parts = [book.head, *book.containers, book.record]
    files = data.draw(st.permutations([file_of(part) for part in parts]))
    whole, cut = read(book.text()), read(*files)
    assert cut.findings == ()
    assert stands(cut.household.on(on), on) == stands(whole.household.on(on), on)


@settings(max_examples=60)
@given(some.small_books(), days)
def test_a_day_knows_nothing_of_lines_that_come_after_it(book: some.SmallBook, on: int) -> None:
    head = [*book.head, f"since {iso(some.BASE)}"] if no_since(book) else book.head
    before = [line for line in book.record if day(line[:10]) <= on]
    whole = read(book._replace(head=head).text())
    known = read(book._replace(head=head, record=before).text())
    assert stands(known.household, on) == stands(whole.household, on)


def no_since(book: some.SmallBook) -> bool:
    return not any(line.startswith("since") for line in book.head)


@settings(max_examples=60)
@given(some.small_books(), days)
def test_due_lists_every_window_that_is_owed_and_asked_once(book: some.SmallBook, on: int) -> None:
    household = read(book.text()).on(on).household
    answer = due(household, on)
    lists = answer.late, answer.today, answer.may_wait
    listed = [
        (task.chore, name, task.first.toordinal(), task.last.toordinal())
        for tasks in lists
        for task in tasks
        for name in (task.people if task.each else ("",))
    ]
    wanted = [
        (one.chore, one.person or "", one.first, one.last)
        for share in shares(household, on)
        if (one := share.shown) is not None
    ]
    assert sorted(listed) == sorted(wanted)


@settings(max_examples=60)
@given(some.small_books(), days, st.integers(0, 60))
def test_what_a_line_has_settled_stays_settled_by_it(
    book: some.SmallBook, on: int, more: int
) -> None:
    household = read(book.text()).on(on).household
    pairs = zip(shares(household, on, 1), shares(household, on + more, 1), strict=True)
    for early, late in pairs:
        marks = {one.window: one.mark for one in late.occasions}
        for one in early.occasions:
            assert one.mark is None or marks[one.window] == one.mark


@settings(max_examples=60)
@given(some.small_books(), days)
def test_a_chore_is_overdue_past_its_window_and_due_inside_it(
    book: some.SmallBook, on: int
) -> None:
    for one in standings(read(book.text()).on(on).household, on):
        assert one.first <= one.last
        if one.state == "due":
            # One that is spare, or was asked on no day since, is not late.
            assert one.first <= on
            assert on <= one.last or one.routine.spare or not one.is_asked(on)
        if one.state == "overdue":
            asked = one.timeline.line_of(one.routine).asked
            late = sum(asked.holds(day) for day in range(one.last + 1, on + 1))
            assert one.days_late == late > 0
