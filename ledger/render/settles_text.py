"""What a new line of the record does to its chores, as text."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from ledger.render.layout import short_day
from ledger.report.settles import Settles
from ledger.text.shown import safe
from ledger.text.words import counted, duration

_EXTRA = {
    "did": "was done already, is paused or comes round no more: this settles nothing further",
    "skipped": "is settled already, is paused or comes round no more: this excuses nothing",
    "worked": "is settled already, is paused or comes round no more: no day has these minutes",
}


def settles_text(settled: Sequence[Settles]) -> str:
    """A line for each answer."""
    return "".join(f"  {safe(one.chore)} {_counts(one)}\n" for one in settled)


def _counts(one: Settles) -> str:
    if one.first is None or one.last is None:
        return _EXTRA[one.verb]
    days = days_of(one.first, one.last)
    if one.verb == "skipped":
        return f"is excused for {days}"
    if one.verb == "moved":
        return f"is next on {days}"
    if one.verb == "worked":
        return _worked(one)
    words = []
    if one.days_late:
        off = counted(abs(one.days_late), "day", "days")
        words.append(f"counts for {days}, {off} {'late' if one.days_late > 0 else 'early'}")
    if one.before:
        words.append(f"took {duration(one.in_all)} in all, {duration(one.before)} of it before")
    return ", and ".join(words)


def _worked(one: Settles) -> str:
    done = duration(one.in_all)
    if one.declared is None:
        return f"has {done} worked; once it is done, `besom did {one.chore}` says so"
    left = one.declared - one.in_all
    worked = f"{done} of {duration(one.declared)} worked"
    if left > 0:
        return f"has {worked}, {duration(left)} left"
    return f"has {worked}; if it is done, `besom did {one.chore}` says so"


def days_of(first: date, last: date) -> str:
    """`Mon 2 Mar`, or `Sat 7 Mar to Sun 8 Mar`."""
    return short_day(first) + (f" to {short_day(last)}" if last != first else "")
