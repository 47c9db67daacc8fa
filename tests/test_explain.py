"""`besom explain`, the pages of the rules, and findings for other programs."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest
from click.testing import CliRunner
from test_cli import besom

from ledger.cli.main import main
from ledger.lint.rules import RULES
from ledger.render.rules_text import rules_markdown, summary

ROOT = Path(__file__).parents[1]
# OASIS, "Static Analysis Results Interchange Format (SARIF) Version 2.1.0", 2020: its JSON
# schema, 2.1.0-rtm.5.
SARIF = json.loads((ROOT / "tests" / "published" / "sarif-2.1.0-rtm.5.json").read_text("utf-8"))
FAULTY = "area kitchen\nevery mondey\n    oven  40 min  in kitchen\narea kitchen\n"


def lint_text(text: str, *options: str) -> tuple[int, str]:
    result = CliRunner().invoke(main, ["lint", "-", *options], input=text)
    return result.exit_code, result.stdout


def test_pages_of_the_rules_are_current() -> None:
    assert (ROOT / "grammar" / "RULES.md").read_text("utf-8") == rules_markdown(RULES.values())


@pytest.mark.parametrize("name", RULES)
def test_every_rule_is_explained_with_its_reason_examples_and_how_to_allow_it(name: str) -> None:
    page = besom("explain", name).stdout
    assert page.startswith(f"{name}\n\n{RULES[name].about.strip()}")
    assert "Why it matters:" in page
    assert "\nBad:\n" in page
    assert "\nGood:\n" in page
    assert f"# allow {name}: " in page


def test_all_rules_are_listed_a_line_each() -> None:
    lines = besom("explain").stdout.splitlines()
    assert [line.split()[0] for line in lines] == list(RULES)
    assert all(summary(rule) for rule in RULES.values())


def test_misspelt_rule_is_refused_with_the_nearest() -> None:
    for words in (("explain", "overlaps"), ("lint", "--only", "overlaps")):
        result = besom(*words)
        assert result.exit_code == 2
        assert "did you mean `overlap`?" in result.stderr


def test_sarif_is_valid_against_the_published_schema() -> None:
    code, text = lint_text(FAULTY, "--as", "sarif", "--name", "kitchen book.chores")
    document = json.loads(text)
    jsonschema.Draft4Validator(SARIF).validate(document)
    (run,) = document["runs"]
    assert code == 1
    results = [result for result in run["results"] if result["ruleId"] != "not-formatted"]
    assert [result["ruleId"] for result in results] == ["unreadable-line", "repeated-name"]
    assert {result["level"] for result in run["results"]} == {"error", "note"}
    physical = results[0]["locations"][0]["physicalLocation"]
    assert physical["artifactLocation"]["uri"] == "kitchen%20book.chores"
    assert physical["region"] == {"startLine": 2, "startColumn": 7, "endColumn": 13}
    named = run["tool"]["driver"]["rules"][results[0]["ruleIndex"]]
    assert named["id"] == "unreadable-line"


def test_standard_input_is_linted_under_the_name_it_is_given() -> None:
    code, text = lint_text(FAULTY, "--name", "draft.chores")
    assert code == 1
    assert text.startswith("draft.chores:2:7: error: ")
    assert "draft.chores:4:6: error: " in text


def test_only_and_without_choose_rules() -> None:
    assert "[repeated-name]" in lint_text(FAULTY, "--only", "repeated-name")[1]
    assert "[unreadable-line]" not in lint_text(FAULTY, "--only", "repeated-name")[1]
    assert "[repeated-name]" not in lint_text(FAULTY, "--without", "repeated-name")[1]


def test_fail_on_sets_how_much_a_finding_must_weigh() -> None:
    note = "area kitchen\nevery monday\n  oven 40 min in kitchen\n"
    assert lint_text(note, "--only", "not-formatted")[0] == 1
    assert lint_text(note, "--only", "not-formatted", "--fail-on", "warning")[0] == 0
    assert lint_text(FAULTY, "--fail-on", "error")[0] == 1


def test_standard_input_is_formatted_to_standard_output() -> None:
    result = CliRunner().invoke(main, ["format", "-"], input="every mon\n a 5 min\n")
    assert (result.exit_code, result.stdout) == (0, "every monday\n    a  5 min\n")
