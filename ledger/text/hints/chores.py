"""Near misses of chore lines: how often, who does it and where, and misplaced words."""

from __future__ import annotations

import re

from ledger.text.hints.headers import header_of
from ledger.text.hints.misread import Hint, Line, Misread
from ledger.text.hints.reading import Edit
from ledger.text.hints.slips import ANY_WORD, LEAVE_OUT, SAYS, Slip, Words, next_word_fits
from ledger.text.hints.vocabulary import (
    AND,
    CLAUSE,
    DATE,
    DAY,
    MINUTES,
    MONTH,
    NAME,
    THROUGH,
    TITLE,
    UNIT,
    WORD_END,
    Pattern,
    any_of,
    days_in,
    matched,
    month_name,
    small,
)
from ledger.text.values import DAY_NUMBERS, DAYS, MONTH_NUMBERS

HOW_OFTEN = matched(
    rf"(?:every|each|on|weekends?|once|within|daily|weekly|monthly|yearly|{DAY})"
    rf"(?:[\t\x20,]+(?!{CLAUSE}{WORD_END}|[0-9]+ {UNIT})[^\s,#\"]+)*"
)
_DAYS = rf"{any_of(DAY_NUMBERS)}|weekday|weekend"


def how_often(miss: Misread) -> Hint | None:
    """A cadence, or a clause of a header, in the line of a chore."""
    if not miss.wants("USES") or miss.ended:
        return None
    match = HOW_OFTEN(miss.text, miss.at, miss.body)
    if match is None:
        return None
    wrong, end = match[0], match.end()
    header = below_header(wrong, miss)
    if not header and any(name in wrong.replace(",", " ").split() for name in miss.people):
        message = f'"{wrong}" says who does it on which day'
        fix = "write the chore below a header for each of these days, with the one who does it"
        return Hint(message, fix, end=end)
    edit = Edit(len(miss.head), end, "")
    fix = "leave it out here: {}" + header
    if not header and wrong.startswith("within "):
        fix += f", and write `{wrong}` in the header above"
    message = f'"{wrong}" says how often, which is for the header above'
    return Hint(message, fix, (edit,), end, whole=True)


def below_header(words: str, line: Line) -> str:
    """What a fix adds where some words say how often: the header that they mean; else nothing."""
    header = header_of(words, line)
    return f", and put the chore below a header `{header}`" if header is not None else ""


