"""What a file declares, found by patterns: its names, its weekend, the time of its record."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterator
from functools import lru_cache
from itertools import chain
from typing import NamedTuple

from ledger.text.hints.reading import reads
from ledger.text.hints.vocabulary import CLAUSE, DATE, NAME, Pattern
from ledger.text.source import Source
from ledger.text.values import DAYS

_DATE = Pattern(rf"(?:since )?({DATE})(?=[\t\x20])")
_SINCE = Pattern(rf"^since ({DATE})", re.MULTILINE)
_DECLARED = Pattern(
    r"^(person|area|days(?= [^\s,#\"]+ (?:[0-9]{4}-|every |from |weekend ))) ([^\s,#\"]+)"
    r"(?: \"([^\"\\\n]+)\")?",
    re.MULTILINE,
)
_WEEKEND = Pattern(r"^weekend is ([^#\n]+)", re.MULTILINE)
_CHORE = Pattern(rf"^ ({NAME})(?= *(?:$|#|\"|[0-9]+ |{CLAUSE}(?:[\t\x20]|$)))", re.MULTILINE)
_FACT_WORDS = ("since", "person", "area", "days", "weekend is")
"""The first words of the lines that state such facts."""


class Near(NamedTuple):
    """The time of a book."""

    date: str
    """The last date of its record, or else its first day."""
    least: str
    """The first day that a date without its year can mean."""


_BACK = 14
"""How many days before the last date of the record such a day can lie."""


class Facts(NamedTuple):
    """Facts about a file that can be found without reading it line by line."""

    near: Near
    areas: frozenset[str]
    people: tuple[str, ...]
    days: frozenset[str]
    chores: frozenset[str]
    newline: str
    weekend: tuple[str, ...]
    """The days of its weekend, in their row."""
    titles: tuple[tuple[str, str, str], ...]
    """What is declared, `person` or `area`, with its title and its name."""


@lru_cache(maxsize=8)
def facts(source: Source) -> Facts:
    """A date of the book, the names it declares and its line end, found by patterns."""
    # Most lines are record lines: the last date is soon found, and declarations are few.
    whole = f"\n{source.text}\n"
    text = "\n".join(line for word in _FACT_WORDS for line in _lines_with(whole, word))
    since = _SINCE.findall(text)
    dates = (match[1] for match in map(_DATE.match, reversed(source.lines)) if match)
    first = next((d for d in chain(since, dates) if reads(f"since {d}")), "2026-01-05")
    last = next((d for d in dates if reads(f"since {d}")), first)
    names: dict[str, list[str]] = {word: [] for word in _FACT_WORDS}
    declarations = _DECLARED.findall(text)
    for kind, name, _ in declarations:
        names[kind].append(name)
    people = tuple(dict.fromkeys(names["person"]))
    days = frozenset(names["days"])
    date = max(first, last)
    back = datetime.date.fromisoformat(date) - datetime.timedelta(_BACK)
    near = Near(date, max(str(back), first if since else ""))
    indented = "\n".join(line for blank in " \t" for line in _lines_with(whole, blank))
    chores = frozenset(_CHORE.findall(indented))
    areas = frozenset(names["area"])
    weekend = _in_their_row(_WEEKEND.findall(text))
    titles = tuple((kind, title, name) for kind, name, title in declarations if title)
    return Facts(near, areas, people, days, chores, source.newline, weekend, titles)


def _in_their_row(named: list[str]) -> tuple[str, ...]:
    """The days of a weekend, from the first to the last; Saturday and Sunday where none reads."""
    days = {day for line in named[:1] for day in DAYS if day in line} or set(DAYS[5:])
    firsts = (day for number, day in enumerate(DAYS) if DAYS[number - 1] not in days)
    first = next((day for day in firsts if day in days), DAYS[5])
    turned = DAYS[DAYS.index(first) :] + DAYS[: DAYS.index(first)]
    return tuple(day for day in turned if day in days)


def _lines_with(text: str, word: str) -> Iterator[str]:
    """The lines of a text that begin with a word."""
    at = text.find(f"\n{word}")
    while at >= 0:
        end = text.find("\n", at + 1)
        yield text[at + 1 : end]
        at = text.find(f"\n{word}", end)
