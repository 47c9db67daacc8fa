"""Order: the order of the units of a merged file.

It is that of the side that changed it, ours where both did. A unit that only the other side has
goes after the line that it follows there. A chore stays below its header, and a line of the record
is placed by its date.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from ledger.versions.clauses import put_together
from ledger.versions.pieces import Choice, Piece, agreed
from ledger.versions.record import Stretch, with_new_lines
from ledger.versions.remarks import keep_remarks, without_doubles
from ledger.versions.units import END, ORPHANS, TOP, FileVersion, Key, is_record

T = TypeVar("T", bound=Key | Stretch)


def pieces(base: FileVersion, ours: FileVersion, theirs: FileVersion) -> list[Piece]:
    """What becomes of each unit of three versions, in their merged order."""
    return _Order(base, ours, theirs).all()


class _Order:
    def __init__(self, base: FileVersion, ours: FileVersion, theirs: FileVersion) -> None:
        self._base, self._ours, self._theirs = base, ours, theirs
        self._pieces: dict[Key, Piece] = {}
        self._moved: dict[Key, Key] = {}
        """For chores that the sides moved to different sections, the key of the other side's
        line."""
        dropped: list[Key] = []
        for key in dict.fromkeys((*ours.units, *theirs.units)):
            our_unit, their_unit = ours.units.get(key), theirs.units.get(key)
            piece = put_together(base.units.get(key), our_unit, their_unit)
            if piece is None:
                dropped.append(key)
            else:
                self._pieces[key] = piece
        self._homes = self._find_homes()
        self._below = self._chores()
        self._keep_headers()
        keep_remarks(self._pieces, dropped, base, (ours, theirs))

    def all(self) -> list[Piece]:
        keys = [*self._below[ORPHANS]]
        for top in self._tops():
            if isinstance(top, list):
                keys += top
            else:
                keys += [top, *self._below.get(top, ())]
        found = [self._pieces[key] for key in keys]
        found.append(self._pieces[END]._replace(choices=()))
        return without_doubles(found, self._base, (self._ours, self._theirs))

    # -------------------------------------------------------------- below a header

    def _chores(self) -> dict[Key, list[Key]]:
        """What stands below each header, in order."""
        headers = dict.fromkeys((*self._ours.below, *self._theirs.below))
        found = {}
        for header in headers.keys() - {TOP}:
            first, second = _leading_first(self._base.below.get(header, ()), *self._rows(header))
            found[header] = _inserted(first, second)
        return found

    def _rows(self, header: Key) -> tuple[list[Key], list[Key]]:
        """The keys below a header, those that our order places and those that theirs places."""
        ours, theirs = (
            [
                key
                for key in side.below.get(header, ())
                if key in self._pieces and home.get(key, TOP) == header
            ]
            for side, home in zip((self._ours, self._theirs), self._homes, strict=True)
        )
        return ours, theirs

    def _find_homes(self) -> tuple[dict[Key, Key], dict[Key, Key]]:
        """The section of each line, in our side's order and in theirs; END in an order that does
        not place the line. A line that the sides moved to different sections is in both, as a
        clash."""
        ours: dict[Key, Key] = {}
        theirs: dict[Key, Key] = {}
        versions = (self._ours, self._theirs)
        rows = (row for side in versions for header, row in side.below.items() if header != TOP)
        for key in dict.fromkeys(key for row in rows for key in row):
            our_unit, their_unit = self._ours.units.get(key), self._theirs.units.get(key)
            base = self._base.units.get(key)
            ours[key] = theirs[key] = END
            if our_unit is None or their_unit is None or our_unit.section == their_unit.section:
                for unit, homes in ((our_unit, ours), (their_unit, theirs)):
                    if unit is not None:
                        homes[key] = unit.section
            elif base is not None and our_unit.section == base.section:
                theirs[key] = their_unit.section
            elif base is not None and their_unit.section == base.section:
                ours[key] = our_unit.section
            else:
                self._split(key, ours, theirs)
        if self._moved:
            # No key of TOP was moved.
            for row in self._theirs.below.values():
                row[:] = [self._moved.get(key, key) for key in row]
        return ours, theirs

    def _split(self, key: Key, ours: dict[Key, Key], theirs: dict[Key, Key]) -> None:
        """Put a chore that both sides moved in both places."""
        piece = self._pieces[key]
        our_section, their_section = self._ours.units[key].section, self._theirs.units[key].section
        moved = (*key, "theirs")
        self._pieces[key] = Piece(piece.lead, (Choice(piece.ours, ()),))
        self._pieces[moved] = Piece((), (Choice((), piece.theirs),))
        self._moved[key] = moved
        ours[key], theirs[moved] = our_section, their_section

    def _keep_headers(self) -> None:
        """Keep a header that one side removed where there are still chores below it."""
        for header, chores in self._below.items():
            if chores and header != ORPHANS and header not in self._pieces:
                unit = self._ours.units.get(header) or self._theirs.units[header]
                self._pieces[header] = Piece(unit.lead, (agreed(*unit.lines),))

    # ------------------------------------------------------------------ at the margin

    def _tops(self) -> list[Key | Stretch]:
        """All that is at the margin except END, in order, with the record in stretches."""
        ours, theirs = self._rows(TOP)
        # END is added last, in `all`.
        first, second = _leading_first(self._base.below[TOP], ours[:-1], theirs[:-1])
        found = _with_stretches(first)
        record = [key for key in second if is_record(key)]
        if any(key not in self._base.units for key in record):
            if not any(isinstance(top, list) for top in found):
                found.append([])
            stretches = [top for top in found if isinstance(top, list)]
            with_new_lines(stretches, record, self._base, self._pieces)
        return _inserted(found, [key for key in second if not is_record(key)])


def _leading_first(
    base: Sequence[Key], ours: Sequence[Key], theirs: Sequence[Key]
) -> tuple[Sequence[Key], Sequence[Key]]:
    """The two rows, first the one that gives the order: theirs where only theirs changed it."""
    common = set(base) & set(ours) & set(theirs)
    base_order, our_order, their_order = (
        [key for key in row if key in common] for row in (base, ours, theirs)
    )
    return (theirs, ours) if our_order == base_order != their_order else (ours, theirs)


def _with_stretches(tops: Iterable[Key]) -> list[Key | Stretch]:
    found: list[Key | Stretch] = []
    for key in tops:
        if not is_record(key):
            found.append(key)
        elif found and isinstance(found[-1], list):
            found[-1].append(key)
        else:
            found.append([key])
    return found


def _inserted(first: Sequence[T], second: Sequence[T]) -> list[T]:
    """The first row, with the keys that only the second row has. Each goes after the key that it
    follows there, and after the keys that only the first row has at that place."""
    shared = {top for top in second if not isinstance(top, list)}
    present = {top for top in first if not isinstance(top, list)}
    new: dict[object, list[T]] = {}
    before: object = None
    for key in second:
        if key in present:
            before = key
        else:
            new.setdefault(before, []).append(key)
    found: list[T] = []
    waiting = new.get(None, [])
    for top in first:
        is_stretch = isinstance(top, list)
        if is_stretch or top in shared:
            found += waiting
            waiting = [] if is_stretch else new.get(top, [])
        found.append(top)
    return found + waiting
