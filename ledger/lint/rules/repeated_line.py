"""A line of the record that says what another line of its date already says.

Why it matters: it counts as an extra, and its minutes count twice in what is learned. Lines of
`worked` are no finding: their minutes are meant to add up.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from functools import partial

from ledger.household.record import Log
from ledger.lint.book import LintedBook, comes_in_parts
from ledger.text.edits import delete_line
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.tree import RecordEntry

RULE = Kind.of(__name__, Severity.WARNING)

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


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each line of the record that is the same as an earlier one.

    Two equal spells of work on one day are no fault: the minutes of `worked` lines add up.
    """
    household = book.household
    log = household.log
    # A line of several chores is among the lines of each of them.
    first_of: dict[int, int] = {}
    for name, lines in log.named.items():
        find_repeats = partial(_repeated, log, lines)
        for later, first in book.memory.once(
            (RULE.name, name), find_repeats, log.whole_story(name)
        ):
            first_of[lines[later]] = lines[first]
    seen = set()
    for index, first in sorted(first_of.items()):
        place, entry = log.place(index), log.entries[index]
        if entry.verb == "worked":
            continue
        # A comment is a fact too, and each file may be read by itself.
        seen.add((first, log.entries[first].comment, log.files[first]))
        copy = first, entry.comment, log.files[index]
        # The second line may be for another part of the chore's period.
        may_count = any(
            comes_in_parts(household.chores[item.name.value])
            for item in entry.items
            if item.name.value in household.chores
        )
        is_copy = copy in seen and not may_count
        seen.add(copy)
        yield RULE.finding(
            place,
            "this line stands twice",
            "done once, it counts as done once more than it was",
            "delete one of the two lines",
            (log.place(first),),
            [delete_line(place, is_certain=is_copy)],
        )


def _repeated(log: Log, lines: Sequence[int]) -> list[tuple[int, int]]:
    """The lines of a chore that repeat an earlier one, each with that one, by their numbers."""
    days = list(map(log.dates.__getitem__, lines))
    # Most chores have no day with two lines.
    if len(set(days)) == len(days):
        return []
    count = Counter(days)
    alike: dict[RecordEntry, int] = {}
    first_alike: dict[int, int] = {}
    seen: dict[tuple[int, int], int] = {}
    repeats = []
    for number, (day, index) in enumerate(zip(days, lines, strict=True)):
        if count[day] == 1:
            continue
        entry = log.entries[index]
        key = id(entry)
        # Lines equal to the letter share an entry; those of equal meaning have equal entries. But
        # lines that lost an unknown name may differ though what is left of them is equal.
        if key not in first_alike:
            first_alike[key] = key if key in log.cut else alike.setdefault(entry, key)
        first = seen.setdefault((day, first_alike[key]), number)
        if first != number:
            repeats.append((number, first))
    return repeats
