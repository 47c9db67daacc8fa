"""The formatter: one shape for a book, which ends every argument about spacing.

Clauses stand in one order and in columns within their section, days and months in full, one
blank line before each section, the record in order of date. Comments stay with their lines;
what cannot be read is kept to the letter. Nothing is ever broken over lines.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import islice, pairwise
from operator import gt

from ledger.text.reader import Reader
from ledger.text.shape import cells, in_columns
from ledger.text.source import BYTE_ORDER_MARK, Source
from ledger.text.tree import (
    ChoreLine,
    Declared,
    Limit,
    Line,
    Node,
    Placed,
    Record,
    RecordLine,
    Section,
    Tree,
)
from ledger.text.writer import INDENT, write_line


@dataclass
class _Row:
    """A line to be written, and the line it comes from."""

    line: Line
    text: str
    """As it stands in the source, blanks at its end left out."""
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
    """The text of a file in the formatter's shape, with its own line end and mark.

    Reading it gives the same nodes and comments, those of the record in order of date; and
    formatting it again changes nothing.
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
    return mark + "".join(line + newline for line in lines)


class FormatFault(Exception):
    """The formatter would have changed what a book says: a bug of ours, and nothing is written."""


def formatted(tree: Tree) -> str:
    """The text of `format_tree`, after making sure that it says what the file says.

    Raises FormatFault where it does not, or where a second formatting would change it.
    """
    text = format_tree(tree)
    again = Reader().read(Source.decode(tree.source.path, text.encode("utf-8", "surrogateescape")))
    if _said(tree) != _said(again) or format_tree(again) != text:
        raise FormatFault(tree.source.path)
    return text


def _said(tree: Tree) -> list[tuple[object, ...]]:
    """All nodes, comments and unread lines of a file: routine as it stands, record by date."""
    others = [
        (line.node, line.comment, tree.source.lines[line.number] if line.fault else "")
        for line in tree.lines
        if line.node is not None or line.comment is not None or line.fault is not None
    ]
    record = tree.record
    # Sorting by date alone keeps the order of lines of one date.
    order = sorted(range(len(record.dates)), key=record.dates.__getitem__)
    lines = [(record.dates[i], record.entries[i], record.entries[i].comment) for i in order]
    comments = sorted(other[1].value for other in others if other[0] is None and other[1])
    nodes = [other for other in others if other[0] is not None or other[2]]
    return [*nodes, *lines, *((comment,) for comment in comments)]


def is_formatted(tree: Tree, shapes: dict[int, bool] | None = None) -> bool:
    """True where formatting would change nothing, found out without formatting the record.

    `shapes` remembers, from one file to the next of one reader, which entries stand as written.
    """
    source, record = tree.source, tree.record
    if not _ends_alike(source) or _is_out_of_order(record):
        return False
    shapes = {} if shapes is None else shapes
    # Equal lines share one entry, so that one line of each tells.
    one_line = dict(
        zip(
            map(id, record.entries),
            zip(record.numbers, record.entries, strict=True),
            strict=True,
        )
    )
    for key, (number, entry) in one_line.items():
        if key not in shapes:
            shape = write_line(RecordLine(Placed(1, 0, 10), entry), entry.comment)[10:]
            shapes[key] = source.lines[number][10:] == shape
    if not all(map(shapes.__getitem__, one_line)):
        return False
    # Of record lines one below the other the first and the last stand for all: they are in order.
    numbers = set(record.numbers)
    dropped = {n for n in record.numbers if n - 1 in numbers and n + 1 in numbers}
    kept = [line for n, line in enumerate(source.lines) if n not in dropped]
    some = Source(source.path, "".join(line + source.newline for line in kept))
    again = Reader().read(some) if dropped else replace(tree, source=some)
    return format_tree(again) == some.text


def _is_out_of_order(record: Record) -> bool:
    """True where a line is of an earlier day than the one right above it."""
    dates = record.dates
    # Most records are in order from end to end, which is told quickly.
    if not any(map(gt, dates, islice(dates, 1, None))):
        return False
    lines = zip(record.numbers, dates, strict=True)
    return any(
        below == above + 1 and later < earlier
        for (above, earlier), (below, later) in pairwise(lines)
    )


