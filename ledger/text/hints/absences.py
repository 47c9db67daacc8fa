"""Near misses of days away and of rest: loose dates, other words for them, another order."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from ledger.text.hints.day_lists import written_apart
from ledger.text.hints.headers import header_of
from ledger.text.hints.misread import LONGEST, Hint, Line, Misread, a_line_each
from ledger.text.hints.reading import Edit, reads
from ledger.text.hints.slips import SAYS
from ledger.text.hints.spans import Said, said
from ledger.text.hints.titles import quoted
from ledger.text.hints.vocabulary import DATE, DAY, NAME, SEASONS, Pattern, any_of, small
from ledger.text.hints.words import SYNONYMS

_REST = "sick flu illness sickness ill unwell poorly resting recovering off"
_VERBS = dict.fromkeys(("away", *SYNONYMS["away"].split()), "away")
_VERBS |= dict.fromkeys(("rest", *_REST.split()), "rest")
_LINE = Pattern(
    rf"(?:(?P<who>(?!(?:days?|away|rest) ){NAME}(?:(?: *, *| and | *& *){NAME})*)(?: *: *| )"
    r"(?:(?:is|are) )?)?"
    rf"(?P<verb>day off|days off|(?:rest|sick|off) days?|{any_of(_VERBS)})(?![^\s:])"
    r" *:?(?P<rest>.*)\Z",
    re.IGNORECASE,
)
_EVERYONE = frozenset(["all", "everyone", "everybody", "each", "us", "we", "both", "together"])
_AGAIN = Pattern(
    rf"(?:(?:every|each) .+?|(?:on )?(?:weekends|weekdays|{DAY}(?<=s)))(?= by | for |\Z)",
    re.IGNORECASE,
)
_WORD = Pattern(NAME)
_NAME_FIRST = Pattern(rf"{NAME}(?: from)? [0-9]")
_NOBODY = re.compile(
    rf".*(?:holiday|day|vacation|break|trip|term|week|weekend|christmas|easter)s?|{any_of(SEASONS)}"
)
_MOST_WORDS = 4
_PARTS = Pattern(r" *(?:,|&|\band\b) *")
_PART_OF = re.compile("first|last|second|half|most|part|early|late|week(?:end)?|month")
_EITHER = "write {} if nobody is at home, or {} to name these days"


@dataclass
class _Absence:
    """Whom an absence is about, and what its other words are."""

    people: list[str] = field(default_factory=list)
    days: list[str] = field(default_factory=list)
    words: list[str] = field(default_factory=list)
    title: str = ""
    notes: list[str] = field(default_factory=list)


def absence(line: Line) -> Hint | None:
    """A line of days away or of rest, in other words or another order."""
    match = _LINE.match(line.words) if len(line.text) <= LONGEST else None
    who = _PARTS.split(match["who"] or "") if match else []
    if match is None or not _known(line).issuperset(who):
        return None
    verb, words = small(match["verb"]), _with_names(match["rest"].strip(" \t"), line.days)
    what = _VERBS.get(verb, "rest")
    again = _AGAIN.search(words)
    if again is not None:
        return _coming_again(line, what, who, words, again)
    found = said(words, line.near)
    about = _about(line, found, who) if found else None
    if found is None or about is None:
        return None
    when = found.text or ", ".join(about.days)
    if not when:
        if about.words and not isinstance(line, Misread):
            return None
        when = f"from {line.date}" if found.is_open else line.date
        found.is_example = True
        found.notes.insert(0, "the line does not say on which days")
    new = f"{what} {when}" + (f" by {', '.join(about.people)}" if about.people else "")
    new += f" {about.title}" if about.title else ""
    message = f"the dates stand right behind `{what}`"
    if about.people or about.title:
        message = "the dates come first, then `by`, then the title"
    end = line.body
    if verb != what:
        message, end = SAYS.format(new=what, wrong=match["verb"]), line.margin + match.end("verb")
    message = next(iter((*found.notes, *about.notes)), message)
    if verb in ("holiday", "holidays") and not about.people and not found.is_example:
        return _whole(
            line, [new, f"days holidays {when} {about.title}".rstrip()], message, _EITHER, end
        )
    fix = "write its dates, such as {}" if found.is_example else ""
    by = f"{what} {when} by {' '.join(about.words)}"
    if found.spans and not about.people and _NAME_FIRST.match(words) and reads(by):
        fix = "write {} for a person, or {} for a title"
        return _whole(line, [by, new], message, fix, end)
    return _whole(line, [new], message, fix, end)


_OPEN_BEHIND = Pattern(
    rf"(?P<head>(?P<what>away|rest|days {NAME}) {DATE}[^a-z\"]*(?:to [^a-z\"]+)*?)"
    rf"(?: *, *| )(?:and )?from (?P<day>{DATE})(?P<tail>(?: (?:by|\").*)?)\Z"
)


def open_behind(miss: Misread) -> Hint | None:
    """Days that go on from a date, behind other dates."""
    match = _OPEN_BEHIND.match(miss.words) if len(miss.text) <= LONGEST else None
    if match is None:
        return None
    what, tail = match.group("what", "tail")
    lines = [match["head"].rstrip(" \t,") + tail, f"{what} from {match['day']}{tail}"]
    if not all(map(reads, lines)):
        return None
    message = "days that go on from a date have a line of their own"
    return a_line_each(message, lines, 2, miss.body, miss.body)


def _known(line: Line) -> set[str]:
    return {*line.people, *_EVERYONE}


def _with_names(words: str, days: frozenset[str]) -> str:
    """The words, with hyphens in the names of days that are written without."""
    for start in reversed([match.start() for match in _WORD.finditer(words)]):
        apart = written_apart(words, start, days)
        if apart is not None:
            words = f"{words[:start]}{apart[0]}{words[apart[1] :]}"
    return words


def _about(line: Line, found: Said, who: list[str]) -> _Absence | None:
    """What stands among the dates; None where it cannot be told."""
    out, but, mode = _Absence([name for name in who if name in line.people]), list[str](), ""
    for piece in found.others:
        word = piece.text
        if piece.kind in ("by", "not"):
            mode = small(word) if piece.kind == "by" else piece.kind
        elif piece.kind == "title":
            out.title, mode = word, ""
        elif piece.kind == "word" and small(word) in _EVERYONE:
            out.notes.append("without `by` a line is for the whole household")
        elif piece.kind == "word":
            if mode == "not":
                but.append(word)
            elif word in line.people or _is_someone(line, word, mode, out):
                out.people.append(word)
            elif word in line.days and not found.spans:
                out.days.append(word)
            else:
                out.words.append(word)
    if but:
        out.notes.append("a line names the people it is for, and leaves nobody out")
        out.people += [name for name in line.people if name not in but]
    if out.words and found.spans and any(map(_PART_OF.fullmatch, map(small, out.words))):
        return None
    if len(out.words) > _MOST_WORDS or not set(but) <= set(line.people):
        return None
    if out.words and not out.title:
        title = " ".join(out.words)
        out.title = quoted(title[0].upper() + title[1:])
        out.notes.append("a title comes last, in double quotes")
    return out


def _is_someone(line: Line, word: str, mode: str, found: _Absence) -> bool:
    """True for a word that must be a name of someone, though the file declares nobody like that."""
    if mode == "by":
        return not (found.people and line.people)
    return not (line.people or word in line.days or _NOBODY.fullmatch(small(word)))


def _coming_again(
    line: Line, what: str, who: list[str], words: str, again: re.Match[str]
) -> Hint | None:
    """Days that come again and again: they need a name."""
    header = header_of(again[0].removeprefix("on "), line)
    others = said(words[: again.start()] + words[again.end() :], line.near)
    about = _about(line, others, who) if others else None
    if header is None or others is None or about is None or others.spans or about.words:
        return None
    name = f"{'-'.join(about.people[:1]) or 'days'}-{what}"
    by = f" by {', '.join(about.people)}" if about.people else ""
    message = f'"{again[0]}" comes again and again, and `{what}` takes dates or named days'
    lines = [f"days {name} {header}", f"{what} {name}{by}" + f" {about.title}".rstrip()]
    return _whole(line, lines, message, "write two lines, such as {} and {}")


def _whole(line: Line, lines: list[str], message: str, fix: str = "", end: int = 0) -> Hint | None:
    """A hint that writes the words of a line anew; None where that is no other line that reads."""
    if not all(map(reads, lines)) or lines == [line.words]:
        return None
    edits = tuple(Edit(line.margin, line.body, new) for new in lines)
    is_example = "such as" in fix
    count = len(lines) if is_example and len(lines) > 1 else 0
    return Hint(message, fix or "write {}", edits, end or line.body, True, is_example, count)
