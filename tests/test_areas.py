"""Areas: their last care, what is next in them, and how their minutes add up."""

from __future__ import annotations

import csv
import io
from datetime import date
from fractions import Fraction

import pytest
import strategies as some
from books import day, house, standings
from hypothesis import given, settings
from hypothesis import strategies as st
from test_cli import ROOT, besom
from test_render import too_wide

from ledger.calendar.in_force import lines_in_force
from ledger.homes import read_household
from ledger.household.model import Household
from ledger.keeping.history import timelines
from ledger.render.areas_tables import areas_tables
from ledger.render.areas_text import areas_text
from ledger.report.areas import Area, Areas, areas, minutes_a_month
from ledger.text.source import Source
from ledger.workspace import read_sources

WEDNESDAY = "2026-03-04"
HEAD = ("since 2026-01-01", "person ada", "person bo", "area yard", "area attic")


def asked(*lines: str, on: str = WEDNESDAY) -> Areas:
    """The areas `yard` and `attic` of a book of some lines that begins with the year 2026."""
    return areas(house(*HEAD, *lines), day(on))


def yard(*lines: str, on: str = WEDNESDAY) -> Area:
    return asked(*lines, on=on).areas[0]


# ------------------------------------------------------------------------------- the last care


def test_last_care_is_the_latest_line_that_says_a_chore_was_done() -> None:
    care = yard(
        "every day", "  rake  5 min in yard", "  sow  5 min in yard", "  dust  5 min in attic",
        "2026-02-27 did sow, rake by ada", "2026-03-01 did rake by ada, bo",
        "2026-03-02 skipped sow", "2026-03-02 moved rake to 2026-03-03", "2026-03-03 did dust",
        "2026-03-05 did sow",
    ).care  # fmt: skip
    assert care == (date(2026, 3, 1), 3, "rake", ("ada", "bo"))


def test_of_lines_of_one_day_the_last_in_the_book_is_the_last_care() -> None:
    book = ["every day", "  rake  5 min in yard", "  sow  5 min in yard"]
    lines = ["2026-03-04 did sow by ada", "2026-03-04 did rake"]
    first = yard(*book, *lines).care
    second = yard(*book, *reversed(lines)).care
    assert first == (date(2026, 3, 4), 0, "rake", ())
    assert second == (date(2026, 3, 4), 0, "sow", ("ada",))


def test_chore_that_is_over_or_paused_still_cared_for_its_area() -> None:
    care = yard(
        "every day", "  rake  5 min in yard  until 2026-02-01", "every day paused",
        "  sow  5 min in yard", "2026-01-20 did rake", "2026-01-10 did sow",
    ).care  # fmt: skip
    assert care is not None
    assert care.chore == "rake"


@settings(max_examples=40)
@given(some.small_books(), st.integers(some.BASE, some.BASE + 120))
def test_no_line_of_an_area_up_to_the_day_is_later_than_its_last_care(
    book: some.SmallBook, on: int
) -> None:
    household = read_sources([Source("home.chores", book.text())]).on(on).household
    log = household.log
    for area in areas(household, on).areas:
        theirs = {
            name
            for name, chore in household.chores.items()
            if any(area.name in (line.areas or (None,)) for line in chore.routines)
        }
        days = [
            when
            for when, entry in zip(log.dates, log.entries, strict=True)
            if when <= on
            and entry.verb == "did"
            and any(item.name.value in theirs for item in entry.items)
        ]
        assert (area.care.day.toordinal() if area.care else None) == max(days, default=None)


# --------------------------------------------------------------------------------- what is next


def test_overdue_comes_before_due_and_due_before_what_is_ahead() -> None:
    book = ["every day", "  rake  5 min in yard", "once from 2026-03-06 to 2026-03-07",
            "  sow  5 min in yard"]  # fmt: skip
    late = ["every monday", "  weed  5 min in yard"]
    assert yard(*book).next == ("rake", "due", date(2026, 3, 4), date(2026, 3, 4), 0)
    monday = date(2026, 3, 2)
    assert yard(*book, *late).next == ("weed", "overdue", monday, monday, 2)
    done = yard(*book, "2026-03-04 did rake").next
    assert done is not None
    assert (done.chore, done.state, done.first) == ("rake", "ahead", date(2026, 3, 5))


def test_latest_for_its_kind_is_next_and_all_that_are_late_are_named() -> None:
    area = yard(
        "every january", "  prune  5 min in yard", "every monday", "  weed  5 min in yard",
        "every tuesday", "  dust  5 min in attic",
    )  # fmt: skip
    assert area.late == ("weed", "prune")
    assert area.next is not None
    assert area.next.chore == "weed"


def test_what_closes_first_is_next_among_open_ones() -> None:
    area = yard("every month", "  prune  5 min in yard", "every week", "  weed  5 min in yard")
    assert area.next is not None
    assert (area.next.chore, area.next.last) == ("weed", date(2026, 3, 8))


