"""Words that read as a name and name nobody and nothing: `by everyone`, `did both`, `in august`."""

from __future__ import annotations

from typing import NamedTuple

from ledger.text.finding import Fix
from ledger.text.hints.facts import facts
from ledger.text.hints.reading import reads
from ledger.text.hints.vocabulary import (
    DAY,
    MONTH,
    NAME,
    SEASONS,
    Pattern,
    any_of,
    declared,
    month_name,
    small,
)
from ledger.text.source import TextRange
from ledger.text.writer import write_turn

_EVERYONE = {"all", "everyone", "everybody"}
_ANYONE = {"anyone", "anybody", "someone", "somebody", "whoever", "any"}
_SOME = {"both", "them", "us", "we", "they", "kids", "children", "parents", "adults", "family"}
_CHORES = {"both", "all", "everything", "them", "it", "that", "this", "these", "some", "others"}
_NOTHING = {"nothing", "none"}
_SEASON = Pattern(rf"{MONTH}|{any_of(SEASONS)}")
_WEEKDAY = Pattern(rf"{DAY}|weekdays?|weekends?")
_BUT = Pattern(
    rf" by (?P<who>each|every|everyone|everybody|all|anyone) (?:except|but) (?:for )?"
    rf"(?P<not>{NAME}(?: *(?:,|and|or) *{NAME})*)"
)
_ONE_NAME = Pattern(NAME)


class Instead(NamedTuple):
    """What to write in place of such a word."""

    fix: str
    fixes: list[Fix]


def instead(what: str, name: str, place: TextRange) -> Instead | None:
    """What to write in place of a name that names nothing; None for what may be a name.

    `what` is what the household lacks of that name: person, area, days or chore.
    """
    line = place.source.lines[place.line]
    word, is_record = small(name), line[:1].isdigit()
    called = declared(name, _titles(what, place))
    if called is not None:
        right = _titles(what, place)[called]
        fix = f"write `{right}`, the name of the {what} with the title `{called}`"
        return Instead(fix, [_written(place, place.start, place.end, right)])
    if what == "chore":
        return _of_chores(word, place) if is_record else None
    if what == "area":
        return _of_area(word, place)
    but = _BUT.search(line)
    if but is not None and but.start() < place.start <= but.end():
        return _all_but(but.start() + 1, but.end(), but["who"], but["not"], place)
    if what == "days":
        is_person = name in facts(place.source).people
        fix = "write a month, a day of the week or the name of some days"
        return Instead(f"{fix}; `{name}` is a person", []) if is_person else None
    return _of_people(word, place, is_record)


def _titles(what: str, place: TextRange) -> dict[str, str]:
    """The names of the areas or of the people of a file, by their titles."""
    return {title: name for kind, title, name in facts(place.source).titles if kind == what}


def _of_people(word: str, place: TextRange, is_record: bool) -> Instead | None:
    if word not in _EVERYONE | _ANYONE | _SOME:
        return None
    people = facts(place.source).people
    named = f", such as `{', '.join(people[:2])}`" if len(people) > 1 else ""
    if is_record:
        return Instead(f"write the names of those who did it{named}", [])
    is_alone = _is_alone(place)
    if word in _EVERYONE and is_alone:
        fix = "write `each` if each does their own, or leave `by` out if anyone may do it"
        return Instead(fix, [_written(place, place.start, place.end, "each")])
    if word in _ANYONE and is_alone:
        begin = len(place.source.lines[place.line][: place.start].rstrip(" \t")) - len("by")
        clause = _left_out(place, begin)
        return Instead("leave `by` out: without it anyone may do it", [clause])
    if word in _ANYONE:
        return Instead("leave `by` and its names out: without them anyone may do it", [])
    return Instead("write the names of these people", [])


def _is_alone(place: TextRange) -> bool:
    """True where `by` names only this."""
    line = place.source.lines[place.line]
    before, behind = line[: place.start].split(), line[place.end :].split()
    return before[-1:] == ["by"] and behind[:1] not in (["or"], ["then"], ["and"])


def _all_but(begin: int, end: int, who: str, left_out: str, place: TextRange) -> Instead | None:
    out = _ONE_NAME.findall(left_out)
    others = [one for one in facts(place.source).people if one not in out]
    if not others:
        return None
    form = "any" if who == "anyone" else "each"
    clause = f"by {write_turn((form, others))}"
    fix = f"write `{clause}`: a book names who does a chore, not who does not"
    return Instead(fix, [_written(place, begin, end, clause)])


def _of_chores(word: str, place: TextRange) -> Instead | None:
    if word in _NOTHING:
        return Instead("delete the line: what was not done needs none", [])
    if word in _CHORES:
        return Instead("write the names of the chores", [])
    line = place.source.lines[place.line]
    before, note = line[: place.start].rstrip(" \t"), line[place.start :].rstrip(" \t")
    if not before.endswith(",") or note != line[place.start : place.end]:
        return None
    kept = before.rstrip(" \t,")
    noted = f'{kept} "{note}"'
    if not facts(place.source).chores or not reads(noted):
        return None
    fix = f"write `{noted}` if it is a note, or write a name the book has"
    return Instead(fix, [_written(place, len(kept), place.end, f' "{note}"', noted)])


def _of_area(word: str, place: TextRange) -> Instead | None:
    line = place.source.lines[place.line]
    begin = len(line[: place.start].rstrip(" \t")) - len("in")
    if line[begin : begin + 2] != "in":
        return None
    if word in ("turn", "turns"):
        return Instead(f"leave `in {word}` out: `then` says it", [_left_out(place, begin)])
    if _SEASON.fullmatch(word):
        clause = f"during {SEASONS.get(word) or month_name(word)}"
    elif _WEEKDAY.fullmatch(word):
        clause = f"during {word.removesuffix('s')}"
    else:
        return None
    return Instead(f"write `{clause}`", [_written(place, begin, place.end, clause)])


def _written(place: TextRange, begin: int, end: int, words: str, shown: str = "") -> Fix:
    from ledger.text.edits import write

    fix = write(place._replace(start=begin, end=end), words)
    return fix._replace(title=f"Write `{shown or words}`")


def _left_out(place: TextRange, begin: int) -> Fix:
    from ledger.text.edits import delete

    return delete(place._replace(start=begin))
