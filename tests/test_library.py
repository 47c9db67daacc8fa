"""The library, as a program uses it: the same answers as the commands."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from test_cli import besom

import ledger
from ledger.library import Book
from ledger.render.as_json import to_json
from ledger.workspace import WorkspaceFault

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "quarry-lane"
DAY = date(2026, 3, 4)


@pytest.fixture(scope="module")
def book() -> Book:
    return ledger.load(EXAMPLE, today=DAY)


@pytest.mark.parametrize(
    ("words", "answer"),
    [
        ("due", lambda book: book.due(DAY)),
        ("due --minutes 30 --for tam", lambda book: book.due(DAY, minutes=30, person="tam")),
        ("week --in kitchen", lambda book: book.week(DAY, area="kitchen")),
        ("review --weeks 2", lambda book: book.review(DAY, weeks=2)),
        ("ahead --weeks 2", lambda book: book.ahead(DAY, weeks=2)),
        ("areas", lambda book: book.areas(DAY)),
        ("chore wash-up", lambda book: book.chore("wash-up", DAY)),
    ],
)
def test_answers_are_those_of_the_command(book: Book, words: str, answer) -> None:  # type: ignore[no-untyped-def]
    said = besom(*words.split(), str(EXAMPLE), "--on", str(DAY), "--as", "json").stdout
    assert json.loads(to_json(answer(book))) == json.loads(said)


def test_lighten_proposes_what_the_command_does(book: Book) -> None:
    said = json.loads(besom("lighten", str(EXAMPLE), "--on", str(DAY), "--as", "json").stdout)
    mine = json.loads(to_json(book.lighten(DAY)))
    # The command alone writes the change to the files.
    assert mine | {"diff": said["diff"]} == said


def test_findings_are_those_of_lint(book: Book) -> None:
    said = json.loads(besom("lint", str(EXAMPLE), "--on", str(DAY), "--as", "json").stdout)
    assert [(one.rule, one.message) for one in book.findings()] == [
        (one["rule"], one["message"]) for one in said["findings"]
    ]


def test_day_that_is_not_given_is_the_day_of_the_book(book: Book) -> None:
    assert book.today == DAY
    assert book.due() == book.due(DAY)
    assert ledger.load(EXAMPLE, today=date(2026, 3, 9)).due().day == date(2026, 3, 9)


def test_what_the_book_does_not_have_is_refused(book: Book) -> None:
    with pytest.raises(LookupError, match='there is no person "nobody" in this book'):
        book.due(person="nobody")
    with pytest.raises(LookupError, match='there is no area "attic" in this book'):
        book.week(area="attic")
    with pytest.raises(LookupError, match='there is no chore "x" in this book'):
        book.chore("x")
    with pytest.raises(ValueError, match="1969-12-31 is no day of a book"):
        book.due(date(1969, 12, 31))
    for ask in (
        lambda: book.due(minutes=0), lambda: book.review(weeks=0), lambda: book.ahead(weeks=521),
        lambda: book.lighten(moves=-1),
    ):  # fmt: skip
        with pytest.raises(ValueError, match="must be"):
            ask()
    with pytest.raises(TypeError, match="not '2026-03-04'"):
        book.due("2026-03-04")  # type: ignore[arg-type]
    with pytest.raises(WorkspaceFault, match="there is no such file or folder"):
        ledger.load(ROOT / "nowhere")


def test_example_of_the_readme_runs(tmp_path: Path) -> None:
    (example,) = re.findall(r"<!-- library example -->\n```python\n(.*?)```", README, re.DOTALL)
    done = subprocess.run(
        [sys.executable, "-c", example], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert (
        done.stdout == re.findall(r"<!-- library output -->\n```\n(.*?)```", README, re.DOTALL)[0]
    )


README = (ROOT / "README.md").read_text("utf-8")


def test_loading_the_package_alone_loads_nothing_more() -> None:
    probe = "import sys, ledger; print(sorted(n for n in sys.modules if n.startswith('ledger')))"
    done = subprocess.run(
        [sys.executable, "-c", probe], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert done.stdout == "['ledger']\n"
