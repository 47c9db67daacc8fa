"""Sources and text ranges: where a text came from, and places in it."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cached_property
from operator import itemgetter
from typing import Any, NamedTuple, TypeVar

T = TypeVar("T")

BYTE_ORDER_MARK = "\ufeff"

# Bidirectional controls can make a line show other words than it holds; line and paragraph
# separators end a line in some editors only; lone surrogates are bytes that were not UTF-8.
UNSAFE_CHARACTERS = (
    "\x00-\x08\x0a-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069\u2028\u2029\ufeff\ud800-\udfff"
)
"""Written as between the brackets of a regular expression."""
UNSAFE = re.compile(f"[{UNSAFE_CHARACTERS}]")


@dataclass(frozen=True)
class Source:
    """One file or buffer: its name as the reader knows it, and its text.

    Bytes that are not UTF-8 stand in the text as lone surrogates, so that a fault can name
    their place and `encode` gives the same bytes back.
    """

    path: str
    text: str = field(repr=False)
    has_mark: bool = False
    """True where the bytes began with a byte-order mark, which `text` leaves out."""

    @classmethod
    def decode(cls, path: str, data: bytes) -> Source:
        """The source of these bytes; any bytes are accepted."""
        text = data.decode("utf-8", "surrogateescape")
        if text.startswith(BYTE_ORDER_MARK):
            return cls(path, text[1:], has_mark=True)
        return cls(path, text)

    def encode(self) -> bytes:
        """The bytes that `decode` was given."""
        mark = BYTE_ORDER_MARK if self.has_mark else ""
        return (mark + self.text).encode("utf-8", "surrogateescape")

    @cached_property
    def lines(self) -> list[str]:
        """The lines without their ends; no empty line after the last line end."""
        text = self.text.replace("\r\n", "\n") if "\r" in self.text else self.text
        lines = text.split("\n")
        if not lines[-1]:
            lines.pop()
        return lines

    def spliced(self, start: int, end: int, new: str) -> Source:
        """The source with `new` in place of a part; lines that stay are the same objects as
        before."""
        text = self.text[:start] + new + self.text[end:]
        source = Source(self.path, text, self.has_mark)
        first = self.text.count("\n", 0, start)
        rows = first + self.text.count("\n", start, end) + 1
        begin = self.text.rfind("\n", 0, start) + 1
        stop = self.text.find("\n", end)
        # The last row has no line end; where it is empty it is not a line.
        rest = "" if stop < 0 else self.text[end : stop + 1]
        part = Source("", self.text[begin:start] + new + (rest or self.text[end:])).lines
        source.__dict__["lines"] = self.lines[:first] + part + self.lines[rows:]
        return source

    @property
    def newline(self) -> str:
        """The line end of the first line, for lines that are added.

        A line whose text ends in CR is passed over: it keeps its CR only with CR LF, whatever the
        file uses.
        """
        end = self.text.find("\n")
        while end > 1 and self.text[end - 2 : end] == "\r\r":
            end = self.text.find("\n", end + 1)
        return "\r\n" if end > 0 and self.text[end - 1] == "\r" else "\n"


def equal_but_for(*fields: str) -> Callable[[type[T]], type[T]]:
    """Leaves some fields of a named tuple out of `==` and of its hash: where something stands does
    not change what it says.

    What frozen dataclasses do is left to named tuples: a day's list waits for its modules to load,
    and a named tuple is made in a fifth of the time.
    """

    def decorate(cls: Any) -> Any:
        compared = itemgetter(*(n for n, name in enumerate(cls._fields) if name not in fields))

        def equal(self: Any, other: Any) -> bool:
            return type(other) is cls and bool(compared(self) == compared(other))

        cls.__eq__, cls.__ne__ = equal, lambda self, other: not equal(self, other)
        cls.__hash__ = lambda self: hash(compared(self))
        return cls

    return decorate


class TextRange(NamedTuple):
    """A range of one line. Lines and columns count from 0 here, in code points."""

    source: Source
    line: int
    start: int
    end: int

    @property
    def text(self) -> str:
        """The characters that stand there."""
        return self.source.lines[self.line][self.start : self.end]

    def __str__(self) -> str:
        """`file:line:column` as people count them, from 1."""
        return f"{self.source.path}:{self.line + 1}:{self.start + 1}"
