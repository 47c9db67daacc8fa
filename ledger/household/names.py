"""Declared names of people and areas, and findings for unknown names."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from typing import TYPE_CHECKING

from ledger.household.model import DayList, LimitOf, Named, NamedDays
from ledger.text.finding import REPEATED_NAME, UNKNOWN_NAME, Finding, Fix
from ledger.text.parts import DayItem, DayItems, Located, Name, Names
from ledger.text.source import Source, TextRange
from ledger.text.tree import Declared, LimitLine
from ledger.text.values import DAYS

if TYPE_CHECKING:
    from ledger.text.near import Near


KINDS_OF_DAY = ("weekday", "weekend", *DAYS)
"""The kinds of days that every household has."""
_DAYS = "days"
_NOUNS = {_DAYS: "name for days"}


def title_of(name: str, title: Name | None) -> str:
    """The title given, else the name with its hyphens as spaces."""
    return title.value if title else name.replace("-", " ")


def own_title(name: str, title: str) -> str | None:
    """The title, or None if it says no more than the name."""
    return title if title != title_of(name, None) else None


class Declarations:
    """The people and areas of a household; an unknown name becomes a finding."""

    def __init__(self, findings: list[Finding]) -> None:
        self.people: dict[str, Named] = {}
        self.areas: dict[str, Named] = {}
        self.days: dict[str, NamedDays] = {}
        self._findings = findings
        self._strangers: dict[tuple[str, str, tuple[str, ...]], Stranger] = {}
        self._near: dict[tuple[str, tuple[str, ...]], Near] = {}

    def add(self, node: Declared, source: Source, line: int) -> None:
        """Declare a person or an area; a repeated name becomes a finding."""
        known = self.people if node.keyword == "person" else self.areas
        name, place = node.name.value, node.name.at(source, line)
        if name in known:
            message = f'{node.keyword} "{name}" is declared twice'
            self._findings.append(repeated_line(place, message, known[name].place))
        else:
            known[name] = Named(name, title_of(name, node.title), place)

    def person(self, name: Name, source: Source, line: int, other: Iterable[str] = ()) -> bool:
        """True for a person of the household; another name becomes a finding, which may also
        suggest one of the `other` words."""
        place = name.at(source, line)
        return self._known("person", self.people, name, place, other)

    def known_people(self, names: Names, source: Source, line: int) -> tuple[str, ...]:
        """The names that are people of the household, each once."""
        return self._all_known("person", self.people, names, source, line)

    def known_areas(self, names: Names, source: Source, line: int) -> tuple[str, ...]:
        """The names that are areas of the household, each once."""
        return self._all_known("area", self.areas, names, source, line)

    def known_days(self, names: Names, source: Source, line: int) -> tuple[str, ...]:
        """The names that are named days of the household, each once."""
        return self._all_known(_DAYS, self.days, names, source, line)

    def day_list(self, items: DayItems, source: Source, line: int) -> DayList:
        """A list of days without the named days that the household does not have."""
        return frozenset(
            item.value
            for item in items
            if item.value.kind != "named" or self._known_item(item, source, line)
        )

    def _known_item(self, item: Located[DayItem], source: Source, line: int) -> bool:
        name = Located(item.value.name, item.start, item.end)
        return self._known(_DAYS, self.days, name, name.at(source, line))

    def limited(self, node: LimitLine, source: Source, line: int) -> LimitOf | None:
        """Whose limit a line gives, on which days; None where it names nothing known."""
        who, kind = node.who, node.kind
        if kind is None:
            if who.value in KINDS_OF_DAY or who.value in self.days:
                return LimitOf(None, who.value)
            other = (*KINDS_OF_DAY, *self.days)
            return LimitOf(who.value, None) if self.person(who, source, line, other) else None
        is_known = self.person(who, source, line)
        if kind.value not in KINDS_OF_DAY and not self._known(
            _DAYS, self.days, kind, kind.at(source, line), KINDS_OF_DAY
        ):
            return None
        return LimitOf(who.value, kind.value) if is_known else None

    def _all_known(
        self,
        what: str,
        known: Mapping[str, Named | NamedDays],
        names: Names,
        source: Source,
        line: int,
    ) -> tuple[str, ...]:
        declared = [
            name.value
            for name in self.each_once(names, source, line)
            if self._known(what, known, name, name.at(source, line))
        ]
        return tuple(declared)

    def each_once(self, names: Names, source: Source, line: int) -> list[Name]:
        """The names in order, each once; a repeated one becomes a finding."""
        seen: dict[str, Name] = {}
        for name in names:
            if name.value in seen:
                place, first = name.at(source, line), seen[name.value].at(source, line)
                message = f'"{name.value}" stands twice in this list'
                self._findings.append(_repeated_in_list(place, message, first))
            seen.setdefault(name.value, name)
        return list(seen.values())

    def _known(
        self,
        what: str,
        known: Mapping[str, Named | NamedDays],
        name: Name,
        place: TextRange,
        other: Iterable[str] = (),
    ) -> bool:
        if name.value in known:
            return True
        # All declarations are known by now; an unknown name may stand a thousand times.
        others = tuple(other)
        key = what, name.value, others
        if key not in self._strangers:
            if (what, others) not in self._near:
                self._near[what, others] = near_to([*known, *others])
            near = self._near[what, others]
            self._strangers[key] = Stranger(what, name.value, near, _last_place(known))
        self._findings.append(self._strangers[key].at(place))
        return False

    @property
    def last_person(self) -> tuple[str, int, int] | None:
        """The end of the last `person` line, below which a new one would go."""
        place = _last_place(self.people)
        return place and (place.source.path, place.line, len(place.source.lines[place.line]))


def _last_place(known: Mapping[str, Named | NamedDays]) -> TextRange | None:
    """Where the last of some names is declared."""
    return list(known.values())[-1].place if known else None


_ONE_THING = "a name stands for one thing; the first is used and this one is not"


def repeated_line(
    place: TextRange, message: str, first: TextRange, other_way: str = "", why: str = _ONE_THING
) -> Finding:
    """The finding of a line that repeats a name; `other_way` is one more way to fix it."""
    from ledger.text.edits import delete_line

    return _repeated(place, message, first, delete_line(place), other_way, why)


def _repeated_in_list(place: TextRange, message: str, first: TextRange) -> Finding:
    from ledger.text.edits import delete_name

    return _repeated(place, message, first, delete_name(place))


def _repeated(
    place: TextRange,
    message: str,
    first: TextRange,
    less: Fix,
    other_way: str = "",
    why: str = _ONE_THING,
) -> Finding:
    return REPEATED_NAME.finding(
        place,
        message,
        why,
        f"delete this one, or give it a name of its own{other_way}",
        (first,),
        [less],
    )


def near_to(known: Iterable[str]) -> Near:
    """An index of known names, which finds the nearest to an unknown one."""
    from ledger.text.near import Near

    return Near(known)


class Stranger:
    """An unknown name. The nearest known name is looked for when the fix of a finding is first
    read."""

    def __init__(self, what: str, name: str, known: Near, last: TextRange | None = None) -> None:
        """`last` is the place of the last declaration of the kind."""
        self._what, self._name, self._known, self._last = what, name, known, last

    @cached_property
    def _nearest(self) -> str | None:
        return self._known.of(self._name)

    def at(self, place: TextRange) -> Finding:
        """The finding of the name at a place."""
        name = self._name
        message = f'"{name}" is no {_NOUNS.get(self._what, self._what)} of this household'
        why = f"what this line says of {name} counts for nothing until the name is known"
        return Finding.late(
            lambda: self._finding(place, message, why),
            rule=UNKNOWN_NAME.name,
            severity=UNKNOWN_NAME.severity,
            place=place,
            message=message,
            why=why,
        )

    def _finding(self, place: TextRange, message: str, why: str) -> Finding:
        from ledger.text.edits import add_line, beside, delete_name, write
        from ledger.text.hints.dates import feast
        from ledger.text.hints.facts import facts
        from ledger.text.hints.no_names import instead
        from ledger.text.hints.strangers import meant

        other = meant(place) if self._what in (_DAYS, "person") else None
        other = other or instead(self._what, self._name, place)
        if other is not None:
            return UNKNOWN_NAME.finding(place, message, why, other[0], fixes=other[1])
        near, fixes, name = self._nearest, list[Fix](), self._name
        if self._what == "chore":
            added = f"add a line `{self._name} 10 min`"
        else:
            day = feast(self._name, facts(place.source).near) or "YYYY-MM-DD"
            named = f"{_DAYS} {name} {day}"
            is_days = self._what == _DAYS
            line = add_line(self._last, place.source, named if is_days else f"{self._what} {name}")
            fixes = [line._replace(solves=not is_days)]
            added = line.words
            if self._what == "person" and place.source.lines[place.line].startswith("limit"):
                added += f", or a line `{named}` if these are days"
                fixes += [add_line(self._last, place.source, named)._replace(solves=False)]
        if near is None:
            fix = f"{added}, or write a name the book has"
        elif near in beside(place):
            fixes.insert(0, delete_name(place))
            fix = f"{fixes[0].words}, as `{near}` stands beside it, or {added}"
        else:
            fixes.insert(0, write(place, near))
            fix = f"{fixes[0].words}, the closest, or {added}"
        return UNKNOWN_NAME.finding(place, message, why, fix + self._public_holidays, fixes=fixes)

    @property
    def _public_holidays(self) -> str:
        """What prints a line that names these days, if they may be public holidays."""
        if self._what != _DAYS or "holiday" not in self._name:
            return ""
        call = f"besom holidays COUNTRY YEAR --name {self._name}"
        return f"; for public holidays, `{call}` prints such a line"
