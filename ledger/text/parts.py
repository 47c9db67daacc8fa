"""The parts of lines: values with their places, names, days, lists of days and cadences.

Places inside a line are code-point offsets from the line's start, and take no part in `==`.
"""

from __future__ import annotations

from typing import Generic, Literal, NamedTuple, TypeVar

from ledger.text.source import Source, TextRange, equal_but_for

T = TypeVar("T")


@equal_but_for("start", "end")
class Located(NamedTuple, Generic[T]):
    """A value and where it stands in its line."""

    value: T
    start: int
    end: int

    def at(self, source: Source, line: int) -> TextRange:
        """The place of the value, given the line it stands in."""
        return TextRange(source, line, self.start, self.end)


Name = Located[str]
Names = tuple[Name, ...]
Day = Located[int]
"""A date as its proleptic Gregorian ordinal."""


class Spans(NamedTuple):
    """Days as a list of spans, or as the names of named days."""

    dates: tuple[tuple[Day, Day | None], ...] = ()
    """First and last day of each span; without a last day it is open."""
    names: Names = ()


class MonthDay(NamedTuple):
    """A day in each month: a number, all of one weekday, or a weekday counted in the month."""

    number: int
    """Without a weekday, the day of the month. With one, which of them in the month; 0 is all of
    them. In both cases -1 is the last."""
    weekday: int | None


DayItemKind = Literal["months", "day", "weekday", "weekend", "named"]


class DayItem(NamedTuple):
    """An item of a list of days behind `during` or `except`."""

    kind: DayItemKind
    first: int = 0
    last: int = 0
    """For months, the first and the last, 1 to 12, also across the year's end. For a day of the
    week both are its number, 0 is Monday."""
    name: str = ""
    """For named days, what they are called."""


DayItems = tuple[Located[DayItem], ...]


CadenceKind = Literal[
    "day", "weekday", "weekend", "numbered-weekend", "named-day", "week", "month", "named-month",
    "after-done", "once",
]  # fmt: skip


class Cadence(NamedTuple):
    """How often a section comes round, as its header says it."""

    kind: CadenceKind
    every: int = 1
    """The N of `every N`; for after-done, the days between."""
    times: int = 1
    """Into how many parts each period is parted: the N of `N times every ...`."""
    days: tuple[int, ...] = ()
    """Weekdays named, 0 is Monday."""
    months: tuple[int, ...] = ()
    on: tuple[MonthDay, ...] = ()
    weekends: tuple[int, ...] = ()
    """Weekend numbers of the month; -1 is the last."""
    first: int = 0
    """For `once`: `first` and `last` are its first and last day, as ordinals."""
    last: int = 0

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Cadence) and self._said == other._said

    def __ne__(self, other: object) -> bool:
        return not self == other

    def __hash__(self) -> int:
        return hash(self._said)

    @property
    def _said(self) -> tuple[object, ...]:
        """All that it says: the order of its lists says nothing."""
        return (*self[:5], frozenset(self.on), frozenset(self.weekends), *self[7:])

    @property
    def is_after_done(self) -> bool:
        """True where its windows depend on the record, not on the calendar."""
        return self.kind == "after-done"

    @property
    def is_once(self) -> bool:
        """True where it has a single window."""
        return self.kind == "once"

    @property
    def needs_from(self) -> bool:
        """True where its days are unknown without a `from`."""
        return self.every > 1 and not self.is_after_done
