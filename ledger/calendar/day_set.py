"""Sets of days, worked out block by block as bits: whole years are compared in a few steps."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import reduce
from operator import and_, itemgetter, or_

from ledger.calendar.week import (
    HORIZON,
    MAX_DAY,
    MONTHS_A_YEAR,
    month_first,
    month_index,
    month_last,
)
from ledger.household.model import Span

BLOCK = 512
_ALL_BITS = (1 << BLOCK) - 1
_WEEK = 7


class DaySet:
    """A set of days. Days are asked for by ordinal; nothing is worked out before it is asked."""

    def __init__(self, bits_of: Callable[[int], int], none_from: int = MAX_DAY + 1) -> None:
        """`bits_of` gives a block of the set: bit n of block b is day b * BLOCK + n. No day from
        `none_from` on is in the set."""
        self._bits_of = bits_of
        self._blocks: dict[int, int] = {}
        self._none_from = none_from
        self._gap = 0, 0
        """Days of which none is in the set: what a search for the next one found last."""

    def block(self, number: int) -> int:
        """A block of the set, as bits."""
        bits = self._blocks.get(number)
        if bits is None:
            bits = self._blocks[number] = self._bits_of(number)
        return bits

    def holds(self, day: int) -> bool:
        """True for a day in the set."""
        return bool(self.block(day // BLOCK) >> day % BLOCK & 1)

    def any(self, low: int, high: int) -> bool:
        """True if a day from `low` to `high` is in the set."""
        number, offset = divmod(low, BLOCK)
        if offset + high - low < BLOCK:
            return bool(self.block(number) >> offset & ((2 << high - low) - 1))
        return self.first(low, high) is not None

    def ends(self, low: int, high: int) -> Span | None:
        """The first and the last day of the set from `low` to `high`, or None."""
        if low <= high and self.holds(low) and self.holds(high):
            return low, high
        first = self.first(low, high)
        return None if first is None else (first, self.last(first, high) or first)

    def first(self, low: int, high: int | None = None) -> int | None:
        """The first day of the set from `low` to `high`, or None; without `high`, within a
        hundred years."""
        far = min(low + HORIZON, MAX_DAY)
        end = min(far if high is None else high, self._none_from - 1)
        start = self._gap[1] + 1 if self._gap[0] <= low <= self._gap[1] else low
        while start <= end:
            number, offset = divmod(start, BLOCK)
            bits = self.block(number) >> offset
            if bits:
                day = start + (bits & -bits).bit_length() - 1
                return day if day <= end else None
            start = (number + 1) * BLOCK
        if high is None:
            self._gap = low, max(end, low)
        return None

    def last(self, low: int, high: int) -> int | None:
        """The last day of the set from `low` to `high`, or None."""
        end = high
        while end >= low:
            number, offset = divmod(end, BLOCK)
            bits = self.block(number) & ((2 << offset) - 1)
            if bits:
                day = number * BLOCK + bits.bit_length() - 1
                return day if day >= low else None
            end = number * BLOCK - 1
        return None

    def count(self, low: int, high: int) -> int:
        """How many days from `low` to `high` are in the set."""
        return sum(bits.bit_count() for bits in self._parts(low, high))

    def _parts(self, low: int, high: int) -> Iterator[int]:
        """The bits of the days from `low` to `high`, block by block."""
        for number in range(low // BLOCK, high // BLOCK + 1) if low <= high else ():
            bits = self.block(number)
            if number == high // BLOCK:
                bits &= (2 << high % BLOCK) - 1
            if number == low // BLOCK:
                bits = bits >> low % BLOCK << low % BLOCK
            yield bits

    def runs(self, low: int, high: int) -> Iterator[Span]:
        """The days of the set from `low` to `high`, as spans with a gap between any two."""
        outside = ~self
        first = self.first(low, high)
        while first is not None:
            end = outside.first(first, high)
            yield first, high if end is None else end - 1
            first = None if end is None else self.first(end, high)

    def __and__(self, other: DaySet) -> DaySet:
        return all_of((self, other))

    def __or__(self, other: DaySet) -> DaySet:
        return any_of((self, other))

    def __invert__(self) -> DaySet:
        if self is ALL:
            return NONE
        return ALL if self is NONE else DaySet(lambda number: _ALL_BITS & ~self.block(number))


ALL, NONE = DaySet(lambda _: _ALL_BITS), DaySet(lambda _: 0)


def any_of(sets: Iterable[DaySet]) -> DaySet:
    """The days of any of some sets."""
    parts = [one for one in sets if one is not NONE]
    if len(parts) < 2:
        return parts[0] if parts else NONE
    if any(one is ALL for one in parts):
        return ALL
    none_from = max(one._none_from for one in parts)
    return DaySet(lambda number: reduce(or_, [one.block(number) for one in parts]), none_from)


def all_of(sets: Iterable[DaySet]) -> DaySet:
    """The days that all of some sets hold."""
    parts = [one for one in sets if one is not ALL]
    if len(parts) < 2:
        return parts[0] if parts else ALL
    if any(one is NONE for one in parts):
        return NONE
    none_from = min(one._none_from for one in parts)
    return DaySet(lambda number: reduce(and_, [one.block(number) for one in parts]), none_from)


def of_spans(spans: Iterable[Span]) -> DaySet:
    """The days of some spans, which may overlap."""
    merged = apart(spans)
    if not merged:
        return NONE

    def bits_of(number: int) -> int:
        low, high = number * BLOCK, number * BLOCK + BLOCK - 1
        bits = 0
        for first, last in merged[bisect_left(merged, low, key=itemgetter(1)) :]:
            if first > high:
                break
            bits |= _bits(max(first, low) - low, min(last, high) - low)
        return bits

    return DaySet(bits_of, merged[-1][1] + 1)


def apart(spans: Iterable[Span]) -> Sequence[Span]:
    """Spans in order; those that overlap or touch are merged."""
    merged: list[Span] = []
    for first, last in sorted(spans):
        if merged and first <= merged[-1][1] + 1:
            merged[-1] = merged[-1][0], max(last, merged[-1][1])
        else:
            merged.append((first, last))
    return merged


def _bits(first: int, last: int) -> int:
    """The bits from one offset to another."""
    return (2 << last) - (1 << first)


def of_weekdays(days: Iterable[int]) -> DaySet:
    """Every such day of the week, 0 for Monday."""
    # Day 1 is a Monday, so bit n of a row of days that begins on day 0 is the weekday n - 1.
    row = sum(1 << offset for offset in range(_WEEK) if (offset - 1) % _WEEK in set(days))
    long = sum(row << _WEEK * week for week in range(BLOCK // _WEEK + 2))
    return DaySet(lambda number: long >> number * BLOCK % _WEEK & _ALL_BITS)


def of_months(first: int, last: int) -> DaySet:
    """The days from one month to another, 1 to 12, also across the year's end."""
    months = {(first + n - 1) % MONTHS_A_YEAR + 1 for n in range((last - first) % 12 + 1)}

    def bits_of(number: int) -> int:
        low, high = max(number * BLOCK, 1), min(number * BLOCK + BLOCK - 1, MAX_DAY)
        start, bits = number * BLOCK, 0
        for month in range(month_index(low), month_index(high) + 1) if low <= high else ():
            if month % MONTHS_A_YEAR + 1 in months:
                span = max(month_first(month), low), min(month_last(month), high)
                bits |= _bits(span[0] - start, span[1] - start)
        return bits

    return DaySet(bits_of)


def of_openings(spans_from: Callable[[int, int], Iterable[Span]], longest: int) -> DaySet:
    """The days of all spans that a function gives by the days on which they open.

    `longest` is an upper bound on the days of a span.
    """

    def bits_of(number: int) -> int:
        low, high = number * BLOCK, min(number * BLOCK + BLOCK - 1, MAX_DAY)
        bits = 0
        for first, last in spans_from(max(1, low - longest + 1), high):
            if last >= low:
                bits |= _bits(max(first - low, 0), min(last, high) - low)
        return bits

    return DaySet(bits_of)
