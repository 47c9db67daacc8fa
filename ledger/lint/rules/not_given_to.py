"""A chore that is done again and again by somebody to whom its line does not give it.

Why it matters: once is a kindness, and nothing is said of it. From the second time on the book
names one person and another does the work, and turns mean nothing. Lines of the last 366 days are
looked at. Nothing is said of days on which those to whom it is given are away or rest: that was
help.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from functools import partial

from ledger.calendar.presence import someone_there
from ledger.household.model import Chore
from ledger.lint.book import YEAR_AHEAD, LintedBook, dated
from ledger.text.edits import write
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.words import listed
from ledger.text.writer import write_turn

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
person noor
person tam
area kitchen

every monday
    oven  40 min  in kitchen  by noor
    sink   5 min  in kitchen  by tam
2026-02-23 did oven by tam
^^^^^^^^^^
2026-03-02 did oven by tam
"""

GOOD = """\
person noor
person tam
area kitchen

every monday
    oven  40 min  in kitchen  by noor or tam
    sink   5 min  in kitchen  by tam

2026-02-23 did oven by tam
2026-03-02 did oven by tam
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each chore and person with several such lines, at the first of them."""
    log = book.household.log
    for name, chore in book.household.chores.items():
        if name in log.by_chore:
            strange = book.memory.once(
                (RULE.name, name),
                partial(_strange, book, chore),
                log.story(name),
                chore,
                book.calendar,
            )
            for person, lines in strange.items():
                positions = log.by_chore[name]
                yield _finding(book, name, person, [positions[number] for number in lines])


def _strange(book: LintedBook, chore: Chore) -> dict[str, list[int]]:
    """For each person with several of them, the lines of the last year in which they did a chore
    not given to them."""
    given = [set(line.assignment.people) for line in chore.routines if line.assignment.people]
    by_person: dict[str, list[int]] = {}
    if not given:
        return by_person
    log, everyone = book.household.log, book.household.people
    positions = log.by_chore[chore.name]
    low = bisect_left(positions, book.today - YEAR_AHEAD + 1, key=log.dates.__getitem__)
    high = bisect_right(positions, book.today, key=log.dates.__getitem__)
    for number in range(low, high):
        entry = log.entries[positions[number]]
        people = [person.value for person in entry.people]
        if entry.verb != "did" or not people or not any(one.isdisjoint(people) for one in given):
            continue
        day = log.dates[positions[number]]
        if everyone.keys() >= set(people) and _is_given_to_others(book, chore, people, day):
            for person in people:
                by_person.setdefault(person, []).append(number)
    lines = (line for line in chore.routines if book.holds(line, book.today))
    # Someone has written it down since.
    now = {person for line in lines for person in line.assignment.people}
    return {
        person: lines for person, lines in by_person.items() if len(lines) > 1 and person not in now
    }


def _is_given_to_others(book: LintedBook, chore: Chore, people: list[str], day: int) -> bool:
    """True where lines are in force on a day, none of them is for one of these people, and somebody
    for whom one is could do it."""
    lines = [line for line in chore.routines if book.holds(line, day)]
    given = [line.assignment.people for line in lines]
    return all(named and not any(person in named for person in people) for named in given) and any(
        someone_there(book.household, line, None).holds(day) for line in lines
    )


def _finding(book: LintedBook, name: str, person: str, lines: list[int]) -> Finding:
    log = book.household.log
    first = log.dates[lines[0]]
    given = [line for line in book.household.chores[name].routines if book.holds(line, first)]
    people = list(dict.fromkeys(one for line in given for one in line.assignment.people))
    turn = book.line_of(given[0]).assignment
    names = turn.people if turn else ()
    place = given[0].name_place
    if names:
        by = place.source.lines[place.line].rindex("by", 0, names[0].start)
        place = place._replace(start=by, end=names[-1].end)
    too = write(place, f"by {write_turn((given[0].assignment.form, [*people, person]))}")
    return RULE.finding(
        log.place(lines[0]),
        f'"{name}" is given to {listed(people)}, and {person} did it on {dated(first)}',
        f"in the 366 days up to {dated(book.today)} that was so {len(lines)} times, last on "
        f"{dated(log.dates[lines[-1]])}",
        f"where it is to stay so, {too.words} at the chore",
        (given[0].name_place,),
        [too] if len(given) == 1 else (),
    )
