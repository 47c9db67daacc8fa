"""All about one chore: its lines, where it stands, what is next, how it was kept, its record."""

from __future__ import annotations

import csv
import io
import statistics
from collections import Counter
from datetime import date
from pathlib import Path

import pytest
import strategies as some
from books import day, house, iso
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated_keeping import PlainBook
from test_cli import ROOT, besom
from test_render import too_wide

from ledger.homes import read_household
from ledger.household.model import Household
from ledger.household.things import LAST_WORD
from ledger.render.chore_tables import chore_tables
from ledger.render.chore_text import chore_text
from ledger.report.chore import About, about
from ledger.text.source import Source
from ledger.workspace import read_sources

WEDNESDAY = "2026-03-04"
DAYS = st.integers(some.BASE, some.BASE + 150)
HEAD = ("since 2026-01-01", "person ada", "person bo", "area yard", "area attic")


def asked(*lines: str, on: str = WEDNESDAY, name: str = "rake") -> About:
    """All about a chore of a book of some lines that begins with the year 2026."""
    return about(house(*HEAD, *lines), name, day(on))


def shown(*lines: str, on: str = WEDNESDAY) -> list[str]:
    """The lines of the text, blanks joined."""
    return [" ".join(line.split()) for line in chore_text(asked(*lines, on=on)).splitlines()]


# ------------------------------------------------------------------------------ in the book


def test_every_line_of_the_chore_is_told_with_its_place() -> None:
    answer = asked(
        'every day during march to may "Tin"',
        "  rake  5 min in yard, attic by ada then bo uses lye",
        "every week", "  sow  5 min", "every month within 3 days paused",
        "  rake  from 2026-05-01 until 2026-06-01",
    )  # fmt: skip
    first, second = answer.lines
    assert first[:7] == ("Tin", "every day during march to may", 5, ("yard", "attic"), "then",
                         ("ada", "bo"), ("lye",))  # fmt: skip
    assert first[7:] == (None, None, False, False, False, (), "in-force", "home.chores", 7)
    assert second[:3] == ("every month", "every month within 3 days", None)
    assert second[7:9] == (date(2026, 5, 1), date(2026, 6, 1))
    assert (second.status, second.line) == ("paused", 11)


@pytest.mark.parametrize(
    ("lines", "statuses"),
    [
        (["every day", "  rake  until 2026-03-03", "every week", "  rake  from 2026-03-05"],
         ["over", "to-come"]),
        (["days school 2026-09-02", "every day during school", "  rake"], ["in-force"]),
        (["3 days after done", "  rake  from 2026-03-04"], ["in-force"]),
        (["once from 2026-03-01 to 2026-03-03", "  rake"], ["over"]),
        (["once from 2026-03-05 to 2026-03-06", "  rake"], ["in-force"]),
        (["every day", "  rake  paused"], ["paused"]),
    ],
)  # fmt: skip
def test_line_says_what_it_is_on_the_day(lines: list[str], statuses: list[str]) -> None:
    assert [line.status for line in asked(*lines).lines] == statuses


def test_text_says_each_line_in_words() -> None:
    text = shown(
        'every day "Tin"', "  rake  5 min in yard, attic by each uses broom, lye",
        "every monday", "  rake  3 min by ada or bo from 2026-04-01", "every week",
        "  rake  until 2026-02-01", "every month within 1 days", "  rake  paused",
    )  # fmt: skip
    assert "Tin, every day, 5 min each, in yard and attic, by ada, bo, uses broom, lye" in text
    assert "every monday, 3 min, by ada or bo" in text
    assert "yet to begin, from 2026-04-01, home.chores:9" in text
    assert "over, until 2026-02-01, home.chores:11" in text
    assert "every month within 1 day" in text
    assert "paused, home.chores:13" in text


def test_ties_are_told_both_ways_while_their_lines_last() -> None:
    book = (
        "every day", "  sow  5 min", "  rake  5 min after sow", "  hoe  5 min after rake",
        "  dig  5 min after rake until 2026-02-01",
    )  # fmt: skip
    answer = asked(*book)
    assert (answer.after, answer.before) == (("sow",), ("hoe",))
    text = shown(*book)
    assert "comes after sow, where both fall on one day" in text
    assert "comes before hoe, where both fall on one day" in text


def test_cautions_are_those_of_lines_that_last_and_end_with_the_last_word() -> None:
    book = ("every day", "  rake  5 min uses bleach until 2026-02-01", "every week",
            "  rake  5 min uses ladder, broom from 2026-02-02")  # fmt: skip
    answer = asked(*book)
    assert [caution.thing for caution in answer.cautions] == ["ladder"]
    assert " ".join(chore_text(answer).split()).endswith(LAST_WORD)
    assert "Mind" not in shown("every day", "  rake  5 min uses broom")


