"""Named days of which none is left, or only those of four weeks, while lines still name them.

Why it matters: what is kept to them by `during` never comes again, and nobody notices what no list
shows. What `except` keeps off them comes on the next ones too, as if they were days like others.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from operator import attrgetter, itemgetter
from typing import NamedTuple

from ledger.calendar.day_lists import dates_of, named
from ledger.household.model import DayList, NamedDays, Routine
from ledger.lint.book import LintedBook, dated, iso
from ledger.lint.falling import written_lists
from ledger.text import clauses
from ledger.text.edits import add_line, write_clause
from ledger.text.finding import Finding, Fix, Kind, Severity, TextEdit
from ledger.text.source import TextRange
from ledger.text.words import listed

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen
days school 2025-09-01 to 2025-12-19, 2026-01-07 to 2026-02-27
     ^^^^^^
every weekday during school
    lunch-boxes  10 min  in kitchen
"""

GOOD = """\
area kitchen
days school 2025-09-01 to 2025-12-19, 2026-01-07 to 2026-02-27
days school 2026-03-09 to 2026-07-17
every weekday during school
    lunch-boxes  10 min  in kitchen
"""

NOTICE = 28
"""So many days before the last one a household is told, of days that stretch over more than that.
Nobody is to write the next dates of three days of camp beforehand."""


class End(NamedTuple):
    """The last of some named days."""

    name: str
    last: int
    is_long: bool
    """True where the days stretch over more than the days of notice."""


@dataclass
class Hanging:
    """The lines that hang on named days which end."""

    end: End
    during: list[tuple[str, Routine]] = field(default_factory=list)
    excepted: list[tuple[str, Routine]] = field(default_factory=list)


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each name of days with such lines, in the line with its last day.

    Of several names behind one `during` the last to end counts; a month or a weekday never ends.
    """
    found: dict[str, Hanging] = {}
    for chore in book.household.chores.values():
        for line in chore.routines:
            for end in _ends_during(book, line):
                found.setdefault(end.name, Hanging(end)).during.append((chore.name, line))
            for end in _ends_excepted(book, line):
                found.setdefault(end.name, Hanging(end)).excepted.append((chore.name, line))
    for hanging in found.values():
        yield _finding(book, hanging)


def _ends_during(book: LintedBook, line: Routine) -> Iterator[End]:
    """The ends of the lists that a line is kept to, where it is to go on after them."""
    first, last = dates_of(book.household, line)
    cadence = line.section.cadence
    begin = max(book.today, first)
    if line.paused or last < max(begin, book.today + NOTICE):
        return
    for items in line.during:
        end = _end(book, items)
        if end is None:
            continue
        if cadence.is_once:
            is_over = end.last < cadence.first and book.today <= cadence.last
        else:
            is_over = end.last < begin or (end.is_long and _is_near(book, end))
        if is_over:
            yield end


def _ends_excepted(book: LintedBook, line: Routine) -> Iterator[End]:
    """The ends of the days that a line leaves out. A few days in a row are over for good."""
    last = dates_of(book.household, line)[1]
    if line.paused or line.section.cadence.is_once or last < book.today + NOTICE:
        return
    for item in line.excepted:
        end = _end(book, frozenset([item]))
        if end is not None and end.is_long and _is_near(book, end):
            yield end


def _is_near(book: LintedBook, end: End) -> bool:
    return end.last < book.today + NOTICE


def _end(book: LintedBook, items: DayList) -> End | None:
    """The end of a list of days; None where it has none, or never had a day."""
    ends = []
    for item in items:
        days = book.household.named_days.get(item.name)
        if days is None or any(one.last is None for one in days.cadences):
            return None
        ends.append(_end_of(book, days))
    return max((one for one in ends if one), key=attrgetter("last"), default=None)


def _end_of(book: LintedBook, days: NamedDays) -> End | None:
    """The end of named days whose lines all end; None where they hold no day."""

    def work_out() -> End | None:
        firsts = [first for first, _ in days.spans] + [one.first or 1 for one in days.cadences]
        lasts = [last for _, last in days.spans] + [one.last or 1 for one in days.cadences]
        last = named(book.household, [days.name]).last(min(firsts), max(lasts))
        return None if last is None else End(days.name, last, min(firsts) <= last - NOTICE)

    return book.household.remember(("end of days", days.name), work_out)


def _finding(book: LintedBook, hanging: Hanging) -> Finding:
    name, last, _ = hanging.end
    place = _line_of_last(book, hanging.end)
    is_past = last < book.today
    verb = "was" if is_past else "is"
    ways, fixes = _next_dates(book, name, place)
    why = []
    if hanging.during:
        again = "again" if is_past else "after that day"
        why.append(f"what is kept to these days never comes {again}: {_names(hanging.during)}")
        if all((line.first or 0) <= last for _, line in hanging.during):
            ways.append(f"write `until {iso(last)}` beside `during` if that {verb} the end")
            fixes += _until(book, hanging)
    if hanging.excepted:
        lines = _names(hanging.excepted)
        why.append(f"what leaves such days out comes on the next of them too: {lines}")
        ways.append(f"take `{name}` out of the `except` of {lines}")
    return RULE.finding(
        place,
        f'the last day of "{name}" {verb} {dated(last)}',
        "; ".join(why),
        ", or ".join(ways),
        fixes=fixes,
        severity=None if hanging.during else Severity.NOTE,
    )


def _names(lines: Sequence[tuple[str, Routine]]) -> str:
    return listed(list(dict.fromkeys(name for name, _ in lines)))


def _line_of_last(book: LintedBook, end: End) -> TextRange:
    """The name of the days in the line that has the last of them, as far as dates tell."""
    lines = [
        (_reach(line.node, end.last), line.node.name.at(tree.source, line.number))
        for tree in book.trees
        for line in tree.lines
        if isinstance(line.node, clauses.NamedDays) and line.node.name.value == end.name
    ]
    return max(lines, key=itemgetter(0))[1]


def _reach(node: clauses.NamedDays, most: int) -> int:
    if node.spans is not None:
        return max((last or first).value for first, last in node.spans.dates)
    return most if node.last is None else min(node.last.value, most)


def _next_dates(book: LintedBook, name: str, place: TextRange) -> tuple[list[str], list[Fix]]:
    """How to say when the days are next."""
    if book.household.named_days[name].cadences:
        return [f"write a later `until` behind `days {name}`"], []
    words = f"days {name} YYYY-MM-DD to YYYY-MM-DD"
    new = add_line(place, place.source, words)._replace(solves=False)
    return [f"{new.words} with the next dates"], [new]


def _until(book: LintedBook, hanging: Hanging) -> list[Fix]:
    """The fix that ends the lines with their days; none where one of them has an `until`."""
    words = f"until {iso(hanging.end.last)}"
    edits: list[TextEdit] = []
    for _, line in hanging.during:
        place = next(
            place
            for place in (line.section.place, line.name_place)
            if any(
                item.name == hanging.end.name
                for one in written_lists(book, place)
                if one.keyword == "during"
                for item, _ in one.items
            )
        )
        node = book.node_at(place)
        if not isinstance(node, clauses.SectionHeader | clauses.ChoreLine) or node.last:
            return []
        edits += write_clause(place.source, place.line, words).edits
    return [Fix(f"Write `{words}`", tuple(dict.fromkeys(edits)))]
