"""Small books that once took long: the work they make grows as they do.

Work is counted in lines of this package that run, so that no clock has a say. `tests/abuse/`
has the same inputs at their full size, and the seconds.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest
from counted_work import LITTLE, STEEPEST, lines_run
from inputs import Versions, a_chore, load_all, thinned
from random_books import random_book

from ledger.lint.since import new_findings
from ledger.render.findings_text import findings_text
from ledger.text.formatter import formatted
from ledger.text.hints.merge import one_a_conflict
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.versions.compare import compare
from ledger.versions.merge import merge
from ledger.versions.record_changes import compare_records
from ledger.workspace import read_sources

OF_TEXT = ("inputs_text", "inputs_wrong")
INPUTS = {name: one for name, one in load_all().items() if one.make.__module__ in OF_TEXT}
# So much tells a line from a square, and is soon counted.
SIZES = (25, 50, 100)


def read_and_shown(versions: Versions) -> None:
    """What reading a book and telling of its faults takes."""
    source = Source("home.chores", versions.book)
    findings_text(one_a_conflict([*read_sources([source]).findings]), 1, 1)


def put_in_shape(versions: Versions) -> None:
    """What formatting a book takes."""
    formatted(Reader().read(Source("home.chores", versions.book)))


def put_together(versions: Versions) -> None:
    """What merging takes."""
    base, ours, theirs = (Source(name, text) for name, text in versions._asdict().items())
    merge(base, ours, theirs)


def laid_side_by_side(versions: Versions) -> None:
    """What telling the changes of a book takes, without what they do to the week."""
    old, new = (
        read_sources([Source("home.chores", text)]) for text in (versions.before, versions.book)
    )
    compare(old.household, new.household)
    compare_records(old.trees, new.trees, {})
    new_findings(old.findings, new.findings)


@pytest.mark.parametrize("task", [read_and_shown, put_in_shape, put_together, laid_side_by_side])
@pytest.mark.parametrize("name", INPUTS)
def test_work_grows_as_the_book_does(name: str, task: Callable[[Versions], None]) -> None:
    # What is worked out once for all, as the grammar is, is worked out before.
    task(INPUTS[name].versions(4))
    least, middle, most = (lines_run(task, INPUTS[name].versions(n)) for n in SIZES)
    assert most - middle <= STEEPEST * max(middle - least, LITTLE)


def test_inputs_make_about_what_they_are_asked_for() -> None:
    for one in INPUTS.values():
        book = one.versions(one.size).book
        assert 20_000 < len(book.encode("utf-8", "surrogateescape")) <= 110_000 or one.commands, one
        assert len(one.versions(20).book) < len(one.versions(40).book), one


def test_thinned_versions_lack_lines_of_their_own() -> None:
    book = "".join(f"    a-{number}\n" for number in range(20))
    versions = thinned(book)
    assert versions == Versions(book, versions.before, versions.theirs)
    assert "a-3\n" not in versions.before
    assert "a-7\n" in versions.before
    assert "a-7\n" not in versions.theirs
    assert "a-3\n" in versions.theirs
    assert a_chore(book) == "a-0"


def test_random_books_are_the_same_each_time_and_no_two_alike() -> None:
    one, other = random_book(1), random_book(2)
    assert one == random_book(1) != other
    assert 100_000 <= len(one.encode("utf-8", "surrogateescape")) < 400_000
