"""Due: what is to be done on a day, and what of it fits in the minutes given."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from typing import TYPE_CHECKING, NamedTuple

from ledger.calendar.presence import absence_title
from ledger.household.model import Household
from ledger.keeping.history import shares_of
from ledger.keeping.minutes import Learned, learned_by
from ledger.planning.likely import Quartiles
from ledger.report.apart import KeptApart, kept_apart
from ledger.report.as_kept import as_kept
from ledger.report.estimate import estimate
from ledger.report.lists import LetGo, sorted_out
from ledger.report.planned import Choosing
from ledger.report.scope import (
    WHOLE,
    Absent,
    Scope,
    absent_on,
    limit_in,
    on_day,
    shared_minutes,
    within,
)
from ledger.report.task import Caution, Task, cautions_of, join_shares, task_of
from ledger.text.fields import AreaAsked, Count, DayLimit, HouseholdTitle, PersonAsked

if TYPE_CHECKING:
    from ledger.report.pick import Pick


class Due(NamedTuple):
    """What is to be done on a day, by the record up to that day."""

    household: HouseholdTitle
    day: date
    """The day."""
    person: PersonAsked
    area: AreaAsked
    kept_from: date | None
    """Of a day to come, the first of the days before it that are taken as kept: what they ask for
    counts as done. None for today and days past, which go by the record alone."""
    absent: tuple[Absent, ...]
    """Who is away on the day and who rests; of one person's list, only that person."""
    away: str | None
    """Why the whole household, or the person, is away on the day; empty where the book gives no
    reason; None at home."""
    rest: str | None
    """Why the whole household, or the person, rests on the day; empty where the book gives no
    reason; None on other days."""
    containers: tuple[str, ...]
    """Containers to take out for the tasks of the day, in the order of the book; where tasks are
    picked, only theirs."""
    late: tuple[Task, ...]
    """Tasks that are past their windows and planned for the day; vital ones first, then those of
    most lateness."""
    today: tuple[Task, ...]
    """Tasks in time that are planned for the day or have no later one, by container in the order of
    the book; each behind those that its chore comes `after`."""
    may_wait: tuple[Task, ...]
    """Other tasks in time, those that close first first; then spare ones."""
    waiting: tuple[Task, ...]
    """Late tasks that the plan puts on a later day, in the order of these days; then those that it
    gives no day yet."""
    let_go: tuple[LetGo, ...]
    """Late tasks that do not fit within the limits and come round again soon."""
    done: tuple[Task, ...]
    """Tasks that were settled on the day."""
    minutes: Count
    """Minutes of the tasks of the day, `late` and `today`, as the book says."""
    shared_minutes: Count
    """Those of these minutes that others may take over from the person asked for: anyone, or one of
    several, may do the task. 0 for the whole household."""
    likely: Quartiles | None
    """How long these take by the record; None where none of them was timed often enough."""
    may_wait_minutes: Count
    """Minutes of the tasks that may wait."""
    limit: DayLimit
    pick: Pick | None
    """What fits in the minutes given; None where none were."""
    apart: tuple[KeptApart, ...]
    """Chores that must not be done on one day, of all that is open or done on the day. All people
    and areas count, whatever person, area or number of minutes was asked for."""
    nobody_there: tuple[Task, ...]
    """Vital tasks of the day that nobody is there to do: all who could are away."""
    silenced: tuple[Task, ...]
    """Other tasks with this last day that nobody is there to do, while the household is at home;
    without shares of chores that each does."""
    cautions: tuple[Caution, ...]
    """What to mind with the things that the open tasks use, each thing once; where tasks are
    picked, only theirs."""


def due(
    household: Household,
    day: int,
    scope: Scope = WHOLE,
    minutes: int | None = None,
) -> Due:
    """What is to be done on a day; where `minutes` are given, also what of it fits in them.

    The days between the household's today and a day to come are taken as kept.
    """
    household, kept_from = as_kept(household, day)
    learned_of = learned_by(household, day)
    all_tasks = join_shares(_tasks(household, day, learned_of))
    tasks = on_day(household, day, all_tasks, scope)
    lists = sorted_out(household, tasks, day)
    must = [*lists.late, *lists.today]
    alone = within(_nobody_there(household, day), scope)
    picked = _pick(household, day, lists.everything, all_tasks, minutes, scope.person)
    listed = picked.tasks if picked else [*must, *lists.may_wait]
    return Due(
        household=household.title,
        day=date.fromordinal(day),
        person=scope.person,
        area=scope.area,
        kept_from=None if kept_from is None else date.fromordinal(kept_from),
        absent=absent_on(household, day, scope.person),
        away=absence_title(household, "away", day, scope.person),
        rest=absence_title(household, "rest", day, scope.person),
        containers=_containers(tasks, picked.tasks if picked else must),
        late=tuple(lists.late),
        today=tuple(lists.today),
        may_wait=tuple(lists.may_wait),
        waiting=tuple(lists.waiting),
        let_go=lists.let_go,
        done=tuple(task for task in tasks if task.settled == date.fromordinal(day)),
        minutes=sum(task.total for task in must),
        shared_minutes=shared_minutes(must, scope),
        likely=estimate(household, day, [must], learned_of),
        may_wait_minutes=sum(task.total for task in lists.may_wait),
        limit=limit_in(household, day, scope),
        pick=picked,
        nobody_there=tuple(task for task in alone if task.vital),
        silenced=tuple(task for task in alone if not (task.vital or task.each)),
        apart=kept_apart(all_tasks),
        cautions=cautions_of(listed),
    )


def _containers(tasks: Sequence[Task], listed: Sequence[Task]) -> tuple[str, ...]:
    """Containers of the listed tasks that are in time, in the order of the book."""
    wanted = {task.container for task in listed if task.state == "due"}
    return tuple(dict.fromkeys(t.container for t in tasks if t.container in wanted))


def _pick(
    household: Household,
    day: int,
    tasks: Sequence[Task],
    everybodys: Sequence[Task],
    minutes: int | None,
    person: str | None,
) -> Pick | None:
    if minutes is None:
        return None
    # Only a list for so many minutes needs it.
    from ledger.report.pick import pick_tasks

    return pick_tasks(household, day, tasks, everybodys, minutes, person)


def _tasks(
    household: Household,
    day: int,
    learned_of: Callable[[str], Learned | None],
) -> list[Task]:
    """A task for each window that is open, overdue, or settled on the day."""
    choosing = Choosing(household, day)
    return [
        task_of(one, learned_of(chore.name), None, choosing.of(one))
        for chore in household.chores.values()
        for share in shares_of(household, chore, day, day)
        for one in (*filter(None, [share.shown]), *share.settled_today())
    ]


def _nobody_there(household: Household, day: int) -> list[Task]:
    """The tasks of a day that nobody is there to do."""
    if not household.absences:
        return []
    shares = (
        share
        for chore in household.chores.values()
        for share in shares_of(household, chore, day, day)
    )
    return join_shares(task_of(one, None) for share in shares if (one := share.unattended))
