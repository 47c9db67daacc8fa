"""Workspace: which files are the book, and what they say together."""

from __future__ import annotations

import gc
import os
import socket
import subprocess
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from itertools import permutations
from pathlib import Path

import pytest
from books import day

import ledger.workspace as workspace_module
from ledger.editor.looking import look
from ledger.homes import read_household
from ledger.text.source import Source
from ledger.workspace import (
    Workspace,
    WorkspaceFault,
    find_books,
    is_folder,
    is_there,
    load_source,
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


# ------------------------------------------------------------------------ what is no file

needs_pipes = pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no such files")


def bind(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(str(path))


STRANGE: list[tuple[Callable[[Path], None], str]] = [
    (lambda path: os.mkfifo(path), "is a pipe, and a book is a file"),
    (bind, "is a socket, and a book is a file"),
    (lambda path: path.symlink_to("/dev/zero"), "is a device, and a book is a file"),
    (lambda path: path.symlink_to("/dev/full"), "is a device, and a book is a file"),
    (lambda path: path.symlink_to("nothing"), "leads to nothing"),
    (lambda path: path.symlink_to(path.name), "leads back to itself"),
]


@needs_pipes
@pytest.mark.parametrize(("make", "said"), STRANGE, ids=[said for _, said in STRANGE])
@pytest.mark.parametrize("path", ["x.chores", "."], ids=["named", "in a folder"])
def test_only_regular_files_are_books_and_no_other_is_opened(
    folder: Path,
    monkeypatch: pytest.MonkeyPatch,
    make: Callable[[Path], None],
    said: str,
    path: str,
) -> None:
    def opened(path: Path) -> int:
        raise AssertionError(path)

    write("home.chores")
    make(Path("x.chores"))
    monkeypatch.setattr("ledger.workspace._open_without_waiting", opened)
    with pytest.raises(WorkspaceFault) as fault:
        find_books([Path(path)])
    assert str(fault.value).startswith(f"x.chores: {said}")
    with pytest.raises(WorkspaceFault, match=r"^x\.chores: "):
        load_source(Path("x.chores"))
    assert look(Path()).books == [Path("home.chores")]


@needs_pipes
def test_file_that_becomes_a_pipe_before_it_is_opened_makes_nobody_wait(
    folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opens = workspace_module._open_without_waiting

    def swapped(path: Path) -> int:
        path.unlink()
        os.mkfifo(path)
        return opens(path)

    write("home.chores")
    monkeypatch.setattr(workspace_module, "_open_without_waiting", swapped)
    with pytest.raises(WorkspaceFault, match=r"^home\.chores: is a pipe"):
        load_source(Path("home.chores"))


@pytest.mark.parametrize("name", ["a\0b", "\ud800", "n" * 300, "n/" * 3000, "home.chores/x"])
def test_name_that_no_file_can_have_is_refused(folder: Path, name: str) -> None:
    write("home.chores")
    path = Path(name)
    assert not is_there(path)
    assert not is_folder(path)
    for read in (load_source, lambda path: find_books([path])):
        with pytest.raises(WorkspaceFault, match=r"cannot be read|there is no such file"):
            read(path)


@contextmanager
def powerless() -> Iterator[None]:
    """As a person who may not do everything."""
    is_root = os.geteuid() == 0
    if is_root:
        os.seteuid(65534)
    try:
        yield
    finally:
        if is_root:
            os.seteuid(0)


@needs_pipes
def test_what_nobody_may_look_into_is_named_and_left_out_only_on_request(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    with tempfile.TemporaryDirectory() as name:
        monkeypatch.chdir(name)
        Path(name).chmod(0o755)
        write("home.chores", "shut/home.chores", "locked.chores")
        for path in (Path("shut"), Path("locked.chores")):
            path.chmod(0)
        with powerless():
            for named, said in (
                ("shut", "shut: this folder cannot be looked into (Permission denied)"),
                (".", "shut: this folder cannot be looked into (Permission denied)"),
                ("shut/home.chores", "shut/home.chores: cannot be read (Permission denied)"),
            ):
                with pytest.raises(WorkspaceFault) as fault:
                    find_books([Path(named)])
                assert str(fault.value).startswith(said)
            with pytest.raises(WorkspaceFault, match=r"^locked\.chores: cannot be read \("):
                load_source(Path("locked.chores"))
            assert is_there(Path("shut/home.chores"))
            passed = look(Path()).books
        Path("shut").chmod(0o755)
        monkeypatch.undo()
    assert passed == [Path("home.chores"), Path("locked.chores")]


def test_folders_may_lie_as_deep_as_any_path_can_say(folder: Path) -> None:
    for depth in range(1, 1200):
        Path("d/" * depth).mkdir()
    deep = "d/" * 1199 + "x.chores"
    Path(deep).write_text(ROUTINE, "utf-8")
    assert found(".") == [deep]
    # Else whoever clears up recurses too deep.
    subprocess.run(["rm", "-r", "d"], check=True)


@pytest.mark.parametrize(("bound", "said"), [("LARGEST", "MiB"), ("MOST_LINES", "3 lines")])
def test_what_is_larger_than_any_book_is_refused(
    folder: Path, monkeypatch: pytest.MonkeyPatch, bound: str, said: str
) -> None:
    write("home.chores")
    size = len(ROUTINE) if bound == "LARGEST" else ROUTINE.count("\n")
    monkeypatch.setattr(workspace_module, bound, size)
    assert load_source(Path("home.chores")).text == ROUTINE
    Path("home.chores").write_text(ROUTINE + "\n", "utf-8")
    with pytest.raises(WorkspaceFault, match=rf"^home\.chores: holds more than .*{said}"):
        load_source(Path("home.chores"))


def test_bounds_leave_room_for_a_hundred_years_in_one_file() -> None:
    # The record of 45 chores and 3 people that `tests/benchmarks/run.py` reads: 752,336 lines.
    assert workspace_module.MOST_LINES > 1.3 * 752_336
    assert workspace_module.LARGEST > 2 * 30 * 10**6


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
