"""Near misses: each names the thing at fault, marks it, and says what to type; and that reads.

`near-misses.txt` holds every wrong line of `grammar/conformance/near-misses`, in order, with the
place that is marked below it, the message and the fix, all to the letter.
"""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest
import strategies as some
from golden_findings import block, entries, golden_blocks
from hint_laws import (
    CONSTRUCTS,
    assert_fixes_read,
    assert_plain,
    assert_typed_reads,
    in_backticks,
    mended,
    parts,
)
from hypothesis import example, given
from hypothesis import strategies as st

from ledger.text.clauses import ChoreLine
from ledger.text.finding import UNREADABLE_LINE, Finding, Fix, Severity, TextEdit
from ledger.text.hints.advice import HINTS, advise
from ledger.text.hints.misread import Misread
from ledger.text.hints.reading import fault_of, node_of, reads
from ledger.text.near import nearest
from ledger.text.parser import LineFault, kind_of
from ledger.text.reader import Reader
from ledger.text.source import Source, TextRange
from ledger.workspace import read_sources

HERE = Path(__file__).parent
CORPUS = HERE.parent / "grammar" / "conformance" / "near-misses"


@cache
def findings(case: str) -> list[Finding]:
    book = CORPUS / f"{case}.chores"
    found = read_sources([Source.decode(str(book), book.read_bytes())]).findings
    return sorted(found, key=lambda finding: finding.place[1:])


def said(case: str) -> str:
    """What is told of the wrong lines of a case. The reason is the same for most of them, and
    stands in a test of its own."""
    return block(findings(case), with_why=False)


CASES = sorted(path.stem for path in CORPUS.glob("*.json"))
TABLE = golden_blocks(HERE / "near-misses.txt", CASES, said)
LINES_TOLD = [entry.split("\n")[0] for block in TABLE.values() for entry in entries(block)]
LINES = sorted(set(LINES_TOLD))


def only(*lines: str) -> Finding:
    """The one fault of a book, on its last line."""
    (fault,) = Reader().read(Source("home.chores", "\n".join(lines))).faults()
    assert fault.place.line == len(lines) - 1
    return fault


# ------------------------------------------------------------------------------- the table


def test_table_has_every_case_of_the_corpus() -> None:
    assert sorted(TABLE) == CASES
    assert len(TABLE) >= 100
    assert sum(len(entries(block)) for block in TABLE.values()) >= 500


@pytest.mark.parametrize("case", CASES)
def test_line_is_marked_where_the_table_says_and_told_what_it_says(case: str) -> None:
    """`BESOM_UPDATE_GOLDEN=1 pytest tests/test_hints.py` writes what lines are told now."""
    assert said(case) == TABLE[case]


@pytest.mark.parametrize("case", TABLE)
def test_what_the_fix_says_to_type_reads(case: str) -> None:
    for finding in findings(case):
        assert_typed_reads(finding)


def test_what_is_missing_or_too_much_is_shown_as_a_whole_line() -> None:
    for case in TABLE:
        for finding in findings(case):
            if not finding.place.text.strip(" \t\u00a0\u2009\u3000"):
                assert any(reads(typed) for typed in in_backticks(finding.fix)), finding


# ---------------------------------------------------------------------------------- fixes


def unread(case: str) -> list[Finding]:
    """The findings of lines that cannot be read."""
    return [one for one in findings(case) if one.rule == UNREADABLE_LINE.name]


@pytest.mark.parametrize("case", CASES)
def test_every_line_reads_when_a_fix_is_made(case: str) -> None:
    for finding in unread(case):
        assert_fixes_read(finding)


def test_fixes_hold_what_is_shown_to_type() -> None:
    """All but what is said by the way, and what is for another line than this."""
    mendable = [one for case in CASES for one in unread(case) if one.fixes]
    for finding in mendable:
        to_type = {typed for fix in finding.fixes for typed in in_backticks(fix.title)}
        fix = re.sub(
            r"; let `from`.*|and put the chore below .*|and write `within .*|`after .* line of"
            r"|`every`, `weekend` or `once`|`#`: |.*; with its other slips mended",
            "",
            finding.fix,
        )
        assert to_type == {typed.strip() for typed in in_backticks(fix)}, finding.fix
    others = [one for case in CASES for one in findings(case) if one not in mendable]
    # Names that can be read and that the household does not have, steps of nothing, and people
    # of whom no text tells who does it alone.
    assert {one.rule for one in others} == {"unknown-name", "unreadable-line"}
    unreadable = [one for one in others if one.rule == "unreadable-line"]
    assert all(one.place.text == "-" or one.message.endswith("do not mix") for one in unreadable)
    assert len(mendable) + len(others) == len(LINES_TOLD)


