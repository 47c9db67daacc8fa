"""Rules about what the second edition of the format brought: steps, shares, order and days away."""

from __future__ import annotations

import re
from itertools import product
from math import ceil

import pytest
from books import day, iso
from counted_work import STEEPEST, growth
from hypothesis import given, settings
from hypothesis import strategies as st
from lint_books import TODAY, all_found, found_of, linted, only_of
from simulated_calendar import PlainWindow
from simulated_keeping import PlainBook

from ledger.lint.book import LintedBook
from ledger.lint.rules import broken_order, gone_for_long, stray_steps, worked_when_done
from ledger.text.edits import edited
from ledger.text.finding import Severity

K = ("since 2026-01-01", "area k")
PEOPLE = ("person noor", "person tam", "person edie")
X = "    x  5 min  in k"
Y = "    y  5 min  in k"


# -------------------------------------------------------------------------------- lone-each


@pytest.mark.parametrize(
    ("clause", "marked"),
    [
        ("by each of tam", "by each of tam"),
        ("by  each of\ttam  vital", "by  each of\ttam"),
        ("by each of tam, noor", None),
        ("by each", None),
        ("by tam", None),
        ("by each of tam, someone", None),
        ("by each of someone", None),
        ("by each of tam, tam", None),
    ],
)
def test_each_of_one_person_is_marked_from_by_to_the_name(clause: str, marked: str | None) -> None:
    found = found_of("lone-each", *K, *PEOPLE, "every monday", f"{X}  {clause}")
    assert [one.place.text for one in found] == ([marked] if marked else [])


def test_each_in_a_home_of_one_is_no_fault_as_another_may_come() -> None:
    assert found_of("lone-each", *K, "person noor", "every monday", X + "  by each") == []


def test_lines_for_one_person_each_are_kept_apart_by_their_each() -> None:
    """Noor's time of the week is owed past the weekend only where it is hers."""
    noor = ("every monday", X + "  by each of noor")
    both = (*noor, "every saturday", X + "  by each of tam")
    assert found_of("lone-each", *K, *PEOPLE, *both) == []
    alike = (*noor, "every saturday", X + "  by each of noor")
    assert len(found_of("lone-each", *K, *PEOPLE, *alike)) == 2
    beside = (*noor, "every saturday", X + "  by tam")
    assert len(found_of("lone-each", *K, *PEOPLE, *beside)) == 1


def test_chore_named_as_the_words_of_the_clause_is_mended_in_the_right_place() -> None:
    lines = (*K, "person of", "every monday", "    by  5 min  in k  by each of of")
    found = only_of("lone-each", *lines)
    (mended,) = edited([found.place.source], found.fixes[0].edits)
    assert mended.lines[-2 if not mended.lines[-1] else -1] == "    by  5 min  in k  by of"
    assert found.severity is Severity.NOTE


# ------------------------------------------------------------------------------ stray-steps

BOXES = (*K, *PEOPLE, "every day", "    boxes  5 min  in k")
STEP = "        - Take a bag"


@pytest.mark.parametrize(
    "comment",
    [
        "    # dog  20 min  in k",
        "#dog 20 min in k",
        "\t## dog 1 h by tam  vital  # as before",
        "    # dog  20 min  by each  in k",
        '    # dog  20 min  in k  "Walk the dog"',
        "    # dog  20 min  in k  by noor or tam",
    ],
)
def test_comment_that_reads_as_a_chore_leaves_its_steps_to_the_chore_above(comment: str) -> None:
    found = only_of("stray-steps", *BOXES, comment, STEP)
    assert (found.place.line, found.place.text) == (len(BOXES), "dog")
    assert found.message == '"dog" is a comment, and its step belongs to "boxes"'
    assert "Take a bag" in found.why
    assert [place.text for place in found.see] == ["boxes", "-"]


