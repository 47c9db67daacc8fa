"""Near misses of the record: what was done, skipped or moved, in other words or another order."""

from __future__ import annotations

import re

from ledger.text.hints.miss import (
    NAME,
    Edit,
    Hint,
    Miss,
    Pattern,
    a_line_each,
    applied,
    matched,
    reads,
)
from ledger.text.near import nearest

_VERBS = {
    "did": "done do does doing finished finish completed complete made ok",
    "skipped": "skip skips missed miss cancelled canceled cancel dropped omitted excused",
    "moved": "move moves postponed postpone delayed shifted rescheduled deferred pushed",
}
_VERB_OF = {word: verb for verb, words in _VERBS.items() for word in (verb, *words.split())}
_VERB = "|".join(sorted(_VERB_OF, key=len, reverse=True))
_DATE = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
_NAMES = rf"{NAME}(?:[ \t]*,[ \t]*{NAME})*"
_MINUTES = r"[0-9]{1,4}[ \t]+(?:min|h)(?:[ \t]+[0-9]{1,2}[ \t]+min)?(?![^\s,#])"
_DATELESS = Pattern(
    r"(?:(?:today|yesterday|tonight|this[ \t]+morning|(?:on[ \t]+)?[a-z]+day)[ \t,:]+)*"
    rf"(?:(?P<who>{NAME})[ \t]+)??(?P<verb>{_VERB})[ \t]+(?P<rest>.+)\Z",
    re.IGNORECASE,
)
_SOMEONE = Pattern(
    rf"(?P<who>{NAME})[ \t]+(?P<verb>{_VERB})[ \t]+(?P<rest>[^\"#]+)(?P<note>\".*)?\Z",
    re.IGNORECASE,
)
_VERB_LAST = Pattern(
    rf"(?P<names>{_NAMES})[ \t]+(?P<verb>{_VERB})(?P<rest>(?:[ \t].*)?)\Z", re.IGNORECASE
)
_TIME = matched(r"(?:at[ \t]+)?[0-9]{1,2}[:.][0-9]{2}(?::[0-9]{2})?(?:[ \t]*[ap]m)?")
_ANOTHER_TO = Pattern(r"(?:on|until|till|for|onto|at|by|in|towards?|->|→|-|–|:)(?=[ \t]*[0-9])")


def verb(miss: Miss) -> Hint | None:
    """Another word for `did`, `skipped` or `moved`, or another order around it."""
    if not miss.wants("DID", "MOVED"):
        return None
    if miss.word == ",":
        message = "no comma follows the date"
        return Hint(message, "leave it out: {}", (miss.rewrite(""),), whole=True)
    ordered = _reordered(miss)
    right = _VERB_OF.get(miss.word.casefold())
    near = right or _VERB_OF.get(nearest(miss.word, _VERB_OF) or "")
    if near is None:
        return ordered
    edit = miss.rewrite(near)
    if ordered is not None and not reads(applied(miss.text, edit)):
        return ordered
    if right is not None:
        return Hint(f'a book says `{right}`, not "{miss.word}"', "write {}", (edit,))
    return Hint(f'"{miss.word}" is no word of the book here', "write {}, the closest", (edit,))


def _reordered(miss: Miss) -> Hint | None:
    """A person before the verb, or the verb behind what was done."""
    someone, last = _SOMEONE.match(miss.rest), _VERB_LAST.match(miss.rest)
    new = ""
    if someone is not None:
        right = _VERB_OF[someone["verb"].lower()]
        by = f" by {someone['who']}" if right == "did" else ""
        new = f"{right} {someone['rest'].strip()}{by} {someone['note'] or ''}".rstrip()
        new = new if reads(applied(miss.text, Edit(miss.at, miss.body, new))) else ""
    if not new and last is not None:
        right = _VERB_OF[last["verb"].lower()]
        new = f"{right} {last['names']}{last['rest']}"
    if not new:
        return None
    edit = Edit(miss.at, miss.body, new)
    message = f"`{right}` comes right behind the date"
    return Hint(message, "write {}", (edit,), miss.body, whole=True)


