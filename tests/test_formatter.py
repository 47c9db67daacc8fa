"""The formatter: its shape, and the laws that keep it from ever changing what a book says."""

from __future__ import annotations

from itertools import zip_longest
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from strategies import arbitrary_lines, comments, lines, mutated

from ledger.text.formatter import (
    FormatFault,
    format_tree,
    formatted,
    is_formatted,
    misshapen,
)
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import RecordLine, Tree

EXAMPLE = Path(__file__).parents[1] / "examples" / "quarry-lane"

blanks = st.sampled_from(["", "  ", "\t"])
remarks = st.builds(str.__add__, st.sampled_from(["", "    ", "\t"]), comments)
book_lines = st.one_of(lines, lines, lines, remarks, blanks, mutated(lines), arbitrary_lines)
books = st.builds(
    lambda parts, end, newline: newline.join(parts) + newline * end,
    st.lists(book_lines.filter(lambda line: "\n" not in line), max_size=12),
    st.booleans(),
    st.sampled_from(["\n", "\r\n"]),
)


def tree_of(text: str) -> Tree:
    return Reader().read(Source("a.chores", text))


def shaped(text: str) -> str:
    return format_tree(tree_of(text))


@given(books)
@example("# a\n2026-01-02 did b\n2026-01-01 did b\n")
@example("every day\n# a\nevery monday\n")
def test_formatting_twice_is_formatting_once(text: str) -> None:
    once = shaped(text)
    assert shaped(once) == once


@given(books)
# Comments go where the lines below them go.
@example("# a\n2026-01-02 did c\n# b\n2026-01-01 did c\n")
def test_formatting_keeps_the_reading_and_every_comment(text: str) -> None:
    before, after = tree_of(text), tree_of(shaped(text))
    assert routine(before) == routine(after)
    assert record(before) == record(after)
    assert all_comments(before) == all_comments(after)
    assert unread(before) == unread(after)
    assert formatted(before) == shaped(text)


def routine(tree: Tree) -> list[object]:
    return [(line.node, line.comment) for line in tree.lines if line.node is not None]


def record(tree: Tree) -> list[tuple[int, object, object]]:
    """The record by date; lines of one date in the order they stand in."""
    found = [
        (line.node.date.value, line.node.entry, line.comment)
        for line in tree.all_lines()
        if isinstance(line.node, RecordLine)
    ]
    return sorted(found, key=lambda line: line[0])


def all_comments(tree: Tree) -> list[str]:
    return sorted(line.comment.value for line in tree.all_lines() if line.comment)


def unread(tree: Tree) -> list[str]:
    return [tree.source.lines[line.number] for line in tree.lines if line.fault is not None]


@given(books)
def test_a_file_is_formatted_exactly_when_formatting_changes_nothing(text: str) -> None:
    assert is_formatted(tree_of(text)) == (shaped(text) == text)
    assert is_formatted(tree_of(shaped(text)))


DATES = ("2026-01-01", "2026-01-02", "2026-01-02", "2026-01-03", "2026-01-09")
TAILS = (" did a", " did a", " did  a", " did b 5 min by c", " did a # x", " did a  # x", " - x")
record_lines = st.builds(str.__add__, st.sampled_from(DATES), st.sampled_from(TAILS))
stretches = st.lists(record_lines, max_size=9) | st.lists(record_lines, max_size=9).map(sorted)
records = st.builds(
    lambda parts, newline, end: (
        newline.join(line for some in parts for line in some) + newline * end
    ),
    st.lists(stretches | st.lists(book_lines.filter(lambda line: "\n" not in line), max_size=2)),
    st.sampled_from(["\n", "\r\n"]),
    st.integers(0, 2),
)


@given(books | records)
@example("2026-01-01 did a\n2026-01-03 did a\n2026-01-02 did a\n\n\n2026-01-02 did  a")
def test_what_formatting_would_change_is_told_without_doing_it(text: str) -> None:
    tree, after = tree_of(text), shaped(text)
    old, new = tree.source.lines, Source("a.chores", after.removeprefix("\ufeff")).lines
    told = misshapen(tree)
    assert (told is None) == (after == text)
    if told is not None:
        pairs = enumerate(zip_longest(old, new))
        assert told.changed == len(set(old) - set(new))
        assert told.line == next((n for n, (one, other) in pairs if one != other), 0)


@pytest.mark.parametrize("name", ["home.chores", "2026.chores"])
def test_the_example_is_in_the_formatters_shape(name: str) -> None:
    text = (EXAMPLE / name).read_text("utf-8")
    assert shaped(text) == text