@pytest.mark.parametrize(
    "comment",
    [
        "    # dog",
        "    # takes 20 min",
        "    # takes 20 min in winter",
        "    # the dog 20 min in k",
        "    # dog  in k",
        "    # dog  20 min  in k, attic",
        "    # boxes  4 min  in k",
        "    # every monday",
        "    # - dog 20 min in k",
        "    # 2026-03-02 did dog 20 min by tam",
        "",
    ],
)
def test_comment_that_is_no_other_chore_leaves_steps_where_they_are(comment: str) -> None:
    assert found_of("stray-steps", *BOXES, comment, STEP) == []


def test_steps_of_one_comment_are_one_finding_and_those_above_it_none() -> None:
    dog, cat = "    # dog  20 min  in k", "    # cat  5 min  in k"
    lines = (*BOXES, STEP, dog, "", STEP, "    # soon", STEP, cat, STEP)
    found = found_of("stray-steps", *lines)
    n = len(BOXES)
    assert [(one.place.line, one.message) for one in found] == [
        (n + 1, '"dog" is a comment, and its 2 steps belong to "boxes"'),
        (n + 6, '"cat" is a comment, and its step belongs to "boxes"'),
    ]
    (mended,) = edited([found[0].place.source], found[0].fixes[0].edits)
    assert [one.message for one in found_of("stray-steps", *mended.lines)] == [found[1].message]
    assert mended.lines[n + 3] == "    # - Take a bag"


def test_line_between_the_comment_and_the_step_takes_the_step() -> None:
    dog = "    # dog  20 min  in k"
    assert found_of("stray-steps", *BOXES, dog, Y, STEP) == []
    assert found_of("stray-steps", *BOXES, dog, "<<<<<<< ours", STEP) != []
    unreadable = all_found(*BOXES, dog, "    y 5 mn in k", STEP)
    assert [one.rule for one in unreadable] == ["unreadable-line"]


def test_comment_below_an_unreadable_chore_is_left_until_that_can_be_read() -> None:
    lines = (*K, "every day", "    boxes  5 mn", "    # dog  20 min  in k", STEP)
    assert [one.rule for one in all_found(*lines)] == ["unused-area", "unreadable-line"]


def test_work_over_comments_and_steps_grows_as_they_do() -> None:
    def book(n: int) -> LintedBook:
        dogs = (f"    # dog-{i}  20 min  in k\n{STEP}\n{STEP}" for i in range(n))
        return linted(*BOXES, *dogs)

    assert len(list(stray_steps.check(book(3)))) == 3
    assert growth(lambda one: list(stray_steps.check(one)), book) <= STEEPEST


# ------------------------------------------------------------------------- worked-when-done

WEEKLY = (*K, *PEOPLE, "every week", X)
DONE = "2026-03-02 did x 40 min"


@pytest.mark.parametrize(
    ("record", "count"),
    [
        ([DONE, "2026-03-02 worked x 5 min"], 1),
        (["2026-03-02 worked x 5 min", DONE], 0),
        ([DONE, "2026-03-04 worked x 5 min"], 1),
        ([DONE, "2026-03-03 worked x 5 min", "2026-03-04 worked x 5 min"], 2),
        (["2026-03-02 skipped x", "2026-03-03 worked x 5 min"], 1),
        (["2026-03-01 did x", "2026-03-02 worked x 5 min"], 0),
        (["2026-02-27 moved x to 2026-03-01", "2026-03-01 did x", "2026-03-02 worked x 5 min"], 0),
        ([DONE, "2026-03-03 worked x 5 min by tam"], 1),
        ([DONE, "2026-03-09 worked x 5 min"], 0),
    ],
)
def test_work_is_told_that_comes_when_its_window_was_settled(record: list[str], count: int) -> None:
    found = found_of("worked-when-done", *WEEKLY, *record)
    assert len(found) == bool(count)
    assert [" so too" in one.message for one in found] == [count > 1] * bool(count)


def test_work_between_windows_counts_for_the_next_one() -> None:
    record = ("2026-02-28 did x", "2026-03-03 worked x 5 min")
    assert found_of("worked-when-done", *K, "every saturday", X, *record) == []
    after = ("2026-03-02 did x", "2026-03-02 worked x 5 min")
    assert found_of("worked-when-done", *K, "7 days after done", X, *after) == []
    early = ("2026-03-04 did x", "2026-03-04 worked x 5 min")
    found = only_of("worked-when-done", *K, "every saturday", X, "2026-02-28 did x", *early)
    assert "Sat 7 Mar 2026 was settled on Wed 4 Mar 2026" in found.why


