"""Findings: what is wrong somewhere, why it matters, and what to write instead."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from ledger.text.source import Place


class Severity(Enum):
    """How much a finding weighs."""

    ERROR = "error"
    """The book means nothing there, or someone could be hurt."""
    WARNING = "warning"
    """The book is read as written, and it will go wrong."""
    ADVICE = "advice"
    """Nothing is wrong; something could be better."""


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
    fix: str
    """An instruction with the text to type."""
    see: tuple[Place, ...] = ()
    """Other places that belong to the fault."""

    def at(self, place: Place) -> Finding:
        """The same fault at another place; a name that is gone may stand a thousand times."""
        return Finding(self.rule, self.severity, place, self.message, self.why, self.fix, self.see)