# ------------------------------------------------------------------------------ where it stands


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        (["every day", "  rake by ada then bo"], "due today, the turn of ada"),
        (["every week", "  rake by ada or bo"], "due, until Sun 8 Mar, by ada or bo"),
        (["every monday", "  rake"], "2 days late; it was for Mon 2 Mar"),
        (
            ["every weekend", "  rake by bo"],
            "3 days late; it was for Sat 28 Feb to Sun 1 Mar, by bo",
        ),
        (["every week", "  rake", "2026-03-03 did rake by bo"], "done on Tue 3 Mar, by bo"),
        (["every week", "  rake", "2026-03-03 skipped rake"], "skipped on Tue 3 Mar"),
        (["every december", "  rake from 2026-04-01"], "has not come round yet"),
        (["every day", "  rake  paused"], "paused, so it does not come round"),
        (["every day", "  rake  until 2025-12-31"], "over"),
        (["away 2026-03-02 to 2026-03-09", "every day", "  rake"], "asks for nothing now"),
        (
            ["every week", "  rake by each", "2026-03-03 did rake by bo"],
            "ada: due, until Sun 8 Mar",
        ),
        (["every week", "  rake by each", "2026-03-03 did rake by bo"], "bo: done on Tue 3 Mar"),
        (["every week", "  rake by each"], "ada, bo: due, until Sun 8 Mar"),
    ],
)
def test_text_says_where_it_stands(lines: list[str], said: str) -> None:
    assert said in shown(*lines)


def household_of(book: some.SmallBook, on: int) -> Household:
    return read_sources([Source("home.chores", book.text())]).on(on).household


@settings(max_examples=30)
@given(some.small_books(), st.integers(some.BASE, some.BASE + 120))
def test_shares_stand_as_the_schedule_says_and_print_within_bounds(
    book: some.SmallBook, on: int
) -> None:
    household, plain = household_of(book, on), PlainBook(book.text(), on)
    for name in household.chores:
        answer = about(household, name, on)
        assert {one.person for one in answer.shares} == set(plain.rows(name))
        for share in answer.shares:
            now = plain.standing(name, share.person, on)
            if now is None:
                assert share.state in ("done", "skipped", None)
            else:
                assert share.state == ("overdue" if now.late and not now.spare else "due")
                assert share.days_late == (0 if now.spare else now.late)
                span = [one.toordinal() for one in (share.first, share.last) if one is not None]
                assert span == list(now[:2])
                assert (share.next_asked == answer.on) == now.is_asked
        assert too_wide(chore_text(answer)) == []
        assert all(
            len(row) == len(table.headers) for table in chore_tables(answer) for row in table.rows
        )


# ----------------------------------------------------------------------------------- what is next


def test_five_windows_ahead_with_whose_turn_it_is_an_open_one_among_them() -> None:
    answer = asked("every week", "  rake by ada then bo")
    assert [(one.state, one.first.day, one.people) for one in answer.ahead] == [
        ("due", 2, ("bo",)),
        ("ahead", 9, ("ada",)),
        ("ahead", 16, ("bo",)),
        ("ahead", 23, ("ada",)),
        ("ahead", 30, ("bo",)),
    ]
    text = chore_text(answer)
    assert "  Mon 9 Mar to Sun 15 Mar   ada\n" in text


def test_window_that_is_late_is_not_ahead() -> None:
    answer = asked("every monday", "  rake")
    assert [one.first for one in answer.ahead][:2] == [date(2026, 3, 9), date(2026, 3, 16)]
    assert len(answer.ahead) == 5


@settings(max_examples=30)
@given(some.small_books(), DAYS)
def test_windows_ahead_are_those_still_to_be_done(book: some.SmallBook, on: int) -> None:
    household, plain = household_of(book, on), PlainBook(book.text(), on)
    for name in plain.on_calendar():
        ahead = about(household, name, on).ahead
        for person in plain.rows(name):
            own = [one for one in ahead if one.person == person]
            until = max([on, *(one.last.toordinal() for one in own)])
            fates = plain.matched(name, person, on, until)[0]
            to_do = [one[:2] for one in fates if one.kind == "open" and one.first > on]
            later = [one for one in own if one.state == "ahead"]
            found = [(one.first.toordinal(), one.last.toordinal()) for one in later]
            assert found == to_do[: len(later)]
            assert all(one.people == (person,) for one in own if person is not None)
            assert all(one.first.toordinal() <= on for one in own if one.state == "due")


