"""The corpus of `grammar/conformance` and the examples of `grammar/FORMAT.md`, read by us."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from conformance_reading import Json, answers

from ledger.text.source import Source
from ledger.workspace import read_sources

GRAMMAR = Path(__file__).parents[1] / "grammar"
CORPUS = GRAMMAR / "conformance"
FORMAT = (GRAMMAR / "FORMAT.md").read_text("utf-8")
CASES = sorted(
    path.relative_to(CORPUS).with_suffix("").as_posix() for path in CORPUS.rglob("*.json")
)
TOPICS = {path.name for path in CORPUS.iterdir() if path.is_dir()}
EXAMPLES = re.findall(r"^```chores\n(.*?)^```$", FORMAT, re.DOTALL | re.MULTILINE)
NAMED_CASES = re.findall(r"`([a-z][a-z-]*/[a-z0-9-]+)`", FORMAT)
KEYS = {
    "with", "today", "reads", "faults",
    "steps", "windows", "matching", "status", "turns", "minutes", "limits", "overloads",
}  # fmt: skip


def expected(name: str) -> Json:
    said = json.loads((CORPUS / f"{name}.json").read_text("utf-8"))
    assert isinstance(said, dict)
    return said


@pytest.mark.parametrize("name", CASES)
def test_case_is_read_as_it_says(name: str) -> None:
    said = expected(name)
    assert answers(CORPUS / f"{name}.chores", said) == said


@pytest.mark.parametrize("name", CASES)
def test_case_has_the_keys_that_the_format_names(name: str) -> None:
    said = expected(name)
    assert "faults" in said
    assert said.keys() <= KEYS


def test_every_case_has_both_its_files_and_nothing_else_lies_there() -> None:
    files = {path.relative_to(CORPUS).as_posix() for path in CORPUS.rglob("*") if path.is_file()}
    assert files == {f"{name}{end}" for name in CASES for end in (".chores", ".json")}


def test_corpus_is_large_enough() -> None:
    assert len(CASES) >= 100


def test_every_kind_of_fault_has_a_case_of_its_own() -> None:
    kinds = {fault["kind"] for name in CASES for fault in expected(name)["faults"]}
    assert {f"faults/{kind}" for kind in kinds} <= set(CASES)
    for kind in kinds:
        assert [fault["kind"] for fault in expected(f"faults/{kind}")["faults"]] == [kind]


@pytest.mark.parametrize("number", range(len(EXAMPLES)))
def test_example_of_the_format_has_no_fault(number: int) -> None:
    workspace = read_sources([Source("FORMAT.md", EXAMPLES[number])])
    assert [f"{finding.place}: {finding.message}" for finding in workspace.findings] == []


def test_format_has_examples() -> None:
    assert EXAMPLES
    assert FORMAT.count("```chores") == len(EXAMPLES)


def test_every_case_that_the_format_names_exists() -> None:
    topics = [name for name in NAMED_CASES if name.split("/")[0] in TOPICS]
    assert set(topics) <= set(CASES)


def test_format_works_at_least_twelve_cases_of_matching() -> None:
    rows = re.findall(r"^\| *(\d+) *\|.*`(matching/[a-z0-9-]+)` *\|$", FORMAT, re.MULTILINE)
    assert [int(number) for number, _ in rows] == list(range(1, len(rows) + 1))
    assert len({name for _, name in rows}) >= 12
    assert {name for _, name in rows} <= set(CASES)
