"""Near misses of the record: what was done, skipped or moved, in other words or another order."""

from __future__ import annotations

import re

from ledger.text.hints.doings import VERB, VERB_OF
from ledger.text.hints.misread import Hint, Misread, a_line_each
from ledger.text.hints.people import ALL
from ledger.text.hints.reading import Edit, applied, reads
from ledger.text.hints.slips import (
    LEAVE_OUT,
    SAYS,
    TO_THE_END,
    Slip,
    line_reads,
)
from ledger.text.hints.vocabulary import (
    DATE,
    FLAGS,
    MINUTES,
    NAME,
    NAMES,
    TIME,
    TITLE,
    Pattern,
    small,
)
from ledger.text.near import nearest

_DATELESS = Pattern(
    r"(?:(?:today|yesterday|tonight|this morning|(?:on )?[a-z]+day)[\t\x20,:]+)*"
    rf"(?:(?P<who>{NAME}) )??(?P<verb>{VERB}) (?P<rest>.+)\Z",
    re.IGNORECASE,
)
_SOMEONE = Pattern(
    rf"(?P<who>{NAME}) (?P<verb>{VERB}) (?P<rest>[^\"#]+)(?P<note>\".*)?\Z", re.IGNORECASE
)
_VERB_LAST = Pattern(
    rf"(?P<names>{NAMES}) (?P<verb>{VERB})(?P<rest>(?:[\t\x20].*)?)\Z", re.IGNORECASE
)
_DATE_WITHIN = Pattern(rf"(?:(?:on|at) )?(?P<date>{DATE})(?![^\s,:])[,:]?")
_NOTE = Pattern(rf" *(?:{TITLE})?\Z")
_MOVED = Pattern(rf"(?P<head>{DATE} moved) (?P<names>{NAMES}) (?P<rest>.+)\Z")
_COMMA = Pattern(" *, *")
_EXCUSED = rf"\A{DATE} (?P<verb>skipped|moved) .*"
_NO_TIMES = "a book has dates and no times"


def moved_chores(miss: Misread) -> Hint | None:
    """Several chores in one line that moves them."""
    several = _MOVED.match(miss.text, 0, miss.body)
    if not miss.wants("TO") or miss.word != "," or several is None:
        return None
    names = _COMMA.split(several["names"])
    lines = [f"{several['head']} {name} {several['rest']}" for name in names]
    message = f"a line moves one chore, and this one names {len(names)}"
    return a_line_each(message, lines, 6, miss.body, 0)


MOVED = (
    moved_chores,
    Slip(
        "TITLE",
        rf"(?:,|and|or|&) *{DATE}.*",
        "",
        "a line moves a chore to one day",
        "leave the other out: {}",
        before=rf"\A{DATE} moved {NAME} to {DATE} *",
        touches=True,
        joins=True,
        whole=True,
    ),
    Slip(
        "TO",
        rf"from (?P<day>{DATE})(?= to[\t\x20])",
        "{day} {rest}",
        "the day it is moved from is the date of the line",
        before=rf"\A(?P<old>{DATE} (?P<rest>moved.*?) *)",
        whole=True,
    ),
    Slip(
        "TO",
        r"(?:on|until|till|for|onto|at|by|in|towards?|->|→|-|–|:)(?= *[0-9])",
        "to",
        SAYS,
        start="record_line",
    ),
    Slip(
        "TO",
        None,
        " to {date}",
        "the line does not say to which day",
        "write it, such as {}",
        start="record_line",
        whole=True,
        is_example=True,
    ),
    Slip(
        "TO",
        rf"{DATE}\S*",
        "to ",
        "the line does not say `to` before the day",
        start="record_line",
        adds=True,
        whole=True,
    ),
)
"""`moved NAME on DATE`, `moved NAME from DATE to DATE`, no `to`, several chores."""

TIMES = (
    Slip("", TIME, "", _NO_TIMES, LEAVE_OUT, before=rf"{DATE} *", joins=True, whole=True),
    Slip("TITLE", TIME, "", _NO_TIMES, LEAVE_OUT, start="record_line", joins=True, whole=True),
)
"""A time of day after a date, or after a chore."""

NO_COMMA = Slip(
    "DID MOVED", ",", "", "no comma follows the date", LEAVE_OUT, touches=True, whole=True
)


def _minutes(time: str) -> str:
    return f"{time} min" if time.isdecimal() else time


ORDER = (
    Slip(
        "",
        rf"{MINUTES}|[0-9]{{1,3}}",
        lambda words: f" {_minutes(words['wrong'])}{words['old']}",
        "the minutes come before `by`",
        before=rf"(?P<old> by {NAMES}) *",
        start="record_line",
        whole=True,
    ),
    Slip(
        "INT",
        rf"(?P<by>by {NAMES}) (?P<time>{MINUTES}|[0-9]{{1,3}})",
        lambda words: f"{_minutes(words['time'])} {words['by']}",
        "the minutes come before `by`",
        start="record_line",
        whole=True,
    ),
    Slip(
        "",
        TO_THE_END,
        " {wrong}{old}",
        "the note comes last",
        before=rf"(?P<old> {TITLE}) *",
        start="record_line",
        whole=True,
    ),
)
"""Minutes after `by`, or `by` after the note."""

