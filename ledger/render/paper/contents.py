"""Contents: a container as labels and the sheet print it, its chores with their words."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import date
from typing import Any, NamedTuple

from ledger.render.layout import dated
from ledger.report.chore_lines import RoutineLine
from ledger.report.routine import Routine, RoutineChore, RoutineContainer
from ledger.report.task import Caution
from ledger.text.words import counted, duration

NO_MINUTES = "\N{EN DASH}"
NO_BREAK = "\N{NO-BREAK SPACE}"
TIMES = "\N{MULTIPLICATION SIGN}"
_DAY = re.compile(r"\b[0-9]{4}-[0-9]{2}-[0-9]{2}\b")
_BETWEEN = {"then": " then ", "each": ", ", "together": " and ", "any": " or "}


class Marks(NamedTuple):
    """The people of a routine by the shortest mark that tells each from all others."""

    by_name: Mapping[str, str]
    everyone: frozenset[str]
    """Names of all people of the household."""

    def who(self, line: RoutineLine) -> str:
        """Who does a chore; empty for anyone."""
        if not line.people:
            return ""
        if line.form == "each" and self.everyone == set(line.people):
            return "each"
        marks = [self.by_name[name] for name in line.people]
        return ("each of " if line.form == "each" else "") + _BETWEEN[line.form].join(marks)


def marks_of(routine: Routine) -> Marks:
    """The marks of all people in the chores of a routine: as few first letters of each name as no
    other name begins with."""
    names = dict.fromkeys(
        name for one in routine.containers for chore in one.chores for name in chore.line.people
    )
    marks = {name: _mark(name, [other for other in names if other != name]) for name in names}
    return Marks(marks, frozenset(routine.people))


def _mark(name: str, others: Iterable[str]) -> str:
    folded = [other.casefold() for other in others]
    lengths = (
        length
        for length in range(1, len(name))
        if not any(other.startswith(name[:length].casefold()) for other in folded)
    )
    mark = name[: next(lengths, len(name))]
    return mark[:1].upper() + mark[1:]


def cadence_of(one: RoutineContainer) -> str:
    """When the chores of a container come round. Of several ways it is what they share, else the
    shortest: each chore that has another says it itself."""
    if len(one.cadences) > 1 and any(
        cadence.startswith(f"{one.title} ") for cadence in one.cadences
    ):
        return one.title
    return min(one.cadences, key=len)


def dates_of(line: RoutineLine) -> tuple[str, ...]:
    """From which day to come a line is in force, and until which day, where it says so."""
    first = line.first if line.status == "to-come" else None
    days = (("from", first), ("until", line.last))
    return tuple(f"{word} {_unbroken(day)}" for word, day in days if day is not None)


def shared_dates(one: RoutineContainer) -> tuple[str, ...]:
    """The dates of a container: those that all its chores share."""
    first, *others = (dates_of(chore.line) for chore in one.chores)
    return tuple(text for text in first if all(text in other for other in others))


def _unbroken(day: date) -> str:
    """A day as people write it, which stays in one line."""
    return dated(day).replace(" ", NO_BREAK)


def _spoken(cadence: str) -> str:
    """The words of a cadence, with its days as people write them."""
    return _DAY.sub(lambda found: _unbroken(date.fromisoformat(found[0])), cadence)


def container_data(one: RoutineContainer) -> dict[str, Any]:
    """The title of a container, what its cadence and its dates add to it, how many chores it has
    and their minutes."""
    cadence = cadence_of(one)
    is_untitled = cadence == one.title or cadence.startswith(f"{one.title} ")
    added = cadence.removeprefix(one.title).strip() if is_untitled else cadence
    return {
        "title": _spoken(one.title) if is_untitled else one.title,
        "cadence": ", ".join(filter(None, (_spoken(added), *shared_dates(one)))),
        "minutes": duration(one.minutes) if one.minutes else "",
        "count": counted(len({chore.chore for chore in one.chores}), "chore", "chores"),
    }


def shares_of(chore: RoutineChore) -> str:
    """The minutes of a chore, times the people who do it."""
    if chore.line.minutes is None:
        return NO_MINUTES
    return (f"{chore.shares}{TIMES}" if chore.shares > 1 else "") + str(chore.line.minutes)


def minutes_of(chore: RoutineChore, container: RoutineContainer) -> str:
    """The minutes of a chore, times the people who do it; in brackets where the total of its
    container is without them."""
    text = shares_of(chore)
    return text if container.counts(chore) or text == NO_MINUTES else f"({text})"


def remarks(
    chore: RoutineChore, container: RoutineContainer, signs: Iterable[str] = ("vital", "spare")
) -> list[str]:
    """What else a chore is: those of some signs that its line has, and its days where its
    container has others."""
    line, cadence, shared = chore.line, cadence_of(container), shared_dates(container)
    words = [word for word in signs if getattr(line, word)]
    if line.cadence != cadence:
        words.append(_spoken(line.cadence.removeprefix(cadence).strip()))
    return words + [text for text in dates_of(line) if text not in shared]


def cautions_of(containers: Iterable[RoutineContainer]) -> list[Caution]:
    """What to mind with the things of some containers, each thing once."""
    found = {
        caution.thing: caution
        for one in containers
        for chore in one.chores
        for caution in chore.cautions
    }
    return list(found.values())
