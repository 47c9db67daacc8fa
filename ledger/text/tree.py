"""The tree of a book: one node a line, with its comment; places do not take part in `==`.

Places inside a line are code-point offsets from the line's start: every line is read alone, so
equal lines share one node wherever they stand.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Mapping
from itertools import takewhile
from operator import attrgetter
from typing import NamedTuple

from ledger.text.clauses import ChoreLine, NamedDays, SectionHeader
from ledger.text.finding import Finding
from ledger.text.parts import Day, Located, Name, Names, Spans
from ledger.text.source import Source, equal_but_for


class Setting(NamedTuple):
    """A declaration that stands once in a book and has one value.

    `value` is the title of `household`, the ordinal of `since`, the day (0 is Monday) of `week
    starts`, the days of `weekend is`, the minutes after midnight of `day ends`.
    """

    keyword: str
    value: Located[str] | Located[int] | tuple[Located[int], ...]


class Declared(NamedTuple):
    """`person NAME` or `area NAME`."""

    keyword: str
    name: Name
    title: Name | None


class LimitLine(NamedTuple):
    """`limit WHO [KIND] DURATION`.

    `who` is `weekday`, `weekend`, a day's full name, named days or a person; `kind`, behind a
    person only, is any of the first four.
    """

    who: Name
    kind: Name | None
    minutes: Located[int]


class AbsentLine(NamedTuple):
    """`away SPANS by PEOPLE` or `rest SPANS by PEOPLE`; nobody named means the whole household."""

    keyword: str
    spans: Spans
    people: Names
    title: Name | None


STEP = "-"
"""The sign that a step begins with."""


class Step(NamedTuple):
    """`- TEXT`: a step of the chore above it."""

    text: Name


class RecordItem(NamedTuple):
    """A chore in a line of the record, with its minutes where it was timed."""

    name: Name
    minutes: Located[int] | None = None


@equal_but_for("comment")
class RecordEntry(NamedTuple):
    """A record line without its date; equal lines share one entry."""

    verb: str
    """did, skipped, moved or worked."""
    items: tuple[RecordItem, ...]
    people: Names = ()
    to: Day | None = None
    note: Name | None = None
    comment: Name | None = None
    """Left out of equality: it does not change what was done."""


class RecordLine(NamedTuple):
    """A line of the record."""

    date: Day
    entry: RecordEntry


Node = (
    Setting
    | Declared
    | NamedDays
    | LimitLine
    | AbsentLine
    | SectionHeader
    | ChoreLine
    | Step
    | RecordLine
)


@equal_but_for("number")
class Line(NamedTuple):
    """One line of a file: its node, or none where it is blank, a comment, or not readable."""

    number: int
    """Counted from 0."""
    node: Node | None
    comment: Name | None = None
    fault: Finding | None = None
    taken_for: str = ""
    """The kind of a faulty line, by section 2 of FORMAT.md: section, declaration, chore, step,
    record, comment or mark; section where it may be either of the first two."""

    @property
    def opens(self) -> bool:
        """True for a header, and for a faulty line that is taken for one."""
        return isinstance(self.node, SectionHeader) or self.taken_for == "section"

    @property
    def is_chore(self) -> bool:
        """True for a chore, and for a faulty line that is taken for one."""
        return isinstance(self.node, ChoreLine) or self.taken_for == "chore"

    @property
    def is_step(self) -> bool:
        """True for a step, and for a faulty line that is taken for one."""
        return isinstance(self.node, Step) or self.taken_for == "step"

    @property
    def is_comment(self) -> bool:
        """True for a line that holds nothing but a comment."""
        return self.node is None and self.fault is None and self.comment is not None

    @property
    def says_nothing(self) -> bool:
        """True for a line that stands between no chore and its steps: one that is blank, a comment
        or a merge mark."""
        is_read = self.node is None and self.fault is None
        return is_read or self.taken_for in ("comment", "mark")


@equal_but_for("kinds")
class Record(NamedTuple):
    """The well-formed lines of the record as columns: they outnumber all others by far."""

    numbers: list[int]
    """Line numbers, counted from 0."""
    dates: list[int]
    """Ordinals."""
    entries: list[RecordEntry]
    kinds: Mapping[str, RecordEntry]
    """Each different entry once, by its text. May include entries of other files of the same
    reader."""


class Tree(NamedTuple):
    """One file as read: every line is in `lines` or in `record`, blanks and comments too."""

    source: Source
    lines: tuple[Line, ...]
    record: Record

    def all_lines(self) -> Iterator[Line]:
        """Every line of the file in order."""
        others = iter(self.lines)
        other = next(others, None)
        record = self.record
        for number, date, entry in zip(record.numbers, record.dates, record.entries, strict=True):
            while other is not None and other.number < number:
                yield other
                other = next(others, None)
            node = RecordLine(Located(date, 0, 10), entry)
            yield Line(number, node, entry.comment)
        while other is not None:
            yield other
            other = next(others, None)

    def below(self, header: int) -> list[ChoreLine]:
        """The chores of a section, given the number of its header or of the faulty line taken for
        one."""
        first = bisect_right(self.lines, header, key=attrgetter("number"))
        lines = map(self.lines.__getitem__, range(first, len(self.lines)))
        section = takewhile(lambda line: not line.opens, lines)
        return [line.node for line in section if isinstance(line.node, ChoreLine)]

    def header_of(self, number: int) -> SectionHeader | None:
        """The header above a line, given its number; None if there is none, or one that cannot be
        read."""
        above = bisect_left(self.lines, number, key=attrgetter("number"))
        lines = map(self.lines.__getitem__, range(above - 1, -1, -1))
        header = next((line.node for line in lines if line.opens), None)
        return header if isinstance(header, SectionHeader) else None

    def owned_steps(self) -> Iterator[tuple[Line, Line | None]]:
        """Each step with the chore line it belongs to, readable or not; None where it has none.

        That is the nearest line above that is neither blank, comment, mark nor step.
        """
        above: Line | None = None
        for line in self.lines:
            if isinstance(line.node, Step):
                owner = above if above is not None and above.is_chore else None
                yield line, owner and (None if self._has_record(owner, line) else owner)
            elif not (line.is_step or line.says_nothing):
                above = line

    def _has_record(self, above: Line, below: Line) -> bool:
        """True if a line of the record stands between two lines."""
        numbers = self.record.numbers
        return bisect_right(numbers, above.number) < bisect_right(numbers, below.number)

    def faults(self) -> list[Finding]:
        """The faults of its lines, in order of line."""
        return [line.fault for line in self.lines if line.fault is not None]
