"""Routine: the containers with their chores, the key of areas, and the limits, as they stand."""

from __future__ import annotations

from typing import NamedTuple

from ledger.household.cadence import container
from ledger.household.model import Assignment, Household
from ledger.report.chore_lines import RoutineLine, lines_of
from ledger.report.task import Caution, cautions_for
from ledger.text.fields import ChoreName, ChoreTitle, Count, HouseholdTitle, NonEmpty, Positive


class KeyArea(NamedTuple):
    """An area with its number in the key."""

    number: Positive
    """Its place among the areas of the book, from 1."""
    name: NonEmpty
    title: str


class RoutineChore(NamedTuple):
    """A chore in a container."""

    chore: ChoreName
    title: ChoreTitle
    areas: tuple[KeyArea, ...]
    line: RoutineLine
    cautions: tuple[Caution, ...]
    """What to mind with the things that it uses."""

    @property
    def shares(self) -> Positive:
        """How many people do it each time: one, or all of them, each their own or together."""
        return Assignment(self.line.form, self.line.people).shares


class RoutineContainer(NamedTuple):
    """A container with its chores, in the order of the book."""

    title: NonEmpty
    """What its sections are called: their title, or else their cadence."""
    cadences: tuple[str, ...]
    """When its chores come round, each way once."""
    chores: tuple[RoutineChore, ...]

    @property
    def minutes(self) -> Count:
        """Minutes of its chores, of all the people who do them, without those that it does not
        count."""
        return sum((one.line.minutes or 0) * one.shares for one in self.chores if self.counts(one))

    def counts(self, chore: RoutineChore) -> bool:
        """True if the minutes of a chore are in its total: not what is spare, and what is to come
        only where all of it is."""
        is_to_come = chore.line.status == "to-come"
        return not chore.line.spare and (
            not is_to_come or all(one.line.status == "to-come" for one in self.chores)
        )


class RoutineLimit(NamedTuple):
    """Minutes that fit in a day."""

    person: str | None
    """Name of the person whose minutes it counts; None for the household's."""
    kind: str | None
    """The kind of day, in the word of the book; None for any day."""
    minutes: Count


class Routine(NamedTuple):
    """The whole routine on a day."""

    household: HouseholdTitle
    people: tuple[str, ...]
    """Names of all people of the book, in its order."""
    areas: tuple[KeyArea, ...]
    """The key: all areas of the book, in its order."""
    containers: tuple[RoutineContainer, ...]
    limits: tuple[RoutineLimit, ...]


def routine(household: Household, on: int, paused: bool = False) -> Routine:
    """The routine as it is on a day: lines in force and lines to come; with `paused`, those that
    are paused instead."""
    key = {
        name: KeyArea(number, name, area.title)
        for number, (name, area) in enumerate(household.areas.items(), 1)
    }
    wanted = ("paused",) if paused else ("in-force", "to-come")
    held: dict[str, list[RoutineChore]] = {}
    for section in household.sections:
        held.setdefault(container(section), [])
    for name, chore in household.chores.items():
        for line in lines_of(household, name, on):
            if line.status in wanted:
                areas = tuple(key[area] for area in line.areas)
                one = RoutineChore(name, chore.title, areas, line, cautions_for(line.things))
                held[line.container].append(one)
    files = list(dict.fromkeys(section.place.source.path for section in household.sections))
    # A chore with several lines stands in the household where its first line stands.
    ordered = {
        title: tuple(sorted(chores, key=lambda one: (files.index(one.line.file), one.line.line)))
        for title, chores in held.items()
    }
    return Routine(
        household=household.title,
        people=tuple(household.people),
        areas=tuple(key.values()),
        containers=tuple(
            RoutineContainer(
                title, tuple(dict.fromkeys(one.line.cadence for one in chores)), chores
            )
            for title, chores in ordered.items()
            if chores
        ),
        limits=tuple(
            RoutineLimit(of.person, of.kind, limit.minutes)
            for of, limit in household.limits.items()
        ),
    )