def test_what_is_an_example_solves_nothing_by_itself() -> None:
    for finding in (one for case in CASES for one in findings(case)):
        for fix in finding.fixes:
            is_example = "such as" in finding.fix or "YYYY-MM-DD" in fix.title
            assert fix.solves != is_example


def test_lines_in_the_place_of_one_end_as_those_of_the_book_do() -> None:
    book = Source("home.chores", "every day\r\nperson noor, tam # both\r\n")
    (fault,) = Reader().read(book).faults()
    (fix,) = fault.fixes
    assert fix.title == "Write `person noor # both` and `person tam # both`"
    assert mended(book, fix) == "every day\r\nperson noor # both\r\nperson tam # both"


def test_no_fix_loses_what_it_does_not_show() -> None:
    names = ", ".join(f"p{number}" for number in range(9))
    assert not only(f"2026-03-14 moved {names} to 2026-03-15").fixes
    assert not only(f"person {names}").fixes


def test_fixes_are_for_the_line_that_they_stand_at() -> None:
    reader = Reader()
    for path, text in (("a.chores", "every mondey\n\nevery mondey"), ("b.chores", "every mondey")):
        for fault in reader.read(Source(path, text)).faults():
            (fix,) = fault.fixes
            number = fault.place.line
            assert fix == Fix("Write `monday`", (TextEdit(path, number, 6, number, 12, "monday"),))


def test_finding_at_another_place_is_worked_out_when_its_fixes_are_read() -> None:
    source, other = Source("a.chores", "    a  in kitchin"), Source("b.chores", "\n  b  in kitchin")
    place, asked = TextRange(source, 0, 10, 17), list[str]()
    fixes = (
        Fix("Write `kitchen`", (TextEdit("a.chores", 0, 10, 0, 17, "kitchen"),)),
        Fix("Add a line `area kitchin`", (TextEdit("a.chores", 7, 0, 7, 0, "area kitchin"),)),
    )

    def make() -> Finding:
        asked.append("fixes")
        return Finding("r", Severity.ERROR, place, "m", "w", "f", fixes=fixes)

    there = Finding.late(make, rule="r", place=place).moved(TextRange(other, 1, 8, 15))
    assert (there.rule, there.line) == ("r", ("b.chores", 1))
    moved = TextEdit("b.chores", 1, 8, 1, 15, "kitchen")
    assert there.fixes == (fixes[0]._replace(edits=(moved,)), fixes[1])
    assert (there.message, asked) == ("m", ["fixes"])


# -------------------------------------------------------------------------------- wording


@pytest.mark.parametrize("case", TABLE)
def test_words_are_plain_and_blame_nobody(case: str) -> None:
    for finding in findings(case):
        assert_plain(finding)


def test_long_words_are_cut_in_a_message() -> None:
    assert len(only("    oven  " + "every " * 200).message) < 120
    assert len(only("x" * 500).message) < 80


def test_why_of_a_line_that_cannot_be_read_is_one_of_these() -> None:
    unread = (
        "until it can be read this line says nothing",
        "this chore comes up nowhere until its line can be read",
        "what this line records counts as not done until it can be read",
    )
    found = (one for case in CASES for one in findings(case) if one.rule == "unreadable-line")
    assert {finding.why for finding in found} == {
        *(why for line in unread for why in (line, f"{line}; all other lines are used")),
        "a name is a letter, then letters, digits and hyphens, so that it can be typed and found "
        "again",
        "a step tells how to do the chore above it; here it would be shown nowhere",
    }


def test_why_speaks_of_what_the_line_was_meant_to_be() -> None:
    assert "this chore comes up nowhere" in only("oven  40 min").why
    assert "counts as not done" in only("did oven").why
    assert "counts as not done" in only("    2026-03-14 did oven").why
    assert "this line says nothing" in only("    every monday").why


# ------------------------------------------------------------------- what the book itself says


