"""What changed between two sequences: the range outside which both are the same."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, NamedTuple


class ChangedLines(NamedTuple):
    """The range that changed; the items before it and after it are the same."""

    first: int
    end: int
    """One past its last item in the old sequence."""
    new_end: int
    """The same in the new sequence."""

    @property
    def size(self) -> int:
        """How many items were removed and added."""
        return self.end + self.new_end - 2 * self.first

    @property
    def shift(self) -> int:
        """How far the items after the range moved."""
        return self.new_end - self.end


def changed(*columns: tuple[Sequence[Any], Sequence[Any]]) -> ChangedLines:
    """The range in which two sequences differ; each column is compared by itself."""
    length, new_length = map(len, columns[0])
    most = min(length, new_length)
    first = min(_common_start(before, after, most) for before, after in columns)
    # An item counts for the common beginning or the common end, not both: `a, a` to `a` lost one.
    last = min(
        _common_start(before[first:][::-1], after[first:][::-1], most - first)
        for before, after in columns
    )
    return ChangedLines(first, length - last, new_length - last)


def _common_start(before: Sequence[Any], after: Sequence[Any], most: int) -> int:
    """How many items two sequences share at the beginning, up to `most`."""
    if before[:most] == after[:most]:
        return most
    low, high = 0, most
    # Slices are compared faster than their items one by one.
    while high - low > 1:
        middle = (low + high) // 2
        if before[low:middle] == after[low:middle]:
            low = middle
        else:
            high = middle
    return low
