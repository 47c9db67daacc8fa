"""Near misses of names, titles and comments: several words, no quotes, other signs."""

from __future__ import annotations

import re

from ledger.text.hints.misread import (
    LONGEST,
    Edit,
    Hint,
    Misread,
    applied,
    ends_of_words,
    gets_past,
    reads,
)
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
)
from ledger.text.values import ORDINALS

_NAMED = Pattern(rf" *(?:(?:person|area) )?(?P<first>{NAME})")
_NO_NAME = Pattern(r"[0-9\",]|\b(?:and|or|with|for|at|on|every|each|from|until|by|because)\b")
_LAST_NAME = Pattern(rf"(?:\A|[\s,])({NAME})\Z")
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

MINUTES_FIRST = Slip(
    "NAME",
    rf"(?P<long>[0-9]+ *[a-z]+) (?P<name>{NAME})",
    "{name}  {long}",
    "the name of a chore comes before its minutes",
    before=r"\A *",
    whole=True,
)

HOUSEHOLD = Slip(
    "TITLE",
    rf"(?!\"){TO_THE_END}",
    lambda words: quoted(words["wrong"]),
    "the title stands in no quotes",
    before=r"\Ahousehold ",
)
"""The title of a household without quotes."""


def slug(title: str) -> str:
    """A name made from a title; empty where no good one results."""
    name = "-".join(re.findall(r"[^\W_]+", title.lower())[:5])
    return name if reads(f"area {name}") else ""


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


def name_of_words(miss: Misread) -> Hint | None:
    """A name of several words: `wash up`, `living room`."""
    head = _NAMED.fullmatch(miss.head)
    if head is None or not miss.word[:1].islower() or miss.start == "record_line":
        return None
    if not reads(miss.head):
        return None
    for end in ends_of_words(miss.text, miss.at, miss.body):
        wrong = miss.text[head.start("first") : end]
        name = slug(wrong)
        if not name or wrong.count(" ") > 4 or _NO_NAME.search(wrong):
            return None
        titled = f'{name} "{wrong}"' if wrong[0].isupper() else name
        for new in (titled, name):
            edit = Edit(head.start("first"), end, new)
            if reads(applied(miss.text, edit)):
                message = f'"{wrong}" is {len(wrong.split())} words, and a name is one'
                return Hint(message, "write {}", (edit,), end, whole=True)
    return None


_NOT_LISTED = frozenset((*ORDINALS, "last", "when", "if", "on", "for", "next", "this", "every"))
"""Words that are read as names, and are none in a list that lacks a comma."""


def listed(miss: Misread) -> Hint | None:
    """A list that lacks a comma."""
    previous = _LAST_NAME.search(miss.head)
    if "COMMA" not in miss.expected or previous is None or not Pattern(NAME).fullmatch(miss.word):
        return None
    if miss.names_no_days or not {previous[1], miss.word}.isdisjoint(_NOT_LISTED):
        return None
    recorded = miss.start == "record_line"
    comma = Edit(len(miss.head), miss.at, ", ")
    if not reads(applied(miss.text, comma)) or miss.word[0].isupper():
        return None
    if recorded and " by " in miss.head:
        return None
    message = f'no comma stands between "{previous[1]}" and "{miss.word}"'
    name = slug(f"{previous[1]} {miss.word}")
    if recorded and name:
        joined = Edit(previous.start(1), miss.after, name)
        fix = "write {} for two chores, or {} for one"
        return Hint(message, fix, (comma, joined), whole=True)
    return Hint(message, "write {}", (comma,), whole=True)


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
        if miss.start != "record_line" and (begins_clause(wrong) or miss.names_no_days):
            return None
        if not reads(applied(miss.text, title)):
            continue
        area = Edit(miss.at, end, f"in {wrong}")
        if miss.wants("USES") and wrong.islower() and reads(applied(miss.text, area)):
            message = f'"{wrong}" is no word of the book here'
            fix = "write {} for a title, or {} for an area"
            return Hint(message, fix, (title, area), end)
        message = f'"{wrong}" looks like a title without its quotes'
        return Hint(message, "write {}", (title,), end)
    return None


_ANYWHERE = (
    rf"{any_of(FLAGS)}|{MONTH}|{DAY}|{any_of(SEASONS)}|weekdays?|weekends?|not|no|but|except|without"
    r"|excluding|including|skip|never|only|if|when|unless|every|each|twice|until|till|during|[0-9]+(?:st|nd|rd|th)"
)
_MORE = Pattern(rf"(?:{_ANYWHERE})", re.IGNORECASE)
_FIRST = Pattern(
    rf"(?:{ANY_CLAUSE}|on|to|of|before|since|and|or|plus|also|even|time|[0-9].*)",
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
