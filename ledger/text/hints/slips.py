"""Slips as rows of a table: what could stand in a line, what stands there, and what to write
instead."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import KW_ONLY, dataclass
from functools import cached_property

from ledger.text.hints.misread import Hint, Misread
from ledger.text.hints.reading import Edit, applied, gets_past, reads
from ledger.text.hints.vocabulary import WORD_END, Pattern

Words = dict[str, str]
"""The texts of the groups in a slip's patterns, with `wrong`, the words at the fault, and `date`,
an example date."""
New = str | Callable[[Words], str | None]
"""What to write: a text with names of groups in braces, or a function that gives one, or None."""

LEAVE_OUT = "leave it out: {}"
SAYS = 'a book says `{new}`, not "{wrong}"'
ANY_WORD = r"[^\s,#\"]+"
TO_THE_END = r".+"


def line_reads(text: str, edit: Edit) -> bool:
    """True where the edited line can be read."""
    return reads(applied(text, edit))


def next_word_fits(text: str, edit: Edit) -> bool:
    """True where the reader gets past the word after an edit too."""
    return gets_past(text, edit, further=True)


@dataclass(frozen=True, eq=False)
class Slip:
    """A slip, and how to fix it. The new words replace the wrong ones and the group `old` before
    them."""

    wants: str
    """All these kinds of words could stand where the reader stopped."""
    wrong: str | None
    """A pattern of the wrong words; only its group `wrong` is marked, where it has one. None at the
    end of the words."""
    new: New | tuple[New, ...]
    message: str | Callable[[Words], str]
    """The message; `new` in braces is the first text to write."""
    fix: str | Callable[[Words], str] = "write {}"
    _: KW_ONLY
    before: str = ""
    """A pattern of the text right before; the new words replace its group `old` too."""
    start: str = ""
    """The kinds of lines that can have it; empty for all."""
    unless: str = ""
    """Where one of these kinds of words could stand, it is not this slip."""
    touches: bool = False
    """True where other characters may touch the end of the wrong words."""
    adds: bool = False
    """True where the wrong words stay and the new ones go before them."""
    joins: bool = False
    """True where the blanks before the wrong words go too."""
    whole: bool = False
    known: str = ""
    """`areas` or `people` if the groups `name` and `previous` must be names of these."""
    check: Callable[[str, Edit], bool] | None = None
    is_example: bool = False

    def __call__(self, miss: Misread) -> Hint | None:
        """The hint for a line, or None where the line does not have this slip."""
        if not self._fits(miss):
            return None
        match = self._wrong.match(miss.text, miss.at, miss.body)
        before = self._before.search(miss.text, miss.at) if match else None
        if match is None or before is None:
            return None
        words = {"wrong": match[0], "date": miss.date} | before.groupdict("") | match.groupdict("")
        names = {words[group] for group in ("name", "previous") if group in words}
        if self.known and not names.issubset(getattr(miss, self.known)):
            return None
        begin = before.start("old") if "old" in words else miss.at
        begin = len(miss.head) if self.joins else begin
        edits = self._edits(words, begin, miss.at if self.adds else match.end())
        if not edits or (self.check and not all(self.check(miss.text, edit) for edit in edits)):
            return None
        end = match.end("wrong") if "wrong" in match.groupdict() else edits[0].end
        words["new"] = edits[0].new
        message = self.message(words) if callable(self.message) else self.message.format(**words)
        fix = (
            self.fix(words)
            if callable(self.fix)
            else self.fix.format(*["{}"] * len(edits), **words)
        )
        return Hint(message, fix, edits, end, self.whole, self.is_example)

    def _fits(self, miss: Misread) -> bool:
        if miss.ended != (self.wrong is None) or (self.start and miss.start not in self.start):
            return False
        if self._wants and not miss.wants(*self._wants):
            return False
        return miss.expected.isdisjoint(self._unless)

    def _edits(self, words: Words, begin: int, end: int) -> tuple[Edit, ...]:
        alternatives = self.new if isinstance(self.new, tuple) else (self.new,)
        texts = (new(words) if callable(new) else new.format(**words) for new in alternatives)
        return tuple(Edit(begin, end, text) for text in texts if text is not None)

    @cached_property
    def _wants(self) -> tuple[str, ...]:
        return tuple(self.wants.split())

    @cached_property
    def _unless(self) -> tuple[str, ...]:
        return tuple(self.unless.split())

    @cached_property
    def _wrong(self) -> Pattern:
        end = "" if self.touches else WORD_END
        return Pattern(f"(?:{self.wrong or ''}){end}", re.IGNORECASE)

    @cached_property
    def _before(self) -> Pattern:
        return Pattern(rf"(?:{self.before})\Z", re.IGNORECASE)
