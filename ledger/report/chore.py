"""Chore: all that the book knows about one chore: its routine, its windows and its record."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from itertools import islice
from typing import Annotated, Literal, NamedTuple

from ledger.household.model import Household, Routine
from ledger.keeping import history as keeping
from ledger.keeping.history import shares_of
from ledger.keeping.minutes import learned_minutes
from ledger.keeping.past import Past
from ledger.keeping.turns import done_by, people_for
from ledger.planning.likely import quartiles
from ledger.report.chore_lines import RoutineLine, lines_of
from ledger.report.chore_record import (
    EIGHT_WEEKS,
    YEAR,
    ChoreRecord,
    Kept,
    PastWindow,
    kept,
    pasts_known,
    record_of,
    windows_past,
)
from ledger.report.task import Caution, asked_dates, cautions_for
from ledger.text.fields import (
    Bounds,
    ChoreName,
    ChoreTitle,
    Count,
    FirstDay,
    HouseholdTitle,
    LastDay,
    OneOf,
    Positive,
    ShareOf,
)

AHEAD = 5
"""How many windows ahead are shown for each share, an open one included."""


class Share(NamedTuple):
    """The state of the chore, or of one person's own share of it."""

    person: ShareOf
    state: Annotated[str, OneOf("done", "skipped", "due", "overdue")] | None
    """What became of its latest window. `due`: still to do, in time. `overdue`: still to do, and
    past. None where none has opened, and where the latest was missed."""
    first: date | None
    """First day on which it may be done, after any move; None without a window."""
    last: date | None
    """Last day on which it is in time, after any move; None without a window."""
    next_asked: date | None
    """The first day, from the day of the answer on, on which it is asked; None where there is none,
    and for one that is settled."""
    last_asked: date | None
    """The last such day in its window; the same day where its window has none left."""
    days_late: Count
    """Days past its last day on which it was asked, 0 unless it is overdue."""
    settled: date | None
    """Date of the line of the record that settled it; None while none has."""
    people: tuple[str, ...]
    """Names of those who did it, as the record says. While it is still to be done, names of those
    who do it: all of them where `together` is true, else one of them."""
    together: bool
    """True where it is still to be done, by all of the people together."""
    eight_weeks: Kept
    """How it was kept in the eight weeks up to the day."""
    year: Kept
    """How it was kept in the year up to the day."""


class ToCome(NamedTuple):
    """A window still to be done."""

    first: FirstDay
    last: LastDay
    person: ShareOf
    people: tuple[str, ...]
    """Names of those who do it: all of them where `together` is true, else one of them; where they
    take turns, only the one whose turn it is. Empty for anyone."""
    together: bool
    """True where all of the people do it together."""
    state: Literal["due", "ahead"]
    """`due`: it is open on the day. `ahead`: it opens later."""


class LearnedFigure(NamedTuple):
    """What the timed lines of the record say the chore takes."""

    minutes: Annotated[float, Bounds(1)]
    """Median of the latest timed lines."""
    low: Annotated[float, Bounds(1)]
    """Their lower quartile."""
    high: Annotated[float, Bounds(1)]
    """Their upper quartile."""
    lines: Annotated[int, Bounds(5)]
    """How many lines these are, at most nine."""


class About(NamedTuple):
    """All about one chore, by the record up to a day."""

    household: HouseholdTitle
    on: date
    """The day."""
    chore: ChoreName
    title: ChoreTitle
    lines: tuple[RoutineLine, ...]
    """Its lines in the routine, in the order of the book."""
    steps: tuple[str, ...]
    """Its steps, in order: those of its first line that has any."""
    after: tuple[str, ...]
    """Names of the chores that come before it on the same day."""
    before: tuple[str, ...]
    """Names of the chores that come after it on the same day."""
    shares: tuple[Share, ...]
    """Its state; where each person does their own, one for each."""
    ahead: tuple[ToCome, ...]
    """The next windows still to be done, in order of their days; at most five a share. An open one
    is among them, an overdue one is not."""
    after_done_days: Positive | None
    """Days from when it is done to its next window, for a chore `after done`: none of its later
    windows is known. Else None."""
    record: ChoreRecord
    """What the record says about it."""
    learned: LearnedFigure | None
    """How long it takes by the timed lines of the record; None before there are five."""
    past: tuple[PastWindow, ...]
    """The windows of the year up to the day, in order of their days; those still open are left
    out."""
    cautions: tuple[Caution, ...]
    """What to mind with the things that it uses, each thing once."""


