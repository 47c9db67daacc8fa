"""Workspace: which files are the book, and what they say together."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from itertools import permutations
from pathlib import Path

import pytest
from books import day

from ledger.text.source import Source
from ledger.workspace import (
    Workspace,
    WorkspaceFault,
    find_books,
    load_source,
    read_household,
    read_sources,
)
from ledger.writing import record_file

ROUTINE = "area kitchen\nevery day\n    cups  5 min  in kitchen\n"


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, empty."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(*paths: str, text: str = ROUTINE) -> None:
    """Books with a text, in folders that are made for them."""
    for path in map(Path, paths):
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")


def found(*paths: str) -> list[str]:
    return [book.as_posix() for book in find_books([Path(path) for path in paths])]


def workspace(*texts: str) -> Workspace:
    """The workspace of books named a.chores, b.chores and so on."""
    return read_sources(Source(f"{'abc'[n]}.chores", text) for n, text in enumerate(texts))


# ----------------------------------------------------------------------------- which files


def test_books_of_a_folder_are_all_below_it_in_order_of_name(folder: Path) -> None:
    write("home.chores", "2026.chores", "garden/shed.chores", "garden/a.chores", "notes.txt")
    assert found(".") == ["2026.chores", "garden/a.chores", "garden/shed.chores", "home.chores"]
    assert found("garden") == ["garden/a.chores", "garden/shed.chores"]


def test_hidden_files_and_folders_are_nobodys_book(folder: Path) -> None:
    write("home.chores", ".home.chores", ".old/home.chores", "garden/.git/a.chores")
    assert found(".") == ["home.chores"]


def test_hidden_folder_that_is_named_is_read(folder: Path) -> None:
    write(".homes/home.chores", ".homes/.old/home.chores")
    assert found(".homes") == [".homes/home.chores"]


def test_folder_that_ends_like_a_book_is_a_folder(folder: Path) -> None:
    write("home.chores", "flat.chores/attic.chores")
    assert found(".") == ["flat.chores/attic.chores", "home.chores"]


def test_file_that_is_named_is_a_book_whatever_it_is_called(folder: Path) -> None:
    write("routine.txt")
    assert found("routine.txt") == ["routine.txt"]


def test_file_named_in_two_ways_is_read_once_by_its_first_name(folder: Path) -> None:
    write("flat/home.chores")
    Path("link.chores").symlink_to("flat/home.chores")
    assert found("flat/home.chores", "flat", ".", "link.chores") == ["flat/home.chores"]
    assert read_household([Path("flat"), Path("link.chores")]).findings == ()


def test_paths_keep_the_order_in_which_they_are_given(folder: Path) -> None:
    write("b.chores", "a.chores", "c/c.chores")
    assert found("c", "b.chores", "a.chores") == ["c/c.chores", "b.chores", "a.chores"]


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("nowhere", "nowhere: there is no such file or folder"),
        ("empty", "empty: no .chores file in this folder; name the folder of your book"),
        ("nowhere.chores", "nowhere.chores: there is no such file or folder"),
    ],
)
def test_path_without_a_book_is_named(folder: Path, path: str, said: str) -> None:
    Path("empty").mkdir()
    write("home.chores")
    with pytest.raises(WorkspaceFault) as fault:
        find_books([Path("home.chores"), Path(path)])
    assert str(fault.value).startswith(said)


def test_file_that_goes_away_while_it_is_read_is_named(folder: Path) -> None:
    with pytest.raises(WorkspaceFault, match=r"^gone\.chores: cannot be read \("):
        load_source(Path("gone.chores"))


# ------------------------------------------------------------------------ what they say together


def test_files_are_one_household(folder: Path) -> None:
    write("home.chores")
    write("people.chores", text="person noor\n")
    write("log/2026.chores", text="2026-03-02 did cups by noor\n")
    read = read_household([folder])
    assert read.findings == ()
    assert list(read.household.people) == ["noor"]
    assert list(read.household.log.dates) == [day("2026-03-02")]
    assert len(read.trees) == 3


def test_order_of_files_does_not_change_the_household() -> None:
    texts = (
        ROUTINE,
        'person noor\nhousehold "12 Quarry Lane"\n2026-03-01 did cups\n',
        "every friday\n    bins  4 min\n2026-02-28 did bins\n2026-03-02 did cups by noor\n",
    )
    first, *others = (workspace(*order).household for order in permutations(texts))
    assert first.title == "12 Quarry Lane"
    for other in others:
        assert set(other.sections) == set(first.sections)
        assert replace(other, sections=first.sections) == first


def test_chores_at_the_head_of_a_file_do_not_belong_to_the_file_before() -> None:
    read = workspace("every monday\n", "    cups  5 min\n")
    assert [finding.rule for finding in read.findings] == ["unreadable-line"]
    assert not read.household.chores


def test_windows_line_ends_and_byte_order_mark_change_nothing(folder: Path) -> None:
    write("home.chores")
    Path("other.chores").write_bytes(b"\xef\xbb\xbf" + ROUTINE.replace("\n", "\r\n").encode())
    one, other = (read_household([Path(name)]) for name in ("home.chores", "other.chores"))
    assert one.household == other.household
    assert other.findings == ()


def test_bytes_that_are_no_text_are_a_fault_of_their_line_alone(folder: Path) -> None:
    Path("home.chores").write_bytes(ROUTINE.encode() + b"    t\xe9  5 min\n    sink  5 min\n")
    read = read_household([folder])
    assert [(f.rule, f.place.line) for f in read.findings] == [("unreadable-line", 3)]
    assert list(read.household.chores) == ["cups", "sink"]


def test_unused_lines_are_counted_once_each_and_not_their_faults() -> None:
    assert workspace(ROUTINE).unused_lines() == 0
    two = "2026-03-02 did x, y by z\n2026-03-02 did x\n"
    assert len(workspace(two).findings) == 4
    assert workspace(two).unused_lines() == 2
    assert workspace(two, two).unused_lines() == 4


@pytest.fixture(params=[True, False], ids=["on", "off"])
def collecting(request: pytest.FixtureRequest) -> Iterator[bool]:
    """Whether Python looks for cycles when reading begins."""
    was = gc.isenabled()
    (gc.enable if request.param else gc.disable)()
    yield bool(request.param)
    (gc.enable if was else gc.disable)()


def test_reading_leaves_the_search_for_cycles_as_it_was(collecting: bool) -> None:
    workspace(ROUTINE)
    assert gc.isenabled() == collecting

    def broken() -> Iterator[Source]:
        yield Source("a.chores", ROUTINE)
        raise WorkspaceFault("b.chores: gone")

    with pytest.raises(WorkspaceFault):
        read_sources(broken())
    assert gc.isenabled() == collecting


# ----------------------------------------------------------------------- where a new line goes


@pytest.mark.parametrize(
    ("on", "path"),
    [
        ("2026-05-01", "b.chores"),
        ("2025-05-01", "a.chores"),
        ("2024-05-01", "book/2024.chores"),
    ],
)
def test_new_line_goes_where_the_latest_line_of_its_year_stands(on: str, path: str) -> None:
    trees = workspace(
        "2025-12-31 did x\n2026-01-01 did x\n", "2026-04-01 did x\n2025-01-01 did x\n", ROUTINE
    ).trees
    assert record_file(Path("book"), trees, date.fromisoformat(on)).as_posix() == path