def test_work_on_what_was_to_be_done_once_is_told_after_its_days_too() -> None:
    once = (*K, "once from 2026-02-01 to 2026-02-10", X)
    record = ("2026-02-12 did x", "2026-02-15 worked x 5 min")
    found = only_of("worked-when-done", *once, *record)
    assert "Sun 1 Feb 2026 to Tue 10 Feb 2026 was settled on Thu 12 Feb 2026" in found.why
    assert found_of("worked-when-done", *once, *record[::-1][:1]) == []


def test_work_on_a_line_that_is_over_is_only_not_in_force() -> None:
    book = (*K, "every monday until 2026-03-02", X, DONE, "2026-03-03 worked x 5 min")
    rules = [one.rule for one in all_found(*book)]
    assert ("not-in-force" in rules, "worked-when-done" in rules) == (True, False)


def test_work_that_counts_for_one_of_those_it_names_is_no_fault() -> None:
    each = (*K, *PEOPLE, "every week", X + "  by each", "2026-03-02 did x by noor")
    assert found_of("worked-when-done", *each, "2026-03-03 worked x 5 min by noor, tam") == []
    assert found_of("worked-when-done", *each, "2026-03-03 worked x 5 min") == []
    assert len(found_of("worked-when-done", *each, "2026-03-03 worked x 5 min by noor")) == 1


def test_work_of_the_last_366_days_is_looked_at() -> None:
    old = ("2025-03-03 did x", "2025-03-03 worked x 5 min", "2025-03-04 did x")
    book = ("since 2025-01-01", "area k", "every week", X)
    assert len(found_of("worked-when-done", *book, *old, on="2026-03-04")) == 1
    assert found_of("worked-when-done", *book, *old, on="2026-03-05") == []


@pytest.mark.parametrize(
    ("done", "worked", "minutes"),
    [
        ("did x 40 min", "worked x 20 min", "1 h"),
        ("did y 5 min, x 40 min by tam", "worked x 20 min, x 5 min by tam", None),
        ("did y 5 min, x 40 min by tam", "worked x 25 min by tam", "1 h 5 min"),
        ("did x 40 min by tam", "worked x 20 min", None),
        ("did x", "worked x 20 min", None),
        ("did x 40 min", 'worked x 20 min "the rest"', None),
        ("did x 40 min", "worked x 20 min, y 5 min", None),
        ("skipped x", "worked x 20 min", None),
    ],
)
def test_minutes_are_joined_where_nothing_is_lost(
    done: str, worked: str, minutes: str | None
) -> None:
    book = (*WEEKLY, Y, f"2026-03-02 {done}", f"2026-03-03 {worked}")
    found = next(one for one in found_of("worked-when-done", *book) if '"x"' in one.message)
    assert bool(found.fixes) is (minutes is not None)
    if minutes is not None:
        (mended,) = edited([found.place.source], found.fixes[0].edits)
        assert found_of("worked-when-done", *mended.lines) == []
        assert f"x {minutes}" in mended.text


HEADERS = (
    "every week", "every saturday", "every weekend", "2 times every week", "every 3 days",
    "once from 2026-02-10 to 2026-02-14", "every monday within 4 days",
)  # fmt: skip


