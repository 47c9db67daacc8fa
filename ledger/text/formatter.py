"""The formatter: one shape for a book, which ends every argument about spacing.

Clauses stand in one order and in columns within their section, days and months in full, one blank
line before each section, the record in order of date. Comments stay with their lines. Unreadable
lines stay exactly as they are. No line is ever wrapped.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence, Set
from dataclasses import dataclass, field
from itertools import accumulate, compress, count, islice, zip_longest
from operator import gt, sub
from typing import NamedTuple

from ledger.text.alignment import cells, in_columns
from ledger.text.clauses import ChoreLine, NamedDays, SectionHeader
from ledger.text.reader import Reader
from ledger.text.source import BYTE_ORDER_MARK, Source
from ledger.text.tree import (
    Declared,
    LimitLine,
    Line,
    Node,
    Record,
    RecordEntry,
    RecordLine,
    Step,
    Tree,
)
from ledger.text.writer import INDENT, write_line, write_tail


@dataclass
class _Row:
    """A line to be written, and the line it comes from."""

    line: Line
    text: str
    """As in the source without blanks at its end, until `_shape` writes it anew."""
    gap: bool
    """True where a blank line stands before it."""
    lead: list[_Row] = field(default_factory=list)
    """Comments that move with a line of the record."""

    @property
    def node(self) -> Node | None:
        return self.line.node

    @property
    def is_comment(self) -> bool:
        return self.node is None and self.line.fault is None

    @property
    def is_indented(self) -> bool:
        return self.text[:1] in (" ", "\t")


def format_tree(tree: Tree) -> str:
    """The text of a file in the formatter's shape, with its own line end and byte-order mark.

    Reading it gives the same nodes and comments, the record in order of date. Formatting it again
    changes nothing.
    """
    rows = _rows(tree)
    _shape(rows)
    rows = _sorted_record(rows)
    _space(rows)
    newline = tree.source.newline
    lines = []
    for row in rows:
        lines += [""] * row.gap + [row.text]
    mark = BYTE_ORDER_MARK if tree.source.has_mark else ""
    return mark + _ended(lines, newline)


def _ended(lines: Iterable[str], newline: str) -> str:
    """The lines with their ends.

    A line whose text ends in CR gets CR LF: before a lone LF, its CR would become part of the line
    end.
    """
    return "".join(line + ("\r\n" if line.endswith("\r") else newline) for line in lines)


class FormatFault(Exception):
    """The formatter would have changed what a book says: our bug, and nothing is written."""


def formatted(tree: Tree) -> str:
    """The text of `format_tree`, after making sure that it says what the file says.

    Raises FormatFault where it does not, or where a second formatting would change it.
    """
    text = format_tree(tree)
    again = Reader().read(Source.decode(tree.source.path, text.encode("utf-8", "surrogateescape")))
    if _meaning(tree) != _meaning(again) or format_tree(again) != text:
        raise FormatFault(tree.source.path)
    return text


def _meaning(tree: Tree) -> list[tuple[object, ...]]:
    """All nodes, comments and unreadable lines of a file: the routine in its order, the record by
    date."""
    others = [
        (line.node, line.comment, tree.source.lines[line.number] if line.fault else "")
        for line in tree.lines
        if line.node is not None or line.comment is not None or line.fault is not None
    ]
    record = tree.record
    # The sort is stable: lines of one date keep their order.
    order = sorted(range(len(record.dates)), key=record.dates.__getitem__)
    lines = [(record.dates[i], record.entries[i], record.entries[i].comment) for i in order]
    comments = sorted(other[1].value for other in others if other[0] is None and other[1])
    nodes = [other for other in others if other[0] is not None or other[2]]
    return [*nodes, *lines, *((comment,) for comment in comments)]


class Misshapen(NamedTuple):
    """What formatting would change in a file."""

    line: int
    """The first line that changes, counted from 0; may be one past the last line."""
    changed: int
    """How many different lines would be gone."""


Shapes = dict[int, tuple[RecordEntry, bool]]
"""Entries by their `id`, each with whether it stands as the formatter writes it."""


def is_formatted(tree: Tree) -> bool:
    """True where formatting would change nothing; the record itself is not formatted to tell."""
    return misshapen(tree) is None


class RecordShape(NamedTuple):
    """The shape of a record, as seen from its lines one by one."""

    unlike: Set[int]
    """The lines that the formatter writes differently."""
    outer: Set[int]
    """The lines at an end of a row of lines, and those that the formatter puts in another place."""


def told_alone(tree: Tree, shapes: Shapes) -> RecordShape:
    """The shape of a file's record. `shapes` remembers entries from one file to the next, and new
    ones are added to it."""
    return RecordShape(_unlike(tree.record, shapes), _outer(tree.record))


def misshapen(tree: Tree, shape: RecordShape | None = None) -> Misshapen | None:
    """What formatting would change, or None for nothing; the record itself is not formatted to
    tell."""
    source = tree.source
    unlike, outer = shape or told_alone(tree, {})
    # In a row of lines of the record, the first and the last stand for all that are in order.
    rows = sorted([*outer, *(line.number for line in tree.lines)])
    lines = [source.lines[number] for number in rows]
    # The part has no byte-order mark of its own: a U+FEFF that is left belongs to the first line.
    shaped = Source(source.path, format_tree(_part(tree, rows))).lines
    pairs = enumerate(zip_longest(lines, shaped))
    first = next((n for n, (before, after) in pairs if before != after), None)
    alone = unlike - outer
    if first is None and not alone:
        return None if _ends_alike(source) else Misshapen(0, 0)
    # Inserted and removed lines shift all below them, so count the lines that are gone.
    changed = {source.lines[number] for number in alone} | (set(lines) - set(shaped))
    end = len(source.lines)
    at = end if first is None or first >= len(rows) else rows[first]
    return Misshapen(min(at, *alone, end), len(changed))


def _part(tree: Tree, rows: Sequence[int]) -> Tree:
    """The tree of some lines of a file."""
    source, record = tree.source, tree.record
    new_numbers = {number: index for index, number in enumerate(rows)}
    text = _ended((source.lines[number] for number in rows), source.newline)
    lines = (line._replace(number=new_numbers[line.number]) for line in tree.lines)
    numbers = record.numbers
    indices = [
        index for index in (bisect_left(numbers, row) for row in rows) if index < len(numbers)
    ]
    indices = [index for index in dict.fromkeys(indices) if numbers[index] in new_numbers]
    part = Record(
        [new_numbers[numbers[index]] for index in indices],
        [record.dates[index] for index in indices],
        [record.entries[index] for index in indices],
        record.kinds,
    )
    return Tree(Source(source.path, text), tuple(lines), part)


def _unlike(record: Record, shapes: Shapes) -> set[int]:
    keys = list(map(id, record.entries))
    kinds = set(keys)
    if not kinds <= shapes.keys():
        for tail, entry in record.kinds.items():
            if id(entry) not in shapes:
                shapes[id(entry)] = entry, tail == write_tail(entry)
    unlike = {key for key in kinds if not shapes[key][1]}
    if not unlike:
        return set()
    return {number for number, key in zip(record.numbers, keys, strict=True) if key in unlike}


def _outer(record: Record) -> set[int]:
    numbers, dates = record.numbers, record.dates
    steps = map(sub, islice(numbers, 1, None), numbers)
    gaps = [0, *compress(count(1), map((1).__ne__, steps)), len(numbers)]
    outer = {number for n in gaps for number in numbers[max(n - 1, 0) : n + 1]}
    if any(map(gt, dates, islice(dates, 1, None))):
        latest = accumulate(dates, max)
        earliest = [*accumulate(reversed(dates), min)][::-1]
        rows = zip(numbers, dates, latest, earliest, strict=True)
        outer |= {number for number, date, high, low in rows if not high <= date <= low}
    return outer


def _ends_alike(source: Source) -> bool:
    """True where every line ends as the formatter would end it."""
    if "\r\r\n" in source.text:
        return _ended(source.lines, source.newline) == source.text
    if source.text and not source.text.endswith("\n"):
        return False
    if "\r" not in source.text:
        return True
    ends = source.text.count("\r\n")
    return ends in (0, source.text.count("\n"))


def _rows(tree: Tree) -> list[_Row]:
    """The lines that are not blank, each with whether a blank line stood before it."""
    rows, gap = [], False
    for line in tree.all_lines():
        text = tree.source.lines[line.number]
        if line.fault is None:
            text = text.rstrip(" \t")
        if line.fault is None and not text:
            gap = True
            continue
        rows.append(_Row(line, text, gap))
        gap = False
    return rows


# ------------------------------------------------------------------ the words of lines


def _shape(rows: Sequence[_Row]) -> None:
    """Write every readable line anew: chores in the columns of their section, declarations of one
    kind in columns too, comments at the margin or at the indent."""
    section = 0
    groups: dict[object, list[_Row]] = {}
    run, last = 0, ""
    written: dict[int, str] = {}
    for row in rows:
        node = row.node
        section += row.line.opens
        if isinstance(node, RecordLine):
            key = id(node.entry)
            if key not in written:
                written[key] = write_tail(node.entry)
            row.text = row.text[:10] + written[key]
        elif isinstance(node, ChoreLine):
            groups.setdefault(("section", section), []).append(row)
        elif isinstance(node, (Declared, LimitLine, NamedDays)):
            kind = _keyword(node)
            run += row.gap or kind != last
            groups.setdefault(("run", run), []).append(row)
        elif node is not None:
            row.text = write_line(node, row.line.comment)
        elif row.is_comment:
            row.text = INDENT * row.is_indented + row.text.lstrip(" \t")
        if not row.is_comment:
            last = _keyword(node)
    for group in groups.values():
        nodes = [row.node for row in group if row.node is not None]
        for row, text in zip(group, in_columns([cells(node) for node in nodes]), strict=True):
            comment = row.line.comment
            indent = INDENT if isinstance(row.node, ChoreLine) else ""
            row.text = indent + (f"{text}  {comment.value}" if comment else text)


def _keyword(node: Node | None) -> str:
    if isinstance(node, Declared):
        return node.keyword
    return {LimitLine: "limit", NamedDays: "days"}.get(type(node), "")


# ------------------------------------------------------------------ order of the record


def _sorted_record(rows: list[_Row]) -> list[_Row]:
    """The rows with each run of record lines in order of date, comments with their lines.

    Only comments and blank lines may interrupt a run. Lines of one date keep their order.
    """
    out: list[_Row] = []
    run: list[_Row] = []
    comments: list[_Row] = []
    for row in rows:
        if isinstance(row.node, RecordLine):
            if not run:
                # Comments above a gap belong to the file, not to the first line.
                attached = _attached(comments, row)
                out += comments[: len(comments) - attached]
                comments = comments[len(comments) - attached :]
            row.lead = comments
            run.append(row)
            comments = []
        elif row.is_comment and not row.is_indented:
            comments.append(row)
        else:
            out += _in_date_order(run) + comments + [row]
            run, comments = [], []
    return out + _in_date_order(run) + comments


def _attached(comments: Sequence[_Row], row: _Row) -> int:
    """How many of the comments above a row touch it, with no gap between."""
    count, below = 0, row
    for comment in reversed(comments):
        if below.gap or comment.is_indented:
            break
        count, below = count + 1, comment
    return count


def _in_date_order(run: list[_Row]) -> list[_Row]:
    if not run:
        return []
    first = _top(run[0])
    gap, first.gap = first.gap, False
    ordered = sorted(run, key=_date)
    _top(ordered[0]).gap = gap
    out: list[_Row] = []
    for row in ordered:
        out += [*row.lead, row]
        row.lead = []
    return out


def _top(row: _Row) -> _Row:
    return row.lead[0] if row.lead else row


def _date(row: _Row) -> int:
    assert isinstance(row.node, RecordLine)
    return row.node.date.value


# ------------------------------------------------------------------ blank lines


def _space(rows: list[_Row]) -> None:
    """Set the blank lines: one before a section and where routine, declarations and record meet;
    none below a header or at the top. Elsewhere several become one."""
    kinds = [_kind(row) for row in rows]
    before = ""
    for index, row in enumerate(rows):
        kind = kinds[index]
        if index == 0:
            row.gap = False
        elif kind == "section" or (kind and before and _are_apart(before, kind)):
            top = rows[index - _attached(rows[:index][_comments_from(rows, index) :], row)]
            top.gap = top is not rows[0]
        elif isinstance(rows[index - 1].node, SectionHeader):
            row.gap = False
        before = kind or before


def _comments_from(rows: list[_Row], index: int) -> int:
    """Index of the first comment right above a row."""
    while index > 0 and rows[index - 1].is_comment:
        index -= 1
    return index


def _kind(row: _Row) -> str:
    """section, chore, declaration or record; empty for comments and unreadable lines."""
    node = row.node
    if isinstance(node, SectionHeader):
        return "section"
    if isinstance(node, (ChoreLine, Step)):
        return "chore"
    if isinstance(node, RecordLine):
        return "record"
    return "declaration" if node is not None else ""


def _are_apart(before: str, kind: str) -> bool:
    return kind != before and not (before == "section" and kind == "chore")
