"""Start-up: a command loads what it uses and nothing else, from a wheel and from a checkout."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

import pytest
from test_cli import without_seconds

from ledger.cli.main import commands

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "quarry-lane"

# Each takes longer to load than a list of the day takes to be answered, or near it. A command
# that runs from a wheel needs none of them.
HEAVY = ("lark", "tabulate", "dateutil", "importlib.metadata", "statistics", "decimal", "asyncio")

WORDS = {
    "begin": [],
    "areas": ["--on", "2026-11-25"],
    "chore": ["oven", "--on", "2026-11-25"],
    "due": ["--on", "2026-11-20"],
    "week": ["--on", "2026-03-04"],
    "review": ["--on", "2026-11-22"],
    "lighten": ["--on", "2026-11-25"],
    "ahead": ["--on", "2026-11-25"],
    "lint": ["--on", "2026-11-25"],
    "git-setup": ["--dry-run"],
    "compare": ["--on", "2026-11-25"],
    "merge": ["--print"],
    "did": ["oven", "35", "--on", "yesterday"],
    "skipped": ["oven", "--on", "sunday"],
    "moved": ["winter-lights", "tomorrow"],
    "worked": ["oven", "5"],
    "undo": [],
    "format": ["--check"],
    "explain": [],
    "completion": ["bash"],
}

CALLS = (
    *WORDS, "areas --as json", "chore --as json", "compare --as json", "did --as json",
    "due --as json", "due --minutes 30 --for tam", "week --as json", "week --in kitchen",
    "review --as json", "lighten --as json", "lighten --as diff", "ahead --as json",
    "ahead --as svg",
)  # fmt: skip

PARTS = {
    "editor": set(),
    "evening": set(),
    "public_holidays": set(),
    "render.paper": set(),
    "git": {"git-setup"},
    "lint": {"lint", "compare", "explain", "begin"},
    "versions": {"compare", "merge"},
    "writing": {"did", "skipped", "moved", "worked", "undo", "git-setup", "begin"},
    "text.formatter": {"format", "lint", "compare", "explain", "merge", "lighten", "begin"},
    "text.hints": {"lint", "compare", "explain", "merge", "begin"},
    "planning.mend": {"due", "week", "ahead"},
    "planning.relief": {"lighten"},
    "planning.pick": {"due"},
    "household.cautions": {
        "chore", "compare", "due", "week", "review", "lighten", "ahead", "areas", "lint", "explain",
        "begin",
    },
}  # fmt: skip
"""Parts that take long to load, and the commands that need them to answer from a sound book.
What an editor is served with is loaded once in a long session."""

PROBE = """
import json, sys
report, blocked, words = sys.argv[1], sys.argv[2].split(), sys.argv[3:]
for name in blocked:
    sys.modules[name] = None
before = set(sys.modules)
from ledger.cli.main import main
code = 0
try:
    main(words, prog_name="besom")
except SystemExit as end:
    code = end.code
modules = sorted(set(sys.modules) - before)
with open(report, "w", encoding="utf-8") as file:
    json.dump({"code": code, "package": sys.modules["ledger"].__file__, "modules": modules}, file)
"""


@dataclass(frozen=True)
class Run:
    """A command in a process of its own: what it printed, and what it loaded."""

    code: int
    output: str
    errors: str
    package: str
    modules: frozenset[str]

    def own(self) -> set[str]:
        """The modules of `ledger`, by their names in it."""
        return {name[7:] for name in self.modules if name.startswith("ledger.")}


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A copy of the example, to write in: a repository of its own."""
    subprocess.run(["git", "init", "-q", str(tmp_path / "book")], check=True)
    return Path(shutil.copytree(EXAMPLE, tmp_path / "book", dirs_exist_ok=True))


def run(where: Path, book: Path, call: str, blocked: tuple[str, ...] = ()) -> Run:
    """Run a command with the package of a folder, some modules being out of its reach."""
    name, *options = call.split()
    if name == "undo":
        run(where, book, "did", blocked)
    books = {
        **{verb: ["--book", str(book)] for verb in ("did", "skipped", "moved", "worked", "undo")},
        "begin": [str(book.with_name("new"))],
        "explain": [],
        "completion": [],
        "compare": [str(book), str(book)],
        "merge": [str(book / "home.chores")] * 3,
    }.get(name, [str(book)])
    report = book.with_name("report.json")
    usual = [] if {"--on", "--"} & set(options) else WORDS[name]
    words = [name, *usual, *options, *books]
    done = subprocess.run(
        [sys.executable, "-c", PROBE, str(report), " ".join(blocked), *words],
        cwd=where,
        env={
            **os.environ,
            "PYTHONPATH": str(where),
            "PYTHONIOENCODING": "utf-8",
            "XDG_STATE_HOME": str(book.with_name("state")),
        },
        capture_output=True,
        check=False,
    )
    said = json.loads(report.read_text("utf-8"))
    modules = frozenset(said["modules"])
    output, errors = without_seconds(done.stdout.decode("utf-8")), done.stderr.decode("utf-8")
    return Run(said["code"], output, errors, said["package"], modules)


