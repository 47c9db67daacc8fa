"""Render: marks stand below what they mark, lines fit, and nothing unsafe is ever printed."""

from __future__ import annotations

import re
import unicodedata
from datetime import date
from functools import cache
from pathlib import Path

import pyte
import pytest
from books import day, house
from hypothesis import assume, given
from hypothesis import strategies as st

from ledger.homes import read_household
from ledger.household.model import Household
from ledger.household.things import LAST_WORD
from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.planning.likely import Quartiles
from ledger.render.as_json import to_json
from ledger.render.due_text import due_text
from ledger.render.findings_json import findings_json
from ledger.render.findings_text import finding_text, findings_text, marked
from ledger.render.layout import columns, fit, long_day, short_day, wrap, wrap_advice
from ledger.render.week_text import week_text
from ledger.report.apart import KeptApart
from ledger.report.due import Due, due
from ledger.report.lists import LetGo
from ledger.report.pick import Left, Pick, Picked
from ledger.report.scope import Absent, Scope
from ledger.report.task import Task
from ledger.report.undone import Undone
from ledger.report.week import Week, WeekDay, week
from ledger.text.finding import Finding, Severity
from ledger.text.shown import safe
from ledger.text.source import UNSAFE, Source, TextRange
from ledger.text.width import width
from ledger.text.words import counted, duration
from ledger.workspace import read_sources

EXAMPLE = Path(__file__).parents[1] / "examples" / "quarry-lane"
FAULTY = Path(__file__).with_name("golden") / "faulty.chores"

BLOCKS = [
    (0x0020, 0x007E, 1),  # Basic Latin
    (0x00A1, 0x00AC, 1),  # Latin-1 signs
    (0x00AE, 0x024F, 1),  # Latin letters of Europe
    (0x0300, 0x036F, 0),  # marks on letters
    (0x03A3, 0x03FF, 1),  # Greek
    (0x0400, 0x0482, 1),  # Cyrillic
    (0x05B0, 0x05BD, 0),  # Hebrew points
    (0x05D0, 0x05EA, 1),  # Hebrew letters
    (0x0620, 0x064A, 1),  # Arabic letters
    (0x064B, 0x065F, 0),  # Arabic marks
    (0x0905, 0x0939, 1),  # Devanagari letters
    (0x0941, 0x0948, 0),  # Devanagari vowels above and below
    (0x0E01, 0x0E30, 1),  # Thai letters
    (0x1100, 0x115F, 2),  # Hangul, first letters
    (0x200B, 0x200F, 0),  # joiners and marks of direction
    (0x2010, 0x2027, 1),  # dashes, quotes, ellipsis
    (0x2190, 0x21FF, 1),  # arrows
    (0x2500, 0x257F, 1),  # lines of boxes
    (0x3001, 0x3029, 2),  # CJK signs
    (0x3041, 0x3096, 2),  # Hiragana
    (0x30A1, 0x30FA, 2),  # Katakana
    (0x4E00, 0x9FFC, 2),  # CJK ideographs
    (0xAC00, 0xD7A3, 2),  # Hangul syllables
    (0xFE00, 0xFE0F, 0),  # how the emoji before is shown
    (0xFF01, 0xFF60, 2),  # full width
    (0xFF61, 0xFF9F, 1),  # half width
    (0xFFFD, 0xFFFD, 1),  # what stands in the place of what is not shown
    (0x1F300, 0x1F320, 2),  # emoji
    (0x1F466, 0x1F470, 2),  # emoji of people
    (0x20000, 0x2A6D6, 2),  # rare CJK ideographs
]
"""First, last and columns of each: Unicode Standard Annex 11 (2022), where terminals agree."""

plain = st.sampled_from([*'abc #"-\\', "é"])
unequal = st.sampled_from(
    ["窓", "Ａ", "ｱ", "ㄱ", "e\u0301", "\u0301", "🧹", "👩\u200d🍳", "❤\ufe0f"]
)
letters = st.sampled_from(BLOCKS).flatmap(lambda block: st.integers(*block[:2])).map(chr)
mixed = st.lists(st.one_of(plain, unequal, letters)).map("".join)
unsafe = st.sampled_from([*"\x00\x07\x1b\x7f\x9b\u202e\u2066\ufeff\udcff"])
as_typed = st.lists(st.one_of(plain, unequal, letters, unsafe, st.just("\t"))).map("".join)
anything = st.text(st.characters(exclude_categories=[]), max_size=30)


