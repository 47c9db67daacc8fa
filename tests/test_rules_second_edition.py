"""Rules about what the second edition of the format brought: steps, shares, order and days away."""

from __future__ import annotations

import pytest
from counted_work import STEEPEST, growth
from lint_books import all_found, found_of, linted, only_of

from ledger.lint.book import LintedBook
from ledger.lint.rules import stray_steps
from ledger.text.edits import edited
from ledger.text.finding import Severity

K = ("since 2026-01-01", "area k")
PEOPLE = ("person noor", "person tam", "person edie")
X = "    x  5 min  in k"
Y = "    y  5 min  in k"


# -------------------------------------------------------------------------------- lone-each


@pytest.mark.parametrize(
    ("clause", "marked"),
    [
        ("by each of tam", "by each of tam"),
        ("by  each of\ttam  vital", "by  each of\ttam"),
        ("by each of tam, noor", None),
        ("by each", None),
        ("by tam", None),
        ("by each of tam, someone", None),
        ("by each of someone", None),
        ("by each of tam, tam", None),
    ],
)
def test_each_of_one_person_is_marked_from_by_to_the_name(clause: str, marked: str | None) -> None:
    found = found_of("lone-each", *K, *PEOPLE, "every monday", f"{X}  {clause}")
    assert [one.place.text for one in found] == ([marked] if marked else [])


def test_each_in_a_home_of_one_is_no_fault_as_another_may_come() -> None:
    assert found_of("lone-each", *K, "person noor", "every monday", X + "  by each") == []


def test_lines_for_one_person_each_are_kept_apart_by_their_each() -> None:
    """Noor's time of the week is owed past the weekend only where it is hers."""
    noor = ("every monday", X + "  by each of noor")
    both = (*noor, "every saturday", X + "  by each of tam")
    assert found_of("lone-each", *K, *PEOPLE, *both) == []
    alike = (*noor, "every saturday", X + "  by each of noor")
    assert len(found_of("lone-each", *K, *PEOPLE, *alike)) == 2
    beside = (*noor, "every saturday", X + "  by tam")
    assert len(found_of("lone-each", *K, *PEOPLE, *beside)) == 1


def test_chore_named_as_the_words_of_the_clause_is_mended_in_the_right_place() -> None:
    lines = (*K, "person of", "every monday", "    by  5 min  in k  by each of of")
    found = only_of("lone-each", *lines)
    (mended,) = edited([found.place.source], found.fixes[0].edits)
    assert mended.lines[-2 if not mended.lines[-1] else -1] == "    by  5 min  in k  by of"
    assert found.severity is Severity.NOTE


# ------------------------------------------------------------------------------ stray-steps

BOXES = (*K, *PEOPLE, "every day", "    boxes  5 min  in k")
STEP = "        - Take a bag"


@pytest.mark.parametrize(
    "comment",
    [
        "    # dog  20 min  in k",
        "#dog 20 min in k",
        "\t## dog 1 h by tam  vital  # as before",
        "    # dog  20 min  by each  in k",
        '    # dog  20 min  in k  "Walk the dog"',
        "    # dog  20 min  in k  by noor or tam",
    ],
)
def test_comment_that_reads_as_a_chore_leaves_its_steps_to_the_chore_above(comment: str) -> None:
    found = only_of("stray-steps", *BOXES, comment, STEP)
    assert (found.place.line, found.place.text) == (len(BOXES), "dog")
    assert found.message == '"dog" is a comment, and its step belongs to "boxes"'
    assert "Take a bag" in found.why
    assert [place.text for place in found.see] == ["boxes", "-"]


@pytest.mark.parametrize(
    "comment",
    [
        "    # dog",
        "    # takes 20 min",
        "    # takes 20 min in winter",
        "    # the dog 20 min in k",
        "    # dog  in k",
        "    # dog  20 min  in k, attic",
        "    # boxes  4 min  in k",
        "    # every monday",
        "    # - dog 20 min in k",
        "    # 2026-03-02 did dog 20 min by tam",
        "",
    ],
)
def test_comment_that_is_no_other_chore_leaves_steps_where_they_are(comment: str) -> None:
    assert found_of("stray-steps", *BOXES, comment, STEP) == []


def test_steps_of_one_comment_are_one_finding_and_those_above_it_none() -> None:
    dog, cat = "    # dog  20 min  in k", "    # cat  5 min  in k"
    lines = (*BOXES, STEP, dog, "", STEP, "    # soon", STEP, cat, STEP)
    found = found_of("stray-steps", *lines)
    n = len(BOXES)
    assert [(one.place.line, one.message) for one in found] == [
        (n + 1, '"dog" is a comment, and its 2 steps belong to "boxes"'),
        (n + 6, '"cat" is a comment, and its step belongs to "boxes"'),
    ]
    (mended,) = edited([found[0].place.source], found[0].fixes[0].edits)
    assert [one.message for one in found_of("stray-steps", *mended.lines)] == [found[1].message]
    assert mended.lines[n + 3] == "    # - Take a bag"


def test_line_between_the_comment_and_the_step_takes_the_step() -> None:
    dog = "    # dog  20 min  in k"
    assert found_of("stray-steps", *BOXES, dog, Y, STEP) == []
    assert found_of("stray-steps", *BOXES, dog, "<<<<<<< ours", STEP) != []
    unreadable = all_found(*BOXES, dog, "    y 5 mn in k", STEP)
    assert [one.rule for one in unreadable] == ["unreadable-line"]


def test_comment_below_an_unreadable_chore_is_left_until_that_can_be_read() -> None:
    lines = (*K, "every day", "    boxes  5 mn", "    # dog  20 min  in k", STEP)
    assert [one.rule for one in all_found(*lines)] == ["unused-area", "unreadable-line"]


def test_work_over_comments_and_steps_grows_as_they_do() -> None:
    def book(n: int) -> LintedBook:
        dogs = (f"    # dog-{i}  20 min  in k\n{STEP}\n{STEP}" for i in range(n))
        return linted(*BOXES, *dogs)

    assert len(list(stray_steps.check(book(3)))) == 3
    assert growth(lambda one: list(stray_steps.check(one)), book) <= STEEPEST
