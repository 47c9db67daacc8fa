"""Rules about days: what lists of days leave a line, what runs out, and who is there."""

from __future__ import annotations

from datetime import date, timedelta
from random import Random

import pytest
from books import day, house, iso, shares
from counted_work import STEEPEST, growth
from lint_books import TODAY, all_found, found_of, mended, only_of, places

from ledger.lint.book import LintedBook
from ledger.lint.rules import RULES
from ledger.lint.rules.nobody_there import left_undone
from ledger.report.due import due
from ledger.text.edits import edited
from ledger.text.finding import Severity
from ledger.text.source import Source
from ledger.workspace import read_sources

X = "    x  5 min  in k"
Y = "    y  5 min  in k"
SCHOOL = ("area k", "days school 2026-01-06 to 2026-03-06, 2026-09-01 to 2026-09-04")


# ---------------------------------------------------------------------------- empty-except


@pytest.mark.parametrize(
    ("header", "marked", "says", "cure"),
    [
        ("every wednesday except wednesday", "except wednesday", "`every wednesday`", ""),
        ("every day except weekend during saturday", "except weekend", "`during` leaves it", ""),
        (
            "every month on 1 except school, july to june",
            "except school, july to june",
            "`every month on 1`",
            "july to june",
        ),
        ("2 times every week during july except july", "except july", "`during` leaves it", ""),
        ("every weekend except sunday, saturday", "except sunday, saturday", "`every weekend`", ""),
        ("every friday except friday, may", "except friday, may", "`every friday`", "friday"),
        (
            "once from 2026-06-01 to 2026-06-10 except june",
            "except june",
            "`once from 2026-06-01 to 2026-06-10`",
            "",
        ),
        (
            "every monday except march from 2026-03-01 until 2026-03-31",
            "except march",
            "takes every day of `every monday`",
            "",
        ),
    ],
)
def test_except_that_takes_every_day_of_a_section_is_named(
    header: str, marked: str, says: str, cure: str
) -> None:
    (found,) = all_found(*SCHOOL, "days camp 2026-05-05 to 2026-05-07", header, X)
    assert (found.rule, found.severity) == ("empty-except", Severity.ERROR)
    assert found.place.text == marked
    assert found.message.startswith(f"`{marked}` takes every day of ")
    assert says in found.message
    assert [fix.title for fix in found.fixes] == [f"Delete `{cure or marked}`"]


@pytest.mark.parametrize(
    "header",
    [
        "every week except wednesday",
        "every weekend except saturday",
        "every month on 31 except july",
        "every monday during school except march",
        "every monday except march until 2026-04-06",
        "every monday except monday paused",
        "every monday except monday until 2026-03-03",
        "14 days after done except january to december",
        "every june during may except june",
    ],
)
def test_except_that_leaves_some_day_or_is_not_the_reason_is_no_fault(header: str) -> None:
    assert found_of("empty-except", *SCHOOL, header, X) == []


def test_except_of_a_chore_may_take_every_day_of_its_section() -> None:
    found = all_found("area k", "every monday during may", X + "  except may", Y)
    assert [(one.rule, *at) for one, at in zip(found, places(found), strict=True)] == [
        ("empty-except", 3, "except may")
    ]
    assert "as it stands no list ever shows x" in found[0].why
    both = all_found("area k", "every monday except may to march", X + "  except april", Y)
    assert places(both) == [(3, "except april")]


def test_except_of_a_section_is_told_once_for_all_its_chores() -> None:
    found = all_found("area k", "every monday except weekday", X + "  except monday", Y)
    assert places(found) == [(2, "except weekday")]
    assert "no list ever shows x, y" in found[0].why


WEEK = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
ITEMS = (*WEEK, "weekday", "weekend", "may", "june to february", "march to april")


def is_held(item: str, on: date) -> bool:
    """True where an item of a list holds a day, by hand."""
    months = {"may": (5,), "june to february": (*range(6, 13), 1, 2), "march to april": (3, 4)}
    if item in months:
        return on.month in months[item]
    if item in WEEK:
        return WEEK[on.weekday()] == item
    return (on.weekday() < 5) == (item == "weekday")


