"""All rules by name. A rule is a module of this folder; its file is its name.

Each holds its documentation (first sentence: what it finds; then why), `BAD` and `GOOD`
books with the findings marked, and `check`, unless reading itself raises its findings.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ledger.lint.book import Book
from ledger.text.finding import Finding

NAMES = (
    "empty-section",
    "future-line",
    "impossible-date",
    "impossible-number",
    "missing-area",
    "missing-from",
    "missing-minutes",
    "misspelt-hazard",
    "mixed-line-ends",
    "not-formatted",
    "not-in-force",
    "overlap",
    "overloaded-day",
    "repeated-line",
    "repeated-name",
    "repeated-word",
    "unknown-name",
    "unreadable-line",
    "unused-allow",
    "unused-area",
)


@dataclass(frozen=True)
class Rule:
    """A rule of the linter."""

    name: str
    about: str
    """What it finds and why that matters."""
    bad: str
    """A book that it finds fault with: the line below a finding marks its place."""
    good: str
    """The same book, mended."""
    check: Callable[[Book], Iterator[Finding]] | None
    """None where the reader or the resolver raises the findings."""


def _rule(name: str) -> Rule:
    module = importlib.import_module(f"{__name__}.{name.replace('-', '_')}")
    return Rule(name, module.__doc__ or "", module.BAD, module.GOOD, getattr(module, "check", None))


RULES = {name: _rule(name) for name in NAMES}