def test_dates_to_type_are_near_those_of_the_book() -> None:
    assert in_backticks(only("did oven").fix) == ("2026-01-05 did oven",)
    record = ("since 2025-02-01", "2025-03-01 did oven", "did oven")
    assert in_backticks(only(*record).fix) == ("2025-03-01 did oven",)
    assert in_backticks(only(*record[1:]).fix) == ("2025-03-01 did oven",)
    assert in_backticks(only("2024-03-01 did oven", "since 5 March").fix) == ("2024-03-05",)


def test_names_of_the_book_tell_areas_from_people() -> None:
    head = ("person noor", "person tam", "area kitchen", "every day")
    assert in_backticks(only(*head, "    a  kitchen").fix) == ("    a  in kitchen",)
    assert in_backticks(only(*head, "    a  noor").fix) == ("    a  by noor",)
    assert in_backticks(only(*head, "    a  5 min  attic").fix) == ('"attic"', "in attic")
    assert in_backticks(only(*head, "    a  (kitchen)").fix) == ("in kitchen",)
    assert in_backticks(only(*head, "2026-03-14 did a by each").fix) == ("noor, tam",)
    assert in_backticks(only(*head, "    a  in").fix) == ("    a  in kitchen",)


def test_several_slips_are_mended_in_one_line_to_type() -> None:
    fault = only("    * oven: 1,5 hours at kitchen")
    assert in_backticks(fault.fix) == ("    oven 1 h 30 min in kitchen",)


def test_a_word_is_misspelt_for_the_known_one_with_which_the_line_reads() -> None:
    assert in_backticks(only("snce 2026-01-01").fix) == ("since",)
    assert in_backticks(only("onc from 2026-01-01 to 2026-01-02").fix) == ("once",)


@pytest.mark.parametrize(
    ("word", "near"),
    [("mondey", "monday"), ("mnoday", "monday"), ("mon", None), ("MONDAY", "monday"),
     ("xyzzy", None), ("frday", "friday"), ("", None)],
)  # fmt: skip
def test_nearest_word_is_one_or_two_slips_away(word: str, near: str | None) -> None:
    assert nearest(word, ("monday", "friday", "to")) == near


ONES = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine")
TEENS = (
    "ten", "eleven", "twelve", "thirteen", "fourteen", "fifteen", "sixteen", "seventeen",
    "eighteen", "nineteen",
)  # fmt: skip
TENS = ("twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")
ABOVE_TWENTY = (f"{ten}-{one}".rstrip("-") for ten in TENS for one in ("", *ONES))


@pytest.mark.parametrize(("number", "word"), [*enumerate((*ONES, *TEENS, *ABOVE_TWENTY), 1)])
def test_numbers_in_words_are_those_numbers(number: int, word: str) -> None:
    days = "day" if number == 1 else "days"
    for said in (word, word.replace("-", " "), word.upper()):
        assert in_backticks(only(f"    oven  {said} minutes").fix) == (f"{number} min",)
        assert in_backticks(only(f"every monday within {said} days").fix) == (f"{number} {days}",)
        if 1 < number <= 31:
            assert in_backticks(only(f"every month on {said}").fix)[0] == f"{number}"
        elif number > 1:
            assert not only(f"every month on {said}").fixes


@given(st.integers(1, 3), st.integers(2, 4), st.sampled_from(["", "1 ", "2 "]))
def test_fractions_of_an_hour_are_worked_out(over: int, under: int, whole: str) -> None:
    minutes = 60 * over // under + 60 * int(whole or 0)
    text = f"    oven  {whole}{over}/{under} h"
    (fix,) = only(text).fixes
    node = node_of(mended(Source("home.chores", text), fix))
    assert isinstance(node, ChoreLine)
    assert node.minutes is not None
    assert node.minutes.value == minutes


