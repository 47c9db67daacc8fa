"""The pages of the manual: sound roff, and all that the help says."""

from __future__ import annotations

import os
import subprocess
import sys
from inspect import cleandoc
from pathlib import Path

import click
import pytest
from highlighting import program

from ledger.cli.command_paths import commands_below
from ledger.cli.groups import LazyGroup
from ledger.cli.main import commands, main

WRITER = Path(__file__).parents[1] / ".hatch" / "man_pages.py"
ROOT = main.make_context("besom", [], resilient_parsing=True)
CALLS = {ctx.command_path: ctx for ctx in (ROOT, *commands_below(ROOT))}
"""The commands, by the words that call them."""


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("man") / "man1"
    subprocess.run([sys.executable, str(WRITER), str(folder)], check=True)
    return folder


def page_of(call: str) -> str:
    return call.replace(" ", "-")


def about_of(ctx: click.Context) -> str:
    """What a command is about, by the table that it stands in."""
    if ctx.parent is None:
        return "keep a home's chores in a plain-text book"
    assert isinstance(ctx.parent.command, LazyGroup)
    return ctx.parent.command.abouts()[ctx.info_name or ""]


def said(*words: str, **variables: str) -> str:
    """What a program prints, which finds nothing to complain of."""
    done = subprocess.run(
        [program(words[0]), *words[1:]],
        env={"PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8", **variables},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )
    assert (done.returncode, done.stderr) == (0, "")
    return done.stdout


def plain(text: str) -> str:
    return " ".join(text.replace("`", "").split())


def shown(pages: Path, call: str) -> str:
    """A page as `man` shows it when it finds it by its name, as one line."""
    usual = {"MANPATH": str(pages.parent), "MANWIDTH": "9999", "MANOPT": "--nh --nj"}
    return plain(said("man", page_of(call), MANPAGER="cat", **usual))


def test_there_is_a_page_for_each_command_and_no_other(pages: Path) -> None:
    assert {path.name for path in pages.iterdir()} == {f"{page_of(call)}.1" for call in CALLS}
    assert {f"besom-{name}.1" for name in commands()} < {path.name for path in pages.iterdir()}
    assert (pages / "besom-paper-week.1").exists()


@pytest.mark.parametrize("call", CALLS)
def test_page_is_sound_and_found_by_what_it_is_about(pages: Path, call: str) -> None:
    page = str(pages / f"{page_of(call)}.1")
    assert said("groff", "-man", "-ww", "-z", "-K", "utf8", "-T", "utf8", page) == ""
    assert said("lexgrog", page) == f'{page}: "{page_of(call)} - {about_of(CALLS[call])}"\n'


@pytest.mark.parametrize("call", CALLS)
def test_page_says_what_the_help_says(pages: Path, call: str) -> None:
    ctx = CALLS[call]
    command = ctx.command
    text = shown(pages, call)
    paragraphs = cleandoc(command.help or "").replace("\b\n", "").split("\n\n")
    for paragraph in paragraphs:
        assert plain(paragraph.removeprefix("Examples:")) in text
    assert plain(f"{call} {' '.join(command.collect_usage_pieces(ctx))}") in text
    for option in command.get_params(ctx):
        record = option.get_help_record(ctx)
        assert record is None or plain(" ".join(record)) in text


def test_page_of_a_group_lists_its_commands_and_theirs_lead_to_others(pages: Path) -> None:
    for ctx in CALLS.values():
        if ctx.parent is not None:
            entry = f"{page_of(ctx.command_path)}(1) {about_of(ctx)}"
            assert entry in shown(pages, ctx.parent.command_path)
    merge, week = shown(pages, "besom merge"), shown(pages, "besom paper week")
    assert merge.partition("SEE ALSO ")[2].startswith("besom(1) besom-git-setup(1)")
    assert week.partition("SEE ALSO ")[2].startswith("besom(1) besom-paper(1)")
