"""Books for tests: text to households, and dates to the ordinals that schedules count in."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from ledger.calendar.week import weekday
from ledger.calendar.windows import Timeline, Window
from ledger.household.model import Household
from ledger.keeping.history import Share, shares_of
from ledger.keeping.occasion import Occasion
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import Line, Tree
from ledger.workspace import read_sources

Span = tuple[int, int]


def day(text: str) -> int:
    """The ordinal of a date written YYYY-MM-DD."""
    return date.fromisoformat(text).toordinal()


def iso(ordinal: int) -> str:
    """The date of an ordinal, as a book writes it."""
    return date.fromordinal(ordinal).isoformat()


def read(text: str, path: str = "home.chores") -> Tree:
    """The tree of a text, by a reader that has read nothing else."""
    return Reader().read(Source(path, text))


def only_line(text: str) -> Line:
    """The one line of a text of one line."""
    (line,) = read(text + "\n").all_lines()
    return line


def house(*lines: str) -> Household:
    """The household of a sound book, given by its lines."""
    workspace = read_sources([Source("home.chores", "\n".join(lines) + "\n")])
    assert workspace.findings == ()
    return workspace.household


def timeline(household: Household, chore: str = "x", person: str | None = None) -> Timeline:
    """The windows of a chore of a book that says itself when it begins."""
    assert household.since is not None or household.log.dates
    return Timeline(household, household.chores[chore], person)


def shares(household: Household, on: int, low: int | None = None) -> list[Share]:
    """All shares of all chores on a day, with their windows from the one before day `low` on."""
    return [
        share
        for chore in household.chores.values()
        for share in shares_of(household, chore, on if low is None else low, on)
    ]


def standings(household: Household, on: int) -> list[Occasion]:
    """The windows by which the chores stand on a day, in the order of the book."""
    found = (share.standing for share in shares(household, on))
    return [one for one in found if one is not None]


def spans(windows: Iterable[Window]) -> list[Span]:
    """First and last days of windows."""
    return [(window.first, window.last) for window in windows]


def next_weekday(ordinal: int, wanted: int) -> int:
    """The first day from an ordinal on that is a given weekday, 0 for Monday."""
    return ordinal + (wanted - weekday(ordinal)) % 7
