"""A chore that is done by somebody to whom its line does not give it.

Why it matters: once is a kindness. Where it is the rule, the book names one person and another
does the work, and whose turn it is says nothing. Lines of the last 366 days are looked at.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from functools import partial

from ledger.household.model import Chore, Log
from ledger.lint.book import YEAR_AHEAD, Book, dated, listed
from ledger.text.finding import Finding, Severity

BAD = """\
person noor
person tam
area kitchen

every monday
    oven  40 min  in kitchen  by noor
    sink   5 min  in kitchen  by tam
2026-03-02 did oven by tam
^^^^^^^^^^
"""

GOOD = """\
person noor
person tam
area kitchen

every monday
    oven  40 min  in kitchen  by noor or tam
    sink   5 min  in kitchen  by tam

2026-03-02 did oven by tam
"""


def check(book: Book) -> Iterator[Finding]:
    """A finding for each chore and person, at the first such line, with how many there are."""
    log = book.household.log
    strange = _strange(book)
    if not strange:
        return
    low = bisect_left(log.dates, book.today - YEAR_AHEAD + 1)
    found: dict[tuple[str, str], list[int]] = {}
    for index in range(low, bisect_right(log.dates, book.today)):
        entry = log.entries[index]
        for name in strange.get(id(entry), ()):
            chore = book.household.chores[name]
            people = [person.value for person in entry.people]
            if _is_given_to_others(book, chore, people, log.dates[index]):
                for person in people:
                    found.setdefault((name, person), []).append(index)
    for (name, person), lines in found.items():
        yield _finding(book, name, person, lines)


def _strange(book: Book) -> dict[int, list[str]]:
    """For each kind of line the chores that some line of theirs gives to none of its people."""
    given = [
        (name, people)
        for name, chore in book.household.chores.items()
        for people in dict.fromkeys(line.assignment.people for line in chore.routines)
        if people
    ]
    log, everyone = book.household.log, list(book.household.people)
    find = partial(_strange_in, log, given, everyone)
    return book.memory.once("not-given-to", find, log, given, everyone)


def _strange_in(
    log: Log, gifts: Sequence[tuple[str, tuple[str, ...]]], everyone: Sequence[str]
) -> dict[int, list[str]]:
    given: dict[str, list[set[str]]] = {}
    for name, group in gifts:
        given.setdefault(name, []).append(set(group))
    strange: dict[int, list[str]] = {}
    for key, entry in log.kinds.items():
        if not entry.people or entry.verb != "did":
            continue
        people = {person.value for person in entry.people}
        names = {
            item.name.value: None
            for item in entry.items
            if any(map(people.isdisjoint, given.get(item.name.value, ())))
        }
        if names and people.issubset(everyone):
            strange[key] = list(names)
    return strange


def _is_given_to_others(book: Book, chore: Chore, people: list[str], day: int) -> bool:
    """True where lines are in force on a day, and none of them is for one of these people."""
    given = [line.assignment.people for line in chore.routines if book.holds(line, day)]
    return bool(given) and all(
        named and not any(person in named for person in people) for named in given
    )


def _finding(book: Book, name: str, person: str, lines: list[int]) -> Finding:
    log = book.household.log
    first = log.dates[lines[0]]
    given = [line for line in book.household.chores[name].routines if book.holds(line, first)]
    people = list(dict.fromkeys(one for line in given for one in line.assignment.people))
    form = " then " if given[0].assignment.form == "then" else " or "
    times = (
        "once" if len(lines) == 1 else f"{len(lines)} times, last on {dated(log.dates[lines[-1]])}"
    )
    return Finding(
        "not-given-to",
        Severity.ADVICE,
        log.place(lines[0]),
        f'"{name}" is given to {listed(people)}, and {person} did it on {dated(first)}',
        f"in the 366 days up to {dated(book.today)} that was so {times}",
        f"where it is to stay so, write `by {form.join([*people, person])}` at the chore",
        (given[0].name_place,),
    )
