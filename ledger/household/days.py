"""Named days: all `days` lines of a name as one, and the spans of a line in ordinals."""

from __future__ import annotations

from datetime import date

from ledger.household.model import DayCadence, NamedDays, Span
from ledger.household.names import Declarations, title_of
from ledger.text import clauses, parts
from ledger.text.cadences import write_cadence
from ledger.text.finding import MISSING_FROM, REPEATED_NAME, Finding
from ledger.text.source import Source, TextRange

_LAST_DAY = date.max.toordinal()


def dated_spans(spans: parts.Spans) -> tuple[Span, ...]:
    """Spans in ordinals; an open one lasts to the last day of the calendar."""
    return tuple((first.value, last.value if last else _LAST_DAY) for first, last in spans.dates)


def without_from(place: TextRange, cadence: parts.Cadence) -> Finding:
    """The finding of a cadence that counts from a day which its line does not name."""
    from ledger.text.edits import write

    words = write_cadence(cadence)
    dated = write(place, f"{words} from YYYY-MM-DD")._replace(solves=False)
    return MISSING_FROM.finding(
        place,
        f"`{words}` does not say from when",
        "any of them could be the first, so it falls on no day",
        f"{dated.words} with a date on which it falls",
        fixes=[dated],
    )


class DaysReader:
    """Reads the `days` lines of a household, one after another."""

    def __init__(self, declared: Declarations, findings: list[Finding]) -> None:
        self._declared = declared
        self._findings = findings
        self._lines: list[tuple[clauses.NamedDays, Source, int]] = []

    def add(self, node: clauses.NamedDays, source: Source, line: int) -> None:
        """Take in a line."""
        self._lines.append((node, source, line))

    def finish(self) -> None:
        """Declare the named days, once all people are known."""
        for node, source, line in self._lines:
            place = node.name.at(source, line)
            person = self._declared.people.get(node.name.value)
            if person is not None:
                self._findings.append(_called_as(place, node.name.value, person.place))
                continue
            cadence = node.cadence
            if cadence is not None and cadence.value.needs_from and node.first is None:
                self._findings.append(without_from(cadence.at(source, line), cadence.value))
                continue
            self._take(node, place)

    def _take(self, node: clauses.NamedDays, place: TextRange) -> None:
        name, days = node.name.value, self._declared.days
        before = days.get(name) or NamedDays(name, "", (), (), place)
        spans = dated_spans(node.spans) if node.spans else ()
        days[name] = NamedDays(
            name,
            before.title or (node.title.value if node.title else ""),
            before.spans + spans,
            before.cadences + _cadences(node),
            before.place,
        )

    @staticmethod
    def titled(days: NamedDays) -> str:
        """What named days are called on screens."""
        return days.title or title_of(days.name, None)


def _cadences(node: clauses.NamedDays) -> tuple[DayCadence, ...]:
    if node.cadence is None:
        return ()
    values = (one and one.value for one in (node.within, node.first, node.last))
    return (DayCadence(node.cadence.value, *values),)


def _called_as(place: TextRange, name: str, person: TextRange) -> Finding:
    return REPEATED_NAME.finding(
        place,
        f'"{name}" is a person already',
        "`limit` and `rest` would say two things; the person counts and these days do not",
        "give these days a name of their own",
        (person,),
    )
