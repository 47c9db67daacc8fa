"""The README shows what the program really prints."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
from datetime import datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from test_cli import stop_clock

from ledger.cli.main import main
from ledger.text.formatter import format_tree
from ledger.text.reader import Reader
from ledger.text.source import Source

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")


def block(marker: str) -> str:
    """The fenced block that follows a marker."""
    found = re.search(rf"<!-- {marker} -->\n```\n(.*?)```", README, re.DOTALL)
    assert found is not None, marker
    return found[1]


def test_the_week_begins_as_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    words = block("example command").split("besom ")[1].split()
    stop_clock(monkeypatch, datetime.fromisoformat(f"{words[-1]} 20:00"))
    result = CliRunner().invoke(main, [words[0], str(ROOT / words[1]), *words[2:]])
    assert result.exit_code == 0
    assert block("example output").count("\n") > 10
    assert result.output.startswith(block("example output"))


def test_first_steps_lead_to_the_list_that_is_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("BESOM_ME", raising=False)
    stop_clock(monkeypatch, datetime(2026, 11, 26, 20))
    _, *steps = re.split(r"^\$ besom ", block("first steps"), flags=re.MULTILINE)
    assert steps[0].startswith("begin\n")
    for step in steps:
        command, _, shown = step.partition("\n")
        result = CliRunner().invoke(main, command.split())
        assert result.exit_code == 0
        assert result.output.startswith(shown)


def test_record_of_the_example_is_the_one_that_its_script_makes() -> None:
    script = [sys.executable, str(ROOT / "examples" / "make_record.py")]
    made = subprocess.run(script, capture_output=True, text=True, encoding="utf-8", check=True)
    record = (ROOT / "examples" / "quarry-lane" / "2026.chores").read_text("utf-8")
    assert made.stdout.splitlines() == record.splitlines()


def test_lint_says_of_the_faulty_book_what_is_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    command, _, shown = block("lint output").partition("\n")
    monkeypatch.chdir(tmp_path)
    Path("home.chores").write_text(block("faulty book"), "utf-8")
    result = CliRunner().invoke(main, command.removeprefix("$ besom ").split())
    seconds = re.compile(r"\d+\.\d\d s")
    assert seconds.sub("0.00 s", result.output) == seconds.sub("0.00 s", shown)
    assert result.exit_code == 1


def test_books_shown_read_without_a_fault() -> None:
    books = re.findall(r"```chores\n(.*?)```", README, re.DOTALL)
    assert len(books) >= 2
    for book in books:
        tree = Reader().read(Source("README", book))
        assert tree.faults() == []
        assert format_tree(tree) == book


def test_the_job_comes_first_and_the_test_command_installs_what_it_needs() -> None:
    title, job = README.split("\n\n")[:2]
    assert title == "# besom"
    assert "chore book" in job
    assert "pip install -q -e '.[test]'" in block("test command")


def test_line_that_installs_for_good_brings_every_extra_of_a_user() -> None:
    assert block("install").count(".[all]") == 2
    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]
    extras = project["optional-dependencies"]
    named = re.search(r"\[(.*)\]", extras["all"][0])
    assert named is not None
    assert set(named[1].split(",")) == extras.keys() - {"all", "test", "check"}
