"""Units: a file as what its lines are about, so that versions of it can be laid side by side.

A unit is a line with the comments and blank lines above it. Its key is what it names, not where it
is: a chore is known by its name, a section by its cadence and title, a line of the record by its
date and words. Where a version has two of one name, the key says more.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Iterable, Sequence
from dataclasses import dataclass, field
from itertools import islice
from typing import NamedTuple

from ledger.text.clauses import ChoreLine, NamedDays, SectionHeader
from ledger.text.parts import Spans
from ledger.text.tree import (
    AbsentLine,
    Declared,
    LimitLine,
    Line,
    Node,
    RecordEntry,
    RecordLine,
    Setting,
    Step,
    Tree,
)
from ledger.versions.lists import meaning
from ledger.versions.settled import Settled, without
from ledger.versions.steps import BelowLine

Key = tuple[Hashable, ...]

TOP: Key = ("top",)
"""The section of headers, declarations and the record."""
ORPHANS: Key = ("orphans",)
"""The section of chores below no header, at the beginning of a file."""
END: Key = ("end",)
"""What follows the last line of a file."""


class Unit(NamedTuple):
    """A line with what stands above it."""

    key: Key
    section: Key
    """For a chore, and for an unreadable line among chores, the key of its header, or ORPHANS. TOP
    for all other lines."""
    node: Node | None
    comment: str
    """The comment at the line's end, empty where there is none."""
    lead: tuple[str, ...]
    """The comment lines and blank lines above, as they stand."""
    text: str
    """The line as it stands."""
    steps: tuple[BelowLine, ...] = ()
    """For a chore, the lines below it up to its last step."""

    @property
    def lines(self) -> tuple[str, ...]:
        """The line and its steps, as they stand."""
        return (self.text, *(line.text for line in self.steps))


@dataclass
class FileVersion:
    """One version of a file: its units by key, and the order in which they stand."""

    units: dict[Key, Unit] = field(default_factory=dict)
    below: dict[Key, list[Key]] = field(default_factory=lambda: {TOP: [], ORPHANS: []})
    """What stands below each header, in order; at TOP, the record and END too."""


def versions(trees: Sequence[Tree], settled: Sequence[Settled]) -> list[FileVersion]:
    """The versions of one file, with the same key for the same unit in each. The settled lines
    count as comments above the line that follows them."""
    repeated = _repeated_names(trees)
    entries: dict[RecordEntry, int] = {}
    return [
        _Units(repeated, entries).of(tree, lines)
        for tree, lines in zip(trees, settled, strict=True)
    ]


def is_record(key: Key) -> bool:
    """True for the key of a line of the record; `key[1]` is its day."""
    return key[0] == "record"


def _repeated_names(trees: Iterable[Tree]) -> frozenset[Key]:
    """The names that more than one line has in one of the versions."""
    found: set[Key] = set()
    for tree in trees:
        names = (_name_key(line.node) for line in tree.lines)
        called = Counter(name for name in names if name is not None)
        found |= {name for name, count in called.items() if count > 1}
    return frozenset(found)


def _name_key(node: Node | None) -> Key | None:
    """The key of a line of a kind of which a book may well have two of one name."""
    match node:
        case ChoreLine():
            return "chore", node.name.value
        case SectionHeader():
            return "section", node.cadence.value, node.title.value if node.title else ""
        case NamedDays():
            return "days", node.name.value
        case AbsentLine():
            return node.keyword, _first(node.spans)
    return None


def _first(spans: Spans) -> Hashable:
    """The first of some days: it stays when someone writes when they end."""
    if spans.names:
        return min(name.value for name in spans.names)
    return min(first.value for first, _ in spans.dates)


class _Units:
    """Cuts one file into units."""

    def __init__(self, repeated: frozenset[Key], entries: dict[RecordEntry, int]) -> None:
        self._repeated, self._entries = repeated, entries
        # Equal lines of a record share one entry: its number is looked up once for them all.
        self._numbers: dict[int, int] = {}
        self._seen: Counter[Key] = Counter()
        self._version = FileVersion()
        self._section = ORPHANS
        self._is_inside = False
        """True where the line before is a header or stands below one."""

    def of(self, tree: Tree, settled: Settled) -> FileVersion:
        texts = tree.source.lines
        last_steps = {owner.number: step.number for step, owner in tree.owned_steps() if owner}
        lead: list[str] = []
        left_out = iter(settled)
        skipped = next(left_out, None)
        lines = without(tree, settled).all_lines()
        for line in lines:
            if skipped is not None and line.number >= skipped.stop:
                lead = texts[skipped.start : skipped.stop]
                skipped = next(left_out, None)
            text = texts[line.number]
            if line.node is None and line.fault is None:
                lead.append(text)
                continue
            count = last_steps.get(line.number, line.number) - line.number
            steps = (BelowLine.of(below, texts[below.number]) for below in islice(lines, count))
            self._add(line, text, tuple(lead), tuple(steps))
            lead = []
        self._put(Unit(END, TOP, None, "", tuple(lead), ""))
        return self._version

    def _add(
        self, line: Line, text: str, lead: tuple[str, ...], steps: tuple[BelowLine, ...]
    ) -> None:
        # A step of no chore is kept by its words, like an unreadable line.
        node = None if isinstance(line.node, Step) else line.node
        key = self._key(node, text)
        self._seen[key] += 1
        if self._seen[key] > 1:
            key = (*key, self._seen[key])
        comment = line.comment.value if line.comment else ""
        # An unreadable line among chores keeps its place there.
        is_unread = node is None and not line.opens
        is_below = line.is_chore or (is_unread and self._is_inside and self._section != ORPHANS)
        section = self._section if is_below else TOP
        self._put(Unit(key, section, node, comment, lead, text, steps))
        if line.opens:
            self._section = key
            self._version.below[key] = []
        self._is_inside = line.opens or is_below

    def _put(self, unit: Unit) -> None:
        self._version.units[unit.key] = unit
        self._version.below[unit.section].append(unit.key)

    def _key(self, node: Node | None, text: str) -> Key:
        name = _name_key(node)
        if name is not None and name not in self._repeated:
            return name
        match node:
            case RecordLine():
                return "record", node.date.value, self._number(node.entry)
            case Setting():
                return "setting", node.keyword
            case Declared():
                return "declared", node.keyword, node.name.value
            case LimitLine():
                return "limit", node.who.value, node.kind.value if node.kind else ""
        if name is not None and node is not None:
            return *name, self._more(node)
        # Only blanks and tabs are white space of the format: any other is part of a word.
        return "unread", text.strip(" \t")

    def _more(self, node: Node) -> Hashable:
        """What tells lines of one name apart."""
        match node:
            case SectionHeader():
                clauses = node._fields[1:-1]
                return tuple(meaning(clause, getattr(node, clause)) for clause in clauses)
            case NamedDays():
                return _first(node.spans) if node.spans else (node.cadence, node.first)
            case AbsentLine():
                return frozenset(node.people)
        return self._section

    def _number(self, entry: RecordEntry) -> int:
        number = self._numbers.get(id(entry))
        if number is None:
            number = self._entries.setdefault(entry, len(self._entries))
            self._numbers[id(entry)] = number
        return number
