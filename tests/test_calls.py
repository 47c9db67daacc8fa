"""Wrong calls: what each is told, to the letter, and that what it is told to type is right."""

from __future__ import annotations

import os
import random
import re
import shlex
import shutil
import sys
from datetime import datetime
from pathlib import Path

import click
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from test_cli import EXAMPLE, ROOT, besom, stop_clock

from ledger.cli.command_paths import commands_below, path_of
from ledger.cli.main import commands, main
from ledger.cli.other_words import ARGUMENTS, COMMANDS, OPTIONS, VALUES
from ledger.cli.wrong_calls import told
from ledger.text.shown import UNSHOWN
from ledger.text.width import width

sys.path.insert(0, str(Path(__file__).with_name("abuse")))
calls = pytest.importorskip("calls", reason="children are forked")

TOLD = Path(__file__).with_name("wrong-calls.txt")
BLOCKS = re.findall(r"^\$ besom ?(.*)\n((?:(?!\$ ).*\n)+)", TOLD.read_text("utf-8"), re.MULTILINE)
TO_TYPE = re.compile(r"^ {4}besom (.*)$", re.MULTILINE)
WIDEST = 80
LATER = {"skipped", "moved", "worked", "undo"} - commands().keys()
"""Commands that are not there yet."""
NEEDS_MORE = (
    "compare",
    "did",
    "git-setup",
    "holidays",
    "language-server",
    "merge",
    "round",
    "skipped",
    "moved",
    "worked",
    "undo",
)
"""Commands that write, or need what the home of these tests does not have."""


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, a copy of the example, on Wednesday 25 November 2026."""
    folder = Path(shutil.copytree(ROOT / EXAMPLE, tmp_path / "home"))
    monkeypatch.chdir(folder)
    stop_clock(monkeypatch, datetime(2026, 11, 25, 20))
    return folder


def contents(folder: Path) -> dict[Path, bytes]:
    return {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def fault_of(words: list[str]) -> click.ClickException | None:
    """The fault of a call that its words alone show; no command runs."""
    try:
        ctx, rest = main.make_context("besom", list(words)), list(words)
        while isinstance(ctx.command, click.Group):
            name, command, rest = ctx.command.resolve_command(ctx, rest)
            assert command is not None
            ctx = command.make_context(name, list(rest), parent=ctx)
    except click.exceptions.Exit:
        return None
    except click.ClickException as fault:
        return fault
    return None


def assert_is_sound(text: str) -> None:
    """No line is too wide, none could upset a terminal, and what is to be typed is right."""
    assert text.endswith("\n")
    assert all(width(line) <= WIDEST for line in text.splitlines()), text
    assert not UNSHOWN.search(text.replace("\n", ""))
    for call in TO_TYPE.findall(text):
        assert fault_of(shlex.split(call)) is None, text


# --------------------------------------------------------------------------------- to the letter


@pytest.mark.parametrize(("call", "said"), BLOCKS, ids=[call for call, _ in BLOCKS])
def test_wrong_call_is_told_to_the_letter_and_writes_nothing(
    home: Path, call: str, said: str
) -> None:
    """`BESOM_UPDATE_GOLDEN=1 pytest tests/test_calls.py` writes what calls are told now."""
    before = contents(home)
    result = besom(*shlex.split(call))
    if os.environ.get("BESOM_UPDATE_GOLDEN"):
        block, text = f"$ besom {call}\n", TOLD.read_text("utf-8")
        TOLD.write_text(text.replace(f"{block}{said}", block + result.stderr, 1), "utf-8")
        said = result.stderr
    assert (result.exit_code, result.stdout, result.stderr) == (2, "", said)
    assert "Usage" not in said
    assert contents(home) == before
    assert_is_sound(said)


@pytest.mark.parametrize("call", sorted(set(TO_TYPE.findall(TOLD.read_text("utf-8")))))
def test_line_to_type_is_answered(home: Path, call: str) -> None:
    words = shlex.split(call)
    if words[0] in NEEDS_MORE or "--since" in words:
        assert fault_of(words) is None
    else:
        assert besom(*words).exit_code in (0, 1)


def test_at_least_thirty_wrong_calls_are_pinned_and_most_are_told_a_right_one() -> None:
    assert len({call for call, _ in BLOCKS}) >= 30
    assert sum(bool(TO_TYPE.search(text)) for _, text in BLOCKS) > 0.7 * len(BLOCKS)


# -------------------------------------------------------------------------------------- of any


@given(st.integers(0, 2**32))
def test_mangled_call_is_told_no_line_that_is_too_wide_or_wrong(seed: int) -> None:
    words = calls.mangled(random.Random(seed))
    fault = fault_of(words)
    if fault is not None:
        assert_is_sound(told(fault, words))


some_words = st.sampled_from([
    *commands(), *calls.OPTIONS, *(word for pool in calls.STRANGE for word in pool[:9]), "%d", "\t",
    "—on", "-on", "=", "--=", "--on=", "a" * 99, "窓" * 60, "`" * 90, "a b " * 900,
])  # fmt: skip


@given(st.lists(st.one_of(some_words, st.text(st.characters(exclude_categories=[]))), max_size=8))
@example(["due", "--date", "`" * 200 + " " + "`" * 200])
@example(["due", "--as", "窓" * 200])
@example(["due", "--" + "x " * 2000])
@example(["due", "--date=\x1b[31m"])
@example(["help", "\u202e"])
def test_words_of_any_script_are_told_what_is_wrong(words: list[str]) -> None:
    fault = fault_of(words)
    if fault is None or not words:
        return
    text = told(fault, words)
    assert text.startswith("Error: ")
    assert_is_sound(text)
    assert len(text.splitlines()) <= 13


def test_path_that_is_too_long_for_a_line_is_broken_and_whole() -> None:
    path = "/".join(["a-long-name"] * 9) + "/home.chores"
    text = told(click.UsageError(f"{path}: there is no such file or folder"), ["due", path])
    assert text.replace("\n  ", "").startswith(f"Error:{path}:")
    assert text.splitlines()[1].endswith("/")


def test_word_that_would_fill_many_lines_is_cut_in_its_middle() -> None:
    text = told(click.UsageError(f"{'a' * 900}/home.chores: there is no such file"), ["due"])
    assert "…" in text
    assert "/home.chores:" in text.replace("\n  ", "")
    assert len(text.splitlines()) <= 5


@given(st.lists(st.text("ab`窓 -", max_size=99), max_size=9))
@example(["write `", "besom did oven " * 9, "` instead"])
@example(["a`" * 30, "b " * 900])
@example(["…" * 99])
def test_message_of_any_words_is_wrapped(parts: list[str]) -> None:
    assert_is_sound(told(click.UsageError(" ".join(parts)), ["due"]))


# ---------------------------------------------------------------------------- the other words


@pytest.mark.parametrize("word", ["poster", "Poster", "cards", "label", "tag"])
def test_other_word_leads_to_a_command_of_a_group_inside_of_it_too(word: str) -> None:
    lines = []
    for words in (["paper", word], [word]):
        fault = fault_of(words)
        assert fault is not None
        lines.append(told(fault, words).splitlines()[-1])
    assert lines[0] == lines[1]
    assert lines[0].split()[:2] == ["besom", "paper"]


def test_other_words_lead_to_what_there_is() -> None:
    assert {own.split()[0] for own in COMMANDS} <= commands().keys() | LATER | {"--version"}
    paths = {
        " ".join(path_of(ctx))
        for ctx in commands_below(main.make_context("besom", [], resilient_parsing=True))
    }
    assert {own for own in COMMANDS if own.startswith("paper")} <= paths
    below = commands_below(main.make_context("besom", [], resilient_parsing=True))
    parameters = [parameter for ctx in below for parameter in ctx.command.params]
    names = {name for parameter in parameters for name in parameter.opts}
    assert OPTIONS.keys() <= names | {"--help", "--version"}
    values = re.findall("[A-Z]+", " ".join(str(parameter.metavar) for parameter in parameters))
    assert ARGUMENTS.keys() <= {*values, "DAY"}
    choices = {
        choice
        for parameter in parameters
        if isinstance(parameter.type, click.Choice)
        for choice in parameter.type.choices
    }
    assert VALUES.keys() <= choices


@pytest.mark.parametrize("name", commands())
def test_no_other_word_is_a_word_of_ours(name: str) -> None:
    assert not any(name in theirs.split() for theirs in COMMANDS.values())


# ------------------------------------------------------------------------------------- options


@pytest.mark.parametrize("words", [("-V",), ("--version",)])
def test_version_is_printed(words: tuple[str, ...]) -> None:
    result = besom(*words)
    assert (result.exit_code, result.stderr) == (0, "")
    assert re.fullmatch(r"besom \d+\.\d+\.\d+\S*\n", result.stdout)


def test_option_may_stand_twice_with_one_value_and_a_list_with_many(home: Path) -> None:
    once = besom("due", "--on", "friday").stdout
    assert besom("due", "--on", "friday", "--on=friday").stdout == once
    assert besom("lint", "--only", "overlap", "--only", "not-formatted").exit_code in (0, 1)


def test_value_behind_an_equals_sign_may_look_like_an_option(home: Path) -> None:
    result = besom("did", "oven", "--note=--on")
    assert (result.exit_code, result.stderr) == (0, "")
    assert '"--on"' in result.stdout
    assert besom("did", "oven", "--note", "--on").exit_code == 2


def test_what_stands_behind_two_hyphens_is_no_option(home: Path) -> None:
    result = besom("due", "--", "--on")
    assert "--on: there is no such file or folder" in result.stderr


# ---------------------------------------------------------------------------------------- help


@pytest.mark.parametrize("name", ["", *commands()])
def test_help_says_what_each_option_is_for_within_80_columns(name: str) -> None:
    result = besom(*name.split(), "--help")
    assert result.exit_code == 0
    assert [line for line in result.stdout.splitlines() if width(line) > WIDEST] == []
    command = main.get_command(click.Context(main), name) if name else main
    assert command is not None
    for parameter in command.get_params(click.Context(command)):
        if isinstance(parameter, click.Option):
            assert parameter.help
            assert re.search(rf"^ +(-\w, )?{parameter.opts[-1]}\b", result.stdout, re.MULTILINE)


def test_help_and_guide_say_how_a_command_ends() -> None:
    text = besom("--help").stdout
    for code in (0, 1, 2):
        assert re.search(rf"^ +{code}  when ", text, re.MULTILINE)
    guide = (ROOT / "grammar" / "GUIDE.md").read_text("utf-8")
    ending = re.search(r"A command ends with 0 (.*?)\n\n", guide, re.DOTALL)
    assert ending is not None
    assert "with 1 " in ending[1]
    assert "with 2 " in ending[1]
