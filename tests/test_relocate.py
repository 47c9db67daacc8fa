"""Relocating lines, and the difference it makes: nothing else changes, and git can apply it."""

from __future__ import annotations

import shutil
import subprocess
from collections import Counter
from pathlib import Path

import pytest
import strategies as some
from books import read
from hypothesis import given, settings
from hypothesis import strategies as st

from ledger.text.clauses import ChoreLine, SectionHeader
from ledger.text.difference import difference
from ledger.text.formatter import format_tree, is_formatted
from ledger.text.reader import Reader
from ledger.text.relocate import Destination, Relocation, relocate
from ledger.text.source import BYTE_ORDER_MARK, Source
from ledger.text.tree import Node, Tree
from ledger.text.writer import write_line

NEW = 'every tuesday "new"'


def moved(text: str, *moves: tuple[int, int] | tuple[int, int, str]) -> str:
    """A text after moves of lines, counted from 0, to headers."""
    path = "home.chores"
    relocations = [
        Relocation(Destination(path, line), Destination(path, header), *new)
        for line, header, *new in moves
    ]
    return relocate([read(text)], relocations)[path].text


# --------------------------------------------------------------------------------- one by one

BOOK = """\
# Of the week

every monday
    # twice as long in winter
    stairs  10 min
    sink     5 min  # the small one

every friday
    bins  5 min
"""


def test_line_goes_after_the_last_chore_of_its_section_with_the_comments_on_it() -> None:
    assert moved(BOOK, (4, 7)) == (
        "# Of the week\n\nevery monday\n    sink  5 min  # the small one\n\n"
        "every friday\n    bins     5 min\n    # twice as long in winter\n    stairs  10 min\n"
    )


def test_comment_with_a_gap_below_it_stays() -> None:
    text = BOOK.replace("winter\n", "winter\n\n")
    assert moved(text, (5, 8)).index("# twice") < moved(text, (5, 8)).index("sink")


def test_section_left_without_chores_loses_its_header_and_not_what_is_said_about_it() -> None:
    assert moved(BOOK, (4, 7), (5, 7)) == (
        "# Of the week\n\nevery friday\n    bins     5 min\n    # twice as long in winter\n"
        "    stairs  10 min\n    sink     5 min  # the small one\n"
    )
    said = moved("# a\nevery monday  # b\n  x  1 min\nevery friday\n  y  1 min\n", (2, 3))
    assert said == "# a\n# b\nevery friday\n  y  1 min\n  x  1 min\n"


def test_section_that_gets_as_many_as_it_gives_keeps_its_header() -> None:
    text = "every monday\n    a  1 min\n\nevery friday\n    b  1 min\n"
    assert (
        moved(text, (1, 3), (4, 0)) == "every monday\n    b  1 min\n\nevery friday\n    a  1 min\n"
    )


def test_new_section_stands_after_the_last_of_its_kind_and_takes_all_that_go_there() -> None:
    assert moved(BOOK, (4, 7, NEW), (5, 7, NEW)) == (
        f"# Of the week\n\nevery friday\n    bins  5 min\n\n{NEW}\n"
        "    # twice as long in winter\n    stairs  10 min\n    sink     5 min  # the small one\n"
    )


def test_new_section_leaves_a_comment_at_the_end_of_another_where_it_is() -> None:
    text = "every monday\n  a  1 min\n  b  1 min\n  # the end\nevery friday\n  c  1 min\n"
    assert moved(text, (1, 0, NEW)) == (
        f"every monday\n  b  1 min\n  # the end\n\n{NEW}\n  a  1 min\nevery friday\n  c  1 min\n"
    )


STEPS = """\
every monday
    a  1 min
        - one, "two" # three

    # of the second
        -
    # of b
    b  1 min
person p
        - nobody's
every friday
    c  1 min
        - four
"""


def test_steps_go_with_their_chore_and_stand_in_their_order() -> None:
    assert moved(STEPS, (1, 10)) == (
        "every monday\n    # of b\n    b  1 min\nperson p\n        - nobody's\nevery friday\n"
        '    c  1 min\n        - four\n    a  1 min\n        - one, "two" # three\n\n'
        "    # of the second\n        -\n"
    )


def test_section_with_a_step_of_nothing_keeps_its_header() -> None:
    text = "every monday\n  - x\n  a\nevery friday\n"
    assert moved(text, (2, 3)) == "every monday\n  - x\nevery friday\n  a\n"


def test_line_does_not_come_between_a_header_and_a_step_of_nothing() -> None:
    text = "every monday\n  a\n  b\nevery friday\n  - x\n"
    assert moved(text, (1, 3)) == "every monday\n  b\nevery friday\n  - x\n  a\n"