def test_shares_on_the_same_days_are_told_once_and_apart_where_they_differ() -> None:
    book = ["every monday", "  rake by each"]
    text = chore_text(asked(*book))
    assert "\nNext\n  Mon 9 Mar\n  Mon 16 Mar\n" in text
    apart = chore_text(asked("away 2026-03-09 to 2026-03-10 by bo", *book))
    assert "  Mon 9 Mar   ada\n  Mon 16 Mar  ada, bo\n" in apart


def test_later_windows_hang_on_when_it_is_done() -> None:
    book = ["14 days after done within 2 days", "  rake by ada then bo"]
    late, waits = asked(*book), asked(*book, "2026-03-01 did rake")
    assert (
        late.after_done_days,
        waits.after_done_days,
        asked("every day", "  rake").after_done_days,
    ) == (14, 14, None)
    assert "\nNext\n  again 14 days after it is done\n" in chore_text(late)
    text = chore_text(waits)
    assert "  Sun 15 Mar to Mon 16 Mar  bo\n  then again 14 days after it is done\n" in text


def test_year_is_told_where_it_is_another() -> None:
    text = shown("every december", "  rake", "every january", "  rake")
    assert "Tue 1 Dec to Thu 31 Dec" in text
    assert "Fri 1 Jan to Sun 31 Jan 2027" in text
    over = ("every week", "  rake")
    assert "Mon 28 Dec to Sun 3 Jan 2027" in shown(*over, on="2026-12-22")
    assert "1 day late; it was for Mon 28 Dec 2026 to Sun 3 Jan" in shown(
        "once from 2026-12-28 to 2027-01-03", "  rake", on="2027-01-04"
    )


# ------------------------------------------------------------------------------ how it was kept


@settings(max_examples=40)
@given(some.small_books(), DAYS)
def test_rates_count_the_windows_of_eight_weeks_and_of_a_year(
    book: some.SmallBook, on: int
) -> None:
    household, plain = household_of(book, on), PlainBook(book.text(), on)
    for name in household.chores:
        answer = about(household, name, on)
        for share in answer.shares:
            fates = plain.matched(name, share.person, on)[0]
            for rate, days in ((share.eight_weeks, 56), (share.year, 365)):
                kinds = Counter(one.kind for one in fates if on - days < one.counted <= on)
                done = kinds["done"] + kinds["late"] + kinds["early"]
                assert rate == (done, done + kinds["missed"] + kinds["owed"])
        told = Counter(one.fate for one in answer.past)
        assert told["done"] + told["late"] + told["early"] == sum(
            share.year.kept for share in answer.shares
        )


def test_text_tells_percent_only_of_five_and_100_only_of_what_was_always_done() -> None:
    few = [f"2026-03-0{n} did rake" for n in (1, 2, 3)]
    text = shown("every day", "  rake from 2026-03-01", *few)
    assert "last eight weeks 3 of 3" in text
    assert not any("last year" in line for line in text)
    assert "in all 3 times since 2026-03-01" in text
    all_but_one = [
        f"{date.fromordinal(n)} did rake" for n in range(day("2026-01-02"), day("2026-11-01"))
    ]
    long = shown("every day", "  rake", *all_but_one, "2026-01-01 skipped rake", on="2026-10-31")
    assert "last eight weeks 56 of 56 (100%)" in long
    assert "skipped once" in long
    missed = shown("every day", "  rake", *all_but_one, on="2026-10-31")
    assert "last year 303 of 304 (99%)" in missed


def test_shares_are_told_one_below_another() -> None:
    book = ["every day", "  rake by each", "2026-03-04 did rake by ada", "2026-03-03 did rake",
            "2026-03-02 skipped rake"]  # fmt: skip
    text = shown(*book, on="2026-03-04")
    assert "last eight weeks ada 2 of 55 (3%)" in text
    assert "bo 1 of 54 (1%)" in text
    assert "in all 2 lines since 2026-03-03" in text


# ------------------------------------------------------------------------------------ its minutes


@given(st.lists(st.integers(1, 90), max_size=14))
def test_learned_minutes_are_the_quartiles_of_the_last_nine_timed(timed: list[int]) -> None:
    first = day("2026-02-01")
    record = [f"{iso(first + n)} did rake {spent} min" for n, spent in enumerate(timed)]
    later = f"{iso(day(WEDNESDAY) + 1)} did rake 90 min"
    learned = asked("every day", "  rake  5 min", *record, later).learned
    if len(timed) < 5:
        assert learned is None
        return
    assert learned is not None
    expected = statistics.quantiles(timed[-9:], n=4, method="inclusive")
    assert [learned.low, learned.minutes, learned.high] == expected
    assert learned.lines == min(len(timed), 9)


