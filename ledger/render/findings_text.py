"""Findings as text: place, sentence, the line with the place marked, why, and what to write."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from itertools import chain
from typing import NamedTuple

from ledger.render.layout import PLAIN, Sheet, fit, wrap, wrap_advice
from ledger.text.finding import Finding, Severity
from ledger.text.shown import safe
from ledger.text.source import TextRange
from ledger.text.width import columns_of, width
from ledger.text.words import counted

INDENT = 4
LABEL = INDENT + 5
LONGEST = 400
"""The most columns for a related line; a longer one is cut."""


def findings_text(
    findings: Sequence[Finding],
    files: int,
    lines: int,
    seconds: float | None = None,
    most: int | None = None,
    sheet: Sheet = PLAIN,
) -> str:
    """The findings, at most `most` of them, and a closing line with the number of all and the time
    taken."""
    shown = findings if most is None else _gravest(findings, most)
    blocks = [finding_text(finding, sheet.width) for finding in shown]
    if len(shown) < len(findings):
        more = counted(len(findings) - len(shown), "more finding", "more findings")
        shows_all = f"{more}; the same command without --most shows all"
        blocks.append(wrap(shows_all, 2, sheet.width) + "\n")
    taken = "" if seconds is None else f" ({seconds:.2f} s)"
    end = wrap(closing(findings, files, lines) + taken, 2, sheet.width)
    return "\n".join([*blocks, end]) + "\n"


def _gravest(findings: Sequence[Finding], count: int) -> list[Finding]:
    """The gravest findings, in their own order."""
    weights = list(Severity)
    by_weight = sorted(range(len(findings)), key=lambda n: weights.index(findings[n].severity))
    return [findings[n] for n in sorted(by_weight[:count])]


def finding_line(finding: Finding) -> str:
    """A finding in one line, as compilers write it; editors read the place from it."""
    said = f"{finding.severity.value}: {safe(finding.message)} [{finding.rule}]"
    return f"{safe(str(finding.place))}: {said}"


def findings_brief(findings: Sequence[Finding]) -> str:
    """A line for each finding."""
    return "".join(f"{finding_line(finding)}\n" for finding in findings)


def finding_text(finding: Finding, across: int = PLAIN.width) -> str:
    """One finding: its line, the place, why it matters, and what to write instead."""
    lines = [wrap_advice(finding_line(finding), INDENT, across), *marked(finding.place, across)]
    for label, text in (("why", finding.why), ("fix", finding.fix)):
        lines.append(" " * INDENT + f"{label}  " + wrap_advice(safe(text), LABEL, across))
    for place in finding.see:
        seen = f"{safe(str(place))}: {_related_line(place)}"
        fits = width(seen) <= across - LABEL
        lines.append(" " * INDENT + "see  " + (seen if fits else wrap(seen, LABEL, across)))
    return "\n".join(lines) + "\n"


def _related_line(place: TextRange) -> str:
    """The line of a related place."""
    # A thousand findings may point to one line, and that line may be the whole book.
    return fit(safe(place.source.lines[place.line].strip()[: LONGEST + 1]).strip(), LONGEST)


def marked(place: TextRange, across: int = PLAIN.width) -> list[str]:
    """The line of a place, and a line of marks below the place.

    The marks count columns of the terminal, not characters: wide characters take two, combining
    ones none. A long line is cut around its place; of a very long one only the shown part is looked
    at.
    """
    text, room = place.source.lines[place.line], across - INDENT
    before = _before(text, place.start, room)
    rest = _shown(text, range(place.start, len(text)))
    inside = _shown(text, range(place.start, min(place.end, len(text))))
    marks = " " * width(before) + "^" * max(width(_fitting(inside, room + 1).text), 1)
    blanks = " " * INDENT
    line = _cut(chain(before, rest), room)
    return [(blanks + line).rstrip(), blanks + marks[:room]]


def _before(text: str, end: int, room: int) -> str:
    """The text before a place, cut to half the room if the line is too long."""
    half = _fitting(_shown(text, range(end - 1, -1, -1)), room // 2)
    if half.is_whole or _fitting(_shown(text, range(len(text))), room).is_whole:
        return "".join(_shown(text, range(end)))
    return "…" + half.text[-2::-1]


def _cut(characters: Iterable[str], room: int) -> str:
    """The characters as a line, cut with an ellipsis if there is no room for all."""
    characters = iter(characters)
    line, is_whole, first = _fitting(characters, room)
    if is_whole:
        return line
    # The ellipsis takes the place of two characters or more.
    some = line + first + next(characters, "")
    return _fitting(iter(some), room - 1).text[: len(some) - 2] + "…"


class _Fitting(NamedTuple):
    """The characters for which there is room, and the first for which there is none."""

    text: str
    is_whole: bool
    first: str = ""


def _fitting(characters: Iterator[str], columns: int) -> _Fitting:
    kept: list[str] = []
    for character in characters:
        columns -= columns_of(character)
        if columns < 0:
            return _Fitting("".join(kept), False, character)
        kept.append(character)
    return _Fitting("".join(kept), True)


def _shown(text: str, places: Iterable[int]) -> Iterator[str]:
    """The characters at some places of a line, as they are shown."""
    for place in places:
        character = text[place]
        if character == "\t":
            yield from "    "
        else:
            yield character if character.isprintable() else safe(character)


def closing(findings: Sequence[Finding], files: int, lines: int) -> str:
    """How many findings there are, by severity, in how much text."""
    read = f"{counted(files, 'file', 'files')}, {lines:,} {'line' if lines == 1 else 'lines'}"
    if not findings:
        return f"No findings in {read}."
    by_severity = Counter(finding.severity for finding in findings)
    plural = {
        Severity.ERROR: ("error", "errors"),
        Severity.WARNING: ("warning", "warnings"),
        Severity.NOTE: ("note", "notes"),
    }
    parts = ", ".join(
        counted(by_severity[severity], *plural[severity])
        for severity in Severity
        if by_severity[severity]
    )
    return f"{counted(len(findings), 'finding', 'findings')} ({parts}) in {read}."
