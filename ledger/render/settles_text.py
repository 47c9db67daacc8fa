"""What a new line of the record counts for, as text."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.render.layout import short_day
from ledger.report.settles import Settles
from ledger.text.shown import safe
from ledger.text.words import counted, duration


def settles_text(settled: Sequence[Settles]) -> str:
    """A line for each chore that was not done in the days of its window, or worked on before."""
    return "".join(f"  {safe(one.chore)} {_counts(one)}\n" for one in settled)


def _counts(one: Settles) -> str:
    if one.first is None or one.last is None:
        return "was done already, or comes round no more: this settles nothing further"
    words = []
    if one.days_late:
        days = short_day(one.first)
        if one.last != one.first:
            days += f" to {short_day(one.last)}"
        off = counted(abs(one.days_late), "day", "days")
        words.append(f"counts for {days}, {off} {'late' if one.days_late > 0 else 'early'}")
    if one.before:
        words.append(f"took {duration(one.in_all)} in all, {duration(one.before)} of it before")
    return ", and ".join(words)
