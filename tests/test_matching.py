"""Matching, status and lateness: laws over random chores and records, and single cases."""

from __future__ import annotations

from collections import Counter
from datetime import date, timedelta
from itertools import pairwise

import pytest
from books import Span, day, house, iso, shares, standings
from hypothesis import example, given, settings
from hypothesis import strategies as st
from simulated_keeping import PlainBook

from ledger.household.model import Household
from ledger.keeping.history import Share, timelines
from ledger.keeping.occasion import Occasion, State
from ledger.report.due import due

SINCE = date(2026, 1, 1)

HEADERS = (
    "every day",
    "every monday",
    "every tuesday, friday",
    "every weekend",
    "weekend 1",
    "every week",
    "every weekday except wednesday",
    "every weekend except school",
    "2 times every week",
    "3 times every month",
    "every 2 weeks on thursday from 2026-01-08",
    "every month on first saturday within 7 days",
    "every month on 1, 15",
    "every month",
    "every 3 days from 2026-01-02 within 2 days",
    "every week during march to april",
    "once from 2026-03-01 to 2026-03-04",
)
FLAGS = ("", "", "", "", " expires", " spare", " vital")
WHO = ("", "", "  by each", "  by each", "  by each of tam", "  by noor and tam", "  by noor")


def _date(offset: int) -> str:
    return (SINCE + timedelta(days=offset)).isoformat()


@st.composite
def record_lines(draw: st.DrawFn) -> str:
    on = draw(st.integers(0, 150))
    verb = draw(st.sampled_from(["did", "did", "did", "did", "skipped", "moved", "worked"]))
    if verb == "moved":
        return f"{_date(on)} moved x to {_date(on + draw(st.integers(-3, 40)))}"
    by = "" if verb == "skipped" else draw(st.sampled_from(["", "", " by noor", " by tam"]))
    return f"{_date(on)} {verb} x{' 3 min' if verb == 'worked' else ''}{by}"


@st.composite
def absences(draw: st.DrawFn) -> str:
    first, word = draw(st.integers(0, 150)), draw(st.sampled_from(["away", "rest"]))
    whose = draw(st.sampled_from(["", " by noor", " by tam"]))
    return f"{word} {_date(first)} to {_date(first + draw(st.integers(0, 20)))}{whose}"


@st.composite
def kept_books(draw: st.DrawFn) -> tuple[str, ...]:
    """The lines of a chore of one section or two that follow each other, and its record."""
    first, second = draw(st.sampled_from(HEADERS)), draw(st.sampled_from(HEADERS))
    who, flag = draw(st.sampled_from(WHO)), draw(st.sampled_from(FLAGS))
    change = draw(st.integers(20, 130))
    lines = [first, f"    x  5 min{who}{flag}"]
    if draw(st.booleans()) and first != second:
        lines = [first, f"    x  5 min{who}  until {_date(change)}{flag}"]
        lines += [second, f"    x  5 min{who}  from {_date(change + 1)}{flag}"]
    days = f"days school {_date(30)} to {_date(80)}"
    away = draw(st.lists(absences(), max_size=2))
    record = draw(st.lists(record_lines(), max_size=14))
    return f"since {SINCE}", "person noor", "person tam", days, *away, *lines, *record


def households() -> st.SearchStrategy[Household]:
    """The households of such books."""
    return kept_books().map(lambda lines: house(*lines))


def people_of(household: Household) -> list[str | None]:
    """Whose shares of chore `x` there are."""
    return [one.person for one in timelines(household, household.chores["x"])]


# ------------------------------------------------------------------------ against the simulator


def became(share: Share) -> list[tuple[object, ...]]:
    """What became of the windows that have opened or were settled, as plain data."""
    return [
        (one.first, one.last, one.opened, one.fate.value if one.fate else "spare",
         one.mark.line if one.mark else None, one.worked)
        for one in share.occasions
        if not one.is_excused and (one.mark is not None or one.first <= share.on)
    ]  # fmt: skip