@settings(max_examples=150)
@given(
    st.sampled_from(HEADERS),
    st.sampled_from(("", "  by each of noor, tam")),
    st.lists(
        st.tuples(
            st.integers(0, 24),
            st.sampled_from(("did x", "worked x 5 min", "worked x 7 min", "skipped x")),
            st.sampled_from(("", " by noor", " by tam", " by noor, tam")),
        ),
        max_size=9,
    ),
)
def test_lost_work_is_what_the_simulator_finds_no_window_for(
    header: str, each: str, record: list[tuple[int, str, str]]
) -> None:
    lines = [
        f"2026-02-{n + 1:02} {what}{'' if 'skipped' in what else who}"
        for n, what, who in sorted(record)
    ]
    start = "  from 2026-01-31" if header[6].isdigit() else ""
    text = (*K, *PEOPLE, header + start, X + each, *lines)
    plain = PlainBook("\n".join(text), day(TODAY))
    windows: dict[int, list[int | None]] = {}
    for taken in plain.kept("x", day(TODAY))[1]:
        windows.setdefault(taken.line, []).append(taken.window)
    lost = {n for n, found in windows.items() if not any(found)}
    lost = {n for n in lost if plain.record[n].entry.verb == "worked"}
    told = found_of("worked-when-done", *text)
    more = [re.search(r"; (\d+) more", one.message) for one in told]
    assert [1 + int(one[1] if one else 0) for one in more] == ([len(lost)] if lost else [])


def test_looking_for_lost_work_grows_as_the_record_does() -> None:
    def book(n: int) -> LintedBook:
        weeks = [iso(day("2025-03-10") + 7 * (i % 50)) for i in range(n)]
        record = (f"{one} did x\n{one} worked x 5 min" for one in sorted(weeks))
        return linted("since 2025-01-01", *WEEKLY[1:], *record)

    assert len(list(worked_when_done.check(book(9)))) == 1
    assert growth(lambda one: list(worked_when_done.check(one)), book) <= STEEPEST


# ----------------------------------------------------------------------------- broken-order


def ordered(mop: str, sweep: str, *lines: str, clauses: str = "") -> tuple[str, ...]:
    """A book in which one chore comes after another, by their headers."""
    return (*K, *lines, mop, f"{X}  after y{clauses}", sweep, Y)


@pytest.mark.parametrize(
    ("mop", "sweep", "why"),
    [
        ("every weekend", "every sunday",
         '"x" is on the list from Sat 7 Mar 2026, and "y" comes on Sun 8 Mar 2026; 51 more'),
        ("every saturday", "every weekend",
         '"x" is to be done by Sat 7 Mar 2026, and "y" may wait until Sun 8 Mar 2026; 51 more'),
        ("every friday", "every week",
         '"x" is to be done by Fri 13 Mar 2026, and "y" may wait until Sun 15 Mar 2026; 50 more'),
        ("every week", "every tuesday",
         '"x" is on the list from Mon 9 Mar 2026, and "y" comes on Tue 10 Mar 2026; 50 more'),
        ("every month", "every month on first saturday", "from Wed 1 Apr 2026, and"),
        ("every week", "every month on 15", "from Mon 9 Mar 2026, and"),
        ("every monday within 3 days", "every tuesday within 6 days", "from Mon 9 Mar 2026, and"),
        ("once from 2026-04-01 to 2026-04-02", "once from 2026-04-02 to 2026-04-03",
         '"y" comes on Thu 2 Apr 2026 to Fri 3 Apr 2026'),
        ("every weekend", "every weekend except saturday", "comes on Sun 8 Mar 2026; 51 more"),
    ],
)  # fmt: skip
def test_order_that_days_can_break_says_on_which(mop: str, sweep: str, why: str) -> None:
    found = only_of("broken-order", *ordered(mop, sweep))
    assert found.message == '"x" comes after "y", and can be done before it'
    assert (found.place.text, why in found.why) == ("y", True), found.why
    assert f"put `y` under the header of `x`, `{mop}`" in found.fix or " within " in mop


@pytest.mark.parametrize(
    ("mop", "sweep"),
    [
        ("every weekend", "every weekend"),
        ("every weekend", "every saturday"),
        ("every saturday", "every day"),
        ("every day", "every saturday"),
        ("every day", "every week"),
        ("every week", "every day"),
        ("every tuesday, friday", "every week"),
        ("every week", "2 times every week"),
        ("every month", "every weekend"),
        ("every week", "7 days after done"),
        ("7 days after done", "every week"),
        ("every week paused", "every sunday"),
        ("every month on 1", "every month on 1 within 1 days"),
        ("every weekend", "every saturday, wednesday"),
        ("every monday", "every tuesday"),
        ("once from 2026-02-01 to 2026-02-03", "once from 2026-02-02 to 2026-02-04"),
    ],
)
def test_order_that_the_list_of_each_day_keeps_is_no_fault(mop: str, sweep: str) -> None:
    assert found_of("broken-order", *ordered(mop, sweep)) == []


