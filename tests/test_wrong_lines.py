"""Wrong lines of the kind people type, construct by construct: each is found and told what to type.

`wrong-lines/CONSTRUCT.chores` is a sound book, then a line `# wrong`, then one wrong line a line.
Each is read alone behind the book. `wrong-lines/CONSTRUCT.txt` has what it is told, to the letter.
"""

from __future__ import annotations

from functools import cache

import pytest
from golden_findings import block, golden_blocks
from hint_laws import (
    CONSTRUCTS,
    WRONG_LINES,
    assert_fixes_read,
    assert_plain,
    assert_typed_reads,
    parts,
)

from ledger.text.finding import UNREADABLE_LINE, Finding
from ledger.text.source import Source
from ledger.workspace import read_sources


def told(book: list[str]) -> list[Finding]:
    """What is said of a book in reading it."""
    found = read_sources([Source("home.chores", "\n".join(book))]).findings
    return sorted(found, key=lambda finding: finding.place[1:])


@cache
def findings(construct: str) -> dict[str, list[Finding]]:
    """What is said of each wrong line."""
    book, wrong = parts(construct)
    return {line: told([*book, line]) for line in wrong}


def all_findings(construct: str) -> list[Finding]:
    """What is said of all wrong lines, in their order."""
    return [finding for found in findings(construct).values() for finding in found]


def said(construct: str) -> str:
    """What is told of all wrong lines of a construct."""
    return block(all_findings(construct), with_why=False)


TABLES = {
    name: golden_blocks(WRONG_LINES / f"{name}.txt", [name], said)[name] for name in CONSTRUCTS
}


@pytest.mark.parametrize("construct", CONSTRUCTS)
def test_forty_lines_stand_below_a_sound_book(construct: str) -> None:
    book, wrong = parts(construct)
    assert not told(book)
    assert len(set(wrong)) == len(wrong) >= 40


@pytest.mark.parametrize("construct", CONSTRUCTS)
def test_wrong_line_is_told_what_the_table_says(construct: str) -> None:
    """`BESOM_UPDATE_GOLDEN=1 pytest tests/test_wrong_lines.py` writes what lines are told now."""
    assert said(construct) == TABLES[construct]


@pytest.mark.parametrize("construct", CONSTRUCTS)
def test_every_wrong_line_is_found(construct: str) -> None:
    book, _ = parts(construct)
    for line, found in findings(construct).items():
        assert found, line
        assert {finding.place.line for finding in found} == {len(book)}, line


@pytest.mark.parametrize("construct", CONSTRUCTS)
def test_what_is_offered_reads_in_plain_words(construct: str) -> None:
    for finding in all_findings(construct):
        assert_plain(finding)
        assert_typed_reads(finding)
        if finding.rule == UNREADABLE_LINE.name:
            assert_fixes_read(finding)