def about(household: Household, name: str, on: int) -> About:
    """All about a chore of the household, by its name, with what the record says up to a day."""
    chore = household.chores[name]
    pasts = pasts_known(household, chore, on)
    shares = shares_of(household, chore, on, on)
    live = [line for line in chore.routines if line.last is None or line.last >= on]
    past_windows = [window for history in pasts for window in windows_past(history, on)]
    ahead = [window for share in shares for window in _to_come(share)]
    every = chore.routines[0].section.cadence.every if chore.is_after_done else None
    return About(
        household=household.title,
        on=date.fromordinal(on),
        chore=name,
        title=chore.title,
        lines=tuple(lines_of(household, name, on)),
        steps=chore.steps,
        after=_each_once(live, "after"),
        before=_followers(household, name, on),
        shares=tuple(_share(*pair, on) for pair in zip(shares, pasts, strict=True)),
        ahead=tuple(sorted(ahead, key=lambda window: window[:2])),
        after_done_days=every,
        record=record_of(household, name, pasts, on),
        learned=_learned(household, name, on),
        past=tuple(sorted(past_windows, key=lambda window: window[:2])),
        cautions=cautions_for(_each_once(live, "things")),
    )


def _each_once(lines: Sequence[Routine], field: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(word for line in lines for word in getattr(line, field)))


def _followers(household: Household, name: str, on: int) -> tuple[str, ...]:
    """The chores that come after one on the same day."""
    return tuple(
        other.name
        for other in household.chores.values()
        if any(
            name in line.after and (line.last is None or line.last >= on) for line in other.routines
        )
    )


def _share(share: keeping.Share, history: Past, on: int) -> Share:
    now, person = share.standing, share.timeline.person
    rates = kept(history, on, EIGHT_WEEKS), kept(history, on, YEAR)
    if now is None:
        return Share(person, None, None, None, None, None, 0, None, (), False, *rates)
    next_asked, last_asked = asked_dates(now)
    return Share(
        person=person,
        state=now.state,
        first=date.fromordinal(now.first),
        last=date.fromordinal(now.last),
        next_asked=next_asked,
        last_asked=last_asked,
        days_late=now.days_late,
        settled=date.fromordinal(now.mark.day) if now.mark else None,
        people=people_for(now) if now.mark is None else done_by(now),
        together=now.mark is None and now.routine.assignment.form == "together",
        eight_weeks=rates[0],
        year=rates[1],
    )


def _to_come(share: keeping.Share) -> Iterator[ToCome]:
    """The windows of a share still to be done, without an overdue one."""
    owed = [share.owed] if share.owed is not None and share.owed.last >= share.on else []
    now = [one for one in owed if one.asked_span(share.on) is not None]
    for one in islice((*now, *islice(share.ahead(), AHEAD)), AHEAD):
        yield ToCome(
            first=date.fromordinal(one.first),
            last=date.fromordinal(one.last),
            person=one.person,
            people=people_for(one),
            together=one.routine.assignment.form == "together",
            state="ahead" if one.first > share.on else "due",
        )


def _learned(household: Household, name: str, on: int) -> LearnedFigure | None:
    learned = learned_minutes(household, name, on)
    spread = quartiles([learned.timed]) if learned is not None else None
    if learned is None or spread is None:
        return None
    return LearnedFigure(learned.minutes, spread.low, spread.high, learned.lines)
