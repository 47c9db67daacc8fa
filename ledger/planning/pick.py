"""Pick: the best open tasks that fit in the given minutes."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from enum import Enum
from typing import NamedTuple

MOST_STATES = 256
"""Of how many ways in which the tasks looked at bear on the others each is followed up."""

Pairs = Collection[tuple[int, int]]
"""Pairs of tasks, as their indices."""


class Kind(Enum):
    """What a task is, in the order in which minutes are given."""

    VITAL = "vital"
    """Vital, and on its last day or late."""
    LAST_CHANCE = "last chance"
    """In time today, and not to be done later."""
    LATE = "late"
    LAST_DAY = "last day"
    """In time today, and late from tomorrow on."""
    MAY_WAIT = "may wait"
    """In time tomorrow too."""
    SPARE = "spare"
    """Only offered when time is left."""


class Candidate(NamedTuple):
    """A task that may be picked."""

    minutes: int
    """0 where all of them were worked already."""
    kind: Kind
    lateness: int = 0
    """Days late divided by the chore's period, in millionths; 0 for one in time."""


class _Group(NamedTuple):
    """Tasks that are picked together or not at all: one task, or a circle of `after`. The sets of
    tasks are numbers; each has the bit of each of its tasks."""

    tasks: int
    minutes: int
    value: int
    before: int
    """Other tasks that these come after."""
    linked: int
    """Other tasks that these come after or are apart from, and those that come after these."""
    foes: int
    """Tasks that must be kept apart from these."""
    needed_by: int
    """These tasks and all that come after them."""


def pick(
    candidates: Sequence[Candidate], room: int, apart: Pairs = (), after: Pairs = ()
) -> list[int]:
    """The indices of the best tasks to do in `room` minutes, in order.

    Better is: more vital tasks; then more with their last chance; then the greater sum of lateness;
    then more tasks on their last day; then more that may wait; then more minutes, those of spare
    tasks left out; then more spare tasks; then earlier tasks. Of two tasks that are `apart` at most
    one is taken; one that is apart from itself never is. Of a pair in `after`, the first is taken
    only if the second is, so of a circle all are or none.

    Dynamic programming over the minutes (Bellman, Dynamic programming, 1957), with a table for each
    way in which the tasks looked at bear on the others. The answer is the best as long as there are
    at most `MOST_STATES` such ways at a time. Beyond that the most promising are followed up: the
    answer keeps to `apart` and `after`, and may not be the best.
    """
    values = _values(candidates)
    groups = _groups(candidates, values, apart, after)
    # Too many minutes weigh more than all tasks together.
    too_many = -1 - sum(values)
    waiting = (1 << len(candidates)) - 1
    never = sum(group.tasks for group in groups if group.tasks & group.foes)
    # For each set of waiting tasks that are shut out, the best value for each number of minutes.
    tables = {never: [0] * (room + 1)}
    for group in _in_order(groups):
        waiting &= ~group.tasks
        found: dict[int, list[int]] = {}
        for shut_out, best in tables.items():
            _keep(found, (shut_out | group.needed_by) & waiting, best)
            if not shut_out & group.tasks and group.minutes <= room:
                fitting = (before + group.value for before in best[: room + 1 - group.minutes])
                with_group = [*[too_many] * group.minutes, *fitting]
                _keep(found, (shut_out | group.foes) & waiting, with_group)
        promising = sorted(found, key=lambda shut_out: found[shut_out][room], reverse=True)
        tables = {shut_out: found[shut_out] for shut_out in promising[:MOST_STATES]}
    (best,) = tables.values()
    last = len(candidates) - 1
    return [place for place in range(len(candidates)) if best[room] >> (last - place) & 1]


def _keep(tables: dict[int, list[int]], key: int, best: list[int]) -> None:
    tables[key] = list(map(max, tables[key], best)) if key in tables else best


def _values(candidates: Sequence[Candidate]) -> list[int]:
    """A whole number for each task; sums of them compare by the aims of `pick`, in their order. The
    lowest bits tell which tasks are taken; an earlier task has a higher bit."""
    aims = [
        (
            one.kind is Kind.VITAL,
            one.kind is Kind.LAST_CHANCE,
            one.lateness,
            one.kind is Kind.LAST_DAY,
            one.kind is Kind.MAY_WAIT,
            0 if one.kind is Kind.SPARE else one.minutes,
            one.kind is Kind.SPARE,
            1 << (len(candidates) - 1 - place),
        )
        for place, one in enumerate(candidates)
    ]
    most = [sum(column) for column in zip(*aims, strict=True)]
    values = [0] * len(candidates)
    for place, some in enumerate(aims):
        for aim, total in zip(some, most, strict=True):
            values[place] = (values[place] << total.bit_length()) + aim
    return values


def _groups(
    candidates: Sequence[Candidate], values: Sequence[int], apart: Pairs, after: Pairs
) -> list[_Group]:
    places = range(len(candidates))
    needs = [1 << place for place in places]
    while any(needs[other] & ~needs[one] for one, other in after):
        for one, other in after:
            needs[one] |= needs[other]
    needed_by = [_union(1 << one for one in places if needs[one] >> place & 1) for place in places]
    foes = [0] * len(candidates)
    for one, other in apart:
        foes[one] |= 1 << other
        foes[other] |= 1 << one
    linked = list(foes)
    for one, other in after:
        linked[one] |= 1 << other
        linked[other] |= 1 << one
    circles: dict[int, list[int]] = {}
    for place in places:
        circles.setdefault(needs[place], []).append(place)
    return [
        _Group(
            tasks=(tasks := _union(1 << place for place in circle)),
            minutes=sum(candidates[place].minutes for place in circle),
            value=sum(values[place] for place in circle),
            before=all_needed & ~tasks,
            linked=_union(linked[place] for place in circle) & ~tasks,
            foes=_union(foes[place] for place in circle),
            needed_by=needed_by[circle[0]],
        )
        for all_needed, circle in circles.items()
    ]


def _in_order(groups: Sequence[_Group]) -> Iterator[_Group]:
    """The groups, each behind those that it needs, and so that at any time few of those looked at
    are linked to others."""
    waiting = dict.fromkeys(groups)
    left = _union(group.tasks for group in groups)
    begun: list[_Group] = []

    def begun_with(group: _Group) -> list[_Group]:
        """Those with links to tasks that wait, once the group is looked at."""
        return [one for one in [*begun, group] if one.linked & left & ~group.tasks]

    while waiting:
        ready = [group for group in waiting if not group.before & left]
        edge = _union(one.linked for one in begun)
        group = min(
            [group for group in ready if group.tasks & edge] or ready,
            key=lambda group: len(begun_with(group)),
        )
        begun = begun_with(group)
        left &= ~group.tasks
        del waiting[group]
        yield group


def _union(sets: Iterable[int]) -> int:
    together = 0
    for some in sets:
        together |= some
    return together
