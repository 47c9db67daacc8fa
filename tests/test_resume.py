"""Resuming: what a review says to begin is a change that `git apply` makes, and only that."""

from __future__ import annotations

import json
import subprocess
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from books import read
from hypothesis import given, settings
from hypothesis import strategies as st
from test_cli import besom, stop_clock

from ledger import load
from ledger.first_book import Catalogue, Person, Wishes
from ledger.text.clauses import ChoreLine, SectionHeader
from ledger.text.edits import resumed
from ledger.text.formatter import format_tree
from ledger.text.source import Source, TextRange
from ledger.text.tree import Tree
from ledger.workspace import read_sources

NOW = datetime(2026, 3, 15, 20)
KEPT = [f"{date(2026, 1, 1) + timedelta(days=n)} did x" for n in range(74)]
BOOK = ['household "Us"', "since 2026-01-01", "", "area k", "", "every day", "    x  5 min  in k"]


def of(tree: Tree, *numbers: int) -> list[TextRange]:
    return [TextRange(tree.source, number, 0, 0) for number in numbers]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        ("every week paused\n", "every week\n"),
        ("every week paused \"paused, for now\"\n", "every week \"paused, for now\"\n"),
        ("every week paused  # paused since May\n", "every week  # paused since May\n"),
        ("every week paused until 2026-05-01\n", "every week until 2026-05-01\n"),
        ("every day\n    paused  5 min  paused\n", "every day\n    paused  5 min\n"),
        ("every  week   paused\t# x\r\n", "every  week\t# x\r\n"),
    ],
)  # fmt: skip
def test_word_goes_and_the_file_keeps_its_shape(before: str, after: str) -> None:
    tree = read(before)
    header = not before.startswith("every day")
    (source,) = resumed([tree.source], of(tree, 0 if header else 1))
    assert source.text == after


def test_files_without_such_a_line_are_left_out() -> None:
    one, other = read("every week paused\n", "a.chores"), read("every day\n", "b.chores")
    (changed,) = resumed([one.source, other.source], of(one, 0))
    assert changed.path == "a.chores"


FAMILY = Wishes(
    (Person("ada"), Person("ben"), Person("edie", 20)), tuple(Catalogue().areas), 60, 120
)
FIRST = read(Catalogue().first_book(FAMILY._replace(weekday=12), "Evening", NOW.date()).text)
PAUSED = [
    line.number for line in FIRST.lines if isinstance(line.node, SectionHeader) and line.node.paused
]


@settings(max_examples=30, deadline=None)
@given(st.sets(st.sampled_from(PAUSED), min_size=1))
def test_all_else_that_a_book_says_stays(numbers: set[int]) -> None:
    (source,) = resumed([FIRST.source], of(FIRST, *numbers))
    changed = read(source.text)
    assert format_tree(changed) == source.text
    for old, new in zip(FIRST.lines, changed.lines, strict=True):
        if old.number in numbers:
            assert isinstance(old.node, (SectionHeader, ChoreLine))
            assert old._replace(node=old.node._replace(paused=False)) == new
        else:
            assert old == new


# ----------------------------------------------------------------------------- what a review shows


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty repository, on a Sunday on which a book of this year has held for ten weeks."""
    subprocess.run(["git", "init", "-q", str(tmp_path)], check=True)
    monkeypatch.chdir(tmp_path)
    stop_clock(monkeypatch, NOW)
    return tmp_path


def write(*lines: str, name: str = "home.chores") -> None:
    Path(name).write_text("\n".join([*lines, ""]), "utf-8")


def applied(*words: str) -> None:
    """Pipe what a review says into `git apply`."""
    said = besom("review", *words).stdout
    run = subprocess.run(["git", "apply"], input=said.encode(), capture_output=True)
    assert (run.returncode, run.stderr) == (0, b"")


def test_change_that_is_shown_begins_what_is_advised(place: Path) -> None:
    write(*BOOK, "", 'every week paused "Later"', "    y  6 min  in k", "", *KEPT)
    said = besom("review").stdout
    assert "`besom review --on 2026-03-15 | git apply`" in said
    before = Path("home.chores").read_text("utf-8")
    applied()
    assert Path("home.chores").read_text("utf-8") == before.replace(" paused", "")
    assert besom("format", "--check").exit_code == 0
    assert "git apply" not in besom("review").stdout


def test_container_in_two_files_begins_in_both(place: Path) -> None:
    write(*BOOK, "", "every week paused", "    y  6 min  in k", "", *KEPT)
    write("every week paused", "    z  2 min  in k", name="more.chores")
    applied()
    assert all(not section.paused for section in load("home.chores").household.sections)


def test_other_containers_stay_paused(place: Path) -> None:
    write(*BOOK, "", "every week paused", "    y  6 min  in k", "", "every monday paused",
          "    z  7 min  in k", "", *KEPT)  # fmt: skip
    applied()
    sections = load("home.chores").household.sections
    assert [section.paused for section in sections] == [False, False, True]


def test_chore_that_waits_in_two_containers_begins_in_one(place: Path) -> None:
    write(*BOOK, "", "every monday during may", "    a  6 min  in k  paused", "",
          "every friday during june", "    a  6 min  in k  paused", "", *KEPT)  # fmt: skip
    applied()
    lines = load("home.chores").household.chores["a"].routines
    assert [line.paused for line in lines] == [False, True]


def test_one_chore_begins_alone(place: Path) -> None:
    write(*BOOK, "", "every week", "    a  6 min  in k  paused", "    b  7 min  in k  paused", "",
          *KEPT)  # fmt: skip
    applied()
    chores = load("home.chores").household.chores
    assert [chores[name].routines[0].paused for name in "ab"] == [False, True]


def test_change_is_a_field_for_programs_and_in_no_table(place: Path) -> None:
    write(*BOOK, "", "every week paused", "    y  6 min  in k", "", *KEPT)
    diff = json.loads(besom("review", "--as", "json").stdout)["diff"]
    assert diff.startswith("--- a/home.chores\n+++ b/home.chores\n")
    assert besom("review").stdout.endswith(diff)
    assert "+++" not in besom("review", "--as", "csv").stdout
    assert "+++" not in besom("review", "--as", "markdown").stdout


def test_nothing_to_begin_is_no_change(place: Path) -> None:
    write(*BOOK, "", *KEPT)
    assert json.loads(besom("review", "--as", "json").stdout)["diff"] == ""
    assert "git apply" not in besom("review").stdout


def test_section_that_lacks_its_from_is_not_begun(place: Path) -> None:
    write(*BOOK, "", "every 2 weeks paused", "    y  6 min  in k", "", *KEPT)
    assert "Nothing is paused" in besom("review").stdout


def test_only_the_chores_of_a_first_book_that_did_not_fit_are_paused_in_it() -> None:
    book = Catalogue().first_book(FAMILY._replace(weekday=12), "Evening", NOW.date())
    workspace = read_sources([Source("home.chores", book.text)])
    lines = [one.node for tree in workspace.trees for one in tree.lines]
    paused = [node.name.value for node in lines if isinstance(node, ChoreLine) and node.paused]
    assert set(paused) == set(book.left)
    assert paused
