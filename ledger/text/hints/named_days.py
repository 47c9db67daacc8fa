"""Near misses of named days: another order, loose dates, cadences that no calendar decides."""

from __future__ import annotations

import re

from ledger.text.hints.misread import LONGEST, Hint, Misread
from ledger.text.hints.reading import Edit, reads
from ledger.text.hints.slips import LEAVE_OUT, Slip
from ledger.text.hints.spans import Said, said
from ledger.text.hints.vocabulary import (
    AND,
    DATE,
    DAY,
    FLAGS,
    MONTH,
    NAME,
    THROUGH,
    Pattern,
    any_of,
    months_in,
)
from ledger.text.parser import parser

_LINE = Pattern(
    rf"(?:days?(?![^\s:]) *:? *|(?P<name>(?:{NAME} ){{1,3}}?)days?(?= *:| [0-9]) *:? *)"
    rf"(?P<rest>(?! *(?:{DAY}|{MONTH}|weekday|weekend)(?: (?:[0-9]{{4}}-|every)|\Z)).+)\Z",
    re.IGNORECASE,
)
_UNKNOWN = Pattern(
    rf"(?P<name>{NAME}) *[:=]? *(?P<rest>(?:from )?{DATE}.*|(?:every|weekend [0-9]).+)\Z"
)
_MONTHS = Pattern(
    rf"(?:(?:in|from) )?(?P<months>{MONTH}(?:(?:{THROUGH}|{AND}){MONTH})*)\Z", re.IGNORECASE
)
_NO_SPANS = Pattern(
    rf"\b(?:every|each|weekend [0-9]|times|once|after done|{any_of(FLAGS)}|last|first"
    r"|(?:dai|week|month|year)ly)\b",
    re.IGNORECASE,
)
_DAY = Pattern(rf"\b{DAY}(?![^\s,])", re.IGNORECASE)
_MOST_WORDS = 4
_NAMELESS = "school"
_NAMED_EVERY = Pattern("days (?:every|weekend) ")


def named_days(miss: Misread) -> Hint | None:
    """Named days with loose dates, or with their words in another order."""
    nameless = f"days {_NAMELESS} {miss.words.removeprefix('days ')}"
    if _NAMED_EVERY.match(miss.words) and reads(nameless):
        edit = Edit(miss.margin, miss.body, nameless)
        fix = "write a name, such as {}"
        return Hint("the line does not name its days", fix, (edit,), miss.body, True, True)
    match = _LINE.match(miss.words) if len(miss.text) <= LONGEST else None
    if match is None or _NO_SPANS.search(match["rest"]):
        return None
    if _DAY.search(match["rest"]) and not re.search("[0-9]", match["rest"]):
        return None
    found = said(match["rest"], miss.near)
    name = _name(match["name"], found) if found else None
    if found is None or name is None or not found.spans:
        return None
    title = "".join(f" {one.text}" for one in found.others if one.kind == "title")
    new = f"days {name or _NAMELESS} {found.text}{title}"
    if not reads(new) or new == miss.words:
        return None
    edits = [Edit(miss.margin, miss.body, new)]
    message, fix = "named days are `days`, a name of one word, then dates", "write {}"
    message = next(iter(found.notes), message)
    if not name:
        message, fix = "the line does not name its days", "write a name, such as {}"
    elif found.is_example:
        fix = "write their dates, such as {}"
    months = _MONTHS.search(miss.words)
    if months is not None and name:
        listed = ", ".join(months_in(months["months"]))
        edits.append(Edit(miss.margin, miss.body, f"days {name} every {listed}"))
        fix = "write {} for one year, or {} for every year"
    return Hint(message, fix, tuple(edits), miss.body, True, is_example="such as" in fix)


def _name(before: str | None, found: Said) -> str | None:
    """The name that some words are, with hyphens between them; None where they are no name."""
    words = (before or "").split()
    if any(one.kind in ("by", "not") for one in found.others):
        return None
    words += [one.text for one in found.others if one.kind == "word"]
    has_title = any(one.kind == "title" for one in found.others)
    if len(words) > _MOST_WORDS or (has_title and not words):
        return None
    return "-".join(words).replace("_", "-")


def unknown_days(miss: Misread) -> Hint | None:
    """A name at the margin with dates behind it."""
    is_short = len(miss.text) <= LONGEST
    match = _UNKNOWN.match(miss.words) if is_short and miss.wants("HOUSEHOLD") else None
    if match is None or match["name"] in parser().tables.keywords:
        return None
    name, rest = match.group("name", "rest")
    lines, message, fix = [f"days {name} {rest}"], f'`days` is missing before "{name}"', "write {}"
    if name in miss.people:
        lines = [f"{what} {rest} by {name}" for what in ("away", "rest")]
        message, fix = f"the line does not say whether {name} is away or rests", "write {} or {}"
    if not all(map(reads, lines)):
        return None
    edits = tuple(Edit(miss.margin, miss.body, new) for new in lines)
    return Hint(message, fix, edits, miss.body, True)


NO_DAYS_IN_DAYS = Slip(
    "WITHIN",
    r"(?P<clause>except|during) [^\"#]+",
    "",
    "named days have no `{clause}`; a header that uses them can",
    "leave it out here: {}, and write it in the header",
    unless="DURING",
    joins=True,
    whole=True,
)

CADENCES = (
    Slip(
        "EVERY DATE",
        rf"once (?:from )?(?P<span>{DATE} to {DATE})",
        "{span}",
        "named days have their dates right behind the name",
        whole=True,
    ),
    Slip(
        "EVERY DATE",
        r"(?:[0-9]+ (?:times|days?|weeks?|months?)|once|twice)(?: [^\"#]+)?",
        "every monday",
        'the calendar alone decides named days, and not "{wrong}"',
        "write dates or a cadence of the calendar, such as {}",
        whole=True,
        is_example=True,
    ),
    NO_DAYS_IN_DAYS,
    *(
        Slip(
            wants,
            rf"{any_of(FLAGS)}|(?:by|for) {NAME}",
            "",
            "named days are for everyone, at all times; `{wrong}` is for lines that use them",
            LEAVE_OUT,
            before=r"\Adays .*",
            unless=unless,
            joins=True,
            whole=True,
        )
        for wants, unless in (("WITHIN", "DURING"), ("TITLE", "BY"))
    ),
)
"""A cadence that the calendar alone does not decide, and clauses that named days do not have."""
