"""Order: where each unit of two merged versions stands.

The side that changed the order gives it, ours where both did. What only the other side has goes
after the line that it follows there; a chore stays below its header, and a line of the record
goes by its date.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TypeVar

from ledger.versions.clauses import Piece, put_together
from ledger.versions.record import Stretch, with_new_lines
from ledger.versions.remarks import keep_remarks, without_doubles
from ledger.versions.units import END, ORPHANS, TOP, FileVersion, Key, is_record

T = TypeVar("T", bound=Key | Stretch)


def pieces(base: FileVersion, ours: FileVersion, theirs: FileVersion) -> list[Piece]:
    """What becomes of each unit of three versions, in the order in which it is to stand."""
    return _Order(base, ours, theirs).all()


class _Order:
    def __init__(self, base: FileVersion, ours: FileVersion, theirs: FileVersion) -> None:
        self._base, self._ours, self._theirs = base, ours, theirs
        self._pieces: dict[Key, Piece] = {}
        self._moved: dict[Key, Key] = {}
        """Of chores that both sides moved apart, what their line of the other side is known by."""
        dropped: list[Key] = []
        for key in dict.fromkeys((*ours.units, *theirs.units)):
            here, there = ours.units.get(key), theirs.units.get(key)
            piece = put_together(base.units.get(key), here, there)
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
        found.append(self._pieces[END]._replace(ours=None, theirs=None))
        return without_doubles(found, self._base, (self._ours, self._theirs))

    # -------------------------------------------------------------- below a header

    def _chores(self) -> dict[Key, list[Key]]:
        """What stands below each header, in order."""
        headers = dict.fromkeys((*self._ours.below, *self._theirs.below))
        found = {}
        for header in headers.keys() - {TOP}:
            first, second = _led(self._base.below.get(header, ()), *self._rows(header))
            found[header] = _inserted(first, second)
        return found

    def _rows(self, header: Key) -> tuple[list[Key], list[Key]]:
        """What is to stand below a header, as far as our side's order and theirs say where."""
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
        """Where each line that may stand below a header is to stand, where it is taken from our
        side's order and where from theirs; one that both sides moved apart stands, clashing, in
        both places."""
        ours: dict[Key, Key] = {}
        theirs: dict[Key, Key] = {}
        versions = (self._ours, self._theirs)
        rows = (row for side in versions for header, row in side.below.items() if header != TOP)
        for key in dict.fromkeys(key for row in rows for key in row):
            here, there = self._ours.units.get(key), self._theirs.units.get(key)
            base = self._base.units.get(key)
            # A line has no home in the order of a side that does not say where it stands.
            ours[key] = theirs[key] = END
            if here is None or there is None or here.section == there.section:
                for unit, homes in ((here, ours), (there, theirs)):
                    if unit is not None:
                        homes[key] = unit.section
            elif base is not None and here.section == base.section:
                theirs[key] = there.section
            elif base is not None and there.section == base.section:
                ours[key] = here.section
            else:
                self._part(key, ours, theirs)
        if self._moved:
            # The keys of TOP are none that were moved.
            for row in self._theirs.below.values():
                row[:] = [self._moved.get(key, key) for key in row]
        return ours, theirs

    def _part(self, key: Key, ours: dict[Key, Key], theirs: dict[Key, Key]) -> None:
        """Put a chore that both sides moved where each would have it."""
        piece = self._pieces[key]
        here, there = self._ours.units[key].section, self._theirs.units[key].section
        moved = (*key, "theirs")
        self._pieces[key] = Piece(piece.lead, piece.ours, None)
        self._pieces[moved] = Piece((), None, piece.theirs)
        self._moved[key] = moved
        ours[key], theirs[moved] = here, there

    def _keep_headers(self) -> None:
        """A header that one side took out stays for the chores that the other put below it."""
        for header, chores in self._below.items():
            if chores and header != ORPHANS and header not in self._pieces:
                unit = self._ours.units.get(header) or self._theirs.units[header]
                self._pieces[header] = Piece(unit.lead, unit.text, unit.text)

    # ------------------------------------------------------------------ at the margin

    def _tops(self) -> list[Key | Stretch]:
        """All that stands at the margin but END, in order, the record in stretches."""
        ours, theirs = self._rows(TOP)
        # END is put last by itself.
        first, second = _led(self._base.below[TOP], ours[:-1], theirs[:-1])
        found = _with_stretches(first)
        record = [key for key in second if is_record(key)]
        if any(key not in self._base.units for key in record):
            if not any(isinstance(top, list) for top in found):
                found.append([])
            stretches = [top for top in found if isinstance(top, list)]
            with_new_lines(stretches, record, self._base, self._pieces)
        return _inserted(found, [key for key in second if not is_record(key)])


def _led(
    base: Sequence[Key], ours: Sequence[Key], theirs: Sequence[Key]
) -> tuple[Sequence[Key], Sequence[Key]]:
    """The two rows, the one first that gives the order: theirs where only they changed it."""
    common = set(base) & set(ours) & set(theirs)
    before, here, there = ([key for key in row if key in common] for row in (base, ours, theirs))
    return (theirs, ours) if here == before != there else (ours, theirs)


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
    """A row with each key that only the other row has after the one that it follows there, and
    after what only the first row has there."""
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
