"""The flag `expires` under `N days after done`, where it has no effect.

Why it matters: such a chore has no next time that would make the last one too late. So it stays
on the list until it is done, and whoever wrote the flag meant it to go away.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.model import Section
from ledger.lint.book import LintedBook
from ledger.text.cadences import write_cadence
from ledger.text.edits import delete, word_place
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.source import TextRange
from ledger.text.words import listed

RULE = Kind.of(__name__, Severity.NOTE)

BAD = """\
area kitchen

14 days after done
    oven  40 min  in kitchen  expires
                              ^^^^^^^
"""

GOOD = """\
area kitchen

14 days after done
    oven  40 min  in kitchen
"""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such flag: in a header, and in a chore's own line."""
    for section in book.household.sections:
        if not section.is_after_done:
            continue
        # Headers alike are one container, and each has the word.
        lines = [pair for pair in book.sections.get(section, ()) if pair[1].section is section]
        if section.expires and lines:
            yield _finding(section, [name for name, _ in lines], section.place)
        for name, line in lines:
            if book.line_of(line).expires:
                yield _finding(section, [name], line.name_place)


def _finding(section: Section, names: list[str], line: TextRange) -> Finding:
    place = word_place(line, "EXPIRES")
    removal = delete(place)._replace(is_certain=True)
    stay, they, them = ("stays", "it is", "it") if len(names) == 1 else ("stay", "they are", "them")
    return RULE.finding(
        place,
        f"`expires` has no effect under `{write_cadence(section.cadence)}`",
        f"{listed(names)} {stay} on the list until {they} done, with the flag or without it",
        f"{removal.words}, or put {them} under a cadence of the calendar",
        fixes=[removal],
    )