def cells(text: str) -> list[str]:
    """The letter in each column of a terminal: pyte shows the text, which must hold no controls.

    The second column of a wide character is empty. The marks on a letter are left out.
    """
    screen = pyte.Screen(2 * len(text) + 1, 1)
    # One by one: what takes no column, and is no mark, ends a stretch for pyte.
    for character in text:
        screen.draw(character)
    row = screen.buffer[0]
    return [_without_marks(row[column].data) for column in range(screen.cursor.x)]


def _without_marks(data: str) -> str:
    apart = unicodedata.normalize("NFD", data)
    return "".join(each for each in apart if not unicodedata.combining(each))[:1]


def shown(text: str) -> str:
    """A part of a line as it may be printed."""
    return UNSAFE.sub("\ufffd", text.replace("\t", "    "))


# ------------------------------------------------------------------------------------ widths


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("", 0),
        ("oven", 4),
        ("café", 4),
        ("cafe\u0301", 4),
        ("窓", 2),  # Wide: a CJK ideograph
        ("Ａ", 2),  # Fullwidth
        ("ｱ", 1),  # Halfwidth
        ("α", 1),  # Ambiguous: narrow where no East Asian font asks for more
        ("🧹", 2),  # Wide: shown as an emoji by itself
        ("मेज़", 2),  # two letters, a vowel sign above and a dot below
        ("کفش", 3),
        ("a\u200bb", 2),
    ],
)
def test_width_is_that_of_annex_11(text: str, expected: int) -> None:
    assert width(text) == expected == len(cells(text))


@pytest.mark.parametrize(("first", "last", "columns"), BLOCKS)
def test_width_of_a_letter_is_that_of_its_block(first: int, last: int, columns: int) -> None:
    assert {width(chr(code)) for code in range(first, last + 1)} == {columns}


@given(mixed)
def test_width_counts_the_columns(text: str) -> None:
    assert width(text) == len(cells(text))


@given(mixed, st.integers(0, 8) | st.integers(0, 90))
def test_fit_cuts_only_what_is_too_wide_and_says_so(text: str, room: int) -> None:
    cut = fit(text, room)
    assert len(cells(cut)) <= room
    if len(cells(text)) <= room:
        assert cut == text
    elif room:
        assert cut.endswith("…")
        assert text.startswith(cut[:-1])


@given(st.lists(mixed.map(lambda text: "".join(text.split()) or "x")), st.integers(0, 40))
def test_wrap_keeps_the_words_and_fills_no_line_beyond_its_end(
    words: list[str], indent: int
) -> None:
    first, *others = wrap(" ".join(words), indent, 80).split("\n")
    assert all(line.startswith(" " * indent) for line in others)
    lines = [first, *(line[indent:] for line in others)]
    assert [word for line in lines for word in line.split()] == words
    for line, following in zip(lines, [*lines[1:], ""], strict=True):
        assert len(cells(line)) <= 80 - indent or " " not in line
        if following:
            assert len(cells(f"{line} {following.split()[0]}")) > 80 - indent


TYPED = st.text(st.sampled_from('ab \t-#"'), min_size=1, max_size=60).map(lambda some: f"`{some}`")
PROSE = st.sampled_from(["write", "(or", "the closest,", "窓", "`", "such as"])


@given(st.lists(st.one_of(TYPED, TYPED.map(lambda some: f"({some}),"), PROSE)), st.integers(0, 40))
def test_text_to_type_is_never_broken_and_keeps_its_blanks(parts: list[str], indent: int) -> None:
    assume("`" not in parts[:-1])
    lines = [line.strip() for line in wrap_advice(" ".join(parts), indent, 80).split("\n")]
    assert " ".join(lines) == " ".join(parts)
    for line in lines:
        for typed in re.findall("`[^`]*`", line):
            line = line.replace(typed, "x" * len(typed))
        assert len(cells(line)) <= 80 - indent or " " not in line


