"""Near misses of names, titles and comments: several words, no quotes, other signs."""

from __future__ import annotations

import re

from ledger.text.hints.lists import slug
from ledger.text.hints.misread import LONGEST, Hint, Misread
from ledger.text.hints.reading import Edit, applied, ends_of_words, gets_past, reads
from ledger.text.hints.slips import TO_THE_END, Slip, Words
from ledger.text.hints.vocabulary import (
    ANY_CLAUSE,
    DAY,
    FLAGS,
    MONTH,
    NAME,
    SEASONS,
    UNIT,
    Pattern,
    any_of,
    declared,
)

_CLAUSE = Pattern(rf"(?:in (?P<area>{NAME})|{ANY_CLAUSE}[\t\x20]|[0-9]+ {UNIT}|\")")


def quoted(inside: str) -> str:
    """A title that says these words."""
    return '"' + inside.strip(" \t").replace("\\", "\\\\").replace('"', '\\"') + '"'


def _heading(words: Words) -> str:
    wrong = words["wrong"]
    return f"# {wrong.strip('=-*_~[]<>: ' + chr(9)) or wrong}"


HEADING = Slip(
    "HOUSEHOLD",
    rf"(?![^\W_]|[\"']){TO_THE_END}",
    _heading,
    "a book has no headings; a comment can hold one",
    whole=True,
)
"""A heading, or a ruled line."""

COMMENT = tuple(
    Slip(
        "",
        rf"(?P<sign>{sign})(?P<rest>.*)",
        "#{rest}",
        'a comment begins with `#`, not "{sign}"',
        before=before,
        whole=True,
    )
    for sign, before in ((r"//+|--+|%+|/\*|<!--|…", ""), (";+", r"\A *"))
)
"""A comment that begins with another sign than `#`."""

HOUSEHOLD = Slip(
    "TITLE",
    rf"(?!\"){TO_THE_END}",
    lambda words: quoted(words["wrong"]),
    "the title stands in no quotes",
    before=r"\Ahousehold ",
)
"""The title of a household without quotes."""


def title_first(miss: Misread) -> Hint | None:
    """A title in place of a name."""
    if "NAME" not in miss.expected or miss.stop.token.kind != "TITLE":
        return None
    name = slug(miss.word[1:-1])
    named = Edit(miss.at, miss.at, f"{name} ")
    if miss.start == "record_line" or not gets_past(miss.text, named):
        named = miss.rewrite(name)
    if not name or not gets_past(miss.text, named):
        return None
    return Hint("a title stands where a name must", "write {}", (named,), whole=True)


_IS_NO_NOTE = Pattern(
    r"\b(?:by|until|till|to|each|left|did|skipped|moved|worked)(?![^\s,])"
    rf"|[0-9]+ *{UNIT}|[0-9]{{4}}-",
    re.IGNORECASE,
)
"""Words that say more than a note of the record."""


def unquoted_title(miss: Misread) -> Hint | None:
    """Words that must be a title, without its quotes."""
    if not miss.wants("TITLE") or miss.ended or not re.match(r"[^\W_]", miss.word):
        return None
    if miss.leaves_dates:
        return None
    for end in ends_of_words(miss.text, miss.at, miss.body):
        wrong = miss.text[miss.at : end]
        if '"' in wrong or len(wrong) > LONGEST:
            return None
        title = Edit(miss.at, end, '"' + wrong.replace("\\", "\\\\") + '"')
        rest = miss.text[end : miss.body].strip(" \t")
        apart = miss.text[end : end + 2].isspace() and rest.startswith("in ")
        if rest and not apart and not _begins_clause(miss, rest):
            continue
        if _is_no_title(miss, wrong):
            return None
        if not reads(applied(miss.text, title)):
            continue
        area = Edit(miss.at, end, f"in {wrong}")
        if miss.wants("USES") and wrong.islower() and reads(applied(miss.text, area)):
            message = f'"{wrong}" is no word of the book here'
            fix = "write {} for a title, or {} for an area"
            return Hint(message, fix, (title, area), end)
        what = "note" if miss.start == "record_line" else "title"
        message = f'"{wrong}" looks like a {what} without its quotes'
        return Hint(message, "write {}", (title,), end)
    return None


def _is_no_title(miss: Misread, words: str) -> bool:
    """True for words that would be lost in a title."""
    if miss.start == "record_line":
        return _IS_NO_NOTE.search(words) is not None
    if miss.names_no_days:
        return True
    names = (*miss.people, *miss.areas, *miss.days) if miss.wants("DURING") else ()
    return declared(words, names) is not None or begins_clause(words)


_ANYWHERE = (
    rf"{any_of(FLAGS)}|{MONTH}|{DAY}|{any_of(SEASONS)}|weekdays?|weekends?|not|no|but|except|without"
    r"|excluding|including|skip|never|only|if|when|unless|every|each|twice|until|till|during|[0-9]+(?:st|nd|rd|th)"
)
_MORE = Pattern(rf"(?:{_ANYWHERE})", re.IGNORECASE)
_FIRST = Pattern(
    rf"(?:{ANY_CLAUSE}|on|to|of|before|since|and|or|plus|also|even|time|deadline|due|once|[0-9].*)",
    re.IGNORECASE,
)


def says_more(words: str) -> bool:
    """True for words that mean something to a book, or the opposite: no title hides them.

    A title begins with a capital where it has such words.
    """
    return not words[:1].isupper() and any(map(_MORE.fullmatch, re.split(r"[\t\x20,]+", words)))


def begins_clause(words: str) -> bool:
    """True for words that say more, or begin as a clause or another part of a line does."""
    first = re.split(r"[\t\x20,]", words, maxsplit=1)[0]
    return says_more(words) or (
        (words[:1].islower() or words[:1].isdigit()) and bool(_FIRST.fullmatch(first))
    )


def _begins_clause(miss: Misread, rest: str) -> bool:
    match = _CLAUSE.match(rest)
    return match is not None and not (
        match["area"] and miss.areas and match["area"] not in miss.areas
    )
