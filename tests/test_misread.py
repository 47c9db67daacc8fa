"""Misread lines: what one at fault is taken for, which chores it silences, and where it is marked.

What is expected is worked out from sections 2, 6 and 8 of FORMAT.md, not by the reader.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

import pytest
import strategies as some
from books import day, read
from hypothesis import given
from hypothesis import strategies as st
from lint_books import all_found

from ledger.editor.sections import blocks
from ledger.household.model import Household
from ledger.report.due import due
from ledger.report.week import week
from ledger.text.finding import Finding
from ledger.text.parser import LineFault, kind_of, parser
from ledger.text.source import UNSAFE, Source
from ledger.text.values import check_name
from ledger.versions.merge import merge
from ledger.workspace import Workspace, read_sources

TODAY = day("2026-03-04")

HEADERS = (
    "every day", "every monday", "every week", "every weekend", "every month on 1, 15",
    "every 2 weeks from 2026-01-05", "weekend 1, 3", "3 days after done", "every march",
)  # fmt: skip
UNREAD = (
    "evry monday", "daily", "14 days after doing", "5", "every day and night", 'every day "open',
    "every", "vacuum  5 min", "persn tam", "person", "area half½", "limit monday 5",
    "away in july", "Every monday", "every\u00a0monday", "every day\u202e", "=======x",
    "paused every monday", "every week on friday", "days school", "days may 2026-03-02", "rest",
    'household "open', "person tam\u2028", "¿", "* every monday", "weekend is", "20260301",
)  # fmt: skip
"""Lines at the margin that have no form; each may have been a header."""
IMPOSSIBLE = (
    "weekend 6", "every april on 31", "every june on 31 paused from 2026-01-01",
    "8 times every week", "every day vital spare", "every day paused expires paused",
    "every day during may, school, may", "every day except may to june, may to june",
    "every monday, mon", "every day from 2026-02-30", "every day within 0 days",
    'every day "a" "b"', "0 days after done", "once from 2026-03-09 to 2026-03-01",
    "every april, april",
)  # fmt: skip
"""Headers with an impossible value, or a word too many."""
OTHERS = (
    "", "   ", "# a comment", "# a \u202e comment", "    # allow overlap: x", "<<<<<<< ours",
    "=======", ">>>>>>> a \u202e side", "2026-1-5 did a", "2026-03-01 didd a", "2026-13-01 did a",
    "away 2026-07-18 to 2026-07-04", "day ends 12:00", "weekend is sunday, tuesday",
    "weekend is sunday, sun", "limit monday 3 h 75 min", "since 2026-02-30", "since 1969-01-01",
    "away 2026-03-01 to 2026-02-30", "    a  5 mins", "    every tuesday", "\t2026-03-01 did a",
    "    a  0 min", "    a\u202e", "    - a step", "-", "- a step\u202e",
    "days school 2026-07-18 to 2026-07-04", "days school every monday, monday",
    "rest 2026-03-02, 2026-02-30", "away school, school", "2026-03-01 worked a 0 min",
)  # fmt: skip
"""Lines that are no header, whatever else is wrong with them."""


class Said(NamedTuple):
    """A line of a book, and whether chores below it fall to a section, to none, or to the header
    above it."""

    text: str
    opens: str


class Heard(NamedTuple):
    """What a stranger makes of a book."""

    text: str
    used: frozenset[str]
    silenced: dict[int, list[str]]
    """By the number of a header at fault, the chores below it in order."""
    orphans: frozenset[str]


chores = st.lists(some.names, max_size=6).map(lambda names: [f"    {name}" for name in names])
lines = st.one_of(
    st.sampled_from(HEADERS).map(lambda text: Said(text, "section")),
    st.sampled_from(UNREAD).map(lambda text: Said(text, "none")),
    st.sampled_from(IMPOSSIBLE).map(lambda text: Said(text, "none")),
    st.sampled_from(OTHERS).map(lambda text: Said(text, "")),
)


def heard(parts: Sequence[tuple[Said, list[str]]]) -> Heard:
    """A book, read by hand."""
    texts, used, orphans = list[str](), set[str](), set[str]()
    silenced: dict[int, list[str]] = {}
    opens, number, seen = "", -1, set[str]()
    for said, below in parts:
        if said.opens:
            opens, number = said.opens, len(texts)
            if opens == "none":
                silenced[number] = []
        texts.append(said.text)
        for chore in below:
            name = chore.strip()
            if name in seen:
                continue
            # Names are told apart by their place in the book.
            seen.add(name)
            texts.append(chore)
            if opens == "none":
                silenced[number].append(name)
            else:
                (used if opens else orphans).add(name)
    text = "".join(f"{line}\n" for line in texts)
    return Heard(text, frozenset(used), silenced, frozenset(orphans))


def listed_in(household: Household, on: int) -> set[str]:
    """The chores in the lists of a day and its week."""
    of_day, of_week = due(household, on), week(household, on)
    tasks = (*of_day.late, *of_day.today, *of_day.may_wait, *of_day.done, *of_week.may_wait)
    return {task.chore for one in of_week.days for task in one.tasks} | {one.chore for one in tasks}


def named_in(why: str) -> tuple[list[str], int]:
    """The chores that a reason says are silenced, and how many more there are."""
    said = re.search(r", and (.*) below it comes? up nowhere\Z", why)
    if said is None:
        return [], 0
    more = re.search(r" and (\d+) more\Z", said[1])
    return re.findall("`([^`]+)`", said[1]), int(more[1]) if more else 0


def of_line(workspace: Workspace, number: int) -> Finding:
    """The finding of a line, with its reason."""
    (found,) = (one for one in workspace.findings if one.line[1] == number)
    return found


@given(st.lists(st.tuples(lines, chores), max_size=8), st.integers(TODAY - 9, TODAY + 40))
def test_header_at_fault_silences_what_stands_below_it_and_says_so(
    parts: list[tuple[Said, list[str]]], on: int
) -> None:
    book = heard(parts)
    workspace = read_sources([Source("home.chores", book.text)]).on(TODAY)
    assert set(workspace.household.chores) == book.used
    assert listed_in(workspace.household, on) <= book.used
    for number, names in book.silenced.items():
        named, more = named_in(of_line(workspace, number).why)
        assert named == (names if len(names) <= 4 else names[:3])
        assert len(named) + more == len(names)
    others = [one for one in workspace.findings if one.line[1] not in book.silenced]
    assert not any(named_in(one.why)[0] for one in others)
    alone = {one.place.text for one in others if one.message.endswith("stands under no section")}
    assert alone == book.orphans


@pytest.mark.parametrize("text", [*UNREAD, *IMPOSSIBLE])
def test_every_header_at_fault_is_one(text: str) -> None:
    (line,) = read(f"{text}\n").lines
    assert line.fault is not None
    assert line.opens
    assert (line.fault.rule == "unreadable-line") == (text in UNREAD)


@pytest.mark.parametrize("text", OTHERS)
def test_no_other_line_is_a_header(text: str) -> None:
    assert not any(line.opens for line in read(f"{text}\n").all_lines())


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("-\u202e", "step"),
        ("\t- # a\x00", "step"),
        (" # - \x00", "comment"),
        ("  a - \x00", "chore"),
        ("2026-03-01 - \x00", "record"),
        ("every - \x00", "section"),
        ("every -", "section"),
        ("=======", "mark"),
    ],
)
def test_line_at_fault_is_of_the_kind_that_its_first_characters_tell(text: str, kind: str) -> None:
    (line,) = read(f"{text}\n").lines
    assert line.taken_for == kind
    assert (line.opens, line.is_chore, line.is_step) == (
        kind == "section",
        kind == "chore",
        kind == "step",
    )


# -------------------------------------------------------------------- all who ask are told alike


@given(some.small_books(), st.data())
def test_household_and_editor_see_the_same_chores_below_a_header(
    book: some.SmallBook, data: st.DataObject
) -> None:
    texts = book.text().split("\n")[:-1]
    for at in data.draw(st.sets(st.integers(0, len(texts) - 1), min_size=1, max_size=4)):
        texts[at] = data.draw(
            st.one_of(some.mutated(st.just(texts[at])), lines.map(lambda s: s[0]))
        )
    workspace = read_sources([Source("home.chores", "\n".join([*texts, ""]))])
    (tree,) = workspace.trees
    kept = {
        routine.place.line: routine.section.place.line
        for chore in workspace.household.chores.values()
        for routine in chore.routines
    }
    twice = {one.line[1] for one in workspace.findings if one.rule == "repeated-name"}
    shown = {chore.number: block.header.number for block in blocks(tree) for chore in block.chores}
    assert {number: at for number, at in shown.items() if number not in twice} == kept


@given(
    st.sampled_from([*UNREAD, *IMPOSSIBLE]),
    st.integers(0, 2),
    st.lists(st.tuples(st.integers(0, 2), st.sampled_from("uvwxyz")), unique_by=lambda one: one[1]),
    st.booleans(),
)
def test_merge_gives_no_chore_of_a_spoiled_header_to_another_section(
    spoiled: str, which: int, added: list[tuple[int, str]], swapped: bool
) -> None:
    headers = ["every monday", "every tuesday", "every friday"]
    below: list[list[str]] = [["a", "b"], ["c", "d"], ["e", "f"]]

    def book(headers: Sequence[str]) -> str:
        return "".join(
            f"{header}\n" + "".join(f"    {name}\n" for name in names)
            for header, names in zip(headers, below, strict=True)
        )

    base = book(headers)
    ours = book([spoiled if number == which else one for number, one in enumerate(headers)])
    for number, name in added:
        below[number].append(name)
    theirs = book(headers)
    sides = [theirs, ours] if swapped else [ours, theirs]
    before, mine, others = (Source("home.chores", text) for text in [base, *sides])
    found = merge(before, mine, others)
    assert found.conflicts == ()
    names = [line.strip() for line in found.source.text.split("\n") if line[:1] == " "]
    assert sorted(names) == sorted(name for some in below for name in some)
    household = read_sources([found.source]).household
    silent = {name for name in below[which] if name in "abcdef"}
    assert set(household.chores) == {name for some in below for name in some} - silent
    for name, chore in household.chores.items():
        (routine,) = chore.routines
        days = routine.section.cadence.days
        home = next(number for number, names in enumerate(below) if name in names)
        assert days == ((0, 1, 4)[home],)


def test_names_of_silenced_chores_are_not_told_as_unknown() -> None:
    book = ("area k", "weekend 6", "    oven  5 min  in k", "2026-03-02 did oven")
    assert [one.rule for one in all_found(*book)] == ["impossible-number"]


# ----------------------------------------------------------------------------- words of the reason


@pytest.mark.parametrize(
    ("count", "said"),
    [
        (1, "`a0` below it comes up nowhere"),
        (2, "`a0` and `a1` below it come up nowhere"),
        (4, "`a0`, `a1`, `a2` and `a3` below it come up nowhere"),
        (5, "`a0`, `a1`, `a2` and 2 more below it come up nowhere"),
    ],
)
def test_reason_names_the_first_chores(count: int, said: str) -> None:
    book = "evry day\n" + "".join(f"    a{number}\n" for number in range(count))
    (found,) = read_sources([Source("home.chores", book)]).findings
    assert found.why == f"until it can be read this line says nothing, and {said}"


def test_chores_without_their_from_are_named_too() -> None:
    text = "every 2 weeks\n    a\n"
    (found,) = read_sources([Source("home.chores", text)]).findings
    assert found.rule == "missing-from"
    assert named_in(found.why) == (["a"], 0)


# ------------------------------------------------------------------------------------ marks


SLIPS = (
    "area half½", "    a  in half½  5 mins", "    a  5 min  in b½  by", "area wash\u00a0room",
    "    wash-up\u00a0\u2003 15 min", "every  \t", "    a  5  ", "    a  5  # b", "limit monday  ",
    "    a  in b, ,", "    every monday", "\tperson a", 'area a"b"', 'person "\u00a0',
)  # fmt: skip
"""Lines that a reader may well mark elsewhere."""


def begins_a_line(text: str, kind: str) -> bool:
    """True where a line of a kind can begin with some words, each of them whole."""
    try:
        parser().kinds_after(text, kind)
    except LineFault:
        return False
    names = (token.text for token in parser().tokens(text) if token.kind == "NAME")
    return all(check_name(name) is None for name in names)


def check_mark(text: str) -> None:
    (line, *_) = read(f"{text}\n").all_lines()
    fault = line.fault
    if fault is None or fault.rule != "unreadable-line":
        return
    text, at = fault.place.source.lines[0], fault.place.start
    unsafe = UNSAFE.search(text)
    if unsafe is not None:
        assert at == unsafe.start()
        return
    kind = kind_of(text)
    before, rest = text[:at], text[at:]
    if not rest.strip(" \t"):
        assert before == before.rstrip(" \t")
        assert begins_a_line(text, kind)
        return
    # A comma is a word, a comment counts as one, and a title may hold what else parts words.
    (word,) = re.findall(r'\A(?:"(?:[^"\\]|\\.)*"?[^ \t,#]*|,|#|[^ \t,#]+)', rest)
    if rest[0].isspace():
        # White space that parts no words is marked in place of its run.
        run = re.split("[ \t,]", before)[-1]
        assert '"' not in run
        before, word = before.removesuffix(run), run + word
    else:
        assert not re.search(r"\s", word.split('"')[0])
    assert not before or word in ",#" or before[-1] in ' \t,"'
    assert begins_a_line(before, kind)
    assert not begins_a_line(before + word, kind)


@pytest.mark.parametrize("text", [*UNREAD, *IMPOSSIBLE, *OTHERS, *SLIPS])
def test_mark_stands_at_the_first_word_with_which_the_line_begins_none(text: str) -> None:
    check_mark(text)


@given(st.one_of(some.mutated(some.lines), some.arbitrary_lines))
def test_mark_of_any_line_stands_at_its_first_word_that_cannot_stand(text: str) -> None:
    check_mark(text)


# ------------------------------------------------------------------- a name stands once


headers = st.sampled_from(
    [
        "every day", "every mon", "every monday", "every monday paused",
        "every monday until 2026-06-30", "every monday from 2026-07-01", 'every monday "Tin"',
    ]
)  # fmt: skip
dates = st.sampled_from(["", "  from 2026-07-01", "  until 2026-06-30", "  paused", '  "T"'])


@given(st.lists(st.tuples(headers, st.lists(st.tuples(st.sampled_from("ab"), dates), max_size=4))))
def test_name_stands_once_in_a_container(
    sections: list[tuple[str, list[tuple[str, str]]]],
) -> None:
    texts, first, told = list[str](), dict[tuple[str, str], int](), list[tuple[int, int]]()
    for header, below in sections:
        container = header.replace("every monday", "every mon")
        texts.append(header)
        for name, clauses in below:
            stood = first.setdefault((container, name), len(texts))
            if stood != len(texts):
                told.append((len(texts), stood))
            texts.append(f"    {name}{clauses}")
    found = read_sources([Source("home.chores", "".join(f"{text}\n" for text in texts))]).findings
    assert {one.rule for one in found} <= {"repeated-name"}
    assert [(one.place.line, one.see[0].line) for one in found] == told


def test_line_for_other_days_is_told_which_header_to_write() -> None:
    book = "every monday\n    a  until 2026-06-30\n    a  from 2026-07-01\n"
    (found,) = read_sources([Source("home.chores", book)]).findings
    assert "`every monday from 2026-07-01`" in found.fix