def _ends_alike(source: Source) -> bool:
    """True where every line ends in the first one's line end."""
    if source.text and not source.text.endswith("\n"):
        return False
    ends = source.text.count("\r\n")
    return ends in (0, source.text.count("\n"))


def _rows(tree: Tree) -> list[_Row]:
    """The lines that are not blank, each knowing whether a blank line stood before it."""
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
    """Write every sound line anew: chores in the columns of their section, declarations of one
    kind in columns too, comments at the margin or at the indent."""
    section = 0
    groups: dict[object, list[_Row]] = {}
    run, last = 0, ""
    written: dict[int, str] = {}
    for row in rows:
        node = row.node
        if isinstance(node, RecordLine):
            key = id(node.entry)
            if key not in written:
                written[key] = write_line(node, row.line.comment)[10:]
            row.text = row.text[:10] + written[key]
        elif isinstance(node, ChoreLine):
            groups.setdefault(("section", section), []).append(row)
        elif isinstance(node, (Declared, Limit)):
            kind = node.keyword if isinstance(node, Declared) else "limit"
            run += row.gap or kind != last
            groups.setdefault(("run", run), []).append(row)
        elif node is not None:
            section += isinstance(node, Section)
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
    return "limit" if isinstance(node, Limit) else ""


# ------------------------------------------------------------------ order of the record


def _sorted_record(rows: list[_Row]) -> list[_Row]:
    """The rows with each stretch of the record in order of date, comments with their lines.

    A stretch is unbroken but for comments and blanks. Lines of one date keep their order.
    """
    out: list[_Row] = []
    stretch: list[_Row] = []
    comments: list[_Row] = []
    for row in rows:
        if isinstance(row.node, RecordLine):
            if not stretch:
                # What stands above a gap heads the file, not the first line.
                attached = _attached(comments, row)
                out += comments[: len(comments) - attached]
                comments = comments[len(comments) - attached :]
            row.lead = comments
            stretch.append(row)
            comments = []
        elif row.is_comment and not row.is_indented:
            comments.append(row)
        else:
            out += _in_date_order(stretch) + comments + [row]
            stretch, comments = [], []
    return out + _in_date_order(stretch) + comments


def _attached(comments: Sequence[_Row], row: _Row) -> int:
    """How many of the comments above a row touch it, with no gap between."""
    count, below = 0, row
    for comment in reversed(comments):
        if below.gap or comment.is_indented:
            break
        count, below = count + 1, comment
    return count


def _in_date_order(stretch: list[_Row]) -> list[_Row]:
    if not stretch:
        return []
    first = _top(stretch[0])
    gap, first.gap = first.gap, False
    ordered = sorted(stretch, key=_date)
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
    """One blank line before a section and where routine, declarations and record meet; none
    below a header or at the top; one for many everywhere else."""
    kinds = [_kind(row) for row in rows]
    before = ""
    for index, row in enumerate(rows):
        kind = kinds[index]
        if index == 0:
            row.gap = False
        elif kind == "section" or (kind and before and _parts(before, kind)):
            top = rows[index - _attached(rows[:index][_comments_from(rows, index) :], row)]
            top.gap = top is not rows[0]
        elif isinstance(rows[index - 1].node, Section):
            row.gap = False
        before = kind or before


def _comments_from(rows: list[_Row], index: int) -> int:
    """Index of the first of the comments right above a row."""
    while index > 0 and rows[index - 1].is_comment:
        index -= 1
    return index


def _kind(row: _Row) -> str:
    """section, chore, declaration or record; empty for comments and what cannot be read."""
    node = row.node
    if isinstance(node, Section):
        return "section"
    if isinstance(node, ChoreLine):
        return "chore"
    if isinstance(node, RecordLine):
        return "record"
    return "declaration" if node is not None else ""


def _parts(before: str, kind: str) -> bool:
    return kind != before and not (before == "section" and kind == "chore")