IN_HEADER = Slip(
    "WITHIN DURING",
    rf"(?:in|by|uses) (?:each of )?{NAME}(?: *(?:,|or|then|and) *{NAME})*|{MINUTES}",
    "",
    '"{wrong}" is for the lines of the chores below',
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
"""`in the kitchen`: an article before a name."""

AND_IN_LIST = (
    *(
        Slip(
            "COMMA",
            wrong,
            new,
            'a list has a comma where this says "{wrong}"',
            unless=unless,
            touches=touches,
            joins=True,
            whole=True,
        )
        for wrong, new, unless, touches in (
            (r"and|or|plus|&|\+|/", ",", "", False),
            ("with", ",", "BY", False),
            (r"&|\+|/", ", ", "", True),
        )
    ),
    Slip(
        "",
        ANY_WORD,
        "",
        '"{and_word}" is read as a name here',
        LEAVE_OUT,
        before=r", *(?P<old>(?P<and_word>and|or) )",
        adds=True,
        whole=True,
    ),
)
"""`and` or the like instead of a comma in a list, or after the comma."""

COMMA = (
    Slip("", ",", "", "no list goes on behind this comma", LEAVE_OUT, touches=True, whole=True),
    Slip("", None, "", "a list ends in a comma", LEAVE_OUT, before="(?P<old>, *)", whole=True),
    *(
        Slip(
            "",
            rf"{TITLE}|{ANY_WORD}",
            "{gap}",
            message,
            LEAVE_OUT,
            before=before,
            adds=True,
            whole=True,
            check=next_word_fits,
        )
        for before, message in (
            (rf"(?P<old>,(?P<gap> *(?P<word>{NAME}) ))", "a comma stands before `{word}`"),
            (r"(?P<old>,(?P<gap> *))", "a comma stands before `{wrong}`"),
        )
    ),
)
"""A comma before a clause, or at the end of a list."""

EACH_OF = Slip(
    "BY",
    rf"(?:each|everyone|both|either) (?:(?:of|the) )*(?P<name>{NAME})",
    "by ",
    '`by` is missing before "{wrong}"',
    adds=True,
    whole=True,
    known="people",
)
"""`each of mia, leo` without `by`."""

MISSING_WORD = (
    Slip(
        "COMMA",
        rf"(?P<name>{NAME})",
        ", ",
        'no comma stands between "{previous}" and "{name}"',
        before=rf"(?P<previous>{NAME}) *",
        joins=True,
        adds=True,
        whole=True,
        known="areas",
    ),
    *(
        Slip(
            word.upper(),
            rf"(?P<name>{NAME})",
            f"{word} ",
            f'`{word}` is missing before "{{name}}"',
            adds=True,
            before=rf"(?<!\b{word}[\t\x20])",
            whole=True,
            known=known,
        )
        for known, word in (("areas", "in"), ("people", "by"))
    ),
)
"""The name of an area or a person without `in` or `by`, or a list without its comma."""


def _capital(words: Words) -> str:
    return words["wrong"].capitalize()


_MONTHS = Pattern(rf"\b{MONTH}\b", re.IGNORECASE).findall


def _during(words: Words) -> str:
    months = [month_name(one) for one in _MONTHS(words["days"])]
    days = months or days_in(words["days"])
    if days == list(DAYS[:5]):
        return "during weekday"
    return f"during {', '.join(days) or small(words['days']).removesuffix('s')}"


DAYS_OF_A_CHORE = (
    Slip(
        "DATE",
        rf"(?P<days>{DAY}{THROUGH}{DAY})",
        _during,
        'a book says `{new}`, not "{old}{wrong}"',
        before=r"\b(?P<old>from )",
        start="chore_line",
    ),
    Slip(
        "DURING",
        rf"(?:on |in )?(?P<days>{DAY}(?:{AND}{DAY}){{0,6}}|{MONTH}(?:{AND}{MONTH}){{0,6}}|weekdays?"
        r"|weekends?) only",
        _during,
        SAYS,
        start="chore_line",
    ),
    Slip(
        "UNTIL",
        rf"(?:to|until|till|through|-|–) *(?P<b>{DATE})",
        "except days-off",
        "what is paused for some days has their name behind `except`",
        "name the days by a line such as `days days-off {a} to {b}`, and write {}",
        before=rf"(?P<old>\bpaused (?:from )?(?P<a>{DATE}) *)",
        whole=True,
        is_example=True,
    ),
    Slip(
        "NAME",
        r"(?P<n>[0-9]+) days?",
        "",
        "how long a window is stands behind `within`, in the header",
        "leave it out here: {}, and write `within {n} days` in the header above",
        before=r"\bexpires(?P<old> (?:after|in|within)) *",
        start="chore_line",
        whole=True,
    ),
)
"""Days on which a chore is in force, or is not, in other words than `during` and `except`."""

BY_A_DAY = tuple(
    Slip(
        "NAME",
        rf"(?:the )?(?P<day>{day})",
        "",
        '"{old}{wrong}" is for the header above, which says when',
        f"leave it out here: {{}}, and put the chore below a header such as `{header}`",
        before=r"\b(?P<old>by )",
        start="chore_line",
        whole=True,
    )
    for day, header in ((DATE, "once from {date} to {day}"), (f"{DAY}|weekend", "every {wrong}"))
)
"""A day by which a chore is to be done."""

RESERVED = tuple(
    Slip(
        "NAME",
        wrong,
        new,
        f"`{{wrong}}` means {means} can be called that",
        "write another name, such as {}",
        before=before,
        unless="DAY",
        is_example=True,
    )
    for before, wrong, new, means in (
        (
            r"\Adays ",
            rf"{_DAYS}|{any_of(MONTH_NUMBERS)}",
            "{wrong}-days",
            "days already, so no others",
        ),
        ("", _DAYS, _capital, "days, so nobody"),
        ("", "each", _capital, "everyone, so nobody"),
    )
)
"""A day, `weekday`, `weekend` or `each` in place of the name of a person or of named days."""