def test_window_that_was_settled_ahead_of_its_day_is_not_next() -> None:
    area = yard("every friday", "  sow  5 min in yard", "2026-02-27 did sow", "2026-03-04 did sow")
    assert area.next is not None
    assert area.next.first == date(2026, 3, 13)


@settings(max_examples=40)
@given(some.small_books(), st.integers(some.BASE, some.BASE + 120))
def test_what_is_late_is_what_stands_overdue(book: some.SmallBook, on: int) -> None:
    household = read_sources([Source("home.chores", book.text())]).on(on).household
    answer = areas(household, on)
    for area in answer.areas:
        late = {
            one.chore
            for one in standings(household, on)
            if one.state == "overdue" and area.name in (one.routine.areas or (None,))
        }
        assert set(area.late) == late
        assert not late or (area.next is not None and area.next.chore == area.late[0])


# -------------------------------------------------------------------------------- minutes a month


@pytest.mark.parametrize(
    "header",
    [
        "every day", "every 10 days from 2026-01-05", "every weekday", "every tuesday, friday",
        "every weekend", "weekend 1, 3", "every week", "every 2 weeks on thursday from 2026-01-08",
        "every month", "every month on 1, 15", "every month on first saturday within 7 days",
        "every month on friday", "every 3 months from 2026-01-01", "every april, october",
        "every week during may to september", "every day during november to march",
        "every month on last during june", "every april, october during march to june",
        "2 times every week", "3 times every month", "every day except wednesday",
        "every weekday except friday, august", "every weekend during off",
    ],
)  # fmt: skip
@pytest.mark.parametrize("by", ["", "by each"])
def test_minutes_a_month_are_those_of_the_windows_of_28_years(header: str, by: str) -> None:
    """The calendar comes round in 28 years (Julian cycle; no century's leap day falls in it)."""
    off = "days off every 2 weeks on saturday from 2026-01-03"
    household = house(*HEAD, off, header, f"  rake  10 min in yard {by}")
    first, last = day("2026-01-01"), day("2053-12-31")
    windows = sum(
        len([window for window in timeline.between(first, last) if window.first >= first])
        for timeline in timelines(household, household.chores["rake"])
    )
    mean = 10 * windows / (28 * 12)
    answers = [areas(household, day("2026-02-01") + 427 * n).minutes for n in range(24)]
    assert sum(answers) / len(answers) == pytest.approx(mean, rel=0.015)
    # These are as many days of all years. A season may have a window more in one than another.
    more = 10 * len(household.people) / 12 if " during " in header or " except " in header else 0
    assert answers == pytest.approx([mean] * 24, rel=0.015, abs=more)


@settings(max_examples=40)
@given(some.small_books(), st.integers(some.BASE, some.BASE + 120))
def test_minutes_of_all_areas_together_are_those_of_the_lines(
    book: some.SmallBook, on: int
) -> None:
    household = read_sources([Source("home.chores", book.text())]).household.on(on)
    answer = areas(household, on)
    lines = [
        minutes_a_month(household, line, on)
        for name in household.chores
        for line in lines_in_force(household, name, on)
    ]
    assert sum(area.minutes for area in answer.areas) == pytest.approx(sum(lines))
    assert answer.minutes == pytest.approx(sum(lines))
    assert {name for area in answer.areas for name in area.chores} == {
        name for name in household.chores if lines_in_force(household, name, on)
    }


@given(
    st.lists(
        st.tuples(
            st.integers(1, 90), st.sampled_from(["", "in yard", "in attic", "in yard, attic"])
        ),
        max_size=5,
    )
)
def test_line_in_two_areas_gives_half_to_each(chores: list[tuple[int, str]]) -> None:
    lines = [f"  c{chr(97 + n)}  {spent} min {where}" for n, (spent, where) in enumerate(chores)]
    answer = asked("every week", *lines)
    weeks = Fraction(36525, 1200) / 7
    for area in answer.areas:
        shares = [
            Fraction(spent, 2 if "," in where else 1)
            for spent, where in chores
            if (area.name in where if area.name else not where)
        ]
        assert area.minutes == pytest.approx(float(sum(shares) * weeks))
        assert len(area.chores) == len(shares)
    assert answer.chores == len(chores)


def test_what_is_over_paused_to_come_or_done_once_takes_no_minutes_a_month() -> None:
    area = yard(
        "every day", "  aa  5 min in yard  until 2026-03-03", "  bb  5 min in yard  paused",
        "  cc  5 min in yard  from 2026-03-05", "once from 2026-03-01 to 2026-03-03",
        "  dd  5 min in yard", "once from 2026-03-20 to 2026-03-30", "  ee  5 min in yard",
    )  # fmt: skip
    assert area.chores == ("ee",)
    assert area.minutes == 0


def test_line_that_counts_from_when_it_was_done_counts_once_in_so_many_days() -> None:
    month = 365.25 / 12
    area = yard("10 days after done", "  rake  5 min in yard")
    assert area.minutes == pytest.approx(5 * month / 10)


