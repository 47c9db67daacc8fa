"""The record of a merge: lines that a side has added, among those that stand, by their dates."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from ledger.versions.clauses import Piece
from ledger.versions.units import TOP, FileVersion, Key

Stretch = list[Key]
"""Lines of the record that stand together."""


def with_new_lines(
    stretches: Sequence[Stretch],
    record: Sequence[Key],
    base: FileVersion,
    pieces: Mapping[Key, Piece],
) -> None:
    """Put the lines that the other side has added into stretches of the record, of which there
    is at least one, each where the lines around it stand."""
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

    A new line follows the line of its day that it follows on its own side. Of lines that both
    sides put in one place those come first whose words do: the order must not hang on whose
    side is ours.
    """
    behind = [_new_lines(side, places) for side in (ours, theirs)]
    added: dict[tuple[int, Key | None], tuple[Stretch, Stretch]] = {}
    for side, keys in enumerate(behind):
        for key, before in keys.items():
            # What both have added at different places goes to the first of the two.
            other = behind[1 - side].get(key, before)
            first = min(before, other, key=lambda k: -1 if k is None else places[k])
            added.setdefault((_day(key), first), ([], []))[side].append(key)
    together: dict[tuple[int, Key | None], Stretch] = {}
    for place, sides in added.items():
        words = sorted(sides, key=lambda keys: [_words(pieces[key]) for key in keys])
        together[place] = list(dict.fromkeys(key for side in words for key in side))
    return _placed(sorted((key for key in ours if key in places), key=_day), together)


def _new_lines(stretch: Iterable[Key], places: Mapping[Key, int]) -> dict[Key, Key | None]:
    """The lines that a side has added, each with the line of its day that it follows."""
    found: dict[Key, Key | None] = {}
    last: dict[int, Key] = {}
    for key in stretch:
        if key in places:
            last[_day(key)] = key
        else:
            found[key] = last.get(_day(key))
    return found


def _placed(kept: Sequence[Key], added: Mapping[tuple[int, Key | None], Stretch]) -> Stretch:
    """The lines that stay, with those added put behind the line of their day that they follow,
    or where their day begins."""
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
    """What a line says, however it is spaced and whatever comment either side has put to it."""
    return "".join((piece.ours or "").partition("#")[0].split())


def _day(key: Key) -> int:
    day = key[1]
    assert isinstance(day, int)
    return day
