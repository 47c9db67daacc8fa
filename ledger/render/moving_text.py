"""Why a chore cannot be moved to a day, as text."""

from __future__ import annotations

from ledger.render.layout import short_day
from ledger.render.settles_text import days_of
from ledger.report.moving import NoMove


def no_move_text(answer: NoMove) -> str:
    """What is in the way, and what to type instead."""
    chore, to = answer.chore, short_day(answer.to)
    days = days_of(*answer.days) if answer.days else ""
    match answer.kind:
        case "settled":
            return f"{chore} is settled already{f'; it is next on {days}' if days else ''}"
        case "over":
            return f"{chore} comes round no more: there is nothing to move"
        case "next":
            return (
                f"{chore} cannot be moved to {to}: it comes round on {days} anyway. To leave this "
                f"one out, write `besom skipped {chore}`"
            )
        case "before":
            return f"{chore} cannot be moved to {to}, before its time; it is next on {days}"
    return f"{chore} cannot be moved to {to}: nobody who does it is there from then on"