RARE = {
    ("once from 2026-12-01 2026-12-20",): "once from 2026-12-01 to 2026-12-20",
    ("once from 2026-12-01 and 2026-12-20",): "once from 2026-12-01 to 2026-12-20",
    ("person noor", "    a  by each noor, tam"): "    a  by each of noor, tam",
    ("days april 2026-04-01",): "april-days",
    ("days school weekly until 2026-03-01",): "days school every week until 2026-03-01",
    ("days school every week on friday",): "days school every friday",
    ("every week on friday paused",): "every friday paused",
    ('paused every week on friday "Tin"',): 'every friday paused "Tin"',
    ("rest noor 2026-07-04",): "rest 2026-07-04 by noor",
    ("limit noor half an hour",): "limit noor 30 min",
    ("limit noor about 30 minutes",): "limit noor 30 min",
    ("3 times every",): "3 times every week",
    ("days",): "days school 2026-01-05",
    ("days school",): "days school every monday",
    ("away",): "away 2026-01-05",
    ("    a  during",): "    a  during april to october",
    ("    a  by each of",): "    a  by each of noor",
    ("every day during monday and friday",): "every day during monday, friday",
    ("2026-03-14 noor worked tax 1 h",): "2026-03-14 worked tax 1 h by noor",
    ("    oven  Share it",): '"Share it"',
    ("    a  in kitchen &bathroom",): "    a  in kitchen, bathroom",
    ("away 2026-07-04 by noor with tam",): "away 2026-07-04 by noor, tam",
    ("area kitchen", "    a  (kitchen)"): "in kitchen",
    ("area kitchen", "area hall", "    a  in kitchen hall"): "    a  in kitchen, hall",
    ("area kitchen", "    a  kitchen"): "    a  in kitchen",
    ("person noor", "    a  noor"): "    a  by noor",
    ("person noor", "person tam", "2026-03-14 did a by noor tam"): "2026-03-14 did a by noor, tam",
    ("every monday -",): "every monday",
    ("every month on the end",): "last",
    ("every month on the monday",): "monday",
    ("every monday within a",): "1 day",
    ("every;monday",): "every monday",
    ("weekend last 5",): "weekend last, 5",
    ("weekend iii",): "weekend 3",
    ("every 2 weekends from 2026-01-03",): (
        "every 2 weeks on saturday within 2 days from 2026-01-03"
    ),
    ("every month on the 31st",): "31",
    ("fifth weekend of the month",): "weekend 5",
    ("every day except on weekends",): "every day except weekend",
    ("every week during march, april until june",): "every week during march, april to june",
    ("every m0nday",): "monday",
    ("every one week",): "every week",
    ("after 1 year",): "365 days after done",
    ("    oven  in a1 & b & c & d & e & f & g & h",): "    oven  in a1, b, c, d, e, f, g, h",
    ("every month on the 1st day",): "1",
    ("7 times a week",): "7 times every week",
    ("5 times a day",): "every day",
    ("    oven  2 hours and a half",): "    oven  2 h 30 min",
    ("    oven  The big one  20 min",): '"The big one"',
    ("area kitchen", "    oven  The one in kitchen"): '"The one"',
    ("area kitchen", "    oven  The one in there"): '"The one in there"',
    ("    oven  Polish it in there",): '"Polish it"',
    ("person zoe", "every day", "    oven  by"): "    oven  by zoe",
    ("person zoe", "person"): "person noor",
}
"""Books whose last line has a slip that no line of the table has, and what to type instead."""


@pytest.mark.parametrize("book", RARE)
def test_rare_slips_are_mended(book: tuple[str, ...]) -> None:
    assert in_backticks(only(*book).fix) == (RARE[book],)


@pytest.mark.parametrize(
    ("line", "between"),
    [
        ("away {} 2026-07-18", "2026-07-04"),
        ("away {} and 2026-07-18 by noor", "2026-07-04"),
        ("rest {} & 2026-07-18", "2026-07-04"),
        ("days school {} and 2026-07-18", "2026-07-04"),
        ("every week during {} october", "april"),
        ("every week except {} and october", "april"),
    ],
)
def test_two_dates_or_months_are_a_span_or_a_list(line: str, between: str) -> None:
    span, listed = in_backticks(only(line.format(between)).fix)
    assert (span.count(" to "), listed.count(",")) == (1, 1)
    assert span.replace(" to ", " ") == listed.replace(", ", " ")
    assert reads(span)
    assert reads(listed)


@pytest.mark.parametrize("line", ["every week on friday", "weekly on friday", "each week friday"])
def test_week_with_days_is_its_days(line: str) -> None:
    assert in_backticks(only(line).fix) == ("every friday",)
    span = in_backticks(only(line.replace("friday", "monday to friday")).fix)
    assert span == ("every weekday", "every monday, tuesday, wednesday, thursday, friday")