def test_text_tells_the_minutes_of_the_book_beside_those_of_the_record() -> None:
    spent = (7, 9, 9, 9, 14)
    record = [f"2026-03-0{n} did rake {m} min" for n, m in enumerate(spent, 1)]
    book = ["every day", "  rake  5 min", "every week", "  rake", *record]
    assert "the last 5 timed 9 min" in shown(*book, on="2026-03-05")
    assert "in the book 5 min" in shown(*book, on="2026-03-05")
    apart = shown(*book, "2026-03-05 did rake 20 min", on="2026-03-05")
    assert "the last 6 timed 9 min, as a rule 9 to 13 min" in apart
    assert "in the book not said" in shown("every day", "  rake", *record, on="2026-03-05")
    assert "Minutes" not in shown(*book)


# ----------------------------------------------------------------------------------- its record


def test_line_of_the_record_says_what_it_settled() -> None:
    answer = asked(
        "every monday", "  rake  5 min", "2026-01-12 did rake 7 min by ada, bo \"wet\"",
        "2026-01-12 did rake", "2026-01-20 did rake", "2026-01-26 did rake",
        "2026-02-01 did rake",
        "2026-02-09 skipped rake", "2026-02-16 moved rake to 2026-02-18",
        "2026-02-16 moved rake to 2026-03-30", "2026-02-18 did rake",
    )  # fmt: skip
    said = [(one.verb, [tuple(each) for each in one.settled]) for one in answer.record.latest]
    assert said == [
        ("did", [(None, "done", 0)]),
        ("moved", [(None, "extra", 0)]),
        ("moved", [(None, "moved", 0)]),
        ("skipped", [(None, "skipped", 0)]),
        ("did", [(None, "early", 1)]),
        ("did", [(None, "done", 0)]),
        ("did", [(None, "late", 1)]),
        ("did", [(None, "extra", 0)]),
        ("did", [(None, "done", 0)]),
    ]
    assert answer.record.latest[-1][:6] == (date(2026, 1, 12), "did", None, 7, ("ada", "bo"), "wet")
    assert answer.record[:3] == (6, 1, date(2026, 1, 12))
    text = [" ".join(line.split()) for line in chore_text(answer).splitlines()]
    assert 'Mon 12 Jan did 7 min ada, bo on time, "wet"' in text
    assert "Mon 16 Feb moved to Mon 30 Mar, besides" in text
    assert "Mon 16 Feb moved to Wed 18 Feb" in text
    assert "Sun 1 Feb did 1 day early" in text
    assert "Tue 20 Jan did 1 day late" in text
    assert "Mon 9 Feb skipped" in text


def test_line_for_all_tells_apart_what_it_settled_for_each() -> None:
    answer = asked("every monday", "  rake by each", "2026-03-02 did rake by ada",
                   "2026-03-03 did rake", "2026-03-03 moved rake to 2026-03-05")  # fmt: skip
    moved, both, one = answer.record.latest
    assert [tuple(each) for each in both.settled] == [("ada", "extra", 0), ("bo", "late", 1)]
    assert [tuple(each) for each in one.settled] == [("ada", "done", 0)]
    # The list shows it to nobody, so the move is for both.
    assert {each.fate for each in moved.settled} == {"moved"}
    assert "ada besides, bo 1 day late" in chore_text(answer)


@settings(max_examples=40)
@given(some.small_books(), DAYS)
def test_latest_nine_lines_are_told_and_each_says_what_it_took(
    book: some.SmallBook, on: int
) -> None:
    household, plain = household_of(book, on), PlainBook(book.text(), on)
    for name in household.chores:
        answer, said = about(household, name, on).record, list(plain.said(name, on))
        assert [one.day.toordinal() for one in answer.latest] == [
            one.day for one in reversed(said[-9:])
        ]
        verbs = Counter(one.verb for one in said)
        assert (answer.did, answer.skipped) == (verbs["did"], verbs["skipped"])
        took = {(one.line, one.person): one.window for one in plain.kept(name, on)[1]}
        for line, one in zip(reversed(said[-9:]), answer.latest, strict=True):
            found = {each.person: each.fate for each in one.settled}
            assert found.keys() == {person for number, person in took if number == line.number}
            for person, fate in found.items():
                assert (fate == "extra") == (took[line.number, person] is None)
                if fate != "extra":
                    kinds = {"did": {"done", "late", "early"}}.get(one.verb, {one.verb})
                    assert fate in kinds


