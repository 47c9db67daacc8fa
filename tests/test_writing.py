"""Writing: a file is replaced whole or left as it was, and no writer undoes another's work."""

from __future__ import annotations

import os
import random
import stat
from pathlib import Path

import pytest
from races import foreign, home, race, undone
from test_cli import besom
from writer_kills import CALLS, prepared

from ledger import locking
from ledger.locking import LockFault, locked
from ledger.writing import TEMPORARY, WriteFault, append_line, rewrite, write_whole

TWO = "every day\n    cups  5 min\n"


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A file that commands may replace."""
    path = tmp_path / "home.chores"
    path.write_text(TWO, "utf-8")
    return path


def more(data: bytes) -> bytes:
    return data + b"# more\n"


# ------------------------------------------------------------------------------ replacing a file


def test_what_another_program_wrote_meanwhile_is_read_and_changed_anew(book: Path) -> None:
    seen = []

    def change(data: bytes) -> bytes:
        seen.append(data)
        if len(seen) == 1:
            book.write_text(f"{TWO}# theirs\n", "utf-8")
        return data + b"# ours\n"

    assert rewrite(book, change) == (f"{TWO}# theirs\n".encode(), book.read_bytes())
    assert book.read_text("utf-8") == f"{TWO}# theirs\n# ours\n"
    assert seen == [TWO.encode(), f"{TWO}# theirs\n".encode()]


def test_a_file_that_changes_each_time_is_left_to_the_other_program(book: Path) -> None:
    def change(data: bytes) -> bytes:
        book.write_bytes(more(data))
        return b"ours"

    with pytest.raises(WriteFault, match="another program changes it again and again"):
        rewrite(book, change)
    assert book.read_text("utf-8").startswith(TWO)
    assert [path.name for path in book.parent.iterdir()] == ["home.chores"]


def test_nothing_is_written_where_nothing_changes(book: Path) -> None:
    before = book.stat()
    rewrite(book, bytes)
    assert book.stat() == before


def test_permissions_and_links_stay(book: Path) -> None:
    book.chmod(0o640)
    link = book.with_name("link.chores")
    link.symlink_to(book.name)
    rewrite(link, more)
    assert link.is_symlink()
    assert book.read_text("utf-8") == f"{TWO}# more\n"
    assert stat.S_IMODE(book.stat().st_mode) == 0o640


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() != 0, reason="only root can")
def test_owner_stays_where_root_writes(book: Path) -> None:
    os.chown(book, 12, 34)
    rewrite(book, more)
    state = book.stat()
    assert (state.st_uid, state.st_gid) == (12, 34)


@pytest.mark.parametrize("command", [["format"], ["lint", "--fix"]])
def test_a_read_only_file_is_refused(book: Path, command: list[str]) -> None:
    book.write_text("every day\n  cups 5 min\n", "utf-8")
    book.chmod(0o444)
    result = besom(*command, str(book))
    assert result.exit_code == 2
    # A long path is broken behind a slash.
    said = "".join(result.stderr.split())
    assert f"{book}:isread-onlyandwasleftasitis;`chmodu+w`letsitbe" in said
    assert book.read_text("utf-8") == "every day\n  cups 5 min\n"


def test_a_file_with_hard_links_is_refused(book: Path) -> None:
    other = book.with_name("other")
    other.hardlink_to(book)
    with pytest.raises(WriteFault, match="has 2 hard links, which a new file would part"):
        rewrite(book, more)
    assert other.samefile(book)


def test_a_new_file_has_the_permissions_asked_for_or_those_of_any_new_file(tmp_path: Path) -> None:
    write_whole(tmp_path / "hook", b"#!/bin/sh\n", 0o755)
    write_whole(tmp_path / "note", b"{}")
    (tmp_path / "plain").write_bytes(b"")
    modes = [stat.S_IMODE((tmp_path / name).stat().st_mode) for name in ("hook", "note", "plain")]
    assert modes == [0o755, modes[2], modes[2]]


def test_a_name_as_long_as_names_may_be_is_replaced(tmp_path: Path) -> None:
    path = tmp_path / ("n" * 248 + ".chores")
    path.write_bytes(b"")
    rewrite(path, more)
    assert [one.name for one in tmp_path.iterdir()] == [path.name]


def test_what_a_killed_writer_left_is_gone_with_the_next(book: Path) -> None:
    left = book.with_name(f".2025.chores{TEMPORARY}")
    left.write_text("torn", "utf-8")
    append_line(book, "2026-03-04 did cups")
    assert not left.exists()


def test_no_file_is_formatted_where_another_cannot_be_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    for name in "ab":
        (tmp_path / f"{name}.chores").write_text("every day\n  cups 5 min\n", "utf-8")
    (tmp_path / "b.chores").chmod(0o444)
    result = besom("format")
    # What was done is said before what was not.
    assert result.stdout == "a.chores: formatted\n"
    assert result.stderr.startswith("Error: b.chores: is read-only")


# --------------------------------------------------------------------------------- adding a line


def test_a_line_goes_into_the_file_that_took_the_place_of_the_one_opened(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Another program saves, by renaming, between the opening and the writing."""
    synced = os.fsync

    def renamed(handle: int) -> None:
        monkeypatch.setattr(os, "fsync", synced)
        new = book.with_name("new")
        new.write_text(f"{TWO}# theirs\n", "utf-8")
        new.replace(book)

    monkeypatch.setattr(os, "fsync", renamed)
    append_line(book, "2026-03-04 did cups")
    assert book.read_text("utf-8") == f"{TWO}# theirs\n2026-03-04 did cups\n"


