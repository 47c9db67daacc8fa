"""The file of `besom calendar`: what it holds against what the book says, and what is refused."""

from __future__ import annotations

import subprocess
import sys
from dataclasses import replace
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
import recurring_ical_events
from books import day, house, iso
from click.testing import Result
from hypothesis import given
from hypothesis import strategies as st
from test_cli import EXAMPLE, ROOT, besom, stop_clock

from ledger.homes import find_homes
from ledger.household.model import Household
from ledger.keeping.history import shares_of
from ledger.keeping.occasion import Occasion
from ledger.keeping.remaining import remaining_windows
from ledger.report.as_kept import did_line
from ledger.report.calendar import calendar_of
from ledger.report.due import due
from ledger.report.scope import Scope

NOW = datetime(2026, 11, 26, 20)
TODAY = NOW.date().toordinal()


@pytest.fixture(autouse=True)
def on_a_thursday(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An empty current folder, on Thursday 26 November 2026 at eight in the evening."""
    monkeypatch.chdir(tmp_path)
    stop_clock(monkeypatch, NOW)


def write(*lines: str) -> None:
    """The book of the current folder."""
    Path("home.chores").write_text("\n".join(["since 2026-01-01", *lines, ""]), "utf-8")


def components(data: bytes) -> list[Any]:
    """The events and to-dos of a file."""
    file = icalendar.Calendar.from_ical(data)
    return [one for one in file.walk() if one.name in ("VEVENT", "VTODO")]


def exported(*words: str) -> list[Any]:
    """The events and to-dos of a call that writes to standard output."""
    result = besom("calendar", *words)
    assert result.exit_code == 0
    return components(result.stdout_bytes)


def only(*words: str) -> Any:
    (one,) = exported(*words)
    return one


def shown(*words: str, until: str = "2029-12-31") -> list[tuple[str, str, str]]:
    """What a reader of the file shows: first day, last day and summary of each time, in order."""
    file = icalendar.Calendar.from_ical(besom("calendar", *words).stdout_bytes)
    reader = recurring_ical_events.of(file, components=["VEVENT", "VTODO"])
    times = reader.between(date(2026, 1, 1), date.fromisoformat(until) + timedelta(days=1))
    return sorted(
        (str(one["dtstart"].dt)[:10], str(last_of(one)), str(one["summary"])) for one in times
    )


def last_of(one: Any) -> date:
    if one.name == "VEVENT":
        return date.fromordinal(one["dtend"].dt.toordinal() - 1)
    due_by: datetime = one["due"].dt
    return due_by.date()


def said(*words: str) -> str:
    """The error of a call that ends with 2 and prints no answer."""
    result = besom("calendar", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    return " ".join(result.stderr.partition("Error: ")[2].split())


# ------------------------------------------------------------------------- against the book's lists


def test_each_day_of_a_year_lists_what_the_calendar_puts_on_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Whoever does all on the day it is first listed meets just what was exported on the first."""
    monkeypatch.chdir(ROOT)
    household = find_homes([Path(EXAMPLE)])[0].workspace().household.on(TODAY)
    expected: dict[int, set[str]] = {}
    for entry in calendar_of(household, TODAY, 1).entries:
        for first, _ in entry.spans:
            expected.setdefault(max(first, TODAY), set()).update(one.chore for one in entry.lines)
    # Only the next window of these is exported: it is the first that is listed.
    hanging = {name for name, one in household.chores.items() if one.is_after_done}
    waited_for = set(hanging)
    for today in range(TODAY, TODAY + 365):
        household = household.on(today)
        open_today = open_windows(household, today)
        if today % 14 == 0:
            assert {one.chore for one in open_today} == listed_by_due(household, today)
        listed = {one.chore for one in open_today if not one.is_late or comes_no_more(one)}
        assert listed - hanging == expected.get(today, set()) - hanging, iso(today)
        assert listed & waited_for == expected.get(today, set()) & hanging, iso(today)
        waited_for -= listed
        done = household.log.with_lines([(today, did_line(one)) for one in open_today])
        household = replace(household, log=done)
    assert not waited_for


def open_windows(household: Household, today: int) -> list[Occasion]:
    """The windows that the list of a day shows."""
    return [
        share.shown
        for chore in household.chores.values()
        for share in shares_of(household, chore, today, today)
        if share.shown is not None
    ]


def listed_by_due(household: Household, today: int) -> set[str]:
    found = due(household, today)
    let_go = (one.task for one in found.let_go)
    tasks = (*found.late, *found.today, *found.may_wait, *found.waiting, *let_go)
    return {task.chore for task in tasks}


def comes_no_more(one: Occasion) -> bool:
    cadence = one.routine.section.cadence
    return cadence.is_once or cadence.is_after_done


@pytest.mark.parametrize("person", [None, "noor", "edie"])
def test_windows_of_chores_are_those_still_to_be_done(
    person: str | None, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(ROOT)
    household = find_homes([Path(EXAMPLE)])[0].workspace().household.on(TODAY)
    calendar = calendar_of(household, TODAY, 1, Scope(person), by_chore=True)
    last = calendar.last.toordinal()
    found = {
        (entry.chore, span)
        for entry in calendar.entries
        for span in entry.spans
        if span[1] <= last and not entry.lines[0].again and entry.lines[0].late is None
    }
    expected = {
        (one.chore, (one.first, one.last))
        for one in remaining_windows(household, TODAY, last)
        if not one.is_late and not one.routine.section.is_after_done
        if person is None or is_of(one, person)
    }
    assert found == expected


def is_of(one: Any, person: str) -> bool:
    from ledger.calendar.presence import there
    from ledger.keeping.turns import people_for

    people = people_for(one)
    asked = one.timeline.line_of(one.routine).asked
    present = there(one.timeline.household, person, one.routine.vital) & asked
    return (not people or person in people) and present.any(one.first, one.last)


# ------------------------------------------------------------------------------------ what is told


def test_a_container_is_told_with_all_that_one_needs_to_begin() -> None:
    write(
        "person ana", "person leo", 'area bath "Bath and hall"', "area kitchen", "",
        'every weekend "Bath tin"',
        '    scrub   20 min  in bath  by ana or leo  uses bleach, gloves  "Scrub, rinse; wipe"',
        "        - Open the window", "        - Rinse twice",
        "    mirror   5 min  in bath, kitchen  by each  after scrub",
        "    floor   15 min  by ana and leo  vital",
        "    photos  30 min  spare", "    shed  1 h  paused",
    )  # fmt: skip
    one = only()
    assert one["summary"] == "Bath tin, 1 h"
    text = str(one["description"]).split("\n")
    assert text[:11] == [
        "Until Sunday", "",
        "Scrub, rinse; wipe: 20 min, Bath and hall, ana or leo",
        "- Open the window", "- Rinse twice",
        "mirror: 2 × 5 min, Bath and hall, kitchen, each of ana, leo",
        "floor: 2 × 15 min, ana and leo, vital",
        "photos: 30 min, spare: only if time is left, not in the minutes above",
        "",
        "Mind bleach: mix it with nothing but water, as its label says; open a window; wear gloves "
        "[CDC, cleaning and disinfecting notice CS316270A, 2020 (copy)]",
        "Follow the product's label and local rules, and call a licensed trade where one is "
        "required.",
    ]  # fmt: skip
    assert len(text) == 11
    assert one["categories"].cats == ["Bath and hall", "kitchen"]
    assert one["rrule"].to_ical().decode() == "FREQ=WEEKLY;UNTIL=20281125;BYDAY=SA"
    assert shown()[0] == ("2026-11-28", "2026-11-28", "Bath tin, 1 h")


UNTILS = [
    ("every day", None),
    ("every weekend", "Until Sunday"),
    ("every week", "Until Sunday"),
    ("every month", "Until the end of the month"),
    ("every 3 months from 2026-01-01", "Until the end of the month"),
    ("every month on 1 within 7 days", "Within 7 days"),
    ("2 times every month", "Within 15 days"),
    ("once from 2026-12-01 to 2026-12-20", "Until Sunday 20 December 2026"),
]


@pytest.mark.parametrize(("header", "words"), UNTILS)
def test_until_when_is_said_in_words_that_are_true_each_time(
    header: str, words: str | None
) -> None:
    write(header, "    x  5 min")
    texts = {str(one["description"]) for one in exported()}
    assert any(text.startswith(words or "x: 5 min") for text in texts)


def test_days_with_other_chores_people_or_ends_are_entries_of_their_own() -> None:
    write(
        "person ana", "person leo", "away 2026-12-05 to 2026-12-06 by leo",
        'every day "Tin"', "    a  5 min", "    b  5 min  except weekend", "    c  5 min  by leo",
    )  # fmt: skip
    found: dict[str, str] = {}
    for one in exported("--only", "Tin"):
        found[str(one["description"])] = one["rrule"].to_ical().decode() if "rrule" in one else ""
    a, b, c = "a: 5 min", "b: 5 min", "c: 5 min, leo"
    assert found == {
        f"{a}\n{b}\n{c}": "FREQ=WEEKLY;UNTIL=20281124;BYDAY=MO,TU,WE,TH,FR",
        f"{a}\n{c}": "FREQ=WEEKLY;UNTIL=20281125;BYDAY=SA,SU",
        a: "FREQ=DAILY;UNTIL=20261206",
    }
    assert [one[0] for one in shown("--only", "Tin", until="2026-12-10")] == [
        iso(TODAY + n) for n in range(15)
    ]


def test_turns_are_told_by_name_and_a_person_has_only_their_own() -> None:
    write("person ana", "person leo", "every day", "    wash  5 min  by ana then leo")
    ana, leo = sorted(exported(), key=lambda one: str(one["description"]))
    assert (ana["description"], leo["description"]) == ("wash: 5 min, ana", "wash: 5 min, leo")
    both = [one[0] for one in shown()]
    mine = [one[0] for one in shown("--for", "leo")]
    assert sorted([*mine, *(one[0] for one in shown("--for", "ana"))]) == both
    assert len(mine) in (365, 366)


def test_a_share_of_each_is_one_entry_and_of_a_person_their_own_minutes() -> None:
    write("person ana", "person leo", "every monday", "    desk  10 min  by each")
    assert only("--chores")["summary"] == "desk, 20 min"
    assert only("--chores", "--for", "leo")["summary"] == "desk, 10 min"


def test_who_is_away_is_told_nothing_and_named_nowhere() -> None:
    write(
        "person ana", "person leo", "away 2026-11-30 by leo", "every monday", "    x  by ana or leo"
    )
    assert [str(one["description"]) for one in exported()] == ["x: ana or leo", "x: ana"]
    assert shown("--for", "leo")[0][0] == "2026-12-07"
    assert shown("--for", "ana")[0][0] == "2026-11-30"


def test_done_skipped_moved_and_excused_windows_are_where_the_list_has_them() -> None:
    write(
        "away 2026-12-21 to 2026-12-27",
        "every saturday", "    done  5 min", "    skip  5 min", "    move  5 min",
        "2026-11-21 did done, skip, move",
        "2026-11-26 did done", "2026-11-26 skipped skip", "2026-11-26 moved move to 2026-12-03",
    )  # fmt: skip
    times: dict[str, list[str]] = {"done": [], "skip": [], "move": []}
    for first, last, name in shown("--chores", until="2027-01-05"):
        assert first == last
        times[name.partition(",")[0]].append(first)
    later = ["2026-12-05", "2026-12-12", "2026-12-19", "2027-01-02"]
    assert times == {"done": later, "skip": later, "move": ["2026-12-03", *later]}


def test_after_done_has_its_next_time_and_says_so_once() -> None:
    write(
        "10 days after done", "    a  5 min", "    b  5 min", "every monday", "    c",
        "2026-11-20 did a", "2026-11-24 did b",
    )  # fmt: skip
    result = besom("calendar", "--years", "10")
    assert result.stderr == (
        "besom: 2 chores come round after they are done: only the next time of each is in the "
        "calendar\n"
    )
    a, b, _ = components(result.stdout_bytes)
    assert (a["dtstart"].dt, b["dtstart"].dt) == (date(2026, 11, 30), date(2026, 12, 4))
    assert "rrule" not in a
    assert a["description"].endswith(
        "It comes round again 10 days after it is done. This is the next time; later ones are not "
        "known yet."
    )


def test_what_is_late_is_on_no_day_unless_it_comes_round_no_more_by_itself() -> None:
    write(
        "every wednesday", "    weekly", "once from 2026-11-01 to 2026-11-10", "    once",
        "10 days after done", "    hanging", "2026-11-01 did hanging",
    )  # fmt: skip
    times = shown(until="2026-12-02")
    assert [(one[0], one[2].rpartition(" ")[2]) for one in times] == [
        ("2026-11-26", "hanging"), ("2026-11-26", "once"), ("2026-12-02", "weekly"),
    ]  # fmt: skip
    (once,) = (one for one in exported() if str(one["summary"]).endswith("once"))
    assert once["description"] == "once: late, its last day was Tuesday 10 November 2026"


def test_what_is_open_today_has_the_days_that_it_has() -> None:
    write("every week", "    x")
    assert shown()[0][:2] == ("2026-11-23", "2026-11-23")
    assert shown("--chores")[0][:2] == ("2026-11-23", "2026-11-29")
    write("every week", "    x", "2026-11-24 did x")
    assert shown()[0][:2] == ("2026-11-30", "2026-11-30")


def test_months_of_unlike_length_are_whole_and_no_longer() -> None:
    write("every month", "    x")
    times = shown("--chores", until="2027-04-30")
    assert [one[:2] for one in times] == [
        ("2026-11-01", "2026-11-30"), ("2026-12-01", "2026-12-31"), ("2027-01-01", "2027-01-31"),
        ("2027-02-01", "2027-02-28"), ("2027-03-01", "2027-03-31"), ("2027-04-01", "2027-04-30"),
    ]  # fmt: skip


def test_only_a_container_or_an_area() -> None:
    write("area bath", "area hall", 'every day "One"', "    a  in bath", "    b  in hall",
          'every day "Two"', "    c  in bath")  # fmt: skip
    assert [str(one["description"]) for one in exported("--in", "bath")] == ["a: bath", "c: bath"]
    assert [str(one["summary"]) for one in exported("--only", "two")] == ["Two: c"]
    assert only("--only", "One", "--in", "bath", "--chores")["summary"] == "a"


@pytest.mark.parametrize(
    ("years", "last"), [(1, "2027-11-25"), (2, "2028-11-25"), (3, "2029-11-25")]
)
def test_years_are_counted_from_the_day_on(years: int, last: str) -> None:
    write("every day", "    x")
    times = shown("--years", str(years))
    assert (times[0][0], times[-1][0]) == ("2026-11-26", last)


def test_the_end_of_the_calendar_is_no_fault() -> None:
    write(
        "every day", "    x", "every month", "    y", "once from 9999-12-01 to 9999-12-31", "    z"
    )
    for words in ([], ["--chores"], ["--todo"], ["--chores", "--todo"]):
        assert len(exported("--on", "9999-06-01", "--years", "10", *words)) >= 3
    # There is no day after the last one, and DTEND would have to be that.
    entry = only("--on", "9999-12-01", "--chores", "--only", "every month")
    assert ("dtend" in entry, entry["duration"].to_ical()) == (False, b"P31D")


def test_a_day_to_come_takes_what_is_before_it_as_kept() -> None:
    write("10 days after done", "    x", "2026-11-24 did x")
    assert shown("--on", "2026-12-10")[0][0] == "2026-12-14"


# -------------------------------------------------------------------------- RFC 5545, to the letter


def test_lines_are_folded_at_75_octets_and_end_with_cr_lf() -> None:
    write('every day "' + "窓é🧺" * 40 + '"', '    x  5 min  "' + "a, b; c" * 40 + '"')
    lines = besom("calendar").stdout_bytes.split(b"\r\n")
    assert max(map(len, lines)) == 75
    assert lines.pop() == b""
    assert not any(b"\n" in line or b"\r" in line for line in lines)
    for line in lines:
        line.decode("utf-8")  # No character is parted.


HOSTILE = [
    r"a, b; c: d", r"typed \\n and \\N and \\\\ and \\;", r"\"quoted\" = ^n", "x" * 200,
    "👨‍👩‍👧‍👦" * 30, "שלום עולם", "END:VEVENT", " BEGIN:VALARM ", "%s {0} & <b>",
]  # fmt: skip


@pytest.mark.parametrize("title", HOSTILE)
def test_titles_are_read_back_as_the_book_has_them(title: str) -> None:
    write(
        f'area bath "{title}"', f'every day "{title}"', f'    x  in bath  "{title}"',
        f"        - {title.strip()}",
    )  # fmt: skip
    plain = title.replace(r"\"", '"').replace(r"\\", "\\")
    one = only()
    assert one["summary"] == f"{plain}: {plain}"
    assert one["description"] == f"{plain}: {plain}\n- {title.strip()}"
    assert one["categories"].cats == [plain]


@given(st.text(st.characters(exclude_categories=["C", "Z"], include_characters=" "), max_size=90))
def test_any_title_is_read_back(title: str) -> None:
    from ledger.render.as_icalendar import Form, to_icalendar

    household = house("since 2026-01-01", "every day", "    x").on(TODAY)
    chores = {"x": household.chores["x"]._replace(title=title)}
    calendar = calendar_of(replace(household, chores=chores), TODAY, 1, by_chore=True)
    made = NOW.astimezone()
    (one,) = components(to_icalendar(calendar, Form(made)))
    assert str(one["summary"]) == title


def test_an_entry_of_days_is_as_in_the_examples_of_the_rfc() -> None:
    """RFC 5545, section 3.6.1: a multi-day event from June 28th to July 8th, 2007, inclusively, has
    DTEND on July 9th; an anniversary is a DATE that recurs each year. Both take nobody's time."""
    book = ("once from 2007-06-28 to 2007-07-08", "    festival", "every november on 2", "    vows")
    Path("home.chores").write_text("\n".join(("since 1997-01-01", *book, "")), "utf-8")
    festival, vows = exported("--chores", "--on", "1997-11-02", "--years", "10")
    lines = festival.to_ical().decode().split("\r\n")
    for line in ("DTSTART;VALUE=DATE:20070628", "DTEND;VALUE=DATE:20070709", "TRANSP:TRANSPARENT"):
        assert line in lines
    assert "DTSTART;VALUE=DATE:19971102" in vows.to_ical().decode().split("\r\n")
    assert vows["rrule"]["freq"] == ["YEARLY"]


REMINDERS = [("20:00", "-PT4H"), ("23:30", "-PT30M"), ("7:05", "-PT16H55M"), ("00:00", "-P1D")]


@pytest.mark.parametrize(("time", "trigger"), REMINDERS)
@pytest.mark.parametrize("words", [[], ["--todo"], ["--chores"]])
def test_a_reminder_counts_back_from_the_midnight_on_which_the_day_begins(
    time: str, trigger: str, words: list[str]
) -> None:
    """RFC 5545, section 3.6.6, has a display alarm with TRIGGER:-PT30M; by 3.8.6.3 it counts from
    00:00:00 where the reader is, if DTSTART is a date."""
    write("every monday", "    x  5 min")
    one = only("--reminder", time, *words)
    (alarm,) = one.walk("VALARM")
    assert alarm["trigger"].to_ical().decode() == trigger
    assert (alarm["action"], alarm["description"]) == ("DISPLAY", one["summary"])
    starts = datetime.combine(date(2026, 11, 30), datetime.min.time())
    hour, minute = map(int, time.split(":"))
    assert starts + alarm["trigger"].dt == datetime(2026, 11, 29, hour, minute)
    if words == ["--todo"]:
        assert one["dtstart"].dt == starts


@pytest.mark.parametrize("header", ["every day", "every weekend", "every month", "weekend 1"])
@pytest.mark.parametrize("words", [["--todo"], ["--todo", "--chores"]])
def test_a_to_do_is_due_on_the_last_second_of_its_last_day(header: str, words: list[str]) -> None:
    """RFC 5545, section 3.8.2.3: DUE is later than DTSTART, and of the same type; by 3.3.10 UNTIL
    has that type too."""
    write(header, "    x")
    for one in exported(*words):
        start, end = one["dtstart"].dt, one["due"].dt
        assert start < end
        assert (start.tzinfo, end.tzinfo) == (None, None)
        assert (str(start.time()), str(end.time())) == ("00:00:00", "23:59:59")
        if "rrule" in one:
            assert all(isinstance(until, datetime) for until in one["rrule"]["until"])
        assert "transp" not in one
    assert [one[:2] for one in shown(*words)] == [one[:2] for one in shown("--chores")]


def test_days_that_are_excepted_are_of_the_type_of_dtstart() -> None:
    """RFC 5545, section 3.8.5.1: an EXDATE is a DATE-TIME unless it says otherwise."""
    write("away 2026-12-01 to 2026-12-03", "every day", "    x")
    assert b"\r\nEXDATE;VALUE=DATE:20261201,20261202,20261203\r\n" in besom("calendar").stdout_bytes
    assert b"\r\nEXDATE:20261201T000000,2" in besom("calendar", "--todo").stdout_bytes


def test_the_file_names_its_maker_its_version_and_its_household() -> None:
    write('household "Flat, 3"', "person leo", "area bath", "every day", "    x  in bath")
    for words, name in (([], "Flat, 3"), (["--for", "leo", "--in", "bath"], "Flat, 3, leo, bath")):
        file = icalendar.Calendar.from_ical(besom("calendar", *words).stdout_bytes)
        assert file["version"] == "2.0"
        assert file["prodid"] == "-//besom//besom calendar//EN"
        # RFC 7986, section 5.1: NAME is a text, so its commas are escaped.
        text = name.replace(",", r"\,").encode()
        assert (file["name"].to_ical(), file["x-wr-calname"].to_ical()) == (text, text)
        assert "method" not in file


# --------------------------------------------------------------------------------- importing again


def test_each_export_has_a_later_stamp_and_a_higher_sequence(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    write("every day", "    x")
    before = only()
    stop_clock(monkeypatch, NOW + timedelta(minutes=1))
    after = only()
    assert before["uid"] == after["uid"]
    assert 0 < before["sequence"] < after["sequence"] < 2**31
    assert before["dtstamp"].dt < after["dtstamp"].dt == after["last-modified"].dt
    assert after["dtstamp"].dt.utcoffset() == timedelta(0)


BOOK = (
    'household "Flat"', "person ana", "person leo", "away 2027-02-01 to 2027-02-07 by leo",
    'every day "Tin"', "    a  5 min  by ana then leo", "    b  5 min  by each",
    "every weekend", "    c  5 min", "    d  5 min  during may to september",
    "every month", "    e  5 min",
)  # fmt: skip


def uids(*words: str) -> dict[str, list[str]]:
    """The UIDs with what they stand for."""
    found = {str(one["uid"]): [str(one["summary"])] for one in exported(*words)}
    assert len(found) == len(exported(*words))
    return found


@pytest.mark.parametrize("words", [[], ["--chores"], ["--todo"], ["--for", "leo"]])
def test_importing_on_another_day_updates_what_is_there(words: list[str]) -> None:
    """The same book on later days has the same entries; those that are gone are past."""
    write(*BOOK)
    first = uids(*words)
    for later in ("2026-11-27", "2026-12-01", "2026-12-12", "2027-01-31"):
        again = uids(*words, "--on", later, "--years", "1")
        assert again.keys() <= first.keys()
    past = uids(*words).keys() - uids(*words, "--on", "2027-03-01").keys()
    ends = {str(one["uid"]): last_time(one) for one in exported(*words)}
    assert all(ends[uid] < day("2027-03-01") for uid in past)


def last_time(one: Any) -> int:
    dates = [one["dtstart"].dt, *(one["rrule"]["until"] if "rrule" in one else ())]
    return max(int(when.toordinal()) for when in dates)


def test_another_chore_in_a_container_and_a_moved_chore_leave_the_entries_what_they_are() -> None:
    write(*BOOK)
    before = uids()
    write(*BOOK[:6], "    new  7 min", *BOOK[6:])
    assert uids().keys() == before.keys()
    write("weekend 1", "    a", "    b", "weekend 2", "    c")
    chores = uids("--chores")
    write("weekend 1", "    a", "weekend 2", "    b", "    c")
    assert uids("--chores") == chores


def test_a_chore_of_a_container_may_be_paused_and_one_after_done_be_done_alone() -> None:
    write("every monday", "    a", "    b  paused", "10 days after done", "    c", "    d",
          "2026-11-20 did c, d")  # fmt: skip
    both = uids()
    write("every monday", "    a", "10 days after done", "    c", "    d", "2026-11-20 did c",
          "2026-11-24 did d")  # fmt: skip
    assert uids() == both


def test_events_todos_and_calendars_of_a_person_may_all_be_imported() -> None:
    write("person ana", "person leo", "area bath", "every day", "    a  in bath")
    calls = ("", "--todo", "--chores", "--chores --todo", "--for ana", "--for leo", "--in bath")
    kinds = [call.split() for call in calls]
    found = [uid for words in kinds for uid in uids(*words)]
    assert len(set(found)) == len(found) == len(kinds)
    write('household "Other"', "area bath", "every day", "    a  in bath")
    assert not set(uids()) & set(found)


# ----------------------------------------------------------------------------------------- the file


def calendar(*words: str) -> Result:
    return besom("calendar", "-o", "c.ics", *words)


def test_a_file_is_written_whole_and_replaced_by_the_next() -> None:
    write("every day", "    x  5 min")
    result = calendar()
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == "c.ics: 1 entry, from 2026-11-26 to 2028-11-25\n"
    assert Path("c.ics").read_bytes() == besom("calendar").stdout_bytes
    assert calendar("--years", "1").exit_code == 0
    assert last_time(components(Path("c.ics").read_bytes())[0]) == day("2027-11-25")
    assert sorted(path.name for path in Path().iterdir()) == ["c.ics", "home.chores"]


def test_entries_that_have_left_the_book_are_told_and_past_ones_are_not() -> None:
    write(
        "every day",
        "    x  5 min",
        "every monday",
        "    y",
        "once from 2026-11-20 to 2026-11-26",
        "    z",
    )
    assert calendar().stderr == ""
    write("every day", "    x  5 min")
    assert calendar("--on", "2026-11-27").stderr == (
        "besom: 1 entry is no longer in c.ics; if you have imported it, delete it in your calendar "
        "program:\n  every monday: y, from 2026-11-30\n"
    )
    assert calendar().stderr == ""


def test_of_many_that_are_gone_ten_are_named() -> None:
    write(*(line for n in range(13) for line in (f'every day "T{n:02}"', f"    c{n}")))
    calendar()
    write("every week", "    x")
    lines = calendar().stderr.splitlines()
    assert len(lines) == 12
    assert (lines[0][:24], lines[1], lines[-1]) == (
        "besom: 13 entries are no", "  T00: c0, from 2026-11-26", "  and 3 more",
    )  # fmt: skip


@pytest.mark.parametrize(
    "held",
    [b"", b"notes\n", b"BEGIN:VCALENDAR\r\nPRODID:-//x//y//EN\r\nEND:VCALENDAR\r\n", b"\xff\x00",
     b"BEGIN:VCALENDAR\r\nPRODID:-//besom//besom calendar//EN\r\n",
     b"BEGIN:VCALENDAR\r\nPRODID:x\r\nX-A:-//besom//besom calendar//EN\r\nEND:VCALENDAR\r\n",
     b"-//besom//besom calendar//EN"],
)  # fmt: skip
def test_what_is_no_export_is_replaced_only_by_force(held: bytes) -> None:
    write("every day", "    x")
    Path("c.ics").write_bytes(held)
    assert said("-o", "c.ics") == (
        "c.ics: is there, and is no calendar of besom; --force replaces it"
    )
    assert Path("c.ics").read_bytes() == held
    assert calendar("--force").exit_code == 0
    assert len(components(Path("c.ics").read_bytes())) == 1


def test_book_of_any_name_is_never_replaced() -> None:
    write("every day", "    x")
    before = Path("home.chores").rename("plain").read_bytes()
    Path("link.ics").symlink_to("plain")
    for name in ("plain", "link.ics"):
        for force in ([], ["--force"]):
            assert said("plain", "-o", name, *force) == (
                f"{name}: is read by this call, so it is not replaced; name another"
            )
    assert Path("plain").read_bytes() == before


def test_no_book_is_ever_replaced_and_no_place_lost() -> None:
    write("every day", "    x")
    before = Path("home.chores").read_bytes()
    Path("link.ics").symlink_to("home.chores")
    for name in ("home.chores", "new.chores", "NEW.CHORES", "link.ics"):
        for force in ([], ["--force"]):
            assert said("-o", name, *force).startswith(f"{name}: is the name of a book")
    assert said("-o", ".") == ".: is a folder; name a file in it, such as chores.ics"
    assert said("-o", "none/c.ics") == "none: there is no such folder"
    assert said("-o", "/dev/null", "--force") == (
        "/dev/null: is no ordinary file; name another, or `-o -`"
    )
    assert said("-o", "").endswith('"" is no name of a file or folder')
    Path("c.ics").write_bytes(besom("calendar").stdout_bytes)
    Path("c.ics").chmod(0o444)
    assert "is read-only" in said("-o", "c.ics", "--years", "1")
    assert Path("home.chores").read_bytes() == before
    assert sorted(path.name for path in Path().iterdir()) == ["c.ics", "home.chores", "link.ics"]


def test_a_file_can_have_any_name_and_a_dash_is_standard_output() -> None:
    write("every day", "    x")
    assert besom("calendar", "-o", "a b 窓").exit_code == 0
    assert Path("a b 窓").read_bytes() == besom("calendar", "-o", "-").stdout_bytes


@pytest.mark.parametrize("time", ["24:00", "8", "20.00", "20:60", "", "-1:00", "٢٠:٠٠"])
def test_what_is_no_time_of_day_is_told(time: str) -> None:
    write("every day", "    x")
    assert said(f"--reminder={time}").startswith("--reminder: ")


def test_a_book_without_chores_has_a_calendar_without_entries() -> None:
    write()
    assert calendar().stdout == "c.ics: 0 entries, from 2026-11-26 to 2028-11-25\n"
    assert exported() == []


def test_without_the_library_the_command_says_what_to_install() -> None:
    write("every day", "    x")
    blocked = (
        "import sys; sys.modules['icalendar'] = None\n"
        "from ledger.cli.main import main; main(['calendar', '-o', 'c.ics'])"
    )
    done = subprocess.run(
        [sys.executable, "-c", blocked], capture_output=True, text=True, check=False, timeout=60
    )
    assert (done.returncode, done.stdout) == (2, "")
    told = " ".join(done.stderr.split())
    assert "needs the library icalendar: pip install '.[calendar]' in a copy of besom" in told
    assert not Path("c.ics").exists()
