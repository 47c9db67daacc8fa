"""Near misses of chore lines: how often, who does it and where, and words that want a place."""

from __future__ import annotations

import re

from ledger.text.hints.headers import DAY, header_of
from ledger.text.hints.miss import (
    NAME,
    Edit,
    Hint,
    Miss,
    Pattern,
    applied,
    gets_past,
    matched,
    reads,
)

CLAUSE = r"(?:in|by|uses|after|from|until|paused)"
_HOW_OFTEN = matched(
    rf"(?:every|each|on|weekends?|once|during|within|daily|weekly|monthly|yearly|{DAY})"
    rf"(?:[ \t,]+(?!{CLAUSE}[ \t]|[0-9]+[ \t]+(?:min|h)\b)[^\s,#\"]+)*"
)
_TURN = Pattern(rf"\bby[ \t]+(?P<first>{NAME})(?P<more>(?:[ \t]+(?:or|then)[ \t]+{NAME})*)\Z")
_PARTS = Pattern(r"(?:,[ \t]*(?:and|then|or)?\b|and\b|&|\+|/|with\b|then\b|or\b)")
_ARTICLE = Pattern(r"\b(?:the|a|an|our|my)[ \t]+\Z", re.IGNORECASE)
_ON_A_CHORE = matched(
    rf"(?P<said>(?:in|by|uses)[ \t]+{NAME}(?:[ \t]*(?:,|or|then)[ \t]*{NAME})*"
    r"|[0-9]{1,4}[ \t]+(?:min|h)(?:[ \t]+[0-9]{1,2}[ \t]+min)?)"
)


def how_often(miss: Miss) -> Hint | None:
    """A cadence, or a clause of a header, in the line of a chore."""
    if not miss.wants("USES") or miss.ended:
        return None
    found = _HOW_OFTEN(miss.text, miss.at, miss.body)
    if found is None:
        return None
    said = found[0]
    edit = Edit(len(miss.head), found.end(), "")
    fix, header = "leave it out here: {}", header_of(said, miss.date)
    if header is not None:
        fix += f", and put the chore below a header `{header}`"
    elif said.startswith(("within ", "during ")):
        fix += f", and write `{said}` in the header above"
    message = f'"{said}" says how often, which is for the header above'
    return Hint(message, fix, (edit,), found.end(), whole=True)


def chore_in_header(miss: Miss) -> Hint | None:
    """A clause of a chore in the header of a section."""
    if not miss.wants("DURING") or miss.ended:
        return None
    found = _ON_A_CHORE(miss.text, miss.at, miss.body)
    if found is None:
        return None
    edit = Edit(len(miss.head), found.end(), "")
    message = f'"{found[0]}" is for the lines of the chores below'
    fix = "leave it out here: {}, and write it on the line of each chore"
    return Hint(message, fix, (edit,), found.end(), whole=True)


def before(miss: Miss) -> Hint | None:
    """`before`: a book says the same on the line of the other chore."""
    found = matched(rf"before[ \t]+(?P<other>{NAME})")(miss.text, miss.at, miss.body)
    if found is None or not miss.wants("USES"):
        return None
    name = miss.text[miss.margin :].split()[0]
    edit = Edit(len(miss.head), found.end(), "")
    fix = f"write `after {name}` on the line of {found['other']}, and leave this out: {{}}"
    message = "a book says which chore comes after, not which comes before"
    return Hint(message, fix, (edit,), found.end(), whole=True)


def people(miss: Miss) -> Hint | None:
    """People with a comma, `and` or both words between them."""
    turn = _TURN.search(miss.head)
    found = _PARTS.match(miss.rest)
    if not miss.wants("USES") or turn is None or found is None:
        return None
    said, end = found[0].strip(), miss.at + len(found[0].rstrip())
    if turn["first"] == "each":
        return _rest_of_each(miss, end)
    gap = "" if miss.text[miss.at - 1] in " \t" else " "
    after = "" if miss.text[end : end + 1] in (" ", "\t") else " "
    used = re.search(r"\b(or|then)\b", turn["more"])
    if used is not None:
        edit = Edit(miss.at, end, f"{gap}{used[1]}{after}")
        message = f'`{used[1]}` and "{said}" cannot both part the people of a chore'
        return Hint(message, "write {}", (edit,), end, whole=True)
    edits = tuple(Edit(miss.at, end, f"{gap}{word}{after}") for word in ("or", "then"))
    message = f'"{said}" does not say whose turn it is'
    return Hint(message, "write {} if either will do, or {} for turns", edits, end, whole=True)


