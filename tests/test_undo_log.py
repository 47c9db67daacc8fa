"""The undo log: a line that another program saved over is told, once, and nothing else is."""

from __future__ import annotations

import stat
import subprocess
import time
from datetime import datetime
from pathlib import Path

import pytest
from test_cli import besom, stop_clock

from ledger.state import undo_log
from ledger.undo_log import MOST, keep

HOME = "since 2026-01-01\nperson noor\nevery day\n    cups  5 min\n    sink  5 min\n"


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


def said(*words: str) -> str:
    """What the next command says on standard error."""
    return besom(*(words or ("due",))).stderr


def rewrite(text: str) -> None:
    """What an editor does that had the record open, and saves it."""
    Path("2026.chores").write_text(text, "utf-8")


@pytest.mark.parametrize("command", ["due", "lint", "format"])
def test_a_line_that_was_saved_over_is_told_once_with_the_line_to_put_back(
    home: Path, command: str
) -> None:
    besom("did", "cups", "7")
    assert said(command) == ""
    rewrite("")
    assert said(command) == (
        f"besom: a line that was recorded is gone from {home / '2026.chores'}. If you took it "
        "away yourself, nothing is to be done; else another program has saved over it. To put it "
        "back, add this line:\n    2026-03-04 did cups 7 min\n"
    )
    assert said(command) == ""


def test_of_equal_lines_each_counts(home: Path) -> None:
    besom("did", "cups")
    besom("did", "cups", "--yes")
    rewrite("2026-03-04 did cups\n")
    assert said().count("2026-03-04 did cups\n") == 1


def test_a_line_written_by_hand_does_not_stand_for_one_that_is_gone(home: Path) -> None:
    by_hand = "2026-03-04 did cups 3 min by noor\n"
    rewrite(by_hand)
    besom("did", "cups", "--yes")
    rewrite(by_hand)
    assert said().endswith("    2026-03-04 did cups\n")


def test_a_record_that_is_gone_as_a_whole_has_lost_its_lines(home: Path) -> None:
    besom("did", "cups")
    (home / "2026.chores").unlink()
    assert "    2026-03-04 did cups\n" in said()


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-04   did   sink 5 min,cups  7 min  # by hand\n",
        "2026-03-04 did sink, cups 9 min by noor\n",
        "2026-03-05 did sink\r\n2026-03-04 did cups 7 min, sink\r\n",
    ],
    ids=["other words", "corrected", "moved"],
)
def test_a_line_that_says_the_same_or_was_corrected_is_not_gone(home: Path, text: str) -> None:
    besom("did", "cups", "7", "sink")
    rewrite(text)
    assert said() == ""


@pytest.mark.parametrize(
    "text", ["2026-03-04 worked cups 7 min\n", "2026-03-04 did cups, sink\n",
             "2026-03-04 skipped sink\n2026-03-04 skipped cups\n"],
)  # fmt: skip
def test_a_line_that_a_person_gave_another_verb_or_more_chores_is_not_gone(
    home: Path, text: str
) -> None:
    besom("did", "cups", "7")
    rewrite(text)
    assert said() == ""


def test_another_line_of_the_day_does_not_stand_for_one_that_is_gone(home: Path) -> None:
    by_hand = "2026-03-04 worked cups 3 min\n"
    rewrite(by_hand)
    besom("did", "cups")
    besom("worked", "cups", "9")
    rewrite(f"{by_hand}2026-03-04 worked cups 9 min\n")
    assert said().endswith("    2026-03-04 did cups\n")


def test_a_line_that_lies_in_another_file_now_is_not_gone(home: Path) -> None:
    besom("did", "cups")
    (home / "old").mkdir()
    (home / "2026.chores").rename(home / "old" / "2026.chores")
    assert said() == ""


def test_nothing_is_told_of_another_household(home: Path, tmp_path: Path) -> None:
    besom("did", "cups")
    rewrite("")
    other = tmp_path / "other.chores"
    other.write_text(HOME, "utf-8")
    assert said("due", str(other)) == ""
    assert said() != ""


@pytest.mark.parametrize("days", [-1, 2])
def test_only_lines_under_a_day_old_are_told(
    home: Path, monkeypatch: pytest.MonkeyPatch, days: int
) -> None:
    besom("did", "cups")
    rewrite("")
    now = time.time()
    monkeypatch.setattr(time, "time", lambda: now + 86_400 * days)
    assert said() == ""


def test_nothing_is_told_where_head_has_moved(home: Path) -> None:
    def git(*words: str) -> None:
        who = ["-c", "user.name=a", "-c", "user.email=a@b"]
        subprocess.run(["git", *who, *words], check=True, capture_output=True)

    git("init", "-q")
    git("add", ".")
    git("commit", "-q", "-m", "one")
    besom("did", "cups")
    rewrite("")
    git("commit", "-q", "--allow-empty", "-m", "two")
    assert said() == ""
    besom("did", "cups")
    rewrite("")
    assert "    2026-03-04 did cups\n" in said()
    work_tree = home.with_name("linked")
    git("worktree", "add", "-q", "-b", "other", str(work_tree))
    (work_tree / "2026.chores").write_text("", "utf-8")
    besom("did", "sink", "--book", str(work_tree))
    (work_tree / "2026.chores").write_text("", "utf-8")
    assert "2026-03-04 did sink" in said("due", str(work_tree))


def test_the_log_is_for_the_eyes_of_its_owner_and_has_an_end(home: Path) -> None:
    besom("did", "cups")
    assert stat.S_IMODE(undo_log().stat().st_mode) == 0o600
    assert stat.S_IMODE(undo_log().parent.stat().st_mode) == 0o700
    line = undo_log().read_text("utf-8")
    undo_log().write_text(line * MOST, "utf-8")
    keep(Path("2026.chores"), ["2026-03-04 did sink"], [], time.time())
    lines = undo_log().read_text("utf-8").splitlines()
    assert len(lines) == MOST
    assert "sink" in lines[-1]


def test_without_a_place_for_the_log_the_line_is_recorded_and_that_is_said(
    home: Path, tmp_path: Path
) -> None:
    (tmp_path / "state").write_text("no folder", "utf-8")
    result = besom("did", "cups")
    assert result.exit_code == 0
    assert result.stderr == (
        "besom: the line is written, but could not be kept in the undo log (Not a directory)\n"
    )
    assert (home / "2026.chores").read_text("utf-8") == "2026-03-04 did cups\n"


def test_a_log_that_holds_other_things_is_read_as_far_as_it_goes(home: Path) -> None:
    besom("did", "cups")
    with undo_log().open("ab") as log:
        log.write(
            b'\xff\n{"file": 1}\n[]\n{"file": 1, "line": 2, "at": "", "twins": 0, "head": 3}\n'
        )
    rewrite("")
    assert "    2026-03-04 did cups\n" in said()
