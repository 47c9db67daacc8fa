"""The house: a folder imports only from floors below it, and no circle closes."""

from __future__ import annotations

import ast
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "ledger"

# Floor of each folder or module of `ledger`, from the design of the house.
FLOORS = {
    "text": 0,
    "household": 1,
    "calendar": 2,
    "keeping": 3,
    "planning": 4,
    "report": 5,
    "lint": 5,
    "versions": 5,
    "public_holidays": 5,
    "workspace": 6,
    "homes": 6,
    "cache": 6,
    "clock": 6,
    "writing": 6,
    "locking": 6,
    "state": 6,
    "undo_log": 6,
    "git_head": 6,
    "render": 6,
    "git": 7,
    "library": 7,
    "first_book": 7,
    "editor": 8,
    "evening": 8,
    "cli": 9,
    "__main__": 10,
}
# Parts that are all about files; `test_there_is_no_circle_of_imports` says in which order.
FILES = {
    "workspace",
    "homes",
    "cache",
    "writing",
    "locking",
    "state",
    "undo_log",
    "git",
    "git_head",
}
# Parts of one floor that know nothing of each other.
STRANGERS = {
    ("report", "lint"),
    ("lint", "report"),
    ("versions", "lint"),
    ("lint", "versions"),
    ("versions", "report"),
    ("report", "versions"),
    ("render", "workspace"),
    ("workspace", "render"),
}

MODULES = sorted(
    path for path in PACKAGE.rglob("*.py") if path.relative_to(PACKAGE) != Path("__init__.py")
)


def name_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE.parent).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def part_of(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


def imports_of(tree: ast.Module) -> set[str]:
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            found.add(node.module or "")
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


TREES = {name_of(path): ast.parse(path.read_text("utf-8")) for path in MODULES}
OWN = {
    module: {found for found in imports_of(tree) if found in TREES and found != module}
    for module, tree in TREES.items()
}


def test_every_part_has_its_floor() -> None:
    assert {part_of(module) for module in TREES} == FLOORS.keys()


@pytest.mark.parametrize("module", TREES)
def test_module_imports_only_from_its_own_part_or_floors_below(module: str) -> None:
    here = part_of(module)
    for found in OWN[module]:
        there = part_of(found)
        if there == here:
            continue
        assert (here, there) not in STRANGERS
        below = FLOORS[there] < FLOORS[here]
        # A new line of the record and what git keeps are matters of files, as the workspace is.
        of_files = there in FILES and here in FILES
        assert below or of_files, f"{module} imports {found}"


def test_render_knows_of_the_rules_only_what_they_say() -> None:
    users = {module for module in TREES if part_of(module) == "render"}
    assert {found for module in users for found in OWN[module] if part_of(found) == "lint"} <= {
        "ledger.lint.rules"
    }


def test_rules_never_import_each_other() -> None:
    prefix = "ledger.lint.rules."
    for module in TREES:
        if module.startswith(prefix):
            assert not any(found.startswith(prefix) for found in OWN[module])


# What is said of marks of a merge and of names, which are asked of before a line is explained.
ASKED_EARLY = {"ledger.text.hints", "ledger.text.hints.merge", "ledger.text.hints.names"}


def test_hints_are_imported_only_where_a_line_is_explained() -> None:
    hints = {module for module in TREES if module.startswith("ledger.text.hints")} - ASKED_EARLY
    for module in TREES.keys() - hints:
        at_once = ast.Module([node for node in TREES[module].body if is_import(node)], [])
        assert not hints & imports_of(at_once), module


def is_import(node: ast.stmt) -> bool:
    return isinstance(node, (ast.Import, ast.ImportFrom))


def test_there_is_no_circle_of_imports() -> None:
    assert len(list(TopologicalSorter(OWN).static_order())) == len(TREES)


def test_only_the_grammar_imports_lark() -> None:
    users = {
        module
        for module, tree in TREES.items()
        if any(found.split(".")[0] == "lark" for found in imports_of(tree))
    }
    assert users == {"ledger.text.grammar"}


def test_only_commands_print_read_the_clock_or_know_click() -> None:
    for module, tree in TREES.items():
        if part_of(module) in ("cli", "__main__"):
            continue
        assert "click" not in imports_of(tree)
        for node in ast.walk(tree):
            if isinstance(node, ast.Call):
                called = ast.unparse(node.func)
                assert called != "print", module
                clock = () if part_of(module) == "clock" else ("today", "now", "utcnow")
                assert called.split(".")[-1] not in (*clock, "exit"), module


# What writes to a terminal, or hands out what does. Click's own help and version are constant.
WRITERS = {
    "print", "input", "os.write", "sys.stdout", "sys.stderr", "sys.__stdout__", "sys.__stderr__",
    *(f"click.{name}" for name in (
        "clear", "confirm", "echo", "echo_via_pager", "get_binary_stream", "get_text_stream",
        "pause", "progressbar", "prompt", "secho",
    )),
}  # fmt: skip


def writers_of(tree: ast.Module) -> set[str]:
    """What a module names of all that writes, by whatever way it came by the name."""
    names = {
        ast.unparse(node) for node in ast.walk(tree) if isinstance(node, (ast.Attribute, ast.Name))
    }
    return WRITERS & (names | imports_of(tree))


@pytest.mark.parametrize("module", TREES)
def test_only_the_output_of_commands_writes_to_a_terminal(module: str) -> None:
    found = writers_of(TREES[module])
    if module == "ledger.cli.output":
        assert found == {"sys.stdout", "sys.stderr", "click.echo", "click.confirm", "click.prompt"}
    else:
        assert not found


def test_writing_is_seen_however_it_is_called() -> None:
    for text in ("from click import echo as say", "import sys\nx = sys.stderr.buffer", "print(1)"):
        assert writers_of(ast.parse(text))


@pytest.mark.parametrize("path", MODULES, ids=name_of)
def test_module_says_what_it_knows_and_keeps_within_bounds(path: Path) -> None:
    tree = TREES[name_of(path)]
    assert ast.get_docstring(tree)
    assert path.read_text("utf-8").count("\n") <= 400
    for node in ast.walk(tree):
        if isinstance(node, (ast.FunctionDef, ast.AsyncFunctionDef)):
            assert (node.end_lineno or 0) - node.lineno < 45, node.name
