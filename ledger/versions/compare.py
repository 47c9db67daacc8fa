"""Compare: what changed between two versions of a household, by their meaning.

Spacing, order, comments and the spelling of a line do not count: households are compared, not
their texts.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Callable, Hashable, Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import Literal, NamedTuple, TypeVar

from ledger.household.model import Absence, Chore, Household, Limit, Named, Routine, Section
from ledger.household.names import title_of
from ledger.text.words import duration
from ledger.text.writer import quoted
from ledger.versions.clause_texts import (
    NAMED_DAYS,
    ROUTINE,
    SECTION,
    SETTINGS,
    absence_name,
    limit_name,
)
from ledger.versions.sections import names_of, paired
from ledger.versions.settled import alike

T = TypeVar("T")
Pair = tuple[Routine | None, Routine | None]
ClauseTexts = Mapping[str, Callable[[T], str]]
Thing = Literal[
    "setting", "person", "area", "days", "limit", "away", "rest", "section", "chore"
]  # fmt: skip
Became = Literal["added", "retired", "renamed", "moved", "changed"]


class Difference(NamedTuple):
    """A clause, and what it said before and says now; empty where it says nothing."""

    clause: str
    """The clause; empty where the thing has but one."""
    before: str
    """What it said; empty where it said nothing."""
    after: str
    """What it says; empty where it says nothing."""


class Change(NamedTuple):
    """What became of one thing that the book names."""

    what: Thing
    """The kind of thing."""
    name: str
    """Its name in the book now, or before if it is gone."""
    kind: Became
    """What became of it."""
    was: str
    """Its name before, where that was another; else empty."""
    container: str
    """For a line of a chore, its container now, or before if it is gone; else empty."""
    differences: tuple[Difference, ...]
    """The clauses that differ."""


def compare(before: Household, after: Household) -> tuple[Change, ...]:
    """What changed in the routine and its declarations from one version to another."""
    return tuple(_changes(before, after))


def _changes(before: Household, after: Household) -> Iterator[Change]:
    for keyword, text_of in SETTINGS.items():
        yield from _change("setting", keyword, [Difference("", text_of(before), text_of(after))])
    yield from _each("person", before.people, after.people, _TITLED)
    yield from _each("area", before.areas, after.areas, _TITLED)
    yield from _each("days", before.named_days, after.named_days, NAMED_DAYS)
    yield from _each("limit", _limits(before), _limits(after), _LIMIT)
    yield from _each("away", _absences(before, "away"), _absences(after, "away"), _TITLED)
    yield from _each("rest", _absences(before, "rest"), _absences(after, "rest"), _TITLED)
    chores = _Chores(before, after)
    yield from chores.containers()
    yield from chores.changes()


def _change(
    what: Thing,
    name: str,
    differences: Sequence[Difference],
    kind: Became = "changed",
    was: str = "",
    container: str = "",
) -> Iterator[Change]:
    """The change, unless nothing changed."""
    changed = tuple(
        difference for difference in differences if difference.before != difference.after
    )
    if changed or kind != "changed":
        yield Change(what, name, kind, was, container, changed)


def _each(
    what: Thing, before: Mapping[str, T], after: Mapping[str, T], clauses: ClauseTexts[T]
) -> Iterator[Change]:
    for name in dict.fromkeys((*before, *after)):
        old, new = before.get(name), after.get(name)
        yield from _change(what, name, _differences(old, new, clauses), _kind(old, new))


def _kind(old: object, new: object) -> Became:
    return "added" if old is None else "retired" if new is None else "changed"


def _differences(old: T | None, new: T | None, clauses: ClauseTexts[T]) -> list[Difference]:
    return [
        Difference(
            clause,
            text_of(old) if old is not None else "",
            text_of(new) if new is not None else "",
        )
        for clause, text_of in clauses.items()
    ]


_TITLED: ClauseTexts[Named | Absence] = {"": lambda one: one.title}
_LIMIT: ClauseTexts[Limit] = {"": lambda limit: duration(limit.minutes)}


def _limits(household: Household) -> dict[str, Limit]:
    return {limit_name(of): limit for of, limit in household.limits.items()}


def _absences(household: Household, keyword: str) -> dict[str, Absence]:
    return {absence_name(one): one for one in household.absences if one.keyword == keyword}


class _Chores:
    """Compares containers and the chores in them."""

    def __init__(self, before: Household, after: Household) -> None:
        self._before, self._after = before.chores, after.chores
        self._pairs = paired(before.sections, after.sections)
        self._called_before = names_of(before.sections)
        self._called_after = names_of(after.sections)

    def containers(self) -> Iterator[Change]:
        """What became of each section that both versions have."""
        for old, new in self._pairs.items():
            was, name = self._called_before(old), self._called_after(new)
            kind: Became = "renamed" if old.title != new.title else "changed"
            was = was if was != name else ""
            yield from _change("section", name, _differences(old, new, SECTION), kind, was)

    def changes(self) -> Iterator[Change]:
        """What became of each chore."""
        renamed = self._renamed()
        gone = set(renamed.values())
        for name in dict.fromkeys((*self._before, *self._after)):
            if name not in gone:
                was = renamed.get(name, name)
                yield from self._of_chore(name, self._before.get(was), self._after.get(name))

    def _of_chore(self, name: str, old: Chore | None, new: Chore | None) -> Iterator[Change]:
        was = old.name if old and old.name != name else ""
        if was:
            yield from _change("chore", name, (), "renamed", was)
        lines = list(self._lines(name, old, new))
        whole = [
            one
            for one in (Difference("title", _title(old), _title(new)), _steps(old, new))
            if one.before != one.after
        ]
        if len(lines) == 1:
            lines = [lines[0]._replace(differences=(*lines[0].differences, *whole))]
        else:
            kind = _kind(old, new) if whole else "changed"
            yield from _change("chore", name, whole, kind, was)
        for line in lines:
            yield line._replace(was=was)

    def _lines(self, name: str, old: Chore | None, new: Chore | None) -> Iterator[Change]:
        """The changes of a chore, line by line."""
        for one, other in self._paired(old.routines if old else (), new.routines if new else ()):
            stood = self._called_before(one.section) if one else ""
            stands = self._called_after(other.section) if other else ""
            differences, kind = _differences(one, other, ROUTINE), _kind(one, other)
            if one is None or other is None or self._was(one) != other.section:
                differences.insert(0, Difference("container", stood, stands))
                kind = "moved" if one and other else kind
            yield from _change("chore", name, differences, kind, container=stands or stood)

    def _paired(self, old: Sequence[Routine], new: Sequence[Routine]) -> Iterator[Pair]:
        """The lines of a chore in pairs: equal ones first, then those of one section, then the
        others in order."""
        left, right = list(old), list(new)
        keys: Sequence[Callable[[Routine, Section], Hashable]] = (
            lambda line, section: (section, *(text_of(line) for text_of in ROUTINE.values())),
            lambda _, section: section,
        )
        for key in keys:
            waiting: dict[Hashable, deque[Routine]] = {}
            for before in left:
                waiting.setdefault(key(before, self._was(before)), deque()).append(before)
            lone = []
            for after in right:
                alike = waiting.get(key(after, after.section))
                if alike:
                    yield alike.popleft(), after
                else:
                    lone.append(after)
            # Those that have no partner yet, in order.
            places = {id(before) for lines in waiting.values() for before in lines}
            left, right = [before for before in left if id(before) in places], lone
        yield from zip_longest(left, right)

    def _was(self, line: Routine) -> Section:
        """The section of a line before, as the version after has it."""
        return self._pairs.get(line.section, line.section)

    def _renamed(self) -> dict[str, str]:
        """Old names of renamed chores, by new ones. A chore is renamed if one chore is gone, and
        one is new that has the same containers, minutes and areas."""
        gone = {
            name: self._alike(chore, self._was)
            for name, chore in self._before.items()
            if name not in self._after
        }
        come = {
            name: self._alike(chore, lambda line: line.section)
            for name, chore in self._after.items()
            if name not in self._before
        }
        left, new = Counter(gone.values()), Counter(come.values())
        old_names = {key: name for name, key in gone.items() if left[key] == 1}
        return {name: old_names[key] for name, key in come.items() if new[key] == left[key] == 1}

    def _alike(self, chore: Chore, section: Callable[[Routine], Section]) -> Hashable:
        lines = Counter(
            (section(line), line.minutes, frozenset(line.areas)) for line in chore.routines
        )
        return frozenset(lines.items())


def _title(chore: Chore | None) -> str:
    """The title of a chore where the book gives it one."""
    return "" if chore is None or chore.title == title_of(chore.name, None) else chore.title


def _steps(old: Chore | None, new: Chore | None) -> Difference:
    """The steps that differ, without those at the beginning and the end that stayed."""
    both = [chore.steps if chore else () for chore in (old, new)]
    start = alike(both)
    end = alike([steps[start:][::-1] for steps in both])
    before, after = (steps[start : len(steps) - end] for steps in both)
    return Difference("step", *(", ".join(map(quoted, steps)) for steps in (before, after)))