@pytest.mark.parametrize("seed", range(60))
def test_except_takes_every_day_as_the_days_of_a_year_say(seed: int) -> None:
    random = Random(seed)
    cadence = random.choice(["day", "weekday", *WEEK])
    excepted, during = (random.sample(ITEMS, random.randint(1, most)) for most in (4, 2))
    first = date.fromordinal(day(TODAY))
    days = [first + timedelta(days=number) for number in range(366)]
    falls = [on for on in days if cadence == "day" or is_held(cadence, on)]
    kept = [on for on in falls if any(is_held(item, on) for item in during)]
    left = [on for on in kept if not any(is_held(item, on) for item in excepted)]
    header = f"every {cadence} during {', '.join(during)} except {', '.join(excepted)}"
    found = [one.rule for one in all_found("area k", header, X)]
    assert found == ([] if left else ["empty-except" if kept else "never-falls"])


def test_chore_may_be_called_except() -> None:
    line = "    except  5 min  in k  except monday"
    found = only_of("empty-except", "area k", "every monday", line, Y)
    assert found.place.start == len(line) - len("except monday")


# --------------------------------------------------------------------------- limited-pause


@pytest.mark.parametrize(
    ("limit", "cure"),
    [
        ("until 2026-05-01", "from 2026-05-01"),
        ("from 2026-05-01", "until 2026-04-30"),
        ("during august, school", "except august, school"),
        ("except june to august", "during june to august"),
    ],
)
@pytest.mark.parametrize("of_header", [True, False])
def test_limit_behind_paused_is_written_as_what_it_leaves_in_force(
    limit: str, cure: str, of_header: bool
) -> None:
    ends = (f" paused {limit}", "")[:: 1 if of_header else -1]
    book = [*SCHOOL, f"every day{ends[0]}", f"{X}{ends[1]}", Y]
    found = only_of("limited-pause", *book)
    assert found.place.text == f"paused {limit}"
    assert found.message == f"`{limit}` does not limit the pause"
    (fix,) = found.fixes
    (healed,) = edited([found.place.source], fix.edits)
    assert f" {cure}" in healed.text
    assert "paused" not in healed.text
    assert all_found(*healed.lines) == all_found(
        *(line.replace(f" paused {limit}", f" {cure}") for line in book)
    )


def test_formatted_limit_of_a_pause_is_still_found_while_its_day_is_to_come() -> None:
    for until, flag in (("until 2026-03-04", ""), ("until 2026-05-01", " spare")):
        words = f"{until}{flag} paused"
        found = only_of("limited-pause", *SCHOOL, f"every day {words}", X)
        assert found.place.text == words
        assert found.fixes[0].title == f"Write `from {until[-10:]}{flag}`"


@pytest.mark.parametrize(
    "words", ["paused", "during august paused", "until 2026-03-03 paused", 'paused "Until May"']
)
def test_pause_with_nothing_of_days_behind_it_is_no_limited_one(words: str) -> None:
    assert found_of("limited-pause", *SCHOOL, f"every day {words}", X) == []
    assert found_of("limited-pause", *SCHOOL, "every day", f"{X}  {words}", Y) == []


@pytest.mark.parametrize(
    "header",
    [
        "every day paused from 2026-05-01 until 2026-05-31",
        "every day except july paused during august",
    ],
)
def test_limited_pause_whose_days_need_a_name_is_told_so(header: str) -> None:
    found = only_of("limited-pause", *SCHOOL, header, X)
    assert not found.fixes
    assert found.fix.startswith("write `except` and a name for these days")


# ---------------------------------------------------------------------------- idle-expires


def test_flag_of_a_header_is_told_once_with_all_its_chores() -> None:
    found = all_found("area k", "14 days after done expires", X, Y)
    assert [(one.rule, *at) for one, at in zip(found, places(found), strict=True)] == [
        ("idle-expires", 2, "expires")
    ]
    assert found[0].severity is Severity.NOTE
    assert found[0].message == "`expires` has no effect under `14 days after done`"
    assert found[0].why == "x, y stay on the list until they are done, with the flag or without it"


def test_each_flag_is_told_by_itself() -> None:
    found = found_of(
        "idle-expires", "area k", "3 days after done expires", f"{X}  expires", Y, "    z  5 min"
    )
    assert places(found) == [(2, "expires"), (3, "expires")]


