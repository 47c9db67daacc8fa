"""A `vital` chore that nobody is there to do on days of the coming year, while others are at home.

Why it matters: days of rest do not stop it, but nobody can do it who is away. So it is left undone
on those days, and no list asks anyone else for it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import partial

from ledger.calendar.day_lists import dates_of, force_of
from ledger.calendar.day_set import DaySet, any_of, apart
from ledger.calendar.presence import away, days_absent, someone_there
from ledger.household.model import Routine, Span
from ledger.keeping.history import shares_of
from ledger.lint.book import LintedBook, dated, days_from
from ledger.text.edits import word_place, write
from ledger.text.finding import Finding, Fix, Kind, Severity
from ledger.text.source import TextRange
from ledger.text.words import counted, listed
from ledger.text.writer import write_turn

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
person noor
person tam
area outside
away 2026-03-16 to 2026-03-20 by tam "Course"

every day
    bins      5 min   in outside  by noor
    walk-dog  20 min  in outside  by tam   vital
                                  ^^^^^^
"""

GOOD = """\
person noor
person tam
area outside
away 2026-03-16 to 2026-03-20 by tam "Course"

every day
    bins       5 min  in outside  by noor
    walk-dog  20 min  in outside  by tam or noor  vital
"""

HELPERS = 3
"""So many people are proposed at most."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each line of a chore with such days, at its `by`."""
    household = book.household
    if not any(one.keyword == "away" for one in household.absences):
        return
    for name, chore in household.chores.items():
        for number, line in enumerate(chore.routines):
            if line.vital and not line.paused:
                days = book.memory.once(
                    (RULE.name, name, number),
                    partial(left_undone, book, name, line),
                    *(chore, book.calendar, household.log.story(name)),
                )
                if days:
                    yield _finding(book, name, line, days)


def left_undone(book: LintedBook, name: str, line: Routine) -> Sequence[Span]:
    """The days on which a line would be asked, were someone there to do it, in order."""
    household, (low, high) = book.household, (book.today, book.days_ahead[-1])
    present = someone_there(household, line, None)
    lacking = force_of(household, line) & ~present & ~away(household)
    if lacking.first(low, high) is None:
        return ()
    if line.section.is_after_done:
        found = _after_done(book, name, line, lacking)
    elif line.section.cadence.is_once:
        found = _once(book, name, line)
    else:
        found = _on_calendar(book, name, line)
    asked = force_of(household, line) & present
    return apart(
        run
        for first, last in found
        if not asked.any(first, last)
        for run in lacking.runs(max(first, low), min(last, high))
    )


def _on_calendar(book: LintedBook, name: str, line: Routine) -> Iterator[Span]:
    """The windows of a line that the record has neither settled nor moved."""
    chore = book.household.chores[name]
    settled = {
        (one.person, one.opened)
        for share in shares_of(book.household, chore, book.today, book.today)
        for one in share.occasions
        if one.mark or one.moved or one.is_gone
    }
    for timeline, windows in book.ahead[name]:
        for window in windows:
            is_open = (timeline.person, window.first) not in settled
            if window.routine is line and is_open:
                yield window[:2]


def _once(book: LintedBook, name: str, line: Routine) -> Iterator[Span]:
    """The days that `once` names, before they are put off until someone is there."""
    section, chore = line.section, book.household.chores[name]
    (first, last), within = dates_of(book.household, line), section.within
    end = section.cadence.last if within is None else section.cadence.first + within - 1
    shares = shares_of(book.household, chore, book.today, book.today)
    known = [one for share in shares for one in share.occasions if one.routine is line]
    if not any(one.mark or one.moved for one in known):
        yield max(first, section.cadence.first), min(last, end)


def _after_done(book: LintedBook, name: str, line: Routine, lacking: DaySet) -> Iterator[Span]:
    """The days on which it falls next, and those that are too many in a row to be passed over."""
    household, every = book.household, line.section.cadence.every
    within = line.section.within or 1
    for share in shares_of(household, household.chores[name], book.today, book.today):
        days = [one.mark.day + every for one in share.occasions if one.mark]
        coming = share.owed or next(share.ahead(), None)
        if coming is not None and not coming.moved:
            first = max([dates_of(household, line)[0], *days[-1:]])
            yield first, max(first + within - 1, coming.first - 1)
    for first, last in lacking.runs(book.today, book.days_ahead[-1]):
        if last - first + 1 >= every + within - 1:
            yield first, last


def _finding(book: LintedBook, name: str, line: Routine, days: Sequence[Span]) -> Finding:
    (first, last), household = days[0], book.household
    form, people = line.assignment
    gone = [one for one in people or household.people if away(household, one).holds(first)]
    is_shared = form == "together" and len(gone) < len(people)
    who, shared = ("not everyone", " and done together") if is_shared else ("nobody", "")
    others = sum(end - begin + 1 for begin, end in days[1:])
    more = f", and on {counted(others, 'more day', 'more days')} up to {dated(days[-1][1])}"
    on = f"on {dated(first)}" if first == last else f"from {days_from(first, last)}"
    fix, fixes = _cures(book, line, days)
    see = (
        one.place
        for one in household.absences
        if one.keyword == "away" and {*one.people} & {*gone}
        if days_absent(household, one).holds(first)
    )
    return RULE.finding(
        _by(book, line) or line.name_place,
        f'{who} is there to do "{name}" {on}{more if others else ""}',
        f"it is vital{shared}, and {listed(gone)} {'is' if len(gone) == 1 else 'are'} away then, "
        "so it is left undone",
        fix,
        tuple(see),
        fixes,
    )


def _by(book: LintedBook, line: Routine) -> TextRange | None:
    """The range of the `by` of a line, with the people it names; None where it names nobody."""
    turn = book.line_of(line).assignment
    if turn is None or not turn.people:
        return None
    word = word_place(line.name_place, "BY", turn.people[0].start)
    return word._replace(end=turn.people[-1].end)


def _cures(book: LintedBook, line: Routine, days: Sequence[Span]) -> tuple[str, list[Fix]]:
    """What to write, and the edits: whoever is there on the most of the days can do it."""
    place, (form, people) = _by(book, line), line.assignment
    mend = "mend the dates of `away`"
    if form == "together":
        here = {people: _days_there(book, days, people)}
    else:
        here = {(*people, one): _days_there(book, days, [one]) for one in book.household.people}
    most = max(here.values(), default=0)
    if form == "each" or not most or place is None:
        other = ""
        if not people:
            other = "leave out its `by` if the home is looked after, or "
        elif form != "each":
            other = "declare who else can do it by a line `person NAME`, or "
        return f"{mend}, or {other}take `vital` away if it can wait", []
    best = [names for names, count in here.items() if count == most]
    other_form = "any" if form == "together" else form
    fixes = [write(place, f"by {write_turn((other_form, names))}") for names in best[:HELPERS]]
    total = sum(last - first + 1 for first, last in days)
    part = f" for {most} of these {total} days" if most < total else ""
    alone = " if one of them can do it" if form == "together" else ""
    return f"{' or '.join(fix.words for fix in fixes)}{alone}{part}, or {mend}", fixes


def _days_there(book: LintedBook, days: Sequence[Span], people: Sequence[str]) -> int:
    """On how many of the days one of some people is there."""
    present = any_of(~away(book.household, person) for person in people)
    return sum(present.count(*span) for span in days)
