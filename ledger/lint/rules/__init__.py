"""All rules by name. A rule is a module of this folder, and has the name of its file.

Each holds its documentation (first sentence: what it finds; then why), `RULE` with its severity,
`BAD` and `GOOD` books with the findings marked, and `check`, unless its findings come from reading.
A rule about things that can hurt says `IS_SAFETY = True`. A rule about how a book is written, and
not about what it says, says `IS_SHAPE = True`. With `MAY_ALLOW = False` the editor offers no
comment to allow it.
"""

from __future__ import annotations

import importlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ledger.household.things import LAST_WORD
from ledger.lint.book import LintedBook
from ledger.lint.rule_titles import rule_modules
from ledger.text.finding import Finding, Kind

PLACEHOLDER = "say why"
"""What a comment has for its reason until someone writes one. With it, nothing is allowed."""


@dataclass(frozen=True)
class Rule:
    """A rule of the linter."""

    kind: Kind
    about: str
    """What it finds and why that matters."""
    bad: str
    """A book with such a fault. The line below a finding marks its place."""
    good: str
    """The same book, mended."""
    check: Callable[[LintedBook], Iterator[Finding]] | None
    """None where the reader or the resolver raises the findings."""
    is_safety: bool
    """True where someone could be hurt."""
    is_shape: bool
    """True where it is about how a book is written and not what it says."""
    may_allow: bool
    """False where a line with the fault means nothing. If it were allowed, it would still be on no
    list, and nobody would be told."""

    @property
    def name(self) -> str:
        """The name that a comment allows it by."""
        return self.kind.name

    @property
    def title(self) -> str:
        """What it finds: the first sentence of its documentation."""
        return " ".join(self.about.strip().split("\n\n")[0].split()).rstrip(".")


_CAUTIONS = f"""
`besom explain cautions` lists the words, what to mind with each, which two must never meet, and
who says so.
{LAST_WORD}
"""


def _rule(name: str) -> Rule:
    module = importlib.import_module(f"{__name__}.{name}")
    is_safety = getattr(module, "IS_SAFETY", False)
    return Rule(
        kind=module.RULE,
        about=(module.__doc__ or "") + (_CAUTIONS if is_safety else ""),
        bad=module.BAD,
        good=module.GOOD,
        check=getattr(module, "check", None),
        is_safety=is_safety,
        is_shape=getattr(module, "IS_SHAPE", False),
        may_allow=getattr(module, "MAY_ALLOW", True),
    )


RULES = {rule.name: rule for rule in map(_rule, rule_modules())}
