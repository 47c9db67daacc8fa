"""Rules about the routine: what never comes, who has too much, what was forgotten."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from books import day, iso
from lint_books import all_found, found_of, only_of, places

from ledger.text.finding import Severity

WEEKENDS = json.loads((Path(__file__).parent / "published" / "weekends.json").read_text("utf-8"))
X = "    x  5 min  in k"
Y = "    y  5 min  in k"


# ---------------------------------------------------------------------------- falls-rarely


def test_rare_section_says_how_often_it_comes_and_on_which_days() -> None:
    found = only_of("falls-rarely", "area k", "weekend 5", X)
    assert found.severity is Severity.NOTE
    assert found.message == "`weekend 5` comes 4 times in the 366 days from Wed 4 Mar 2026"
    assert found.why.startswith(
        "it comes on Sat 30 May 2026, Sat 29 Aug 2026, Sat 31 Oct 2026, Sat 30 Jan 2027; "
        "8 of the 12 months it asks for pass by: March, April, June and 5 more"
    )
    assert "`weekend last`" in found.fix


@pytest.mark.parametrize("year", [2020, 2023, 2028, 2033, 2039])
def test_weekend_5_comes_as_often_as_months_have_five_saturdays(year: int) -> None:
    found = only_of("falls-rarely", "area k", "weekend 5", X, on=f"{year}-01-01")
    assert f"comes {WEEKENDS['months_with_five_saturdays'][str(year)]} times" in found.message


@pytest.mark.parametrize(
    ("header", "comes", "instead"),
    [
        ("every month on 31", "comes 7 times", "every month on last"),
        ("every month on 30", "comes 11 times", "every month on last"),
        ("every month on 29, 31", "comes 18 times", "every month on last"),
        ("every month on fifth friday", "comes 4 times", "every month on last friday"),
        ("every 2 months on 31 from 2026-01-01", "comes 4 times", "every 2 months on last"),
        ("every june, july on 31", "comes once", "every june, july on last"),
        ("every february on 29", "does not come", "every february on last"),
    ],
)
def test_rare_day_is_answered_by_the_last_of_its_kind(
    header: str, comes: str, instead: str
) -> None:
    found = only_of("falls-rarely", "area k", header, X)
    assert f"{comes} in the 366 days" in found.message
    assert found.fix.startswith(f"write `{instead}`")


@pytest.mark.parametrize(("on", "comes"), [("2026-03-30", 7), ("2026-03-31", 8)])
def test_last_of_the_366_days_counts(on: str, comes: int) -> None:
    found = only_of("falls-rarely", "area k", "every month on 31", X, on=on)
    assert f"comes {comes} times in the 366 days" in found.message


@pytest.mark.parametrize(("first", "asked"), [("2026-04-01", 11), ("2026-04-02", 10)])
def test_month_is_asked_for_in_which_a_section_begins_on_its_first_day(
    first: str, asked: int
) -> None:
    found = only_of("falls-rarely", "area k", f"every month on 31 from {first}", X)
    assert f" of the {asked} months it asks for " in found.why


def test_only_months_of_which_a_list_leaves_some_days_are_asked_for() -> None:
    winter = only_of("falls-rarely", "area k", "every month on 31 except april to october", X)
    assert " of the 5 months it asks for passes by: " not in winter.why
    assert " 2 of the 5 months it asks for pass by: November, February" in winter.why
    weekdays = only_of("falls-rarely", "area k", "every month on 31 except weekend", X)
    assert "comes 4 times" in weekdays.message
    assert "5 of the 12 months it asks for pass by" in weekdays.why


def test_leap_day_says_when_it_comes_next() -> None:
    found = only_of("falls-rarely", "area k", "every february on 29", X)
    assert found.why.startswith("it comes next on Tue 29 Feb 2028; 1 of the 1 month ")


@pytest.mark.parametrize(
    "header",
    [
        "weekend 4",
        "weekend 1, 3, 5",
        "weekend last",
        "every month on 28",
        "every month on last",
        "every month on 15, 31",
        "every month on first friday, fifth friday",
        "every month on friday",
        "every january, march on 31",
        "weekend 5 during may to may",
        "weekend 5 paused",
        "weekend 5 until 2026-02-28",
        "every month on 31 from 2026-07-01 until 2026-08-31",
        "every april, june on 31",
    ],
)
def test_section_that_comes_as_its_header_says_is_not_rare(header: str) -> None:
    assert found_of("falls-rarely", "area k", header, X) == []


# ----------------------------------------------------------------------------- never-falls


@pytest.mark.parametrize(
    ("header", "says"),
    [
        ("every june during july to august", "without that it would come on Mon 1 Jun 2026"),
        (
            "every 2 months from 2026-01-01 during february to february",
            "it would come on Wed 4 Mar 2026",
        ),
        ("once from 2026-06-01 to 2026-06-10 during july to august", "on Mon 1 Jun 2026"),
        ("every 12 months on 30 from 2026-02-01", "no such day in all that time"),
        ("every 48 months on 29 from 2026-02-01", "no such day in all that time"),
        ("every february on fifth monday", "no such day in all that time"),
        ("every month on 31 during february", "without that it would come on Tue 31 Mar 2026"),
        ("every month on 31 from 2026-04-01 until 2026-04-30", "in force on those days only"),
        ("once from 2026-06-01 to 2026-06-10 from 2026-07-01", "the first day on which x is in"),
    ],
)
def test_section_that_never_comes_says_why(header: str, says: str) -> None:
    found = only_of("never-falls", "area k", header, X)
    assert found.severity is Severity.ERROR
    assert says in found.why
    assert [one.rule for one in all_found("area k", header, X)] == ["never-falls"]


@pytest.mark.parametrize(
    "header",
    [
        "every february on 29",
        "every 120 months from 2026-01-01",
        "every 9999 months from 1990-01-01",
        "every 9999 days from 2000-01-01",
        "every monday until 2026-03-05",
        "every monday from 2060-01-01",
        "once from 2026-01-01 to 2026-01-31",
        "once from 2050-01-01 to 2050-01-31",
        "once from 2026-02-20 to 2026-03-10",
        "every june during july to august paused",
        "14 days after done during july to august",
        "every april on 31",
        "every 2 months during february to february",
        "weekend 5 during february",  # Sunday 1 February 2032 is of the last one of January.
        "every monday from 2026-05-01 until 2026-04-01",
    ],
)
def test_section_that_comes_some_day_or_is_over_is_not_found(header: str) -> None:
    assert found_of("never-falls", "area k", header, X) == []


def test_end_of_the_calendar_is_no_fault_of_a_section() -> None:
    assert found_of("never-falls", "area k", "every february on 29", X, on="9998-12-31") == []
    assert found_of("never-falls", "area k", "every monday", X, on="9999-12-31") == []


def test_dates_of_one_chore_can_leave_it_no_day() -> None:
    line = X + "  from 2026-07-01 until 2026-08-31"
    found = found_of("never-falls", "area k", "every june", line, Y)
    assert places(found) == [(3, "x")]
    assert found_of("never-falls", "area k", "every june", X + "  from 2026-07-01") == []


def test_eight_years_are_looked_at_as_leap_days_can_be_so_far_apart() -> None:
    found = only_of("never-falls", "area k", "every february on fifth monday", X)
    assert found.message.endswith("falls on no day from Wed 4 Mar 2026 to Fri 10 Mar 2034")


def test_last_day_of_a_weekend_is_enough_for_a_chore() -> None:
    sunday, monday = (f"{X}  from {day} until {day}" for day in ("2026-03-08", "2026-03-09"))
    assert found_of("never-falls", "area k", "every weekend", sunday, Y) == []
    assert len(found_of("never-falls", "area k", "every weekend", monday, Y)) == 1


SCHOOL = ("area k", "days school 2026-01-06 to 2026-03-06, 2026-09-01 to 2026-09-04")


@pytest.mark.parametrize(
    ("header", "message", "marked"),
    [
        ("every weekend during weekday", "`during weekday`", 1),
        ("every saturday during camp", "`during camp`", 1),
        ("every june during may except june", "that `during may except june` leaves", 0),
    ],
)
def test_lists_of_days_that_leave_a_section_no_day_are_named(
    header: str, message: str, marked: int
) -> None:
    found = only_of("never-falls", *SCHOOL, "days camp 2026-05-05 to 2026-05-07", header, X)
    assert f"falls on no day {message}" in found.message
    assert "without that it would come on " in found.why
    assert len(found.fixes) == marked


@pytest.mark.parametrize(
    "header",
    [
        "every monday during school",
        "every week except wednesday",
        "every weekday during school except january to march",
        "every saturday during trip",
        "every sunday during trip except weekday",
        "14 days after done during trip except trip",
        "every day during trip except trip until 2026-03-03",
        "every 3 days from 2026-01-01 except sunday, monday",
        "2 times every week from 2026-01-05 during friday",
    ],
)
def test_lists_that_leave_some_day_or_have_run_out_are_no_fault(header: str) -> None:
    """The Mondays of school before the holidays are past, and those of September are to come."""
    trip = "days trip 2025-05-02 to 2025-05-04"
    assert found_of("never-falls", "since 2026-01-01", *SCHOOL, trip, header, X) == []


def test_lists_of_a_chore_may_leave_it_no_day_of_its_section() -> None:
    lines = (X, Y, "    z  5 min  in k  during tuesday, wednesday")
    found = only_of("never-falls", "area k", "every monday", *lines)
    assert places([found]) == [(5, "z")]
    assert found.message == "`every monday` falls on no day `during tuesday, wednesday`"
    assert [fix.title for fix in found.fixes] == ["Delete `during tuesday, wednesday`"]
    kept = only_of("never-falls", "area k", "every day except weekend", X + "  during sunday", Y)
    assert kept.message == "`every day` falls on no day that `during sunday` leaves"


def test_chore_may_have_the_name_of_what_keeps_it_to_days() -> None:
    line = "    during  5 min  in k  during monday"
    found = only_of("never-falls", "area k", "every tuesday", line, Y)
    assert found.message == "`every tuesday` falls on no day `during monday`"
    assert [edit.start for fix in found.fixes for edit in fix.edits] == [len(line) - 15]


def test_last_days_of_school_are_enough_for_the_mondays_before() -> None:
    """Of the school days from today on, Wednesday to Friday, none is a Monday."""
    book = ("area k", "days school 2026-01-06 to 2026-03-06", "every monday during school", X)
    assert found_of("never-falls", "since 2026-01-01", *book) == []
    assert found_of("never-falls", *book) == []
    assert len(found_of("never-falls", "since 2026-03-03", *book)) == 1


# ------------------------------------------------------------------------ from-after-until


def test_header_that_ends_before_it_begins_is_found_once() -> None:
    found = all_found("area k", "every monday from 2026-05-02 until 2026-05-01", X, Y)
    assert [(one.rule, one.place.text) for one in found] == [("from-after-until", "2026-05-01")]
    assert found[0].message == (
        "this section begins on Sat 2 May 2026 and ends before, on Fri 1 May 2026"
    )


@pytest.mark.parametrize(
    ("header", "clause", "marked"),
    [
        ("every monday until 2026-05-01", "from 2026-06-01", "2026-06-01"),
        ("every monday from 2026-06-01", "until 2026-05-01", "2026-05-01"),
        ("every monday until 2026-05-01", "from 2026-06-01 until 2026-07-01", "2026-06-01"),
    ],
)
def test_date_of_a_chore_that_stands_against_its_section_is_marked(
    header: str, clause: str, marked: str
) -> None:
    found = only_of("from-after-until", "area k", header, f"{X}  {clause}", Y)
    assert (found.place.line, found.place.text) == (2, marked)
    assert [place.line for place in found.see] == [1]


def test_one_day_in_force_is_enough() -> None:
    assert (
        found_of(
            "from-after-until", "area k", "every monday", f"{X}  from 2026-05-04 until 2026-05-04"
        )
        == []
    )


# -------------------------------------------------------------------------- neglected-area

TWO = ("since 2026-01-01", "area k", "area b", "every monday", X, "    bath  5 min  in b")


def test_area_is_neglected_after_more_than_three_of_its_periods() -> None:
    found = only_of("neglected-area", *TWO, "2026-02-10 did bath", "2026-03-02 did x")
    assert found.place.text == "b"
    assert found.message == 'nothing has been done in "b" since Tue 10 Feb 2026'
    assert "22 days at home have gone by" in found.why
    assert "`2026-03-04 did bath`" in found.fix
    assert found_of("neglected-area", *TWO, "2026-02-11 did bath", "2026-03-02 did x") == []


def test_doing_of_today_counts_and_one_to_come_does_not() -> None:
    kept = (*TWO, "2026-02-10 did bath", "2026-03-02 did x")
    assert found_of("neglected-area", *kept, "2026-03-04 did bath") == []
    assert len(found_of("neglected-area", *kept, "2026-03-05 did bath")) == 1


def test_skipping_is_no_doing() -> None:
    record = ("2026-01-12 did bath", "2026-02-23 skipped bath", "2026-03-02 did x")
    assert len(found_of("neglected-area", *TWO, *record)) == 1


def test_any_chore_of_an_area_looks_after_it() -> None:
    book = ("since 2026-01-01", "area k", "every monday", X, "every month on 1", Y)
    assert found_of("neglected-area", *book, "2026-03-01 did y") == []
    assert places(found_of("neglected-area", *book, "2026-02-01 did y")) == [(2, "k")]


def test_area_never_done_is_neglected_once_the_book_is_old_enough() -> None:
    found = only_of("neglected-area", *TWO, "2026-03-02 did x")
    assert found.message == ('nothing has been done in "b" since the book began, on Thu 1 Jan 2026')


@pytest.mark.parametrize(("begins", "count"), [("2026-02-11", 1), ("2026-02-12", 0)])
def test_first_day_of_a_book_or_line_is_the_first_of_the_days_that_go_by(
    begins: str, count: int
) -> None:
    """Wednesday 4 March is day 22 from 11 February, and three weeks are 21 days."""
    record = "2026-03-02 did x"
    assert len(found_of("neglected-area", f"since {begins}", *TWO[1:], record)) == count
    later = (*TWO[:-1], f"every monday from {begins}", TWO[-1])
    assert len(found_of("neglected-area", *later, record)) == count
    chore = (*TWO[:-1], f"{TWO[-1]}  from {begins}")
    assert len(found_of("neglected-area", *chore, record)) == count


@pytest.mark.parametrize(
    ("header", "last", "days"),
    [("every 5 days from 2026-01-01", "2026-02-16", 16), ("every day", "2026-02-28", 4),
     ("every tuesday, friday", "2026-02-21", 11), ("every month", "2025-12-02", 92)],
)  # fmt: skip
def test_area_is_neglected_on_the_day_after_three_periods_and_no_earlier(
    header: str, last: str, days: int
) -> None:
    book = ("since 2025-01-01", *TWO[1:-1], header, TWO[-1], "2026-03-02 did x")
    found = only_of("neglected-area", *book, f"{last} did bath")
    assert f"{days} days at home have gone by, more than 3 times that long" in found.why
    following = iso(day(last) + 1)
    assert found_of("neglected-area", *book, f"{following} did bath") == []


@pytest.mark.parametrize(
    "lines",
    [
        ["away 2026-02-16 to 2026-02-20"],
        ["away 2026-03-03 to 2026-03-05"],
    ],
)
def test_days_away_neglect_nothing(lines: list[str]) -> None:
    record = ("2026-02-08 did bath", "2026-03-02 did x")
    assert len(found_of("neglected-area", *TWO, *record)) == 1
    assert found_of("neglected-area", *lines, *TWO, *record) == []


@pytest.mark.parametrize(
    ("lines", "count"),
    [
        (["away 2026-02-16 to 2026-02-20 by noor"], 0),
        (["rest 2026-02-16 to 2026-02-20 by noor"], 0),
        (["rest 2026-02-16 to 2026-02-20"], 0),
        (["rest from 2026-03-04"], 0),
        (["away 2026-02-16 to 2026-02-20 by tam"], 1),
        (["away flu by noor", "days flu 2026-02-16 to 2026-02-20"], 0),
    ],
)
def test_days_on_which_nobody_can_do_it_neglect_nothing(lines: list[str], count: int) -> None:
    people = ("person noor", "person tam")
    book = (*people, *TWO[:-1], TWO[-1] + "  by noor", "2026-02-08 did bath", "2026-03-02 did x")
    assert len(found_of("neglected-area", *lines, *book)) == count


def test_vital_chores_are_neglected_on_days_of_rest_too_and_spare_ones_never() -> None:
    record = ("2026-02-08 did bath", "2026-03-02 did x")
    rest = "rest 2026-02-16 to 2026-02-20"
    vital = (*TWO[:-1], TWO[-1] + "  vital")
    assert len(found_of("neglected-area", rest, *vital, *record)) == 1
    spare = (*TWO[:-1], TWO[-1] + "  spare")
    assert found_of("neglected-area", *spare, *record) == []


def test_days_that_a_list_leaves_out_do_not_count_as_gone_by() -> None:
    """22 days from 11 February on, of which three are Mondays."""
    record = ("2026-02-10 did bath", "2026-03-02 did x")
    book = ("since 2026-01-01", "area k", "area b", "every monday", X)
    header = "every week except monday"
    assert found_of("neglected-area", *book, header, TWO[-1], *record) == []
    earlier = ("2026-02-06 did bath", "2026-03-02 did x")
    found = only_of("neglected-area", *book, header, TWO[-1], *earlier)
    assert "22 days at home have gone by" in found.why


def test_parts_of_a_period_have_its_share_of_days() -> None:
    book = ("since 2026-01-01", "area k", "area b", "every day", X, "2 times every week", TWO[-1])
    record = "2026-03-02 did x"
    assert found_of("neglected-area", *book, record, "2026-02-22 did bath") == []
    assert len(found_of("neglected-area", *book, record, "2026-02-21 did bath")) == 1


@pytest.mark.parametrize(
    "header",
    [
        "every week during april to october",
        "every week during october to january",
        "every monday from 2026-02-20",
        "every monday until 2026-02-20",
        "every monday paused",
        "7 days after done",
        "once from 2026-02-01 to 2026-02-03",
        "every month",
    ],
)
def test_area_whose_chores_did_not_come_round_is_not_neglected(header: str) -> None:
    book = (
        "since 2025-01-01",
        "area k",
        "area b",
        "every monday",
        X,
        header,
        "    bath  5 min  in b",
    )
    assert found_of("neglected-area", *book, "2025-12-20 did bath", "2026-03-02 did x") == []


def test_book_without_a_record_neglects_nothing() -> None:
    assert found_of("neglected-area", *TWO) == []
    assert found_of("neglected-area", *TWO, "2026-03-09 did x") == []


# ------------------------------------------------------------------------------ idle-person

PEOPLE = ("person noor", "person tam", "area k", "every monday")


def test_person_is_idle_where_all_is_given_to_others() -> None:
    found = only_of("idle-person", *PEOPLE, X + "  by noor", Y + "  by noor")
    assert (found.place.line, found.place.text) == (1, "tam")
    assert found.why == "2 lines of chores are in force, and each names others"


@pytest.mark.parametrize("clause", ["", "by each", "by noor or tam", "by tam", "by tam  paused"])
def test_person_is_not_idle_where_some_chore_may_be_theirs(clause: str) -> None:
    assert found_of("idle-person", *PEOPLE, X + "  by noor", f"{Y}  {clause}") == []


@pytest.mark.parametrize(
    ("clause", "idle"),
    [("by each of noor", True), ("by noor and tam", False), ("by each of tam, noor", False)],
)
def test_each_of_some_and_work_together_are_given_to_those_named(clause: str, idle: bool) -> None:
    found = found_of("idle-person", *PEOPLE, f"{X}  by noor", f"{Y}  {clause}")
    assert [one.place.text for one in found] == (["tam"] if idle else [])


@pytest.mark.parametrize("line", ["away from 2026-01-01 by tam", "rest from 2026-03-04 by tam"])
def test_person_who_is_not_there_for_a_year_is_not_idle(line: str) -> None:
    assert found_of("idle-person", *PEOPLE, X + "  by noor", line) == []
    later = line.replace("2026-01-01", "2026-03-05").replace("2026-03-04", "2026-03-05")
    assert len(found_of("idle-person", *PEOPLE, X + "  by noor", later)) == 1


def test_unread_line_may_name_the_person() -> None:
    assert found_of("idle-person", *PEOPLE, X + "  by noor", "    y  5 mins  by tam") == []
    assert found_of("idle-person", "person noor", "area k") == []


def test_lines_whose_days_have_run_out_are_not_in_force() -> None:
    days, line = "days trip 2026-03-02 to 2026-03-03", X + "  by noor  during trip"
    assert found_of("idle-person", *PEOPLE, days, line) == []
    assert len(found_of("idle-person", *PEOPLE, days.replace("03-03", "03-04"), line)) == 1


def test_nobody_is_idle_where_nothing_is_in_force() -> None:
    book = ("person noor", "area k", "every monday until 2026-02-28", X)
    assert found_of("idle-person", *book) == []


# --------------------------------------------------------------------- contradicting-limits


def test_limit_of_a_person_above_every_day_is_found() -> None:
    days = ("limit weekday 30 min", "limit saturday 1 h", "limit sunday 2 h")
    book = ("person edie", "area k", "every monday", X)
    found = only_of("contradicting-limits", *days, "limit edie 2 h 1 min", *book)
    assert found.place.text == "limit edie"
    assert "2 h, for sunday" in found.why
    assert found_of("contradicting-limits", *days, "limit edie 2 h", *book) == []
    assert found_of("contradicting-limits", *days[:2], "limit edie 3 h", *book) == []


@pytest.mark.parametrize(
    ("limits", "marked"),
    [
        (["limit edie 15 min", "limit edie weekday 10 min", "limit edie weekend 20 min"], "edie"),
        (["limit edie weekend 15 min", "limit edie sun 1 min", "limit edie sat 20 min"],
         "edie weekend"),
        (["limit edie 15 min", "limit edie weekday 10 min", "limit edie sunday 20 min"], None),
        (["limit edie weekend 15 min", "limit saturday 9 h", "limit sunday 9 h"], None),
        (["limit edie saturday 2 h", "limit weekend 1 h"], "edie saturday"),
        (["limit edie weekday 2 h", "limit weekend 1 h"], None),
        (["limit edie weekday 2 h", "limit weekend 1 h", "limit weekday 1 h"], "edie weekday"),
        (["limit edie trip 2 h", "limit weekend 1 h", "limit weekday 1 h"], "edie trip"),
        (["limit edie 2 h", "limit weekend 1 h", "limit weekday 1 h", "limit trip 3 h"], None),
        (["limit trip 2 h", "limit weekend 1 h", "limit weekday 1 h"], None),
    ],
)  # fmt: skip
def test_limits_of_kinds_of_days_are_held_against_those_of_their_days(
    limits: list[str], marked: str | None
) -> None:
    book = ("person edie", "days trip 2026-05-01", "area k", "every monday", X)
    found = found_of("contradicting-limits", *limits, *book)
    assert [one.place.text for one in found] == ([f"limit {marked}"] if marked else [])


def test_limit_of_days_that_all_have_their_own_is_found() -> None:
    book = ("area k", "every monday", X, "limit weekend 1 h", "limit saturday 2 h")
    assert found_of("contradicting-limits", *book) == []
    found = only_of("contradicting-limits", *book, "limit sunday 1 h")
    assert found.place.text == "limit weekend"
    assert found.why == "saturday, sunday each have a limit of their own"
    friday = ("weekend is friday", "limit weekend 1 h", "limit friday 2 h")
    assert len(found_of("contradicting-limits", "area k", "every monday", X, *friday)) == 1


# ------------------------------------------------------------------------ overloaded-person

EDIE = ("person noor", "person edie", "area k", "limit edie 15 min")


def test_turns_of_one_person_are_judged_by_their_limit() -> None:
    found = only_of(
        "overloaded-person", "since 2026-03-02", *EDIE, "every monday",
        "    x  20 min  in k  by noor then edie",
    )  # fmt: skip
    assert found.place.text == "limit edie"
    assert found.message == (
        "Mon 9 Mar 2026 asks edie for 20 min, of 15 min; 25 more like it in the year ahead"
    )
    assert "x 20 min" in found.why


def test_person_is_told_once_by_the_worst_of_all_spans() -> None:
    tuesday = ("every tuesday", "    y  50 min  in k  by edie")
    chores = ("every monday", "    x  20 min  in k  by edie", *tuesday)
    once = ("once from 2026-04-08 to 2026-04-08", "    z  1 h  in k  by edie")
    found = only_of("overloaded-person", *EDIE, *chores)
    # Mondays and Tuesdays of the year ahead, each a span of its own.
    assert found.message == (
        "Tue 10 Mar 2026 asks edie for 50 min, of 15 min; 103 more like it in the year ahead"
    )
    worst = only_of("overloaded-person", *EDIE, *chores, *once)
    assert worst.message.startswith("Wed 8 Apr 2026 asks edie for 1 h, of 15 min; 104 more")
    assert worst.why == "45 min will be left undone; the longest are z 1 h"
    two = ("person tam", "limit tam 5 min", "every friday", "    w  6 min  in k  by tam")
    both = found_of("overloaded-person", *EDIE, *chores, *two)
    assert [one.place.text for one in both] == ["limit edie", "limit tam"]


def test_turn_passed_on_by_one_who_is_away_counts_for_the_next() -> None:
    book = ("since 2026-03-02", *EDIE, "once from 2026-03-09 to 2026-03-09")
    line = "    x  20 min  in k  by noor then edie"
    assert found_of("overloaded-person", *book, line) == []
    assert len(found_of("overloaded-person", "away 2026-03-09 by noor", *book, line)) == 1


def test_shares_of_each_and_chores_of_one_add_up() -> None:
    book = (*EDIE, "every monday", "    x  10 min  in k  by each")
    assert found_of("overloaded-person", *book, "    y  5 min  in k  by edie") == []
    found = only_of("overloaded-person", *book, "    y  6 min  in k  by edie")
    assert found.message.startswith("Mon 9 Mar 2026 asks edie for 16 min, of 15 min")


def test_windows_of_several_days_are_judged_by_the_limits_of_all() -> None:
    book = (*EDIE, "every weekend")
    assert found_of("overloaded-person", *book, "    x  30 min  in k  by edie") == []
    found = only_of("overloaded-person", *book, "    x  31 min  in k  by edie")
    assert found.message.startswith(
        "Sat 7 Mar 2026 to Sun 8 Mar 2026 ask edie for 31 min, of 30 min"
    )


@pytest.mark.parametrize("clause", ["by noor or edie", "", "by noor", "by edie  paused"])
def test_what_another_may_do_overloads_nobody(clause: str) -> None:
    line = f"    x  40 min  in k  {clause}"
    assert found_of("overloaded-person", *EDIE, "every monday", line) == []


def test_day_on_which_the_person_is_away_has_room_for_nothing() -> None:
    book = (*EDIE, "every weekend", "    x  20 min  in k  by edie")
    assert found_of("overloaded-person", *book) == []
    found = only_of("overloaded-person", *book, "away 2026-03-08 by edie")
    assert found.message == "Sat 7 Mar 2026 asks edie for 20 min, of 15 min"


def test_share_of_work_together_counts_for_each_and_a_spare_one_for_nobody() -> None:
    line = "    x  16 min  in k  by noor and edie"
    found = only_of("overloaded-person", *EDIE, "every monday", line)
    assert found.message.startswith("Mon 9 Mar 2026 asks edie for 16 min, of 15 min")
    each = line.replace("noor and edie", "each of edie, noor")
    assert len(found_of("overloaded-person", *EDIE, "every monday", each)) == 1
    spare = found_of("overloaded-person", *EDIE, "every monday", line + "  spare")
    assert spare == []


def test_limit_of_a_person_on_a_kind_of_day_counts_on_those_days() -> None:
    lines = ("limit edie saturday 1 h", "every day", "    x  40 min  in k  by edie")
    found = found_of("overloaded-person", *EDIE, *lines)
    assert {one.place.text for one in found} == {"limit edie"}
    assert not any(one.message.startswith("Sat") for one in found)
    only_saturday = [*EDIE[:-1], "limit edie sat 30 min", *lines[1:]]
    saturday = only_of("overloaded-person", *only_saturday)
    assert saturday.place.text == "limit edie sat"
    assert saturday.message.startswith("Sat 7 Mar 2026 asks edie for 40 min, of 30 min")


def test_limit_of_named_days_counts_on_these_before_that_of_the_weekday() -> None:
    book = ("area k", "days school 2026-03-09 to 2026-03-11", "limit weekday 1 h")
    line = "    x  40 min  in k"
    assert found_of("overloaded-day", *book, "every monday", line) == []
    found = only_of("overloaded-day", *book, "limit school 30 min", "every monday", line)
    assert found.place.text == "limit school"
    assert found.message == "Mon 9 Mar 2026 asks for 40 min, of 30 min"


def test_people_who_are_there_hold_no_more_than_their_limits_together() -> None:
    book = ("person noor", "person edie", "area k", "limit noor 20 min", "limit edie 15 min",
            "every monday", "    x  30 min  in k")  # fmt: skip
    assert found_of("overloaded-day", *book) == []
    found = only_of("overloaded-day", "rest 2026-03-09 by edie", *book)
    assert found.message == "Mon 9 Mar 2026 asks for 30 min, of 20 min"


def test_window_lies_in_the_days_on_which_it_is_asked() -> None:
    """20 minutes in a week fit into 15 a day, unless only one of its days is asked."""
    chore = "    x  20 min  in k  by edie"
    assert found_of("overloaded-person", *EDIE, "every week", chore) == []
    (found, *_) = found_of("overloaded-person", *EDIE, "every week during monday", chore)
    assert found.message.startswith("Mon 9 Mar 2026 asks edie for 20 min, of 15 min; 51 more")
    rest = "rest 2026-03-09 to 2026-03-14 by edie"
    found = only_of("overloaded-person", *EDIE, rest, "every week", chore)
    assert found.message == "Sun 15 Mar 2026 asks edie for 20 min, of 15 min"
    assert found_of("overloaded-person", *EDIE, rest, "every week", chore + "  vital") == []


def test_turn_passes_over_a_person_who_rests() -> None:
    book = (*EDIE, "since 2026-03-02", "every monday", "    x  20 min  in k  by noor then edie")
    found = only_of("overloaded-person", *book)
    assert found.message.startswith("Mon 9 Mar 2026 asks")
    rests = only_of("overloaded-person", *book, "rest 2026-03-09 by edie")
    assert rests.message.startswith("Mon 23 Mar 2026 asks")


# -------------------------------------------------------------------------- overloaded-day

TWO_PEOPLE = ("person noor", "person edie", "area k")


def test_day_holds_the_sum_of_the_limits_of_all_who_are_there() -> None:
    limits = ("limit noor 20 min", "limit edie 15 min")
    book = (*TWO_PEOPLE, "every monday", "    x  36 min  in k")
    found = only_of("overloaded-day", *limits, *book)
    assert found.message.startswith("Mon 9 Mar 2026 asks for 36 min, of 35 min")
    assert found.place.text == "limit noor"
    assert found_of("overloaded-day", *limits[:1], *book) == []
    away = only_of("overloaded-day", *limits[:1], *book, "away 2026-03-16 by edie")
    assert away.message == "Mon 16 Mar 2026 asks for 36 min, of 20 min"
    least = only_of("overloaded-day", "limit weekday 30 min", *limits, *book)
    assert (least.place.text, ", of 30 min" in least.message) == ("limit weekday", True)


def test_named_days_have_the_limit_that_comes_first() -> None:
    book = ("area k", "days hols 2026-03-09, 2026-03-16", "limit monday 50 min", "every monday")
    chore = "    x  40 min  in k"
    found = only_of("overloaded-day", *book, chore, "limit hols 30 min")
    assert found.message.startswith("Mon 9 Mar 2026 asks for 40 min, of 30 min; 1 more like it")
    assert found.place.text == "limit hols"


@pytest.mark.parametrize(
    ("clause", "asks"),
    [("by noor and edie", "40 min"), ("by each of edie, noor", "40 min"), ("by noor then edie", ""),
     ("by noor and edie  spare", ""), ("by noor and edie  vital", "40 min")],
)  # fmt: skip
def test_day_is_asked_for_the_minutes_of_each_who_does_it(clause: str, asks: str) -> None:
    book = (*TWO_PEOPLE, "limit monday 30 min", "every monday", f"    x  20 min  in k  {clause}")
    found = found_of("overloaded-day", *book)
    assert [f" asks for {asks}, of 30 min" in one.message for one in found] == [True] * bool(asks)


def test_excused_and_partly_asked_windows_weigh_on_the_days_that_are_asked() -> None:
    book = ("area k", "limit weekend 30 min", "every weekend", "    x  40 min  in k")
    assert found_of("overloaded-day", *book) == []
    assert found_of("overloaded-day", *book, "away 2026-03-07 to 2026-03-08") == []
    found = only_of("overloaded-day", *book, "away 2026-03-07")
    assert found.message == "Sun 8 Mar 2026 asks for 40 min, of 30 min"


def test_what_is_too_much_for_the_one_person_of_a_home_is_told_once() -> None:
    book = ("person edie", "area k", "limit edie 5 min", "every monday")
    mine = "    x  40 min  in k  by edie"
    assert [one.rule for one in all_found(*book, mine)] == ["overloaded-person"]
    anyone = "    y  10 min  in k"
    rules = [one.rule for one in all_found(*book, mine, anyone)]
    assert rules == ["overloaded-day", "overloaded-person"]


# ------------------------------------------------------------------------- after-other-days


def test_after_a_chore_of_another_day_marks_its_name() -> None:
    lines = ("area k", "every monday", X + "  after z, y", "every tuesday", Y)
    found = only_of("after-other-days", *lines, "every week", "    z  5 min  in k")
    assert found.place.text == "y"
    assert "Mon 9 Mar 2026" in found.why
    assert "Tue 10 Mar 2026" in found.why


@pytest.mark.parametrize(
    "header",
    ["every week", "weekend 1", "every month on 1", "7 days after done", "every monday paused"],
)
def test_after_is_in_order_where_some_day_is_shared_or_nobody_can_tell(header: str) -> None:
    book = ("area k", "every saturday, sunday", X + "  after y", header, Y)
    assert found_of("after-other-days", *book) == []


def test_after_counts_the_days_of_its_own_line() -> None:
    book = ("area k", "every monday", X, "every thursday", X + "  after y", "every monday", Y)
    assert places(found_of("after-other-days", *book)) == [(5, "y")]


# ----------------------------------------------------------------------------- after-circle


def test_circle_of_three_is_found_once_at_its_first_line() -> None:
    lines = [f"    {one}  5 min  in k  after {two}" for one, two in zip("abc", "bca", strict=True)]
    found = only_of("after-circle", "area k", "every monday", *lines)
    assert (found.place.line, found.place.text) == (2, "b")
    assert found.message == ('"a" comes after "b", which comes after "c", which comes after "a"')
    assert [place.text for place in found.see] == ["b", "c"]


def test_chore_after_itself_is_a_circle() -> None:
    found = only_of("after-circle", "area k", "every monday", X + "  after x")
    assert found.message == '"x" comes after "x", itself'
    assert found.why == "nothing is done before it is begun"
    assert found_of("after-other-days", "area k", "every monday", X + "  after x") == []


def test_two_circles_are_two_findings_and_a_row_is_none() -> None:
    pairs = [("a", "b"), ("b", "a"), ("c", "d"), ("d", "c"), ("e", "a")]
    lines = [f"    {one}  5 min  in k  after {two}" for one, two in pairs]
    found = found_of("after-circle", "area k", "every monday", *lines)
    assert places(found) == [(3, "b"), (5, "d")]


def test_circle_that_no_day_closes_is_none() -> None:
    book = ("area k", "every monday", X + "  after y", "every tuesday", Y + "  after x")
    assert {one.rule for one in all_found(*book)} == {"after-other-days"}
    paused = ("area k", "every monday", X + "  after y", Y + "  after x  paused")
    assert found_of("after-circle", *paused) == []


# ------------------------------------------------------------------------- new-without-from

KEPT = ("since 2026-01-01", "area k", "every monday", X, Y)


def test_chore_never_done_in_a_kept_book_is_asked_for_its_from() -> None:
    found = only_of("new-without-from", *KEPT, "2026-01-05 did x", "2026-03-02 did x")
    assert found.place.text == "y"
    assert "counts as missed 9 times" in found.why
    assert "`from 2026-03-04`" in found.fix


def test_chores_of_one_section_are_one_finding() -> None:
    more = ("    z  5 min  in k", "every friday", "    w  5 min  in k")
    found = found_of("new-without-from", *KEPT, *more, "2026-01-05 did x", "2026-03-02 did x")
    assert places(found) == [(5, "y"), (8, "w")]
    assert found[0].message.startswith('"y", and 1 more chore of its section were never done')


def test_first_day_of_the_book_counts_as_missed() -> None:
    record = ("2026-01-01 did x", "2026-01-10 did x")
    book = ("since 2026-01-01", "area k", "every day", X, Y)
    assert "counts as missed 10 times" in only_of("new-without-from", *book, *record).why


@pytest.mark.parametrize(
    ("first", "last", "count"),
    [
        ("2026-01-05", "2026-01-26", 0),
        ("2026-01-05", "2026-01-27", 1),
        ("2026-02-20", "2026-03-02", 0),
    ],
)
def test_record_must_reach_over_more_than_three_periods(first: str, last: str, count: int) -> None:
    found = found_of("new-without-from", *KEPT, f"{first} did x", f"{last} did x")
    assert len(found) == count


@pytest.mark.parametrize(
    "lines",
    [
        ["every monday from 2026-01-01", Y],
        ["every monday", Y + "  from 2026-01-01"],
        ["every monday", Y + "  paused"],
        ["every monday until 2026-02-28", Y],
        ["once from 2026-01-05 to 2026-01-08", Y],
        ["7 days after done", Y],
        ["every month", Y],
        ["every monday", Y, "2026-01-12 skipped y"],
    ],
)
def test_chore_that_may_not_be_new_is_left_alone(lines: list[str]) -> None:
    book = ("since 2026-01-01", "area k", "every monday", X, *lines)
    assert found_of("new-without-from", *book, "2026-01-05 did x", "2026-03-02 did x") == []


def test_windows_that_are_spare_or_not_asked_do_not_count_as_missed() -> None:
    record = ("2026-01-05 did x", "2026-03-02 did x")
    book = ("since 2026-01-01", "area k", "every monday", X)
    assert found_of("new-without-from", *book, Y + "  spare", *record) == []
    away = "rest 2026-01-10 to 2026-01-30"
    found = only_of("new-without-from", away, *book, Y, *record)
    assert "counts as missed 6 times" in found.why


def test_area_without_any_record_is_one_finding_and_not_two() -> None:
    found = all_found(*TWO, "2026-01-05 did x", "2026-03-02 did x")
    assert [one.rule for one in found] == ["neglected-area"]


# ------------------------------------------------------------------------------ long-paused


def test_section_paused_for_a_year_is_found_at_its_header() -> None:
    book = ("since 2024-01-01", "area k", "weekend 4 paused", X, Y)
    found = only_of("long-paused", *book, "2025-02-01 did y")
    assert found.place.text == "weekend 4"
    assert found.message == ('"x", "y" are paused, with no line in the record since Sat 1 Feb 2025')
    assert found_of("long-paused", *book, "2025-03-04 did y") == []


def test_chore_may_have_the_name_of_what_pauses_it() -> None:
    line = "    paused  5 min  in k  paused"
    found = only_of("long-paused", "since 2024-01-01", "area k", "every monday", line, Y)
    assert [edit.start for fix in found.fixes for edit in fix.edits] == [len(line) - 8]


def test_record_without_a_line_of_it_counts_from_the_first_day_of_the_book() -> None:
    book = ("area k", "every monday", X + "  paused", Y)
    assert places(found_of("long-paused", "since 2025-03-02", *book)) == [(4, "x")]
    assert found_of("long-paused", "since 2025-03-04", *book) == []
    assert len(found_of("long-paused", *book, "2025-01-01 did y")) == 1
    assert found_of("long-paused", *book) == []


def test_last_line_of_any_of_its_chores_tells_how_long_a_section_is_paused() -> None:
    record = ("2024-05-01 did x", "2024-06-01 did y", "2025-02-01 did y", "2025-02-02 did z")
    book = ("since 2024-01-01", "area k", "weekend 4 paused", X, Y, "every day", "    z  in k")
    assert "since Sat 1 Feb 2025" in only_of("long-paused", *book, *record).message


def test_record_older_than_the_book_says_when_it_began() -> None:
    book = ("since 2025-12-01", "area k", "every monday", X + "  paused", Y)
    found = only_of("long-paused", *book, "2025-01-01 did y")
    assert found.message.endswith("since Wed 1 Jan 2025, where it begins")


def test_chore_kept_up_elsewhere_and_section_without_from_are_not_paused_for_long() -> None:
    book = ("since 2024-01-01", "area k", "every monday", X, "every friday paused", X)
    assert found_of("long-paused", *book) == []
    assert found_of("long-paused", "since 2024-01-01", "area k", "every 2 weeks", X) == []


# ------------------------------------------------------------------------------- away-twice


@pytest.mark.parametrize(
    ("one", "other", "meet"),
    [
        ("2026-07-04 to 2026-07-18", "2026-07-18 to 2026-07-20", True),
        ("2026-07-04 to 2026-07-18", "2026-07-10", True),
        ("2026-07-04 to 2026-07-18", "2026-07-19", False),
        ("2026-07-04 by tam", "2026-07-04 by noor, tam", True),
        ("2026-07-04 by tam", "2026-07-04 by noor", False),
        ("2026-07-04", "2026-07-04 by noor", False),
    ],
)
def test_days_away_meet_where_people_and_days_are_shared(one: str, other: str, meet: bool) -> None:
    book = ("person noor", "person tam", "area k", "every monday", X)
    assert len(found_of("away-twice", *book, f"away {one}", f"away {other}")) == meet


@pytest.mark.parametrize(
    ("one", "other", "says"),
    [
        ("rest 2026-07-04 to 2026-07-18 by tam", "rest 2026-07-10 by tam", "tam rests by two"),
        ("rest 2026-07-04", "rest from 2026-07-01", "the household rests by two lines on Sat 4"),
        ("rest 2026-07-04 by noor, tam", "rest 2026-07-04 by tam, noor", "tam, noor rest by two"),
        ("away 2026-07-04 to 2026-07-18 by tam", "rest 2026-07-10 by tam", ""),
        ("away from 2026-07-04", "away from 2026-08-01", "two lines from Sat 1 Aug 2026 on"),
        ("away holidays", "away 2026-07-04", ""),
        ("away 2026-07-01", "away 2026-07-04, 2026-07-10, 2026-07-04", "this line twice on Sat 4"),
        ("away 2026-07-01", "away 2026-07-04 to 2026-07-05, 2026-07-06", ""),
    ],
)
def test_rest_is_told_as_days_away_are_and_each_for_itself(one: str, other: str, says: str) -> None:
    days = "days holidays 2026-07-01 to 2026-07-31"
    book = ("person noor", "person tam", "area k", "every monday", X, days, one, other)
    found = found_of("away-twice", *book)
    assert [says in finding.message for finding in found] == [True] * bool(says)


@pytest.mark.parametrize(
    ("one", "other", "written"),
    [
        ("rest from 2026-07-10", "rest 2026-07-04 to 2026-07-12", ["rest from 2026-07-04"]),
        ("away 2026-07-04", "away 2026-07-04", ["away 2026-07-04"]),
        ("away 2026-07-04, 2026-08-01", "away 2026-07-04", []),
    ],
)
def test_two_spans_are_joined_where_each_line_has_one(
    one: str, other: str, written: list[str]
) -> None:
    found = only_of("away-twice", "area k", "every monday", X, one, other)
    assert [fix.edits[0].new for fix in found.fixes] == written


def test_days_away_twice_name_the_days_and_both_lines() -> None:
    book = ("area k", "every monday", X, "away 2026-07-10 to 2026-07-20")
    found = only_of("away-twice", *book, "away 2026-07-04 to 2026-07-12")
    assert (found.place.line, [place.line for place in found.see]) == (4, [3])
    assert "Fri 10 Jul 2026 to Sun 12 Jul 2026" in found.message
    assert "`away 2026-07-04 to 2026-07-20`" in found.fix


def test_of_many_lines_of_one_chore_each_is_told_and_not_each_pair() -> None:
    mondays = [line for n in range(40) for line in (f'every monday "Tin {n}"', "    oven 40 min")]
    found = found_of("overlap", *mondays, "every week", "    oven 40 min")
    assert places(found) == [(line, "oven") for line in range(4, 83, 2)]
    assert {finding.see[0].line for finding in found} == {1}
    few = found_of("overlap", *mondays[:6], "every week", "    oven 40 min")
    assert len(few) == 6
    assert few[0].why == found[0].why


def test_of_thirty_lines_of_one_chore_each_pair_is_told() -> None:
    lines = [line for n in range(31) for line in (f'every monday "Tin {n}"', "    oven 40 min")]
    assert len(found_of("overlap", *lines[:60])) == 30 * 29 // 2
    assert len(found_of("overlap", *lines)) == 30


def test_of_many_lines_those_that_fall_alike_meet_the_first_above_all_of_them() -> None:
    mondays = [line for n in range(40) for line in (f'every monday "Tin {n}"', "    oven 40 min")]
    found = found_of("overlap", "every week", "    oven 40 min", *mondays)
    assert places(found) == [(line, "oven") for line in range(4, 83, 2)]
    assert {finding.see[0].line for finding in found} == {1}


def test_of_many_lines_that_fall_apart_each_is_told_with_the_first_it_meets() -> None:
    """By brute force over the spans."""
    spans = [(n % 7 * 3 + n, n % 7 * 3 + n + n % 5 + (40 if n == 9 else 0)) for n in range(40)]
    # The first of all is the last by its days, and the weeks of the last line meet every one.
    spans[0] = (200, 201)
    days = [tuple(iso(day("2026-04-01") + one) for one in span) for span in spans]
    lines = [
        line
        for first, last in days
        for line in (f"once from {first} to {last}", "    oven 40 min in k")
    ]
    expected = {}
    for later, (first, last) in enumerate(spans):
        earlier = [n for n in range(later) if spans[n][0] <= last and first <= spans[n][1]]
        if earlier:
            expected[later] = earlier[0]
    expected[len(spans)] = 0
    weeks = ("every week", "    oven 40 min in k")
    found = found_of("overlap", "since 2026-01-01", "area k", *lines, *weeks)
    # Line 3 of the book, counted from 0, is that of the first section.
    assert {(f.place.line - 3) // 2: (f.see[0].line - 3) // 2 for f in found} == expected
    assert len(found) == len(expected) > 20
