"""Commands: how they end, what goes to which stream, how a day is named, and golden outputs."""

from __future__ import annotations

import gc
import os
import re
import subprocess
import sys
from datetime import date, datetime, timedelta
from pathlib import Path

import click
import pytest
from click.testing import CliRunner, Result

import ledger
from ledger.cli.command_paths import commands_below, path_of
from ledger.cli.days import day_named
from ledger.cli.main import commands, main
from ledger.cli.reports import REPORTS

ROOT = Path(__file__).parents[1]
GOLDEN = Path(__file__).with_name("golden")
EXAMPLE = "examples/quarry-lane"
DAY = "2026-03-04"
HOME = """\
area kitchen

every day
    wash-up  15 min  in kitchen
"""


def besom(*words: str) -> Result:
    """What a command prints and how it ends; a fault of its own is raised."""
    result = CliRunner().invoke(main, words, prog_name="besom")
    gc.enable()  # A command leaves that off, as a process of its own may.
    if isinstance(result.exception, Exception):
        raise result.exception
    return result


def without_seconds(text: str) -> str:
    """What a command prints, but for the seconds it took."""
    return re.sub(r"\(\d+\.\d+ s\)", "(0.00 s)", text)


def stop_clock(monkeypatch: pytest.MonkeyPatch, at: datetime) -> None:
    """Let every command believe that it is a certain time."""

    class Stopped(datetime):
        @classmethod
        def now(cls, tz: object = None) -> Stopped:
            return cls(at.year, at.month, at.day, at.hour, at.minute)

    monkeypatch.setattr("ledger.clock.datetime", Stopped)


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, with a sound book, on Wednesday 4 March 2026 at eight in the evening."""
    (tmp_path / "home.chores").write_text(HOME, "utf-8")
    monkeypatch.chdir(tmp_path)
    stop_clock(monkeypatch, datetime(2026, 3, 4, 20))
    return tmp_path


# ---------------------------------------------------------------------------- how commands end


@pytest.mark.parametrize("command", ["due", "week", "lint"])
def test_sound_book_ends_with_0_and_says_nothing_beside_the_answer(
    home: Path, command: str
) -> None:
    result = besom(command)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.strip()


def test_findings_end_with_1_and_are_the_answer(home: Path) -> None:
    (home / "home.chores").write_text(HOME + "    sink  5 mins\n", "utf-8")
    result = besom("lint")
    assert (result.exit_code, result.stderr) == (1, "")
    assert "home.chores:5:13: error:" in result.stdout


def test_warnings_alone_end_lint_with_1_and_due_with_0(home: Path) -> None:
    (home / "home.chores").write_text(HOME + "    sink  5 min\n", "utf-8")
    assert besom("lint").exit_code == 1
    assert besom("due").exit_code == 0


@pytest.mark.parametrize("command", ["due", "week"])
@pytest.mark.parametrize(
    ("faults", "said"), [("    sink  5 mins\n", "1 line could not"), ("x\n2026\n", "2 lines could")]
)
def test_faulty_lines_leave_the_answer_which_ends_with_0(
    home: Path, command: str, faults: str, said: str
) -> None:
    sound = besom(command).stdout
    (home / "home.chores").write_text(HOME + faults, "utf-8")
    result = besom(command)
    assert (result.exit_code, result.stdout) == (0, sound)
    assert f"besom: {said}" in result.stderr
    assert "`besom lint` says which and why" in result.stderr


WRONG_CALLS = [
    (("due", "nowhere"), "nowhere: there is no such file or folder"),
    (("week", "home.chores", "nowhere.chores"), "nowhere.chores: there is no such file"),
    (("lint", "empty"), "empty: no .chores file in this folder"),
    (("due", "x.chores"), "x.chores: no .chores file in this folder"),
    (("due", "--on", "someday"), '"someday" is no day; write a date such as 2026-03-04'),
    (("week", "--on", "2026-02-30"), '"2026-02-30" is no day'),
    (("due", "--as", "xml"), '--as takes text, json, csv or markdown, not "xml"'),
    (("due", "--shout"), "`besom due` has no option --shout"),
    (("did",), "`besom did` needs CHORE, the name of a chore"),
    (("did", "wash-up", "--book", "nowhere"), "nowhere: there is no such file or folder"),
    (("weak",), 'there is no command "weak"; did you mean `week`?'),
    (("deu",), 'there is no command "deu"; did you mean `due`?'),
    (("DUE",), 'there is no command "DUE"; did you mean `due`?'),
    (("sparkle",), 'there is no command "sparkle"; `besom --help` lists them all'),
]


@pytest.mark.parametrize(("words", "said"), WRONG_CALLS)
def test_wrong_call_ends_with_2_and_says_what_to_do_on_stderr(
    home: Path, words: tuple[str, ...], said: str
) -> None:
    (home / "empty").mkdir()
    (home / "x.chores").mkdir()
    result = besom(*words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in " ".join(result.stderr.split())
    assert "Traceback" not in result.stderr


@pytest.mark.parametrize("command", ["due", "week", "lint"])
def test_file_that_cannot_be_read_ends_with_2_and_its_name(
    home: Path, command: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(path: Path) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("ledger.workspace._open_without_waiting", refuse)
    result = besom(command)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "home.chores: cannot be read (Permission denied)" in result.stderr


def test_folder_with_the_name_of_a_book_is_no_book_beside_one(home: Path) -> None:
    (home / "x.chores").mkdir()
    assert besom("due").exit_code == 0


@pytest.mark.parametrize("data", [b"\xff\xfe\x00", b"\x00" * 99, b"\r\r\r", b"\xef\xbb\xbf", b""])
def test_file_of_any_bytes_is_answered(home: Path, data: bytes) -> None:
    (home / "home.chores").write_bytes(data)
    for command in ("due", "week", "lint"):
        result = besom(command)
        assert result.exit_code in (0, 1)
        assert result.stdout


@pytest.mark.parametrize("command", ["due", "week", "lint"])
def test_last_day_of_the_calendar_is_answered(home: Path, command: str) -> None:
    result = besom(command, "--on", "9999-12-31")
    assert result.exit_code == 0
    assert result.stdout


# --------------------------------------------------------------------------- how a day is named


@pytest.mark.parametrize(
    ("text", "day"),
    [
        ("today", "2026-03-04"),
        ("Tomorrow", "2026-03-05"),
        (" yesterday ", "2026-03-03"),
        ("wednesday", "2026-03-04"),
        ("thursday", "2026-03-05"),
        ("TUE", "2026-03-10"),
        ("sun", "2026-03-08"),
        ("2026-12-24", "2026-12-24"),
        ("1999-01-01", "1999-01-01"),
    ],
)
def test_day_is_named_by_date_or_word(text: str, day: str) -> None:
    assert day_named(text, date(2026, 3, 4)).isoformat() == day


@pytest.mark.parametrize(
    "text",
    ["", "tues", "2026-02-29", "2026-3-4", "20260304", "2026-W10-3", "٢٠٢٦-٠٣-٠٤", "04.13.2026"],
)
def test_other_text_is_no_day(text: str) -> None:
    with pytest.raises(click.BadParameter, match="is no day"):
        day_named(text, date(2026, 3, 4))


def test_today_is_the_local_date_unless_the_call_says_another(home: Path) -> None:
    assert besom("due").stdout.startswith("Wednesday 4 March 2026\n")
    assert besom("due", "--on", "friday").stdout.startswith("Friday 6 March 2026\n")


@pytest.mark.parametrize(
    ("hour", "minute", "day"),
    [(0, 0, "Tuesday 3"), (2, 59, "Tuesday 3"), (3, 0, "Wednesday 4"), (23, 59, "Wednesday 4")],
)
def test_day_ends_when_the_book_says(
    home: Path, monkeypatch: pytest.MonkeyPatch, hour: int, minute: int, day: str
) -> None:
    (home / "home.chores").write_text("day ends 03:00\n" + HOME, "utf-8")
    stop_clock(monkeypatch, datetime(2026, 3, 4, hour, minute))
    assert besom("due").stdout.startswith(f"{day} March 2026")


# -------------------------------------------------------------------------- help, and a process


def test_commands_are_the_files_of_their_folder() -> None:
    files = {path.stem.replace("_", "-") for path in (ROOT / "ledger" / "cli").glob("*.py")}
    shared = {
        "next-words",
        "call-text", "command-paths", "common", "days", "extras", "faults", "groups", "items",
        "misplaced", "naming", "other-words", "output", "proposing", "recording", "reports",
        "targets", "wrong-calls",
    }  # fmt: skip
    others = {"--init--", "main", *shared}
    assert files - others == commands().keys() - REPORTS.keys()


BELOW = tuple(commands_below(main.make_context("besom", [], resilient_parsing=True)))


@pytest.mark.parametrize("ctx", BELOW, ids=lambda ctx: ctx.command_path)
def test_help_of_a_command_shows_examples_that_it_takes(ctx: click.Context) -> None:
    text = besom(*path_of(ctx), "--help").stdout
    examples = re.findall(rf"^ +{ctx.command_path}\b(.*?)(?:   .*)?$", text, re.MULTILINE)
    assert "Examples:" in text
    assert len(examples) >= 2
    for words in examples:
        arguments, command = re.findall(r'"[^"]*"|\S+', words), ctx
        if isinstance(ctx.command, click.Group):
            name, found, arguments = ctx.command.resolve_command(ctx, arguments)
            assert found is not None
            command = click.Context(found, ctx, name)
        assert command.command.make_context(command.info_name, arguments)


def test_help_names_every_command_with_what_it_answers() -> None:
    result = besom("--help")
    assert (result.exit_code, result.stderr) == (0, "")
    for name, about in commands().items():
        assert re.search(rf"^ +{name} +{about}$", result.stdout, re.MULTILINE)
    assert besom("-h").stdout == result.stdout


def test_version_is_that_of_the_package() -> None:
    assert besom("--version").stdout == f"besom {ledger.__version__}\n"


def test_module_is_the_command_and_writes_no_colour_where_no_terminal_is() -> None:
    words = ("due", EXAMPLE, "--on", DAY)
    environment = {**os.environ, "FORCE_COLOR": "1", "TERM": "xterm-256color"}
    run = subprocess.run(
        [sys.executable, "-m", "ledger", *words], cwd=ROOT, capture_output=True, env=environment
    )
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(ROOT)
        assert run.stdout.decode("utf-8") == besom(*words).stdout
    assert (run.returncode, run.stderr) == (0, b"")
    assert b"\x1b" not in run.stdout


# -------------------------------------------------------------------------------- golden outputs

VERSIONS = (f"{EXAMPLE}/home.chores", "tests/golden/changed/home.chores")
SCENARIOS = {
    "areas": ("areas", EXAMPLE, "--on", "2026-11-25"),
    "chore": ("chore", "oven", EXAMPLE, "--on", "2026-11-25"),
    "chore-each": ("chore", "pick-up", EXAMPLE, "--on", "2026-11-20"),
    "compare": ("compare", *VERSIONS, "--on", "2026-11-25"),
    "compare-markdown": ("compare", *reversed(VERSIONS), "--on", DAY, "--as", "markdown"),
    "due": ("due", EXAMPLE, "--on", "2026-11-20"),
    "due-away": ("due", EXAMPLE, "--on", "2026-07-20"),
    "due-faulty": ("due", "tests/golden/faulty.chores", "--on", DAY),
    "due-json": ("due", "tests/golden/faulty.chores", "--on", DAY, "--as", "json"),
    "review": ("review", EXAMPLE, "--on", "2026-11-22"),
    "review-weeks": ("review", EXAMPLE, "--on", "2026-03-12", "--weeks", "3"),
    "due-minutes": ("due", EXAMPLE, "--on", "2026-11-25", "--minutes", "30"),
    "due-csv": ("due", EXAMPLE, "--on", "2026-11-25", "--for", "edie", "--as", "csv"),
    "week": ("week", EXAMPLE, "--on", DAY),
    "week-area": ("week", EXAMPLE, "--on", "2026-11-29", "--in", "bathroom"),
    "lighten": ("lighten", EXAMPLE, "--on", "2026-11-25"),
    "lighten-moves": ("lighten", EXAMPLE, "--on", "2026-11-25", "--moves", "4"),
    "lint": ("lint", EXAMPLE, "--on", "2026-11-25"),
    "lint-faulty": ("lint", "tests/golden/faulty.chores", "--on", DAY),
    "ahead": ("ahead", EXAMPLE, "--on", "2026-11-25"),
    "ahead-csv": ("ahead", EXAMPLE, "--on", "2026-07-06", "--weeks", "2", "--as", "csv"),
    "no-such-command": ("weeek",),
    "no-such-book": ("due", "tests/golden/nowhere.chores"),
}


@pytest.mark.parametrize("name", SCENARIOS)
def test_output_is_the_golden_one(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """`BESOM_UPDATE_GOLDEN=1 pytest tests/test_cli.py` writes what commands say now."""
    monkeypatch.chdir(ROOT)
    words = SCENARIOS[name]
    if "--on" in words:
        on = datetime.fromisoformat(words[words.index("--on") + 1])
        stop_clock(monkeypatch, on + timedelta(hours=20))
    result = besom(*words)
    said = (
        f"$ besom {' '.join(SCENARIOS[name])}\n[ends with {result.exit_code}]\n"
        f"[stdout]\n{without_seconds(result.stdout)}[stderr]\n{result.stderr}"
    )
    path = GOLDEN / f"{name}.txt"
    if os.environ.get("BESOM_UPDATE_GOLDEN"):
        path.write_text(said, "utf-8")
    assert said == path.read_text("utf-8")


def test_every_golden_output_has_its_scenario() -> None:
    assert {path.stem for path in GOLDEN.glob("*.txt")} == SCENARIOS.keys()


@pytest.mark.parametrize(
    "words",
    [("due", "--for", "Zoë"), ("due", "--for", "zoe\u0308"), ("due", "--in", "Top floor"),
     ("week", "--in", "LOFT"), ("chore", "Rake")],
)  # fmt: skip
def test_name_is_taken_in_capitals_by_its_title_and_in_any_form_that_looks_the_same(
    home: Path, words: tuple[str, ...]
) -> None:
    book = 'person zoë\narea loft "Top floor"\nevery day\n    rake  5 min  in loft  by zoë\n'
    (home / "home.chores").write_text(book, "utf-8")
    result = besom(*words)
    assert (result.exit_code, result.stderr) == (0, "")
    assert "rake" in result.stdout


def test_day_in_the_place_of_a_book_is_told_its_option(home: Path) -> None:
    result = besom("due", "tomorrow")
    assert result.exit_code == 2
    assert "`--on tomorrow`" in result.stderr
