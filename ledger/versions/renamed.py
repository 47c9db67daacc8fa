"""Renamed: a section that a side gave another cadence or title, known by its chores."""

from __future__ import annotations

from collections.abc import Hashable, Mapping
from heapq import merge

from ledger.text.clauses import SectionHeader
from ledger.versions.units import FileVersion, Key


def known_as_before(base: FileVersion, side: FileVersion) -> FileVersion:
    """A side with the keys of the base for sections that it renamed.

    A new section is an old one renamed if the old one is gone and at least half of its chores are
    below the new one.
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
    """The key of a unit in the base, given the renamed sections: the key of a chore with several
    lines includes its section."""
    return names.get(key) or tuple(names.get(part, part) for part in key)


def _renamed(base: FileVersion, side: FileVersion) -> dict[Hashable, Key]:
    """The old keys of renamed sections, by the new ones. An unreadable header is no new name: its
    words must stay, and nothing can be merged into them."""
    gone = {
        header: {key[:2] for key in row}
        for header, row in base.below.items()
        if row and header not in side.below and _is_section(base, header)
    }
    # By their chores, in the order of the base. A section that is found is removed.
    holding: dict[Key, dict[int, Key]] = {}
    for number, (header, old_chores) in enumerate(gone.items()):
        for chore in old_chores:
            holding.setdefault(chore, {})[number] = header
    old_keys: dict[Hashable, Key] = {}
    for header, row in side.below.items():
        if header in base.below or not _is_section(side, header):
            continue
        chores = {key[:2] for key in row}
        candidates = merge(*(holding[chore].items() for chore in chores if chore in holding))
        for number, old in candidates:
            if 2 * len(gone[old] & chores) >= len(gone[old]):
                old_keys[header] = old
                for chore in gone[old]:
                    del holding[chore][number]
                break
    return old_keys


def _is_section(version: FileVersion, header: Key) -> bool:
    return header in version.units and isinstance(version.units[header].node, SectionHeader)