@settings(max_examples=300)
@given(kept_books(), st.integers(0, 170))
def test_lines_take_the_windows_that_the_rules_give_them(
    lines: tuple[str, ...], offset: int
) -> None:
    on = SINCE.toordinal() + offset
    plain, household = PlainBook("\n".join(lines), on), house(*lines)
    assert people_of(household) == plain.rows("x")
    for share in shares(household, on, low=1):
        fates, extras = plain.matched("x", share.timeline.person, on)
        expected = [
            (*one[:5], sum(minutes for _, minutes in one.worked))
            for one in fates
            if one.line is not None or one.first <= on
        ]
        assert sorted(became(share), key=str) == sorted(expected, key=str)
        assert [line.line for line in share.extras] == extras


@settings(max_examples=200)
@given(kept_books(), st.integers(0, 170))
def test_list_of_a_day_shows_what_the_rules_say(lines: tuple[str, ...], offset: int) -> None:
    on = SINCE.toordinal() + offset
    found = [
        (one.person, one.first, one.last, one.days_late, one.minutes)
        for share in shares(house(*lines), on)
        if (one := share.shown) is not None
    ]
    assert found == [one[1:6] for one in PlainBook("\n".join(lines), on).listed(on)]


# ------------------------------------------------------------------------------------ laws


def plain(one: Occasion | None) -> tuple[object, ...]:
    """All that is known of a window, as plain data."""
    if one is None:
        return ()
    told = one.mark, one.moved, one.worked, one.is_excused, one.is_gone, one.is_owed
    return one.person, one.opened, one.first, one.last, *told


@settings(max_examples=200)
@given(kept_books(), st.integers(0, 170))
@example(
    (
        "since 2026-01-01", "every month", "    x  5 min",
        "2026-02-02 moved x to 2026-02-03", "2026-02-21 moved x to 2026-02-24",
        "2026-03-14 did x", "2026-03-21 did x",
    ),
    109,
)  # fmt: skip
def test_what_stands_on_a_day_needs_no_more_than_the_lines_around_it(
    lines: tuple[str, ...], offset: int
) -> None:
    on = SINCE.toordinal() + offset
    near, whole = (shares(house(*lines), on, low) for low in (on, 1))
    assert [plain(one.standing) for one in near] == [plain(one.standing) for one in whole]
    assert [plain(one.shown) for one in near] == [plain(one.shown) for one in whole]


def _same(share: Share, other: Share, low: int) -> bool:
    """True if two shares say the same of the windows that are not over before a day."""
    ours, theirs = (
        [plain(one) for one in some.occasions if one.last >= low and one.counted >= low]
        for some in (share, other)
    )
    return ours == theirs


@settings(max_examples=200)
@given(kept_books(), st.integers(0, 150), st.integers(0, 20))
def test_a_stretch_of_occasions_is_that_of_the_whole_history(
    lines: tuple[str, ...], offset: int, length: int
) -> None:
    low = SINCE.toordinal() + offset
    on = low + length
    near, whole = (shares(house(*lines), on, first) for first in (low, 1))
    assert all(_same(one, other, low) for one, other in zip(near, whole, strict=True))
    extras = [[line for line in one.extras if line.day >= low] for one in near]
    assert extras == [[line for line in one.extras if line.day >= low] for one in whole]


@given(households(), st.integers(0, 170))
def test_a_line_settles_one_window_at_most_and_every_line_is_accounted_for(
    household: Household, offset: int
) -> None:
    on = SINCE.toordinal() + offset
    for share in shares(household, on, low=1):
        settled = [one.mark.line for one in share.occasions if one.mark is not None]
        used = Counter(settled + [line.line for line in share.extras])
        assert max(used.values(), default=1) == 1
        log, person = household.log, share.timeline.person
        must = [
            index
            for index in log.by_chore.get("x", ())
            if log.dates[index] <= on
            and log.entries[index].verb in ("did", "skipped")
            and (log.entries[index].verb == "did" or person is None)
            and (
                person is None
                or not log.entries[index].people
                or person in {name.value for name in log.entries[index].people}
            )
        ]
        assert set(must) <= set(used)