def others(call: str) -> set[str]:
    """The modules that no command but another needs: parts of the package, the other commands
    with their reports, and forms of an answer that were not asked for."""
    name = call.split()[0]
    parts = {part for part, needed_by in PARTS.items() if name not in needed_by}
    rivals = {other.replace("-", "_") for other in commands() if other != name}
    parts |= {f"{room}.{other}" for room in ("cli", "report") for other in rivals}
    return parts if "json" in call else parts | {"render.as_json"}


@pytest.mark.parametrize("call", CALLS)
def test_command_of_a_wheel_loads_nothing_that_only_another_needs(
    wheel: Path, book: Path, call: str
) -> None:
    found = run(wheel, book, call)
    assert Path(found.package).is_relative_to(wheel)
    assert (found.code, found.errors) == (1 if call == "lint" else 0, "")
    assert found.own() & others(call) == set()
    assert found.modules.isdisjoint(HEAVY)
    foreign = {name.partition(".")[0] for name in found.modules} - sys.stdlib_module_names
    assert foreign <= {"ledger", "click", "colorama"}


@pytest.mark.parametrize("on", ["3.3.2026", "3/25/2026"])
def test_days_that_a_library_reads_load_it(wheel: Path, book: Path, on: str) -> None:
    found = run(wheel, book, f"due --on {on}")
    assert (found.code, found.errors) == (0, "")
    assert "dateutil.parser" in found.modules


@pytest.mark.parametrize("part", PARTS)
def test_part_is_one_of_the_package(part: str) -> None:
    assert find_spec(f"ledger.{part}") is not None


@pytest.mark.parametrize("name", WORDS)
def test_command_of_a_wheel_answers_where_the_heavy_modules_are_not_installed(
    wheel: Path, book: Path, name: str
) -> None:
    without = run(wheel, book, name, blocked=HEAVY)
    assert (without.code, without.errors) == (1 if name == "lint" else 0, "")
    assert without.output or name == "format"


@pytest.mark.parametrize(
    "name", sorted(WORDS.keys() - {"begin", "completion", "explain", "git-setup", "merge"})
)
def test_command_of_a_checkout_reads_the_grammar_where_it_lies_and_answers_the_same(
    wheel: Path, book: Path, name: str
) -> None:
    before = {path: path.read_bytes() for path in book.glob("*.chores")}
    checkout = run(ROOT, book, name)
    assert Path(checkout.package).is_relative_to(ROOT)
    assert "lark" in checkout.modules
    for path, data in before.items():
        path.write_bytes(data)
    packed = run(wheel, book, name)
    assert (packed.code, packed.output) == (checkout.code, checkout.output)
    assert "lark" not in packed.modules


def test_every_command_that_needs_no_extra_is_tried() -> None:
    extras = {"calendar", "holidays", "language-server", "paper", "round"}
    assert WORDS.keys() == commands().keys() - extras


def test_faulty_line_loads_the_hints_that_only_a_command_which_shows_them_pays_for(
    wheel: Path, book: Path
) -> None:
    with (book / "home.chores").open("a", encoding="utf-8") as routine:
        routine.write("every mondey\n")
    due, lint = run(wheel, book, "due"), run(wheel, book, "lint")
    assert (due.code, lint.code) == (0, 1)
    assert due.errors.startswith("besom: 1 line could not be used")
    assert "text.hints.advice" not in due.own()
    assert "text.hints.advice" in lint.own()


@pytest.mark.parametrize(
    "words", ["did o", "did oven --by e", "due --in k", "due --on t", "explain o", "lint --only o"]
)
def test_words_for_a_shell_load_no_rule_and_no_report(
    wheel: Path, book: Path, words: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BESOM_BOOK", str(book))
    found = run(wheel, book, f"completion fish -- {words}")
    assert (found.code, found.errors) == (0, "")
    assert len(found.output.splitlines()) > 1
    assert found.modules.isdisjoint(HEAVY)
    rooms = {"report", "keeping", "planning", "lint.rules", "versions", "render"}
    assert not {name for name in found.own() if name.startswith(tuple(rooms))}
