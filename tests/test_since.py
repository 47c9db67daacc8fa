"""Since: findings are paired by what they mean, wherever their lines stand."""

from __future__ import annotations

from collections.abc import Sequence

from books import day
from hypothesis import given
from hypothesis import strategies as st

from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.lint.since import new_findings
from ledger.text.finding import Finding
from ledger.text.source import Source
from ledger.workspace import read_sources

TODAY = day("2026-03-04")


def findings(*lines: str) -> list[Finding]:
    workspace = read_sources([Source("home.chores", "".join(f"{line}\n" for line in lines))])
    return lint(LintedBook(workspace.trees, workspace.household.on(TODAY)), workspace.findings)


def rules(found: Sequence[Finding]) -> list[str]:
    return [finding.rule for finding in found]


SOUND = ("area kitchen", "", "every monday", "    oven  40 min  in kitchen")
FAULTY = (*SOUND, "    sink  5 mins", "    hob  9 min")


def test_nothing_is_brought_by_no_change() -> None:
    assert new_findings(findings(*FAULTY), findings(*FAULTY)) == []


def test_what_a_change_brings_is_told_and_what_it_ends_is_told_the_other_way_round() -> None:
    assert rules(new_findings(findings(*SOUND), findings(*FAULTY))) == rules(findings(*FAULTY))
    assert new_findings(findings(*FAULTY), findings(*SOUND)) == []


def test_a_finding_whose_line_moved_is_no_new_one() -> None:
    moved = ("# Our home", "", *FAULTY)
    assert new_findings(findings(*FAULTY), findings(*moved)) == []
    assert new_findings(findings(*moved), findings(*FAULTY)) == []


def test_a_second_fault_of_the_same_words_is_a_new_one() -> None:
    assert rules(new_findings(findings(*FAULTY), findings(*FAULTY, "    sink  5 mins"))) == [
        "unreadable-line"
    ]


def test_figures_of_a_finding_may_change_and_a_new_kind_at_its_line_is_told() -> None:
    before = ("limit weekday  30 min", *SOUND)
    worse = (*before, "    hob  9 min  in kitchen")
    other = (*worse, "", "every tuesday", "    rugs  50 min  in kitchen")
    overloads = [
        one for one in new_findings(findings(*before), findings(*worse)) if "over" in one.rule
    ]
    assert overloads == []
    (new,) = (one for one in new_findings(findings(*worse), findings(*other)) if "over" in one.rule)
    assert "50 min" in new.message


LINES = st.lists(
    st.sampled_from([*FAULTY, "every tuesday", "    rugs  50 min", "2026-03-02 did oven", "x"]),
    max_size=9,
)


@given(LINES, LINES)
def test_what_is_brought_less_what_is_ended_is_the_difference(
    before: list[str], after: list[str]
) -> None:
    old, new = findings(*before), findings(*after)
    came, went = new_findings(old, new), new_findings(new, old)
    assert len(new) - len(old) == len(came) - len(went)
    assert [finding for finding in new if finding in came] == came
