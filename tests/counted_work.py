"""Work counted in lines of the package that run, so that no clock has a say."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from types import FrameType
from typing import Any, TypeVar

T = TypeVar("T")
PACKAGE = str(Path(__file__).parents[1] / "ledger")
# From n to 2n to 4n what is added doubles where work grows with n, and grows fourfold with its
# square; n log n lies between, nearer to the first.
STEEPEST = 3.1
LITTLE = 1500
"""Lines that run or do not as a line of the book is longer than the screen, say."""


def lines_run(task: Callable[[T], object], given: T) -> int:
    """How many lines of the package run for a task."""
    count = 0

    def inside(frame: FrameType, event: str, arg: Any) -> Any:
        nonlocal count
        count += event == "line"
        return inside

    def entered(frame: FrameType, event: str, arg: Any) -> Any:
        return inside if frame.f_code.co_filename.startswith(PACKAGE) else None

    before = sys.gettrace()
    sys.settrace(entered)
    try:
        task(given)
    finally:
        sys.settrace(before)
    return count


def growth(task: Callable[[T], object], of_size: Callable[[int], T], size: int = 25) -> float:
    """How many times more is added from 2n to 4n than from n to 2n; `STEEPEST` is the most that
    may be."""
    task(of_size(4))
    least, middle, most = (lines_run(task, of_size(n)) for n in (size, 2 * size, 4 * size))
    return (most - middle) / max(middle - least, LITTLE)
