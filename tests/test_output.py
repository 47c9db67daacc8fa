"""Output: what a terminal is shown cannot upset it, and what a program takes is exact."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import unicodedata
from collections.abc import Sequence
from pathlib import Path
from typing import IO

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from test_cli import besom

from ledger.cli.main import main
from ledger.cli.output import say, show_text
from ledger.render.json_text import json_text
from ledger.text.shown import MOST_MARKS, UNSHOWN, safe, safe_lines
from ledger.text.source import UNSAFE

ABUSE = Path(__file__).with_name("abuse")
BOOK = "every day\n    cups  5 min\n    cups 7 min\nlimit weekday 1 min\n"
LIVE = "\x1b[31m\x9bm\u202ea\nb: error\udcff"
"""A name with all that could reach a terminal."""
any_text = st.text(st.characters(exclude_categories=[]))


# ------------------------------------------------------------------------------ what is shown


@given(any_text)
@example("\u202e\u2066\ufeff\u2028\x85\x1b\udcff\ud800")
@example("o" + "\u0301" * 99)
def test_line_that_is_shown_can_upset_no_terminal(text: str) -> None:
    shown = safe(text)
    assert not UNSHOWN.search(shown)
    assert not UNSAFE.search(shown)
    shown.encode("utf-8")
    marks = 0
    for character in shown:
        marks = marks + 1 if unicodedata.category(character) in ("Mn", "Me") else 0
        assert marks <= MOST_MARKS
    assert safe(shown) == shown


@pytest.mark.parametrize("marks", [MOST_MARKS, MOST_MARKS + 1, 99])
def test_marks_that_are_too_many_on_a_letter_are_shown_as_one_sign(marks: int) -> None:
    mark, sign = "\u0301", "\ufffd" if marks > MOST_MARKS else ""
    assert safe("o" + mark * marks + "x") == "o" + mark * MOST_MARKS + sign + "x"


@given(any_text)
def test_controls_of_direction_are_all_but_the_three_marks_unshown(text: str) -> None:
    embedding = ("LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI", "B")
    for character in safe(text):
        assert unicodedata.bidirectional(character) not in embedding
        assert unicodedata.category(character) not in ("Cs", "Zl", "Zp")
        assert unicodedata.category(character) != "Cc" or character == "\t"


@pytest.mark.parametrize(
    "text",
    ["zoë", "zoe\u0308", "שָׁבּ֔", "می\u200cخواهم", "क्\u200dष", "👩\u200d👧", "❤\ufe0f",
     "a\u200eb\u200f\u061c",
     "🏴\U000e0067\U000e0062\U000e0065\U000e006e\U000e0067\U000e007f", "窓", "a\tb"],
)  # fmt: skip
def test_letters_of_any_script_are_shown_as_they_are(text: str) -> None:
    assert safe(text) == text


def test_unshown_characters_leave_a_mark_each_and_a_pile_of_marks_one() -> None:
    assert safe("a\u206a\ufff9\U000e0001\nb") == "a\ufffd\ufffd\ufffd\ufffdb"
    assert safe("o" + "\u0301" * 9 + "o\u0301") == "o" + "\u0301" * 4 + "\ufffdo\u0301"
    assert safe_lines("a\rb\r\nc\n\x1b\r\n", "\r\n") == "a\ufffdb\r\nc\ufffd\ufffd\r\n"


def test_text_laid_out_by_one_who_forgot_to_make_it_safe_is_safe_in_the_end(
    capsys: pytest.CaptureFixture[str],
) -> None:
    show_text("a\x1b[31m\n\u202eb\n", err=True)
    say("c\nd: error")
    assert capsys.readouterr() == ("c\ufffdd: error\n", "a\ufffd[31m\n\ufffdb\n")


@given(any_text)
def test_json_gives_a_program_the_very_text_and_a_terminal_nothing(text: str) -> None:
    said = json_text({"x": [text]})
    assert json.loads(said) == {"x": [text]}
    assert not UNSHOWN.search(said.replace("\n", ""))
    said.encode("utf-8")


# ------------------------------------------------------------------------ names of all commands


@pytest.fixture
def live(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, holding a folder and a book in it of a live name."""
    folder = tmp_path / LIVE
    folder.mkdir()
    (folder / f"{LIVE}.chores").write_text(BOOK, "utf-8")
    monkeypatch.chdir(tmp_path)
    return Path(LIVE, f"{LIVE}.chores")


