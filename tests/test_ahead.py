"""Ahead: the windows ahead against the rules of the format, days by laws, and what is drawn."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from datetime import date, datetime, timedelta
from itertools import pairwise
from pathlib import Path

import pytest
import strategies as some
from books import day, house, iso, standings
from hypothesis import given, settings
from hypothesis import strategies as st
from simulated_home import PlainLine
from simulated_keeping import PlainBook
from simulated_rows import Fate
from test_cli import EXAMPLE, ROOT, besom, stop_clock
from test_matching import SINCE, kept_books

from ledger.household.model import Household
from ledger.keeping.occasion import Occasion
from ledger.keeping.remaining import remaining_windows
from ledger.planning.load import limit_on
from ledger.planning.plan import key_of, rolled
from ledger.render.ahead_text import ahead_text
from ledger.report.ahead import Ahead, ahead
from ledger.text.source import Source
from ledger.text.width import width
from ledger.workspace import read_sources

HEAD = ("since 2026-01-01", "person ada", "person bo")
books = some.small_books().map(
    lambda book: read_sources([Source("home.chores", book.text())]).household
)
days_on = st.integers(some.BASE, some.BASE + 120)


def spans(*lines: str, on: str, until: str) -> list[tuple[str, str]]:
    """First and last days of the windows ahead of a small book."""
    found = remaining_windows(house(*HEAD, *lines), day(on), day(until))
    return [(iso(one.first), iso(one.last)) for one in found]


def report(*lines: str, on: str = "2026-03-02", weeks: int = 1) -> Ahead:
    """The load ahead, of a small book that begins on Monday 2 March 2026."""
    household = house("since 2026-03-02", "person ada", "person bo", *lines)
    return ahead(household, day(on), weeks)


# ------------------------------------------------------------------------------ windows ahead


def to_do(plain: PlainBook, chore: str, on: int, until: int) -> list[tuple[str, Fate]]:
    """The windows of a chore that close by a day and are still to be done, by the format, each
    with whose it is."""
    return [
        (person or "", fate)
        for person in plain.rows(chore)
        for fate in plain.matched(chore, person, on, until)[0]
        if fate.kind == "owed" or (fate.kind == "open" and fate.last <= until)
    ]


@settings(max_examples=400)
@given(kept_books(), st.integers(0, 150), st.integers(0, 60))
def test_windows_ahead_are_those_that_the_format_has_still_to_be_done(
    lines: tuple[str, ...], offset: int, length: int
) -> None:
    low = SINCE.toordinal() + offset
    expected = [
        (who, fate.first, fate.last, fate.opened, fate.last < low, fate.left)
        for who, fate in to_do(PlainBook("\n".join(lines), low), "x", low, low + length)
    ]
    found = [
        (one.person or "", one.first, one.last, one.opened, one.is_late, one.minutes)
        for one in remaining_windows(house(*lines), low, low + length)
    ]
    assert sorted(found) == sorted(expected)


@settings(max_examples=100)
@given(some.small_books(), days_on)
def test_minutes_ahead_in_time_are_those_that_the_format_has_still_to_be_done(
    book: some.SmallBook, on: int
) -> None:
    household = read_sources([Source("home.chores", book.text())]).on(on).household
    plain = PlainBook(book.text(), on)
    chores = {name: household.chores[name] for name in plain.on_calendar()}
    household = replace(household, chores=chores)
    until = ahead(household, on, 1).until.toordinal()
    planned = [
        one.entry for one in rolled(household, on, until)
        if one.entry.settled is None and one.entry.occasion.last >= on
        and (span := one.entry.occasion.asked_span(on)) and span[1] <= until
    ]  # fmt: skip
    minutes = 0
    for chore in chores:
        for who, fate in to_do(plain, chore, on, until + 400):
            line = next(one for one in plain.around(chore, who or None, until + 400)
                        if one.first == fate.opened).line  # fmt: skip
            days = days_asked(plain, line, who or None, fate, on)
            # What is late may have a later day, or be let go.
            if not line.spare and fate.last >= on and days and days[-1] <= until:
                together = len(line.people) if line.form == "together" else 1
                minutes += fate.left * together
    assert sum(one.minutes for one in planned) == minutes


def days_asked(
    plain: PlainBook, line: PlainLine, person: str | None, fate: Fate, on: int
) -> list[int]:
    """The days from a day on, inside a window or else the first after it, on which it is asked."""
    inside = [
        one
        for one in range(max(fate.first, on), fate.last + 1)
        if plain.home.is_asked(line, person, one) or (one == fate.first != fate.opened)
    ]
    after = plain.calendar.first_asked(line, person, max(on, fate.last + 1))
    return inside or [one for one in [after] if one is not None]


@settings(max_examples=40)
@given(books, days_on, st.integers(0, 60))
def test_what_is_overdue_stands_first_once_and_what_is_due_is_ahead(
    household: Household, low: int, length: int
) -> None:
    household = household.on(low)
    found = remaining_windows(household, low, low + length)
    now = [one for one in standings(household, low) if one.mark is None]
    late = {key(one) for one in now if one.last < low}
    due = {key(one) for one in now if low <= one.last <= low + length}
    whole = list(map(key, found))
    assert {key(one) for one in found if one.is_late} == late
    assert due <= set(whole)
    assert len(whole) == len(set(whole))
    assert all(one.is_late or low <= one.last <= low + length for one in found)


def key(one: Occasion) -> tuple[str, str | None, int, int]:
    """What tells a window from others."""
    return one.chore, one.person, one.first, one.last


@settings(max_examples=40)
@given(books, days_on, st.integers(0, 40), st.integers(0, 40))
def test_looking_further_only_adds_windows_that_close_later(
    household: Household, low: int, length: int, more: int
) -> None:
    household = household.on(low)
    near = remaining_windows(household, low, low + length)
    far = remaining_windows(household, low, low + length + more)
    assert [one for one in far if one.is_late or one.last <= low + length] == near


def test_record_says_which_windows_are_done_moved_or_late() -> None:
    lines = ("every monday", "  x  5 min")
    assert spans(*lines, on="2026-03-04", until="2026-03-15") == [
        ("2026-03-02", "2026-03-02"), ("2026-03-09", "2026-03-09"),
    ]  # fmt: skip
    assert spans(*lines, "2026-03-03 did x", on="2026-03-04", until="2026-03-10") == [
        ("2026-03-09", "2026-03-09")
    ]
    moved = ("2026-02-23 did x", "2026-03-02 moved x to 2026-03-05")
    assert spans(*lines, *moved, on="2026-03-04", until="2026-03-08") == [
        ("2026-03-05", "2026-03-05")
    ]


def test_early_line_settles_the_window_that_is_yet_to_open() -> None:
    lines = ("every monday", "  x  5 min", "2026-03-02 did x", "2026-03-07 did x")
    assert spans(*lines, on="2026-03-07", until="2026-03-16") == [("2026-03-16", "2026-03-16")]


def test_chore_counted_from_when_it_was_done_follows_itself_on_first_days() -> None:
    lines = ("10 days after done within 3 days", "  x  5 min", "2026-03-01 did x")
    assert spans(*lines, on="2026-03-05", until="2026-04-02") == [
        ("2026-03-11", "2026-03-13"), ("2026-03-21", "2026-03-23"), ("2026-03-31", "2026-04-02"),
    ]  # fmt: skip
    found = remaining_windows(house(*HEAD, *lines), day("2026-03-20"), day("2026-04-02"))
    assert [(iso(one.first), one.is_late, one.is_expected) for one in found] == [
        ("2026-03-11", True, False), ("2026-03-30", False, True),
    ]  # fmt: skip


def test_window_that_everyone_is_away_for_is_not_ahead_and_ends_nothing() -> None:
    lines = ("every monday", "  x  5 min", "away 2026-03-09 to 2026-03-11")
    assert spans(*lines, on="2026-03-08", until="2026-03-10") == [("2026-03-02", "2026-03-02")]
    assert spans(*lines, on="2026-03-12", until="2026-03-15") == [("2026-03-02", "2026-03-02")]
    assert spans(*lines, on="2026-03-16", until="2026-03-16") == [("2026-03-16", "2026-03-16")]


# ------------------------------------------------------------------------------------ the report


@settings(max_examples=30, deadline=None)
@given(books, days_on, st.integers(1, 6))
def test_minutes_are_those_of_the_planned_windows_to_the_minute(
    household: Household, on: int, weeks: int
) -> None:
    """Each window that opens by the last day counts at most once, and one in time that closes by
    then does."""
    household = household.on(on)
    found = ahead(household, on, weeks)
    until = found.until.toordinal()
    planned = [one.entry for one in rolled(household, on, until) if one.entry.settled is None]
    assert found.minutes == sum(one.minutes for one in planned)
    for parts in (found.days, found.months):
        assert sum(part.minutes for part in parts) == found.minutes
        assert sum(part.over for part in parts) == found.over
    assert found.least_over <= found.over
    counted = Counter(key_of(one.occasion) for one in planned)
    assert set(counted.values()) <= {1}
    assert counted.keys() >= {
        key_of(one) for one in remaining_windows(household, on, until)
        if one.last >= on and not (one.routine.spare or one.is_expected)
        and (span := one.asked_span(on)) and span[1] <= min(one.last, until)
    }  # fmt: skip


@settings(max_examples=30, deadline=None)
@given(books, days_on, st.integers(1, 60))
def test_days_weeks_and_months_follow_each_other_without_a_gap(
    household: Household, on: int, weeks: int
) -> None:
    household = household.on(on)
    found = ahead(household, on, weeks)
    assert found.days[0].day == found.weeks[0].first == found.months[0].first == found.on
    assert found.days[-1].day == found.months[-1].last == found.until
    assert len(found.days) == (found.until - found.on).days + 1 >= 365
    for parts in (found.weeks, found.months):
        for part, following in pairwise(parts):
            assert following.first == part.last + timedelta(1)
        for part in parts:
            inside = [one for one in found.days if part.first <= one.day <= part.last]
            assert part.minutes == sum(one.minutes for one in inside)
            assert part.days_over == sum(one.over > 0 for one in inside)
    assert all(one.first.weekday() == household.week_start for one in found.weeks[1:])
    assert (found.weeks[-1].last - found.weeks[-1].first).days in (6, found.weeks[-1].last.day - 1)
    assert 0 <= (found.weeks[-1].last - found.on).days + 1 - 7 * weeks < 7


@settings(max_examples=30, deadline=None)
@given(books, days_on)
def test_heaviest_days_are_told_with_all_that_makes_them_heavy(
    household: Household, on: int
) -> None:
    household = household.on(on)
    found = ahead(household, on, 1)
    told = {one.day for one in found.heaviest}
    assert len(told) == min(5, sum(one.minutes > 0 for one in found.days))
    ranks = [(one.over, one.minutes) for one in found.heaviest]
    assert ranks == sorted(ranks, reverse=True)
    others = [(one.over, one.minutes) for one in found.days if one.day not in told]
    assert max(others, default=(0, 0)) <= min(ranks, default=(0, 0))
    for one in found.heaviest:
        amounts = [task.minutes for task in one.tasks]
        assert sum(amounts) == one.minutes
        assert amounts == sorted(amounts, reverse=True)
        assert all(task.late or task.first <= one.day <= task.last for task in one.tasks)


def test_shares_of_a_chore_that_each_does_are_told_together() -> None:
    (heaviest, *_) = report("every monday", "  x  5 min  by each").heaviest
    assert [(task.chore, task.minutes) for task in heaviest.tasks] == [("x", 10)]


def test_choice_of_days_is_used_so_that_nothing_is_over() -> None:
    found = report("limit weekday 30 min", "limit weekend 0 min", "every monday", "  x  25 min",
                   "every week", "  y  25 min", "  z  25 min", "  w  5 min")  # fmt: skip
    week = {one.day.weekday(): one.minutes for one in found.days[:7]}
    assert found.over == 0
    assert sorted(week.values()) == [0, 0, 0, 5, 25, 25, 25]
    assert week[5] == week[6] == 0


def test_what_cannot_fit_is_over_and_no_choice_is_said_to_do_better() -> None:
    found = report("limit monday 20 min", "every monday", "  x  25 min")
    assert found.over == found.least_over == 5 * sum(one.days_over for one in found.months)
    assert [one[3:] for one in found.days[:2]] == [(25, 20, 5), (0, None, 0)]


def test_weeks_have_a_limit_where_all_their_days_have_one() -> None:
    assert report("limit monday 20 min", "every day", "  x").weeks[0].limit is None
    limits = ("limit weekday 20 min", "limit weekend 1 h", "away 2026-03-06 to 2026-03-07")
    assert report(*limits, "every day", "  x").weeks[0].limit == 140


def test_limits_days_away_and_weekends_are_those_of_the_book() -> None:
    household = house(*HEAD, "weekend is friday, saturday", "limit weekend 30 min",
                      "away 2026-03-06 to 2026-03-07 \"Coast\"", "away 2026-03-10 to 2026-03-11",
                      "away 2026-03-12 to 2026-03-13 by ada", "every day", "  x")  # fmt: skip
    found = ahead(household, day("2026-03-02"), 2)
    assert [one.limit for one in found.days] == [
        limit_on(household, one.day.toordinal()) for one in found.days
    ]
    away = {one.day.day: one.away for one in found.days[:14] if one.away is not None}
    assert away == {6: "Coast", 7: "Coast", 10: "", 11: ""}
    assert {one.day.weekday() for one in found.days if one.weekend} == {4, 5}
    assert found.untimed == ("x",)


@pytest.mark.parametrize(
    ("on", "until"),
    [("2026-03-02", "2027-03-01"), ("2026-01-01", "2026-12-31"), ("2024-02-29", "2025-02-28"),
     ("2025-03-01", "2026-02-28"), ("9999-01-01", "9999-12-31"), ("9999-12-31", "9999-12-31")],
)  # fmt: skip
def test_year_ends_the_day_before_its_day_comes_again_or_with_the_calendar(
    on: str, until: str
) -> None:
    household = house("since 2020-01-01", "every monday", "  x  5 min")
    found = ahead(household, day(on), 1)
    assert found.until.isoformat() == until


def test_weeks_that_reach_beyond_the_year_are_looked_at_whole() -> None:
    found = report("every monday", "  x  5 min", weeks=60)
    assert found.until.isoformat() == "2027-04-25"
    assert found.minutes == sum(one.minutes for one in found.weeks) == 60 * 5
    assert len(found.weeks) == 60


# -------------------------------------------------------------------------------------- as text


def lines_of(found: Ahead) -> list[str]:
    return ahead_text(found).splitlines()


@settings(max_examples=25, deadline=None)
@given(books, days_on, st.integers(1, 3))
def test_text_keeps_within_80_columns_and_has_a_line_for_every_day_of_the_weeks(
    household: Household, on: int, weeks: int
) -> None:
    household = household.on(on)
    lines = lines_of(ahead(household, on, weeks))
    assert max(map(width, lines)) <= 80
    assert all(line == line.rstrip() for line in lines)
    bars = [line for line in lines if re.match(r"\w{3} \d+ \w{3}  ", line)]
    assert 7 * weeks <= len(bars) <= 7 * weeks + 6


def test_bar_shows_what_fits_and_what_does_not() -> None:
    lines = lines_of(report("limit monday 20 min", "limit tuesday 40 min", "limit thursday 15 min",
                            "every monday", "  x  40 min", "every tuesday", "  y  10 min",
                            "every wednesday", "  z  20 min"))  # fmt: skip
    bars = {line[:3]: line[12:] for line in lines[3:10]}
    whole = len(re.match("[█│▒]*", bars["Mon"])[0]) - 1  # type: ignore[index]
    assert re.fullmatch(r"█+│▒+  40 min of 20 min, 20 min over", bars["Mon"])
    assert bars["Mon"].index("│") == whole // 2
    assert re.fullmatch(r"█+[▏▎▍▌▋▊▉]? +│  10 min of 40 min", bars["Tue"])
    assert bars["Tue"].index("│") == whole
    assert re.fullmatch(r"█+[▏▎▍▌▋▊▉]? +20 min", bars["Wed"])
    assert re.fullmatch(r" +│ +nothing", bars["Thu"])


def test_a_minute_over_shows_however_little_it_is() -> None:
    lines = lines_of(report("limit monday 5 h", "every monday", "  x  5 h 1 min"))
    assert "█│▒  5 h 1 min of 5 h, 1 min over" in lines[3]


def test_year_has_a_character_a_day_that_tells_its_share_of_the_limit() -> None:
    found = report("limit weekday 30 min", "limit weekend 30 min", "away 2026-03-09 to 2026-03-09",
                   "every monday", "  x  31 min", "every tuesday", "  y  30 min",
                   "every wednesday", "  z  20 min", "every thursday", "  w  10 min",
                   "every friday", "  v  21 min")  # fmt: skip
    rows = [line for line in lines_of(found) if re.match(r"\w{3} \d{4}  ", line)]
    assert len(rows) == 13
    assert rows[0][12:43] == " +█▅▂█··-█▅▂█··+█▅▂█··+█▅▂█··+█"
    assert re.fullmatch(r"Mar 2027    \+ +31 min  1 day over", rows[-1])


def test_year_tells_a_little_over_from_much_over() -> None:
    limits = ("limit weekday 30 min",)
    little, much = ("every monday", "  x  45 min"), ("every tuesday", "  y  46 min")
    text = ahead_text(report(*limits, *little, *much))
    assert "Mar 2026     +!·····+!·····" in text
    legend = " ".join(text.split())
    assert "█ to the limit, + up to 15 min over it, ! more than 15 min over it" in legend
    assert "!" not in ahead_text(report(*limits, *little)).split("Mar 2026")[1]
    assert "+" not in ahead_text(report(*limits, *much)).split("Mar 2026")[1]


def test_without_limits_the_heaviest_day_is_the_measure() -> None:
    found = report("every monday", "  x  30 min", "every tuesday", "  y  10 min",
                   "every wednesday", "  z  11 min")  # fmt: skip
    text = ahead_text(found)
    assert "Mar 2026     █▂▅····█▂▅····" in text
    assert "█ to the heaviest day\n" in text
    assert "over" not in text
    mixed = ahead_text(report("limit monday 1 h", "every monday", "  x  30 min"))
    assert "Days without a limit are measured by the heaviest day.\n" in mixed


def test_heavy_day_names_the_longest_chores_and_sums_up_the_rest() -> None:
    chores = [f"  c{number}  {number} min" for number in range(1, 9)]
    text = ahead_text(report("every monday", *chores))
    assert "c8 8 min, c7 7 min, c6 6 min, c5 5 min, c4 4 min, and 3 more, 6 min" in " ".join(
        text.split()
    )
    six = ahead_text(report("every monday", *chores[:6]))
    assert "c6 6 min, c5 5 min, c4 4 min, c3 3 min, c2 2 min, c1 1 min" in six


def test_heavy_day_says_what_is_late_and_what_may_wait() -> None:
    text = ahead_text(report("once from 2026-03-02 to 2026-03-02", "  x  30 min",
                               "once from 2026-03-02 to 2026-03-20", "  y  20 min",
                               on="2026-03-03"))  # fmt: skip
    assert "  Tue 3 Mar  30 min\n             x 30 min (late)\n" in text
    assert "  Wed 4 Mar  20 min\n             y 20 min (until Fri 20 Mar)\n" in text


def test_heavy_day_of_another_year_has_its_year() -> None:
    text = ahead_text(report("once from 2027-01-05 to 2027-01-05", "  x  5 min"))
    assert "  Tue 5 Jan 2027  5 min\n" in text


def test_last_lines_say_what_to_know_of_the_figures() -> None:
    text = ahead_text(report("limit weekday 1 min", "5 days after done", "  x  5 min",
                               "every monday", "  y", on="2026-03-03"))  # fmt: skip
    assert "Late, and put on coming days: 2 chores." in text
    assert "done on the first day it may be." in text
    assert "Minutes not known, and not counted: y\n" in text
    assert "No other choice of days has fewer minutes over." in text


@pytest.mark.parametrize(
    ("least", "said"),
    [(7, "No other choice of days has fewer minutes over."),
     (3, "Whatever days are chosen, 3 min or more are over."),
     (0, "Another choice of days may have fewer minutes over.")],
)  # fmt: skip
def test_how_good_the_choice_of_days_is_known_to_be_is_said(least: int, said: str) -> None:
    found = report("limit monday 1 min", "every monday", "  x  5 min")
    assert said in ahead_text(found._replace(over=7, least_over=least))


def test_book_without_chores_is_answered_in_every_form(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stop_clock(monkeypatch, datetime(2026, 3, 4, 20))
    (tmp_path / "home.chores").write_bytes(b"")
    for form in ("text", "json", "csv", "markdown", "svg"):
        result = besom("ahead", str(tmp_path), "--as", form)
        assert result.exit_code == 0
        assert "2026" in result.stdout
    assert "Heaviest" not in besom("ahead", str(tmp_path)).stdout


def test_csv_has_a_row_for_each_day_of_the_weeks_and_markdown_all_the_tables(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(ROOT)
    words = ("ahead", EXAMPLE, "--on", "2026-11-25", "--weeks", "2", "--as")
    rows = besom(*words, "csv").stdout.splitlines()
    assert rows[:2] == ["day,minutes,limit,over,away", "2026-11-25,58,60,0,no"]
    assert [row[:10] for row in rows[1:]] == [
        (date(2026, 11, 25) + timedelta(n)).isoformat() for n in range(19)
    ]
    assert besom(*words, "markdown").stdout.count("### ") == 4


def test_expected_windows_are_said_to_be_so() -> None:
    (window,) = remaining_windows(
        house(*HEAD, "9 days after done", "  x", "2026-03-01 did x"),
        day("2026-03-02"), day("2026-03-11"),
    )  # fmt: skip
    assert isinstance(window, Occasion)
    assert (window.minutes, window.is_expected, window.is_late) == (0, False, False)
