"""Habit: which containers have become one, and what to begin or to pause next.

`HABIT_SOURCE` says where the 66 days come from. The abstract it names extrapolates the longest
time, and says that one missed time made no material difference. Gardner, Lally and Wardle, British
Journal of General Practice 62, 2012, was read: it calls the figure an average. That it is a median
is from memory. Singh et al., "Time to form a habit: a systematic
review and meta-analysis", Healthcare 12, 2024, has medians of 59 to 66 days, means of 106 to 154
and a range of 4 to 335, from 20 studies of 2,601 people (read in its abstract). So all of this is
a rule of thumb. That four in five counts as well kept is common practice, without a source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Literal, NamedTuple

from ledger.calendar.day_lists import dates_of
from ledger.calendar.in_force import lines_in_force
from ledger.calendar.occurrences import period_days
from ledger.calendar.week import week_first
from ledger.household.cadence import container
from ledger.household.model import Household, Routine
from ledger.keeping.occasion import Occasion
from ledger.report.chore_record import EIGHT_WEEKS, Kept, kept_in
from ledger.text.fields import Amount, Positive
from ledger.text.source import TextRange

HELD = 80
"""Some days have held if at least this percentage of their windows was done."""
HABIT_DAYS = 66
HABIT_SOURCE = (
    "Lally, van Jaarsveld, Potts and Wardle, How are habits formed: Modelling habit formation in "
    "the real world, European Journal of Social Psychology 40(6), 2010. Its abstract was read and "
    "has 18 to 254 days in one study; 66 is the figure most often quoted from it, as reported"
)
"""Where `HABIT_DAYS` come from, and what of it was read."""
TEN_WEEKS = 10
"""66 days, rounded up to whole weeks."""
RECENT_WEEKS = 4
ENOUGH = 5
"""The fewest windows by which a rate says something: of fewer, one miss takes it below 80%."""

Habit = Literal["habit", "young", "below", "few"]
NextStep = Literal["begin", "carry-on", "pause", "early", "silent"]


class Advice(NamedTuple):
    """What to change next, by a rule of thumb."""

    kind: NextStep
    """`begin`: ten weeks have held, so begin something. `carry-on`: change nothing yet. `pause`:
    less than 80% was done over eight weeks, so pause something. `early`: the book is younger than
    eight weeks. `silent`: the record has settled nothing for eight weeks."""
    container: str | None
    """The container to begin or to pause; None where there is none."""
    chore: str | None
    """The one chore of it to begin; None for all of it."""
    minutes: Amount | None
    """Minutes that this adds or frees in a week, as the book says; None where it says none."""
    weeks: Positive | None
    """How many weeks more until there is something to say or to begin; None where there is nothing
    to wait for."""


class _Choice(NamedTuple):
    container: str
    chore: str | None
    lines: list[Routine]


HARDLY_ANY = 1.0
"""Minutes a week below which a container is no step: it comes round every few years."""


def has_held(rate: Kept) -> bool:
    """True for a rate of at least 80%, and where nothing counted."""
    return percent(rate) >= HELD


def percent(rate: Kept) -> int:
    """A rate in percent; 100 where nothing counted. It is rounded down, so that a rate below a
    bound never seems to meet it."""
    return 100 * rate.kept // rate.counted if rate.counted else 100


def habit_of(rate: Kept, days: int) -> Habit:
    """What a container has become, by its rate over eight weeks and its days in the book: `few`
    (too few windows to say), `below` 80%, `young`, or a `habit`."""
    if rate.counted < ENOUGH:
        return "few"
    if not has_held(rate):
        return "below"
    return "habit" if days >= HABIT_DAYS else "young"


def last_whole_day(household: Household, on: int) -> int:
    """The last day of the latest week that ends on or before a day."""
    return week_first(on + 1, household.week_start) - 1


def advice(household: Household, outcomes: Sequence[Occasion], on: int) -> Advice:
    """What to change next.

    `outcomes` cover at least the last ten whole weeks, and the eight weeks up to the day. Below
    80% over eight weeks, pause the container of the lowest rate. Begin something new once the
    last ten whole weeks together have held 80%, and each of the last four has too: an older bad
    week is forgiven, a recent one is not. Else carry on.
    """
    age = on - household.start + 1
    if age < EIGHT_WEEKS:
        return Advice("early", None, None, None, -((age - EIGHT_WEEKS) // 7))
    recent = [outcome for outcome in outcomes if outcome.counted > on - EIGHT_WEEKS]
    if all(outcome.mark is None for outcome in recent):
        return Advice("silent", None, None, None, None)
    if not has_held(kept_in(recent, on - EIGHT_WEEKS + 1, on)):
        return _advised("pause", household, _to_pause(household, recent, on))
    weeks = _weeks_more(household, outcomes, on)
    if weeks:
        return Advice("carry-on", None, None, None, weeks)
    return _advised("begin", household, _to_begin(household, on))


def _advised(kind: NextStep, household: Household, choice: _Choice | None) -> Advice:
    if choice is None:
        return Advice(kind, None, None, None, None)
    minutes = minutes_a_week(household, choice.lines)
    return Advice(kind, choice.container, choice.chore, minutes, None)


def minutes_a_week(household: Household, lines: Iterable[Routine]) -> float | None:
    """The declared minutes of lines of the routine in a week of their season, for all the people
    who each do them; None where a line declares none. What is done once adds nothing."""
    total = 0.0
    for line in lines:
        if line.minutes is None:
            return None
        cadence = line.section.cadence
        if not cadence.is_once:
            total += line.minutes * line.shares * 7 / period_days(cadence, len(household.weekend))
    return total


def _weeks_more(household: Household, outcomes: Sequence[Occasion], on: int) -> int:
    """How many more good weeks are needed; 0 where it is time to begin something."""
    end = last_whole_day(household, on)
    weeks = [kept_in(outcomes, end - 7 * n - 6, end - 7 * n) for n in range(TEN_WEEKS)]
    bad = (n for n in range(RECENT_WEEKS) if not has_held(weeks[n]))
    since_bad = RECENT_WEEKS - next(bad, RECENT_WEEKS)
    # Each coming week replaces the oldest of the ten.
    dropped = next(n for n in range(TEN_WEEKS + 1) if has_held(_sum(weeks[: TEN_WEEKS - n])))
    young = TEN_WEEKS - (end - household.start + 1) // 7
    return max(since_bad, dropped, young, 0)


def _sum(rates: Iterable[Kept]) -> Kept:
    kept = counted = 0
    for rate in rates:
        kept, counted = kept + rate.kept, counted + rate.counted
    return Kept(kept, counted)


def _to_pause(household: Household, recent: Sequence[Occasion], on: int) -> _Choice | None:
    """The container in force with the lowest rate in whole percent, of those that have not held;
    of equals, the one with most minutes."""
    by_name: dict[str, list[Occasion]] = {}
    for outcome in recent:
        by_name.setdefault(container(outcome.routine.section), []).append(outcome)
    in_force: dict[str, list[Routine]] = {}
    for name in household.chores:
        for line in lines_in_force(household, name, on):
            in_force.setdefault(container(line.section), []).append(line)
    ranked = []
    for n, (name, lines) in enumerate(in_force.items()):
        rate = kept_in(by_name.get(name, ()), on - EIGHT_WEEKS + 1, on)
        if rate.counted >= ENOUGH and not has_held(rate):
            minutes = minutes_a_week(household, lines) or 0.0
            ranked.append((percent(rate), -minutes, n, name))
    if not ranked:
        return None
    name = min(ranked)[-1]
    return _Choice(name, None, in_force[name])


def _to_begin(household: Household, on: int) -> _Choice | None:
    """The paused section, or paused chore of another section, with the fewest minutes a week; those
    that hardly add any, and then those whose minutes are not known, come last."""
    choices: dict[tuple[str, str | None], _Choice] = {}
    for chore, line in _paused_lines(household, on):
        name = container(line.section)
        key = name, None if line.section.paused else chore
        choices.setdefault(key, _Choice(*key, [])).lines.append(line)

    def effort(choice: _Choice) -> tuple[bool, bool, float]:
        minutes = minutes_a_week(household, choice.lines)
        return minutes is None, (minutes or 0.0) < HARDLY_ANY, minutes or 0.0

    return min(choices.values(), key=effort, default=None)


def to_resume(household: Household, advice: Advice) -> list[TextRange]:
    """The lines of the book in which `paused` stands that holds back what an advice begins."""
    if advice.kind != "begin":
        return []
    if advice.chore is not None:
        lines = household.chores[advice.chore].routines
        held = [line for line in lines if line.paused and not line.section.paused]
        return [line.place for line in held if container(line.section) == advice.container]
    return [
        section.place
        for section in household.sections
        if section.paused and not section.lacks_from and container(section) == advice.container
    ]


def _paused_lines(household: Household, on: int) -> Iterator[tuple[str, Routine]]:
    """The paused lines that could begin: not over, and of a chore with no line in force. What
    lacks its `from` cannot."""
    for name, chore in household.chores.items():
        if lines_in_force(household, name, on):
            continue
        for line in chore.routines:
            cadence = line.section.cadence
            last = dates_of(household, line)[1]
            if line.section.lacks_from:
                continue
            if line.paused and on <= (cadence.last if cadence.is_once else last):
                yield name, line
