"""Writes the words of the grammar into the files of the editors: `python editors/make.py`.

A file `NAME.in` is the one to edit; NAME beside it is made from it. In it stand groups of words:
`@verbs@` becomes `did|skipped|moved|worked`; `@verbs:FORM@` the same words in another form below.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

HERE = Path(__file__).parent
PLACE = re.compile(r"@([a-z-]+)(?::([a-z]+))?@")

FORMS: Mapping[str, Callable[[Iterable[str]], str]] = {
    "pattern": "|".join,
    "escaped": r"\|".join,
    "blanks": " ".join,
    "lines": "\n".join,
    "strings": lambda words: " ".join(f'"{word}"' for word in words),
    "commas": lambda words: ", ".join(f'"{word}"' for word in words),
    "items": lambda words: "".join(f"<item>{word}</item>" for word in words),
}
"""How the words of a group are written in a row."""


def word_groups() -> dict[str, list[str]]:
    """The words of the grammar, by what they are for, each group in the order of the grammar."""
    grammar = _Grammar()
    units, dates = grammar.words("duration"), grammar.dates
    declarations = grammar.first_words("_declaration")
    verbs = grammar.words("DID", "SKIPPED", "MOVED", "WORKED")
    kinds = grammar.words("_kind_of_day", without=dates)
    joiners, each = grammar.words("in_turn", "any_of", "together"), grammar.words("EACH")
    of = grammar.words("each", without=each)
    # What else `days` may say is said by sections too.
    others = [name for name in grammar.options("_declaration") if name != "days_named"]
    return {
        "declarations": declarations,
        "declaration-clauses": grammar.words(
            *others, without=[*dates, *units, *declarations, *kinds]
        ),
        "kinds-of-day": kinds,
        "cadences": grammar.words("cadence", without=dates),
        "header-clauses": grammar.words("header_clause", without=[*dates, *kinds]),
        "chore-clauses": grammar.words("chore_clause", without=[*units, *dates, *kinds]),
        "lists": grammar.words("in_areas", "uses_things", "after_chores"),
        "sections": grammar.first_words("cadence"),
        "person-declarations": grammar.words("person"),
        "area-declarations": grammar.words("area"),
        "days-declarations": grammar.first_words("days_named"),
        "limit-declarations": grammar.first_words("limit"),
        "absences": grammar.first_words("away", "rest"),
        "open-spans": grammar.words("open_span"),
        "area-lists": grammar.words("in_areas"),
        "name-lists": grammar.words("uses_things", "after_chores"),
        "people-lists": grammar.words("by_people", without=[*each, *of, *joiners]),
        "day-lists": grammar.first_words("during", "except_days"),
        "to": grammar.words("TO"),
        "joiners": joiners,
        "each": each,
        "of": of,
        "verbs": verbs,
        "record-clauses": grammar.words("_record", without=[*verbs, *units]),
        "units": units,
        "days": grammar.spelt["DAY"],
        "months": grammar.spelt["MONTH"],
        "ordinals": grammar.spelt["ORDINAL"],
        "keywords": sorted({word for some in grammar.spelt.values() for word in some} - set(dates)),
    }


class _Grammar:
    """The grammar as Lark reads it."""

    def __init__(self) -> None:
        from lark import Lark

        from ledger.text.grammar import STARTS, grammar_text

        # Any: Lark types neither its terminals nor its rules.
        lark: Any = Lark(grammar_text(), parser="lalr", lexer="basic", start=list(STARTS))
        self.spelt = {terminal.name: _spellings(terminal.pattern) for terminal in lark.terminals}
        self.dates = [word for name in ("DAY", "MONTH", "ORDINAL") for word in self.spelt[name]]
        self._rules: dict[str, list[list[Any]]] = {}
        for rule in lark.rules:
            self._rules.setdefault(str(rule.origin.name), []).append(rule.expansion)

    def words(self, *names: str, without: Iterable[str] = ()) -> list[str]:
        """The words that rules and terminals hold, but for what names could be."""
        left_out, found = set(without), dict.fromkeys(self._terminals(names))
        return [word for name in found for word in self.spelt[name] if word not in left_out]

    def options(self, name: str) -> list[str]:
        """The rules that are the alternatives of a rule."""
        return list(dict.fromkeys(option[0].name for option in self._rules[name]))

    def first_words(self, *names: str) -> list[str]:
        """The words that rules begin with, each once."""
        return [word for first in dict.fromkeys(self._firsts(names)) for word in self.spelt[first]]

    def _firsts(self, names: Iterable[str]) -> Iterator[str]:
        for name in names:
            if name in self._rules:
                yield from self._firsts(self.options(name))
            else:
                yield name

    def _terminals(self, names: Iterable[str]) -> Iterator[str]:
        todo, met = list(names), {"name", "person_name", "days_name"}
        while todo:
            name = todo.pop(0)
            if name in met:
                continue
            met.add(name)
            if name not in self._rules:
                yield name
                continue
            for expansion in self._rules[name]:
                todo += [symbol.name for symbol in expansion]


def _spellings(pattern: Any) -> list[str]:
    """The spellings of a terminal that has a few, the longest of a word first; else none."""
    text = re.sub(r"\(\?=.*\)$", "", str(pattern.value)).removeprefix("(?:").removesuffix(")")
    text = re.sub(r"([a-z])\?", r"(?:\1)?", text)
    words = [re.fullmatch(r"([a-z]+)(?:\(\?:([a-z]+)\)\?)?", word) for word in text.split("|")]
    return [
        spelling
        for word in words
        if word is not None
        for spelling in ([word[1] + word[2]] if word[2] else []) + [word[1]]
    ]


def made(template: str, groups: Mapping[str, list[str]]) -> str:
    """The text of a file made from its template. Raises KeyError for a group there is none of."""
    return PLACE.sub(lambda found: FORMS[found[2] or "pattern"](groups[found[1]]), template)


def templates() -> list[Path]:
    """The files that are made from, in order of name."""
    return sorted(HERE.rglob("*.in"))


def main() -> int:
    """Write each made file that is not current, and say so."""
    groups = word_groups()
    for template in templates():
        target, text = template.with_suffix(""), made(template.read_text("utf-8"), groups)
        if not target.is_file() or target.read_text("utf-8") != text:
            target.write_text(text, "utf-8")
            print(f"{target.relative_to(HERE)}: written anew")
    return 0


if __name__ == "__main__":
    sys.exit(main())
