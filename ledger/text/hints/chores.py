"""Near misses of chore lines: how often, who does it and where, and words that want a place."""

from __future__ import annotations

import re

from ledger.text.hints.headers import header_of
from ledger.text.hints.miss import Edit, Hint, Miss, applied, gets_past, reads
from ledger.text.hints.slips import ANY_WORD, LEAVE_OUT, Slip, next_word_fits
from ledger.text.hints.vocabulary import CLAUSE, DAY, MINUTES, NAME, Pattern, matched

_HOW_OFTEN = matched(
    rf"(?:every|each|on|weekends?|once|during|within|daily|weekly|monthly|yearly|{DAY})"
    rf"(?:[\t\x20,]+(?!{CLAUSE}[\t\x20]|[0-9]+ (?:min|h)\b)[^\s,#\"]+)*"
)
_TURN = Pattern(rf"\bby (?P<first>{NAME})(?P<more>(?: (?:or|then) {NAME})*)\Z")
_PARTS = Pattern(r"(?:, *(?:and|then|or)?\b|and\b|&|\+|/|with\b|then\b|or\b)")
_REST_OF_EACH = Pattern(rf"(?: *(?:,|and|or|then|&)? *(?!{CLAUSE}[\t\x20]){NAME})+")
_JOINS = Pattern(r"(?:and\b|or\b|&|\+|/|plus\b|(?P<with>with\b))")
_COMMA_BEFORE = Pattern(rf", *(?:(?P<word>{NAME}) )?\Z")
_LAST_NAME = Pattern(rf"({NAME})\Z")
_EACH = "`each` is everyone already"


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


IN_HEADER = Slip(
    "DURING",
    rf"(?:in|by|uses) {NAME}(?: *(?:,|or|then) *{NAME})*|{MINUTES}",
    "",
    '"{said}" is for the lines of the chores below',
    "leave it out here: {}, and write it on the line of each chore",
    joins=True,
    whole=True,
)
"""A clause of a chore in the header of a section."""

BEFORE = Slip(
    "USES",
    rf"before (?P<other>{NAME})",
    "",
    "a book says which chore comes after, not which comes before",
    "write `after {name}` on the line of {other}, and leave this out: {}",
    before=r"\A *(?P<name>\S+).*",
    joins=True,
    whole=True,
)

ARTICLE = Slip(
    "",
    ANY_WORD,
    "",
    '"{article}" is read as a name here',
    LEAVE_OUT,
    before=r"[^\s] *(?P<old>\b(?P<article>the|a|an|our|my) )",
    adds=True,
    whole=True,
    check=next_word_fits,
)
"""`in the kitchen`: an article where a name must stand."""

EACH_AND_NAMES = Slip(
    "",
    "each",
    "",
    _EACH,
    "leave the names out: {}",
    before=rf"\bby (?P<old>(?:{NAME} (?:or|then) )+)",
    adds=True,
    whole=True,
)
"""`by noor or each`: a person and everyone."""

AND_BEHIND_COMMA = Slip(
    "",
    ANY_WORD,
    "",
    '"{and_word}" is read as a name here',
    LEAVE_OUT,
    before=r", *(?P<old>(?P<and_word>and|or) )",
    adds=True,
    whole=True,
)

COMMA = (
    Slip("", ",", "", "no list goes on behind this comma", LEAVE_OUT, touches=True, whole=True),
    Slip("", None, "", "a list ends in a comma", LEAVE_OUT, before="(?P<old>, *)", whole=True),
)


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
    name = _REST_OF_EACH.match(miss.text, end, miss.body)
    last = name.end() if name else end
    edit = Edit(len(miss.head), last, "")
    return Hint(_EACH, "leave the rest out: {}", (edit,), last, whole=True)


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
    """`and` or the like where a list has a comma."""
    found = _JOINS.match(miss.rest)
    if found is None or "COMMA" not in miss.expected or (found["with"] and miss.wants("BY")):
        return None
    end = miss.at + found.end()
    edit = Edit(len(miss.head), end, "," if miss.text[end : end + 1] in " \t" else ", ")
    message = f'a list has a comma where this says "{found[0]}"'
    return Hint(message, "write {}", (edit,), end, whole=True)


def comma_before_clause(miss: Miss) -> Hint | None:
    """A comma before a clause."""
    found = _COMMA_BEFORE.search(miss.text, miss.at)
    if found is None:
        return None
    edit = Edit(found.start(), found.start() + 1, "")
    past = Edit(found.start(), miss.after, applied(miss.text, edit)[found.start() : miss.after - 1])
    if not gets_past(miss.text, past) and not reads(applied(miss.text, edit)):
        return None
    message = f"a comma stands before `{found['word'] or miss.word}`"
    return Hint(message, LEAVE_OUT, (edit,), whole=True)


def missing_word(miss: Miss) -> Hint | None:
    """A name of an area or a person without its `in` or `by`, or a list without its comma."""
    word, previous = miss.word, _LAST_NAME.search(miss.head)
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
