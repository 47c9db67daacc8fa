"""A chore that the record has done twice on one day, by the same person.

Why it matters: one line settles a window, so the second settles another or none, and its minutes
count in what is learned. A note on either line says that it is meant so. Of a chore that comes
several times in a period, each doing that settles a part of it is right. Lines with the same words
are a finding of their own.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from functools import partial

from ledger.household.model import Household
from ledger.household.record import Log
from ledger.keeping.history import shares_of
from ledger.lint.book import LintedBook, comes_in_parts, dated
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.tree import RecordEntry
from ledger.text.words import more

RULE = Kind.of(__name__, Severity.WARNING)

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


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such chore at the first such line, with how many more there are."""
    log = book.household.log
    within = book.memory.once("done twice in a line", partial(_within, log), log)
    for name, positions in log.by_chore.items():
        find_repeats = partial(_found, log, positions)
        repeats = book.memory.once((RULE.name, name), find_repeats, log.whole_story(name))
        lines = {positions[number] for number in repeats}
        if lines and comes_in_parts(book.household.chores[name]):
            lines &= _extras(book.household, name, log.dates[min(lines)])
        lines.update(within.get(name, ()))
        if lines:
            yield _finding(log, name, sorted(lines))


def _extras(household: Household, name: str, low: int) -> set[int]:
    """The lines of a chore from a day on that found no window of somebody's."""
    shares = shares_of(household, household.chores[name], low, household.log.dates[-1])
    return {line.line for share in shares for line in share.extras}


def _within(log: Log) -> Mapping[str, Sequence[int]]:
    """For each chore the lines that name it twice."""
    twice = {key: names for key, entry in log.kinds.items() if (names := _twice_in(entry))}
    lines: dict[str, list[int]] = {}
    for index, key in enumerate(map(id, log.entries)) if twice else ():
        for name in twice.get(key, ()):
            lines.setdefault(name, []).append(index)
    return lines


def _twice_in(entry: RecordEntry) -> list[str]:
    if len(entry.items) < 2 or entry.verb != "did" or entry.note:
        return []
    names = [item.name.value for item in entry.items]
    return [] if len(set(names)) == len(names) else [n for n, c in Counter(names).items() if c > 1]


def _found(log: Log, positions: Sequence[int]) -> list[int]:
    """The lines with an earlier line of the same chore, day and person that is worded otherwise."""
    days = list(map(log.dates.__getitem__, positions))
    # Most chores have no two lines on a day; where each person does their own, none by one person.
    if len(set(days)) == len(days):
        return []
    entries = list(map(log.entries.__getitem__, positions))
    # For each `did` line, those who did it. Equal lines share an entry.
    keys = list(map(id, entries))
    doers = {
        key: tuple(person.value for person in entry.people) or NOBODY
        for key, entry in dict(zip(keys, entries, strict=True)).items()
        if entry.verb == "did"
    }
    who = [doers.get(key, ()) for key in keys]
    each_alone = all(len(people) == 1 for people in set(who))
    if each_alone and len(set(zip(days, who, strict=True))) == len(days):
        return []
    found = []
    seen: dict[tuple[int, str], RecordEntry] = {}
    for number, (day, people, entry) in enumerate(zip(days, who, entries, strict=True)):
        for person in people:
            first = seen.setdefault((day, person), entry)
            if first is not entry and first != entry and not (first.note or entry.note):
                found.append(number)
    return found


def _finding(log: Log, name: str, numbers: list[int]) -> Finding:
    index = numbers[0]
    day = log.dates[index]
    others = f", and on {more(len(numbers) - 1, 'line', 'lines')}" if len(numbers) > 1 else ""
    return RULE.finding(
        log.place(index),
        f'"{name}" is done twice on {dated(day)}{others}',
        "one doing settles it; the second counts for another day or for none, and its minutes "
        "for what is learned",
        'delete one of the two, mend its date, or add a note that says why, such as `"again"`',
    )