def no_verb(miss: Miss) -> Hint | None:
    """A date and a chore, and nothing said of it."""
    if not miss.wants("DID", "MOVED") or miss.ended or not miss.word[0].isalpha():
        return None
    edit = Edit(miss.at, miss.at, "did ")
    if not reads(applied(miss.text, edit)):
        return None
    message = f'the line does not say what became of "{miss.word}"'
    return Hint(message, "write {} if it was done", (edit,), whole=True)


def no_date_first(miss: Miss) -> Hint | None:
    """`did`, `skipped` or `moved` at the margin: the date is missing, or stands elsewhere."""
    if not miss.wants("HOUSEHOLD", "EVERY"):
        return None
    found = _DATELESS.match(miss.rest)
    if found is None or (found["who"] and found["who"].casefold() in ("every", "since")):
        return None
    right, rest = _VERB_OF[found["verb"].lower()], found["rest"]
    if found["who"] and found["who"] not in ("i", "I", "we", "We"):
        note = re.search(r'[ \t]*(?:"(?:[^"\\]|\\.)*")?\Z', rest)
        cut = note.start() if note else len(rest)
        rest = f"{rest[:cut]} by {found['who']}{rest[cut:]}"
    for dated in re.finditer(rf"(?:(?:on|at)[ \t]+)?(?P<date>{_DATE})(?![^\s,:])[,:]?", rest):
        around = f"{rest[: dated.start()].rstrip()} {rest[dated.end() :].lstrip()}".strip()
        edit = Edit(miss.at, miss.body, f"{dated['date']} {right} {around}")
        if reads(applied(miss.text, edit)):
            message = "the date of a line of the record comes first"
            return Hint(message, "write {}", (edit,), miss.body, whole=True)
    edit = Edit(miss.at, miss.body, f"{miss.date} {right} {rest}")
    if not reads(applied(miss.text, edit)):
        edit = Edit(miss.at, miss.at + found.start("rest"), f"{miss.date} {right} ")
    message = "a line of the record begins with its date"
    fix = "write its date first, such as {}"
    return Hint(message, fix, (edit,), whole=True, is_example=True)


def time_in_record(miss: Miss) -> Hint | None:
    """A time of day behind a chore."""
    if miss.start != "record_line" or not miss.wants("TITLE"):
        return None
    time = _TIME(miss.text, miss.at, miss.body)
    if time is None:
        return None
    edit = Edit(len(miss.head), time.end(), "")
    message = "a book has dates and no times"
    return Hint(message, "leave it out: {}", (edit,), time.end(), whole=True)


def people(miss: Miss) -> Hint | None:
    """`by noor or tam`, `by each` in the record."""
    if miss.start != "record_line":
        return None
    named = re.search(rf"[ \t]by[ \t]+{_NAMES}\Z", miss.head)
    other = re.match(rf"(?P<word>or|then)[ \t]+{NAME}", miss.rest)
    if named is not None and other is not None:
        one = Edit(len(miss.head), miss.at + other.end(), "")
        both = Edit(len(miss.head), miss.after, ",")
        message = f"the record says who did it, and `{other['word']}` leaves that open"
        return Hint(
            message, "write {} for both, or {} for one", (both, one), miss.after, whole=True
        )
    if miss.word.casefold() != "each" or not re.search(r"\bby\Z", miss.head):
        return None
    message = "the record names the people who did it, each of them"
    everyone = ", ".join(miss.people or ("noor", "tam"))
    fix = "write {}" if miss.people else "write their names, such as {}"
    return Hint(message, fix, (miss.rewrite(everyone),), is_example=not miss.people)


