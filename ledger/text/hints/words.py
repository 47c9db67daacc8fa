"""Near misses of words: capitals, typing slips, synonyms, wrong names."""

from __future__ import annotations

import re

from ledger.text.hints.misread import Hint, Misread
from ledger.text.hints.reading import Edit, applied, fault_of, gets_past, reads
from ledger.text.hints.vocabulary import DATE, DECLARES, FLAGS, NAME, NUMBERS, Pattern
from ledger.text.near import nearest, slips
from ledger.text.parser import LineFault, parser
from ledger.text.values import DAYS, MONTHS, ORDINALS

SYNONYMS = {
    "uses": "use using used need needs needing with take takes requires wants",
    "in": "at room area inside on zone place where",
    "by": "for who person whom assigned from per with",
    "after": "following behind afterwards past once",
    "until": "till til to ending end through thru ends",
    "from": "starting since start starts beginning begins as-of",
    "to": "until till til through thru and onto",
    "paused": "pause off stopped disabled suspended",
    "during": "in season seasonally while",
    "within": "inside for window in",
    "each": "everyone everybody all anyone",
    "weekday": "weekdays workday workdays",
    "last": "final end ultimo",
    "done": "doing did finished completed completion do",
    "is": "are = on starts means",
    "starts": "begins start begin beginning is on",
    "ends": "end finishes finish closes stops at is",
    "person": "persons people member user who",
    "area": "areas room rooms place places zone location",
    "since": "from start starts started begin begins beginning begun starting",
    "away": "holiday holidays vacation absent trip out gone leave travel",
    "limit": "limits max maximum budget cap",
    "household": "home house family flat",
    "every": "each all any per",
    "day": "daily d",
    "days": "d",
    "weeks": "wks wk w",
    "months": "mos mths mth",
    "or": "either",
    "then": "next",
    "on": "at the",
}  # fmt: skip
_RIGHT: dict[str, list[str]] = {}
for _word, _others in SYNONYMS.items():
    for _other in _others.split():
        _RIGHT.setdefault(_other, []).append(_word)


def _known(miss: Misread) -> set[str]:
    """The words of a book that could stand here, days and months in full."""
    kinds = miss.expected
    known = {word for word, kind in parser().tables.keywords.items() if kind in kinds}
    for kind, words in (("DAY", DAYS), ("MONTH", MONTHS), ("ORDINAL", ORDINALS)):
        if kind in kinds:
            known |= set(words)
    return known & {"each"} if "NAME" in kinds else known


def capitals(miss: Misread) -> Hint | None:
    """A word of the book in capitals."""
    small = miss.word.lower()
    if small not in _known(miss) and not _short(miss, small):
        return None
    message = f'"{miss.word}" has capitals, and the words of a book have none'
    return Hint(message, "write {}", (miss.rewrite(small),))


def _short(miss: Misread, word: str) -> bool:
    kinds = [("DAY", DAYS), ("MONTH", MONTHS)]
    return any(kind in miss.expected and word in {w[:3] for w in words} for kind, words in kinds)


def other_word(miss: Misread) -> Hint | None:
    """Another word for one of the book."""
    if miss.ended:
        return None
    known = _known(miss)
    for right in _RIGHT.get(miss.word.casefold(), ()):
        edit = miss.rewrite(right)
        if right in known and gets_past(miss.text, edit, further=True):
            wrong = miss.word
            return Hint(f'a book says `{right}`, not "{wrong}"', "write {}", (edit,))
    return None


def misspelt(miss: Misread) -> Hint | None:
    """A word of the book that is misspelt, in the plural, or cut short."""
    word = miss.word
    if len(word) < 2 or not word[0].isalpha():
        return None
    if miss.wants("INT") and not miss.wants("HOUSEHOLD") and word.lower() in NUMBERS:
        return None
    # Flags are short words that say much, and stand alone: only the closest is taken for one.
    far = {flag for flag in FLAGS if slips(word.casefold(), flag, 1) is None}
    known = _known(miss) - far
    right = nearest(word, known)
    other = nearest(word, known - {right}) if right is not None else None
    if other is not None and _reads(miss, other) and not _reads(miss, str(right)):
        right = other
    small = word.casefold().rstrip("s.")
    if right is None and small in known:
        right = small
    if right is None:
        right = _abbreviated(miss, small)
    if right is None or right == word:
        return None
    edit = miss.rewrite(right)
    # What follows a flag must be a clause too, not the rest of a title.
    if not gets_past(miss.text, edit, further=right in FLAGS):
        return None
    return Hint(f'"{word}" is no word of the book here', "write {}, the closest", (edit,))