CASES = {
    "columns within a section": (
        "every day\n"
        '  wash-up 15 min by noor then tam in kitchen "Dishes"\n'
        "  beds 1 h 5 min in bedrooms by each\n"
        "  sweep 5 min uses broom in kitchen after wash-up\n",
        "every day\n"
        '    wash-up  15 min      in kitchen   by noor then tam  "Dishes"\n'
        "    beds      1 h 5 min  in bedrooms  by each\n"
        "    sweep     5 min      in kitchen                     uses broom  after wash-up\n",
    ),
    "sections have their own columns": (
        "every mon\n a 5 min\nevery tue, fri\n longer 15 min\n",
        "every monday\n    a  5 min\n\nevery tuesday, friday\n    longer  15 min\n",
    ),
    "wide characters take two columns": (
        "every day\n 窓ふき 5 min in a\n bins 5 min in a\n",
        "every day\n    窓ふき  5 min  in a\n    bins    5 min  in a\n",
    ),
    "declarations of a kind stand in columns": (
        'area a\narea bathroom "Bath"\nperson p "P"\nlimit weekday 45 min\nlimit sat 2 h\n',
        'area a\narea bathroom  "Bath"\nperson p  "P"\n'
        "limit weekday   45 min\nlimit saturday   2 h\n",
    ),
    "clauses have one order and words one form": (
        'every 2 weeks on wed "T" until 2026-12-31 from 2026-01-05 during jan to mar '
        "within 3 days\n",
        "every 2 weeks on wednesday during january to march within 3 days from 2026-01-05 "
        'until 2026-12-31 "T"\n',
    ),
    "flags come behind the dates, and lists of days in front": (
        "every week paused except may, school expires within 2 days during jan to january\n",
        "every week during january except may, school within 2 days expires paused\n",
    ),
    "steps stand deeper than their chore, as they are ordered": (
        "every day\n a 5 min\n- z # 3\n\n\t-a  b\n # c\n    -\n longer 15 min\n",
        "every day\n    a        5 min\n        - z # 3\n\n        - a  b\n    # c\n        -\n"
        "    longer  15 min\n",
    ),
    "a step stays below what it stands below": (
        "2026-01-02 did a\n- x\n2026-01-01 did a\n",
        "2026-01-02 did a\n\n        - x\n\n2026-01-01 did a\n",
    ),
    "named days, away and rest have one form": (
        "days school 2026-09-02 to 2026-09-02 , 2026-10-01\n"
        'days at-dads every 2 weeks on fri "T" within 3 days from 2026-09-04\n'
        "rest from 2026-01-01 by a ,b\naway  school,at-dads\nlimit p sat 1 h\nlimit p 10 min\n",
        "days school   2026-09-02, 2026-10-01\n"
        'days at-dads  every 2 weeks on friday  within 3 days  from 2026-09-04  "T"\n'
        "rest from 2026-01-01 by a, b\naway school, at-dads\n"
        "limit p saturday   1 h\nlimit p           10 min\n",
    ),
    "who does it has one form": (
        "every day\n a by each  of b ,c vital\n bb by b and c\n",
        "every day\n    a   by each of b, c  vital\n    bb  by b and c\n",
    ),
    "what was worked on is written as what was done": (
        "2026-01-01 worked  a  60 min ,b 5 min by c\n",
        "2026-01-01 worked a 1 h, b 5 min by c\n",
    ),
    "the record is sorted by date and otherwise stable": (
        "2026-01-02 did b\n2026-01-01 did z\n2026-01-02 did a\n2026-01-01 did c\n",
        "2026-01-01 did z\n2026-01-01 did c\n2026-01-02 did b\n2026-01-02 did a\n",
    ),
    "comments move with their line of the record": (
        "# What was done\n\n2026-01-02 did b\n# why\n2026-01-01 did z  # late\n",
        "# What was done\n\n# why\n2026-01-01 did z  # late\n2026-01-02 did b\n",
    ),
    "a blank line stands above all the comments of the line that is first": (
        "2026-01-01 did a\nperson p\n\n# one\n# two\n2026-01-03 did b\n2026-01-02 did c\n",
        "2026-01-01 did a\n\nperson p\n\n2026-01-02 did c\n# one\n# two\n2026-01-03 did b\n",
    ),
    "nothing is sorted across a line that cannot be read": (
        "2026-01-02 did b\n2026-01-01 dit z\n2026-01-01 did z\n",
        "2026-01-02 did b\n2026-01-01 dit z\n2026-01-01 did z\n",
    ),
    "what cannot be read stays to the letter": (
        "every day\n   wash-up   15 minuts  \n  bins 5 min\n",
        "every day\n   wash-up   15 minuts  \n    bins  5 min\n",
    ),
    "one blank line before a section and its comment": (
        "person p\n\n\n\nperson q\n# tin\nevery day\n\n  a 5 min\nevery monday\n  b 5 min\n",
        "person p\n\nperson q\n\n# tin\nevery day\n    a  5 min\n\nevery monday\n    b  5 min\n",
    ),
    "comments of chores are indented": (
        "every day\n\t# by hand\n\ta 5 min # c  \n",
        "every day\n    # by hand\n    a  5 min  # c\n",
    ),
    "titles and notes are untouched": (
        'household "  a \\"b\\"  "\n2026-01-01 did a "x   y"\n',
        'household "  a \\"b\\"  "\n\n2026-01-01 did a "x   y"\n',
    ),
    "the first line end is every line's": (
        "person p\r\nperson q\nperson r",
        "person p\r\nperson q\r\nperson r\r\n",
    ),
    "the end of a blank first line is every line's too": (
        "\r\nperson p\nperson q\n",
        "person p\r\nperson q\r\n",
    ),
}


