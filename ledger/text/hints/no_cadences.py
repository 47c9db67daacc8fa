"""How often in words for which no one cadence stands: several times a day, once a term."""

from __future__ import annotations

import re

from ledger.text.hints.headers import cadence_start
from ledger.text.hints.misread import Hint, Misread
from ledger.text.hints.phrases import TIMES_A_DAY, times_in
from ledger.text.hints.reading import Edit, reads
from ledger.text.hints.spans import later
from ledger.text.hints.titles import quoted
from ledger.text.hints.vocabulary import Pattern, small

_TIMES_OF_DAY = {
    2: ("Morning", "Evening"),
    3: ("Morning", "Noon", "Evening"),
    4: ("Morning", "Noon", "Afternoon", "Evening"),
}
_TAIL = Pattern(r'(?P<clauses>[^"]*?) *(?:"(?P<title>[^"\\]*)")?')


def several_a_day(miss: Misread) -> Hint | None:
    """A number of times in a day: a container for each of them."""
    begin = cadence_start(miss)
    found = (one.match(miss.text, 0, miss.body) for one in TIMES_A_DAY if begin == 0)
    match = next((one for one in found if one is not None and one.end() >= miss.after), None)
    tail = _TAIL.fullmatch(miss.text[match.end() : miss.body]) if match else None
    if match is None or tail is None or (number := times_in(match["n"])[-1]) < 2:
        return None
    names, title = _TIMES_OF_DAY.get(number, ()), tail["title"]
    what = f"every {'weekday' if small(match['unit']) == 'weekday' else 'day'}"
    lines = [
        f"{what}{tail['clauses']} " + quoted(f"{title}, {name.lower()}" if title else name)
        for name in names
    ]
    message = f'a header asks for a chore once a day, and "{match[0]}" is more often'
    if not lines or not all(map(reads, lines)):
        return Hint(message, f"write a header `{what}` with a title for each time", end=match.end())
    edits = tuple(Edit(0, miss.body, line) for line in lines)
    fix = f"write a header for each time, such as {', '.join(['{}'] * (len(lines) - 1))} and {{}}"
    fix += ", and the chore below each, by a name of its own"
    return Hint(message, fix, edits, match.end(), True, is_example=True, lines=len(lines))


_TERM = Pattern(
    r"(?:(?:once )?(?:every|each|per|a)|once in (?:a|every)) (?:school )?"
    r"(?P<what>terms?|semesters?|trimesters?|half-terms?)(?![^\s,#\"])",
    re.IGNORECASE,
)
_TERM_DAYS = 90


def of_term(miss: Misread) -> Hint | None:
    """`every term`, `every semester`: days of the household, which it has to name."""
    match = _TERM.match(miss.text, miss.margin, miss.body)
    if match is None or miss.start == "chore_line" or miss.at > match.end():
        return None
    what = small(match["what"])
    names = (what, what.rstrip("s"), "school", "school-days", "term", "terms")
    name = next((name for name in names if name in miss.days), None)
    message = f'a book does not count in "{what.rstrip("s")}"'
    header = Edit(miss.margin, match.end(), f"every week during {name or 'school'}")
    if name:
        return Hint(message, "write {} for every week of it", (header,), match.end(), whole=True)
    days = f"days school {miss.date} to {later(miss.date, _TERM_DAYS)}"
    edits = (Edit(miss.margin, miss.body, days), header)
    fix = "name its days, such as by {} and {}"
    return Hint(message, fix, edits, match.end(), True, is_example=True, lines=2)
