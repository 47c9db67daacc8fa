"""Counting: on how many days lines of the routine open windows, even over centuries.

Lines that open alike in all months of a kind are counted by kind of month. Lines that open every
so many days or weeks are counted by division. Only other lines are counted opening by opening.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from functools import cache, lru_cache
from math import gcd
from operator import attrgetter
from typing import NamedTuple

from ledger.calendar.lines import LineInForce
from ledger.calendar.occurrences import Rhythm, falling, is_stepped
from ledger.calendar.week import (
    CYCLE,
    MONTHS_A_YEAR,
    month_first,
    month_index,
    month_last,
    week_first,
    weekday,
)

NEAR = 1500
"""In fewer days than this openings are counted one by one: about four years."""
SHORTEST, WEEK = 28, 7


def count_openings(lines: Sequence[LineInForce], low: int, high: int) -> int:
    """On how many days from `low` to `high` any of the lines opens a window."""
    total = 0
    for first, last, active_lines in _stretches(lines, low, high):
        if last - first < NEAR:
            total += len({day for line in active_lines for day, _ in line.spans(first, last)})
        elif len(active_lines) == 1 and _is_stepped(active_lines[0]):
            total += _by_steps(active_lines[0], first, last)
        else:
            total += _by_months(active_lines, first, last)
    return total


def _stretches(
    lines: Sequence[LineInForce], low: int, high: int
) -> Iterator[tuple[int, int, Sequence[LineInForce]]]:
    """The days from `low` to `high` in stretches in which the same lines may open.

    The first day of a line is a stretch of its own: a window begun earlier opens there.
    """
    waiting = sorted(
        (line for line in lines if line.first <= high), key=attrgetter("first"), reverse=True
    )
    active_lines: list[LineInForce] = []
    day = low
    while day <= high and (waiting or active_lines):
        while waiting and waiting[-1].first <= day:
            active_lines.append(waiting.pop())
        active_lines = [line for line in active_lines if line.opens_by >= day]
        ends = [line.opens_by for line in active_lines]
        if waiting:
            ends.append(waiting[-1].first - 1)
        if any(line.first == day for line in active_lines):
            ends.append(day)
        end = min(ends, default=high)
        if active_lines:
            yield day, min(end, high), active_lines
        day = end + 1


def _is_stepped(line: LineInForce) -> bool:
    """True for a line of every so many days or weeks: its days differ from month to month."""
    return _is_regular(line) and is_stepped(line.rhythm.cadence)


def _is_regular(line: LineInForce) -> bool:
    """True for a line whose windows are whole spans of its cadence, apart from its dates."""
    return line.is_plain and line.rhythm.cadence.times == 1


def _by_steps(line: LineInForce, low: int, high: int) -> int:
    """How often a line of every so many days or weeks opens."""
    cadence, anchor, week_start, _ = line.rhythm
    if cadence.kind == "day":
        step, anchors = cadence.every, [anchor]
    else:
        step, week = cadence.every * WEEK, week_first(anchor, week_start)
        anchors = [week + (day - week_start) % WEEK for day in cadence.days or (week_start,)]
    return sum((high - start) // step - (low - 1 - start) // step for start in anchors)


# ------------------------------------------------------------------- by the kinds of months


def _by_months(lines: Sequence[LineInForce], low: int, high: int) -> int:
    """On how many days any of the lines opens. Lines that open alike in all months of a kind are
    counted by kind, the others one by one."""
    alone = len(lines) == 1
    alike = [line for line in lines if _is_alike(line, alone)]
    others = [line for line in lines if not _is_alike(line, alone)]
    start, end = month_index(low) + 1, month_index(high) - 1
    between = month_first(start), month_last(end)
    edges = (low, between[0] - 1), (between[1] + 1, high)
    total = len({day for line in lines for edge in edges for day, _ in line.spans(*edge)})
    if others:
        total += _besides(alike, others, *between)
    if alike:
        rhythm = alike[0].rhythm
        step = rhythm.cadence.every
        start += (month_index(rhythm.anchor) - start) % step
        for kind, count in _tally(start, step, len(range(start, end + 1, step))).items():
            total += count * _days_of(alike, kind).bit_count()
    return total


def _is_alike(line: LineInForce, alone: bool) -> bool:
    """True if a month's length and first weekday decide on which of its days a line opens.

    A cadence of every so many months is alike only if it is counted alone.
    """
    cadence = line.rhythm.cadence
    by_month = alone and not is_stepped(cadence)
    return _is_regular(line) and not cadence.is_once and (cadence.every == 1 or by_month)


class _Kind(NamedTuple):
    """Months with the same name, length and first weekday."""

    name: int
    """1 to 12."""
    shape: int
    """Length and first weekday in one number."""


@lru_cache(maxsize=64)
def _tally(start: int, step: int, count: int) -> Mapping[_Kind, int]:
    """How many of `count` months, each `step` after the one before, are of each kind."""
    cycle = CYCLE // gcd(step, CYCLE)
    whole, rest = divmod(count, cycle)
    tally = Counter(_kind_of((start + step * n) % CYCLE) for n in range(rest))
    if whole:
        every = Counter(_kind_of((start + step * n) % CYCLE) for n in range(cycle))
        for kind, times in every.items():
            tally[kind] += whole * times
    return tally


@cache
def _kind_of(index: int) -> _Kind:
    """The kind of a month of the 400 years after which the calendar repeats, by its index."""
    month = CYCLE + index
    first = month_first(month)
    length = month_last(month) - first + 1
    return _Kind(month % MONTHS_A_YEAR + 1, (length - SHORTEST) * WEEK + weekday(first))


def _days_of(lines: Sequence[LineInForce], kind: _Kind) -> int:
    """The days on which any of the lines opens in a month of a kind, as bits."""
    days = 0
    for line in lines:
        cadence, _, week_start, weekend = line.rhythm
        if not cadence.months or kind.name in cadence.months:
            free = cadence._replace(months=(), every=1)
            days |= _days_in(Rhythm(free, 1, week_start, weekend), kind.shape)
    return days


@lru_cache(maxsize=1 << 14)
def _days_in(rhythm: Rhythm, shape: int) -> int:
    """The days on which a cadence opens in a month of a shape, as bits."""
    month = _month_of_shape()[shape]
    first, last = month_first(month), month_last(month)
    return sum(1 << day - first for day, _ in falling(rhythm, first, last))


@cache
def _month_of_shape() -> Mapping[int, int]:
    """For each shape a month of it: in 28 years, which no turn of a century parts, all come."""
    return {_kind_of(index).shape: CYCLE + index for index in range(28 * MONTHS_A_YEAR)}


def _besides(
    alike: Sequence[LineInForce], others: Sequence[LineInForce], low: int, high: int
) -> int:
    """On how many days from `low` to `high` any of `others` opens and none of `alike`."""
    days_of_alike = (
        [_days_of(alike, kind) for kind in map(_kind_of, range(CYCLE))] if alike else [0] * CYCLE
    )
    if all(days.bit_count() >= SHORTEST and not days & days + 1 for days in days_of_alike):
        return 0
    count = 0
    for day in {day for line in others for day, _ in line.spans(low, high)}:
        when = date.fromordinal(day)
        month = when.year * MONTHS_A_YEAR + when.month - 1
        count += not days_of_alike[month % CYCLE] >> when.day - 1 & 1
    return count
