"""A chore that the record has done twice on one day, by the same person.

Why it matters: one doing settles a window, so the second settles another or none, and its
minutes count in what is learned. A note on either line tells that it is meant so; lines that
say the very same are a finding of their own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from ledger.household.model import Log
from ledger.lint.book import Book, dated, more
from ledger.text.finding import Finding, Severity
from ledger.text.tree import Entry

BAD = """\
area kitchen

every monday
    oven  40 min  in kitchen
2026-03-02 did oven 35 min
2026-03-02 did oven 40 min
^^^^^^^^^^
"""

GOOD = """\
person noor
person tam
area kitchen

every monday
    oven  40 min  in kitchen  by each

2026-03-02 did oven 35 min by noor
2026-03-02 did oven 40 min by tam
"""

NOBODY = ("",)


def check(book: Book) -> Iterator[Finding]:
    """A finding for each such chore at the first such line, with how many more there are."""
    log = book.household.log
    yield from book.memory.once("done-twice", lambda: list(_twice(log)), log)


def _twice(log: Log) -> Iterator[Finding]:
    # For each kind of line, those who did what it says; nobody where it is no doing.
    doers = {
        key: tuple(person.value for person in entry.people) or NOBODY
        for key, entry in log.kinds.items()
        if entry.verb == "did"
    }
    within = _twice_within(log.kinds)
    for name, positions in log.by_chore.items():
        found = set(_found(log, positions, doers))
        if name in within:
            found.update(i for i in positions if id(log.entries[i]) in within[name])
        if found:
            yield _finding(log, name, sorted(found))


def _twice_within(kinds: Mapping[int, Entry]) -> dict[str, set[int]]:
    """The kinds of line that name a chore twice, by its name."""
    found: dict[str, set[int]] = {}
    for key, entry in kinds.items():
        if len(entry.items) > 1 and entry.verb == "did" and not entry.note:
            for name, count in Counter(item.name.value for item in entry.items).items():
                if count > 1:
                    found.setdefault(name, set()).add(key)
    return found


def _found(
    log: Log, positions: Sequence[int], doers: Mapping[int, tuple[str, ...]]
) -> Iterator[int]:
    """The lines of which an earlier one, in other words, has the same chore, day and person."""
    days = list(map(log.dates.__getitem__, positions))
    # Most chores have no day with two lines; where each does their own, most have no person so.
    if len(set(days)) == len(days):
        return
    keys = list(map(id, map(log.entries.__getitem__, positions)))
    who = [doers.get(key, ()) for key in keys]
    each_alone = all(len(people) == 1 for people in set(who))
    if each_alone and len(set(zip(days, who, strict=True))) == len(days):
        return
    seen: dict[tuple[int, str], Entry] = {}
    for index, day, people in zip(positions, days, who, strict=True):
        for person in people:
            entry = log.entries[index]
            first = seen.setdefault((day, person), entry)
            if first is not entry and first != entry and not (first.note or entry.note):
                yield index


def _finding(log: Log, name: str, found: list[int]) -> Finding:
    index = found[0]
    day = log.dates[index]
    others = f", and on {more(len(found) - 1, 'line', 'lines')}" if len(found) > 1 else ""
    return Finding(
        "done-twice",
        Severity.WARNING,
        log.place(index),
        f'"{name}" is done twice on {dated(day)}{others}',
        "one doing settles it; the second counts for another day or for none, and its minutes "
        "for what is learned",
        'delete one of the two, mend its date, or add a note that says why, such as `"again"`',
    )
