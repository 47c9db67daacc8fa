"""Near misses of who does a chore, and of who did it: people joined in other words, `each` with
names, all but one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from ledger.text.hints.misread import Hint, Misread
from ledger.text.hints.reading import Edit
from ledger.text.hints.slips import Slip
from ledger.text.hints.vocabulary import CLAUSE, NAME, WORD_END, Pattern, declared, small
from ledger.text.writer import write_turn

_PARTS = {",": ",", "&": "&", "/": "/", "+": "+", ">": "then", "->": "then", "with": "with",
          "plus": "with", "or": "or", "and": "and", "then": "then"}  # fmt: skip
_PLAIN = {"or", "then", "and"}
_FORMS = {"both": "and", "together": "and", "either": "or", "alternating": "then",
          "alternately": "then", "alternate": "then", "rotating": "then", "turn": "then",
          "turns": "then"}  # fmt: skip
"""Words that say how people share a chore, with the word of the book for it."""
_ONE_OF = {"one", "any"}
ALL = {"each", "every", "everyone", "everybody", "all"}
_SOME_OF_THEM = {"them", "kids", "kid", "children", "child", "boys", "girls"}
_NEEDLESS = {
    "of", "the", "us", "person", "member", "by", "in", "taking", "first", "separately",
    "individually", "(", ")", ":", "[", "]",
}  # fmt: skip
_WITHOUT = {"not", "except", "but"}
_BY = Pattern(r"\bby ")
_TOKEN = Pattern(rf"->|[,&+/>:()\[\]]|{NAME}(?![^\s,&+/>:()\[\]\"#])")
_CLAUSE = Pattern(rf"(?:{CLAUSE}){WORD_END}")
_ONLY = {"or": "{} if any of them will do", "then": "{} for turns", "and": "{} together"}
_FORM_OF = {"or": "any", "then": "then", "and": "together"}


@dataclass
class _Who:
    """What stands behind `by`, word by word."""

    begin: int
    end: int
    people: list[str] = field(default_factory=list)
    parts: list[str] = field(default_factory=list)
    """What joins the people, as words of the book where they are such."""
    shared: set[str] = field(default_factory=set)
    """The ways to share that a word such as `both` says."""
    written: str = ""
    """The first joining word that is none of the book, as it stands."""
    is_each: bool = False
    joins_each: bool = False
    """True where `each` is an item of the list: `noor or each`."""
    is_some: bool = False
    """True where words mean some people without their names: `each of the kids`."""
    is_without: bool = False
    kept: int = 0
    """How many people are named before those that are left out."""


def _who(miss: Misread) -> _Who | None:
    """What stands behind the last `by` before the fault; None where the fault is elsewhere."""
    *_, by = (None, *_BY.finditer(miss.text[: miss.at]))
    if by is None or '"' in miss.text[: miss.at]:
        return None
    who = _Who(by.end(), by.end())
    last, column = "by", False
    for token in _TOKEN.finditer(miss.text[: miss.body]):
        if token.start() < by.end():
            continue
        gap = miss.text[who.end : token.start()]
        column = len(gap) > 1 and who.end > by.end()
        word = small(token[0])
        if gap.strip(" \t") or not _takes(miss, who, token[0], word, last, column):
            break
        who.end, last = token.end(), word
    wrong = miss.text[who.begin : who.end]
    if miss.ended or who.end < min(miss.after, miss.body) or wrong.count("(") > wrong.count(")"):
        return None
    return who


def _takes(miss: Misread, who: _Who, text: str, word: str, last: str, column: bool) -> bool:
    """True where a word belongs to the people, who then know it."""
    is_part = word in _PARTS
    if who.is_each and (last in ALL and is_part and word not in (",", "&")) and not who.people:
        who.joins_each = True
    if is_part:
        if last == "by":
            return False
        part = _PARTS[word]
        who.parts.append(part)
        who.written = who.written or ("" if part in _PLAIN else text)
    elif word in ALL:
        who.joins_each = who.joins_each or bool(last in _PARTS and who.people)
        who.is_each = True
    elif word in _ONE_OF:
        who.shared |= set() if who.is_each else {"or"}
    elif word in _FORMS:
        who.shared.add(_FORMS[word])
    elif word in _SOME_OF_THEM:
        who.is_some = True
    elif word in _WITHOUT:
        who.is_without, who.kept = True, len(who.people)
    elif word in _NEEDLESS:
        return word != "in" or " turn" in miss.text[who.end : who.end + 8]
    elif _CLAUSE.match(text):
        return False
    else:
        alone = last in _PARTS or last in ("by", "of", "(", ":", *_FORMS, *_WITHOUT)
        alone = alone or (last == "each" and not miss.people)
        known = declared(text, miss.people)
        if column or (known is None and not alone):
            return False
        if who.people and last not in _PARTS:
            who.parts.append("")
        who.people.append(known or text)
    return True


def who_does(miss: Misread) -> Hint | None:
    """The people of a chore, joined or named in words that a book does not use."""
    if miss.start != "chore_line" or (who := _who(miss)) is None:
        return None
    wrong = miss.text[who.begin : who.end]
    if who.is_without:
        return _without(miss, who)
    if who.is_each and who.joins_each:
        message = "`each` is everyone already"
        return _one(miss, who, "each", message, "leave the names out: {}")
    if who.is_each and who.is_some and not who.people:
        some = ", ".join(miss.people[:2] or ("edie", "ben"))
        edits = (_edit(who, f"each of {some}"), _edit(who, "each"))
        message = f'"{wrong}" does not say who these are'
        fix = "name them, such as {}, or write {} for everyone"
        return Hint(message, fix, edits, who.end, is_example=True)
    if who.is_each:
        right = write_turn(("each", who.people))
        return _one(miss, who, right, f'a book says `by {right}`, not "by {wrong}"')
    return _shared(miss, who, wrong) if len(who.people) > 1 else None


def _shared(miss: Misread, who: _Who, wrong: str) -> Hint | None:
    """Several people, and what joins them."""
    parts = who.parts
    said = set(parts) & _PLAIN
    if "then" in said and "and then" in " ".join(parts):
        said.discard("and")
    said |= who.shared
    is_plain = all(part in _PLAIN or part == "," for part in parts)
    if (
        len(said) == 1
        and (is_plain or who.shared)
        and (said != {"and"} or "," not in parts or who.shared)
    ):
        (one,) = said
        right = write_turn((_FORM_OF[one], who.people))
        return _one(miss, who, right, f'a book says `by {right}`, not "by {wrong}"')
    if len(said) > 1:
        words = " and ".join(f"`{one}`" for one in _ONLY if one in said)
        fix = "write one of these words, or two chores if some do it alone and others together"
        return Hint(f"{words} do not mix", fix, end=who.end)
    edits = tuple(_edit(who, write_turn((_FORM_OF[one], who.people))) for one in _ONLY)
    *ways, last = _ONLY.values()
    fix = f"write {', '.join(ways)}, or {last}"
    if who.written and not who.shared:
        message = f'"{who.written}" does not say how they share the chore'
    else:
        message = f'"{wrong}" does not say how they share the chore'
    return Hint(message, fix, edits, who.end)


WHEN_AWAY = Slip(
    "",
    rf"(?:when(?:ever)?|if|while) (?P<name>{NAME})(?: (?:is|isn't|not))*"
    r" (?:away|out|gone|ill|sick|off|absent|here|there|home|at home|travelling)",
    ("{name} then {who}", "{name} or {who}"),
    "nobody is asked while away, and the others named take over",
    "write {} for turns, or {} if either will do",
    before=rf"\bby (?P<old>(?P<who>{NAME}) )",
    start="chore_line",
    known="people",
    whole=True,
)
"""`by bob when ann is away`."""

POSSESSIVE = Slip(
    "",
    r"(?P<name>[^\W\d_][\w-]*?)['’]s?(?: turns?)?",
    "{name}",
    'a name has no "\'s" behind it',
    before=rf"\bby (?:(?:{NAME}) (?:then|or|and) )*",
    start="chore_line",
    known="people",
    whole=True,
)
"""`by ann's turn`."""


def _without(miss: Misread, who: _Who) -> Hint | None:
    """All but some: the others by name."""
    message = "a book names who does a chore, not who does not"
    if who.kept:
        form = next((_FORM_OF[part] for part in who.parts if part in _FORM_OF), "any")
        return _one(miss, who, write_turn((form, who.people[: who.kept])), message)
    others = [one for one in miss.people if one not in who.people]
    if not others or not who.people:
        return None
    each = _edit(who, write_turn(("each", others)))
    any_of_them = _edit(who, write_turn(("any", others)))
    fix = "write {} if each does their own, or {} if any of them will do"
    return Hint(message, fix, (each, any_of_them), who.end)


def _edit(who: _Who, right: str) -> Edit:
    return Edit(who.begin, who.end, right)


def _one(miss: Misread, who: _Who, right: str, message: str, fix: str = "write {}") -> Hint | None:
    if right == miss.text[who.begin : who.end]:
        return None
    return Hint(message, fix, (_edit(who, right),), who.end)


def who_did(miss: Misread) -> Hint | None:
    """The people of a line of the record, joined in words that a list does not have."""
    if miss.start != "record_line" or (who := _who(miss)) is None or who.is_without:
        return None
    if who.is_each or who.is_some:
        return _each_did(miss, who)
    if len(who.people) < 2:
        return None
    listed = _listed(who.people)
    said = sorted({"or", "then"} & {*who.parts, *who.shared})
    if said:
        edits = (_edit(who, listed), _edit(who, who.people[0]))
        message = f"the record says who did it, and `{said[0]}` leaves that open"
        return Hint(message, "write {} for both, or {} for one", edits, who.end)
    wrong = miss.text[who.begin : who.end]
    return _one(miss, who, listed, f'a book says `by {listed}`, not "by {wrong}"')


def _each_did(miss: Misread, who: _Who) -> Hint | None:
    message = "the record names the people who did it, each of them"
    if who.people and not who.joins_each:
        return _one(miss, who, _listed(who.people), message)
    names = _listed(miss.people or ("noor", "tam"))
    fix = "write {}" if miss.people else "write their names, such as {}"
    edit = _edit(who, names)
    return Hint(message, fix, (edit,), who.end, is_example=not miss.people)


def _listed(people: Sequence[str]) -> str:
    return ", ".join(people)