@given(st.lists(st.tuples(mixed, mixed, mixed), min_size=1))
def test_cells_of_a_column_begin_and_figures_end_together(
    rows: list[tuple[str, str, str]],
) -> None:
    rows = [(a.strip(), b.strip(), c.strip()) for a, b, c in rows]
    one, two, three = (max(len(cells(row[n])) for row in rows) for n in range(3))
    lines = columns(rows, frozenset({1}))
    assert len(lines) == len(rows)
    for line, (a, b, c) in zip(lines, rows, strict=True):
        row = cells(line) + [" "] * (one + two + three + 4)
        edge = one + 2 * bool(one)
        assert row[: len(cells(a))] == cells(a)
        assert row[edge + two - len(cells(b)) : edge + two] == cells(b)
        edge += two + 2 * bool(two)
        assert row[edge : edge + len(cells(c))] == cells(c)


def test_no_rows_are_no_lines() -> None:
    assert columns([]) == []


@pytest.mark.parametrize(
    ("amount", "said"),
    [(0, "0 min"), (59, "59 min"), (60, "1 h"), (65, "1 h 5 min"), (31.4, "31 min"),
     (59.6, "1 h"), (1440, "24 h")],
)  # fmt: skip
def test_minutes_are_said_in_hours_and_minutes(amount: float, said: str) -> None:
    assert duration(amount) == said


def test_days_are_said_with_their_names_and_counts_with_their_number() -> None:
    assert long_day(date(2026, 3, 4)) == "Wednesday 4 March 2026"
    assert short_day(date(2026, 9, 30)) == "Wed 30 Sep"
    said = [counted(n, "day", "days") for n in (0, 1, 2)]
    assert said == ["0 days", "1 day", "2 days"]


# ------------------------------------------------------------------------- marks below a line


@st.composite
def places(draw: st.DrawFn, parts: st.SearchStrategy[str]) -> TextRange:
    """A stretch of a line between two others; or its end, where something is missing."""
    before, inside, after = draw(parts), draw(parts), draw(st.one_of(st.just(""), parts))
    line = "".join((before + inside + after).splitlines())
    start = min(len(before), len(line))
    end = min(len(before + inside), len(line))
    return TextRange(Source("home.chores", f"x\n{line}\nz\n"), 1, start, max(end, start + 1))


def parts_of(place: TextRange) -> tuple[str, str, str]:
    line = place.source.lines[place.line]
    return line[: place.start], line[place.start : place.end], line[place.end :]


@given(places(as_typed))
def test_marks_stand_below_what_they_mark(place: TextRange) -> None:
    before, inside, after = map(shown, parts_of(place))
    assume(len(cells(before + inside + after)) <= 76)
    line, marks = marked(place)
    assert line == ("    " + before + inside + after).rstrip()
    assert marks == "    " + " " * len(cells(before)) + "^" * max(len(cells(inside)), 1)


@given(places(st.one_of(as_typed, st.lists(unequal, min_size=20, max_size=90).map("".join))))
def test_long_line_is_cut_around_its_marks(place: TextRange) -> None:
    inside = cells(shown(parts_of(place)[1]))
    line, marks = marked(place)
    assert len(cells(line)) <= 80
    assert len(marks) <= 80
    start = len(marks) - len(marks.lstrip())
    below = (cells(line) + [" "] * 80)[start : len(marks)]
    assert below[:1] == inside[:1] or not inside
    for seen, real in zip(below, inside, strict=False):
        assert seen in (real, "…", " ")


def test_marks_of_a_word_after_tab_and_wide_letters() -> None:
    source = Source("home.chores", "\t窓-wash\t20 min\tuses 🧹, laddder\n")
    start = source.lines[0].index("laddder")
    assert marked(TextRange(source, 0, start, start + 7)) == [
        "        窓-wash    20 min    uses 🧹, laddder",
        "                                      ^^^^^^^",
    ]