def test_marks_of_a_merge_stay_where_they_are() -> None:
    text = "every monday\n  a\n=======\n  - x\nevery friday\n  b\n"
    assert moved(text, (1, 4)) == "=======\nevery friday\n  b\n  a\n  - x\n"


def test_section_without_chores_takes_a_line_below_its_header() -> None:
    assert moved("every monday\n  a\n  b\nevery friday\n", (1, 3)) == (
        "every monday\n  b\nevery friday\n  a\n"
    )


def test_line_that_cannot_be_read_keeps_its_section() -> None:
    text = "every monday\n  a  1 min\n  b  1 mins\nevery friday\n  c  1 min\n"
    assert (
        moved(text, (1, 3)) == "every monday\n  b  1 mins\nevery friday\n  c  1 min\n  a  1 min\n"
    )


def test_book_not_in_shape_is_not_brought_into_it() -> None:
    text = "every  monday\n\ta   1 min\n\tb  1 min\n\n\nevery friday\n  c  1 min"
    assert (
        moved(text, (1, 5))
        == "every  monday\n\tb  1 min\n\n\nevery friday\n  c  1 min\n\ta   1 min"
    )


def test_line_crosses_to_another_file_and_takes_on_its_line_ends() -> None:
    one = Source("one.chores", "every monday\r\n  a  1 min\r\n  b  1 min\r\n")
    other = Source("other.chores", "every friday\n  c  1 min", has_mark=True)
    trees = [Reader().read(source) for source in (one, other, Source("third.chores", ""))]
    found = relocate(
        trees, [Relocation(Destination("one.chores", 1), Destination("other.chores", 0))]
    )
    assert found == {
        "one.chores": Source("one.chores", "every monday\r\n  b  1 min\r\n"),
        "other.chores": Source("other.chores", "every friday\n  c  1 min\n  a  1 min", True),
    }


# --------------------------------------------------------------------------------- for any book

OTHERS = st.sampled_from(
    ["", "", "# at the margin", "    # indented", "every mondey", "    ?  5 mins", "area a",
     "2026-03-02 did c0  # done", "2026-03-01 skipped x", "    \udcff", "  ", "    - \udcff",
     "<<<<<<< ours", "======="]
)  # fmt: skip


@st.composite
def books(draw: st.DrawFn) -> str:
    """A book whose headers and chores are known by their titles and names, in any disorder."""
    lines, chores, headers = [], 0, 0
    for kind in draw(st.lists(st.sampled_from("hcccssoo"), max_size=25)):
        if kind == "h":
            title = f'"s{headers}"'
            head = draw(st.sampled_from(["every monday", "weekend 2", "every  month"]))
            lines.append(f"{head} {title}" + draw(st.sampled_from(["", "", "  # of it"])))
            headers += 1
        elif kind == "c":
            node = draw(some.chore_lines)
            node = node._replace(name=node.name._replace(value=f"c{chores}"))
            lines.append(write_line(node) + draw(st.sampled_from(["", "", "  # of the line"])))
            chores += 1
        elif kind == "s":
            lines.append(write_line(draw(some.steps)))
        else:
            lines.append(draw(OTHERS))
    text = "".join(line + "\n" for line in lines)
    if draw(st.booleans()):
        text = format_tree(read(text))
    if draw(st.booleans()):
        text = text.replace("\n", "\r\n")
    return text.removesuffix("\n").removesuffix("\r") if draw(st.booleans()) else text


def sections(tree: Tree) -> dict[str, str | None]:
    """For each chore by its name the title of the section it stands under."""
    found: dict[str, str | None] = {}
    title: str | None = None
    for line in tree.lines:
        node = line.node
        if isinstance(node, SectionHeader):
            title = node.title.value if node.title else None
        elif isinstance(node, ChoreLine):
            found[node.name.value] = title
        elif line.fault is not None and tree.source.lines[line.number][:1] not in " \t-<=":
            title = None
    return found


def steps(tree: Tree) -> Counter[tuple[str, tuple[str, ...]]]:
    """The steps of each line, by section 6 of FORMAT.md: those of chores by the chore, others by
    nothing."""
    found: list[tuple[str, list[str]]] = [("", [])]
    for line in tree.all_lines():
        text = tree.source.lines[line.number]
        if text.lstrip(" \t").startswith("-"):
            found[-1][1].append(text.strip(" \t"))
        elif text.lstrip(" \t")[:1] not in ("", "#", "<", "="):
            found.append((text.strip(" \t") if text[:1] in (" ", "\t") else "", []))
    return Counter((owner.split(" ")[0], tuple(of)) for owner, of in found if of)


