"""What looks like a slip in a new line of the record, as text."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from ledger.report.slips import Slip
from ledger.text.shown import safe
from ledger.text.words import days_text, duration, listed


def slips_text(slips: Sequence[Slip], day: date, line: str) -> str:
    """The line, and below it what is odd, a line each."""
    odd = "".join(f"  {safe(_odd(slip, day))}\n" for slip in slips)
    return f"{safe(line)}\n{odd}"


def _odd(slip: Slip, day: date) -> str:
    chore = slip.chore
    match slip.kind:
        case "again":
            return f"{chore} is in the record of {day} already, and nothing of it is left to do"
        case "twice":
            return f"{chore} is named twice in this line, which counts once"
        case "minutes":
            times = slip.minutes / slip.usual
            return (
                f"{chore}: {duration(slip.minutes)} is {times:.0f} times the usual "
                f"{duration(slip.usual)}"
            )
        case "nobody's":
            who = listed(slip.people)
            return f"{chore} is done by each of {who}; nobody named here has a share of it"
        case "before":
            return f"{day} is {days_text(slip.days)} before the book begins ({slip.day})"
        case "long ago":
            return f"{day} is {days_text(slip.days)} ago, more than a year"
