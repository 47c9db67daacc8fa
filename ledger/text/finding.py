"""Findings: what is wrong somewhere, why it matters, and what to write instead."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from functools import cached_property

from ledger.text.source import Place


class Severity(Enum):
    """How much a finding weighs."""

    ERROR = "error"
    """The book means nothing there, or someone could be hurt."""
    WARNING = "warning"
    """The book is read as written, and it will go wrong."""
    ADVICE = "advice"
    """Nothing is wrong; something could be better."""


class Late:
    """A text that is worked out when it is first read; it equals a text that reads the same."""

    def __init__(self, make: Callable[[], str]) -> None:
        self._make = make

    @cached_property
    def _text(self) -> str:
        return self._make()

    def __str__(self) -> str:
        return self._text

    def __repr__(self) -> str:
        return repr(self._text)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, (Late, str)) and self._text == str(other)

    def __hash__(self) -> int:
        return hash(self._text)


@dataclass(frozen=True)
class Finding:
    """One fault, said so that its reader knows what to type next."""

    rule: str
    severity: Severity
    place: Place
    message: str
    """A fact about the reader's file: present tense, lower case, no full stop."""
    why: str
    """What goes wrong at home, with its dates and figures."""
    remedy: str | Late
    """What `fix` reads; a household is made, and most are, without anybody reading it."""
    see: tuple[Place, ...] = ()
    """Other places that belong to the fault."""

    @property
    def fix(self) -> str:
        """An instruction with the text to type."""
        return str(self.remedy)
