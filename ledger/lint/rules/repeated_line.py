"""A line of the record that says what another line of its date already says.

Why it matters: it counts as an extra, and its minutes count twice in what is learned.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.model import Log
from ledger.lint.book import Book
from ledger.text.finding import Finding, Severity
from ledger.text.tree import Entry

BAD = """\
area kitchen
every monday
    oven  40 min  in kitchen
2026-03-02 did oven 35 min
2026-03-02 did oven 35 min
^^^^^^^^^^
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen
2026-03-02 did oven 35 min
"""


def check(book: Book) -> Iterator[Finding]:
    """A finding for each line of the record that is the same as an earlier one."""
    log = book.household.log
    yield from book.memory.once("repeated-line", lambda: list(_found(log)), log)


def _found(log: Log) -> Iterator[Finding]:
    # Lines alike to the letter share an entry; entries alike in meaning are told by value once,
    # but for those that have lost a name: what is left of them may be alike, and they are not.
    alike: dict[Entry, int] = {}
    first_alike = {
        key: key if key in log.cut else alike.setdefault(entry, key)
        for key, entry in log.kinds.items()
    }
    lines = list(zip(log.dates, map(first_alike.__getitem__, map(id, log.entries)), strict=True))
    if len(set(lines)) == len(lines):
        return
    seen: dict[tuple[int, int], int] = {}
    for index, line in enumerate(lines):
        first = seen.setdefault(line, index)
        if first != index:
            yield Finding(
                "repeated-line",
                Severity.WARNING,
                log.place(index),
                "this line stands twice",
                "done once, it counts as done once more than it was",
                "delete one of the two lines",
                (log.place(first),),
            )
