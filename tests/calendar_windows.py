"""What a calendar of a book shows, worked out from the simulator, which shares no code with it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from simulated_calendar import FAR
from simulated_home import LAST_DAY, nodes_of, parted
from simulated_keeping import PlainBook
from simulated_rows import Row, Slot

from ledger.text.cadences import write_cadence
from ledger.text.clauses import SectionHeader


class Shown(NamedTuple):
    """A window that a calendar shows."""

    container: str
    """What its container is called."""
    chore: str
    person: str | None
    """Whose own window it is; None where a chore has one row of windows."""
    day: int
    """The day on which it comes out: the first one on which it is asked."""
    first: int
    last: int
    who: tuple[str, ...]
    """Who does it: those named, or the one whose turn it is; none for anyone."""


def shown(text: str, on: int, high: int) -> list[Shown]:
    """What a calendar that is made on a day shows up to another day: the windows that are to be
    done, as the record has them by then."""
    return sorted(set(_shown(text, on, high)), key=str)


def _shown(text: str, on: int, high: int) -> Iterator[Shown]:
    book = PlainBook(text, on)
    names = containers(text)
    for chore in book.lines:
        for person, row in book.kept(chore, on, high)[0].items():
            for slot in row.to_do(on):
                line = slot.window.line
                day = _comes_out(row, slot, on)
                if slot.first > high or day is None:
                    continue
                first = slot.first if slot.last >= on else day
                who = (
                    (person,) if person is not None else book.calendar.who(slot.number, slot.window)
                )
                yield Shown(names[line.place], chore, person, day, first, max(day, slot.last), who)


def _comes_out(row: Row, slot: Slot, on: int) -> int | None:
    """The first day on which a window is asked. What is late is no part of a calendar, but for what
    comes round no more by itself: it is put on the first day from then on that is asked."""
    line = slot.window.line
    days = range(slot.first, slot.last + 1)
    if slot.last < on:
        if line.cadence.kind not in ("once", "after-done"):
            return None
        days = range(on, min(on + FAR, line.last, LAST_DAY) + 1)
    return next((day for day in days if row.is_asked(slot, day)), None)


def containers(text: str) -> dict[int, str]:
    """What the container of a chore line is called, by the place of the line."""
    found, title = {}, ""
    for place, node in enumerate(nodes_of(parted(text)[0])):
        if isinstance(node, SectionHeader):
            title = node.title.value if node.title else ""
            title = title or write_cadence(node.cadence.value)
        found[place] = title
    return found