def test_two_headers_alike_are_both_told() -> None:
    header = "14 days after done expires"
    found = found_of("idle-expires", "area k", header, X, "every day", "    z  5 min", header, Y)
    assert places(found) == [(2, "expires"), (6, "expires")]
    assert [one.why.split()[0] for one in found] == ["x", "y"]


@pytest.mark.parametrize("header", ["every 14 days from 2026-01-01 expires", "14 days after done"])
def test_flag_that_has_an_effect_or_is_not_there_is_no_fault(header: str) -> None:
    assert found_of("idle-expires", "area k", header, X) == []


def test_chore_called_expires_keeps_its_name() -> None:
    text = "area k\n14 days after done\n    expires  5 min  in k  expires vital\n"
    assert mended(text) == "area k\n\n14 days after done\n    expires  5 min  in k  vital\n"


@pytest.mark.parametrize("clauses", ["", "within 3 days", "during march", "spare", "vital"])
def test_no_list_changes_when_the_flag_is_taken_away(clauses: str) -> None:
    """Every day of two months is asked, with the flag and without it."""
    record = ("2026-03-01 did x", "2026-03-12 moved x to 2026-03-14", "2026-03-30 did x")
    with_flag, without = (
        house("person a", "away 2026-03-05 to 2026-03-09", f"5 days after done {clauses} {flag}",
              "    x 5 min", *record)
        for flag in ("expires", "")
    )  # fmt: skip
    for on in range(day("2026-03-01"), day("2026-05-01")):
        lists = (
            [(one.first, one.last) for share in shares(book, on) if (one := share.shown)]
            for book in (with_flag, without)
        )
        assert next(lists) == next(lists)


# ---------------------------------------------------------------------- part-without-a-day


@pytest.mark.parametrize(
    ("header", "comes", "cure"),
    [
        (
            "3 times every week except monday, tuesday, wednesday",
            "comes 2 times from Mon 2 Mar 2026 to Sun 8 Mar 2026, not 3",
            "2 times every week",
        ),
        (
            "2 times every week during tuesday, wednesday",
            "comes once from Mon 2 Mar 2026 to Sun 8 Mar 2026, not 2",
            "every week",
        ),
        (
            "7 times every week except weekend",
            "comes 5 times from Mon 2 Mar 2026 to Sun 8 Mar 2026, not 7",
            "",
        ),
        (
            "4 times every 12 months from 2026-01-01 during may to september",
            "comes 2 times from Thu 1 Jan 2026 to Thu 31 Dec 2026, not 4",
            "2 times every 12 months",
        ),
        (
            "2 times every 2 weeks from 2026-01-05 during sport",
            "comes once from Mon 2 Mar 2026 to Sun 15 Mar 2026, not 2",
            "every 2 weeks",
        ),
        (
            "3 times every week within 1 day except monday",
            "comes 2 times from Mon 2 Mar 2026 to Sun 8 Mar 2026, not 3",
            "",
        ),
        (
            "7 times every week except june to march, tuesday",
            "comes 6 times from Mon 6 Apr 2026 to Sun 12 Apr 2026, not 7",
            "6 times every week",
        ),
        (
            "3 times every week during school except monday, tuesday, wednesday",
            "comes 2 times from Mon 2 Mar 2026 to Sun 8 Mar 2026, not 3",
            "2 times every week",
        ),
    ],
)
def test_part_of_which_no_day_is_left_says_how_often_it_really_comes(
    header: str, comes: str, cure: str
) -> None:
    sport = "days sport every 2 weeks on tuesday from 2026-01-06"
    found = only_of("part-without-a-day", *SCHOOL, sport, header, X)
    assert found.severity is Severity.WARNING
    assert found.message.partition("` ")[2] == comes
    assert [fix.title for fix in found.fixes] == ([f"Write `{cure}`"] if cure else [])
    first = f"write `{cure}`" if cure else "put x under a cadence that names its days"
    assert found.fix.startswith(f"{first}, or name ")


def test_parts_that_are_lost_are_named() -> None:
    found = only_of("part-without-a-day", "area k", "7 times every week except weekend", X)
    assert found.why == (
        "`except weekend` leaves no day of its parts Sat 7 Mar 2026, Sun 8 Mar 2026; no period of "
        "the year ahead has a day in all its parts"
    )