def test_order_is_looked_at_from_the_first_window_that_is_ahead() -> None:
    """On a Friday this week's Monday is past; of the next one both windows are seen."""
    weeks = ordered("every week", "every tuesday")
    found = only_of("broken-order", *weeks, on="2026-03-06")
    assert "from Mon 9 Mar 2026, and" in found.why
    last = ordered("every week until 2026-03-08", "every friday")
    assert found_of("broken-order", *last) == []


def test_days_away_break_no_order_and_another_rule_speaks_of_other_days() -> None:
    away = ("person tam", "away 2026-03-07 by tam")
    book = (*K, *away, "every weekend", X + "  after y", Y + "  by tam")
    assert found_of("broken-order", *book) == []
    apart = all_found(*ordered("every monday", "every tuesday"))
    assert [one.rule for one in apart] == ["after-other-days"]


def test_order_of_each_persons_own_windows_is_looked_at_by_person() -> None:
    own = (*K, *PEOPLE, "every weekend", X + "  by each of noor, tam  after y")
    alike = ("every saturday", Y + "  by each of noor, tam")
    assert found_of("broken-order", *own, *alike) == []
    tam = ("every saturday", Y + "  by each of noor", "every sunday", Y + "  by each of tam")
    found = only_of("broken-order", *own, *tam)
    assert "51 more like it" in found.why


def test_cure_of_an_order_is_not_to_type_what_stands_there() -> None:
    both = (*K, "every weekend", X + "  after y  except sunday", Y)
    found = only_of("broken-order", *both)
    assert found.fix == "give both chores the same days, or delete `after y`"
    assert found_of("broken-order", *both[:-1], Y + "  except sunday") == []


CADENCES = (
    "every day", "every weekend", "every sunday", "every saturday", "every tuesday, friday",
    "every week", "2 times every week", "every month on 1", "every month",
    "every 5 days from 2026-03-02", "every 2 weeks from 2026-03-02", "weekend 1",
    "every monday within 3 days", "every weekend except saturday", "every wednesday within 6 days",
)  # fmt: skip


@settings(max_examples=60)
@given(st.sampled_from(CADENCES), st.sampled_from(CADENCES))
def test_order_is_broken_where_days_gone_through_one_by_one_break_it(mop: str, sweep: str) -> None:
    text = ordered(mop, sweep)
    low, high = day(TODAY), day(TODAY) + 365
    plain = PlainBook("\n".join(text), low)
    after, before = (
        [one for one in plain.windows(name, None, high) if one.last >= low] for name in ("x", "y")
    )

    def on(windows: list[PlainWindow], some_day: int) -> list[PlainWindow]:
        return [one for one in windows if one.first <= some_day <= one.last]

    broken = set()
    for one, other in product(after, before):
        days = range(one.first, one.last + 1)
        shared = range(max(one.first, other.first), min(one.last, other.last) + 1)
        if not shared:
            continue
        only = {w.first for n in days for w in on(before, n)} == {other.first}
        alone = {w.first for n in range(other.first, other.last + 1) for w in on(after, n)}
        if not only or alone != {one.first}:
            continue
        # It is on a list without the other, which comes; or cannot wait, where the other can.
        is_first = any(n < other.first for n in days)
        is_pressed = one.last in shared and other.last > one.last
        is_ahead = low <= min(one.first, other.first) and max(one.last, other.last) <= high
        if is_ahead and (is_first or is_pressed):
            broken.add(one.first)
    found = found_of("broken-order", *text)
    meet = any(on(after, some_day) and on(before, some_day) for some_day in range(low, high + 1))
    told = [1 + int(m[1]) if (m := re.search(r"; (\d+) more", one.why)) else 1 for one in found]
    assert told == ([len(broken)] if broken and meet else [])


