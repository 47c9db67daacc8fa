"""Work: windows that each want one of several days, the bounds of these days, and how good a choice
of days is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple


class Piece(NamedTuple):
    """One window, or one person's share of it, that is done on one day. Days are ordinals."""

    days: tuple[int, ...]
    """The days on which it may be done, in order; at least one."""
    opens: int
    """The day from which it stands open."""
    minutes: int
    """Minutes of all who do it, together."""
    own: tuple[tuple[str, int], ...] = ()
    """What of it is surely one person's: the name and the minutes of each."""
    label: str = ""
    """The chore's name."""
    is_late: bool = False
    rank: tuple[float, ...] = ()
    """Of late pieces, the one with the lower rank gets its day first."""


class Problem(NamedTuple):
    """Pieces, and what the days hold."""

    pieces: Sequence[Piece]
    first: int
    """First day."""
    limits: Sequence[int | None]
    """Minutes that each day holds, from the first on; None for no limit."""
    personal: Mapping[str, Sequence[int | None]] = {}
    """The same for each person with a limit."""
    apart: Sequence[tuple[int, int]] = ()
    """Indices of two pieces that must not be done on one day."""
    after: Sequence[tuple[int, int]] = ()
    """Indices of two pieces, the first of which comes before the other while it is open."""
    taken: Sequence[int] = ()
    """Minutes that stand on each day already, from the first on; none where it is empty."""
    taken_by: Mapping[str, Sequence[int]] = {}
    """The same for people with a limit."""


class Score(NamedTuple):
    """How good a choice of days is. Scores compare in this order; a lower one is better."""

    out_of_order: int
    """Pairs of `after` of which the second is done while the first stands open."""
    together: int
    """Pairs of `apart` on one day."""
    over: int
    """Minutes over the limits of the days."""
    over_people: int
    """Minutes over the limits of people, of what is surely theirs."""
    heaviest: int
    """Minutes of the heaviest day."""
    waits: tuple[int, ...]
    """Days from the first day to that of each late piece, in order of rank."""


class Placement(NamedTuple):
    """A day for each piece, how good that is, and how good it could be."""

    days: tuple[int, ...]
    score: Score
    least: Score
    """No choice of days has a better score than this, place by place, if it is as good in all
    places before."""