@pytest.mark.parametrize(
    "header",
    [
        "3 times every week",
        "3 times every week except monday, tuesday",
        "3 times every week during school",
        "3 times every week except school",
        "3 times every month except august",
        "2 times every week during april to october",
        "2 times every january, march except monday",
        "every week except monday, tuesday, wednesday",
        "3 times every week except monday, tuesday, wednesday paused",
        "3 times every week except monday, tuesday, wednesday until 2026-03-03",
        "2 times every week during friday except friday",
        "3 times every week within 1 day during tuesday",
        "2 times every 12 months from 2026-01-01 except trip",
    ],
)
def test_section_whose_parts_all_have_a_day_or_that_never_comes_is_no_fault(header: str) -> None:
    trip = "days trip 2026-01-01 to 2026-07-15, 2027-01-01 to 2027-07-15"
    assert found_of("part-without-a-day", *SCHOOL, trip, header, X) == []


def test_lists_of_a_chore_may_take_a_part_of_its_section() -> None:
    lines = (X + "  except tuesday, wednesday", Y)
    found = found_of("part-without-a-day", "area k", "3 times every week except monday", *lines)
    assert places(found) == [(3, "x")]
    assert found[0].fix == (
        "put x below a header `2 times every week`, or name fewer days behind `except`"
    )
    assert "`except monday except tuesday, wednesday` leaves" in found[0].why