# --------------------------------------------------------------------------- nothing unsafe

dates = st.dates(date(1970, 1, 1))
words = st.lists(anything, max_size=2).map(tuple)
tasks = st.builds(
    Task, anything, anything, anything, words, st.none() | st.integers(1, 9999),
    st.none() | st.floats(1, 9999), st.integers(0, 99), st.integers(0, 99), words, words,
    *[st.booleans()] * 6,
    st.sampled_from(["done", "skipped", "due", "overdue", "missed"]), dates, dates,
    *[st.none() | dates] * 3, st.none() | anything,
    st.integers(0, 999), st.floats(0, 9), st.none() | dates, words, words, words,
    st.none() | st.builds(Undone, anything, dates, st.booleans(), st.floats(3, 9999)),
)  # fmt: skip
lists = st.lists(tasks, max_size=2).map(tuple)
titles = st.none() | anything
limits = st.none() | st.integers(0, 9999)
spent = st.integers(0, 9999)
likely = st.none() | st.builds(Quartiles, *[st.floats(0, 9999)] * 3)
picks = st.none() | st.builds(
    Pick, spent, spent, st.lists(st.builds(Picked, tasks, spent, words), max_size=2).map(tuple),
    st.lists(
        st.builds(
            Left, tasks, limits,
            st.sampled_from(["unknown", "too-long", "apart", "after", "no-room"]), titles, titles,
        ),
        max_size=2,
    ).map(tuple),
)  # fmt: skip
apart = st.lists(
    st.builds(
        KeptApart, st.lists(mixed, min_size=1, max_size=2).map(tuple), st.tuples(mixed, mixed),
        words, mixed, mixed, st.just(LAST_WORD),
    ),
    max_size=2,
).map(tuple)  # fmt: skip
no_dates = st.none() | dates
absent = st.lists(
    st.builds(Absent, st.sampled_from(["away", "rest"]), titles, mixed), max_size=3
).map(tuple)
let_go = st.lists(st.builds(LetGo, tasks, dates), max_size=5).map(tuple)
dues = st.builds(
    Due, titles, dates, titles, titles, no_dates, absent, titles, titles, words, lists, lists,
    lists, lists, let_go, lists, spent, spent, likely, spent, limits, picks, apart, lists, lists,
    st.just(()),
)  # fmt: skip
week_days = st.builds(
    WeekDay,
    dates,
    absent,
    titles,
    titles,
    words,
    apart,
    lists,
    spent,
    spent,
    spent,
    spent,
    spent,
    likely,
    limits,
)
weeks = st.builds(
    Week, titles, no_dates, dates, titles, titles,
    st.lists(week_days, min_size=2, max_size=2).map(tuple), lists, words, spent, spent, likely,
    spent, limits, limits, st.just(()),
)  # fmt: skip
found_places = places(anything)
findings = st.builds(
    Finding, st.just("overlap"), st.sampled_from(Severity), found_places, anything, anything,
    anything, st.lists(found_places, max_size=1).map(tuple),
)  # fmt: skip


def check_safe(text: str) -> None:
    assert UNSAFE.search(text.replace("\n", "")) is None
    text.encode("utf-8")


@given(dues)
def test_due_prints_nothing_unsafe(answer: Due) -> None:
    check_safe(due_text(answer))


@given(weeks)
def test_week_prints_nothing_unsafe(answer: Week) -> None:
    check_safe(week_text(answer))


@given(st.lists(findings, max_size=2))
def test_findings_print_nothing_unsafe(found: list[Finding]) -> None:
    check_safe(findings_text(found, 1, 1))
    check_safe(findings_json(found, 1, 1))


@given(anything, anything, anything)
def test_answers_about_a_book_of_any_characters_hold_nothing_unsafe(
    title: str, container: str, chore: str
) -> None:
    book = f'household "{title}"\nevery day "{container}"\n  x 5 min "{chore}"\n  y 5 min\n'
    read = read_sources([Source.decode("\udcff.chores", book.encode("utf-8", "surrogatepass"))])
    today = day("2026-03-04")
    household = read.household.on(today)
    one, seven = due(household, today), week(household, today)
    for answer in (due_text(one), week_text(seven), to_json(one), to_json(seven)):
        check_safe(answer)
    found = lint(LintedBook(read.trees, household), read.findings)
    check_safe(findings_text(found, 1, 1))
    check_safe(findings_json(found, 1, 1))