def _reads(miss: Misread, word: str) -> bool:
    return reads(applied(miss.text, miss.rewrite(word)))


def _abbreviated(miss: Misread, word: str) -> str | None:
    """The only day or month that begins with some letters, or None."""
    if len(word) < 2:
        return None
    kinds = (("DAY", DAYS), ("MONTH", MONTHS))
    names = [name for kind, words in kinds if kind in miss.expected for name in words]
    fitting = [name for name in names if name.startswith(word)]
    return fitting[0] if len(fitting) == 1 else None


_GLUED = Pattern(rf"every|weekend|person|area|limit|{DATE}|[0-9]{{1,4}}")


def glued(miss: Misread) -> Hint | None:
    """Two words of the book without a blank between them: `everymonday`, `2026-03-14did`."""
    word = miss.word
    for cut in range(1, min(len(word), 12)):
        edit = miss.rewrite(f"{word[:cut]} {word[cut:]}")
        head, tail = word[:cut].lower(), word[cut:]
        if tail and _GLUED.fullmatch(head) and gets_past(miss.text, edit):
            return Hint(f'"{word}" lacks a blank', "write {}", (edit,))
    return None


_NUMBERED = dict(zip(("1st", "2nd", "3rd", "4th", "5th"), ORDINALS, strict=True))


def spoiled_name(miss: Misread) -> Hint | None:
    """A name with a sign that no name may hold, or with no letter at its start."""
    word = miss.word
    if "NAME" not in miss.expected or miss.stop.token.kind or word.startswith('"'):
        return None
    if miss.leaves_dates:
        return None
    name = re.sub(r"['’]", "", word)
    for short, full in _NUMBERED.items():
        name = re.sub(rf"\A{short}(?![a-z])", full, name)
    name = re.sub("-{2,}", "-", "".join(c if c.isalnum() else "-" for c in name)).strip("-")
    if name[:1].isdigit():
        figures = re.match("[0-9]+", name)
        rest = name[figures.end() :].strip("-") if figures else name
        name = f"{rest}-{figures[0]}" if rest and figures else f"no-{name}"
    if not name or not reads(f"area {name}"):
        return None
    wrong = next((c for c in word if not c.isalnum() and c != "-"), "")
    if wrong:
        message = f'"{wrong}" cannot stand in a name'
    else:
        message = f'"{word}" does not begin with a letter, as a name must'
    return Hint(message, "write {}", (miss.rewrite(name),))


def indented(miss: Misread) -> Hint | None:
    """A header, a declaration or a line of the record that is indented."""
    if miss.start != "chore_line":
        return None
    words = miss.text[miss.margin :]
    if not _HEADS.match(words) and isinstance(fault_of(words), LineFault):
        return None
    if re.match(r"[0-9]{4}-", words):
        what = "a line of the record"
    elif re.match(rf"{DECLARES}|weekend[ \t]+is", words):
        what = "a declaration"
    else:
        what = "a section header"
    edit = Edit(0, miss.margin, "")
    message = f"{what} is indented, as only chores are"
    return Hint(message, "write it at the margin: {}", (edit,), whole=True)


_HEADS = Pattern(r"(?:every|once from|weekend (?:[0-9]|last|is))[\t\x20]|[0-9]{4}-", re.IGNORECASE)


_TIMED = Pattern(rf"{NAME} *[-:=,;]? *[0-9]{{1,4}} *[mh]")


def at_the_margin(miss: Misread) -> Hint | None:
    """A chore that is not indented."""
    if miss.start != "declaration_line" or not miss.wants("HOUSEHOLD") or not _is_chore(miss):
        return None
    for other in (other_word(miss), misspelt(miss)):
        if other is not None and reads(applied(miss.text, other.edits[0])):
            return None
    edit = Edit(0, miss.margin, "    ")
    return Hint(
        "a chore stands at the margin", "indent it under its section: {}", (edit,), whole=True
    )


def _is_chore(miss: Misread) -> bool:
    words = miss.text[: miss.body].split()
    if len(words) < 2 or words[0] in parser().tables.keywords:
        return False
    return _TIMED.match(miss.text) is not None or reads("    " + miss.text)
