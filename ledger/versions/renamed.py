"""Renamed: a section that a side gave another cadence or title, known by the chores it holds."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from heapq import merge

from ledger.text.tree import SectionHeader
from ledger.versions.units import FileVersion, Key


def known_as_before(base: FileVersion, side: FileVersion) -> FileVersion:
    """A side with the keys of the base for sections that it has renamed.

    A new section is an old one renamed where the old one is gone and half of its chores or more
    stand below the new one.
    """
    names = _renamed(base, side)
    if not names:
        return side
    units = {}
    for key, unit in side.units.items():
        before = _before(key, names)
        units[before] = unit._replace(key=before, section=names.get(unit.section, unit.section))
    below = {
        names.get(header, header): [_before(key, names) for key in row]
        for header, row in side.below.items()
    }
    return FileVersion(units, below)


def _before(key: Key, names: Mapping[Hashable, Key]) -> Key:
    """The key of a unit, given those of renamed sections: a chore of several lines is known by
    its section too."""
    return names.get(key) or tuple(names.get(part, part) for part in key)


def _renamed(base: FileVersion, side: FileVersion) -> dict[Hashable, Key]:
    """The old keys of renamed sections by the new ones. A header that cannot be read is no new
    name: its words must stand, and nothing can be merged into them."""
    gone = {
        header: {key[:2] for key in row}
        for header, row in base.below.items()
        if row and header not in side.below and _is_section(base, header)
    }
    # By what stands below them, in the order of the base; one that is found is none any more.
    holding: dict[Key, dict[int, Key]] = {}
    for number, (header, chores) in enumerate(gone.items()):
        for chore in chores:
            holding.setdefault(chore, {})[number] = header
    found: dict[Hashable, Key] = {}
    for header, row in side.below.items():
        if header in base.below or not _is_section(side, header):
            continue
        here = {key[:2] for key in row}
        candidates = merge(*(holding[chore].items() for chore in here if chore in holding))
        for number, old in candidates:
            if 2 * len(gone[old] & here) >= len(gone[old]):
                found[header] = old
                for chore in gone[old]:
                    del holding[chore][number]
                break
    return found


def _is_section(version: FileVersion, header: Key) -> bool:
    return header in version.units and isinstance(version.units[header].node, SectionHeader)