def test_unsafe_characters_show_that_something_was_there() -> None:
    assert safe("a\x1b[31mb\u202ec\udcff") == "a\ufffd[31mb\ufffdc\ufffd"


# ---------------------------------------------------------------------------------- 80 columns


def too_wide(text: str) -> list[str]:
    return [line for line in text.splitlines() if columns_taken(line) > 80]


@cache
def columns_taken(line: str) -> int:
    return len(cells(line))


@pytest.fixture(scope="module")
def example() -> Household:
    return read_household([EXAMPLE]).household


def test_lists_of_the_example_fit_in_80_columns(example: Household) -> None:
    for on in range(day("2026-01-01"), day("2026-12-31"), 6):
        assert too_wide(due_text(due(example, on))) == []
        assert too_wide(due_text(due(example, on, minutes=20))) == []
        assert too_wide(week_text(week(example, on))) == []
        assert too_wide(week_text(week(example, on, Scope("edie", "bathroom")))) == []


def test_findings_fit_in_80_columns() -> None:
    read = read_sources([Source.decode("faulty.chores", FAULTY.read_bytes())])
    found = lint(LintedBook(read.trees, read.household.on(day("2026-03-04"))), read.findings)
    assert len(found) > 5
    for finding in found:
        assert too_wide(finding_text(finding)) == []


def test_total_with_what_the_record_says_fits_in_80_columns() -> None:
    household = house("since 2026-02-23", "limit weekday 1 h 30 min", "every day",
                      "  oven  2 h 45 min",
                      *(f"2026-02-{n} did oven 3 h 50 min" for n in range(23, 28)))  # fmt: skip
    text = due_text(due(household, day("2026-03-04")))
    assert " over\n" in text
    assert "3 h 50 min" in text
    assert too_wide(text) == []


def test_heading_of_an_overloaded_day_fits_in_80_columns() -> None:
    household = house("since 2026-03-04", "limit weekday 1 h 30 min", "every day",
                      "  oven  2 h 45 min")  # fmt: skip
    text = week_text(week(household, day("2026-03-04")))
    assert " over\n" in text
    assert too_wide(text) == []


NAMES = ("oven", "skirting-board", "vacuum-stairs", "窓拭き")
CADENCES = ("every day", "every week", "weekend 1", "every month on first saturday within 7 days")


@st.composite
def chore_books(draw: st.DrawFn) -> list[str]:
    """Books with the names, titles and minutes that a household may well have."""
    lines = ["since 2026-02-01", 'household "12 Quarry Lane"', "person noor", "person tam",
             "person edie", "area kitchen", "area bedrooms",
             draw(st.sampled_from(["", "limit weekday 1 h 30 min"]))]  # fmt: skip
    for name in NAMES:
        areas = draw(st.sampled_from(["kitchen", "kitchen, bedrooms"]))
        forms = ["", "by each", "by noor or tam", "by noor then edie", "by tam and noor"]
        who = draw(st.sampled_from(forms))
        title = draw(
            st.sampled_from(["", '"Wash up and wipe the counters, the table and the sink too"'])
        )
        spent = draw(st.sampled_from(["5 min", "45 min", "1 h 30 min"]))
        lines += [
            draw(st.sampled_from(CADENCES)),
            f"  {name} {spent} in {areas} {who} uses lye {title}",
        ]
    return lines


@given(chore_books(), st.integers(day("2026-02-20"), day("2026-03-20")))
def test_lists_of_reasonable_books_fit_in_80_columns(lines: list[str], on: int) -> None:
    household = house(*lines)
    assert too_wide(due_text(due(household, on))) == []
    assert too_wide(due_text(due(household, on, minutes=45))) == []
    assert too_wide(week_text(week(household, on))) == []
