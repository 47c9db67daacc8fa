"""Start-up: a command loads what it uses and nothing else, from a wheel and from a checkout."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

import pytest
from test_cli import without_seconds

from ledger.cli.main import COMMANDS
from ledger.lint.rules import NAMES
from ledger.text.grammar import TABLES_NAME, compile_grammar, grammar_text, to_json

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "quarry-lane"

# Each takes longer to load than a list of the day takes to be answered, or near it. A command
# that runs from a wheel needs none of them.
HEAVY = ("lark", "tabulate", "dateutil", "importlib.metadata", "statistics", "decimal", "asyncio")

WORDS = {
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
    "format": ["--check"],
    "explain": [],
}

READING = {
    "cli", "cli.common", "cli.main", "cli.output", "state", "workspace", "household", "text",
    *(f"household.{name}" for name in (
        "away", "cadence", "log", "model", "names", "resolve", "routine",
    )),
    *(f"text.{name}" for name in (
        "builder", "finding", "grammar", "parser", "reader", "record_line", "sections", "source",
        "shown", "tree", "values", "writer",
    )),
}  # fmt: skip
WRITING = {"git_head", "locking", "undo_log", "writing"}
DATES = {
    "schedule",
    *(f"schedule.{name}" for name in (
        "absence", "counting", "lines", "load", "matching", "minutes", "openings", "status", "week",
        "windows",
    )),
}  # fmt: skip
THINGS = {f"household.{name}" for name in ("dangers", "hazards", "things")}
APART = {"household.apart", "report.apart"}
TASKS = {"report", "report.task", "schedule.turns", *THINGS, "render"}
JSON = {"render.as_json", "render.json_text"}
LAYOUT = {"render.layout", "render.tasks_text", "text.width"}

LISTS = READING | DATES | TASKS | APART | {"report.estimate", "report.scope", "schedule.likely"}
DUE = LISTS | {"cli.due", "report.due"}
SPREAD = {"schedule.placing", "schedule.search", "schedule.spread"}
WEEK = LISTS | SPREAD | {"cli.week", "report.week", "schedule.remaining", "schedule.past"}

CHORE = READING | DATES | TASKS | {
    "cli.chore", "report.chore", "report.chore_lines", "report.chore_record",
    "schedule.coming", "schedule.in_force", "schedule.likely", "schedule.past",
}  # fmt: skip

LIGHTEN = READING | DATES | THINGS | {
    "cli.lighten", "report", "report.lighten", "schedule.choices",
    "schedule.cuts", "schedule.fit", "schedule.relief", "schedule.turns", "render",
    "text.difference", "text.formatter", "text.relocate", "text.shape", "text.width",
}  # fmt: skip

REVIEW = READING | DATES | {
    "cli.review", "report", "report.chore_record", "report.effort", "report.habit",
    "report.review", "schedule.in_force", "schedule.past", "schedule.shares", "schedule.turns",
    "render",
}  # fmt: skip

AHEAD = READING | DATES | SPREAD | THINGS | {
    "cli.ahead", "household.apart", "report", "report.ahead", "schedule.remaining", "render",
}  # fmt: skip

MAY_LOAD = {
    "areas": READING | DATES
    | {"cli.areas", "report", "report.areas", "schedule.coming", "schedule.in_force", "render",
       "render.areas_text", "render.layout", "text.width"},
    "areas --as json": READING | DATES | TASKS | JSON
    | {"cli.areas", "report.areas", "schedule.coming", "schedule.in_force"},
    "chore": CHORE | LAYOUT | {"render.chore_text", "render.chore_record_text"},
    "chore --as json": CHORE | JSON,
    "due": DUE | LAYOUT | {"render.due_text"},
    "due --as json": DUE | JSON,
    "due --minutes 30 --for tam": DUE | LAYOUT
    | {"render.due_text", "report.pick", "schedule.pick"},
    "week": WEEK | LAYOUT | {"render.week_text"},
    "week --as json": WEEK | JSON,
    "week --in kitchen": WEEK | LAYOUT | {"render.week_text"},
    "review": REVIEW | {"render.layout", "render.review_text", "text.width"},
    "review --as json": REVIEW | JSON | THINGS | {"report.task"},
    "lighten": LIGHTEN | {"render.layout", "render.lighten_text"},
    "lighten --as json": LIGHTEN | JSON | {"report.task"},
    "lighten --as diff": LIGHTEN,
    "ahead": AHEAD | {"render.layout", "render.ahead_text", "text.width"},
    "ahead --as json": AHEAD | JSON
    | {"report.task", "schedule.turns"},
    "ahead --as svg": AHEAD | {"render.layout", "render.ahead_svg", "text.width"},
    "did": READING | DATES | {
        *WRITING, "cli.did", "render", "render.layout", "render.settles_text", "report",
        "report.settles", "schedule.past", "text.width",
    },
    "did --as json": READING | WRITING | {"cli.did"},
    "lint": READING | DATES | THINGS | {
        "cli.lint", "household.apart", "text.hint_merge", "text.hints", "text.near",
        "render", "render.findings_text",
        "render.layout", "text.formatter", "text.shape", "text.width",
        "lint", "lint.book", "lint.echoes", "lint.engine", "lint.meeting", "lint.memory",
        "lint.overload", "lint.rules",
        "schedule.turns",
        *(f"lint.rules.{name.replace('-', '_')}" for name in NAMES),
    },
    "git-setup": READING
    | {"cli.git_setup", "git", "gitconfig", "gitnote", "gitsetup", "gittexts", "gitundo",
       "locking", "render", "render.layout", "text.width", "writing"},
    "format": READING | {"cli.format", "text.formatter", "text.shape", "text.width"},
}  # fmt: skip
COMPARE = MAY_LOAD["lint"] - {"cli.lint", "render.findings_text"} | {
    "cli.compare", "lint.since",
    "versions",
    *(f"versions.{name}" for name in (
        "compare", "comparison", "effect", "record_changes", "said", "sections",
    )),
}  # fmt: skip
MAY_LOAD["compare"] = COMPARE | {"render.compare_text", "render.compare_words"}
MAY_LOAD["compare --as json"] = COMPARE | TASKS | JSON
MAY_LOAD["merge"] = READING | {
    "cli.merge", "text.formatter", "text.hint_merge", "text.shape", "text.width", "versions",
    *(f"versions.{name}" for name in (
        "binary", "clauses", "merge", "order", "record", "remarks", "renamed", "settled", "units",
    )),
}  # fmt: skip
MAY_LOAD["explain"] = MAY_LOAD["lint"] - {"cli.lint"} | {"cli.explain", "render.rules_text"}
"""What each command may load of `ledger` to answer from a sound book."""

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


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the package as a wheel carries it: with its tables, and no grammar beside."""
    folder = tmp_path_factory.mktemp("wheel")
    package = folder / "ledger"
    shutil.copytree(ROOT / "ledger", package, ignore=shutil.ignore_patterns("__pycache__"))
    tables = to_json(compile_grammar(grammar_text()))
    (package / "text" / TABLES_NAME).write_text(tables, "utf-8")
    return folder


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A copy of the example, to write in: a repository of its own."""
    subprocess.run(["git", "init", "-q", str(tmp_path / "book")], check=True)
    return Path(shutil.copytree(EXAMPLE, tmp_path / "book", dirs_exist_ok=True))


def run(where: Path, book: Path, call: str, blocked: tuple[str, ...] = ()) -> Run:
    """Run a command with the package of a folder, some modules being out of its reach."""
    name, *options = call.split()
    books = {
        "did": ["--book", str(book)],
        "explain": [],
        "compare": [str(book), str(book)],
        "merge": [str(book / "home.chores")] * 3,
    }.get(name, [str(book)])
    report = book.with_name("report.json")
    words = [name, *WORDS[name], *options, *books]
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


@pytest.mark.parametrize("call", MAY_LOAD)
def test_command_of_a_wheel_loads_what_it_uses_and_no_more(
    wheel: Path, book: Path, call: str
) -> None:
    found = run(wheel, book, call)
    assert Path(found.package).is_relative_to(wheel)
    assert (found.code, found.errors) == (1 if call == "lint" else 0, "")
    assert found.own() - MAY_LOAD[call] == set()
    assert found.modules.isdisjoint(HEAVY)
    foreign = {name.partition(".")[0] for name in found.modules} - sys.stdlib_module_names
    assert foreign <= {"ledger", "click", "colorama"}


@pytest.mark.parametrize("name", WORDS)
def test_command_of_a_wheel_answers_where_the_heavy_modules_are_not_installed(
    wheel: Path, book: Path, name: str
) -> None:
    without = run(wheel, book, name, blocked=HEAVY)
    assert (without.code, without.errors) == (1 if name == "lint" else 0, "")
    assert without.output or name == "format"


def test_command_of_a_wheel_knows_nothing_of_editors_but_the_one_that_serves_them(
    wheel: Path, book: Path
) -> None:
    found = run(wheel, book, "due")
    assert not any(name.partition(".")[0] in ("pygls", "lsprotocol") for name in found.modules)
    assert "editor" not in {name.partition(".")[0] for name in found.own()}


@pytest.mark.parametrize("name", sorted(WORDS.keys() - {"explain", "git-setup", "merge"}))
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


def test_every_command_says_what_it_may_load() -> None:
    # What an editor is served with is loaded once in a long session.
    answering = COMMANDS.keys() - {"language-server"}
    assert {call.split()[0] for call in MAY_LOAD} == answering == WORDS.keys()


def test_faulty_line_loads_the_hints_that_only_a_command_which_shows_them_pays_for(
    wheel: Path, book: Path
) -> None:
    with (book / "home.chores").open("a", encoding="utf-8") as routine:
        routine.write("every mondey\n")
    due, lint = run(wheel, book, "due"), run(wheel, book, "lint")
    assert due.code == lint.code == 1
    assert due.errors.startswith("besom: 1 line could not be used")
    # Whether it is a mark of a merge is asked of every line that cannot be read.
    asked = {"text.hint_merge", "text.hints", "text.misread", "text.near"}
    assert due.own() - MAY_LOAD["due"] <= asked
    hints = {f"text.{path.stem}" for path in (ROOT / "ledger" / "text").glob("hint_*.py")}
    # What a name cannot hold is asked only of a name that holds it.
    assert hints - {"text.hint_names"} <= lint.own() <= hints | asked | MAY_LOAD["lint"]