def test_looking_for_broken_orders_grows_as_the_chores_do() -> None:
    def book(n: int) -> LintedBook:
        chores = (f"    x-{i}  5 min  in k  after y-{i}" for i in range(n))
        others = (f"    y-{i}  5 min  in k" for i in range(n))
        return linted(*K, "every weekend", *chores, "every saturday", *others)

    assert list(broken_order.check(book(3))) == []
    assert growth(lambda one: list(broken_order.check(one)), book, 10) <= STEEPEST


# ---------------------------------------------------------------------------- gone-for-long

TRIP = "away 2026-03-06 to 2026-03-15"
MONTHLY = (*K, *PEOPLE, "every month on first saturday", X)
FEBRUARY = "2026-02-07 did x"


def test_chore_of_a_month_in_days_away_is_given_a_day_near_them() -> None:
    found = only_of("gone-for-long", TRIP, *MONTHLY, FEBRUARY)
    assert found.message == 'nobody is there to do "x" on Sat 7 Mar 2026'
    assert found.why == (
        "it comes next on Sat 4 Apr 2026, and was last done on Sat 7 Feb 2026: 56 days lie "
        "between, and its period is 30"
    )
    assert "`2026-03-04 moved x to 2026-03-05`" in found.fix
    assert (found.place.text, [place.line for place in found.see]) == ("x", [0])


@pytest.mark.parametrize(
    ("record", "since"),
    [
        (["2026-02-10 did x"], "was last done on Tue 10 Feb 2026: 53 days"),
        (["2026-02-08 skipped x"], "was last skipped on Sun 8 Feb 2026: 55 days"),
        (["2026-02-06 moved x to 2026-02-12", "2026-02-13 did x"], "done on Fri 13 Feb 2026: 50"),
    ],
)
def test_last_time_is_the_day_on_which_it_was_settled(record: list[str], since: str) -> None:
    assert since in only_of("gone-for-long", TRIP, *MONTHLY, *record).why


def test_time_that_went_by_undone_is_told_by_its_last_day() -> None:
    until = ("every month on first saturday until 2026-02-28 expires", X)
    found = only_of("gone-for-long", *K, TRIP, *until, MONTHLY[-2] + " from 2026-03-01", X)
    assert "and was last to be done on Sat 7 Feb 2026" in found.why


@pytest.mark.parametrize(
    ("header", "away", "to"),
    [
        # A day before or after, whichever is nearer; the one before where both are.
        ("every month on first saturday", "2026-03-06 to 2026-03-15", "2026-03-05"),
        ("every month on first saturday", "2026-03-01 to 2026-03-08", "2026-03-09"),
        ("every month on first saturday", "2026-03-06 to 2026-03-08", "2026-03-05"),
        ("every month on first saturday", "2026-03-05 to 2026-03-31", "2026-03-04"),
        ("every month on first saturday", "2026-03-04 to 2026-03-31", None),
        ("every month on first saturday", "2026-03-04 to 2026-03-26", "2026-03-27"),
        ("every month on first saturday", "2026-03-04 to 2026-03-27", None),
        ("every 3 months on 10 from 2026-01-01", "2026-04-01 to 2026-05-15", "2026-03-31"),
        ("every 4 weeks on saturday from 2026-02-07", "2026-03-06 to 2026-03-15", "2026-03-05"),
        # What comes more often is soon there again.
        ("every 3 weeks on saturday from 2026-02-14", "2026-03-06 to 2026-03-15", None),
        ("every saturday", "2026-03-06 to 2026-03-15", None),
        ("every week", "2026-03-09 to 2026-03-22", None),
        ("weekend 1, 3", "2026-03-06 to 2026-03-15", None),
        # A whole month away: it is there again on the day of the return.
        ("every month", "2026-03-01 to 2026-03-31", None),
        ("every month within 10 days", "2026-02-25 to 2026-03-10", "2026-03-11"),
        ("every month on 20", "2026-03-06 to 2026-03-15", None),
        ("30 days after done", "2026-03-01 to 2026-03-31", None),
        ("once from 2026-03-07 to 2026-03-07", "2026-03-06 to 2026-03-15", None),
        ("every month on first saturday spare", "2026-03-06 to 2026-03-15", None),
        ("every month on first saturday expires", "2026-03-06 to 2026-03-15", None),
        ("every month on first saturday paused", "2026-03-06 to 2026-03-15", None),
        ("every month on first saturday until 2026-03-31", "2026-03-06 to 2026-03-15",
         "2026-03-05"),
    ],
)  # fmt: skip
def test_day_to_move_to_is_far_enough_from_the_times_before_and_after(
    header: str, away: str, to: str | None
) -> None:
    book = (*K, f"away {away}", header, X)
    found = found_of("gone-for-long", *book, "2026-02-10 did x")
    typed = [re.search("`2026-03-04 moved x to (.*?)`", one.fix) for one in found]
    assert [one and one[1] for one in typed] == ([to] if to else [])


