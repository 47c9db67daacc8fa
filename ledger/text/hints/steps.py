"""Near misses of steps: other signs than `-` before them, or none."""

from __future__ import annotations

import re

from ledger.text.hints.lists import chore_of_words
from ledger.text.hints.misread import Hint, Misread
from ledger.text.hints.reading import Edit
from ledger.text.hints.titles import title_first
from ledger.text.hints.vocabulary import (
    CLAUSE,
    DAY,
    MONTH,
    NAME,
    TITLE,
    UNIT,
    WORD_END,
    Pattern,
)
from ledger.text.tree import STEP

_SIGN = (
    r"(?:\*\)|[*+•·–—▪◦‣●○>☐☑✓✔|~_/@\-]|=>|→|\(?[0-9]{1,2}[.):]|\(?[a-z]\)|[ivx]{1,4}[.)]"
    r"|[0-9]{1,2} *[-–](?=[\t\x20])|(?:steps?|to-?do)(?: [0-9]{1,2})? *:)"
)
_BULLET = Pattern(
    rf"(?P<sign>{_SIGN}(?: *\[[\x20xX✓]?\])?|\[[\x20xX✓]?\]) *(?P<text>[\"“(]?[^\W_].*)\Z",
    re.IGNORECASE,
)
_BULLET_AT_MARGIN = Pattern(
    r"(?P<sign>[*+•–—▪◦‣●○☐☑✓✔]|[0-9]{1,2}[.)]|\[[\x20xX✓]?\])[\t\x20]+(?P<text>[^\W\d_].*[^*\s])\Z"
)
_MINUTES = r".*[\t\x20,:(-][0-9]+ *(?:min|h|hours?|minutes?)\b"
_HAS_MINUTES = Pattern(_MINUTES, re.IGNORECASE)
LOOKS_LIKE_A_CHORE = Pattern(
    rf"{NAME} *(?:\Z|{TITLE}|[0-9]+ *{UNIT}|[0-9]+ *(?:min|h|$)|(?:{CLAUSE}){WORD_END})|{_MINUTES}",
    re.IGNORECASE,
)
_LOOKS_LIKE_A_LINE = Pattern(
    rf"(?:every|each|weekend|once|daily|weekly|monthly|[0-9]|person|area|limit|away|rest|days"
    rf"|household|since|week|day|first|second|third|last|on|{DAY}|{MONTH}){WORD_END}",
    re.IGNORECASE,
)
_DEEP = 5
"""With so many blanks before it, a line stands deeper than a chore does."""


def step(miss: Misread) -> Hint | None:
    """A step that begins with another sign than `-`."""
    if miss.start == "chore_line":
        match = _BULLET.match(miss.text, miss.margin)
    elif miss.margin == 0 and miss.at < 5:
        match = _BULLET_AT_MARGIN.match(miss.text)
    else:
        return None
    if match is None:
        return None
    is_counted = match["sign"].strip("().: ").isalnum()
    like = _HAS_MINUTES if is_counted else LOOKS_LIKE_A_CHORE
    if _is_shallow(miss) and like.match(match["text"]):
        return None
    if miss.start != "chore_line" and _LOOKS_LIKE_A_LINE.match(match["text"]):
        return None
    edit = Edit(miss.margin, len(miss.text), f"{STEP} {match['text'].rstrip()}")
    message = f'a step begins with `{STEP}`, not "{match["sign"]}"'
    return Hint(message, "write {}", (edit,), match.end("sign"), whole=True)


def bare_step(miss: Misread) -> Hint | None:
    """Words without a sign that stand deeper than a chore: a step, or the name of a chore."""
    if miss.start != "chore_line" or _is_shallow(miss):
        return None
    words = miss.text[miss.margin : miss.body]
    title = words.strip('"')
    if '"' in title or LOOKS_LIKE_A_CHORE.match(words) or not re.match(r"[^\W\d_]", title):
        return None
    as_step = Edit(miss.margin, miss.body, f"{STEP} {title}")
    chore = chore_of_words(miss) or title_first(miss)
    message = f"a step begins with `{STEP}`, and the name of a chore is one word"
    if chore is None:
        return Hint(message, "write {}", (as_step,), miss.body, whole=True)
    fix = "write {} for a step of the chore above, or {} for a chore"
    return Hint(message, fix, (as_step, chore.edits[0]), miss.body, whole=True)


def _is_shallow(miss: Misread) -> bool:
    return len(miss.text[: miss.margin].expandtabs(4)) < _DEEP
