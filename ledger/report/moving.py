"""Moving: why a chore cannot be moved to a day, and what to write instead."""

from __future__ import annotations

from datetime import date
from typing import Literal, NamedTuple

from ledger.keeping.history import Share
from ledger.keeping.occasion import Occasion


class NoMove(NamedTuple):
    """Why the window of a chore cannot be moved to a day."""

    kind: Literal["settled", "over", "next", "before", "nobody"]
    """What is to be done now is settled; it comes round no more; the new day is for the next
    window; it is for the one before; nobody is there from that day on."""
    chore: str
    to: date
    days: tuple[date, date] | None = None
    """The days of the window in the way, else of the next one; None where there is none."""


def no_move(share: Share, chore: str, day: int, to: int) -> NoMove:
    """Why a `moved` of a day finds no window that may lie on a new day, by the share before it."""
    new_day = date.fromordinal(to)
    ahead = share.ahead()
    window = share.owed
    if window is None:
        window = next(ahead, None)
        standing = share.standing
        if standing is not None and day <= standing.last:
            return NoMove("settled", chore, new_day, _span(window))
        if window is None:
            return NoMove("over", chore, new_day)
        if to < window.first and share.timeline.someone_there(window.routine).first(to) == to:
            return NoMove("before", chore, new_day, _span(window))
    following = next(ahead, None)
    if following is not None and following.first <= to:
        return NoMove("next", chore, new_day, _span(following))
    return NoMove("nobody", chore, new_day)


def _span(window: Occasion | None) -> tuple[date, date] | None:
    if window is None:
        return None
    return date.fromordinal(window.first), date.fromordinal(window.last)
