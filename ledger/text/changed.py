"""What changed between two rows of things: the stretch outside which both are the same."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple


class ChangedLines(NamedTuple):
    """Where a row became another: what stands before `first` and from the two ends on stayed."""

    first: int
    end: int
    """Behind the last that changed, in the row as it was."""
    new_end: int
    """The same in the row as it is."""

    @property
    def size(self) -> int:
        """How many things went and came."""
        return self.end + self.new_end - 2 * self.first

    @property
    def shift(self) -> int:
        """By how much what follows has moved."""
        return self.new_end - self.end


def changed(*columns: tuple[Sequence[Any], Sequence[Any]]) -> ChangedLines:
    """The stretch in which two rows differ, told by equality of each of their columns."""
    length, new_length = map(len, columns[0])
    most = min(length, new_length)
    first = min(_alike(before, after, most) for before, after in columns)
    # What both begin with is no part of what both end with: `a, a` to `a` lost one.
    last = min(
        _alike(before[first:][::-1], after[first:][::-1], most - first) for before, after in columns
    )
    return ChangedLines(first, length - last, new_length - last)


def _alike(one: Sequence[Any], other: Sequence[Any], most: int) -> int:
    """How many things two rows begin with alike, of so many at most."""
    if one[:most] == other[:most]:
        return most
    low, high = 0, most
    # Slices are compared faster than their items one by one.
    while high - low > 1:
        middle = (low + high) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle
    return low
