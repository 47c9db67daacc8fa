"""A line of the record that says what another line of its date already says.

Why it matters: it counts as an extra, and its minutes count twice in what is learned.
"""

from __future__ import annotations

from collections.abc import Iterator

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
    # Lines alike to the letter share an entry; entries alike in meaning are told by value once.
    alike: dict[Entry, int] = {}
    kinds = {id(entry): entry for entry in log.entries}
    for key, entry in kinds.items():
        alike.setdefault(entry, key)
    canonical = {key: alike[entry] for key, entry in kinds.items()}
    seen: dict[tuple[int, int], int] = {}
    for index, (day, entry) in enumerate(zip(log.dates, log.entries, strict=True)):
        first = seen.setdefault((day, canonical[id(entry)]), index)
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
