"""Near misses of cadences: how often a section comes round, in words that a book does not use."""

from __future__ import annotations

import re

from ledger.text.hints.misread import Hint, Line, Misread
from ledger.text.hints.phrases import EITHER, PHRASES, SAYS, WEEKEND, Phrase
from ledger.text.hints.reading import Edit, dated, gets_past, reads
from ledger.text.hints.vocabulary import DECLARES, FLAGS, NAME, Pattern, any_of


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
    begin = cadence_start(miss)
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


def cadence_start(miss: Misread) -> int | None:
    """Start of the cadence of a header or of named days; None if the reader stopped elsewhere."""
    if miss.start == "chore_line":
        return None
    named = _DAYS_NAMED.match(miss.text, 0, miss.at)
    begin = named.end() if named else 0
    head = miss.text[begin : miss.at]
    if '"' in head or re.match(DECLARES, head):
        return None
    return begin if miss.wants("HOUSEHOLD") or "NAME" not in miss.expected else None
