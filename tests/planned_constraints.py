"""What a plan of a household must keep to, worked out day by day from the windows still to be done.

Only the windows, the days on which each is asked, whose turn it is and the minutes that fit in a
day are the product's, beside the plan that is held to them.
Which days a window may have, what must come before what and what must not meet are worked out here.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from itertools import combinations
from typing import NamedTuple

from books import iso
from plan_figures import score_of

from ledger.calendar.presence import there
from ledger.calendar.week import week_first
from ledger.household.dangerous_pairs import DANGERS
from ledger.household.model import Household
from ledger.keeping.history import shares_of
from ledger.keeping.occasion import Occasion
from ledger.keeping.remaining import remaining_windows
from ledger.keeping.turns import people_for
from ledger.planning.load import limit_on, person_limit
from ledger.planning.plan import plan_of
from ledger.planning.work import Piece, Problem, Score

Key = tuple[str, str | None, int]
"""A window: its chore, whose share it is, and the day on which the calendar opens it."""
Plan = Iterable[tuple[Occasion, int]]
"""Windows, each with its day."""


class ToPlan(NamedTuple):
    """The windows of a household that must have a day, and the problem that they make."""

    windows: Sequence[Occasion]
    problem: Problem

    @property
    def keys(self) -> list[Key]:
        """The windows, each by what tells it from the others."""
        return [key_of(one) for one in self.windows]


def key_of(one: Occasion) -> Key:
    """What tells a window from all others."""
    return one.chore, one.person, one.opened


def to_plan(household: Household, low: int, high: int, let_go: Collection[Key] = ()) -> ToPlan:
    """What is to be planned from day `low` to `high`, by the record up to `low`, without what is
    let go.

    Spare windows are not: they need not be done. Nor are the windows of an `after done` line but
    for the next: when they open is not known yet.
    """
    found = [
        (one, days)
        for one in remaining_windows(household, low, high)
        if not one.routine.spare and not one.is_expected and key_of(one) not in let_go
        if (days := _days(household, one, low, high))
    ]
    windows = [one for one, _ in found]
    pieces = [_piece(one, days) for one, days in found]
    span = range(low, high + 1)
    limited = {of.person for of in household.limits if of.person is not None}
    problem = Problem(
        pieces,
        low,
        [limit_on(household, day) for day in span],
        {name: [person_limit(household, name, day) for day in span] for name in sorted(limited)},
        [
            (a, b)
            for a, b in combinations(range(len(windows)), 2)
            if _must_not_meet(windows[a], windows[b]) and {*pieces[a].days} & {*pieces[b].days}
        ],
        [
            (a, b)
            for b, later in enumerate(windows)
            for a, earlier in enumerate(windows)
            if earlier.chore in later.routine.after
            and pieces[a].opens <= pieces[b].days[-1]
            and pieces[b].days[0] < pieces[a].days[-1]
            # Of two chores that each does, a share comes after that of the same person.
            and (None in (earlier.person, later.person) or earlier.person == later.person)
        ],
    )
    return ToPlan(windows, problem)


def _days(household: Household, one: Occasion, low: int, high: int) -> tuple[int, ...]:
    """The days that a window may have: those of its own on which it is asked; for one that has none
    left, the days to come on which it is asked and still owed, of what is vital only the next."""
    days = [day for day in range(max(one.first, low), one.last + 1) if one.is_asked(day)]
    # Under `after done` a flag `expires` has no effect.
    if not days and (one.routine.section.is_after_done or not one.routine.expires):
        closes = min(high, _closes(household, one, low))
        days = [day for day in range(max(one.last + 1, low), closes + 1) if one.is_asked(day)]
        days = days[:1] if one.routine.vital else days
    turn = one.person is None and one.routine.assignment.form == "then"
    if turn:
        present = there(household, people_for(one)[0], one.routine.vital)
        days = [day for day in days if present.holds(day)] or days
    return tuple(days)


def _closes(household: Household, one: Occasion, low: int) -> int:
    """The last day before the next window of the chore, or of the person's share, opens."""
    shares = shares_of(household, one.timeline.chore, low, low)
    (share,) = (share for share in shares if share.timeline.person == one.person)
    return next((later.first - 1 for later in share.ahead() if later.first > one.first), 10**9)


def _piece(one: Occasion, days: tuple[int, ...]) -> Piece:
    people, form = people_for(one), one.routine.assignment.form
    together = form == "together" and one.person is None
    surely = people if together or len(people) == 1 else ()
    return Piece(
        days,
        one.first,
        one.minutes * (len(people) if together else 1),
        tuple((name, one.minutes) for name in surely),
        one.chore,
        one.is_late,
        (not one.routine.vital, -one.lateness),
    )