def test_a_line_that_the_other_program_has_saved_along_is_not_added_twice(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced = os.fsync

    def renamed(handle: int) -> None:
        monkeypatch.setattr(os, "fsync", synced)
        new = book.with_name("new")
        new.write_bytes(book.read_bytes())
        new.replace(book)

    monkeypatch.setattr(os, "fsync", renamed)
    append_line(book, "2026-03-04 did cups")
    assert book.read_text("utf-8") == f"{TWO}2026-03-04 did cups\n"


def test_line_end_is_that_of_a_first_line_of_any_length(tmp_path: Path) -> None:
    path = tmp_path / "2026.chores"
    path.write_bytes(b"# " + b"long " * 2000 + b"\r\nb\r\n")
    append_line(path, "NEW")
    assert path.read_bytes().endswith(b"b\r\nNEW\r\n")


# ---------------------------------------------------------------------------------- the lock


def test_a_folder_that_another_command_holds_is_waited_for_and_then_given_up(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(locking, "_LONGEST_WAIT", 0.05)
    with locked(book.parent):
        result = besom("format", str(book))
        assert result.exit_code == 0
        with pytest.raises(WriteFault, match="another command has been writing in its folder"):
            append_line(book, "2026-03-04 did cups")
        with pytest.raises(OSError, match="another command"):
            write_whole(book, b"")
    assert book.read_text("utf-8") == TWO
    append_line(book, "2026-03-04 did cups")


def test_a_folder_that_cannot_be_locked_has_a_file_that_can(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """As on network folders, where the system locks files only."""
    monkeypatch.setattr(locking, "_lock_folder", lambda folder: None)
    monkeypatch.setattr(locking, "_LONGEST_WAIT", 0.05)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    with locked(tmp_path), pytest.raises(LockFault), locked(tmp_path):
        pass
    assert len([*(tmp_path / "state" / "besom" / "locks").iterdir()]) == 1


def test_where_nothing_can_be_locked_the_command_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "state").write_text("no folder", "utf-8")
    monkeypatch.setattr(locking, "_lock_folder", lambda folder: None)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    append_line(tmp_path / "2026.chores", "NEW")
    assert (tmp_path / "2026.chores").read_text("utf-8") == "NEW\n"


# --------------------------------------------------------------- short forms of tests/abuse

fork = pytest.mark.skipif(not hasattr(os, "fork"), reason="processes are not forked here")


@fork
@pytest.mark.parametrize(
    "words", [("format",), ("lint", "--fix"), ("merge", "base", "2026.chores", "theirs")]
)
def test_every_line_that_did_reported_is_there(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    reported, there = race(words, 6, 2, random.Random(1))
    assert reported == there == 12


@fork
def test_undo_takes_back_what_it_says_and_no_more(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    reported, taken, there = undone(8, random.Random(1))
    assert reported == 8
    assert taken >= 1
    assert there == reported - taken


@fork
def test_a_line_that_a_foreign_program_saved_over_is_named(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    reported, there, named = foreign(8, random.Random(1))
    assert reported == there + named == 8


@fork
@pytest.mark.parametrize("words", CALLS, ids=lambda words: words[0])
def test_killed_at_the_rename_a_command_leaves_the_file_as_it_was(
    words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from forks import besom as forked

    monkeypatch.chdir(tmp_path)
    record = home()
    before, _ = prepared(record, words)
    monkeypatch.setattr(os, "fsync", lambda handle: os.kill(os.getpid(), 9))
    assert forked(*words).wait().code == -9
    if words[0] != "did":
        assert record.read_bytes() == before
        assert Path(f".2026.chores{TEMPORARY}").exists()
    monkeypatch.undo()
    os.chdir(record.parent)
    assert forked(*CALLS[0]).wait().code == 0
    assert not [path for path in Path().iterdir() if path.name.startswith(".")]