@given(households(), st.integers(0, 170))
def test_occasions_stay_in_order_and_apart_whatever_is_moved(
    household: Household, offset: int
) -> None:
    on = SINCE.toordinal() + offset
    for share in shares(household, on, low=1):
        known = [one for one in share.occasions if not one.is_gone]
        for earlier, later in pairwise(known):
            assert earlier.first <= earlier.last < later.first


@given(kept_books(), st.integers(0, 170))
def test_lines_of_later_days_change_nothing_that_stood_on_a_day(
    lines: tuple[str, ...], offset: int
) -> None:
    on = SINCE.toordinal() + offset
    known = [line for line in lines if line[:5] != "2026-" or day(line[:10]) <= on]
    now, later = (standings(house(*some), on) for some in (known, lines))
    assert [plain(one)[:4] for one in now] == [plain(one)[:4] for one in later]
    assert [one.state for one in now] == [one.state for one in later]


# -------------------------------------------------------------------------------- single cases


def state(on: str, *lines: str) -> tuple[State, str, str, int] | None:
    """Where a chore stands: its state, the days of its window, and days late."""
    found = standings(house("since 2026-03-01", *lines), day(on))
    if not found:
        return None
    (one,) = found
    return one.state, iso(one.first), iso(one.last), one.days_late


WEEKEND = ("every weekend", "    x  5 min")


@pytest.mark.parametrize(
    ("on", "record", "wanted"),
    [
        ("2026-03-07", (), ("due", "2026-03-07", "2026-03-08", 0)),
        ("2026-03-08", (), ("due", "2026-03-07", "2026-03-08", 0)),
        ("2026-03-10", (), ("overdue", "2026-03-07", "2026-03-08", 2)),
        ("2026-03-14", (), ("due", "2026-03-14", "2026-03-15", 0)),
        ("2026-03-10", ("2026-03-09 did x",), ("done", "2026-03-07", "2026-03-08", 0)),
        # What is owed comes first, however near the next is.
        ("2026-03-13", ("2026-03-13 did x",), ("done", "2026-03-07", "2026-03-08", 0)),
        ("2026-03-14", ("2026-03-13 did x",), ("due", "2026-03-14", "2026-03-15", 0)),
        ("2026-03-14", ("2026-03-09 did x", "2026-03-13 did x"),
         ("done", "2026-03-14", "2026-03-15", 0)),
        ("2026-03-09", ("2026-03-08 skipped x",), ("skipped", "2026-03-07", "2026-03-08", 0)),
        (
            "2026-03-12",
            ("2026-03-08 moved x to 2026-03-11",),
            ("overdue", "2026-03-11", "2026-03-11", 1),
        ),
        ("2026-03-10", ("2026-03-08 moved x to 2026-03-11",),
         None),
        ("2026-03-09", ("2026-03-08 worked x 3 min",), ("overdue", "2026-03-07", "2026-03-08", 1)),
    ],
)  # fmt: skip
def test_status_on_a_day(
    on: str, record: tuple[str, ...], wanted: tuple[State, str, str, int] | None
) -> None:
    assert state(on, *WEEKEND, *record) == wanted


def test_lines_of_later_days_do_not_count_yet() -> None:
    assert state("2026-03-07", *WEEKEND, "2026-03-08 did x") == (
        "due", "2026-03-07", "2026-03-08", 0,
    )  # fmt: skip


def test_window_spent_away_is_not_owed_and_drops_none() -> None:
    away = "away 2026-03-07 to 2026-03-08"
    assert state("2026-03-09", away, *WEEKEND, "2026-03-01 did x") == (
        "done", "2026-03-01", "2026-03-01", 0,
    )  # fmt: skip
    assert state("2026-03-14", away, *WEEKEND) == ("due", "2026-03-14", "2026-03-15", 0)
    later = "away 2026-03-14 to 2026-03-15"
    # Late by the six days from the 9th to the 13th and the 16th: those away do not count.
    assert state("2026-03-16", later, *WEEKEND) == ("overdue", "2026-03-07", "2026-03-08", 6)