def _must_not_meet(one: Occasion, other: Occasion) -> bool:
    here, there = one.routine.areas, other.routine.areas
    if here and there and not {*here} & {*there}:
        return False
    return any(
        thing != beside
        and any(
            (thing in row.one and beside in row.other) or (beside in row.one and thing in row.other)
            for row in DANGERS
        )
        for thing in one.routine.things
        for beside in other.routine.things
    )


# ------------------------------------------------------------------------------ what is wrong


def faults_of(
    household: Household, plan: Plan, low: int, high: int, let_go: Collection[Key] = ()
) -> list[str]:
    """What is wrong with a plan, in words, whatever its minutes: windows that are left out, planned
    twice, or on a day on which they are not asked; and orders and dangers that one window on
    another of its days would mend."""
    planned = list(plan)
    wanted = to_plan(household, low, high, let_go)
    count = Counter(key_of(one) for one, _ in planned)
    faults = [f"{_named(key)}: planned {n} times" for key, n in count.items() if n > 1]
    faults += [f"{_named(key)}: not planned" for key in wanted.keys if key not in count]
    faults += [
        fault for one, day in planned for fault in _wrong_day(household, one, day, low, high)
    ]
    day_of = {key_of(one): day for one, day in planned}
    if not faults:
        days = [day_of[key] for key in wanted.keys]
        faults += _avoidable(wanted, days)
    return faults


def faults_of_plan(household: Household, on: int, high: int) -> list[str]:
    """What is wrong with the product's own plan of a day, by the windows that close by day `high`;
    and what it lets go without a right to: what is in time, or vital, or does not come round again
    by the end of the next week."""
    plan = plan_of(household, on)
    planned = [(entry.occasion, day) for entry, day in plan.planned if day <= high]
    let_go = [entry.occasion for entry in plan.let_go]
    soon = week_first(on, household.week_start) + 14
    return [
        *faults_of(
            household,
            # When those come round is known once those before them are done.
            [pair for pair in planned if not pair[0].is_expected],
            on,
            high,
            {key_of(one) for one in let_go},
        ),
        *(
            f"{_named(key_of(one))}: let go"
            for one in let_go
            if not one.is_late or one.routine.vital or _closes(household, one, on) >= soon
        ),
    ]


def _named(key: Key) -> str:
    chore, person, opened = key
    return f"{chore}{f' of {person}' if person else ''}, open from {iso(opened)}"


def _wrong_day(household: Household, one: Occasion, day: int, low: int, high: int) -> list[str]:
    """Why a window must not have a day: at most one reason."""
    if day in (days := _days(household, one, low, high)):
        return []
    if not low <= day <= high:
        why = "it is outside the plan"
    elif day < one.first:
        why = f"it opens on {iso(one.first)} only"
    elif not one.is_asked(day):
        why = "it is not asked on that day"
    elif one.first <= day <= one.last:
        why = f"whose turn it is, {people_for(one)[0]}, is not there"
    elif one.last >= low and days:
        why = f"its last day is {iso(one.last)}"
    else:
        why = "it is missed by then, or there is nobody whose turn it is"
    return [f"{_named(key_of(one))}, on {iso(day)}: {why}"]


def _avoidable(wanted: ToPlan, days: Sequence[int]) -> list[str]:
    """Orders and dangers that are not kept to, although one window on another of its days would be
    enough."""
    problem = wanted.problem
    early = [
        (a, b, "before what it comes after")
        for a, b in problem.after
        if problem.pieces[a].opens <= days[b] < days[a]
    ]
    met = [
        (a, b, "on one day with what it must not meet")
        for a, b in problem.apart
        if days[a] == days[b]
    ]
    faults = []
    for a, b, words in [*early, *met]:
        mended = _mended(problem, days, (a, b))
        if mended is not None:
            place, day = mended
            faults.append(
                f"{_named(wanted.keys[b])}, on {iso(days[b])}: {words} ({_named(wanted.keys[a])}, "
                f"on {iso(days[a])}), but {problem.pieces[place].label} may be on {iso(day)}"
            )
    return faults


def _mended(problem: Problem, days: Sequence[int], pair: tuple[int, int]) -> tuple[int, int] | None:
    """Which of two windows may be on which other day, so that fewer orders are broken, or as many
    and fewer dangers; None if that helps with neither."""
    now = score_of(problem, days)[:2]
    for place in pair:
        for day in problem.pieces[place].days:
            if score_of(problem, [*days[:place], day, *days[place + 1 :]])[:2] < now:
                return place, day
    return None


def figures_of(household: Household, plan: Plan, low: int, high: int) -> Score:
    """The figures of a plan of all windows that must have a day."""
    wanted = to_plan(household, low, high)
    day_of = {key_of(one): day for one, day in plan}
    return score_of(wanted.problem, [day_of[key] for key in wanted.keys])
