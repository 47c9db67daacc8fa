"""Findings: what is wrong somewhere, why it matters, and what to write instead."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from enum import Enum
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from ledger.text.source import TextRange


class Severity(Enum):
    """How serious a finding is; the words are those of SARIF 2.1.0, 3.27.10 (OASIS 2020)."""

    ERROR = "error"
    """The book means nothing there, or someone could be hurt."""
    WARNING = "warning"
    """The book is read as written, and it will go wrong."""
    NOTE = "note"
    """Nothing is wrong; something could be better."""


class TextEdit(NamedTuple):
    """New text for a part of a file. Lines and columns count from 0, in code points; `end` is the
    first character that stays."""

    path: str
    line: int
    start: int
    end_line: int
    end: int
    new: str


class Fix(NamedTuple):
    """One way to fix a fault: what it does in a few words, and the edits that do it."""

    title: str
    """An instruction that ends in the text to type, such as "Write `in kitchen`"."""
    edits: tuple[TextEdit, ...]
    is_certain: bool = False
    """True where nothing is lost and no date or turn changes: `besom lint --fix` applies it."""
    solves: bool = True
    """False where a person still has to fill something in."""

    @property
    def words(self) -> str:
        """The title as a part of a sentence."""
        return self.title[:1].lower() + self.title[1:]


@dataclass(frozen=True)
class Finding:
    """One fault, worded so that its reader knows what to type next."""

    rule: str
    severity: Severity
    place: TextRange
    message: str
    """A fact about the reader's file: present tense, lower case, no full stop."""
    why: str
    """What goes wrong at home, with its dates and figures."""
    fix: str
    """What to do, for people to read, with the text to type."""
    see: tuple[TextRange, ...] = ()
    """Other places that belong to the fault."""
    fixes: tuple[Fix, ...] = field(default_factory=tuple, compare=False)
    """The ways to fix it that need no question, the likeliest first."""

    @classmethod
    def late(cls, make: Callable[[], Finding], **known: object) -> Finding:
        """A finding with some fields known; `make` gives the others when one is first read.

        Most commands read only the severity and the line. The meaning of a thousand wrong words is
        worked out only where it is shown. Give `see` where it is not empty: its default hides what
        `make` would give.
        """
        finding = object.__new__(cls)
        vars(finding).update(known, _make=make)
        return finding

    def moved(self, place: TextRange) -> Finding:
        """The same finding at another place; the edits of its own line move with it."""
        fixes = tuple(
            fix._replace(edits=tuple(_moved(edit, self.place, place) for edit in fix.edits))
            for fix in self.fixes
        )
        return replace(self, place=place, fixes=fixes)

    @cached_property
    def line(self) -> tuple[str, int]:
        """Its file and its line, counted from 0."""
        return _line(self.place)

    if not TYPE_CHECKING:  # Type checkers must still reject a field that no finding has.

        def __getattr__(self, name: str) -> object:
            if name not in self.__dataclass_fields__ or "_make" not in vars(self):
                raise AttributeError(name)
            made = vars(self).pop("_make")()
            for name_of_field in self.__dataclass_fields__:
                vars(self).setdefault(name_of_field, getattr(made, name_of_field))
            return vars(self)[name]


def _line(place: TextRange) -> tuple[str, int]:
    return place.source.path, place.line


def _moved(edit: TextEdit, old: TextRange, new: TextRange) -> TextEdit:
    """An edit of the line of the old place, moved to the line of the new one; others stay."""
    if (edit.path, edit.line, edit.end_line) != (*_line(old), old.line):
        return edit
    shift = new.start - old.start
    return TextEdit(*_line(new), edit.start + shift, new.line, edit.end + shift, edit.new)


Fixes = Sequence[Fix]


class Kind(NamedTuple):
    """A rule by its name, with the severity of its findings."""

    name: str
    severity: Severity

    @classmethod
    def of(cls, module: str, severity: Severity) -> Kind:
        """The kind of the rule in a module; the last part of the module's name is the rule's
        name."""
        return cls(module.rpartition(".")[2].replace("_", "-"), severity)

    def finding(
        self,
        place: TextRange,
        message: str,
        why: str,
        fix: str,
        see: tuple[TextRange, ...] = (),
        fixes: Fixes | Callable[[], Fixes] = (),
        severity: Severity | None = None,
    ) -> Finding:
        """A finding of this kind.

        `fixes` may be a function, which is called when they are first read. `severity` is for the
        few findings that are more or less serious than their rule.
        """
        known = self.name, severity or self.severity, place, message, why, fix, see
        if not callable(fixes):
            return Finding(*known, tuple(fixes))
        make = fixes
        values = vars(Finding(*known))
        del values["fixes"]
        return Finding.late(lambda: Finding(*known, tuple(make())), **values)


# Faults that the reader finds; a module of `ledger/lint/rules/` explains each.
IMPOSSIBLE_DATE = Kind("impossible-date", Severity.ERROR)
IMPOSSIBLE_NUMBER = Kind("impossible-number", Severity.ERROR)
MISSING_FROM = Kind("missing-from", Severity.ERROR)
REPEATED_NAME = Kind("repeated-name", Severity.ERROR)
REPEATED_WORD = Kind("repeated-word", Severity.ERROR)
UNFINISHED_MERGE = Kind("unfinished-merge", Severity.ERROR)
UNKNOWN_NAME = Kind("unknown-name", Severity.ERROR)
UNREADABLE_LINE = Kind("unreadable-line", Severity.ERROR)
