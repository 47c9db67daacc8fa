"""Undo: what was recorded last is taken back, byte for byte, or nothing is changed."""

from __future__ import annotations

import json
import tempfile
from datetime import datetime
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from test_cli import besom, stop_clock
from test_did import contents

from ledger.writing import Lacked, append_line, take_back

HOME = """\
since 2026-01-01
person noor
person tam
every day
    cups  5 min
    beds  5 min  by each
    sink  5 min
every week
    mop  30 min
"""


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A household in the current folder, on 4 March 2026, and a state folder of its own."""
    folder = tmp_path / "home"
    folder.mkdir()
    (folder / "home.chores").write_text(HOME, "utf-8")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.chdir(folder)
    stop_clock(monkeypatch, datetime(2026, 3, 4, 20))
    return folder


ACTS = [
    ("did", "cups", "sink", "7"),
    ("did", "cups", "--by", "noor", "--note", 'a "b"'),
    ("skipped", "beds"),
    ("moved", "mop", "friday"),
    ("worked", "mop", "10"),
    ("did", "sink", "--on", "2025-12-31", "--yes"),
]


@pytest.mark.parametrize("act", ACTS, ids=" ".join)
@pytest.mark.parametrize(
    "record",
    [None, "", "2026-03-01 did cups", "2026-03-01 did cups\n", "2026-03-01 did cups\r\n# \r\nx\r\n",
     "\ufeff2026-03-01 did cups\r\n2026-03-02 did sink", "# a\rb"],
)  # fmt: skip
def test_undo_gives_the_same_bytes_back(
    home: Path, act: tuple[str, ...], record: str | None
) -> None:
    if record is not None:
        (home / "2026.chores").write_bytes(record.encode())
    before, list_before = contents(home), besom("due").stdout
    recorded = besom(*act)
    assert recorded.exit_code == 0
    assert contents(home) != before
    line = recorded.stdout.splitlines()[0].partition(": ")[2]
    undone = besom("undo")
    assert (undone.exit_code, undone.stderr) == (0, recorded.stderr)
    assert undone.stdout.splitlines()[0].endswith(f".chores: took back {line}")
    assert contents(home) == before
    assert besom("due").stdout == list_before


def test_undo_again_takes_back_the_act_before_and_then_there_is_none(home: Path) -> None:
    states = [contents(home)]
    for act in ACTS:
        assert besom(*act, "--yes").exit_code == 0
        states.append(contents(home))
    for state in reversed(states[:-1]):
        assert besom("undo").exit_code == 0
        assert contents(home) == state
    result = besom("undo")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "no command has recorded anything in this book" in result.stderr


def test_of_equal_lines_the_last_is_taken(home: Path) -> None:
    besom("did", "cups")
    besom("did", "cups", "--yes")
    besom("undo")
    assert contents(home)["2026.chores"] == b"2026-03-04 did cups\n"


def test_lines_that_were_added_since_stay(home: Path) -> None:
    (home / "2026.chores").write_text("2026-03-01 did cups", "utf-8")
    besom("did", "sink")
    with (home / "2026.chores").open("a") as record:
        record.write("# by hand\n")
    assert besom("undo").exit_code == 0
    assert contents(home)["2026.chores"] == b"2026-03-01 did cups\n# by hand\n"


@pytest.mark.parametrize(
    "text", ["", "2026-03-04 did cups 9 min\n", "2026-03-04 worked cups 7 min\n"]
)
def test_a_line_that_was_changed_stays_and_the_one_before_is_next(home: Path, text: str) -> None:
    besom("did", "sink", "--on", "2025-12-31", "--yes")
    besom("did", "cups", "7")
    (home / "2026.chores").write_text(text, "utf-8")
    before = contents(home)
    # What another command tells of the line must not make undo forget it.
    besom("due")
    result = besom("undo")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "nothing was taken back: this line was changed or deleted" in result.stderr
    assert "    2026-03-04 did cups 7 min\n" in result.stderr
    assert contents(home) == before
    assert besom("undo").exit_code == 0
    assert "2025.chores" not in contents(home)


def test_a_file_that_is_gone_is_told(home: Path) -> None:
    besom("did", "cups")
    (home / "2026.chores").unlink()
    assert besom("undo").exit_code == 1


def test_a_file_that_may_not_be_written_is_told_and_the_act_stays(home: Path) -> None:
    besom("did", "cups")
    record = home / "2026.chores"
    record.chmod(0o444)
    result = besom("undo")
    assert result.exit_code == 2
    assert "is read-only" in result.stderr
    record.chmod(0o644)
    assert besom("undo").exit_code == 0
    assert not record.exists()


def test_what_was_recorded_in_another_home_is_not_touched(home: Path, tmp_path: Path) -> None:
    other = tmp_path / "other"
    other.mkdir()
    (other / "home.chores").write_text(HOME, "utf-8")
    besom("did", "cups")
    besom("did", "sink", "--book", str(other))
    assert "did cups" in besom("undo").stdout
    assert besom("undo").exit_code == 1
    assert contents(other)["2026.chores"] == b"2026-03-04 did sink\n"
    assert "did sink" in besom("undo", "--book", str(other)).stdout


def test_json_says_the_file_and_the_lines(home: Path) -> None:
    besom("did", "cups", "7")
    assert json.loads(besom("undo", "--as", "json").stdout) == {
        "file": str(home / "2026.chores"),
        "lines": ["2026-03-04 did cups 7 min"],
    }


@given(st.binary(max_size=40).filter(lambda data: b"\0" not in data), st.booleans())
@example(b"a\r", True)
@example(b"", True)
def test_a_line_added_and_taken_back_leaves_the_bytes(data: bytes, exists: bool) -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "2026.chores"
        if exists:
            path.write_bytes(data)
        lacked = append_line(path, "2026-03-04 did cups")
        assert (lacked is Lacked.FILE) is not exists
        assert take_back(path, {"2026-03-04 did cups": lacked}) == []
        assert path.exists() is exists
        if exists:
            assert path.read_bytes() == data


def test_of_two_lines_of_an_act_none_is_taken_where_one_is_missing(tmp_path: Path) -> None:
    path = tmp_path / "2026.chores"
    path.write_bytes(b"a\nb\n")
    assert take_back(path, {"a": Lacked.NOTHING, "c": Lacked.NOTHING}) == ["c"]
    assert path.read_bytes() == b"a\nb\n"
    assert take_back(path, {"a": Lacked.NOTHING, "b": Lacked.NOTHING}) == []
    assert path.read_bytes() == b""
    assert [one.name for one in tmp_path.iterdir()] == ["2026.chores"]
