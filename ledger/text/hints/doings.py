"""Near misses of the record whose words stand in a loose order: who did what, for how long, what
was not done, and several lines in one."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from ledger.text.hints.durations import MEASURES
from ledger.text.hints.misread import Hint, Misread, a_line_each
from ledger.text.hints.reading import Edit, applied, reads
from ledger.text.hints.relative import day_said
from ledger.text.hints.vocabulary import (
    DATE,
    NAME,
    TIME,
    TITLE,
    WORD_END,
    Pattern,
    any_of,
    declared,
    first_read,
    matched,
    small,
)

VERBS = {
    "did": "done do does doing finished finish completed complete made ok",
    "skipped": "skip skips cancelled canceled cancel dropped omitted excused",
    "moved": "move moves postponed postpone delayed shifted rescheduled deferred pushed",
    "worked": "work works working started began begun continued",
}
VERB_OF = {word: verb for verb, words in VERBS.items() for word in (verb, *words.split())}
VERB = any_of(VERB_OF)
_HEAD = Pattern(rf"(?P<date>{DATE})[\t\x20]+(?P<rest>\S.*)\Z")
_PARTLY_BEFORE = matched(
    r"(?:did|half|part|partly|some)(?: (?:did|of|a bit|a bit of|some|some of|part|part of|half"
    r"|half of|most of|more of|partly))+|(?:did )?(?:half|partly)(?: (?:did|of))?"
    r"|(?:work(?:ed|ing)?|carried|went) (?:on|at|with|on with)"
    r"|worked (?:half|part|some)(?: of)?"
)
_VERB = matched(VERB)
_VERB_NEXT = matched(rf"[\t\x20]+{VERB}")
_PARTLY_BEHIND = matched(
    r"(?:partly|partially|half(?:way)?|mostly|a bit|a little|some of it|not finished|unfinished"
    r"|[0-9]{1,3}\x20?%)(?: done)?"
)
_WORDS_LEFT = Pattern(r"[^\W\d_][^\"#,0-9]*[\t\x20][^\"#,0-9]*[^\"#,0-9\s]\Z")
_BY = matched("by|with")
_JOINS = matched(r"and(?: then)?|plus|then")
_SIGN = Pattern(r"[,;&+]+")
_FILLER = matched(r"the|a|my|our|for|on|at|of|it|took|in|about|bit|some|today|again|all|both")
_TIMES = matched(r"twice|two times|[x×]?\x20?2[x×]?")
_TOGETHER = matched("together|both(?: of us)?|all of us|everyone|everybody|each")
_TARGET = matched(r"(?:from \S+ )?(?:to|until|till|for|onto)")
_CLOCKS = matched(
    rf"(?:from )?(?P<a>{TIME})(?:[\t\x20]*(?:-|–|to|until|till)[\t\x20]*)(?P<b>{TIME})"
)
_NAME_END = r"(?![^\s,;&+#\"])"
_WORDS = Pattern(rf"{NAME}(?:[\t\x20]{NAME}){{0,3}}{_NAME_END}").match
_ONE_NAME = Pattern(rf"{NAME}{_NAME_END}").match
_LONGEST = 200


@dataclass
class Entry:
    """One line of the record, as its words are understood."""

    verb: str = ""
    items: list[list[str]] = field(default_factory=list)
    """Each chore with its minutes, which may be empty."""
    people: list[str] = field(default_factory=list)
    to: str = ""
    note: str = ""

    def text(self, minutes: str) -> str:
        """The line behind its date; `minutes` stand where they are needed and not said."""
        needed = minutes if self.verb == "worked" else ""
        items = ", ".join(f"{name} {time or needed}".rstrip() for name, time in self.items)
        to = f"to {self.to}" if self.to else ""
        has_people = self.people and self.verb in ("did", "worked")
        by = f"by {', '.join(self.people)}" if has_people else ""
        return " ".join(part for part in (self.verb, items, to, by, self.note) if part)


@dataclass
class _Reading:
    """The lines that some words say, and how loosely they say it."""

    entries: list[Entry]
    is_loose: bool = False
    is_twice: bool = False
    is_example: bool = False
    """True where the people are an example."""
    time: str = ""
    """Minutes said before their chore."""
    last: str = ""
    """The kind of the last words."""


def doings(miss: Misread) -> Hint | None:
    """A line of the record in a loose order, where the file declares all its chores."""
    head = _HEAD.match(miss.text, 0, miss.body)
    if miss.start != "record_line" or head is None or len(head[0]) > _LONGEST or not miss.chores:
        return None
    said = _read(miss, head.start("rest"))
    if said is None or not said.is_loose:
        return None
    lines = [f"{head['date']} {entry.text('45 min')}" for entry in said.entries]
    lines *= 2 if said.is_twice else 1
    if not all(map(reads, lines)):
        return None
    lacks = any(
        entry.verb == "worked" and not all(time for _, time in entry.items)
        for entry in said.entries
    )
    if len(lines) > 1:
        message = f"a line of the record says one thing, and this one says {len(lines)}"
        if said.is_twice:
            message = "a line settles a chore once, so what was done twice is two lines"
        return a_line_each(message, lines, 4, miss.body, miss.body)
    edit = Edit(0, miss.body, lines[0])
    if lacks or said.is_example:
        message = "`worked` says how long, for each chore"
        if said.is_example:
            message = "the record names the people who did it"
        fix = "write it, such as {}" if lacks else "write their names, such as {}"
        return Hint(message, fix, (edit,), miss.body, whole=True, is_example=True)
    right, wrong = lines[0][len(head["date"]) + 1 :], head["rest"]
    message = f'a book says `{right}`, not "{wrong}"'
    return Hint(message, "write {}", (edit,), miss.body, whole=True)


def _read(miss: Misread, begin: int) -> _Reading | None:
    """What the words from a place on say; None where some of them are not understood."""
    said = _Reading([Entry()])
    at = begin
    while at < miss.body:
        if miss.text[at] in " \t":
            at += 1
            continue
        end = next((end for read in _READERS if (end := read(miss, at, said))), None)
        if end is None:
            return None
        at = end
    entries = said.entries
    if said.time or not all(entry.items and entry.verb for entry in entries):
        return None
    if any(entry.verb == "moved" and not entry.to for entry in entries):
        return None
    entries[:] = [one for entry in entries for one in _one_each(entry)]
    said.is_loose = said.is_loose or len(entries) > 1 or said.is_twice
    said.is_loose |= any(
        entry.verb == "worked" and not all(time for _, time in entry.items) for entry in entries
    )
    return said


def _one_each(entry: Entry) -> list[Entry]:
    """An entry, or one for each chore where the line moves them."""
    if entry.verb != "moved":
        return [entry]
    return [Entry("moved", [item], to=entry.to, note=entry.note) for item in entry.items]


def _verb(miss: Misread, at: int, said: _Reading) -> int | None:
    partly = _PARTLY_BEFORE(miss.text, at, miss.body)
    match = partly or _VERB(miss.text, at, miss.body)
    if match is None or (partly and not said.entries[-1].items and not _is_partly(partly[0], said)):
        match = _VERB(miss.text, at, miss.body)
        partly = None
    if match is None:
        return None
    verb = "worked" if partly else VERB_OF[small(match[0])]
    entry = said.entries[-1]
    if entry.items and entry.verb:
        entry = Entry()
        said.entries.append(entry)
    said.is_loose = said.is_loose or bool(partly) or bool(entry.items or entry.people)
    entry.verb = verb
    said.last = "verb"
    return match.end()


def _is_partly(words: str, said: _Reading) -> bool:
    return small(words) not in VERB_OF or not said.entries[-1].verb


def _note(miss: Misread, at: int, said: _Reading) -> int | None:
    match = matched(TITLE)(miss.text, at, miss.body)
    if match is None or said.entries[-1].note:
        return None
    said.entries[-1].note = match[0]
    return match.end()


def _time(miss: Misread, at: int, said: _Reading) -> int | None:
    clocks = _CLOCKS(miss.text, at, miss.body)
    if clocks is not None:
        end, time = clocks.end(), _between(clocks["a"], clocks["b"])
        said.is_loose = True
    else:
        reading = first_read(MEASURES, miss.text, at, miss.body)
        if reading is None:
            return None
        end, time = reading
    entry = said.entries[-1]
    if entry.items and not entry.items[-1][1] and not said.time:
        entry.items[-1][1] = time
        said.is_loose = said.is_loose or said.last != "chore"
    elif said.last in ("verb", "", "join", "filler") and not said.time:
        said.time, said.is_loose = time, True
    else:
        return None
    said.last = "time"
    return end


def _between(first: str, last: str) -> str:
    """The minutes between two times of a day, as a book writes them."""
    one, other = (_minute_of_day(text) for text in (first, last))
    hours, minutes = divmod((other - one) % 1440, 60)
    return " ".join([f"{hours} h"] * bool(hours) + [f"{minutes} min"] * bool(minutes or not hours))


def _minute_of_day(text: str) -> int:
    hour, minute = (int(part) for part in re.findall("[0-9]+", text)[:2])
    return (hour % 12 + 12 if small(text).endswith("pm") else hour) * 60 + minute


def _people(miss: Misread, at: int, said: _Reading) -> int | None:
    by = _BY(miss.text, at, miss.body)
    begin = by.end() if by else at
    begin += len(miss.text[begin:]) - len(miss.text[begin:].lstrip(" \t"))
    match = _ONE_NAME(miss.text, begin, miss.body)
    name = declared(match[0], miss.people) if match else None
    entry = said.entries[-1]
    if match is None or (name is None and (by is None or declared(match[0], miss.chores))):
        return None
    if said.last == "join" and not by and entry.items:
        if _VERB_NEXT(miss.text, match.end(), miss.body):
            entry = Entry()
            said.entries.append(entry)
        elif not entry.people:
            return None
    entry.people.append(name or match[0])
    said.last = "person"
    return match.end()


def _chore(miss: Misread, at: int, said: _Reading) -> int | None:
    match = _WORDS(miss.text, at, miss.body)
    words = match[0] if match else ""
    while words and (name := declared(words, miss.chores)) is None:
        words = words.rpartition(" ")[0]
    if not words or name is None:
        return None
    entry = said.entries[-1]
    if (entry.people or entry.to) and entry.items:
        entry = Entry(entry.verb)
        said.entries.append(entry)
    if entry.items and said.last not in ("join", "time"):
        return None
    said.is_loose = said.is_loose or (said.last == "time" and bool(entry.items))
    entry.items.append([name, said.time])
    said.time, said.last = "", "chore"
    return at + len(words)


def _target(miss: Misread, at: int, said: _Reading) -> int | None:
    match = _TARGET(miss.text, at, miss.body)
    entry, own = said.entries[-1], miss.text[:10]
    if entry.verb not in ("moved", "skipped") or not entry.items or not reads(f"since {own}"):
        return None
    begin = match.end() + 1 if match else at
    date = matched(DATE)(miss.text, begin, miss.body)
    day = (date.end(), date[0]) if date else day_said(miss.text, begin, miss.body, own)
    if day is None:
        return None
    is_plain = match is not None and not match[0].startswith("from")
    said.is_loose = said.is_loose or entry.verb == "skipped" or not is_plain
    entry.verb, entry.to, said.last = "moved", day[1], "target"
    return day[0]


def _other(miss: Misread, at: int, said: _Reading) -> int | None:
    sign = _SIGN.match(miss.text, at, miss.body)
    joins = _JOINS(miss.text, at, miss.body)
    if sign or joins:
        is_then = joins is not None and small(joins[0]) != "and"
        said.is_loose = said.is_loose or (is_then and said.last in ("chore", "time"))
        said.last = "join"
        return (sign or joins).end()  # type: ignore[union-attr]
    together = _TOGETHER(miss.text, at, miss.body)
    if together and said.entries[-1].items and not said.entries[-1].people and miss.people:
        said.entries[-1].people = list(miss.people)
        said.is_loose = said.is_example = True
        return together.end()
    twice = _TIMES(miss.text, at, miss.body)
    if twice and said.entries[-1].items:
        said.is_twice = True
        return twice.end()
    filler = _FILLER(miss.text, at, miss.body)
    if filler is not None:
        said.is_loose = said.is_loose or small(filler[0]) not in ("the", "a", "my", "our", "for")
        said.last = "filler" if said.last == "verb" else said.last
        return filler.end()
    return None


def _partly(miss: Misread, at: int, said: _Reading) -> int | None:
    match = _PARTLY_BEHIND(miss.text, at, miss.body)
    if match is None or not said.entries[-1].items:
        return None
    said.entries[-1].verb, said.is_loose, said.last = "worked", True, "partly"
    return match.end()


def _loose_note(miss: Misread, at: int, said: _Reading) -> int | None:
    match = _WORDS_LEFT.match(miss.text, at, miss.body)
    if match is None or said.last != "join" or said.entries[-1].note or not said.entries[-1].items:
        return None
    said.entries[-1].note, said.is_loose = f'"{match[0]}"', True
    return match.end()


_READERS = (_note, _time, _chore, _people, _target, _partly, _verb, _other, _loose_note)

_NOT = Pattern(
    rf"(?P<date>{DATE}) (?:(?:{VERB}|has|have|had|was) )??"
    r"(?:did ?n[o'’]?t|didn['’]?t|not|no(?: time for)?|never|miss(?:ed)?|forgot(?:ten)?(?: to)?"
    r"|could ?n['’o]?t|haven['’]?t|hasn['’]?t|without)"
    r"(?: (?:do|did|done|get to|manage|have time for|the))*"
    rf"(?: (?P<names>{NAME}(?: *(?:,|and|or|&) *{NAME})*))?{WORD_END}",
    re.IGNORECASE,
)
_NOT_BEHIND = Pattern(
    rf"(?P<date>{DATE}) (?P<names>{NAME}) (?:was |is )?(?:not|un)[\t\x20-]?(?:done|did)\Z",
    re.IGNORECASE,
)


def not_done(miss: Misread) -> Hint | None:
    """A line that says what was not done."""
    if miss.start != "record_line":
        return None
    match = _NOT.match(miss.text, 0, miss.body) or _NOT_BEHIND.match(miss.text, 0, miss.body)
    if match is None or match.end() < miss.after:
        return None
    names = ", ".join(re.split(r"[\t\x20]*(?:,|&|\band\b|\bor\b)[\t\x20]*", match["names"] or ""))
    edit = Edit(0, miss.body, f"{match['date']} skipped {names}")
    message = "what was not done needs no line"
    if not names or not reads(applied(miss.text, edit)):
        return Hint(message, "delete the line")
    fix = "delete the line; what need not be done this time has a line such as {}"
    return Hint(message, fix, (edit,), miss.body, whole=True, is_example=True)


_LEFT = matched(r"(?:left|remaining|to go|still to do|missing)(?: (?:over|to do))?")


def time_left(miss: Misread) -> Hint | None:
    """The minutes that are left, in place of those that were worked."""
    match = _LEFT(miss.text, miss.at, miss.body)
    if match is None or miss.start != "record_line" or " worked " not in miss.head:
        return None
    message = "`worked` says how long it was worked on, not what is left"
    return Hint(message, "write the minutes that were worked", end=match.end())
