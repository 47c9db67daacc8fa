"""Near misses of names of several words and of lists: `living room`, `wash up`, no comma."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

from ledger.text.hints.chores import HOW_OFTEN, below_header
from ledger.text.hints.facts import facts
from ledger.text.hints.misread import Hint, Misread, a_line_each
from ledger.text.hints.reading import Edit, applied, ends_of_words, gets_past, reads
from ledger.text.hints.slips import Slip
from ledger.text.hints.vocabulary import (
    CLAUSE,
    DAY,
    MONTH,
    NAME,
    UNIT,
    WORD_END,
    Pattern,
    declared,
    folded,
    small,
)
from ledger.text.values import ORDINALS

_NAMED = Pattern(rf" *(?:(?:person|area) )?(?P<first>{NAME})")
_NO_NAME = Pattern(r"[0-9\",]|\b(?:and|or|with|for|at|on|every|each|from|until|by|because)\b")
_STOPS = rf"(?:{CLAUSE}|every|each|daily|weekly|monthly|yearly|once|twice|on {DAY}){WORD_END}"
_WORDS = rf"[^\W\d_][^\s,;:#\"]*(?:[\t\x20](?!{_STOPS})[^\W\d_][^\s,;:#\"]*)"
_BEFORE = r"[0-9]+ *(?:[a-z]+(?![^\s,;])|(?= |\Z))"
_ENDS_NAME = rf"(?P<sign> *[,;:–—-]* *)(?=\Z|\"|{_BEFORE}|{_STOPS})"
_CHORE_NAME = Pattern(rf"(?P<name>{_WORDS}{{1,7}}){_ENDS_NAME}")
"""The words before the minutes of a chore, before its first clause, or before how often."""
_NUMBERED_NAME = Pattern(rf"(?P<n>[0-9]+) (?!{UNIT}|min|hour)(?P<name>{_WORDS}{{1,6}}){_ENDS_NAME}")
_MINUTES_FIRST = Pattern(
    rf" *(?P<long>[0-9]+ *[a-z]+) +(?:of )?(?P<name>{_WORDS}{{0,7}}){_ENDS_NAME}"
)
_A_DAY = Pattern(rf"{DAY}|{MONTH}|weekday|weekend", re.IGNORECASE)
_LONGEST_LIST = 400
_WORD = Pattern(r"[^\s,]+")
_FURTHER = Pattern(rf"\x20?(?!(?:{CLAUSE}|to|by|and|or){WORD_END})[^\W\d_][^\s,;#\"]*")
_MOST_WORDS = 4
_KINDS = {"in": "areas", "by": "people", "of": "people", "after": "chores", "did": "chores",
          "skipped": "chores", "moved": "chores", "worked": "chores", "during": "days",
          "except": "days", "uses": "", "away": "days", "rest": "days"}  # fmt: skip
"""Words before a list of names, and what these stand for."""
_ONE_OF = {"areas": "area", "people": "person", "chores": "chore", "": "thing"}


def slug(title: str, most: int = 5) -> str:
    """A name made from a title; empty where no good one results."""
    words = re.sub(r"(?<=\w)['’](?=s?\b)", "", title.lower())
    name = "-".join(re.findall(r"[^\W_]+", words)[:most])
    return name if reads(f"area {name}") else ""


class _List(NamedTuple):
    """A list of names in which the reader stopped."""

    known: tuple[str, ...]
    """The names of its kind that the file declares."""
    kind: str
    begin: int
    """Start of the last name before the fault."""


def _list(miss: Misread) -> _List | None:
    """The list in which the reader stopped behind a name; None where it stopped elsewhere."""
    before = max(0, len(miss.head) - _LONGEST_LIST)
    words = list(_WORD.finditer(miss.head[before:]))
    for word in reversed(words):
        kind = _KINDS.get(word[0])
        if kind is not None and not miss.head[before + word.end() :].lstrip().startswith(","):
            names = getattr(miss, kind) if kind else ()
            return _List(tuple(names), kind, before + words[-1].start())
    return None


def joined(miss: Misread) -> Hint | None:
    """A name of several words that the file declares as one, in a list or without its `in`."""
    if miss.ended or miss.start == "declaration_line":
        return None
    found = _list(miss)
    if found is not None:
        for begin in (found.begin, miss.at):
            hint = _one_name(miss, begin, found.known, found.kind)
            if hint is not None:
                return hint
    return _one_name(miss, miss.at, miss.areas, "areas", "in ") if miss.wants("IN") else None


def _one_name(
    miss: Misread, begin: int, known: Iterable[str], kind: str, lead: str = ""
) -> Hint | None:
    for end in reversed(list(_ends(miss))):
        wrong = miss.text[begin:end]
        name = declared(wrong, known) or _area_of(wrong, known, kind)
        if name is not None and name != wrong and (lead or " " in wrong or "'" in wrong):
            article = _ARTICLE_BEFORE.search(miss.text, begin)
            edit = Edit(article.start() if article else begin, end, lead + name)
            is_apart = " " in wrong and folded(wrong) == folded(name)
            message = _says_one(wrong) if is_apart else f"the area is called `{name}`"
            return Hint(message, "write {}", (edit,), end, whole=True)
    return None


def _ends(miss: Misread) -> Iterator[int]:
    """The ends of the words that may belong to the name before the fault."""
    end = miss.at
    for _ in range(_MOST_WORDS):
        match = _FURTHER.match(miss.text, end, miss.body)
        if match is None:
            return
        end = match.end()
        yield end


_CALLED = {"areas": "area", "people": "person"}
_ARTICLE_BEFORE = Pattern(r"\b(?:the|our|my) \Z")
_ARTICLE = Pattern(r"(?:the|our|my)(?= )")


def titled(miss: Misread) -> Hint | None:
    """The title of an area or of a person in place of its name: `in Living room`."""
    found = _list(miss) if not miss.ended else None
    what = _CALLED.get(found.kind) if found else None
    if found is None or what is None:
        return None
    article = _ARTICLE.match(miss.text, found.begin)
    start = miss.at if article else found.begin
    for kind, title, name in facts(miss.source).titles:
        end = start + len(title)
        is_end = end >= miss.after and not miss.text[end : end + 1].strip(', \t"#')
        if kind == what and is_end and small(miss.text[start:end]) == small(title):
            edit = Edit(found.begin, end, name)
            message = f'the {what} with the title "{title}" is called `{name}`'
            return Hint(message, "write {}", (edit,), end, whole=True)
    return None


def _area_of(words: str, known: Iterable[str], kind: str) -> str | None:
    """The area that words mean which end in `room`: `bath room` for `bath`."""
    is_room = kind == "areas" and small(words).endswith(" room")
    return declared(words[: -len(" room")], known) if is_room else None


def _says_one(wrong: str) -> str:
    return f'"{wrong}" is {len(wrong.split())} words, and a name is one'


def name_of_words(miss: Misread) -> Hint | None:
    """A name of several words in a declaration: `area living room`."""
    head = _NAMED.fullmatch(miss.head)
    if head is None or miss.start != "declaration_line" or not reads(miss.head):
        return None
    for end in ends_of_words(miss.text, miss.at, miss.body):
        wrong = miss.text[head.start("first") : end]
        name = slug(wrong)
        if not name or wrong.count(" ") > 4 or _NO_NAME.search(wrong) or not miss.word[0].islower():
            return None
        for new in _named(name, wrong):
            edit = Edit(head.start("first"), end, new)
            if reads(applied(miss.text, edit)):
                return Hint(_says_one(wrong), "write {}", (edit,), end, whole=True)
    return None


def _named(name: str, words: str) -> tuple[str, ...]:
    """A name, with a title where its words have capitals that the name has lost."""
    return (f'{name} "{words}"', name) if words[0].isupper() else (name,)


def chore_of_words(miss: Misread) -> Hint | None:
    """The name of a chore in several words: `wash up  15 min`; or behind its minutes."""
    if miss.start != "chore_line" or miss.at > miss.margin + _LONGEST_LIST:
        return None
    if miss.word[:1].isupper() and not miss.text[miss.margin].isupper():
        return None
    for pattern, find in (
        (_CHORE_NAME, _joined),
        (_NUMBERED_NAME, _numbered),
        (_MINUTES_FIRST, _turned),
    ):
        match = pattern.match(miss.text, miss.margin, miss.body)
        if match is not None and match.start() <= miss.at <= match.end():
            return find(miss, match)
    return None


def _joined(miss: Misread, match: re.Match[str]) -> Hint | None:
    wrong, gap = match["name"], match["sign"] if match["sign"].isspace() else "  "
    name = slug(wrong, 8)
    often = HOW_OFTEN(miss.text, match.end(), miss.body)
    header = below_header(often[0], miss) if often else ""
    if often is not None and header and name:
        edit = Edit(match.start(), often.end(), name)
        return _hint(_says_one(wrong), edit, match)._replace(fix="write {}" + header)
    for new in _named(name, wrong) if name else ():
        edit = Edit(match.start(), match.end(), f"{new}{gap}" if match.end() < miss.body else new)
        if gets_past(miss.text, edit):
            return _hint(_says_one(wrong), edit, match)
    return None


def _hint(message: str, edit: Edit, match: re.Match[str]) -> Hint:
    end = match.end("name")
    return Hint(message, "write {}", (edit,), end, whole=True, in_columns=True)


def _numbered(_miss: Misread, match: re.Match[str]) -> Hint | None:
    name = slug(match["name"], 8)
    edit = Edit(match.start(), match.end("name"), f"{name}-{match['n']}")
    message = f'"{match["n"]}" does not begin with a letter, as a name must'
    return _hint(message, edit, match) if name else None


def _turned(_miss: Misread, match: re.Match[str]) -> Hint | None:
    name = slug(match["name"], 8)
    edit = Edit(match.start(), match.end("name"), f"{name}  {match['long']}")
    message = "the name of a chore comes before its minutes"
    return _hint(message, edit, match) if name else None


_CHORES = Pattern(
    rf"(?P<names>{NAME}(?:(?: *, *(?:and )?| and ){NAME})+)"
    rf"(?P<rest>|(?: +(?:[0-9]|\"|{CLAUSE} )).*)\Z"
)
_JOINT = Pattern(r" *, *(?:and )?| and ")


def chores_in_a_line(miss: Misread) -> Hint | None:
    """Several chores in one line: `feed-cat, feed-dog  2 min`."""
    match = _CHORES.match(miss.text, miss.margin, miss.body)
    if match is None or miss.start != "chore_line" or miss.at >= match.end("names"):
        return None
    names = _JOINT.split(match["names"])
    if "," not in match["names"] and not all("-" in name or name in miss.chores for name in names):
        return None
    lines = [f"{miss.text[: miss.margin]}{name}{match['rest']}" for name in names]
    if not all(map(reads, lines)):
        return None
    message = f"a line is for one chore, and this one names {len(names)}"
    return a_line_each(message, lines, 4, miss.body, match.end("names"))


WITH_SOMEONE = Slip(
    "USES",
    rf"with (?P<name>{NAME}) *(?=[0-9])",
    "{first}-with-{name}  ",
    '"{first} with {name}" is 3 words, and a name is one',
    before=rf"\A *(?P<old>(?P<first>{NAME}) )",
    start="chore_line",
    touches=True,
    whole=True,
    known="people",
)
"""`read with mia  20 min`: someone in the name of a chore."""


_NOT_LISTED = frozenset((*ORDINALS, "last", "when", "if", "on", "for", "next", "this", "every"))
"""Words that are read as names, and are none in a list that lacks a comma."""


def _is_known(found: _List, name: str) -> bool:
    is_day = found.kind == "days" and _A_DAY.fullmatch(name) is not None
    return is_day or declared(name, found.known) is not None


def listed(miss: Misread) -> Hint | None:
    """A list that lacks a comma, or a name of several words that the file does not declare."""
    found = _list(miss) if Pattern(NAME).fullmatch(miss.word) else None
    if found is None or "COMMA" not in miss.expected or miss.word[0].isupper():
        return None
    previous = miss.text[found.begin : len(miss.head)]
    if miss.names_no_days or not {previous, miss.word}.isdisjoint(_NOT_LISTED):
        return None
    if found.kind == "people" and miss.start == "record_line":
        return None
    comma = Edit(len(miss.head), miss.at, ", ")
    message = f'no comma stands between "{previous}" and "{miss.word}"'
    first, second = (_is_known(found, name) for name in (previous, miss.word))
    if first and second:
        return Hint(message, "write {}", (comma,), whole=True)
    end = max(_ends(miss), default=miss.after)
    wrong = miss.text[found.begin : end]
    name = slug(wrong)
    if not name or first or second or not reads(applied(miss.text, Edit(found.begin, end, name))):
        return None
    if end > miss.after and miss.start == "record_line":
        return None
    one = Edit(found.begin, end, name)
    if end > miss.after or not reads(applied(miss.text, comma)) or found.kind == "days":
        return Hint(_says_one(wrong), "write {}", (one,), end, whole=True)
    fix = f"write {{}} for one {_ONE_OF[found.kind]}, or {{}} for two"
    return Hint(_says_one(wrong), fix, (one, comma), end, whole=True)