@pytest.mark.parametrize(
    ("clause", "absence", "is_told"),
    [
        ("", TRIP, True),
        ("", TRIP + " by tam", False),
        ("by tam", TRIP + " by tam", True),
        ("by tam", TRIP.replace("away", "rest") + " by tam", True),
        ("by tam  vital", TRIP.replace("away", "rest") + " by tam", False),
        ("by tam or noor", TRIP + " by tam", False),
        ("by tam and noor", TRIP + " by tam", True),
        ("by each", TRIP + " by tam", False),
        ("by each", TRIP, True),
        ("by each of tam, noor", TRIP + " by tam, noor", True),
    ],
)
def test_nobody_is_there_where_all_are_away_who_can_do_it(
    clause: str, absence: str, is_told: bool
) -> None:
    book = (*MONTHLY[:-1], f"{X}  {clause}", absence, FEBRUARY)
    found = found_of("gone-for-long", *book)
    assert bool(found) is is_told
    assert [place.line for one in found for place in one.see] == [len(MONTHLY)] * is_told


def test_owed_or_moved_or_skipped_window_leaves_no_gap() -> None:
    book = (TRIP, *MONTHLY)
    assert found_of("gone-for-long", *book) == []
    for line in ("2026-03-04 moved x to 2026-03-17", "2026-03-04 skipped x", "2026-03-04 did x"):
        assert found_of("gone-for-long", *book, FEBRUARY, line) == []
    later = "2026-03-04 moved x to 2026-03-16"
    assert found_of("gone-for-long", *book, FEBRUARY, later, on="2026-03-20") == []


def test_gap_is_told_from_the_day_on_which_a_line_can_mend_it() -> None:
    """Before the window of February is done, a line of that day would move it."""
    days = [f"2026-02-{n:02}" for n in range(5, 12)]
    told = [bool(found_of("gone-for-long", TRIP, *MONTHLY, FEBRUARY, on=one)) for one in days]
    assert told == [False] * 3 + [True] * 4
    away = [f"2026-03-{n:02}" for n in range(6, 10)]
    told = [bool(found_of("gone-for-long", TRIP, *MONTHLY, FEBRUARY, on=one)) for one in away]
    assert told == [True, True, False, False]


def test_chore_that_was_never_there_counts_from_its_first_day() -> None:
    found = only_of("gone-for-long", "away 2026-06-01 to 2026-06-20", "since 2026-03-01", "area k",
                    "every june on 10", X)  # fmt: skip
    assert "it comes next on Thu 10 Jun 2027, and is in force from Sun 1 Mar 2026" in found.why
    over = only_of("gone-for-long", "away 2026-06-01 to 2026-06-20", "since 2026-03-01", "area k",
                   "every june on 10 until 2026-12-31", X)  # fmt: skip
    assert over.why == "it is in force from Sun 1 Mar 2026, and does not come again"


