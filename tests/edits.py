"""Random typing: edits as a hand makes them, and as one that slips does."""

from __future__ import annotations

import random
from typing import Any, NamedTuple

PIECES = (
    "    oven  40 min  in kitchen\n", "every monday\n",
    "2026-11-20 did oven 12 min, bins by noor\n",
    "area küche \"🍲 Küche\"\n", "person noor\n", "# why\n", "\n", " ", "  ", "\r\n", "\r", "\t",
    "in ", "by noor then tam", "uses lye", "🍲", "e\u0301", "\ufeff", "\u2028", "\"", "#", ",",
    "2026-11-2", "d", "o", "é", "\0", "paused ", "# allow missing-area: it moves about\n",
    "<<<<<<< ours\n", "=======\n", ">>>>>>> theirs\n", "did", "limit weekday 45 min\n", "h", "1",
)  # fmt: skip


class Typed(NamedTuple):
    """A change of a text, in code points."""

    start: int
    end: int
    new: str

    def applied(self, text: str) -> str:
        """The text after the change."""
        return text[: self.start] + self.new + text[self.end :]


def typing(chance: random.Random, text: str, longest: int = 4000) -> Typed:
    """Something typed, deleted or put in the place of something else.

    Never between the CR and LF of one line end, where no editor can point.
    """
    start = _place(text, chance.randrange(len(text) + 1))
    if len(text) > longest or (text and chance.random() < 0.3):
        end = _place(text, min(len(text), start + chance.choice((1, 1, 2, 9, 60))))
        new = chance.choice(("", "", chance.choice(PIECES)))
        return Typed(start, max(start, end), new)
    return Typed(start, start, chance.choice(PIECES))


def _place(text: str, offset: int) -> int:
    return offset - (text[offset - 1 : offset + 1] == "\r\n" and offset > 0)


def position(text: str, offset: int) -> dict[str, int]:
    """A place as the protocol counts it, reckoned from the bytes of UTF-16."""
    before = text[:offset].replace("\r\n", "\n").replace("\r", "\n")
    line = before.rpartition("\n")[2]
    return {
        "line": before.count("\n"),
        "character": len(line.encode("utf-16-le", "surrogatepass")) // 2,
    }


def change(text: str, typed: Typed) -> dict[str, Any]:
    """A change as the protocol carries it."""
    span = {"start": position(text, typed.start), "end": position(text, typed.end)}
    return {"range": span, "text": typed.new}
