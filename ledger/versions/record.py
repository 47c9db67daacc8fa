"""The record in a merge: lines that a side added are placed among the others by date."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ledger.versions.pieces import Piece
from ledger.versions.units import TOP, FileVersion, Key

Stretch = list[Key]
"""Lines of the record that stand together."""


def with_new_lines(
    stretches: Sequence[Stretch],
    record: Sequence[Key],
    base: FileVersion,
    pieces: Mapping[Key, Piece],
) -> None:
    """Put the lines that the other side added into the stretches of the record, each into that of
    the lines around it. There must be a stretch."""
    home = {key: number for number, stretch in enumerate(stretches) for key in stretch}
    at = next((home[key] for key in record if key in home), len(stretches) - 1)
    shares: list[Stretch] = [[] for _ in stretches]
    for key in record:
        at = home.get(key, at)
        shares[at].append(key)
    places = {key: number for number, key in enumerate(base.below[TOP])}
    for stretch, share in zip(stretches, shares, strict=True):
        if any(key not in places for key in share):
            stretch[:] = _by_date(stretch, share, places, pieces)


def _by_date(
    ours: Stretch, theirs: Stretch, places: Mapping[Key, int], pieces: Mapping[Key, Piece]
) -> Stretch:
    """One stretch with the lines of both sides, in order of date.

    A new line follows the line of its day that it follows on its own side. Lines that both sides
    put in one place are sorted by their words: the order must not depend on which side is ours.
    """
    new_lines = [_new_lines(side, places) for side in (ours, theirs)]
    added: dict[tuple[int, Key | None], tuple[Stretch, Stretch]] = {}
    for side, keys in enumerate(new_lines):
        for key, before in keys.items():
            # A line that both added, at different places, goes to the first of the two.
            other = new_lines[1 - side].get(key, before)
            first = min(before, other, key=lambda k: -1 if k is None else places[k])
            added.setdefault((_day(key), first), ([], []))[side].append(key)
    sorted_lines: dict[tuple[int, Key | None], Stretch] = {}
    for place, sides in added.items():
        words = sorted(sides, key=lambda keys: [_words(pieces[key]) for key in keys])
        sorted_lines[place] = list(dict.fromkeys(key for side in words for key in side))
    return _placed(sorted((key for key in ours if key in places), key=_day), sorted_lines)


def _new_lines(stretch: Iterable[Key], places: Mapping[Key, int]) -> dict[Key, Key | None]:
    """The lines that a side added, each with the line of its day that it follows, None without
    one."""
    found: dict[Key, Key | None] = {}
    last: dict[int, Key] = {}
    for key in stretch:
        if key in places:
            last[_day(key)] = key
        else:
            found[key] = last.get(_day(key))
    return found


def _placed(kept: Sequence[Key], added: Mapping[tuple[int, Key | None], Stretch]) -> Stretch:
    """The lines that stay, with the added ones: each after the line of its day that it follows, or
    at the start of its day."""
    openings = sorted((day, keys) for (day, before), keys in added.items() if before is None)
    found: Stretch = []
    n = 0
    for key in kept:
        while n < len(openings) and openings[n][0] <= _day(key):
            found += openings[n][1]
            n += 1
        found += [key, *added.get((_day(key), key), ())]
    return [*found, *(key for _, keys in openings[n:] for key in keys)]


def _words(piece: Piece) -> str:
    """What a line says, without its spacing and its comment."""
    return "".join(piece.ours[0].partition("#")[0].split())


def _day(key: Key) -> int:
    day = key[1]
    assert isinstance(day, int)
    return day