def test_line_older_than_a_year_still_says_what_it_settled() -> None:
    answer = about(
        house("since 2020-01-01", "every april", "  rake", "2021-05-02 did rake",
              "2022-03-30 did rake"), "rake", day(WEDNESDAY),
    )  # fmt: skip
    assert [each for one in answer.record.latest for each in one.settled] == [
        (None, "early", 2),
        (None, "late", 2),
    ]
    assert {one.fate for one in answer.past} == {"owed"}
    text = chore_text(answer)
    assert "  Wed 30 Mar 2022  did  2 days early\n" in text


def test_long_note_is_broken_below_its_beginning() -> None:
    text = chore_text(asked("every day", "  rake", f'2026-03-04 did rake "{"wet leaves " * 12}"'))
    assert too_wide(text) == []
    first, *rest = text[text.index("  Wed 4 Mar") :].splitlines()
    assert len(rest) > 0
    assert {len(line) - len(line.lstrip()) for line in rest} == {first.index("on time")}


# ------------------------------------------------------------------------------------- its forms


def test_csv_has_a_row_a_window_past_and_ahead(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    words = ("chore", "oven", "examples/quarry-lane", "--on", "2026-11-25", "--as", "csv")
    rows = list(csv.DictReader(io.StringIO(besom(*words).stdout, newline="")))
    fates = [row["fate"] for row in rows]
    assert fates[-5:] == ["ahead"] * 5
    assert (rows[4]["fate"], rows[4]["days"], rows[4]["settled"]) == ("late", "4", "2026-06-11")
    assert [row["first"] for row in rows] == sorted(row["first"] for row in rows)
    assert {row["chore"] for row in rows} == {"oven"}


def test_rows_of_past_windows_say_who_did_them_and_how_late_owed_ones_are() -> None:
    answer = asked("every monday", "  rake by ada or bo", "2026-02-23 did rake by bo")
    *_, settled, owed = answer.past
    assert settled[3:] == ("done", 0, date(2026, 2, 23), ("bo",))
    assert owed[3:] == ("owed", 2, None, ())
    each = asked("every monday", "  rake by each", "2026-02-23 did rake")
    assert [one.people for one in each.past if one.settled] == [("ada",), ("bo",)]


def test_window_that_is_still_open_stands_ahead_and_not_in_the_past() -> None:
    answer = asked("every wednesday", "  rake")
    assert date(2026, 3, 4) not in {one.first for one in answer.past}
    assert answer.ahead[0][:2] == (date(2026, 3, 4), date(2026, 3, 4))


def test_text_of_every_chore_of_the_example_fits_in_80_columns(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(ROOT)
    household = read_household([Path("examples/quarry-lane")]).household
    for n, name in enumerate(household.chores):
        on = day("2026-01-01") + 8 * n
        assert too_wide(chore_text(about(household, name, on))) == []


@pytest.mark.parametrize(
    ("name", "said"),
    [
        ("wsah-up", "did you mean `wash-up`?"),
        ("polish", "there are wash-up, lay-table"),
    ],
)
def test_unknown_chore_ends_with_2_and_the_nearest(name: str, said: str) -> None:
    result = besom("chore", name, str(ROOT / "tests" / "golden" / "faulty.chores"))
    assert (result.exit_code, result.stdout) == (2, "")
    assert f'there is no chore "{name}"; {said}' in " ".join(result.stderr.split())


def test_first_and_last_days_of_the_calendar_are_answered(tmp_path: Path) -> None:
    book = tmp_path / "home.chores"
    book.write_text(
        "every week\n  rake  5 min\n3 days after done\n  sow  5 min\n"
        "weekend 5 except monday, may\n  hoe  5 min\n",
        "utf-8",
    )
    for on in ("1970-01-01", "9999-12-31"):
        for words in (("areas",), ("chore", "rake"), ("chore", "sow"), ("chore", "hoe")):
            result = besom(*words, str(book), "--on", on)
            assert (result.exit_code, result.stderr) == (0, "")


def test_name_of_a_file_that_could_upset_a_terminal_is_made_safe() -> None:
    book = read_sources([Source("a\u202e.chores", "every day\n  x\n")])
    household = book.on(day(WEDNESDAY)).household
    assert "    a\ufffd.chores:2\n" in chore_text(about(household, "x", day(WEDNESDAY)))
