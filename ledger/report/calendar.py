"""Calendar: when containers come out, or when chores come round, over a span of days.

What is told is fixed by the book and the record up to a day. So a window that is settled, excused,
skipped or moved away is left out, and a moved one is on its new day. A window that is open on the
first day is told with the days that it has, also those past. What is late is no fixed thing, and
`due` tells it; but a late `once` or `after done` comes round no more by itself and is put on the
first day on which it is asked. Of an `after done` line only the next window is known.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from itertools import takewhile
from typing import NamedTuple

from ledger.calendar.day_set import DaySet
from ledger.calendar.lines import rhythm_of
from ledger.calendar.occurrences import cadence_spans
from ledger.calendar.presence import there
from ledger.calendar.week import HORIZON, MAX_DAY, month_index, month_last, weekday, year_on
from ledger.household.cadence import container
from ledger.household.model import Chore, Household, Routine, Span
from ledger.keeping.history import Share, shares_of
from ledger.keeping.occasion import Occasion
from ledger.keeping.turns import people_for
from ledger.report.as_kept import as_kept
from ledger.report.calendar_entries import Calendar, CalendarEntry, CalendarLine, Until
from ledger.report.scope import WHOLE, Scope
from ledger.report.task import in_order
from ledger.text.values import FIRST_YEAR

_FIRST_DAY = date(FIRST_YEAR, 1, 1).toordinal()
_WEEKLY = ("weekend", "numbered-weekend", "week")
_MONTHLY = ("month", "named-month")


class _Time(NamedTuple):
    """One time that a chore comes round, for all its people together."""

    routine: Routine
    line: CalendarLine
    span: Span


class _Group(NamedTuple):
    """What entries are made of: a container, or one chore of it."""

    container: str
    chore: str | None


def calendar_of(
    household: Household,
    first: int,
    years: int,
    scope: Scope = WHOLE,
    only: str | None = None,
    by_chore: bool = False,
) -> Calendar:
    """The entries for what opens in the years from day `first` on, by the record up to that day.

    An entry tells of a container on the day it comes out, which is the first day of each window on
    which something of it is asked; with `by_chore`, of one chore over its whole window. `only` is
    the container to tell of. The days between today and a first day to come are taken as kept.
    """
    household, _ = as_kept(household, first)
    last = first - 1
    for _ in range(years):
        last = year_on(last + 1) if last < MAX_DAY else last
    groups = _groups(household, (first, last), scope, only, by_chore)
    place = {container(section): n for n, section in enumerate(reversed(household.sections))}
    return Calendar(
        household=household.title,
        first=date.fromordinal(first),
        last=date.fromordinal(last),
        week_start=household.week_start,
        person=scope.person,
        area=scope.area,
        only=only,
        by_chore=by_chore,
        entries=tuple(
            entry
            for group in sorted(groups, key=lambda group: -place[group.container])
            for entry in _entries(household, group, groups[group], scope)
        ),
    )


def _groups(
    household: Household, days: Span, scope: Scope, only: str | None, by_chore: bool
) -> dict[_Group, list[_Time]]:
    """The times of all chores by what their entries are made of."""
    groups: dict[_Group, list[_Time]] = {}
    for chore in household.chores.values():
        for time in _times(household, chore, days, scope, by_chore):
            title = container(time.routine.section)
            if only in (None, title):
                # What hangs on the record keeps to no other chore.
                alone = by_chore or time.routine.section.is_after_done
                groups.setdefault(_Group(title, chore.name if alone else None), []).append(time)
    return groups


# --------------------------------------------------------------------------- when chores come round


def _times(
    household: Household, chore: Chore, days: Span, scope: Scope, by_chore: bool
) -> Iterator[_Time]:
    """The times of a chore in a scope, each with all whose share it is."""
    found: dict[tuple[int, Span], tuple[Occasion, tuple[str, ...]]] = {}
    if not any(_is_in(routine, scope) for routine in chore.routines):
        return
    for share in shares_of(household, chore, days[0], days[0]):
        if scope.person is not None and share.timeline.person not in (None, scope.person):
            continue
        for one in _occasions(share, days[1]):
            people = _people(one)
            day = _comes_out(one, scope.person, people) if _is_in(one.routine, scope) else None
            if day is None:
                continue
            begin = one.first if by_chore and not one.is_late else day
            key = id(one.routine), (begin, max(day, one.last))
            others = found[key][1] if key in found else ()
            found[key] = one, (people if one.person is None else others + people)
    for (_, span), (one, people) in found.items():
        # A chore over its whole window needs no words for the end of that.
        until = Until("day") if by_chore else _until(one.routine, *span)
        yield _Time(one.routine, _line(one, people, until, scope), span)


def _is_in(routine: Routine, scope: Scope) -> bool:
    return scope.area is None or scope.area in routine.areas


def _occasions(share: Share, last: int) -> Iterator[Occasion]:
    """The windows of a share that are told."""
    one = share.owed
    if one is not None and (not one.is_late or _waits(one.routine)):
        yield one
    yield from takewhile(lambda one: one.first <= last, share.ahead())


def _waits(routine: Routine) -> bool:
    """True for a line that comes round no more by itself once it is late."""
    cadence = routine.section.cadence
    return cadence.is_once or cadence.is_after_done


def _comes_out(one: Occasion, person: str | None, people: tuple[str, ...]) -> int | None:
    """The first day on which a window is asked, for a person on which they are there too; None if
    there is none, or if it is not the person's."""
    days = _days(one)
    if days is None or person is None or one.person is not None:
        return None if days is None else days[0]
    if people and person not in people:
        return None
    return _with(one, person).first(*days)