def test_lines_of_one_chore_add_up_while_they_are_in_force() -> None:
    book = [
        "every day", "  rake  5 min in yard  until 2026-04-30", "every week",
        "  rake  5 min in yard  from 2026-04-01",
    ]  # fmt: skip
    month = 365.25 / 12
    assert yard(*book, on="2026-03-31").minutes == pytest.approx(5 * month)
    assert yard(*book, on="2026-04-01").minutes == pytest.approx(5 * month + 5 * month / 7)
    assert yard(*book, on="2026-05-01").minutes == pytest.approx(5 * month / 7)


@pytest.mark.parametrize(
    ("by", "times"), [("by bo", 1), ("by each", 2), ("by each of bo", 1), ("by ada and bo", 2)]
)
def test_minutes_count_once_for_each_person_who_does_it(by: str, times: int) -> None:
    area = yard("every day", f"  rake  5 min in yard {by}")
    assert area.minutes == pytest.approx(5 * times * 365.25 / 12)


def test_chores_without_minutes_are_named_and_count_for_none() -> None:
    answer = asked("every day", "  rake  in yard", "  sow  5 min in yard")
    assert answer.untimed == ("rake",)
    assert answer.minutes == pytest.approx(5 * 365.25 / 12)
    assert "Minutes not known, and not counted: rake\n" in areas_text(answer)


# ------------------------------------------------------------------------------- which areas


def test_areas_stand_in_the_order_of_the_book_and_what_has_none_after_them() -> None:
    answer = asked("every day", "  rake  5 min in attic", "  sow  5 min")
    assert [area.name for area in answer.areas] == ["yard", "attic", None]
    assert [area.name for area in asked("every day", "  rake  5 min in yard").areas] == [
        "yard",
        "attic",
    ]
    assert "\nNo area " in areas_text(answer)


def test_area_with_no_chore_in_force_says_so() -> None:
    text = areas_text(asked("every day paused", "  rake  5 min in yard"))
    rows = [line.split() for line in text.splitlines()]
    assert ["yard", "never", "yet", "nothing", "-"] in rows
    assert text.count("no chores\n") == 2


def test_book_without_areas_and_chores_is_answered() -> None:
    answer = areas(Household(), day(WEDNESDAY))
    assert areas_text(answer) == "Wednesday 4 March 2026\n\nThe book has no areas and no chores.\n"


# ------------------------------------------------------------------------------------ its forms


def test_text_says_how_late_until_when_and_from_when() -> None:
    book = (
        "every monday", "  weed  5 min in yard", "  hoe  5 min in yard", "every week",
        "  dust  5 min in attic", "2026-03-03 did dust by ada",
    )  # fmt: skip
    text = areas_text(asked(*book))
    assert "2 days late, and 1 more" in text
    assert "Tue 3 Mar, yesterday" in text
    assert "dust, ada" in text
    assert "from Mon 9 Mar" in text
    assert "until Sun 8 Mar" in areas_text(asked(*book[:-1]))
    assert "today" in areas_text(asked("every day", "  rake  5 min in yard"))
    assert "Fri 6 Mar" in areas_text(
        asked("every friday", "  rake  5 min in yard", "2026-02-27 did rake")
    )


def test_text_of_the_example_fits_in_80_columns() -> None:
    household = read_household([ROOT / "examples" / "quarry-lane"]).household
    for on in range(day("2026-01-01"), day("2026-12-31"), 6):
        assert too_wide(areas_text(areas(household, on))) == []


def test_long_title_is_broken_and_never_cut() -> None:
    household = house(
        "since 2026-01-01", 'area hall "Hall, stairs, landing and the cupboard below the stairs"',
        "person somebody-with-a-name", "every day",
        "  a-chore-with-a-rather-long-name  5 min in hall",
        "2026-01-01 did a-chore-with-a-rather-long-name by somebody-with-a-name",
    )  # fmt: skip
    text = areas_text(areas(household, day(WEDNESDAY)))
    assert too_wide(text) == []
    assert "Hall, stairs, landing and the cupboard below the stairs" in " ".join(text.split())
    assert "…" not in text


def test_csv_has_a_row_an_area(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    text = besom("areas", "examples/quarry-lane", "--on", "2026-11-25", "--as", "csv").stdout
    rows = list(csv.DictReader(io.StringIO(text, newline="")))
    assert [row["area"] for row in rows] == [
        "kitchen", "bathroom", "bedrooms", "living", "outside", "",
    ]  # fmt: skip
    assert rows[1]["next chore"] == "wipe-basin"
    assert (rows[1]["state"], rows[1]["days late"]) == ("overdue", "1")
    assert rows[3]["late chores"] == "2"


def test_row_of_an_area_that_saw_nothing_has_its_cells_empty() -> None:
    (table,) = areas_tables(asked())
    assert len(table.rows) == 2
    for row in table.rows:
        assert len(row) == len(table.headers)
        assert row[2:11] == (None,) * 9
        assert row[11:] == (0, 0, 0, *(None,) * 4)
