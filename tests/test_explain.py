"""`besom explain`, the pages of the rules, and findings for other programs."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from click.testing import CliRunner
from test_cli import besom

from ledger.cli.main import main
from ledger.lint.rules import RULES
from ledger.render.rules_text import rules_markdown
from ledger.text.edits import edited
from ledger.text.finding import TextEdit
from ledger.text.source import Source

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
    assert page.startswith(
        f"{name} ({RULES[name].kind.severity.value})\n\n{RULES[name].about.strip()}"
    )
    assert "Why it matters:" in page
    assert "\nBad:\n" in page
    assert "\nGood:\n" in page
    assert f"# allow {name}: " in page


def test_all_rules_are_listed_a_line_each() -> None:
    lines = besom("explain").stdout.splitlines()
    assert [line.split()[0] for line in lines] == list(RULES)
    assert all(rule.title for rule in RULES.values())


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


def test_rules_of_sarif_say_what_they_find_and_what_it_weighs() -> None:
    (run,) = json.loads(lint_text(FAULTY, "--as", "sarif")[1])["runs"]
    for told, rule in zip(run["tool"]["driver"]["rules"], RULES.values(), strict=True):
        assert told["id"] == rule.name
        assert told["fullDescription"]["text"] == rule.title
        assert told["defaultConfiguration"] == {"level": rule.kind.severity.value}


TWICE = "away 2026-07-04 to 2026-07-18 # 🙂\naway 2026-07-18 to 2026-07-20\n"


@pytest.mark.parametrize("text", [FAULTY, "area kitchen\r\n" * 2, TWICE, "every 2 weeks\n"])
def test_fixes_of_sarif_and_json_are_those_of_the_finding(text: str) -> None:
    """SARIF 2.1.0, 3.55 to 3.57 and 3.30: regions end behind their last character, and columns
    count as `columnKind` says."""
    document = json.loads(lint_text(text, "--as", "sarif", "--name", "a.chores")[1])
    jsonschema.Draft4Validator(SARIF).validate(document)
    (run,) = document["runs"]
    assert run["columnKind"] == "unicodeCodePoints"
    plain = json.loads(lint_text(text, "--as", "json", "--name", "a.chores")[1])["findings"]
    assert any(finding["fixes"] for finding in plain)
    for result, finding in zip(run["results"], plain, strict=True):
        solving = [fix for fix in finding["fixes"] if fix["solves"]]
        assert len(result.get("fixes", ())) == len(solving)
        for fix, other in zip(result.get("fixes", ()), solving, strict=True):
            assert fix["description"]["text"] == other["title"]
            (change,) = fix["artifactChanges"]
            assert change["artifactLocation"] == {"uri": "a.chores"}
            assert with_replacements(text, change["replacements"]) == with_edits(text, other)


def with_replacements(text: str, replacements: list[dict[str, Any]]) -> str:
    """A text with the replacements of SARIF, all of the text as it was."""
    for one in sorted(replacements, key=lambda one: -one["deletedRegion"]["startLine"]):
        region, lines = one["deletedRegion"], [*text.split("\n"), ""]
        head = [*lines[: region["startLine"] - 1], lines[region["startLine"] - 1]]
        head[-1] = head[-1][: region["startColumn"] - 1]
        tail = lines[region["endLine"] - 1 :]
        tail[0] = tail[0][region["endColumn"] - 1 :]
        text = ("\n".join(head) + one["insertedContent"]["text"] + "\n".join(tail))[:-1]
    return text


def with_edits(text: str, fix: dict[str, Any]) -> str:
    """A text with the edits of a fix as lint tells them."""
    edits = [
        TextEdit(one["file"], one["line"] - 1, one["column"] - 1, one["end_line"] - 1,
            one["end_column"] - 1, one["new"])
        for one in fix["edits"]
    ]  # fmt: skip
    (source,) = edited([Source("a.chores", text)], edits)
    return source.text


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
