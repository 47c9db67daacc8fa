"""Where two answer differently about one book, and the smallest such book that can be found."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from list_laws import Answers, Outcomes, RowKey
from random_homes import RandomHome, iso

CLAUSES = (
    r" (?:during|except) [^#\n]*?(?= except| within| from| until| vital| expires| spare| paused|$)",
    r" within \d+ days",
    r" (?:from|until) [\d-]+$",
    r" (?:vital|expires|spare|paused)",
    r" by [^#\n]*?(?= during| except| from| until| vital| expires| spare| paused|$)",
    r" (?:\d+ min|\d+ h)",
    r", [^,\n]*$",
)
"""What may be left out of a line."""


class Question(NamedTuple):
    """One of the questions about a book that two sides are asked."""

    name: str
    kind: str
    day: int

    def answer(self, side: Answers, text: str) -> object:
        """What a side answers."""
        match self.kind:
            case "rows":
                return sorted(side.rows(text, self.day), key=str)
            case "windows":
                rows = side.rows(text, self.day)
                return {row: side.windows(text, row, self.day - 50, self.day) for row in rows}
            case "list":
                return sorted(side.listed(text, self.day), key=str)
        return _past(side.outcomes(text, self.day), self.day)

    def difference(self, one: Answers, other: Answers, text: str) -> str | None:
        """What two sides answer, where they differ or one of them fails."""
        try:
            mine, theirs = self.answer(one, text), self.answer(other, text)
        except Exception as error:
            return f"{self.kind}: {self.name}:\n  {error!r}"
        return None if mine == theirs else f"{self.kind}: {self.name}:\n  {mine}\n  {theirs}"


def questions(days: Sequence[int]) -> Iterator[Question]:
    """The rows, their windows, each day's list, and what became of all, one after another."""
    last = days[-1]
    yield Question("rows", "rows", last)
    yield Question("windows", "windows", last)
    for day in days:
        yield Question(f"list of {iso(day)}", "list", day)
    for day in (days[len(days) // 2], last):
        yield Question(f"outcomes by {iso(day)}", "outcomes", day)


def first_difference(
    one: Answers, other: Answers, text: str, days: Sequence[int]
) -> Question | None:
    """The first question on which two answer differently; None where they agree."""
    for question in questions(days):
        if question.difference(one, other, text) is not None:
            return question
    return None


def _past(outcomes: dict[RowKey, Outcomes], day: int) -> dict[RowKey, object]:
    """What became of the windows that have opened, or that a line settled."""
    return {
        row: (
            sorted(one for one in found.windows if one.line is not None or one.first <= day),
            sorted(found.extras),
        )
        for row, found in outcomes.items()
    }


def shrunk(text: str, still: Callable[[str], bool], seconds: float = 20) -> str:
    """A text from which as little as can be found in some time is left out, so that something
    still holds."""
    end = time.monotonic() + seconds
    changed = True
    while changed:
        changed = False
        for smaller in _smaller(text):
            if time.monotonic() > end:
                return text
            if smaller != text and still(smaller):
                text, changed = smaller, True
                break
    return text


def _smaller(text: str) -> Iterator[str]:
    lines = text.splitlines()
    for size in (8, 4, 2, 1):
        for at in range(len(lines) - size, -1, -1):
            yield "\n".join([*lines[:at], *lines[at + size :], ""])
    for at, line in enumerate(lines):
        for clause in CLAUSES:
            yield "\n".join([*lines[:at], re.sub(clause, "", line, count=1), *lines[at + 1 :], ""])


def smallest_home(home: RandomHome, still: Callable[[RandomHome], bool]) -> RandomHome:
    """A home with as little in its routine as something still holds for."""

    def holds(text: str) -> bool:
        routine = tuple(text.splitlines())
        has_chore = any(line.startswith("    ") for line in routine)
        return has_chore and still(home._replace(routine=routine))

    return home._replace(routine=tuple(shrunk("\n".join(home.routine), holds).splitlines()))