def test_after_done_counts_from_the_last_line() -> None:
    book = ("14 days after done", "    x  5 min")
    assert state("2026-03-01", *book) == ("due", "2026-03-01", "2026-03-01", 0)
    assert state("2026-03-20", *book) == ("overdue", "2026-03-01", "2026-03-01", 19)
    done = (*book, "2026-03-03 did x")
    assert state("2026-03-16", *done) == ("done", "2026-03-01", "2026-03-01", 0)
    assert state("2026-03-17", *done) == ("due", "2026-03-17", "2026-03-17", 0)
    assert state("2026-03-20", *done) == ("overdue", "2026-03-17", "2026-03-17", 3)


@pytest.mark.parametrize(
    ("on", "more", "wanted"),
    [
        ("2026-03-07", (), ("done", "2026-03-01")),
        ("2026-03-12", (), ("due", "2026-03-12")),
        ("2026-03-14", (), ("overdue", "2026-03-12")),
        ("2026-03-14", ("2026-03-13 moved x to 2026-03-15",), ("done", "2026-03-01")),
        ("2026-03-15", ("2026-03-13 moved x to 2026-03-15",), ("due", "2026-03-15")),
        ("2026-03-17", ("2026-03-12 did x",), ("done", "2026-03-12")),
        ("2026-03-18", ("2026-03-12 did x",), ("due", "2026-03-18")),
        ("2026-03-18", ("2026-03-12 skipped x",), ("due", "2026-03-18")),
    ],
)
def test_a_chore_after_done_is_moved_this_once(
    on: str, more: tuple[str, ...], wanted: tuple[State, str]
) -> None:
    record = ("2026-03-02 did x", "2026-03-05 moved x to 2026-03-12", *more)
    found = state(on, "6 days after done", "    x  5 min", *record)
    assert found is not None
    assert found[:2] == wanted


@pytest.mark.parametrize(
    ("to", "wanted"),
    [
        ("2026-03-05", ("2026-03-05", "2026-03-05")),
        ("2026-03-12", ("2026-03-12", "2026-03-12")),
        ("2026-03-13", ("2026-03-13", "2026-03-13")),
        ("2026-03-14", ("2026-03-07", "2026-03-08")),
        ("2026-03-01", ("2026-03-07", "2026-03-08")),
        ("2026-03-02", ("2026-03-02", "2026-03-02")),
    ],
)
def test_a_window_moves_up_to_its_neighbours_and_not_onto_one(
    to: str, wanted: tuple[str, str]
) -> None:
    household = house("since 2026-02-28", *WEEKEND, "2026-03-01 did x",
                      f"2026-03-07 moved x to {to}")  # fmt: skip
    (share,) = shares(household, day("2026-03-31"), low=1)
    spans: list[Span] = [(one.first, one.last) for one in share.occasions]
    assert spans[0] == (day("2026-02-28"), day("2026-03-01"))
    assert spans[1] == (day(wanted[0]), day(wanted[1]))
    assert spans[2] == (day("2026-03-14"), day("2026-03-15"))
    assert bool(share.extras) == (wanted[0] != to)


def test_a_daily_chore_a_day_late_outranks_a_yearly_one_a_week_late() -> None:
    household = house(
        "since 2026-01-01",
        "every 12 months on 1 from 2026-03-01", "    yearly  5 min",
        "every 2 days from 2026-03-01", "    daily  5 min",
    )  # fmt: skip
    answer = due(household, day("2026-03-08"))
    late = [(task.chore, task.days_late) for task in (*answer.late, *answer.waiting)]
    assert late == [("daily", 1), ("yearly", 7)]
    assert {one.chore: one.lateness for one in standings(household, day("2026-03-08"))} == {
        "daily": 1 / 2,
        "yearly": pytest.approx(7 / 365.25),
    }