@pytest.mark.parametrize("times", [2, 3, 4, 5, 6, 7])
@pytest.mark.parametrize("left", range(1, 127, 5))
def test_week_loses_a_part_where_no_weekday_of_it_is_left(times: int, left: int) -> None:
    """By hand: seven days in parts, the longer first, Monday to Sunday."""
    names = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
    kept = [index for index in range(7) if left >> index & 1]
    lengths = [7 // times + (number < 7 % times) for number in range(times)]
    firsts = [sum(lengths[:number]) for number in range(times)]
    comes = sum(
        any(first <= day < first + length for day in kept)
        for first, length in zip(firsts, lengths, strict=True)
    )
    during = ", ".join(names[index] for index in kept)
    found = found_of("part-without-a-day", "area k", f"{times} times every week during {during}", X)
    assert len(found) == (comes < times)
    often = "once" if comes == 1 else f"{comes} times"
    assert all(f"comes {often} from" in one.message for one in found)


# ---------------------------------------------------------------------------- days-run-out

DURING = ("every weekday during school", X, Y)
TERMS = "days school 2025-09-01 to 2025-12-19, 2026-01-07 to "


def test_days_that_have_run_out_name_the_lines_that_hang_on_them() -> None:
    (found,) = all_found("area k", TERMS + "2026-02-27", *DURING)
    assert (found.rule, found.severity) == ("days-run-out", Severity.WARNING)
    assert places([found]) == [(2, "school")]
    assert found.message == 'the last day of "school" was Fri 27 Feb 2026'
    assert found.why == "what is kept to these days never comes again: x, y"
    assert "add a line `days school YYYY-MM-DD to YYYY-MM-DD` with the next dates" in found.fix
    assert "write `until 2026-02-27` beside `during`" in found.fix


@pytest.mark.parametrize(("last", "count"), [("2026-03-31", 1), ("2026-04-01", 0)])
def test_household_is_told_four_weeks_before_the_last_of_long_days(last: str, count: int) -> None:
    found = found_of("days-run-out", "area k", TERMS + last, *DURING)
    assert len(found) == count
    assert all(one.message == 'the last day of "school" is Tue 31 Mar 2026' for one in found)
    assert all("never comes after that day: x, y" in one.why for one in found)


@pytest.mark.parametrize(("last", "count"), [("2026-03-28", 0), ("2026-03-29", 1)])
def test_only_days_that_stretch_over_more_than_four_weeks_are_told_before(
    last: str, count: int
) -> None:
    book = ("area k", f"days visit 2026-03-01 to {last}", "every day during visit", X)
    assert len(found_of("days-run-out", *book)) == count


@pytest.mark.parametrize(("on", "count"), [("2026-03-22", 0), ("2026-03-23", 1)])
def test_few_days_are_told_when_they_are_over(on: str, count: int) -> None:
    camp = ("area k", "days camp 2026-03-20 to 2026-03-22", "every day during camp", X)
    assert len(found_of("days-run-out", *camp, on=on)) == count


@pytest.mark.parametrize(
    "lines",
    [
        ("every weekday during school until 2026-03-20", X),
        ("every weekday during school until 2026-02-27", X),
        ("every weekday during school paused", X),
        ("every weekday during school, july", X),
        ("every weekday during school, summer-term", X),
        ("every weekday during sport", X),
        ("once from 2026-02-20 to 2026-03-20 during school", X),
        ("every weekday", X),
        ("every weekday except camp", X),
    ],
)
def test_line_that_goes_on_or_is_over_hangs_on_no_days_that_ran_out(lines: tuple[str, ...]) -> None:
    days = (
        TERMS + "2026-02-27",
        "days summer-term 2026-04-20 to 2026-07-17",
        "days sport every tuesday",
        "days camp 2026-01-20 to 2026-01-24",
    )
    assert found_of("days-run-out", "area k", *days, *lines) == []


@pytest.mark.parametrize(
    ("days", "says"),
    [
        ("days off every 2 weeks on friday from 2025-01-03 until 2026-02-28", "Fri 27 Feb 2026"),
        ("days off every tuesday within 3 days from 2025-09-02 until 2026-03-04", "Wed 4 Mar 2026"),
    ],
)
def test_days_of_a_cadence_run_out_at_their_until(days: str, says: str) -> None:
    found = only_of("days-run-out", "area k", days, "every day during off", X)
    assert says in found.message
    assert found.fix.startswith("write a later `until` behind `days off`")


def test_line_that_has_the_last_day_is_marked_and_of_several_names_the_last_to_end() -> None:
    days = ("days a 2025-01-07 to 2025-12-19", "days b 2026-02-01", "days b 2025-02-01")
    found = only_of("days-run-out", "area k", *days, "every day during a, b", X)
    assert places([found]) == [(3, "b")]


def test_line_that_begins_after_the_last_day_is_told_at_once() -> None:
    book = ("area k", TERMS + "2026-12-18", "every weekday during school from 2027-01-07", X)
    assert "is Fri 18 Dec 2026" in only_of("days-run-out", *book).message
    once = "once from 2027-02-01 to 2027-02-10 during school"
    assert len(found_of("days-run-out", *book[:2], once, X)) == 1


def test_no_end_is_proposed_before_a_line_begins() -> None:
    days = "days camp 2026-02-20 to 2026-02-24"
    found = only_of("days-run-out", "area k", days, "every day during camp from 2026-05-01", X)
    assert found.fix == "add a line `days camp YYYY-MM-DD to YYYY-MM-DD` with the next dates"
    never = "every day during camp from 2026-06-01 until 2026-05-01"
    assert found_of("days-run-out", "area k", days, never, X) == []


def test_days_that_nothing_leaves_out_any_more_are_a_note() -> None:
    holidays = "days off 2025-04-18, 2025-12-25, 2026-01-01"
    found = only_of("days-run-out", "area k", holidays, "every weekday except off", X, Y)
    assert found.severity is Severity.NOTE
    assert found.why == "what leaves such days out comes on the next of them too: x, y"
    assert "take `off` out of the `except` of x, y" in found.fix
    both = only_of(
        "days-run-out",
        "area k",
        holidays,
        "every day except off",
        X,
        "every day",
        Y + " during off",
    )
    assert both.severity is Severity.WARNING
    assert (
        both.why
        == "what is kept to these days never comes again: y; what leaves such days out comes on "
        "the next of them too: x"
    )


def test_until_is_written_at_each_line_that_is_kept_to_the_days() -> None:
    text = (
        "area k\ndays off 2026-02-01\nevery day during off\n  x 5 min in k\n"
        "every day\n  y 5 min in k during off\n  z 5 min in k\n"
    )
    found = only_of("days-run-out", *text.splitlines())
    assert [fix.title for fix in found.fixes if fix.solves] == ["Write `until 2026-02-01`"]
    assert [(edit.line, edit.new) for edit in found.fixes[1].edits] == [
        (2, "  until 2026-02-01"),
        (5, "  until 2026-02-01"),
    ]
    with_until = text.replace("during off\n  z", "during off until 2027-01-01\n  z")
    assert len(only_of("days-run-out", *with_until.splitlines()).fixes) == 1


@pytest.mark.parametrize("seed", range(40))
def test_days_have_run_out_where_no_day_is_left_day_by_day(seed: int) -> None:
    """Random days, as plain sets of dates."""
    random = Random(seed)
    today = day(TODAY)
    spans = []
    for _ in range(random.randint(1, 3)):
        first = today + random.randint(-90, 40)
        spans.append((first, first + random.randint(0, 40)))
    held = {one for first, last in spans for one in range(first, last + 1)}
    left = {one for one in held if one >= today}
    is_long = max(held) - min(held) >= 28
    is_told = not left or (is_long and max(left) < today + 28)
    written = ", ".join(f"{iso(first)} to {iso(last)}" for first, last in spans)
    found = found_of("days-run-out", "area k", f"days off {written}", "every day during off", X)
    assert len(found) == is_told


# ------------------------------------------------------------------------ from-after-until


def test_days_that_end_before_they_begin_are_told_at_their_line_alone() -> None:
    days = "days off every monday from 2026-06-01 until 2026-05-01"
    (found,) = all_found("area k", days, "every day during off", X)
    assert (found.rule, found.place.text) == ("from-after-until", "2026-05-01")
    assert found.message.startswith('this line of "off" begins on Mon 1 Jun 2026 and ends before')
    also = all_found("area k", days, "days off 2026-08-01", "every day during off", X)
    assert [one.rule for one in also] == ["from-after-until"]
    cut = all_found("area k", "days off every month on 31 from 2026-02-01 until 2026-02-28",
                    "every day during off", X)  # fmt: skip
    assert [one.rule for one in cut] == ["never-falls"]


# ---------------------------------------------------------------------------- nobody-there

PEOPLE = ("area k", "person ana", "person ben", "person leo")
AWAY = "away 2026-03-16 to 2026-03-20 by ben"


def nobody(*lines: str) -> str:
    """What the one finding of a book says, with its cure."""
    found = only_of("nobody-there", *PEOPLE, *lines)
    return f"{found.message}; {found.fix}"


@pytest.mark.parametrize(
    ("header", "days"),
    [
        ("every day", "from Mon 16 Mar 2026 to Fri 20 Mar 2026"),
        ("every monday", "on Mon 16 Mar 2026"),
        ("every weekday during march except wednesday", "from Mon 16 Mar 2026 to Tue 17 Mar 2026, "
         "and on 2 more days up to Fri 20 Mar 2026"),
        ("every 3 days from 2026-03-01", "on Mon 16 Mar 2026, and on 1 more day up to Thu 19 Mar"),
        ("once from 2026-03-17 to 2026-03-19", "from Tue 17 Mar 2026 to Thu 19 Mar 2026"),
        ("every month on 16 within 3 days", "from Mon 16 Mar 2026 to Wed 18 Mar 2026"),
        ("4 days after done", "from Mon 16 Mar 2026 to Fri 20 Mar 2026"),
        ("every day until 2026-03-17", "from Mon 16 Mar 2026 to Tue 17 Mar 2026"),
    ],
)  # fmt: skip
def test_days_on_which_nobody_is_there_are_told_once_a_line(header: str, days: str) -> None:
    found = only_of("nobody-there", *PEOPLE, AWAY, header, X + " by ben vital", Y)
    assert found.severity is Severity.WARNING
    assert found.place.text == "by ben"
    assert [place.line for place in found.see] == [4]
    assert found.message.startswith(f'nobody is there to do "x" {days}')
    assert found.why == "it is vital, and ben is away then, so it is left undone"
    assert [fix.title for fix in found.fixes] == ["Write `by ben or ana`", "Write `by ben or leo`"]


@pytest.mark.parametrize(
    "lines",
    [
        (AWAY, "every day", X + " by ben"),
        (AWAY, "every day", X + " vital"),
        (AWAY, "every day", X + " by ben or ana vital"),
        (AWAY, "every day", X + " by each of leo, ben vital"),
        (AWAY, "every week", X + " by ben vital"),
        (AWAY, "every sunday", X + " by ben vital"),
        (AWAY, "every day paused", X + " by ben vital"),
        (AWAY, "every day vital", X + " by ben spare"),
        (AWAY, "every day until 2026-03-15", X + " by ben vital"),
        (AWAY, "every day except march", X + " by ben vital"),
        (AWAY, "once from 2026-03-17 to 2026-03-21", X + " by ben vital"),
        (AWAY, "4 days after done within 3 days", X + " by ben vital", "2026-03-04 did x"),
        (AWAY, "6 days after done within 2 days", X + " by ben vital", "2026-03-04 did x"),
        (AWAY, "away 2026-03-16 to 2026-03-20", "every day", X + " by ben vital"),
        ("rest 2026-03-16 to 2026-03-20 by ben", "every day", X + " by ben vital"),
        ("away 2026-02-16 to 2026-03-03 by ben", "every day", X + " by ben vital"),
        ("away 2027-03-06 by ben", "every day", X + " by ben vital"),
    ],
)
def test_line_that_someone_can_do_or_that_is_not_vital_is_no_fault(lines: tuple[str, ...]) -> None:
    assert found_of("nobody-there", *PEOPLE, *lines) == []


@pytest.mark.parametrize(
    ("header", "record"),
    [
        ("every 2 weeks on monday from 2026-03-16 until 2026-04-01", "2026-03-13 did x"),
        ("once from 2026-03-17 to 2026-03-19", "2026-03-13 did x"),
        ("once from 2026-03-17 to 2026-03-19", "2026-03-13 moved x to 2026-03-25"),
        ("every monday from 2026-03-16", "2026-03-13 moved x to 2026-03-22"),
        ("6 days after done from 2026-03-17", "2026-03-13 moved x to 2026-03-21"),
    ],
)
def test_what_the_record_has_settled_or_moved_needs_nobody(header: str, record: str) -> None:
    book = (*PEOPLE, AWAY, header, X + " by ben vital")
    assert len(found_of("nobody-there", *book, on="2026-03-13")) == 1
    assert found_of("nobody-there", *book, record, on="2026-03-13") == []


def test_after_done_is_told_where_the_record_lets_it_fall() -> None:
    """Done on the 5th of March, it falls on the 15th, a Sunday, or on the 17th."""
    book = (*PEOPLE, AWAY, "10 days after done", X + " by ben vital")
    found = only_of("nobody-there", *book, "2026-03-07 did x", on="2026-03-08")
    assert "from Tue 17 Mar 2026 to Fri 20 Mar 2026" in found.message
    assert found_of("nobody-there", *book, "2026-03-05 did x", on="2026-03-08") == []


def test_who_is_there_instead_is_proposed_in_the_form_of_the_line() -> None:
    both = "away 2026-03-18 by leo"
    assert nobody(AWAY, both, "every day", X + " by ben vital").endswith(
        "write `by ben or ana`, or mend the dates of `away`"
    )
    assert nobody(AWAY, both, "every day", X + " by leo then ben vital").endswith(
        "write `by leo then ben then ana`, or mend the dates of `away`"
    )
    long = ("away 2026-03-17 to 2026-03-20 by ana", "away 2026-03-20 by leo")
    assert nobody(AWAY, *long, "every day", X + " by ben vital").endswith(
        "write `by ben or leo` for 4 of these 5 days, or mend the dates of `away`"
    )
    assert nobody(AWAY, "every day", X + " by ana and ben vital") == (
        'not everyone is there to do "x" from Mon 16 Mar 2026 to Fri 20 Mar 2026; write `by ana or '
        "ben` if one of them can do it, or mend the dates of `away`"
    )


def test_two_who_do_it_together_can_do_it_alone_in_turn() -> None:
    found = only_of(
        "nobody-there",
        *PEOPLE,
        "away 2026-03-16 to 2026-03-18 by ben",
        "away 2026-03-18 to 2026-03-20 by ana",
        "every day",
        X + " by ana and ben vital",
    )
    assert found.fix.startswith(
        "write `by ana or ben` if one of them can do it for 4 of these 5 days, or mend "
    )


def test_absences_of_the_first_days_are_shown() -> None:
    also = ("away 2026-08-03 by ben", "away 2026-03-16 by leo", "rest 2026-03-16 by ben")
    found = only_of("nobody-there", *PEOPLE, *also, AWAY, "every day", X + " by ben vital")
    assert [place.line for place in found.see] == [7]


def test_where_nobody_is_left_at_home_no_name_is_proposed() -> None:
    everyone = ("away 2026-03-16 to 2026-03-20 by ana, leo", AWAY)
    for line in (
        X + " vital",
        X + " by ben vital",
        X + " by ana and ben vital",
        X + " by each vital",
    ):
        found = only_of("nobody-there", *PEOPLE, *everyone, "every day", line)
        assert found.fixes == ()
        assert found.fix.startswith("mend the dates of `away`, or ")
    each = only_of("nobody-there", *PEOPLE, *everyone, "every day", X + " by each vital")
    assert (
        "leave out its `by` if the home"
        in only_of("nobody-there", *PEOPLE, *everyone, "every day", X + " vital").fix
    )
    assert each.why.startswith("it is vital, and ana, ben, leo are away then")
    assert each.place.text == "x"


def test_many_absences_of_named_days_are_one_finding() -> None:
    days = "days at-dads every 2 weeks on friday within 3 days from 2026-03-06"
    found = only_of(
        "nobody-there", *PEOPLE, days, "away at-dads by leo", "every day", X + " by leo vital"
    )
    assert found.message == (
        'nobody is there to do "x" from Fri 6 Mar 2026 to Sun 8 Mar 2026, and on 75 more days up '
        "to Sun 21 Feb 2027"
    )


@pytest.mark.parametrize("seed", range(30))
def test_nobody_is_there_as_the_lists_of_all_days_to_come_say(seed: int) -> None:
    """Random absences; each day of the weeks to come is asked for its list."""
    random = Random(seed)
    low = day(TODAY)
    lines = [*PEOPLE, f"since {TODAY}"]
    for _ in range(random.randint(1, 6)):
        first = low + random.randint(-3, 30)
        who = random.choice(["", " by ana", " by ben", " by leo", " by ana, ben", " by ben, leo"])
        lines.append(f"away {iso(first)} to {iso(first + random.randint(0, 12))}{who}")
    by = random.choice(["", " by ben", " by ana or ben", " by ben and leo", " by leo then ana"])
    header = random.choice(["every day", "every weekday", "every tuesday, friday during march"])
    workspace = read_sources(
        [Source("a", "\n".join([*lines, header, f"{X}{by} vital expires", ""]))]
    )
    book = LintedBook(workspace.trees, workspace.household.on(low))
    (line,) = book.household.chores["x"].routines
    told = {one for first, last in left_undone(book, "x", line) for one in range(first, last + 1)}
    listed = {on for on in range(low, low + 60) if due(workspace.household.on(on), on).nobody_there}
    assert told == listed


# ------------------------------------------------------------------------ work as books grow

HEADERS = (
    "every day vital",
    "every weekday during school",
    "3 times every week except monday, tuesday, wednesday",
    "every monday except monday",
    "14 days after done expires vital",
    "once from 2026-12-01 to 2026-12-20 vital",
    "365 times every 12 months from 1970-01-01 except off",
    "every weekday except off",
)
OF_DAYS = ("nobody-there", "days-run-out", "idle-expires", "part-without-a-day", "empty-except")


def of_many(sections: int, on: str) -> LintedBook:
    """A book of so many sections, looked at on a day."""
    lines = [*PEOPLE, "since 1970-01-01", "days off every tuesday from 1970-01-06"]
    for number in range(sections):
        lines += [
            f"days school {1980 + number}-01-07 to {1980 + number}-07-01",
            f"away {iso(day(on) - number)} by ben",
            f'{HEADERS[number % len(HEADERS)]} "{number}"',
            f"    x{number} 5 min in k by ben",
            f"    y{number} 5 min in k by ben except off, may",
        ]
    workspace = read_sources([Source("a", "\n".join([*lines, ""]))])
    book = LintedBook(workspace.trees, workspace.household.on(day(on)))
    # Other rules ask for it too.
    assert book.ahead
    return book


@pytest.mark.parametrize("on", ["2026-03-04", "9999-12-01"])
@pytest.mark.parametrize("rule", OF_DAYS)
def test_work_of_a_rule_grows_as_the_book_does(rule: str, on: str) -> None:
    check = RULES[rule].check
    assert check is not None
    assert growth(lambda book: list(check(book)), lambda n: of_many(n, on), 8) <= STEEPEST