CALLS = [
    ("format", "--check", LIVE), ("format", LIVE), ("lint", LIVE), ("lint", "--fix", LIVE),
    ("chore", "cups", LIVE), ("chore", "cups", LIVE, "--as", "json"),
    ("lint", LIVE, "--as", "json"), ("compare", LIVE, LIVE), ("compare", LIVE),
    ("git-setup", LIVE), ("due", f"{LIVE}x"), ("did", "cups", "5", "--book", LIVE),
    ("did", LIVE, "--book", LIVE), (LIVE,), ("due", f"--{LIVE}"), ("due", LIVE, "--on", LIVE),
    ("due", LIVE, "--for", LIVE), ("due", "--as", LIVE), ("due", LIVE, "--minutes", LIVE),
    ("lint", "--only", LIVE), ("explain", LIVE), ("lint", "--since", LIVE, LIVE),
    ("format", "-", "--name", LIVE), ("lighten", LIVE, "--as", "json"),
    ("holidays", LIVE, "2026"), ("holidays", f"GB-{LIVE}"), ("holidays", "GB", f"2{LIVE}"),
    ("holidays", "GB", "2026", "--name", LIVE),
    ("merge", "--print", *[f"{LIVE}/{LIVE}.chores"] * 3, "--ours", LIVE),
]  # fmt: skip


@pytest.mark.parametrize("words", CALLS, ids=lambda words: words[0][:8])
def test_name_of_a_file_and_word_of_a_call_never_reach_the_terminal_live(
    live: Path, words: tuple[str, ...]
) -> None:
    result = besom(*words)
    text = re.sub(r"\n", "", result.stdout + result.stderr)
    assert not UNSHOWN.search(text)
    assert not re.search("^b: error", result.stdout + result.stderr, re.MULTILINE)
    assert result.exit_code in (0, 1, 2)


@pytest.mark.parametrize(
    "words", [("lint", LIVE), ("lint", "--since", "HEAD"), ("chore", "cups", LIVE)]
)
def test_json_names_a_file_as_it_is_called(live: Path, words: tuple[str, ...]) -> None:
    if "--since" in words:
        said = json.loads(besom("did", "cups", "--book", str(live), "--as", "json").stdout)
        assert said["file"] == str(live)
    else:
        assert json.dumps(str(live)) in json.dumps(json.loads(besom(*words, "--as", "json").stdout))


# ---------------------------------------------------------------------------------- the streams


def run(
    words: Sequence[str], stdout: int | IO[bytes], encoding: str = "utf-8"
) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [sys.executable, "-m", "ledger", *words],
        env={**os.environ, "PYTHONPATH": str(ABUSE.parents[1]), "PYTHONIOENCODING": encoding},
        stdin=subprocess.DEVNULL,
        stdout=stdout,
        stderr=subprocess.PIPE,
        check=False,
    )


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no full device")
def test_answer_that_cannot_be_written_is_said_and_ends_with_2() -> None:
    with Path("/dev/full").open("wb") as full:
        done = run(["explain"], full)
    assert done.returncode == 2
    assert done.stderr == b"Error: the answer cannot be written (No space left on device)\n"


def test_reader_that_has_read_enough_ends_a_command_without_a_word() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    done = run(["explain"], writing)
    os.close(writing)
    assert (done.returncode, done.stderr) == (1, b"")


def test_encoding_that_has_no_letter_for_it_shows_a_question_mark(tmp_path: Path) -> None:
    (tmp_path / "home.chores").write_text("every day\n    窓  5 min\n", "utf-8")
    done = run(["due", str(tmp_path)], subprocess.PIPE, "latin-1")
    assert (done.returncode, done.stderr) == (0, b"")
    assert b"?  5 min" in done.stdout


def test_closed_streams_are_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    for stream in ("stdout", "stderr", "stdin"):
        monkeypatch.setattr(sys, stream, None)
    say("nobody hears this")
    with pytest.raises(SystemExit) as end:
        main(["lint", "-"])
    assert end.value.code == 2


# ------------------------------------------------------------------------------- the short forms


@pytest.mark.skipif(not hasattr(os, "fork"), reason="children are forked")
@pytest.mark.parametrize("words", [("calls.py", "--runs", "60"), ("names.py", "--short")])
def test_mangled_calls_and_strange_files_leave_no_traceback(words: tuple[str, ...]) -> None:
    script, *options = words
    done = subprocess.run(
        [sys.executable, str(ABUSE / script), *options],
        env={**os.environ, "PYTHONPATH": str(ABUSE.parents[1])}, capture_output=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout.decode() + done.stderr.decode()
    assert re.search(rb"\d calls[:,] ", done.stdout)
