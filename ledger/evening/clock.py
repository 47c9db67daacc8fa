"""Clock: how long a chore was worked on, against its minutes and what it usually takes."""

from __future__ import annotations

from datetime import datetime

from ledger.evening.rows import Row
from ledger.text.words import duration

BAR = 12
"""Cells of a bar."""


def whole_minutes(seconds: float) -> int | None:
    """Seconds as whole minutes; None below half a minute, which is no work."""
    return int(seconds / 60 + 0.5) or None


def time_of_day(moment: float) -> str:
    """`19:40`, by the local clock."""
    return f"{datetime.fromtimestamp(moment):%H:%M}"


def count_text(row: Row, seconds: float) -> str:
    """What is left of a chore's own minutes, or how far the time is beyond them; without minutes,
    how long it was."""
    left = row.task.left
    if not left:
        return _clock(seconds)
    rest = left * 60 - seconds
    # A count down shows a second as long as any of it is left.
    return f"{_clock(-(-rest // 1))} left" if rest > 0 else f"{_clock(-rest)} over"


def bar(row: Row, seconds: float) -> str:
    """A bar of the time spent, `|` where the chore is usually done; empty without minutes."""
    left = row.task.left
    if not left:
        return ""
    usual = None if row.usual is None else max(0.0, row.usual - row.task.worked)
    most = max(left, usual or 0) * 60
    filled = min(BAR, int(seconds / most * BAR))
    cells = ["#"] * filled + ["-"] * (BAR - filled)
    if usual is not None:
        cells.insert(min(BAR, round(usual * 60 / most * BAR)), "|")
    return f"[{''.join(cells)}]"


def beaten(row: Row, minutes: int) -> str:
    """`12 of 15 min; usual 14`: what it took, what the book gives it, and what it usually takes."""
    whole = minutes + row.task.worked
    given = row.task.minutes
    if given is None:
        words = duration(whole)
    elif max(whole, given) < 60:
        words = f"{whole} of {given} min"
    else:
        words = f"{duration(whole)} of {duration(given)}"
    if row.usual is None:
        return words
    usual = max(1, round(row.usual))
    return f"{words}; usual {usual if max(usual, given or whole) < 60 else duration(usual)}"


def _clock(seconds: float) -> str:
    minutes, rest = divmod(int(seconds), 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02}:{rest:02}" if hours else f"{minutes}:{rest:02}"
