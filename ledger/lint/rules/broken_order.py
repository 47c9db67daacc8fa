"""A chore that comes `after` another one and can still be done before it.

Why it matters: `after` orders the list of one day. Where only one of the two is on the list of a
day, or one of them may wait and the other may not, what must be dry or empty first may not be.
Two chores that never share a day are a finding of another rule.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from functools import partial
from operator import itemgetter
from typing import NamedTuple

from ledger.calendar.windows import Window
from ledger.household.model import Span
from ledger.lint.book import LintedBook, dated, days_from
from ledger.lint.meeting import Order, first_meeting, orders
from ledger.text.cadences import write_cadence
from ledger.text.edits import delete_name
from ledger.text.finding import Finding, Kind, Severity

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen

every weekend
    mop    10 min  in kitchen  after sweep
                                     ^^^^^
every sunday
    sweep   5 min  in kitchen
"""

GOOD = """\
area kitchen

every weekend
    mop    10 min  in kitchen  after sweep
    sweep   5 min  in kitchen
"""


class _Breach(NamedTuple):
    """A window, and one of the chore that should come before it."""

    own: Span
    other: Span


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each name behind `after` whose order the days of the year ahead can break.

    Looked at are pairs of windows that share days with each other and with no second one: a daily
    chore after a weekly one is meant for the day on which both are done. The order of such a pair
    can be broken if its later chore is on the list first, or if only the earlier one may wait.
    Days away are left aside.
    """
    for order in orders(book):
        if first_meeting(order.own, order.theirs) is None:
            continue
        shares = [
            (own.windows, theirs.windows)
            for own in book.ahead[order.chore]
            for theirs in book.ahead[order.other.value]
            if own.timeline.person == theirs.timeline.person
            or None in (own.timeline.person, theirs.timeline.person)
        ]
        breaches = {
            breach
            for number, (own, theirs) in enumerate(shares)
            for breach in book.memory.once(
                (RULE.name, order.chore, order.line.place.line, order.other.value, number),
                partial(_breaches, book, order, own, theirs),
                order.line,
                own,
                theirs,
                book.calendar,
            )
        }
        if breaches:
            yield _finding(book, order, sorted(breaches))


def _breaches(
    book: LintedBook, order: Order, windows: Sequence[Window], theirs: Sequence[Window]
) -> list[_Breach]:
    """The pairs of windows of one person, or of all, in the year ahead, whose order can be
    broken."""
    high = book.days_ahead[-1]
    own = [one[:2] for one in windows if one.routine is order.line and not one.excused]
    others = [one[:2] for one in theirs if not one.excused]
    found = []
    for span in own:
        shared = _sharing(others, span)
        if len(shared) != 1 or len(_sharing(own, shared[0])) != 1:
            continue
        (opens, closes), (other_opens, other_closes) = span, shared[0]
        is_ahead = book.today <= min(opens, other_opens) and max(closes, other_closes) <= high
        if is_ahead and (opens < other_opens or closes < other_closes):
            found.append(_Breach(span, shared[0]))
    return found


def _sharing(spans: Sequence[Span], days: Span) -> Sequence[Span]:
    """Those of some spans, in order and apart, that share a day with another."""
    low = bisect_left(spans, days[0], key=itemgetter(1))
    return spans[low : bisect_right(spans, days[1], key=itemgetter(0))]


def _finding(book: LintedBook, order: Order, breaches: Sequence[_Breach]) -> Finding:
    name, routine, other, *_ = order
    (opens, closes), (other_opens, other_closes) = breaches[0]
    header, lines = routine.section.cadence, book.household.chores[other.value].routines
    place = other.at(routine.place.source, routine.place.line)
    removal = delete_name(place, f"after {other.value}")
    if opens < other_opens:
        why = (
            f'"{name}" is on the list from {dated(opens)}, and "{other.value}" comes on '
            f"{days_from(other_opens, other_closes)}"
        )
    else:
        why = (
            f'"{name}" is to be done by {dated(closes)}, and "{other.value}" may wait until '
            f"{dated(other_closes)}"
        )
    more = f"; {len(breaches) - 1} more like it in the year ahead" if len(breaches) > 1 else ""
    if routine.section in [line.section for line in lines]:
        fix = f"give both chores the same days, or {removal.words}"
    else:
        fix = (
            f"put `{other.value}` under the header of `{name}`, `{write_cadence(header)}`, or "
            f"{removal.words}"
        )
    return RULE.finding(
        place,
        f'"{name}" comes after "{other.value}", and can be done before it',
        why + more,
        fix,
        (lines[0].name_place,),
        [removal],
    )
