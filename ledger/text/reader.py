"""The reader: turns a source into its tree, every line alone, so that no fault hides another."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterable, Mapping
from itertools import chain, compress
from operator import attrgetter, itemgetter, not_
from typing import TYPE_CHECKING

from ledger.text.builder import build, step_of
from ledger.text.finding import UNREADABLE_LINE, Finding
from ledger.text.record_line import DATE_WIDTH, read_tail
from ledger.text.source import UNSAFE, Source
from ledger.text.tree import STEP, Line, Record, RecordEntry, RecordLine, Tree
from ledger.text.values import ValueFault, comment_text, ordinal

if TYPE_CHECKING:
    from ledger.text.changed import ChangedLines
    from ledger.text.hints.facts import Facts
    from ledger.text.parser import LineFault

_NO_SOURCE = Source("", "")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_ANY_DATE = "2000-01-01"
_HEAD, _TAIL = itemgetter(slice(DATE_WIDTH)), itemgetter(slice(DATE_WIDTH, None))
_number = attrgetter("number")


Explained = dict[tuple[str, "Facts"], Finding]
"""Findings of unreadable lines, by their text and the facts that they depend on."""


class _Days(dict[str, int]):
    """Ordinals of dates by their texts, 0 for a text that is none. A new one is read when it is
    looked up."""

    def __missing__(self, head: str) -> int:
        day = (ordinal(head) if _DATE.fullmatch(head) else None) or 0
        self[head] = day
        return day


class _Entries(dict[str, RecordEntry]):
    """Entries of the record by their texts. A new one is read when it is looked up."""

    def __init__(self, known: Iterable[tuple[str, RecordEntry]] = ()) -> None:
        super().__init__(known)
        self.unreadable: set[str] = set()
        """Texts that are no entries."""

    def __missing__(self, tail: str) -> RecordEntry | None:
        if tail in self.unreadable:
            return None
        entry = _entry(tail)
        if entry is None:
            self.unreadable.add(tail)
        else:
            self[tail] = entry
        return entry


class Reader:
    """Reads sources, and reads equal lines only once."""

    def __init__(self, explained: Explained | None = None) -> None:
        self._entries, self._days = _Entries(), _Days()
        self._lines: dict[str, Line] = {}
        self._stops: dict[str, LineFault | None] = {}
        """Where the grammar stopped in unreadable lines; None for merge marks."""
        self._faults: Explained = {} if explained is None else explained

    def read(self, source: Source) -> Tree:
        """The tree of a source: all its lines, and a fault for each that cannot be read."""
        lines, record = self._read_lines(source, 0, len(source.lines))
        return Tree(source, tuple(lines), record)

    def again(self, before: Tree, source: Source, change: ChangedLines) -> Tree:
        """What `read` answers, given an earlier tree and the lines that changed since: only these
        are read.

        The record is the same object as before where nothing in it changed.
        """
        lines, part = self._read_lines(source, change.first, change.new_end)
        others = before.lines
        first = bisect_left(others, change.first, key=_number)
        end = bisect_left(others, change.end, key=_number)
        above = [self._moved(source, line, 0) for line in others[:first]]
        below = [self._moved(source, line, change.shift) for line in others[end:]]
        record = _with_part(before, source, change, part)
        return Tree(source, (*above, *lines, *below), record)

    def _moved(self, source: Source, line: Line, shift: int) -> Line:
        """A line that was read before, `shift` lines further down."""
        if line.fault is not None:
            # A fault names its source, and its message may depend on other lines.
            number = line.number + shift
            return self._line(source, number, source.lines[number])
        return line if not shift else Line(line.number + shift, line.node, line.comment)

    def _read_lines(self, source: Source, first: int, end: int) -> tuple[list[Line], Record]:
        """The lines and the record of a source, from line `first` up to `end`."""
        texts, numbers = source.lines[first:end], range(first, end)
        # The record outnumbers all else, and most of its lines consist of a date and an entry that
        # were read before: they are looked up column by column, without a loop in Python.
        days = list(map(self._days.__getitem__, map(_HEAD, texts)))
        dated, tails = list(compress(numbers, days)), map(_TAIL, compress(texts, days))
        entries: list[RecordEntry | None] = list(map(self._entries.__getitem__, tails))
        record = Record(
            list(compress(dated, entries)),
            list(compress(filter(None, days), entries)),
            list(filter(None, entries)),
            self._entries,
        )
        undated = compress(numbers, map(not_, days))
        others = sorted(chain(undated, compress(dated, map(not_, entries))))
        return [self._line(source, number, source.lines[number]) for number in others], record

    def _line(self, source: Source, number: int, text: str) -> Line:
        unsafe = UNSAFE.search(text)
        if unsafe is not None:
            from ledger.text.hints import unsafe_character
            from ledger.text.misread import kind_taken

            fault = unsafe_character(source, number, unsafe.start())
            return Line(number, None, fault=fault, taken_for=kind_taken(text))
        words = text.lstrip(" \t")
        start = len(text) - len(words)
        if not words or words[0] == "#":
            return Line(number, None, comment_text(words, start) if words else None)
        if words[0] == STEP:
            return Line(number, step_of(text, start))
        known = self._lines.get(text)
        if known is not None:
            return known._replace(number=number)
        line = self._by_grammar(source, number, text)
        if line.fault is None:
            self._lines[text] = line
        return line

    @property
    def lines_in_mind(self) -> int:
        """How many different results this reader remembers."""
        read = len(self._entries) + len(self._days) + len(self._lines)
        return read + len(self._entries.unreadable) + len(self._stops) + len(self._faults)

    def forget(self, trees: Iterable[Tree]) -> None:
        """Forget everything but the record entries of these trees."""
        self._entries, self._days = (
            _Entries(
                (tree.source.lines[number][DATE_WIDTH:], entry)
                for tree in trees
                for number, entry in zip(tree.record.numbers, tree.record.entries, strict=True)
            ),
            _Days(),
        )
        self._lines, self._stops, self._faults = {}, {}, {}

    def _by_grammar(self, source: Source, number: int, text: str) -> Line:
        if text in self._stops:
            return self._unreadable(source, number, text)
        from ledger.text.parser import LineFault, kind_of, parser

        try:
            parse_node = parser().parse(text, kind_of(text))
            node, comment = build(parse_node)
        except (LineFault, ValueFault) as fault:
            from ledger.text.misread import MARK, first_fault, kind_read, kind_taken

            wrong = first_fault(text, fault)
            if isinstance(wrong, LineFault):
                self._stops[text] = None if kind_taken(text) == MARK else wrong
                return self._unreadable(source, number, text)
            is_read = wrong.kind is not UNREADABLE_LINE
            kind = kind_read(parse_node) if is_read else kind_taken(text)
            return Line(number, None, fault=wrong.at(source, number), taken_for=kind)
        return Line(number, node, comment)

    def _unreadable(self, source: Source, number: int, text: str) -> Line:
        """A line that the grammar cannot read; its finding is worked out at first use."""
        from ledger.text.misread import MARK, kind_taken

        stop = self._stops[text]
        if stop is None:
            from ledger.text.hints.merge import mark_finding

            return Line(number, None, fault=mark_finding(source, number), taken_for=MARK)
        fault = Finding.late(
            lambda: self._explain(source, number, stop),
            rule=UNREADABLE_LINE.name,
            severity=UNREADABLE_LINE.severity,
            line=(source.path, number),
        )
        return Line(number, None, fault=fault, taken_for=kind_taken(text))

    def _explain(self, source: Source, number: int, stop: LineFault) -> Finding:
        from ledger.text.hints import explain
        from ledger.text.hints.facts import facts
        from ledger.text.parser import kind_of

        text = source.lines[number]
        key = text, facts(source)
        if key not in self._faults:
            finding = explain(source, number, kind_of(text), stop)
            # Without its source: else each remembered fault would keep a whole text in memory.
            self._faults[key] = finding.moved(finding.place._replace(source=_NO_SOURCE))
        known = self._faults[key]
        return known.moved(known.place._replace(source=source, line=number))


def _entry(tail: str) -> RecordEntry | None:
    """The entry of a record line without its date, or None for a text that is none."""
    if not tail.isprintable() and UNSAFE.search(tail) is not None:
        return None
    entry = read_tail(tail)
    if entry is not None:
        return entry
    from ledger.text.parser import LineFault, parser

    try:
        node, _ = build(parser().parse(_ANY_DATE + tail, "record_line"))
    except (LineFault, ValueFault):
        return None
    return node.entry if isinstance(node, RecordLine) else None


def _with_part(before: Tree, source: Source, change: ChangedLines, part: Record) -> Record:
    """The record of a tree, with a new part in place of the lines that changed."""
    record, shift = before.record, change.shift
    first = bisect_left(record.numbers, change.first)
    end = bisect_left(record.numbers, change.end)
    if first == end and not part.numbers and not (shift and record.numbers[end:]):
        return record
    below = record.numbers[end:]
    entries = [*record.entries[:first], *part.entries, *record.entries[end:]]
    lines = before.source.lines
    removed = {
        lines[number][DATE_WIDTH:]: entry
        for number, entry in zip(record.numbers[first:end], record.entries[first:end], strict=True)
    }
    added = {
        source.lines[number][DATE_WIDTH:]: entry
        for number, entry in zip(part.numbers, part.entries, strict=True)
    }
    return Record(
        [*record.numbers[:first], *part.numbers, *(n + shift for n in below)],
        [*record.dates[:first], *part.dates, *record.dates[end:]],
        entries,
        _kinds(record.kinds, removed, added, entries),
    )


def _kinds(
    kinds: Mapping[str, RecordEntry],
    removed: Mapping[str, RecordEntry],
    added: Mapping[str, RecordEntry],
    entries: Iterable[RecordEntry],
) -> Mapping[str, RecordEntry]:
    """The kinds of a record after lines were removed and added."""
    if removed.keys() == added.keys():
        return kinds
    remaining = set(map(id, entries))
    gone = {tail for tail, entry in removed.items() if id(entry) not in remaining}
    return {**{tail: entry for tail, entry in kinds.items() if tail not in gone}, **added}