@pytest.mark.parametrize(
    ("said", "right"), [("1st day", "1"), ("the 3rd day", "3"), ("the last day", "last")]
)
def test_day_of_the_month_by_its_turn_is_said_by_its_number(said: str, right: str) -> None:
    fault = only(f"every month on {said}")
    assert fault.message == f'a book says `{right}`, not "{said}"'
    assert in_backticks(fault.fix) == (right,)


@pytest.mark.parametrize("word", ["other", "alternate", "alternating", "second"])
def test_every_other_week_is_every_2_weeks(word: str) -> None:
    for said, right in (("monday", "every 2 weeks on monday"), ("week", "every 2 weeks")):
        fault = only(f"every {word} {said}")
        assert in_backticks(fault.fix)[0].startswith(f"{right} from ")


def test_open_title_is_marked_as_a_whole_whatever_blanks_it_holds() -> None:
    assert only('    oven  "Clean\u00a0it').place.text == '"Clean\u00a0it'


def test_word_behind_a_header_is_told_which_clauses_a_header_takes() -> None:
    fault = only("every monday  -02-27 morning")
    assert fault.fix.startswith(
        "write `during`, `except`, `within`, `from`, `until`, `vital`, `expires`, `spare`, "
        "`paused` or a title; or make it"
    )


def test_large_number_has_no_fix() -> None:
    fault = only("    a  100000 min")
    assert (fault.message, fault.fixes) == ("100000 is too large a number", ())


def test_every_hint_speaks_of_some_line_here() -> None:
    """Else nothing would tell of one that another hides."""
    silent = list(HINTS)
    wrong_books = [(*book, line) for book, wrong in map(parts, CONSTRUCTS) for line in wrong]
    for book in [*((line,) for line in LINES), *RARE, *wrong_books, ("    a  100000 min",)]:
        stop = fault_of(book[-1])
        if isinstance(stop, LineFault):
            miss = Misread(
                Source("home.chores", "\n".join(book)), book[-1], kind_of(book[-1]), stop
            )
            told = advise(miss).message
            said = ((hint, hint(miss)) for hint in HINTS)
            first = next((hint for hint, found in said if found and found.message == told), None)
            silent = [hint for hint in silent if hint is not first]
    assert not [str(hint)[:60] for hint in silent]


# ------------------------------------------------------------------------- anything at all

PARTS = sorted({part for line in LINES for part in re.findall(r"[ \t]+|[^ \t]+", line)})
HEADS = (
    "", "    ", "\t", "every ", "weekend ", "limit ", "limit noor ", "away ", "rest ", "days ",
    "days school every ", "every day during ", "    oven except ", "2 times ", "2026-03-14 ",
    "2026-03-14 worked ",
)  # fmt: skip
soups = st.builds(
    str.__add__,
    st.sampled_from(HEADS),
    st.lists(st.sampled_from(PARTS), max_size=8).map(" ".join),
)
crossed = st.builds(
    lambda one, other, cut: one[:cut] + other[cut:],
    st.sampled_from(LINES),
    st.sampled_from(LINES),
    st.integers(0, 40),
)
near_lines = st.one_of(
    some.arbitrary_lines,
    some.mutated(some.lines),
    st.sampled_from(LINES).flatmap(lambda line: some.mutated(st.just(line))),
    some.lines.map(lambda line: f"    {line}"),
    soups,
    crossed,
)


@given(near_lines)
@example("`")
@example("“")
@example("    “a")
@example('    a "\\')
@example("2026-03-14 moved a, to 2026-03-15")
@example("\u00a0")
@example("weekend is sat-fri")
@example("every ½ weeks")
@example("limit 9999 h")
@example("weekend is saterday, ſunday")
@example("every month on firſt thursdy")
@example("every week during ſept to nov")
@example("every week in ſummer")
@example("every 2 wee\u212as after done")
@example("yesterday dıd oven")
@example("2026-03-14 noor dıd oven")
def test_every_fault_is_explained_within_its_line(text: str) -> None:
    tree = Reader().read(Source("home.chores", text))
    for fault in tree.faults():
        place = fault.place
        line = tree.source.lines[place.line]
        assert 0 <= place.start < place.end <= len(line) + 1
        assert place.start <= len(line.rstrip(" \t"))
        assert fault.message
        assert fault.fix
        assert fault.why
        for fix in fault.fixes:
            assert not [*Reader().read(Source("home.chores", mended(tree.source, fix))).faults()]
