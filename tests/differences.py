"""Where two answer differently about one book, and the smallest such book that can be found."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence

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


def difference(one: Answers, other: Answers, text: str, days: Sequence[int]) -> str | None:
    """The first question on which two answer differently; None where they agree."""
    for (question, mine), (_, theirs) in zip(
        _answers(one, text, days), _answers(other, text, days), strict=True
    ):
        if mine != theirs:
            return f"{question}:\n  {mine}\n  {theirs}"
    return None


def _answers(side: Answers, text: str, days: Sequence[int]) -> Iterator[tuple[str, object]]:
    """The rows, their windows, each day's list, and what became of all, one after another."""
    first, last = days[0], days[-1]
    rows = side.rows(text, last)
    yield "rows", rows
    yield "windows", {row: side.windows(text, row, first - 10, last) for row in rows}
    for day in days:
        yield f"list of {iso(day)}", sorted(side.listed(text, day), key=str)
    for day in (days[len(days) // 2], last):
        yield f"outcomes by {iso(day)}", _past(side.outcomes(text, day), day)


def _past(outcomes: dict[RowKey, Outcomes], day: int) -> dict[RowKey, object]:
    """What became of the windows that have opened, or that a line settled."""
    return {
        row: (
            sorted(one for one in found.windows if one.line is not None or one.first <= day),
            sorted(found.extras),
        )
        for row, found in outcomes.items()
    }


def shrunk(text: str, still: Callable[[str], bool]) -> str:
    """A text from which no line and no clause can be left out, so that something still holds."""
    changed = True
    while changed:
        changed = False
        for smaller in _smaller(text):
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