def _rest_of_each(miss: Miss, end: int) -> Hint:
    rest = re.compile(rf"(?:[ \t]*(?:,|and|or|then|&)?[ \t]*(?!{CLAUSE}[ \t]){NAME})+")
    name = rest.match(miss.text, end, miss.body)
    last = name.end() if name else end
    edit = Edit(len(miss.head), last, "")
    return Hint("`each` is everyone already", "leave the rest out: {}", (edit,), last, whole=True)


def each_and_names(miss: Miss) -> Hint | None:
    """`by noor or each`: a person and everyone."""
    names = rf"(?P<by>\bby[ \t]+)(?:{NAME}[ \t]+(?:or|then)[ \t]+)+\Z"
    found = re.search(names, miss.text[: miss.at])
    if found is None or miss.word != "each":
        return None
    edit = Edit(found.end("by"), miss.at, "")
    return Hint("`each` is everyone already", "leave the names out: {}", (edit,), whole=True)


def reserved(miss: Miss) -> Hint | None:
    """A day, `weekday`, `weekend` or `each` where a person must be named."""
    if "NAME" not in miss.expected or "DAY" in miss.expected:
        return None
    if miss.stop.token.kind not in ("DAY", "WEEKDAY", "WEEKEND", "EACH"):
        return None
    means = "everyone" if miss.word == "each" else "days"
    message = f"`{miss.word}` means {means}, so nobody can be called that"
    fix = "write another name, such as {}"
    return Hint(message, fix, (miss.rewrite(miss.word.capitalize()),), is_example=True)


def and_in_list(miss: Miss) -> Hint | None:
    """`and` or the like where a list has a comma, or behind that comma."""
    found = re.match(r"(?:and\b|or\b|&|\+|/|plus\b|(?P<with>with\b))", miss.rest)
    if found is not None and found["with"] and miss.wants("BY"):
        return None
    if "COMMA" in miss.expected and found is not None:
        end = miss.at + found.end()
        edit = Edit(len(miss.head), end, "," if miss.text[end : end + 1] in " \t" else ", ")
        message = f'a list has a comma where this says "{found[0]}"'
        return Hint(message, "write {}", (edit,), end, whole=True)
    behind = re.search(r",[ \t]*(?P<word>(?:and|or)[ \t]+)\Z", miss.text[: miss.at])
    if behind is None or miss.ended:
        return None
    edit = Edit(behind.start("word"), miss.at, "")
    message = f'"{behind["word"].strip()}" is read as a name here'
    return Hint(message, "leave it out: {}", (edit,), whole=True)


def comma(miss: Miss) -> Hint | None:
    """A comma before a clause, or at the end of a list."""
    if miss.word == ",":
        edit = miss.rewrite("")
        return Hint("no list goes on behind this comma", "leave it out: {}", (edit,), whole=True)
    found = re.search(rf",[ \t]*(?:(?P<word>{NAME})[ \t]+)?\Z", miss.text[: miss.at])
    if found is None:
        return None
    if miss.ended:
        end = Edit(found.start(), miss.body, "")
        return Hint("a list ends in a comma", "leave it out: {}", (end,), whole=True)
    edit = Edit(found.start(), found.start() + 1, "")
    past = Edit(found.start(), miss.after, applied(miss.text, edit)[found.start() : miss.after - 1])
    if not gets_past(miss.text, past) and not reads(applied(miss.text, edit)):
        return None
    message = f"a comma stands before `{found['word'] or miss.word}`"
    return Hint(message, "leave it out: {}", (edit,), whole=True)


def article(miss: Miss) -> Hint | None:
    """`in the kitchen`: an article where a name must stand."""
    found = _ARTICLE.search(miss.text[: miss.at])
    if found is None or miss.ended or found.start() <= miss.margin:
        return None
    edit = Edit(found.start(), miss.at, "")
    if not gets_past(miss.text, Edit(found.start(), miss.after, miss.word)):
        return None
    message = f'"{found[0].strip()}" is read as a name here'
    return Hint(message, "leave it out: {}", (edit,), whole=True)


def missing_word(miss: Miss) -> Hint | None:
    """A name of an area or a person without its `in` or `by`, or a list without its comma."""
    word, previous = miss.word, re.search(rf"({NAME})\Z", miss.head)
    if miss.ended or not word[:1].isalpha():
        return None
    for known, keyword in ((miss.areas, "IN"), (frozenset(miss.people), "BY")):
        if word not in known:
            continue
        if "COMMA" in miss.expected and previous is not None and previous[1] in known:
            comma = Edit(len(miss.head), miss.at, ", ")
            message = f'no comma stands between "{previous[1]}" and "{word}"'
            return Hint(message, "write {}", (comma,), whole=True)
        if miss.wants(keyword):
            edit = Edit(miss.at, miss.at, f"{keyword.lower()} ")
            message = f'`{keyword.lower()}` is missing before "{word}"'
            return Hint(message, "write {}", (edit,), whole=True)
    return None