LONG = (
    "every month on first saturday", "every month on 10", "every month within 9 days",
    "every 4 weeks on tuesday, friday from 2026-01-01", "every month",
    "every 2 months from 2026-01-01 within 12 days", "weekend 2",
    "every 6 weeks from 2026-01-15 within 3 days",
    "every month on 3, 20 except april", "3 times every 4 months from 2026-01-01",
)  # fmt: skip


@settings(max_examples=100)
@given(
    st.sampled_from(LONG),
    st.tuples(st.integers(0, 10), st.integers(0, 25)),
    st.lists(st.tuples(st.integers(-20, 60), st.integers(0, 30)), max_size=1),
    st.lists(st.integers(-40, 0), min_size=1, max_size=3),
)
def test_day_to_move_to_is_the_nearest_that_the_simulator_takes(
    header: str, around: tuple[int, int], more: list[tuple[int, int]], done: list[int]
) -> None:
    today, until = day(TODAY), day(TODAY) + 500
    at_home = PlainBook("\n".join((*K, header, X)), today).windows("x", None, until)
    first, last = next(one[:2] for one in at_home if one.last >= today)
    trips = [(first - around[0], last + around[1])]
    trips += [(today + n, today + n + length) for n, length in more]
    away = [f"away {iso(low)} to {iso(high)}" for low, high in trips]
    text = (*K, *away, header, X, *(f"{iso(today + n)} did x" for n in sorted(done)))
    plain = PlainBook("\n".join(text), today)
    period = plain.calendar.period(plain.lines["x"][0])
    found = found_of("gone-for-long", *text)
    given_day = [re.search("moved x to (.*?)`", one.fix) for one in found]
    told = [one and one[1] for one in given_day]
    window = next(one for one in plain.windows("x", None, until) if one.last >= today)
    if not window.excused or period < 28:
        assert told == []
        return
    fates = plain.matched("x", None, today, until)[0]
    before = [one for one in fates if one.opened < window.first][-1:]
    after = [one for one in fates if one.opened > window.first and one.line is None][:1]
    since = before[0].counted if before else day("2026-01-01")
    home, line = plain.home, plain.lines["x"][0]
    comes = next(n for n in range(after[0].first, until) if home.is_asked(line, None, n))
    good = []
    for to in range(today, after[0].first) if comes - since > period else ():
        with_line = PlainBook("\n".join((*text, f"{TODAY} moved x to {iso(to)}")), today)
        taken = with_line.kept("x", today, until)[1][-1].window
        is_apart = all(to - one.last >= ceil(period / 4) for one in before)
        is_apart = is_apart and after[0].first - to >= ceil(period / 4)
        lies = [one.first for one in with_line.matched("x", None, today, until)[0]
                if one.opened == window.first]  # fmt: skip
        if taken == window.first and is_apart and lies == [to]:
            good.append((max(window.first - to, to - window.last), to))
    assert told == ([iso(min(good)[1])] if good else [])


def test_typed_as_told_it_is_told_no_more() -> None:
    found = only_of("gone-for-long", TRIP, *MONTHLY, FEBRUARY)
    (mended,) = edited([found.place.source], found.fixes[0].edits)
    assert mended.text.endswith(f"{FEBRUARY}\n2026-03-04 moved x to 2026-03-05\n")
    assert found_of("gone-for-long", *mended.lines) == []


def test_looking_for_gaps_grows_as_chores_and_record_do() -> None:
    def chores(n: int) -> LintedBook:
        many = (f"    x-{i}  5 min  in k" for i in range(n))
        done = (f"2026-02-07 did x-{i}" for i in range(n))
        return linted(TRIP, *MONTHLY[:-1], *many, *done)

    def years(n: int) -> LintedBook:
        low = day("2026-02-07") - 28 * n
        record = (f"{iso(low + 28 * i)} did x" for i in range(n + 1))
        header = f"every 4 weeks on saturday from {iso(low)}"
        return linted(f"since {iso(low)}", TRIP, "area k", header, X, *record)

    for of_size in (chores, years):
        assert list(gone_for_long.check(of_size(3)))
        assert growth(lambda one: list(gone_for_long.check(one)), of_size, 10) <= STEEPEST
