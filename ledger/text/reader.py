"""The reader: turns a source into its tree, every line alone, so that no fault hides another."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterable, Mapping
from dataclasses import replace
from operator import attrgetter
from typing import TYPE_CHECKING

from ledger.text.builder import build, step_of
from ledger.text.finding import UNREADABLE_LINE, Finding
from ledger.text.record_line import DATE_WIDTH, read_tail
from ledger.text.source import UNSAFE, Source
from ledger.text.tree import STEP, Line, Record, RecordEntry, RecordLine, Tree
from ledger.text.values import ValueFault, comment_text, ordinal

if TYPE_CHECKING:
    from ledger.text.changed import ChangedLines
    from ledger.text.hints.misread import Facts
    from ledger.text.parser import LineFault

_NO_SOURCE = Source("", "")
_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_number = attrgetter("number")


Explained = dict[tuple[str, "Facts"], Finding]
"""Findings of unreadable lines, by their text and the facts that they depend on."""


class Reader:
    """Reads sources, and reads equal lines only once."""

    def __init__(self, explained: Explained | None = None) -> None:
        self._entries: dict[str, RecordEntry] = {}
        self._days: dict[str, int] = {}
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
        record, lines = Record(kinds=self._entries), list[Line]()
        entries, days = self._entries, self._days
        add_number, add_date = record.numbers.append, record.dates.append
        add_entry = record.entries.append
        for number, text in enumerate(source.lines[first:end], first):
            try:
                # Most lines consist of a date and words that were read before.
                day, entry = days[text[:DATE_WIDTH]], entries[text[DATE_WIDTH:]]
            except KeyError:
                day_and_entry = self._new_record_line(text)
                if day_and_entry is None:
                    line = self._line(source, number, text)
                    if not isinstance(line.node, RecordLine):
                        lines.append(line)
                        continue
                    day_and_entry = line.node.date.value, line.node.entry
                day, entry = day_and_entry
            add_number(number)
            add_date(day)
            add_entry(entry)
        return lines, record

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
            return replace(known, number=number)
        line = self._by_grammar(source, number, text)
        if line.fault is None:
            self._lines[text] = line
        return line

    @property
    def lines_in_mind(self) -> int:
        """How many different results this reader remembers."""
        read = len(self._entries) + len(self._days) + len(self._lines)
        return read + len(self._stops) + len(self._faults)

    def forget(self, trees: Iterable[Tree]) -> None:
        """Forget everything but the record entries of these trees."""
        self._entries = {
            tree.source.lines[number][DATE_WIDTH:]: entry
            for tree in trees
            for number, entry in zip(tree.record.numbers, tree.record.entries, strict=True)
        }
        self._days, self._lines, self._stops, self._faults = {}, {}, {}, {}

    def _new_record_line(self, text: str) -> tuple[int, RecordEntry] | None:
        """Day and entry of a well-formed record line in which one of the two is new, or None."""
        head, tail = text[:DATE_WIDTH], text[DATE_WIDTH:]
        day = self._days.get(head)
        if day is None:
            day = ordinal(head) if _DATE.fullmatch(head) else None
            if day is None:
                return None
            self._days[head] = day
        entry = self._entries.get(tail)
        if entry is None:
            if not tail.isprintable() and UNSAFE.search(tail) is not None:
                return None
            entry = read_tail(tail)
            if entry is None:
                return None
            self._entries[tail] = entry
        return day, entry

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
        if isinstance(node, RecordLine):
            self._entries[text[DATE_WIDTH:]] = node.entry
            self._days[text[:DATE_WIDTH]] = node.date.value
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
        from ledger.text.hints.misread import facts
        from ledger.text.parser import kind_of

        text = source.lines[number]
        key = text, facts(source)
        if key not in self._faults:
            finding = explain(source, number, kind_of(text), stop)
            # Without its source: else each remembered fault would keep a whole text in memory.
            self._faults[key] = finding.moved(finding.place._replace(source=_NO_SOURCE))
        known = self._faults[key]
        return known.moved(known.place._replace(source=source, line=number))


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