def _people(one: Occasion) -> tuple[str, ...]:
    """Who does a window. Of several who may do it, those who are there on a day of it."""
    people, days = people_for(one), _days(one)
    if one.routine.assignment.form != "any" or not one.timeline.household.absences or days is None:
        return people
    return tuple(name for name in people if _with(one, name).any(*days)) or people


def _days(one: Occasion) -> Span | None:
    """The days of a window that are told, the first to the last on which it is asked."""
    return one.asked_span(one.on if one.is_late else one.first)


def _with(one: Occasion, person: str) -> DaySet:
    """The days on which a window is asked while a person is there. What was moved is asked on its
    new day in any case."""
    present = there(one.timeline.household, person, one.routine.vital)
    asked = one.timeline.line_of(one.routine).asked
    return present if one.moved is not None else asked & present


def _line(one: Occasion, people: tuple[str, ...], until: Until, scope: Scope) -> CalendarLine:
    routine, chore, household = one.routine, one.timeline.chore, one.timeline.household
    form, cadence = routine.assignment.form, routine.section.cadence
    is_shared = form in ("each", "together") and scope.person is None
    return CalendarLine(
        chore=chore.name,
        title=chore.title,
        minutes=routine.minutes,
        areas=tuple(household.areas[name].title for name in routine.areas),
        form=form,
        people=people,
        shares=max(1, len(people)) if is_shared else 1,
        vital=routine.vital,
        spare=routine.spare,
        until=until,
        moved=one.moved is not None,
        late=date.fromordinal(one.last) if one.is_late else None,
        again=cadence.every if cadence.is_after_done else None,
        after=routine.after,
        things=routine.things,
        steps=chore.steps,
    )


def _until(routine: Routine, day: int, last: int) -> Until:
    """Until when a window lasts that comes out on a day."""
    section = routine.section
    if last <= day:
        return Until("day")
    if section.cadence.is_once:
        return Until("date", last)
    kind = section.cadence.kind if section.within is None else None
    if kind in _WEEKLY and last < day + 7:
        return Until("weekday", weekday(last))
    if kind in _MONTHLY and last == month_last(month_index(day)):
        return Until("month")
    return Until("days", last - day + 1)


# ----------------------------------------------------------------------------------------- entries


def _entries(
    household: Household, group: _Group, times: Iterable[_Time], scope: Scope
) -> Iterator[CalendarEntry]:
    """The entries of a group: times on which the same is to be done, those of most times first."""
    together: dict[object, list[_Time]] = {}
    for time in times:
        # A chore comes with others on the day they come out; alone it has its whole window.
        together.setdefault(time.span[0] if group.chore is None else time.span, []).append(time)
    alike: dict[tuple[CalendarLine, ...], tuple[list[_Time], list[Span]]] = {}
    for some in together.values():
        span = some[0].span[0], max(time.span[1] for time in some)
        content = tuple(time.line for time in some)
        alike.setdefault(content, (some, []))[1].append(span)
    known: set[tuple[str, ...]] = set()
    for content, (some, spans) in sorted(alike.items(), key=lambda one: -len(one[1][1])):
        apart = _apart(household, group, some, scope)
        while apart in known:
            apart = *apart, "besides"
        known.add(apart)
        lines = tuple(in_order(content))
        comes_once = all(_waits(time.routine) for time in some)
        yield CalendarEntry(
            group.container, group.chore, apart, comes_once, lines, tuple(sorted(spans))
        )


def _apart(
    household: Household, group: _Group, times: Iterable[_Time], scope: Scope
) -> tuple[str, ...]:
    """What some times of a group differ by from all that the book says of it. The day asked has no
    part in this, nor has a chore that always comes, and for the same people: so one that is added
    to a container, or a chore that moves to another, leaves their entries what they are."""
    told: dict[int, list[CalendarLine]] = {}
    for time in times:
        told.setdefault(id(time.routine), []).append(time.line)
    names = {line.chore for some in told.values() for line in some}
    lines = list(_book_lines(household, group, scope))
    # A chore that stands in another container too has the first of them without a mark.
    home = next(container(routine.section) for _, routine in lines)
    found = [f"in {group.container}"] if group.container != home else []
    found += [f"without {name}" for name, _ in lines if name not in names and group.chore is None]
    for name, routine in lines:
        form, people = routine.assignment
        whose = (scope.person,) if form == "each" and scope.person is not None else people
        # Where each does their own, some may have other days for it than others.
        for line in told.get(id(routine), ()):
            # Whose turn it is next is nothing that sets apart what is known one time at most.
            if line.people != whose and (form == "each" or not _waits(routine)):
                found.append(f"{name} by {', '.join(line.people)}")
            if group.chore is not None or _waits(routine):
                continue
            if line.until != _usual_until(household, routine):
                value = "" if line.until.kind == "date" else line.until.value
                found.append(f"{name} until {line.until.kind} {value}")
    return tuple(found)


def _book_lines(household: Household, group: _Group, scope: Scope) -> Iterator[tuple[str, Routine]]:
    for name, chore in household.chores.items():
        for routine in chore.routines:
            is_here = name == group.chore or (
                group.chore is None and container(routine.section) == group.container
            )
            if is_here and not routine.paused and _is_in(routine, scope):
                yield name, routine


def _usual_until(household: Household, routine: Routine) -> Until:
    """Until when a window of a line lasts that no list of days cuts. It is counted from the first
    day that a book can name, since that never changes."""
    section = routine.section

    def work_out() -> Until:
        rhythm = rhythm_of(household, section, _FIRST_DAY)
        spans = cadence_spans(rhythm, section.within, _FIRST_DAY, _FIRST_DAY + HORIZON)
        span = next(spans, None)
        return Until("day") if span is None else _until(routine, *span)

    return household.remember(("usual until", section), work_out)
