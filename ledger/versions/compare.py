"""Compare: what changed between two versions of a household, by what they mean.

Spacing, order, comments and the spelling of a line say nothing here: households are compared,
not their texts.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import zip_longest
from typing import NamedTuple, TypeVar

from ledger.household.model import Absence, Chore, Household, Routine
from ledger.text.writer import duration
from ledger.versions.said import ROUTINE, SECTION, SETTINGS, away_key, away_name, section_names

T = TypeVar("T")


class Difference(NamedTuple):
    """A clause, and what it said before and says now; empty where it says nothing."""

    clause: str
    before: str
    after: str


class Change(NamedTuple):
    """What became of one thing that the book names."""

    what: str
    """setting, person, area, limit, away, section or chore."""
    name: str
    kind: str
    """added, retired, renamed, moved or changed."""
    was: str
    """Its name before, for one that was renamed."""
    differences: tuple[Difference, ...]


def compare(before: Household, after: Household) -> tuple[Change, ...]:
    """What changed in the routine and its declarations from one version to another."""
    return tuple(_changes(before, after))


def _changes(before: Household, after: Household) -> Iterator[Change]:
    for keyword, said in SETTINGS.items():
        yield from _told("setting", keyword, [Difference("", said(before), said(after))])
    people, areas = (before.people, after.people), (before.areas, after.areas)
    yield from _each("person", *people, {"": lambda person: person.title})
    yield from _each("area", *areas, {"": lambda area: area.title})
    limits = (before.limits, after.limits)
    yield from _each("limit", *limits, {"": lambda limit: duration(limit.minutes)})
    yield from _each("away", _absences(before), _absences(after), {"": lambda one: one.title})
    named = section_names(before, after)
    old, new = ({named(one): one for one in home.sections} for home in (before, after))
    yield from _each("section", old, new, SECTION, only_changed=True)
    clauses = {"container": lambda routine: named(routine.section), **ROUTINE}
    yield from _Chores(clauses).changes(before.chores, after.chores)


def _told(
    what: str, name: str, differences: Sequence[Difference], kind: str = "changed", was: str = ""
) -> Iterator[Change]:
    """The change, unless it is none."""
    found = tuple(one for one in differences if one.before != one.after)
    if found or kind != "changed":
        yield Change(what, name, kind, was, found)


def _each(
    what: str,
    before: Mapping[str, T],
    after: Mapping[str, T],
    clauses: Mapping[str, Callable[[T], str]],
    *,
    only_changed: bool = False,
) -> Iterator[Change]:
    for name in dict.fromkeys((*before, *after)):
        old, new = before.get(name), after.get(name)
        kind = "changed" if name in before and name in after else "added"
        if kind == "added" and name in before:
            kind = "retired"
        if kind == "changed" or not only_changed:
            yield from _told(what, name, _differences(old, new, clauses), kind)


def _differences(
    old: T | None, new: T | None, clauses: Mapping[str, Callable[[T], str]]
) -> list[Difference]:
    return [
        Difference(
            clause,
            said(old) if old is not None else "",
            said(new) if new is not None else "",
        )
        for clause, said in clauses.items()
    ]


def _absences(household: Household) -> dict[str, Absence]:
    found = {away_key(absence): absence for absence in household.absences}
    return {away_name(absence): absence for absence in found.values()}


class _Chores:
    """Compares chores, given the clauses that their lines are told by."""

    def __init__(self, clauses: Mapping[str, Callable[[Routine], str]]) -> None:
        self._clauses = clauses

    def changes(self, before: Mapping[str, Chore], after: Mapping[str, Chore]) -> Iterator[Change]:
        """What became of each chore."""
        renamed = _renamed(before, after)
        for name in dict.fromkeys((*before, *after)):
            if name in renamed.values():
                continue
            was = renamed.get(name, name)
            old, new = before.get(was), after.get(name)
            if was != name:
                yield from _told("chore", name, (), "renamed", was)
            elif old is not None and new is not None:
                yield from _told("chore", name, [Difference("title", old.title, new.title)])
            yield from self._lines(name, old, new)

    def _lines(self, name: str, old: Chore | None, new: Chore | None) -> Iterator[Change]:
        """The changes of a chore, line by line."""
        for one, other in self._paired(old.routines if old else (), new.routines if new else ()):
            kind = "added" if one is None else "retired" if other is None else "changed"
            differences = _differences(one, other, self._clauses)
            if kind == "changed" and differences[0].before != differences[0].after:
                kind = "moved"
            yield from _told("chore", name, differences, kind)

    def _paired(
        self, old: Sequence[Routine], new: Sequence[Routine]
    ) -> Iterator[tuple[Routine | None, Routine | None]]:
        """The lines of a chore in pairs: those of one section first, the others in order."""
        stands = self._clauses["container"]
        left, right = list(old), list(new)
        for other in new:
            one = next((line for line in left if stands(line) == stands(other)), None)
            if one is not None:
                left.remove(one)
                right.remove(other)
                yield one, other
        yield from zip_longest(left, right)


def _renamed(before: Mapping[str, Chore], after: Mapping[str, Chore]) -> dict[str, str]:
    """A new name and the old one, where one chore is gone and one alike has come."""
    gone = [chore for name, chore in before.items() if name not in after]
    come = [chore for name, chore in after.items() if name not in before]
    found = {}
    for chore in come:
        alike = [one for one in gone if one.routines == chore.routines]
        if len(alike) == 1 and sum(one.routines == chore.routines for one in come) == 1:
            found[chore.name] = alike[0].name
    return found
