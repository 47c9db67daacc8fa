"""Choices: which lines of the routine may move to another section, and what each asks for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

from ledger.calendar.week import month_first, month_index, month_last, week_first
from ledger.calendar.windows import Timeline, Window
from ledger.household.model import Chore, Household, Routine, Section, Span
from ledger.household.things import danger, is_dangerous
from ledger.keeping.history import timelines
from ledger.keeping.turns import person_at
from ledger.planning.cuts import Option, Problem
from ledger.planning.demands import demands_of
from ledger.planning.fit import Ask
from ledger.planning.load import limit_on, limited_people, person_limit
from ledger.text.parts import Cadence, MonthDay

LAST_NUMBERED = 4
"""Every month has at least this many weekends, and this many of each day of the week."""
SURE_DAYS = 28
"""Every month has at least this many days."""


class Choice(NamedTuple):
    """One line of a chore, put under another section."""

    chore: str
    routine: Routine
    section: Section
    """Where it goes; a new section has the place of the one it leaves."""
    is_new: bool
    """True where the book has no such section yet."""


class Choices(NamedTuple):
    """The problem for the search, and what the options of its pieces are."""

    problem: Problem
    options: Sequence[Sequence[Choice]]
    """For each piece its second and further options."""


def choices(household: Household, days: range) -> Choices:
    """The load of some days, by the record known up to the first, and what of it may be moved.

    A piece is a chore, of which at most one line may move. As it stands it asks for what the rules
    of overload count. What has begun or is settled stays, whatever moves; a line that moves asks
    for the calendar windows inside the days.
    """
    people = limited_people(household)
    asking = _Asking(household, days, people)
    places = _Places(household)
    fixed: list[Ask] = []
    pieces, options = list[list[Option]](), list[list[Choice]]()
    for chore in household.chores.values():
        # Of equally good moves the search takes the first: no section is opened needlessly.
        candidates = sorted(places.of(chore, days), key=lambda choice: choice.is_new)
        free = asking.free_lines(chore)
        allowed = (choice for choice in candidates if free is None or id(choice.routine) in free)
        moves = [(choice, asks) for choice in allowed if (asks := asking.of_choice(choice))]
        begun, coming = asking.of(chore)
        fixed += begun
        if moves and coming:
            pieces.append([coming, *(asks for _, asks in moves)])
            options.append([choice for choice, _ in moves])
        else:
            fixed += coming
    limits = [[limit_on(household, day) for day in days]]
    limits += ([person_limit(household, name, day) for day in days] for name in people)
    return Choices(Problem(limits, fixed, pieces, list(_spans(household, days))), options)


def elsewhere(household: Household, name: str, line: Routine) -> list[Choice]:
    """Where a line of a chore may go to fall on other days, whatever it uses; existing sections
    come first. Empty if the chore is tied to another chore or to the record."""
    chore, places = household.chores[name], _Places(household)
    if places.is_tied(chore):
        return []
    return sorted(places.of_line(chore, line), key=lambda choice: choice.is_new)


def _spans(household: Household, days: range) -> Iterator[Span]:
    """The whole weeks, working weeks and months among some days, as offsets from the first."""
    start, end = days[0], days[-1]
    after_weekend = (household.weekend[-1] + 1) % 7
    working = 7 - len(household.weekend)
    for length, first in ((7, household.week_start), (working, after_weekend)):
        for week in range(week_first(start, first) + 7, end - length + 2, 7):
            yield week - start, week - start + length - 1
    for month in range(month_index(start) + 1, month_index(end)):
        yield month_first(month) - start, month_last(month) - start


# ---------------------------------------------------------------------- where a line may go


class _Places:
    """The sections that a line may be put under."""

    def __init__(self, household: Household) -> None:
        self.household = household
        self.plain: dict[Cadence, list[Section]] = {}
        for section in household.sections:
            if _is_plain(section):
                self.plain.setdefault(section.cadence, []).append(section)
        lines = [line for chore in household.chores.values() for line in chore.routines]
        self.tied = {name for line in lines for name in line.after}
        self.things = set(filter(is_dangerous, {thing for line in lines for thing in line.things}))

    def of(self, chore: Chore, days: range) -> Iterator[Choice]:
        """Every move of a line of a chore that is in force on some of the days; other lines do not
        fill them."""
        if self.is_tied(chore) or any(self._must_stay(line) for line in chore.routines):
            return
        for line in chore.routines:
            if line.minutes and not _is_out_of_force(line, days):
                yield from self.of_line(chore, line)

    def of_line(self, chore: Chore, line: Routine) -> Iterator[Choice]:
        """Every move of one line of a chore, whatever it uses."""
        section = line.section
        if line.paused or line.expires or line.is_kept_to_days or not _is_plain(section):
            return
        # A chore stands once in a container.
        taken = {own.section for own in chore.routines}
        for cadence, may_open in _cadences(section.cadence, self.household.weekend):
            target = self._section(cadence, section)
            if target is not None:
                if target not in taken:
                    yield Choice(chore.name, line, target, False)
            elif may_open and cadence not in self.plain:
                new = section._replace(cadence=cadence, title=None)
                yield Choice(chore.name, line, new, True)

    def is_tied(self, chore: Chore) -> bool:
        """True for a chore that must keep its days: tied to another or to the record."""
        return chore.name in self.tied or any(
            line.after or line.section.is_after_done for line in chore.routines
        )

    def _must_stay(self, line: Routine) -> bool:
        """True for a line with a thing that must not meet another in the book: it keeps the days
        that someone chose for it."""
        return any(danger(thing, other) for thing in line.things for other in self.things)

    def _section(self, cadence: Cadence, leaving: Section) -> Section | None:
        """The section of a cadence that takes a line: one without a title, preferably in the same
        file; else the only one. None if there is none, or there are several titles."""
        sections = self.plain.get(cadence, [])
        path = leaving.place.source.path
        untitled = [section for section in sections if section.title is None]
        if untitled:
            return min(untitled, key=lambda section: section.place.source.path != path)
        return sections[0] if len({section.title for section in sections}) == 1 else None


def _is_plain(section: Section) -> bool:
    """True for a section with only a cadence and perhaps a title."""
    flags = section.vital, section.expires, section.spare, section.paused
    dates = section.within, section.first, section.last
    is_free = all(clause is None for clause in dates) and not any(flags)
    return is_free and not section.during and not section.excepted


def rhythm_alone(cadence: Cadence) -> tuple[str, int]:
    """A cadence whatever its days: its kind, and how many named days or weekends it has."""
    return cadence.kind, max(len(cadence.days), len(cadence.weekends))


def _cadences(cadence: Cadence, weekend: Sequence[int]) -> Iterator[tuple[Cadence, bool]]:
    """The cadences to which a line may move and come round as often; with each, whether a new
    section may be opened for it."""
    if cadence.times > 1:
        return
    match cadence:
        case Cadence(kind="named-day", days=(own,)):
            for day in range(7):
                if day != own and day not in weekend:
                    yield Cadence("named-day", days=(day,)), True
            yield Cadence("week"), False
        case Cadence(kind="numbered-weekend", weekends=(own,)) if 1 <= own <= LAST_NUMBERED:
            for number in range(1, LAST_NUMBERED + 1):
                if number != own:
                    yield Cadence("numbered-weekend", weekends=(number,)), True
            yield Cadence("month"), False
        case Cadence(kind="month", every=1, on=(day,)) if _is_in_every_month(day):
            yield Cadence("month"), False
        case Cadence(kind="weekend"):
            yield Cadence("week"), False


def _is_in_every_month(day: MonthDay) -> bool:
    """True for a day that every month has once."""
    if day.weekday is None:
        return day.number <= SURE_DAYS
    return day.number != 0 and day.number <= LAST_NUMBERED


# --------------------------------------------------------------------- what a line asks for


class _Asking:
    """What chores ask of some days; the windows of equal lines are worked out once."""

    def __init__(self, household: Household, days: range, people: Sequence[str]) -> None:
        self.household, self.days = household, days
        self.layers: Mapping[str, int] = {name: n for n, name in enumerate(people, 1)}
        self._rows: dict[tuple[object, ...], tuple[Sequence[int], Sequence[int]]] = {}

    def of(self, chore: Chore) -> tuple[list[Ask], list[Ask]]:
        """What a chore asks of the household, and of each person whose limit it surely uses: for
        windows that opened before the days or are settled, and for those to come."""
        start, end = self.days[0], self.days[-1]
        begun: list[Ask] = []
        rows: dict[tuple[str | None, int, int], tuple[list[int], list[int]]] = {}
        for entry, demand in demands_of(self.household, chore, start, end):
            if demand.last > end:
                continue
            first, last = demand.first - start, demand.last - start
            has_begun = entry.settled is not None or entry.occasion.opened < start
            own = ((self.layers[name], minutes) for name, minutes in demand.own)
            for layer, minutes in ((0, demand.minutes), *own):
                if has_begun:
                    begun.append(Ask([first], [last], minutes, layer))
                    continue
                key = entry.occasion.person, layer, minutes
                firsts, lasts = rows.setdefault(key, ([], []))
                firsts.append(first)
                lasts.append(last)
        coming = [Ask(*row, minutes, layer) for (_, layer, minutes), row in rows.items()]
        return begun, coming

    def _of_shares(self, chore: Chore, shares: Iterable[Timeline]) -> list[Ask]:
        asks: list[Ask] = []
        if any(line.minutes and not line.paused for line in chore.routines):
            for timeline in shares:
                asks += self._of_timeline(timeline)
        return asks

    def free_lines(self, chore: Chore) -> set[int] | None:
        """The `id`s of the lines that are in every pair of lines that share a day: only their
        move can part all pairs. None if no two share a day: any line may move then."""
        free: set[int] | None = None
        if len(chore.routines) > 1:
            timeline = next(iter(timelines(self.household, chore)))
            for earlier, later in timeline.overlaps(self.days[0] - 31, self.days[-1]):
                pair = {id(earlier.routine), id(later.routine)}
                free = pair if free is None else free & pair
                if not free:
                    break
        return free

    def of_choice(self, choice: Choice) -> list[Ask]:
        """What a chore asks for after a move; empty if two of its lines would then share a day."""
        chore = self.household.chores[choice.chore]
        moved = choice.routine._replace(section=choice.section)
        lines = [moved if line is choice.routine else line for line in chore.routines]
        changed = chore._replace(routines=tuple(lines))
        shares = list(timelines(self.household, changed))
        if len(lines) > 1 and any(shares[0].overlaps(self.days[0] - 31, self.days[-1])):
            return []
        return self._of_shares(changed, shares)

    def _of_timeline(self, timeline: Timeline) -> Iterator[Ask]:
        lines = timeline.routines
        by_turns = timeline.person is None and any(map(self._is_by_turns, lines))
        if len(lines) == 1 and not by_turns:
            (line,) = lines
            # The section itself is not the key: its title does not change its days.
            key = line.falls, line.assignment, line.vital, timeline.person
            if key not in self._rows:
                self._rows[key] = self._row(timeline, self._windows(timeline))
            yield from self._asks(line, timeline.person, self._rows[key])
            return
        windows = self._windows(timeline)
        of_lines: dict[int, list[Window]] = {}
        for window in windows:
            of_lines.setdefault(id(window.routine), []).append(window)
        for line in lines:
            if id(line) in of_lines:
                row = self._row(timeline, of_lines[id(line)])
                yield from self._asks(line, timeline.person, row)
        if by_turns and windows:
            yield from self._by_turns(timeline, windows)

    def _windows(self, timeline: Timeline) -> list[Window]:
        return timeline.between(self.days[0], self.days[-1])

    def _row(self, timeline: Timeline, windows: Sequence[Window]) -> tuple[list[int], list[int]]:
        """For the windows that are asked inside the days only: the first and the last day on which
        each is asked."""
        start, end = self.days[0], self.days[-1]
        spans = [
            timeline.asked_span(one) for one in windows if start <= one.first <= one.last <= end
        ]
        inside = [(first - start, last - start) for first, last in filter(None, spans)]
        return [first for first, _ in inside], [last for _, last in inside]

    def _asks(
        self, line: Routine, person: str | None, row: tuple[Sequence[int], Sequence[int]]
    ) -> Iterator[Ask]:
        """What a line asks for; nothing without minutes or without a window in the days."""
        if not line.minutes or not row[0] or line.spare:
            return
        form, people = line.assignment
        yield Ask(*row, line.minutes * (line.shares if person is None else 1))
        if person is not None:
            people = (person,)
        if form == "together" or len(people) == 1:
            for name in people:
                if name in self.layers:
                    yield Ask(*row, line.minutes, self.layers[name])

    def _is_by_turns(self, line: Routine) -> bool:
        """True if it matters whose turn it is: one of the people has a limit."""
        form, people = line.assignment
        return form == "then" and not self.layers.keys().isdisjoint(people)

    def _by_turns(self, timeline: Timeline, windows: Sequence[Window]) -> Iterator[Ask]:
        """What the turns of a chore ask of each person with a limit."""
        turn = timeline.count_before(windows[0].first)
        theirs: dict[tuple[str, int], list[Window]] = {}
        for number, window in enumerate(windows, turn):
            line = window.routine
            if self._is_by_turns(line) and line.minutes and not line.spare:
                days = window.first, window.last
                person = person_at(self.household, line.assignment.people, number, *days)
                theirs.setdefault((person, line.minutes), []).append(window)
        for (person, minutes), own in theirs.items():
            row = self._row(timeline, own)
            if person in self.layers and row[0]:
                yield Ask(*row, minutes, self.layers[person])


def _is_out_of_force(line: Routine, days: range) -> bool:
    """True for a line that is in force on none of the days."""
    first, last = days[0], days[-1]
    return (line.first or first) > last or (line.last or last) < first
