"""Near misses of days away and of rest: loose dates, other words for them, another order."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from ledger.text.hints.headers import header_of
from ledger.text.hints.misread import Edit, Hint, Line, reads
from ledger.text.hints.slips import SAYS
from ledger.text.hints.spans import Said, said
from ledger.text.hints.titles import quoted
from ledger.text.hints.vocabulary import DAY, NAME, Pattern, any_of, small
from ledger.text.hints.words import SYNONYMS

_REST = "sick ill unwell poorly resting recovering off"
_VERBS = dict.fromkeys(("away", *SYNONYMS["away"].split()), "away")
_VERBS |= dict.fromkeys(("rest", *_REST.split()), "rest")
_LINE = Pattern(
    rf"(?:(?P<who>(?!days? ){NAME}) (?:(?:is|are) )?)?"
    rf"(?P<verb>day off|days off|(?:rest|sick|off) days?|{any_of(_VERBS)})(?![^\s:])"
    r" *:?(?P<rest>.*)\Z",
    re.IGNORECASE,
)
_EVERYONE = frozenset(["all", "everyone", "everybody", "each", "us", "we", "both", "together"])
_AGAIN = Pattern(
    rf"(?:(?:every|each) .+?|(?:on )?(?:weekends|weekdays|{DAY}(?<=s)))(?= by | for |\Z)",
    re.IGNORECASE,
)
_MOST_WORDS = 4
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
    match = _LINE.match(line.words)
    if match is None or (match["who"] and match["who"] not in line.people):
        return None
    verb, words = small(match["verb"]), _with_names(match["rest"].strip(" \t"), line.days)
    what = _VERBS.get(verb, "rest")
    again = _AGAIN.search(words)
    if again is not None:
        return _coming_again(line, what, match["who"], words, again)
    found = said(words, line.date)
    about = _about(line, found, match["who"]) if found else None
    if found is None or about is None:
        return None
    when = found.text or ", ".join(about.days)
    if not when:
        if about.words:
            return None
        when, found.is_example = line.date, True
        found.notes.append("the line does not say on which days")
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
    return _whole(line, [new], message, fix, end)


def _with_names(words: str, days: frozenset[str]) -> str:
    """The words, with hyphens in the names of days that are written without."""
    for name in days:
        if "-" in name:
            words = re.sub(rf"\b{name.replace('-', '[ _]')}(?![\w-])", name, words)
    return words


def _about(line: Line, found: Said, who: str | None) -> _Absence | None:
    """What stands among the dates; None where it cannot be told."""
    out, but, mode = _Absence([who] if who else []), list[str](), ""
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
            elif word in line.people or mode == "by" or not (line.people or word in line.days):
                out.people.append(word)
            elif word in line.days and not found.spans:
                out.days.append(word)
            else:
                out.words.append(word)
    if but:
        out.notes.append("a line names the people it is for, and leaves nobody out")
        out.people += [name for name in line.people if name not in but]
    if len(out.words) > _MOST_WORDS or not set(but) <= set(line.people):
        return None
    if out.words and found.spans and not out.title:
        title = " ".join(out.words)
        out.title = quoted(title[0].upper() + title[1:])
        out.notes.append("a title comes last, in double quotes")
    return out


def _coming_again(
    line: Line, what: str, who: str | None, words: str, again: re.Match[str]
) -> Hint | None:
    """Days that come again and again: they need a name."""
    header = header_of(again[0].removeprefix("on "), line.date)
    others = said(words[: again.start()] + words[again.end() :], line.date)
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
