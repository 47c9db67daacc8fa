"""Marks of an unfinished merge: one finding a conflict, that says what there is to choose from."""

from __future__ import annotations

import pytest
from lint_books import mended
from test_lint import findings, workspace

from ledger.text.finding import Finding
from ledger.text.hints.merge import is_mark, mark_length
from ledger.text.source import Source
from ledger.versions.merge import Labels, merge

OPEN, BASE, MIDDLE, CLOSE = "<<<<<<< ours", "||||||| base", "=======", ">>>>>>> theirs"


def unfinished(*lines: str) -> list[Finding]:
    """The findings of marks among the lines of a section."""
    book = "area kitchen\nevery monday\n    oven  5 min  in kitchen\n" + "\n".join(lines) + "\n"
    return [finding for finding in findings(book) if finding.rule == "unfinished-merge"]


@pytest.mark.parametrize(
    ("ours", "theirs", "said"),
    [
        (["    hob   5 min"], ["    hob  9 min"], "`hob 5 min` or `hob 9 min`"),
        ([], ["    hob  9 min"], "nothing or `hob 9 min`"),
        (["    hob  5 min", "", "    sink"], [""], "2 lines or nothing"),
        ([f"# {'x' * 80}"], ["# y"], f"`# {'x' * 47}…` or `# y`"),
    ],
)
def test_conflict_is_told_once_with_what_each_side_says(
    ours: list[str], theirs: list[str], said: str
) -> None:
    (finding,) = unfinished(OPEN, *ours, MIDDLE, *theirs, CLOSE)
    assert (finding.place.line, finding.place.text) == (3, "<<<<<<<")
    assert finding.message == f"a merge is unfinished here: {said}"
    assert finding.fix.endswith("begin with <<<<<<< and ======= and >>>>>>>")


def test_lines_that_both_sides_began_with_are_no_side() -> None:
    (finding,) = unfinished(OPEN, "# a", BASE, "# b", "# c", MIDDLE, "# d", CLOSE)
    assert finding.message.endswith("`# a` or `# d`")
    assert "|||||||" in finding.fix


def test_conflict_inside_a_conflict_has_longer_marks_and_a_finding_of_its_own() -> None:
    inner = [mark.replace(mark[0] * 7, mark[0] * 9) for mark in (OPEN, MIDDLE, CLOSE)]
    found = unfinished(OPEN, "# a", BASE, *inner, MIDDLE, "# b", CLOSE)
    assert [finding.place.line for finding in found] == [3, 6]


@pytest.mark.parametrize(
    "marks",
    [
        (OPEN,), (MIDDLE,), (CLOSE,), (BASE,), (OPEN, MIDDLE), (MIDDLE, CLOSE), (OPEN, CLOSE),
        (OPEN, OPEN), (OPEN, MIDDLE, MIDDLE, CLOSE), (OPEN, MIDDLE, BASE, CLOSE),
        (OPEN, MIDDLE, ">>>>>>>> b"),
    ],
)  # fmt: skip
def test_marks_that_make_no_conflict_are_told_one_by_one(marks: tuple[str, ...]) -> None:
    found = unfinished(*marks)
    assert [finding.place.line - 3 for finding in found] == list(range(len(marks)))
    assert {finding.message for finding in found} == {
        "a mark that a merge has left stands here alone"
    }


@pytest.mark.parametrize(
    "line", ["<<<<<< six", "<<<<<<<x", "======= \u2028", "   =======", "=-====="]
)
def test_other_lines_of_signs_are_no_marks(line: str) -> None:
    assert unfinished(line) == []
    assert "unreadable-line" in [finding.rule for finding in findings(line + "\n")]


def test_each_mark_counts_as_a_line_that_could_not_be_used_and_no_chore_is_lost() -> None:
    read = workspace(
        f"every monday\n{OPEN}\n    oven  5 min\n{MIDDLE}\n    hob  9 min\n{CLOSE}\n    sink\n"
    )
    assert read.unused_lines() == 3
    assert list(read.household.chores) == ["oven", "hob", "sink"]


def test_mending_a_book_keeps_its_marks_where_they_are() -> None:
    text = f"every monday\n{OPEN}\n    oven  5 min\n{MIDDLE}\n    oven  9 min\n{CLOSE}\n    sink\n"
    lines = mended(text).splitlines()
    assert [line.split()[0] for line in lines] == [line.split()[0] for line in text.splitlines()]


# ------------------------------------------------------------------------ marks that we write

BEGIN = "every monday\n    oven  5 min\n"
OURS, THEIRS = BEGIN.replace("5 min", "9 min"), BEGIN.replace("5 min", "7 min")


@pytest.mark.parametrize("asked", [1, 3, 6, 7, 9, 40])
def test_conflict_is_known_again_however_short_its_marks_were_asked_for(asked: int) -> None:
    base, ours, theirs = (Source("home.chores", text) for text in (BEGIN, OURS, THEIRS))
    found = merge(base, ours, theirs, Labels(length=asked))
    marks = [line for line in found.source.lines if is_mark(line)]
    assert {mark_length(mark) for mark in marks} == {max(asked, 7)}
    (finding,) = (one for one in findings(found.source.text) if one.rule == "unfinished-merge")
    assert finding.message.endswith("`oven 9 min` or `oven 7 min`")
    assert (finding.place.line + 1,) == found.conflicts


@pytest.mark.parametrize("asked", [3, 7, 8])
def test_conflict_around_marks_that_were_left_is_told_apart_from_them(asked: int) -> None:
    left = "".join(f"{line}\n" for line in (OPEN, "# a", MIDDLE, "# b", CLOSE))
    texts = [f"every day\n{left}{text}" for text in (BEGIN, OURS, THEIRS)]
    base, ours, theirs = (Source("home.chores", text) for text in texts)
    found = merge(base, ours, theirs, Labels(length=asked))
    told = [one for one in findings(found.source.text) if one.rule == "unfinished-merge"]
    assert [one.message.split(": ")[1] for one in told] == [
        "`# a` or `# b`",
        "`oven 9 min` or `oven 7 min`",
    ]


SECTION = "area kitchen\n\nevery day\n    cups  5 min  in kitchen\n    pans  8 min  in kitchen\n"


def merged(ours: str, theirs: str) -> str:
    sources = [Source("home.chores", text) for text in (SECTION, ours, theirs)]
    return merge(sources[0], sources[1], sources[2]).source.text


def test_section_with_a_conflict_keeps_the_columns_of_the_formatter() -> None:
    ours = SECTION.replace("8 min", "9 min")
    theirs = (
        "area kitchen\n\nevery day\n    cups         5 min  in kitchen\n"
        "    pans        10 min  in kitchen\n    large-oven  40 min  in kitchen\n"
    )
    assert merged(ours, theirs).splitlines()[3:] == [
        "    cups         5 min  in kitchen",
        OPEN,
        "    pans         9 min  in kitchen",
        MIDDLE,
        "    pans        10 min  in kitchen",
        CLOSE,
        "    large-oven  40 min  in kitchen",
    ]


def test_columns_of_a_side_that_is_not_formatted_are_left() -> None:
    ours = SECTION.replace("8 min", "9 min").replace("cups  5", "cups   5")
    theirs = SECTION.replace("8 min", "10 min").replace("  5", "   5").replace("  8", "   8")
    assert "    cups   5 min  in kitchen\n" in merged(ours, theirs)