SKIPPED = (
    Slip(
        "",
        rf"(?:until|till|to|for|on) (?P<day>{DATE})",
        "moved {names} to {day}",
        "what is put off to another day is `moved`, not `skipped`",
        before=rf"\A{DATE} (?P<old>skipped (?P<names>[^,]*?) *)",
        whole=True,
    ),
    *(
        Slip(
            "",
            wrong,
            "",
            f"what was {{verb}} has no {what}",
            "leave that out: {}",
            before=_EXCUSED,
            joins=True,
            whole=True,
        )
        for wrong, what in ((MINUTES, "minutes"), (f"by {NAMES}", "people"))
    ),
)
"""`skipped NAME until DATE`; minutes or people of what was skipped."""

NO_VERB = Slip(
    "DID MOVED",
    rf"(?P<name>{NAME})",
    "did ",
    'the line does not say what became of "{name}"',
    "write {} if it was done",
    adds=True,
    whole=True,
    check=line_reads,
)
"""A date and a chore without a verb."""


def verb(miss: Misread) -> Hint | None:
    """Another word for a verb of the record, or another order around it."""
    if not miss.wants("DID", "MOVED"):
        return None
    ordered = _reordered(miss)
    right = VERB_OF.get(miss.word.casefold())
    is_flag = miss.word in FLAGS
    near = right or (None if is_flag else VERB_OF.get(nearest(miss.word, VERB_OF) or ""))
    if near is None:
        return ordered
    edit = miss.rewrite(near)
    if ordered is not None and not reads(applied(miss.text, edit)):
        return ordered
    if right is not None:
        return Hint(f'a book says `{right}`, not "{miss.word}"', "write {}", (edit,))
    return Hint(f'"{miss.word}" is no word of the book here', "write {}, the closest", (edit,))


def _reordered(miss: Misread) -> Hint | None:
    """A person before the verb, or the verb after what was done."""
    someone, last = _SOMEONE.match(miss.rest), _VERB_LAST.match(miss.rest)
    new = ""
    if someone is not None:
        right = VERB_OF[small(someone["verb"])]
        names = ", ".join(miss.people) if small(someone["who"]) in ALL else someone["who"]
        by = f" by {names}" if right in ("did", "worked") and names else ""
        new = f"{right} {someone['rest'].strip()}{by} {someone['note'] or ''}".rstrip()
        new = new if reads(applied(miss.text, Edit(miss.at, miss.body, new))) else ""
    if not new and last is not None:
        right = VERB_OF[small(last["verb"])]
        new = f"{right} {last['names']}{last['rest']}"
    if not new:
        return None
    edit = Edit(miss.at, miss.body, new)
    message = f"`{right}` comes right behind the date"
    if someone is not None and small(someone["who"]) in ALL and miss.people:
        message = "the record names the people who did it, each of them"
    return Hint(message, "write {}", (edit,), miss.body, whole=True)


def no_date_first(miss: Misread) -> Hint | None:
    """A verb of the record at the margin: the date is missing or misplaced."""
    if not miss.wants("HOUSEHOLD", "EVERY"):
        return None
    match = _DATELESS.match(miss.rest)
    if match is None or (match["who"] and match["who"].casefold() in ("every", "since")):
        return None
    right, rest = VERB_OF[small(match["verb"])], match["rest"]
    if re.fullmatch(DATE, rest):
        return None
    if match["who"] and match["who"] not in ("i", "I", "we", "We"):
        note = _NOTE.search(rest)
        cut = note.start() if note else len(rest)
        rest = f"{rest[:cut]} by {match['who']}{rest[cut:]}"
    for dated in _DATE_WITHIN.finditer(rest):
        around = f"{rest[: dated.start()].rstrip()} {rest[dated.end() :].lstrip()}".strip()
        edit = Edit(miss.at, miss.body, f"{dated['date']} {right} {around}")
        if reads(applied(miss.text, edit)):
            message = "the date of a line of the record comes first"
            return Hint(message, "write {}", (edit,), miss.body, whole=True)
    edit = Edit(miss.at, miss.body, f"{miss.date} {right} {rest}")
    if not reads(applied(miss.text, edit)):
        edit = Edit(miss.at, miss.at + match.start("rest"), f"{miss.date} {right} ")
    message = "a line of the record begins with its date"
    fix = "write its date first, such as {}"
    return Hint(message, fix, (edit,), whole=True, is_example=True)
