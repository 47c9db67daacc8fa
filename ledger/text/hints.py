"""Near misses: what a line that cannot be read was probably meant to say.

Imported only when a line is at fault, so that a sound book never pays for it.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable

from ledger.text.finding import Finding, Severity
from ledger.text.parser import END, LineFault, Token, parser
from ledger.text.source import Place, Source
from ledger.text.values import DAYS, MONTHS, ORDINALS

RULE = "unreadable-line"

Hint = tuple[str, str]
"""A message and a fix."""

_WHY = {
    "declaration_line": "until it can be read this line says nothing, and chores below a "
    "section that cannot be read come up nowhere; all other lines are used",
    "chore_line": "this chore comes up nowhere until its line can be read; all other lines are "
    "used",
    "record_line": "what this line records counts as not done until it can be read; all other "
    "lines are used",
}
_PHRASES = {
    "NAME": "a name",
    "INT": "a number",
    "DATE": "a date, `YYYY-MM-DD`",
    "DAY": "a day of the week",
    "MONTH": "a month",
    "ORDINAL": "`first` to `fifth`",
    "TITLE": 'a title in double quotes, `"..."`',
    "CLOCK": "a time, `HH:MM`",
    "COMMENT": "a comment",
    END: "the end of the line",
}
_LOOSE_DATE = re.compile(r"(?P<y>[0-9]{4})[-/.](?P<m>[0-9]{1,2})[-/.](?P<d>[0-9]{1,2})(?![0-9])")
_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
_DAY_FIRST = re.compile(r"[0-9]{1,2}[-/.][0-9]{1,2}[-/.][0-9]{2,4}(?![0-9])")
_DECIMAL_HOURS = re.compile(r"(?P<n>[0-9]+[.,][0-9]+)[ \t]*h")
_GLUED = re.compile(r"(?P<n>[0-9]+)(?P<unit>min|h)\b")
_UNITS = {
    "minutes": "min", "minute": "min", "mins": "min", "m": "min",
    "hours": "h", "hour": "h", "hrs": "h", "hr": "h",
}  # fmt: skip
_SPANS = {
    "year": "`every 12 months from YYYY-MM-DD`, or name the month: `every april`",
    "years": "the months instead, 12 to the year: `every 24 months from YYYY-MM-DD`",
    "quarter": "`every 3 months from YYYY-MM-DD`",
    "fortnight": "`every 2 weeks from YYYY-MM-DD`",
    "weekends": "`every weekend`, or number them: `weekend 1, 3`",
    "morning": '`every day "Morning"`: a title tells two containers of a day apart',
    "evening": '`every day "Evening"`: a title tells two containers of a day apart',
}
_HEADERS = ("every", "weekend", "once", "paused")


def nearest(word: str, known: Iterable[str], most: int = 2) -> str | None:
    """The known word that a misspelt one was probably meant to be, or None if none is near.

    Near is one slip in a word of up to four letters, `most` in a longer one; a slip is a letter
    more, less, other, or two letters swapped.
    """
    most = 1 if len(word) <= 4 else most
    folded = word.casefold()
    ranked = [
        (_slips(folded, choice.casefold()), choice)
        for choice in sorted(known)
        if choice != word and abs(len(choice) - len(word)) <= most
    ]
    best = min(ranked, default=None)
    return best[1] if best is not None and best[0] <= most else None


def _slips(one: str, other: str) -> int:
    """Optimal string alignment distance: edits and swaps of neighbours from one word to another."""
    before: list[int] = []
    above = list(range(len(other) + 1))
    for row, letter in enumerate(one, 1):
        line = [row]
        for column, target in enumerate(other, 1):
            cost = min(above[column] + 1, line[-1] + 1, above[column - 1] + (letter != target))
            if row > 1 and column > 1 and letter == other[column - 2] and one[row - 2] == target:
                cost = min(cost, before[column - 2] + 1)
            line.append(cost)
        before, above = above, line
    return above[-1]


def unsafe_character(source: Source, number: int, column: int) -> Finding:
    """The finding of a character that no line may hold."""
    character = source.lines[number][column]
    code = ord(character)
    if 0xD800 <= code <= 0xDFFF:
        message = f"byte {code - 0xDC00:02X} is not UTF-8"
        fix = "save the file as UTF-8, or type the character anew"
    else:
        name = unicodedata.name(character, "a control character").lower()
        message = f"U+{code:04X} ({name}) cannot stand in a book"
        fix = "delete it; most editors can show such characters"
    why = "it can hide what the line says, or upset a terminal, so the line is not used"
    return Finding(
        RULE, Severity.ERROR, Place(source, number, column, column + 1), message, why, fix
    )


def explain(source: Source, number: int, start: str, stop: LineFault) -> Finding:
    """The finding of a line that the grammar stopped at."""
    text = source.lines[number]
    token = stop.token
    for hint in _HINTS:
        found = hint(text, start, stop)
        if found is not None:
            message, fix = found
            break
    else:
        message, fix = _expectation(token, stop.expected)
    begin, end = token.start, token.end
    if token.kind == END:
        begin = len(text.rstrip(" \t"))
        end = begin + 1
    return Finding(
        RULE, Severity.ERROR, Place(source, number, begin, end), message, _WHY[start], fix
    )


def _expectation(token: Token, expected: frozenset[str]) -> Hint:
    wanted = _wanted(expected)
    if token.kind == END:
        return f"the line ends where {wanted} must stand", f"write {wanted}"
    # A line may always end in a comment; that is no help to anyone.
    return f'"{_shown(token)}" stands where {wanted} must', f"write {wanted}"


def _shown(token: Token) -> str:
    return token.text if len(token.text) <= 30 else token.text[:29] + "…"


def _wanted(expected: frozenset[str]) -> str:
    labels = parser().tables.labels
    # Where a name may stand, so may every keyword as a name: naming them all helps nobody.
    kinds = expected - {"COMMENT"}
    if "NAME" in kinds:
        # `each` alone, without the other words that only people cannot be called, is a turn.
        turns = {"EACH"} if "WEEKDAY" not in kinds else set()
        kinds = kinds & ({"NAME", "TITLE", "DATE", "INT", END} | turns)
    phrases = sorted({_PHRASES.get(k) or f"`{labels[k].strip(chr(34))}`" for k in kinds})
    if len(phrases) > 1 and END in kinds:
        phrases.remove(_PHRASES[END])
        phrases.append(_PHRASES[END])
    if len(phrases) == 1:
        return phrases[0]
    return ", ".join(phrases[:-1]) + f" or {phrases[-1]}"


# ------------------------------------------------------------------ single hints


def _curly_quote(text: str, start: str, stop: LineFault) -> Hint | None:
    if stop.token.text[:1] in "“”„«»'‘’" and stop.token.text:
        return (
            f"{stop.token.text[0]} is not the quote that a title stands in",
            'write the title in straight double quotes: `"..."`',
        )
    return None


def _open_quote(text: str, start: str, stop: LineFault) -> Hint | None:
    token = stop.token
    if not token.text.startswith('"') or token.kind:
        return None
    if re.search(r'\\[^"\\]', token.text) and token.text.rstrip().endswith('"'):
        return (
            "the title holds a backslash that escapes nothing",
            r"write `\\` for a backslash and `\"` for a quote",
        )
    if token.text.count('"') > 1:
        return "letters touch the quote that closes the title", "write a blank after the title"
    return "the title has no closing quote", f'write the quote at its end: `{token.text.rstrip()}"`'


def _other_blank(text: str, start: str, stop: LineFault) -> Hint | None:
    for character in stop.token.text[:1] + text[stop.token.end : stop.token.end + 1]:
        if character.isspace() and character not in " \t":
            name = unicodedata.name(character, "blank").lower()
            return f"U+{ord(character):04X} ({name}) stands for a blank", "write an ordinary blank"
    return None


def _loose_date(text: str, start: str, stop: LineFault) -> Hint | None:
    at = _run_start(text, stop.token.start)
    loose = _LOOSE_DATE.match(text, at)
    if loose and at < len(text) and not _ISO_DATE.fullmatch(loose[0]):
        right = f"{loose['y']}-{int(loose['m']):02}-{int(loose['d']):02}"
        return f'"{loose[0]}" is not how a book writes a date', f"write `{right}`"
    other = _DAY_FIRST.match(text, at)
    if other:
        return (
            f'"{other[0]}" can be read as two different dates',
            "write the year, the month and the day: `YYYY-MM-DD`",
        )
    return None


def _run_start(text: str, position: int) -> int:
    while position > 0 and text[position - 1] not in ' \t,#"':
        position -= 1
    return position


def _duration(text: str, start: str, stop: LineFault) -> Hint | None:
    at = _run_start(text, stop.token.start)
    decimal = _DECIMAL_HOURS.match(text, at)
    if decimal:
        total = round(float(decimal["n"].replace(",", ".")) * 60)
        hours, rest = divmod(total, 60)
        right = " ".join([f"{hours} h"] * bool(hours) + [f"{rest} min"] * bool(rest))
        return f'"{decimal[0]}" is not how a book writes a duration', f"write `{right}`"
    glued = _GLUED.match(text, at)
    if glued:
        return f'"{glued[0]}" lacks a blank', f"write `{glued['n']} {glued['unit']}`"
    unit = _UNITS.get(stop.token.text)
    if unit and {"MIN", "H"} & stop.expected:
        return f'"{stop.token.text}" is not how a book writes a unit of time', f"write `{unit}`"
    return None


def _large_number(text: str, start: str, stop: LineFault) -> Hint | None:
    if re.fullmatch("[0-9]{5,}", stop.token.text):
        return f"{_shown(stop.token)} is too large a number", "write a number of up to four digits"
    return None


def _unknown_span(text: str, start: str, stop: LineFault) -> Hint | None:
    if not stop.expected >= {"WEEK", "MONTH_UNIT"} and not stop.expected >= {"WEEKS", "MONTHS"}:
        return None
    right = _SPANS.get(stop.token.text)
    if right is None:
        return None
    return f'a book does not count in "{stop.token.text}"', f"write {right}"


def _misplaced(text: str, start: str, stop: LineFault) -> Hint | None:
    """A header that is indented, or a chore at the margin."""
    words = text.split()
    if start == "chore_line" and words[0] in _HEADERS and _reads(text.strip(), "declaration_line"):
        return "a section header is indented", f"write it at the margin: `{text.strip()}`"
    if start == "declaration_line" and _reads(" " + text, "chore_line") and len(words) > 1:
        return "a chore stands at the margin", f"indent it under its section: `    {text.strip()}`"
    return None


def _reads(text: str, start: str) -> bool:
    try:
        parser().parse(text, start)
    except LineFault:
        return False
    return True


def _misspelt(text: str, start: str, stop: LineFault) -> Hint | None:
    token = stop.token
    if not token.text or not token.text[0].isalpha():
        return None
    tables = parser().tables
    kinds = stop.expected
    known = {word for word, kind in tables.keywords.items() if kind in kinds}
    for kind, words in (("DAY", DAYS), ("MONTH", MONTHS), ("ORDINAL", ORDINALS)):
        if kind in kinds:
            known |= set(words)
    if "NAME" in kinds:
        known &= {"each"}
    right = nearest(token.text, known)
    if right is None and token.text.endswith("s") and token.text[:-1] in known:
        right = token.text[:-1]
    if right is None or right == token.text:
        return None
    return f'"{token.text}" is no word of the book here', f"write `{right}`, the closest"


_HINTS: tuple[Callable[[str, str, LineFault], Hint | None], ...] = (
    _curly_quote,
    _open_quote,
    _other_blank,
    _loose_date,
    _large_number,
    _duration,
    _unknown_span,
    _misplaced,
    _misspelt,
)