@pytest.mark.parametrize("what", CASES)
def test_shape(what: str) -> None:
    given_text, wanted = CASES[what]
    assert shaped(given_text) == wanted


def test_byte_order_mark_stays() -> None:
    source = Source.decode("a", b"\xef\xbb\xbfperson   p\n")
    assert format_tree(Reader().read(source)).encode() == b"\xef\xbb\xbfperson p\n"


def test_bytes_that_are_no_text_stay() -> None:
    source = Source.decode("a", b"person   p\n# \xff\xfe\n")
    text = format_tree(Reader().read(source))
    assert text.encode("utf-8", "surrogateescape") == b"person p\n# \xff\xfe\n"


LINES = st.sampled_from(["a", "\n", "\r", "\r\n", "# b", "2026-01-01 did a\n", " "])


@given(st.lists(LINES, max_size=8).map("".join))
@example("\n\r\r\na")
@example("every day\n    cups  5 min\n2026-01-01 did cups\r")
def test_a_lone_cr_at_the_end_of_a_line_stays_there(text: str) -> None:
    tree = Reader().read(Source("a", text))
    shaped = formatted(tree)
    assert is_formatted(tree) == (shaped == text)
    again = Reader().read(Source("a", shaped))
    assert [line for line in again.source.lines if "\r" in line] == [
        line for line in tree.source.lines if "\r" in line
    ]


# ------------------------------------------------------------- a formatter that is at fault

ROUGH = """\
area kitchen
# Twice a year
every monday
  oven 40 min in kitchen  # by hand
  hob 10 mins
2026-03-09 did oven 60 min
2026-03-02 did oven 61 min  # late
2026-03-02 did oven 35 min
"""
LATE, EARLY = "2026-03-02 did oven 1 h 1 min  # late\n", "2026-03-02 did oven 35 min\n"


@pytest.mark.parametrize(
    ("right", "spoilt"),
    [
        ("area kitchen\n", ""),
        ("40 min", "41 min"),
        ("every monday\n", "every tuesday\n"),
        ("# Twice a year\n", ""),
        ("  # by hand", ""),
        ("10 mins", "10 min"),
        ("10 mins", "11 mins"),
        ("2026-03-09 did oven 1 h\n", ""),
        ("2026-03-09", "2026-03-08"),
        ("35 min", "34 min"),
        ("  # late", ""),
        (LATE + EARLY, EARLY + LATE),
        (EARLY, EARLY + EARLY),
    ],
)
def test_text_that_says_something_else_is_never_given(
    right: str, spoilt: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert shaped(ROUGH).count(right) == 1
    monkeypatch.setattr(
        "ledger.text.formatter.format_tree",
        lambda tree: format_tree(tree).replace(right, spoilt),
    )
    with pytest.raises(FormatFault, match=r"^a\.chores$"):
        formatted(tree_of(ROUGH))


def test_text_that_another_formatting_would_change_is_never_given(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def unsettled(tree: Tree) -> str:
        return format_tree(tree) + "\n" * (not tree.source.text.endswith("\n\n"))

    monkeypatch.setattr("ledger.text.formatter.format_tree", unsettled)
    with pytest.raises(FormatFault, match=r"^a\.chores$"):
        formatted(tree_of(ROUGH))


def test_chores_below_a_header_that_cannot_be_read_have_columns_of_their_own() -> None:
    book = "every monday\n    sweep  8 min  in hall\ndaily\n    wash-up  10 min  in hall\n"
    assert shaped(book) == book
    assert is_formatted(tree_of(book))
