"""Called: which chores, people, areas or containers the words of a person mean."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from functools import cached_property
from typing import NamedTuple, Protocol
from unicodedata import normalize

from ledger.household.names import own_title
from ledger.text.near import nearest

_BETWEEN = re.compile(r"[\s\-_.,;:!?()\[\]\"'’“”/&+]+")


_FILLERS = frozenset(
    ("a", "an", "and", "at", "by", "for", "from", "in", "my", "of", "on", "or", "our", "the", "to")
)
"""Words of a sentence: `did the oven` means what `did oven` does, and `for` means no chore."""


class Titled(Protocol):
    """Something of a household that has a name and a title."""

    @property
    def title(self) -> str:
        """The title; the words of the name if the book gives none."""


class _Spelt(NamedTuple):
    """A name and its title, in small letters."""

    whole: tuple[str, str]
    words: tuple[str, ...]


class Called:
    """Things by what they are called; made once for all words of a call."""

    def __init__(self, known: Mapping[str, Titled]) -> None:
        self.known = known

    @cached_property
    def _spelt(self) -> Mapping[str, _Spelt]:
        return {name: _spelt(name, one.title) for name, one in self.known.items()}

    @cached_property
    def most_words(self) -> int:
        """The words of the longest name or title."""
        return max((len(one.words) for one in self._spelt.values()), default=0)

    def exactly(self, text: str) -> list[str]:
        """The names that a text is, letter by letter; else those that it is, or whose title it is,
        whatever the capitals."""
        text = normalize("NFC", text)
        if text in self.known:
            return [text]
        folded = text.casefold()
        return [name for name, one in self._spelt.items() if folded in one.whole]

    def fitting(self, text: str) -> list[str]:
        """The names that a text may mean, in the order of the book.

        The first of these decides that fits any: the name; the name or the title in any case; its
        beginning; words, in any order, that each begin a word of the name or the title.
        """
        wanted = _telling(normalize("NFC", text).casefold())
        if begun := self.begun(text) or self.begun(" ".join(wanted)):
            return begun
        return [name for name, one in self._spelt.items() if wanted and _fits(wanted, one.words)]

    def begun(self, text: str) -> list[str]:
        """As `fitting`, without what only has the words."""
        folded = normalize("NFC", text).casefold().strip()
        return self.exactly(text) or [
            name
            for name, one in self._spelt.items()
            if _telling(folded) and any(whole.startswith(folded) for whole in one.whole)
        ]

    def nearest(self, text: str) -> str | None:
        """The name that a text which fits none was probably meant to be: one with few slips in its
        name or title, else the one that shares most of the words; None where there is none."""
        text = normalize("NFC", text).strip()
        near = nearest(text, self.known)
        if near is not None:
            return near
        titles: dict[str, str] = {}
        for name, one in self._spelt.items():
            titles.setdefault(one.whole[1], name)
        title = nearest(text.casefold(), titles)
        if title is not None:
            return titles[title]
        wanted = _words(text.casefold())
        shared = {name: _in_common(wanted, one.words) for name, one in self._spelt.items()}
        most = max(shared.values(), default=0)
        best = [name for name, count in shared.items() if count == most]
        return best[0] if most and len(best) == 1 else None

    def shown(self, names: Sequence[str]) -> list[str]:
        """Names as a list of choices shows them, with the title where it says more."""
        titles = (own_title(name, self.known[name].title) for name in names)
        return [
            f"`{name}` ({title})" if title and title != name else f"`{name}`"
            for name, title in zip(names, titles, strict=True)
        ]


def _spelt(name: str, title: str) -> _Spelt:
    whole = name.casefold(), normalize("NFC", title).casefold()
    return _Spelt(whole, tuple(dict.fromkeys(word for text in whole for word in _words(text))))


def _words(folded: str) -> list[str]:
    return [word for word in _BETWEEN.split(folded) if word]


def _telling(folded: str) -> list[str]:
    """The words of a text without those that tell nothing by themselves."""
    return [word for word in _words(folded) if word not in _FILLERS]


def _fits(wanted: Sequence[str], words: Sequence[str]) -> bool:
    return all(any(word.startswith(beginning) for word in words) for beginning in wanted)


def _in_common(wanted: Sequence[str], words: Sequence[str]) -> int:
    """How many words begin one of the others, or are misspelt by little."""
    return sum(
        any(word.startswith(one) or (len(word) > 2 and one.startswith(word)) for word in words)
        or nearest(one, words) is not None
        for one in wanted
    )
