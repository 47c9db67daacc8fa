"""All rules by name. A rule is a module of this folder; its file is its name.

Each holds its documentation (first sentence: what it finds; then why), `BAD` and `GOOD`
books with the findings marked, and `check`, unless reading itself raises its findings. One about
what can hurt says `IS_SAFETY = True`.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ledger.household.things import LAST_WORD
from ledger.lint.book import Book
from ledger.text.finding import Finding

NAMES = (
    "after-circle",
    "after-other-days",
    "away-twice",
    "contradicting-limits",
    "dangerous-pair",
    "done-twice",
    "drifted-minutes",
    "empty-section",
    "falls-rarely",
    "from-after-until",
    "future-line",
    "idle-person",
    "impossible-date",
    "impossible-move",
    "impossible-number",
    "line-while-away",
    "long-paused",
    "missing-area",
    "missing-from",
    "missing-minutes",
    "misspelt-hazard",
    "mixed-line-ends",
    "neglected-area",
    "never-falls",
    "new-without-from",
    "not-formatted",
    "not-given-to",
    "not-in-force",
    "out-of-order-line",
    "overlap",
    "overloaded-day",
    "overloaded-person",
    "repeated-line",
    "repeated-name",
    "repeated-word",
    "unfinished-merge",
    "unknown-name",
    "unlikely-minutes",
    "unreadable-line",
    "unstated-hazard",
    "unused-allow",
    "unused-area",
)


PLACEHOLDER = "say why"
"""What stands in the place of a reason to allow a finding until someone writes one: with it
nothing is allowed."""


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
    is_safety: bool
    """True where someone could be hurt."""


_CAUTIONS = f"""
`besom explain cautions` lists the words, what to mind with each, which two must never meet, and
who says so.
{LAST_WORD}
"""


def _rule(name: str) -> Rule:
    module = importlib.import_module(f"{__name__}.{name.replace('-', '_')}")
    is_safety = getattr(module, "IS_SAFETY", False)
    about = (module.__doc__ or "") + (_CAUTIONS if is_safety else "")
    return Rule(name, about, module.BAD, module.GOOD, getattr(module, "check", None), is_safety)


RULES = {name: _rule(name) for name in NAMES}
