"""Remarks: comments that must stay when their line goes, and must not be there twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterable, Iterator, Sequence

from ledger.versions.clauses import above
from ledger.versions.pieces import Piece
from ledger.versions.steps import remarks
from ledger.versions.units import ORPHANS, TOP, FileVersion, Key, Unit


def keep_remarks(
    pieces: dict[Key, Piece],
    dropped: Iterable[Key],
    base: FileVersion,
    sides: Sequence[FileVersion],
) -> None:
    """Put comments that one side wrote at a unit, and the other removed it, above the next unit."""
    gone = [key for key in dropped if key not in pieces]
    after = [_Following(side, pieces) for side in sides] if gone else []
    for key in gone:
        for side, next_of in zip(sides, after, strict=True):
            comments = _added(base.units.get(key), side.units.get(key))
            if comments:
                following = next_of.of(key)
                piece = pieces[following]
                # A comment among chores stays with them: it is not about the section below.
                is_top = side.units[key].section == TOP
                lead = (*piece.lead, *comments) if is_top else (*comments, *piece.lead)
                pieces[following] = piece._replace(lead=lead)


def without_doubles(
    pieces: list[Piece], base: FileVersion, sides: Sequence[FileVersion]
) -> list[Piece]:
    """The pieces, without the second copy of a comment that both sides kept, above different
    lines."""
    before, *after = (
        _counted(line for unit in v.units.values() for line in _remarks(unit))
        for v in (base, *sides)
    )
    now = _counted(line for piece in pieces for line in piece.lead)
    for piece in pieces:
        # A comment between steps that clash stands on both sides.
        now += _counted(filter(_is_remark, piece.ours)) | _counted(filter(_is_remark, piece.theirs))
    surplus = Counter(
        {
            line: now[line] - before[line]
            for line in now.keys() & before.keys()
            if now[line] > before[line] >= max(side[line] for side in after)
        }
    )
    if not surplus:
        return pieces
    return [_thinned(piece, surplus) for piece in reversed(pieces)][::-1]


def _thinned(piece: Piece, surplus: Counter[str]) -> Piece:
    lead = []
    for line in piece.lead:
        if surplus[line] > 0:
            surplus[line] -= 1
        else:
            lead.append(line)
    return piece._replace(lead=tuple(lead))


def _remarks(unit: Unit) -> Iterator[str]:
    """The comments above a unit, and those between its steps."""
    yield from filter(str.strip, unit.lead)
    yield from remarks(unit.steps)


def _counted(lines: Iterable[str]) -> Counter[str]:
    return Counter(filter(str.strip, lines))


def _is_remark(line: str) -> bool:
    return line.lstrip(" \t").startswith("#")


def _added(base: Unit | None, side: Unit | None) -> list[str]:
    """The comments that a side put at a unit, as lines of their own."""
    if side is None:
        return []
    before = (*_remarks(base), base.comment) if base else ()
    found = [line for line in _remarks(side) if line not in before]
    if side.comment and side.comment not in before:
        found.append(above(side, side.comment))
    return found


class _Following:
    """Finds the next kept unit after a unit of a version. A removed header has no kept chores."""

    def __init__(self, side: FileVersion, pieces: Container[Key]) -> None:
        self._side = side
        self._pieces = pieces
        self._found: dict[Key, dict[Key, Key | None]] = {}

    def of(self, key: Key) -> Key:
        """The next kept unit after one; END at the latest."""
        section = self._side.units[key].section
        if section != TOP and (below := self._in(section)[key]) is not None:
            return below
        start = key if section == TOP else section
        first = self._side.below[TOP][0]
        if start == ORPHANS and first in self._pieces:
            return first
        found = self._in(TOP)[first if start == ORPHANS else start]
        assert found is not None, "END stands, and comes after all"
        return found

    def _in(self, header: Key) -> dict[Key, Key | None]:
        """For each unit below a header, the next kept one below it."""
        if header not in self._found:
            found: dict[Key, Key | None] = {}
            following = None
            for key in reversed(self._side.below[header]):
                found[key] = following
                if key in self._pieces:
                    following = key
            self._found[header] = found
        return self._found[header]