def content(tree: Tree) -> Counter[tuple[Node | None, str, str]]:
    """All that a file says but for its headers, each with its comment."""
    return Counter(
        (
            None if isinstance(line.node, SectionHeader) else line.node,
            line.comment.value if line.comment else "",
            tree.source.lines[line.number].strip(" \t") if line.fault else "",
        )
        for line in tree.all_lines()
        if line.fault is not None
        or line.comment is not None
        or not isinstance(line.node, SectionHeader | None)
    )


@settings(max_examples=200)
@given(books(), st.booleans(), st.data())
def test_lines_are_moved_and_all_else_is_there_once_as_before(
    text: str, has_mark: bool, data: st.DataObject
) -> None:
    tree = Reader().read(Source("home.chores", text, has_mark))
    before = sections(tree)
    headers = {
        line.node.title.value: line.number
        for line in tree.lines
        if isinstance(line.node, SectionHeader) and line.node.title
    }
    chores = [
        (line.node.name.value, line.number)
        for line in tree.lines
        if isinstance(line.node, ChoreLine) and before[line.node.name.value] is not None
    ]
    expected, moves = dict(before), []
    for name, number in chores:
        way = data.draw(st.sampled_from(["stays", "stays", "new", *headers]))
        if way == "new":
            spot = Destination("home.chores", data.draw(st.sampled_from(list(headers.values()))))
            moves.append(Relocation(Destination("home.chores", number), spot, NEW))
        elif way not in ("stays", before[name]):
            spot = Destination("home.chores", headers[way])
            moves.append(Relocation(Destination("home.chores", number), spot))
        else:
            continue
        expected[name] = way
    found = relocate([tree], moves).get("home.chores", tree.source)
    after = Reader().read(Source.decode("home.chores", found.encode()))
    assert after.source == found
    assert sections(after) == expected
    assert steps(after) == steps(tree)
    assert content(after) == content(tree)
    assert found.has_mark == has_mark
    assert is_formatted(after) or not is_formatted(tree)
    has_end = found.text.endswith("\n")
    # A blank line that is the last one left, without an end, looks like the end of that before it.
    assert has_end == text.endswith("\n") or (has_end and found.lines[-1] == "")
    if moves and text.count("\n") == text.count("\r\n"):
        assert found.text.count("\n") == found.text.count("\r\n")
    left = {title for title in expected.values() if title}
    titles = {
        line.node.title.value
        for line in after.lines
        if isinstance(line.node, SectionHeader) and line.node.title
    }
    # A header goes only with the last of its chores.
    assert left <= titles
    assert {title for title in headers if title not in before.values()} <= titles


# ----------------------------------------------------------------------------- the difference

TEXTS = st.text(st.sampled_from("ab\n\n\r\t é\udcff"), max_size=30)


def applied(folder: Path, path: str, before: bytes, patch: bytes) -> bytes:
    """What `git apply` makes of a file."""
    (folder / path).write_bytes(before)
    words = ["git", "-c", "core.autocrlf=false", "apply", "--whitespace=nowarn", "-"]
    run = subprocess.run(words, cwd=folder, input=patch, capture_output=True, check=False)
    assert (run.returncode, run.stderr) == (0, b"")
    return (folder / path).read_bytes()


needs_git = pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")


@needs_git
@settings(max_examples=60)
@given(TEXTS, TEXTS)
def test_git_makes_of_the_one_text_the_other(
    tmp_path_factory: pytest.TempPathFactory, one: str, other: str
) -> None:
    before, after = (text.encode("utf-8", "surrogateescape") for text in (one, other))
    said = difference("a.chores", before, after)
    assert bool(said) == (before != after)
    # A file made empty is one deleted to a patch without dates; nobody's book comes to that.
    if before and after and said:
        folder = tmp_path_factory.mktemp("git")
        assert applied(folder, "a.chores", before, said.encode("utf-8", "surrogateescape")) == after


@needs_git
@pytest.mark.parametrize(
    "name", ["a b.chores", 'q"\\.chores', "naïve.chores", "tab\t.chores", "\x7f.chores"]
)
def test_git_finds_files_of_unusual_names(tmp_path: Path, name: str) -> None:
    said = difference(name, b"a\n", b"b\n").encode()
    assert applied(tmp_path, name, b"a\n", said) == b"b\n"


def test_control_characters_of_a_name_are_quoted() -> None:
    assert difference("\x1f~\x7f", b"", b"a\n").startswith('--- "a/\\037~\\177"\n')


def test_name_of_bytes_that_are_not_utf_8_is_quoted_byte_by_byte() -> None:
    assert difference("\udcffé", b"", b"a\n").startswith('--- "a/\\377\\303\\251"\n')


def test_mark_of_a_file_is_part_of_its_first_line() -> None:
    said = difference("x", f"{BYTE_ORDER_MARK}a\n".encode(), b"a\n")
    assert said.endswith(f"-{BYTE_ORDER_MARK}a\n+a\n")
