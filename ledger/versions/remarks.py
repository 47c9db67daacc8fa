"""Remarks: comments that must outlive the line they stood at, and that must not stand twice."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from ledger.versions.clauses import Piece, above
from ledger.versions.units import ORPHANS, TOP, Key, Unit, Version


def keep_remarks(
    pieces: dict[Key, Piece], dropped: Iterable[Key], base: Version, sides: Sequence[Version]
) -> None:
    """Put comments that a side wrote at a unit which the other took out above the next unit."""
    for key in dropped:
        if key in pieces:
            continue
        for side in sides:
            comments = _added(base.units.get(key), side.units.get(key))
            if comments:
                following = next(k for k in _following(side, key) if k in pieces)
                piece = pieces[following]
                # What stood among chores stays there: it is not about the section below.
                is_top = side.units[key].section == TOP
                lead = (*piece.lead, *comments) if is_top else (*comments, *piece.lead)
                pieces[following] = piece._replace(lead=lead)


def without_doubles(pieces: list[Piece], base: Version, sides: Sequence[Version]) -> list[Piece]:
    """The pieces without a comment that both sides kept, each above another line."""
    before, *after = (_remarks(unit.lead for unit in v.units.values()) for v in (base, *sides))
    now = _remarks(piece.lead for piece in pieces)
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


def _remarks(leads: Iterable[tuple[str, ...]]) -> Counter[str]:
    return Counter(line for lead in leads for line in lead if line.strip())


def _added(base: Unit | None, side: Unit | None) -> list[str]:
    """The comments that a side put at a unit, as lines of their own."""
    if side is None:
        return []
    before = (*base.lead, base.comment) if base else ()
    found = [line for line in side.lead if line.strip() and line not in before]
    if side.comment and side.comment not in before:
        found.append(above(side, side.comment))
    return found


def _following(side: Version, key: Key) -> Iterator[Key]:
    """The units that come after one in a version, as far as END. A header that is taken out has
    no chores that stand."""
    section, tops = side.units[key].section, side.below[TOP]
    if section != TOP:
        row = side.below[section]
        yield from row[row.index(key) + 1 :]
    start = key if section == TOP else section
    yield from tops if start == ORPHANS else tops[tops.index(start) + 1 :]
