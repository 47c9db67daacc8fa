"""Declared names: people and areas, found by name or by the nearest name there is."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from ledger.household.model import Named
from ledger.text.finding import Finding, Severity
from ledger.text.source import Place, Source
from ledger.text.tree import Declared, Name, Names

if TYPE_CHECKING:
    from ledger.text.near import Near

RULE = "unknown-name"


def title_of(name: str, title: Name | None) -> str:
    """The title given, else the name with its hyphens as spaces."""
    return title.value if title else name.replace("-", " ")


def own_title(name: str, title: str) -> str | None:
    """A title that says more than the name does."""
    return title if title != title_of(name, None) else None


class Declarations:
    """The people and areas of a household; what is not among them becomes a finding."""

    def __init__(self, findings: list[Finding]) -> None:
        self.people: dict[str, Named] = {}
        self.areas: dict[str, Named] = {}
        self._findings = findings
        self._told: dict[tuple[str, str, tuple[str, ...]], Finding] = {}
        self._near: dict[tuple[str, tuple[str, ...]], Near] = {}

    def add(self, node: Declared, source: Source, line: int) -> None:
        """Declare a person or an area; a second of the name becomes a finding."""
        known = self.people if node.keyword == "person" else self.areas
        name, place = node.name.value, node.name.at(source, line)
        if name in known:
            self._findings.append(
                repeated(place, f'{node.keyword} "{name}" is declared twice', known[name].place)
            )
        else:
            known[name] = Named(name, title_of(name, node.title), place)

    def person(self, name: Name, source: Source, line: int, other: Iterable[str] = ()) -> bool:
        """True for a person of the household; another name becomes a finding, which looks for
        the nearest among `other` words of its place too."""
        place = name.at(source, line)
        return self._known("person", self.people, name, place, other)

    def known_people(self, names: Names, source: Source, line: int) -> tuple[str, ...]:
        """Those of the names that are people of the household, each once."""
        return self._all_known("person", self.people, names, source, line)

    def known_areas(self, names: Names, source: Source, line: int) -> tuple[str, ...]:
        """Those of the names that are areas of the household, each once."""
        return self._all_known("area", self.areas, names, source, line)

    def _all_known(
        self, what: str, known: Mapping[str, Named], names: Names, source: Source, line: int
    ) -> tuple[str, ...]:
        found = [
            name.value
            for name in self.each_once(names, source, line)
            if self._known(what, known, name, name.at(source, line))
        ]
        return tuple(found)

    def each_once(self, names: Names, source: Source, line: int) -> list[Name]:
        """The names in order; one that stands twice in its list becomes a finding."""
        seen: dict[str, Name] = {}
        for name in names:
            if name.value in seen:
                place, first = name.at(source, line), seen[name.value].at(source, line)
                self._findings.append(
                    repeated(place, f'"{name.value}" stands twice in this list', first)
                )
            seen.setdefault(name.value, name)
        return list(seen.values())

    def _known(
        self,
        what: str,
        known: Mapping[str, Named],
        name: Name,
        place: Place,
        other: Iterable[str] = (),
    ) -> bool:
        if name.value in known:
            return True
        # All that is declared is known by now; a name that is gone may stand a thousand times.
        others = tuple(other)
        key = what, name.value, others
        if key not in self._told:
            if (what, others) not in self._near:
                self._near[what, others] = near_to([*known, *others])
            near = self._near[what, others]
            self._told[key] = unknown(what, name.value, place, near, f"{what} {name.value}")
        self._findings.append(self._told[key].at(place))
        return False


def repeated(place: Place, message: str, first: Place, other_way: str = "") -> Finding:
    """The finding of a name that stands for two things; `other_way` is one more way to mend it."""
    return Finding(
        "repeated-name",
        Severity.ERROR,
        place,
        message,
        "a name stands for one thing; the first is used and this one is not",
        f"delete this one, or give it a name of its own{other_way}",
        (first,),
    )


def near_to(known: Iterable[str]) -> Near:
    """The names among which the nearest to unknown ones are looked for."""
    from ledger.text.near import Near

    return Near(known)


def unknown(what: str, name: str, place: Place, known: Near | Iterable[str], line: str) -> Finding:
    """The finding of a name that nothing in the household has; `line` would declare it.

    The nearest of the names known is looked for when the fix is read.
    """
    near = near_to(known) if isinstance(known, Iterable) else known
    message = f'"{name}" is no {what} of this household'
    why = f"what this line says of {name} counts for nothing until the name is known"
    return Finding.late(
        lambda: Finding(RULE, Severity.ERROR, place, message, why, _fix(name, near, line)),
        rule=RULE,
        severity=Severity.ERROR,
        place=place,
        message=message,
        why=why,
    )


def _fix(name: str, known: Near, line: str) -> str:
    near = known.of(name)
    if near:
        return f"write `{near}`, the closest, or add a line `{line}`"
    return f"add a line `{line}`, or write a name the book has"
