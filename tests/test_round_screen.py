"""Round on a screen: real terminals, sudden ends, midnight, and two at once."""

from __future__ import annotations

import json
import signal
import subprocess
import sys
import tempfile
from datetime import datetime
from pathlib import Path

import pytest
from books import day
from click.testing import Result
from hypothesis import given, settings
from hypothesis import strategies as st
from prompt_toolkit.application import create_app_session
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput
from rounds import BEGAN, BOOK, PRESSES, TODAY, gone_through, start, workspace
from test_cli import besom, stop_clock

from ledger.cli.round import _write
from ledger.evening.progress import Progress, lines
from ledger.evening.screen import Screen
from ledger.evening.state import State, press
from ledger.homes import find_homes

pytest.importorskip("pty", reason="terminals of their own need a Unix")
from terminals import Terminal, set_clock

UP, DOWN, ESC, CTRL_C = "\x1b[A", "\x1b[B", "\x1b", "\x03"


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home on Wednesday 4 March 2026 at 19:40, and a state folder of its own."""
    folder = tmp_path / "home"
    folder.mkdir()
    (folder / "home.chores").write_text(BOOK, "utf-8")
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.delenv("BESOM_BOOK", raising=False)
    monkeypatch.delenv("BESOM_ME", raising=False)
    monkeypatch.chdir(folder)
    stop_clock(monkeypatch, datetime(2026, 3, 4, 19, 40))
    set_clock(folder, BEGAN)
    return folder


def record(home: Path) -> list[str]:
    path = home / "2026.chores"
    return path.read_text("utf-8").splitlines() if path.exists() else []


def kept(home: Path) -> list[Path]:
    return sorted((home.parent / "state" / "besom" / "rounds").glob("*.json"))


def begun(
    home: Path, *words: str, me: str = "noor", size: tuple[int, int] = (80, 24), **env: str
) -> Terminal:
    terminal = Terminal(home, "round", *words, size=size, BESOM_ME=me, **env)
    terminal.shows("Esc leave")
    return terminal


# ------------------------------------------------------------- the screen, without a terminal


def on_pipe(keys: str) -> tuple[State, list[Progress]]:
    """A round whose keys come from a pipe, and all that was kept of it."""
    saved: list[Progress] = []

    def keep(state: State) -> str:
        saved.append(state.progress)
        return ""

    with create_pipe_input() as pipe, create_app_session(input=pipe, output=DummyOutput()):
        pipe.send_text(keys)
        screen = Screen(start(workspace().household), lambda: BEGAN, keep, colours=False)
        return screen.run(), saved


def test_keys_of_a_terminal_do_what_they_say() -> None:
    state, saved = on_pipe(f" {DOWN}{DOWN}m7\r\x1b[Bs\x1b[200~no \ntime\x1b[201~\r\r")
    assert state.end == "write"
    assert lines(state.progress, state.list.rows) == [
        "2026-03-04 did beds, cups 7 min by noor",
        '2026-03-04 skipped sink "no  time"',
    ]
    # Each key was kept, but for the last, which ends it.
    assert saved[0].marks
    assert saved[-1] == state.progress


def test_interrupt_keeps_the_round_and_pasted_text_presses_no_keys() -> None:
    state, _ = on_pipe(" \x1b[200~   \x1b[201~\x03")
    assert state.end == "keep"
    assert state.progress.told == "1 ticked"


def test_round_that_cannot_be_kept_says_why_and_goes_on() -> None:
    with create_pipe_input() as pipe, create_app_session(input=pipe, output=DummyOutput()):
        pipe.send_text(" \x03")
        state = start(workspace().household)
        screen = Screen(state, lambda: BEGAN, lambda _: "No space left on device", colours=True)
        assert (
            screen.run().message == "This round cannot be kept for later (No space left on device)"
        )


# ------------------------------------------------------------------------------ what is written

RECORDS = [None, "", "2026-03-01 did cups", "2026-03-01 did cups\r\n", "\ufeff# a\n"]


@settings(max_examples=30, deadline=None)
@given(PRESSES, st.sampled_from(RECORDS))
def test_one_undo_takes_back_all_that_any_round_wrote(
    presses: list[tuple[str, float]], before: str | None
) -> None:
    with tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_STATE_HOME", f"{folder}/state")
        patch.chdir(folder)
        stop_clock(patch, datetime(2026, 3, 4, 19, 40))
        home, path = Path("home.chores"), Path("2026.chores")
        home.write_text(BOOK, "utf-8")
        if before is not None:
            path.write_bytes(before.encode())
        books = find_homes([Path()])[0].workspace().on(day(TODAY))
        state, now = gone_through(start(books.household), presses)
        state = press(state, "interrupt", now)
        _write(state, books, None, None)
        expected = lines(state.progress, state.list.rows)
        now_there = path.read_bytes() if path.exists() else None
        if expected:
            assert now_there is not None
            assert now_there.decode().splitlines()[-len(expected) :] == expected
            assert besom("undo").exit_code == 0
        after = path.read_bytes().decode() if path.exists() else None
        assert after == before


# --------------------------------------------------------- the command, with keys from a pipe


def round_of(keys: str, patch: pytest.MonkeyPatch, goes_on: bool = True) -> Result:
    """What the command comes to with some keys; `goes_on` is the answer to what is asked first."""
    patch.setattr("ledger.cli.round.can_draw", lambda: True)
    patch.setattr("ledger.cli.round.confirmed", lambda question, default: goes_on)
    with create_pipe_input() as pipe, create_app_session(input=pipe, output=DummyOutput()):
        pipe.send_text(keys)
        return besom("round")


@pytest.fixture
def patch(home: Path, monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    monkeypatch.setenv("BESOM_ME", "noor")
    return monkeypatch


def test_round_is_kept_gone_on_with_and_written(home: Path, patch: pytest.MonkeyPatch) -> None:
    stopped = round_of(" \x03", patch)
    assert stopped.exit_code == 1
    assert stopped.stdout == ("The round is kept: 1 ticked. `besom round` goes on with it.\n")
    assert len(kept(home)) == 1
    written = round_of("\r", patch)
    assert (written.exit_code, written.stderr) == (0, "")
    assert written.stdout == "2026.chores: 2026-03-04 did beds by noor\n"
    assert kept(home) == []


def test_round_that_is_let_go_or_left_writes_nothing(home: Path, patch: pytest.MonkeyPatch) -> None:
    round_of(" \x03", patch)
    left = round_of(" \x1b" + "y", patch, goes_on=False)
    assert (left.exit_code, left.stdout) == (0, "Nothing was written.\n")
    nothing = round_of("j\x03", patch)
    assert (nothing.exit_code, nothing.stdout) == (1, "")
    assert (record(home), kept(home)) == ([], [])


def test_what_others_have_settled_meanwhile_is_told(home: Path, patch: pytest.MonkeyPatch) -> None:
    round_of(" jj \x03", patch)
    assert besom("did", "cups", "--by", "tam").exit_code == 0
    written = round_of("\r", patch)
    assert written.stdout == "2026.chores: 2026-03-04 did beds by noor\n"
    assert written.stderr == (
        "besom: cups was not written, as it is open no longer: someone has settled it meanwhile, "
        "or it has left the book\n"
    )


def test_state_folder_that_cannot_be_written_is_said_and_the_round_goes_on(
    home: Path, patch: pytest.MonkeyPatch
) -> None:
    (home.parent / "file").write_text("")
    patch.setenv("XDG_STATE_HOME", str(home.parent / "file"))
    stopped = round_of(" \x03", patch)
    assert stopped.exit_code == 1
    assert "cannot be kept if its terminal is closed (Not a directory)" in stopped.stderr
    assert "the round is lost (1 ticked)" in stopped.stderr
    written = round_of(" \r", patch)
    assert written.stdout == "2026.chores: 2026-03-04 did beds by noor\n"


def test_round_that_cannot_be_written_is_kept(home: Path, patch: pytest.MonkeyPatch) -> None:
    (home / "2026.chores").write_text("2026-03-01 did cups\n", "utf-8")
    patch.setattr("ledger.writing._append", refuse)
    failed = round_of(" \r", patch)
    assert failed.exit_code == 2
    assert "No space left on device); the round is kept" in " ".join(failed.stderr.split())
    assert len(kept(home)) == 1


def refuse(*_: object) -> None:
    raise OSError(28, "No space left on device")


# --------------------------------------------------------------------------- real terminals


def test_evening_in_a_terminal_is_one_act_that_one_undo_takes_back(home: Path) -> None:
    terminal = begun(home)
    assert terminal.lines()[0] == "Wednesday 4 March 2026, A flat, noor"
    terminal.press(" ", then="> [x] beds")
    terminal.press(DOWN, DOWN, then="- Rinse them first")
    terminal.press("t", then="4:00 left  [------------]")
    set_clock(home, BEGAN + 190)
    terminal.shows("0:50 left  [#########---]")
    terminal.press(" ", then="cups: 3 of 4 min")
    terminal.press(DOWN, "m", then="how many minutes?")
    terminal.press("12\r", then="12 of 15 min")
    terminal.press(DOWN, "s", then="why?")
    terminal.press("no guests\r", then="skipped: no guests")
    terminal.press(DOWN, "t", then="20:00 left")
    set_clock(home, BEGAN + 490)
    terminal.press("t", then="stopped at 5 min")
    terminal.press("\r", then="2026.chores")
    said = terminal.end()
    written = [
        "2026-03-04 did beds, cups 3 min by noor",
        "2026-03-04 did sink 12 min by noor",
        "2026-03-04 worked oven 5 min by noor",
        '2026-03-04 skipped table "no guests"',
    ]
    assert record(home) == written
    assert said == (
        "".join(f"2026.chores: {line}\n" for line in written)
        + "  oven has 5 min of 20 min worked, 15 min left\n"
        + "  table is excused for Wed 4 Mar\n"
        + "  cups took 3 of 4 min\n"
    )
    assert terminal.process.returncode == 0
    assert terminal.is_as_before()
    assert kept(home) == []
    undone = besom("undo")
    assert undone.stdout.count("took back") == 4
    assert record(home) == []


@pytest.mark.parametrize("end", ["interrupt", "kill", "hang up", "terminate"])
def test_round_that_came_to_a_sudden_end_is_offered_again(home: Path, end: str) -> None:
    terminal = begun(home)
    terminal.press(" ", DOWN, " ", then="> [x] beds")
    terminal.press(DOWN, DOWN, "t", then="15:00 left")
    if end == "interrupt":
        terminal.press(CTRL_C, then="The round is kept: 2 ticked.")
        terminal.end()
        assert terminal.process.returncode == 1
        assert terminal.is_as_before()
    elif end == "kill":
        terminal.kill(signal.SIGKILL)
    elif end == "terminate":
        terminal.kill(signal.SIGTERM)
        assert terminal.is_as_before()
    else:
        terminal.hang_up()
    assert record(home) == []
    set_clock(home, BEGAN + 3600)
    again = Terminal(home, "round", BESOM_ME="noor")
    again.shows("A round of 19:40 was not written: 2 ticked. Go on with it (n lets it go)? [Y/n]:")
    again.press("\r", then="[x] beds")
    again.press("\r", then="2026.chores: ")
    again.end()
    assert record(home) == ["2026-03-04 did beds by noor", "2026-03-04 did beds by tam"]
    assert kept(home) == []


def test_round_that_is_let_go_is_not_offered_again(home: Path) -> None:
    begun(home).kill(signal.SIGKILL)
    terminal = begun(home)
    terminal.press(" ", then="[x] beds")
    terminal.kill(signal.SIGKILL)
    again = Terminal(home, "round", BESOM_ME="noor")
    again.shows("[Y/n]:")
    again.press("n\r", then="0 of 8 done")
    again.press(ESC, then="Nothing was written.")
    assert again.end() == "Nothing was written.\n"
    assert (record(home), kept(home)) == ([], [])


def test_day_on_which_a_round_began_counts_past_midnight(home: Path) -> None:
    terminal = begun(home)
    terminal.press(" ", then="[x] beds")
    set_clock(home, BEGAN + 5 * 3600)
    terminal.press(DOWN, DOWN, " ", then="> [x] cups")
    terminal.kill(signal.SIGKILL)
    again = Terminal(home, "round", BESOM_ME="noor")
    again.shows("A round of 2026-03-04, 19:40, was not written: 2 ticked.")
    again.press("\r", then="Wednesday 4 March 2026")
    again.press("\r", then="2026.chores: ")
    again.end()
    assert record(home) == ["2026-03-04 did beds, cups by noor"]


def test_day_ends_when_the_book_says(home: Path) -> None:
    (home / "home.chores").write_text(BOOK.replace("person noor", "day ends 03:00\nperson noor", 1))
    set_clock(home, BEGAN + 6 * 3600)
    terminal = begun(home)
    assert terminal.lines()[0].startswith("Wednesday 4 March 2026")
    terminal.press(" ", then="[x] beds")
    terminal.press("\r", then="2026.chores: ")
    terminal.end()
    assert record(home) == ["2026-03-04 did beds by noor"]


def test_two_rounds_at_once_write_each_chore_once(home: Path) -> None:
    one = begun(home)
    one.press(" ", DOWN, " ", then="> [x] beds")
    two = begun(home, me="tam")
    two.shows("another round of this home is going on; no chore is written twice")
    two.press(" ", then="> [x] beds")
    two.press(DOWN, DOWN, " ", then="> [x] cups")
    assert len(kept(home)) == 2
    two.press("\r", then="2026.chores: ")
    two.end()
    one.press("\r", then="or it has left the book")
    said = one.end()
    assert "besom: beds (tam) was not written, as it is open no longer" in said
    assert record(home) == ["2026-03-04 did beds, cups by tam", "2026-03-04 did beds by noor"]
    assert kept(home) == []


def test_round_killed_between_writing_and_forgetting_is_not_written_again(home: Path) -> None:
    terminal = begun(home)
    terminal.press("t", then="5:00 left")
    set_clock(home, BEGAN + 120)
    terminal.press("t", then="stopped at 2 min")
    terminal.kill(signal.SIGKILL)
    (path,) = kept(home)
    data = json.loads(path.read_text("utf-8"))
    line = "2026-03-04 worked beds 2 min by noor"
    path.write_text(json.dumps({**data, "written": {line: 0}}), "utf-8")
    (home / "2026.chores").write_text(f"{line}\n", "utf-8")
    again = Terminal(home, "round", BESOM_ME="noor")
    again.shows("The round before was written, though it came to a sudden end.")
    again.shows("0 of 8 done")
    again.press(ESC, then="Nothing was written.")
    again.end()
    assert record(home) == [line]


def test_record_that_cannot_be_written_keeps_the_round(home: Path) -> None:
    (home / "2026.chores").mkdir()
    terminal = begun(home, "--book", "home.chores")
    terminal.press(" ", then="[x] beds")
    (home / "home.chores").unlink()
    terminal.press("\r", then="the round is kept")
    terminal.end()
    assert terminal.process.returncode == 2
    assert len(kept(home)) == 1


@pytest.mark.parametrize("size", [(40, 15), (80, 24), (30, 8)])
def test_screen_is_usable_in_small_and_wide_titles_are_cut(
    home: Path, size: tuple[int, int]
) -> None:
    wide = BOOK.replace("The sink and the counters", "流し台と調理台とコンロと冷蔵庫の外側を拭く")
    (home / "home.chores").write_text(wide, "utf-8")
    terminal = begun(home, size=size)
    terminal.press(DOWN * 3, " ", then="> [x] 流")
    shown = terminal.lines()
    assert shown[0].startswith("Wed")
    assert "Esc leave" in shown[-1]
    terminal.press(CTRL_C, then="is kept")
    terminal.end()


def test_no_colour_where_none_is_wanted(home: Path) -> None:
    plain = begun(home, NO_COLOR="1")
    plain.press(" ", DOWN, then="  [x] beds")
    plain.press(CTRL_C, then="is kept")
    plain.end()
    assert b"\x1b[0;32m" not in plain.output
    coloured = Terminal(home, "round", BESOM_ME="noor")
    coloured.shows("[Y/n]:")
    coloured.press("\r", then="> [x] beds")
    coloured.press(DOWN, then="  [x] beds")
    coloured.press(CTRL_C, then="is kept")
    coloured.end()
    assert b"\x1b[0;32m" in coloured.output


# ------------------------------------------------------------------------------- without a screen


def test_dumb_terminal_is_none(home: Path) -> None:
    terminal = Terminal(home, "round", TERM="dumb")
    terminal.shows("a round needs a terminal")
    terminal.end()
    assert terminal.process.returncode == 2


def test_without_a_terminal_it_is_said_what_to_do_instead(home: Path) -> None:
    done = besom("round")
    assert (done.exit_code, done.stdout) == (2, "")
    assert "`besom did CHORE`" in done.stderr


def test_without_the_extra_it_is_said_what_to_install(home: Path) -> None:
    code = (
        "import sys; sys.modules['prompt_toolkit'] = None\n"
        "from ledger.cli.main import main; main(['round'])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 2
    assert "pip install '.[screen]'" in done.stderr
    assert "Traceback" not in done.stderr


def test_day_without_chores_says_so_and_shows_no_screen(home: Path) -> None:
    (home / "home.chores").write_text("since 2026-03-04\nevery monday\n    x  5 min\n", "utf-8")
    terminal = Terminal(home, "round")
    terminal.shows("Nothing is left for this day.")
    terminal.end()
    assert terminal.process.returncode == 0
