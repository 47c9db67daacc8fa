"""Whole small books: any of them is read, answered and linted, however its files are cut."""

from __future__ import annotations

import pytest
import strategies as some
from books import day, iso
from hypothesis import given
from hypothesis import strategies as st

from ledger.household.model import Household
from ledger.lint.book import Book
from ledger.lint.engine import lint
from ledger.report.due import due
from ledger.report.week import week
from ledger.schedule.status import State, standings
from ledger.text.source import Source
from ledger.workspace import Workspace, read_sources

TODAY = day("2026-03-04")
days = st.integers(some.BASE - 100, some.BASE + 400)


def read(*texts: str) -> Workspace:
    """The household of some files, named in order."""
    return read_sources(Source(f"{number}.chores", text) for number, text in enumerate(texts))


def stands(household: Household, on: int) -> list[tuple[str, str, State, int, int]]:
    """Where every chore stands, in no order of the book."""
    return sorted(
        (one.chore.name, one.person or "", one.state, one.first, one.last)
        for one in standings(household, on, TODAY)
    )


@given(some.small_books())
def test_a_sound_book_is_read_without_a_finding(book: some.SmallBook) -> None:
    assert [finding.message for finding in read(book.text()).findings] == []
