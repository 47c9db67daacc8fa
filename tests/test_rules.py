"""Rules: each finds its sample at fault exactly where it is marked, and says why that matters.

`rule-findings.txt` holds what each says of its sample, to the letter.
"""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest
from books import day
from golden_findings import block, golden_blocks

import ledger
from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.lint.rules import RULES
from ledger.text import finding as finding_module
from ledger.text.finding import Finding, Kind
from ledger.text.source import Source
from ledger.workspace import read_sources

PACKAGE = Path(ledger.__file__).parent
TODAY = day("2026-03-04")
MARKS = re.compile(r"[ ^]*\^[ ^]*")

Mark = tuple[int, int, int]
"""A line, counted from 0, and the columns from which and to which it is marked."""


def without_marks(sample: str) -> tuple[list[str], list[Mark]]:
    """The lines of a sample's book, and what the lines of `^` below them mark."""
    lines: list[str] = []
    marks: list[Mark] = []
    # Not by `splitlines`: one sample is about lines that end in CR LF.
    for line in sample.removesuffix("\n").split("\n"):
        if MARKS.fullmatch(line):
            marks += [(len(lines) - 1, *run.span()) for run in re.finditer(r"\^+", line)]
        else:
            lines.append(line)
    return lines, marks


def findings(lines: list[str], about: str) -> list[Finding]:
    """The findings of a sample; its spacing is only looked at by the rules about spacing."""
    workspace = read_sources([Source("home.chores", "\n".join(lines) + "\n")])
    found = lint(LintedBook(workspace.trees, workspace.household.on(TODAY)), workspace.findings)
    return [one for one in found if one.rule in (RULES.keys() - {"not-formatted"}) | {about}]


def said(name: str) -> str:
    """What a rule says of its bad sample."""
    lines, _ = without_marks(RULES[name].bad)
    return block(findings(lines, name), with_why=True)


SAID = golden_blocks(Path(__file__).with_name("rule-findings.txt"), RULES, said)


@pytest.mark.parametrize("name", RULES)
def test_bad_sample_has_exactly_the_marked_findings(name: str) -> None:
    lines, marks = without_marks(RULES[name].bad)
    found = [
        (finding.rule, (finding.place.line, finding.place.start, finding.place.end))
        for finding in findings(lines, name)
    ]
    assert marks
    assert found == [(name, mark) for mark in marks]


@pytest.mark.parametrize("name", RULES)
def test_bad_sample_is_told_what_the_golden_file_says(name: str) -> None:
    """`BESOM_UPDATE_GOLDEN=1 pytest tests/test_rules.py` writes what rules say now."""
    assert said(name) == SAID[name]


def test_golden_file_has_every_rule_and_no_other() -> None:
    assert SAID.keys() == RULES.keys()


@pytest.mark.parametrize("name", RULES)
def test_good_sample_has_no_finding(name: str) -> None:
    lines, marks = without_marks(RULES[name].good)
    assert marks == []
    assert [f"{found.place}: {found.message}" for found in findings(lines, name)] == []


# A comment is spacing too, and an allowance cannot allow itself.
@pytest.mark.parametrize("name", sorted(RULES.keys() - {"not-formatted", "unused-allow"}))
def test_every_finding_can_be_allowed_by_the_name_of_its_rule(name: str) -> None:
    lines, marks = without_marks(RULES[name].bad)
    for line, _, _ in reversed(marks):
        lines.insert(line, f"# allow {name}: meant so")
    assert findings(lines, name) == []


@pytest.mark.parametrize("name", RULES)
def test_finding_says_what_is_wrong_why_and_what_to_write(name: str) -> None:
    lines, _ = without_marks(RULES[name].bad)
    for finding in findings(lines, name):
        sentences = (finding.message, finding.why, finding.fix)
        for sentence in sentences:
            assert sentence.strip() == sentence != ""
            assert not sentence.endswith(".")
        assert len(set(sentences)) == 3
        assert not finding.fix.endswith("?")


# ------------------------------------------------------------------- the rules as a whole


def test_rules_are_the_files_of_the_folder_each_under_its_name() -> None:
    files = {path.stem.replace("_", "-") for path in (PACKAGE / "lint" / "rules").glob("*.py")}
    assert list(RULES) == sorted(files - {"--init--"})


@pytest.mark.parametrize("name", RULES)
def test_documentation_says_what_is_found_and_why_that_matters(name: str) -> None:
    what, _, why = RULES[name].about.partition("\n\n")
    assert RULES[name].name == name
    assert re.fullmatch(r"[A-Z][^.]+\.", what.strip())
    assert re.search(r"^Why it matters: \S.*\.\s*\Z", why, re.DOTALL | re.MULTILINE)


def test_kinds_of_reading_are_the_rules_without_a_check() -> None:
    kinds = [kind for kind in vars(finding_module).values() if isinstance(kind, Kind)]
    unchecked = [rule.kind for rule in RULES.values() if rule.check is None]
    assert sorted(kinds) == [kind for kind in unchecked if kind.name != "unused-allow"]


@pytest.mark.parametrize("name", RULES)
def test_rule_raises_only_what_it_declares(name: str) -> None:
    """No rule makes a finding but by its own `RULE`, which has the name of its file."""
    tree = ast.parse(
        (PACKAGE / "lint" / "rules" / f"{name.replace('-', '_')}.py").read_text("utf-8")
    )
    called = {ast.unparse(node.func) for node in ast.walk(tree) if isinstance(node, ast.Call)}
    assert "Finding" not in called
    assert ("RULE.finding" in called) == (RULES[name].check is not None)
