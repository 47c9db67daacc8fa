"""Near misses of cadences: how often a section comes round, in words that a book does not use."""

from __future__ import annotations

import re

from ledger.text.hints.misread import Hint, Line, Misread
from ledger.text.hints.phrases import EITHER, PHRASES, SAYS, TIMES_A_DAY, WEEKEND, Phrase, times_in
from ledger.text.hints.reading import Edit, dated, gets_past, reads
from ledger.text.hints.spans import later
from ledger.text.hints.vocabulary import DECLARES, FLAGS, NAME, Pattern, any_of, small


def header_of(words: str, line: Line) -> str | None:
    """The header that some words mean, with a `from` where it needs one; None if they mean none."""
    if reads(words):
        return dated(words, line.date)
    for phrase in PHRASES:
        match = phrase.pattern.match(words)
        if match is not None and match.end() == len(words):
            right = _built(phrase, match, line)
            return dated(right[0], line.date) if right and reads(right[0]) else None
    return None


def _built(phrase: Phrase, match: re.Match[str], line: Line) -> list[str]:
    """The cadences that some words can mean, with the weekend of the book."""
    first, *others = line.weekend
    weekend = f"{first} within {len(others) + 1} days" if others else first
    return [new.replace(WEEKEND, weekend) for new in phrase.build(match)]


def cadence(miss: Misread) -> Hint | None:
    """A cadence in words that a book does not use."""
    begin = _cadence_start(miss)
    if begin is None:
        return None
    for phrase in PHRASES:
        match = phrase.pattern.match(miss.text, begin, miss.body)
        if match is None or match.end() < miss.after:
            continue
        wrong, right = match[0].rstrip("."), _built(phrase, match, miss)
        edits = tuple(Edit(begin, match.end(), new) for new in right if new != wrong)
        if edits and gets_past(miss.text, edits[0]):
            alternatives = " or ".join("{}" for _ in edits)
            message = phrase.message or (SAYS if len(edits) == 1 else EITHER)
            if right[0] in (f"every {wrong}", f"every {wrong.lower()}"):
                message = '`every` is missing before "{wrong}"'
            message = message.format(wrong=wrong, right=right[0])
            return Hint(message, f"write {alternatives}", edits, match.end(), whole=True)
    return None


_TIMES_OF_DAY = ("Morning", "Noon", "Afternoon", "Evening")
_TAIL = Pattern(r'(?P<clauses>[^"]*?) *(?:"(?P<title>(?:[^"\\]|\\.)*)")?')


def several_a_day(miss: Misread) -> Hint | None:
    """A number of times in a day: a container for each of them."""
    begin = _cadence_start(miss)
    match = TIMES_A_DAY.match(miss.text, begin, miss.body) if begin == 0 else None
    if match is None or match.end() < miss.after or (number := times_in(match["n"])[-1]) < 2:
        return None
    tail = _TAIL.fullmatch(miss.text[match.end() : miss.body])
    names = _TIMES_OF_DAY[:: 3 if number == 2 else 1][: max(number, 2)]
    if tail is None or number > len(_TIMES_OF_DAY):
        names = ()
    what = f"every {'weekday' if small(match['unit']) == 'weekday' else 'day'}"
    lines = [
        f'{what}{tail["clauses"]} "{tail["title"] + ", " + name.lower() if tail["title"] else name}"'
        for name in (names if tail else ())
    ]
    message = f'a header asks for a chore once a day, and "{match[0]}" is more often'
    if not lines or not all(map(reads, lines)):
        return Hint(message, f"write a header `{what}` with a title for each time", end=match.end())
    edits = tuple(Edit(0, miss.body, line) for line in lines)
    fix = f"write a header for each time, such as {', '.join(['{}'] * (len(lines) - 1))} and {{}}"
    fix += (
        ", and the chore below each, by two names" if number == 2 else ", and the chore below each"
    )
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


_FLAG_FIRST = Pattern(
    rf'(?P<flag>{any_of(FLAGS)})(?: *[:,] *| )(?P<rest>[^"]*[^\s"])(?P<title> *".*)?\Z'
)


def flag_first(miss: Misread) -> Hint | None:
    """A flag before the cadence: `paused weekend 5`."""
    match = _FLAG_FIRST.match(miss.text, miss.margin, miss.body)
    header = header_of(match["rest"], miss) if match else None
    if match is None or header is None:
        return None
    edit = Edit(0, miss.body, f"{header} {match['flag']}{match['title'] or ''}")
    message = f"`{match['flag']}` comes behind the cadence"
    return Hint(message, "write {}", (edit,), miss.body, whole=True)


_DAYS_NAMED = Pattern(rf"days {NAME} ")


def _cadence_start(miss: Misread) -> int | None:
    """Start of the cadence of a header or of named days; None if the reader stopped elsewhere."""
    if miss.start == "chore_line":
        return None
    named = _DAYS_NAMED.match(miss.text, 0, miss.at)
    begin = named.end() if named else 0
    head = miss.text[begin : miss.at]
    if '"' in head or re.match(DECLARES, head):
        return None
    return begin if miss.wants("HOUSEHOLD") or "NAME" not in miss.expected else None