def order(miss: Miss) -> Hint | None:
    """Minutes behind `by`, or `by` behind the note."""
    if miss.start != "record_line" or miss.ended:
        return None
    by = re.search(rf"[ \t]+by[ \t]+{_NAMES}\Z", miss.head)
    minutes = re.match(_MINUTES, miss.rest)
    if by is not None and minutes is not None:
        end = miss.at + minutes.end()
        edit = Edit(by.start(), end, f" {minutes[0]}{by[0]}")
        return Hint("the minutes come before `by`", "write {}", (edit,), end, whole=True)
    note = re.search(r'[ \t]+"(?:[^"\\]|\\.)*"\Z', miss.head)
    if note is None:
        return None
    edit = Edit(note.start(), miss.body, f" {miss.rest}{note[0]}")
    return Hint("the note comes last", "write {}", (edit,), miss.body, whole=True)


def skipped(miss: Miss) -> Hint | None:
    """`skipped NAME until DATE`; minutes or people of what was skipped."""
    head = re.match(rf"{_DATE}[ \t]+skipped[ \t]", miss.text)
    if head is None or miss.ended:
        return None
    later = re.match(rf"(?:until|till|to|for|on)[ \t]+(?P<date>{_DATE})", miss.rest)
    names = miss.text[head.end() : miss.at].strip()
    if later is not None and "," not in names:
        end = miss.at + later.end()
        edit = Edit(11, end, f"moved {names} to {later['date']}")
        message = "what is put off to another day is `moved`, not `skipped`"
        return Hint(message, "write {}", (edit,), end, whole=True)
    less = re.match(rf"(?P<long>{_MINUTES})|by[ \t]+{_NAMES}", miss.rest)
    if less is None:
        return None
    edit = Edit(len(miss.head), miss.at + less.end(), "")
    message = f"what was skipped has no {'minutes' if less['long'] else 'people'}"
    return Hint(message, "leave that out: {}", (edit,), miss.at + less.end(), whole=True)


def moved(miss: Miss) -> Hint | None:
    """`moved NAME on DATE`, `moved NAME from DATE to DATE`, no `to`, several chores."""
    if not miss.wants("TO") or not re.match(rf"{_DATE}[ \t]+moved\b", miss.text):
        return None
    if miss.word == ",":
        return _one_chore(miss)
    both = re.match(rf"from[ \t]+(?P<a>{_DATE})[ \t]+(?=to[ \t])", miss.rest)
    if both is not None:
        edit = Edit(0, miss.at + both.end(), f"{both['a']} {miss.text[10 : miss.at].strip()} ")
        end = miss.at + len(both[0].rstrip())
        message = "the day it is moved from is the date of the line"
        return Hint(message, "write {}", (edit,), end, whole=True)
    found = _ANOTHER_TO.match(miss.rest)
    if found is not None:
        edit = miss.rewrite("to", end=miss.at + found.end())
        return Hint(f'a book says `to`, not "{found[0]}"', "write {}", (edit,))
    if miss.ended or re.match(_DATE, miss.rest):
        edit = Edit(miss.at, miss.at, f" to {miss.date}" if miss.ended else "to ")
        fix = "write it, such as {}" if miss.ended else "write {}"
        message = f"the line does not say {'to which day' if miss.ended else '`to` before the day'}"
        return Hint(message, fix, (edit,), whole=True, is_example=miss.ended)
    return None


def _one_chore(miss: Miss) -> Hint | None:
    several = re.match(
        rf"(?P<head>{_DATE}[ \t]+moved)[ \t]+(?P<names>{_NAMES})[ \t]+(?P<rest>.+)\Z",
        miss.text[: miss.body],
    )
    if several is None:
        return None
    names = re.split(r"[ \t]*,[ \t]*", several["names"])
    lines = [f"{several['head']} {name} {several['rest']}" for name in names]
    message = f"a line moves one chore, and this one names {len(names[:6])}"
    return a_line_each(message, lines, 6, miss.body, 0)
