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

from ledger.cli.main import commands, main

WRITER = Path(__file__).parents[1] / ".hatch" / "man_pages.py"
CALLS = ("", *sorted(commands()))
"""The commands; the empty one is `besom` itself."""


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("man") / "man1"
    subprocess.run([sys.executable, str(WRITER), str(folder)], check=True)
    return folder


def page_of(name: str) -> str:
    return f"besom-{name}" if name else "besom"


def command_of(name: str) -> tuple[click.Command, click.Context]:
    group = main.make_context("besom", [], resilient_parsing=True)
    command = main.get_command(group, name) if name else main
    assert command is not None
    return command, click.Context(command, group, info_name=name) if name else group


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


def shown(pages: Path, name: str) -> str:
    """A page as `man` shows it when it finds it by its name, as one line."""
    usual = {"MANPATH": str(pages.parent), "MANWIDTH": "9999", "MANOPT": "--nh --nj"}
    return plain(said("man", page_of(name), MANPAGER="cat", **usual))


def test_there_is_a_page_for_each_command_and_no_other(pages: Path) -> None:
    assert {path.name for path in pages.iterdir()} == {f"{page_of(name)}.1" for name in CALLS}


@pytest.mark.parametrize("name", CALLS)
def test_page_is_sound_and_found_by_what_it_is_about(pages: Path, name: str) -> None:
    page = str(pages / f"{page_of(name)}.1")
    assert said("groff", "-man", "-ww", "-z", "-K", "utf8", "-T", "utf8", page) == ""
    about = commands()[name] if name else "keep a home's chores in a plain-text book"
    assert said("lexgrog", page) == f'{page}: "{page_of(name)} - {about}"\n'


@pytest.mark.parametrize("name", CALLS)
def test_page_says_what_the_help_says(pages: Path, name: str) -> None:
    command, ctx = command_of(name)
    text = shown(pages, name)
    paragraphs = cleandoc(command.help or "").replace("\b\n", "").split("\n\n")
    for paragraph in paragraphs:
        assert plain(paragraph.removeprefix("Examples:")) in text
    assert plain(f"{ctx.command_path} {' '.join(command.collect_usage_pieces(ctx))}") in text
    for option in command.get_params(ctx):
        record = option.get_help_record(ctx)
        assert record is None or plain(" ".join(record)) in text


def test_page_of_besom_lists_the_commands_and_theirs_lead_to_others(pages: Path) -> None:
    text = shown(pages, "")
    for name, about in commands().items():
        assert f"besom-{name}(1) {about}" in text
    assert shown(pages, "merge").partition("SEE ALSO ")[2].startswith("besom(1) besom-git-setup(1)")
