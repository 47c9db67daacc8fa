"""Forms: CSV and Markdown give back what went in, and a spreadsheet runs none of it."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

import pytest
from books import day
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from test_cli import besom

from ledger.homes import read_household
from ledger.household.model import Household
from ledger.household.things import LAST_WORD
from ledger.render.as_csv import to_csv
from ledger.render.as_markdown import escaped, to_markdown
from ledger.render.due_tables import due_tables
from ledger.render.table import Cell, Table, cell_text
from ledger.render.week_tables import week_tables
from ledger.report.due import due
from ledger.report.week import week
from ledger.text.shown import safe

EXAMPLE = "examples/quarry-lane"

# What a spreadsheet may take a cell for a formula by: OWASP, "CSV Injection" (2024), which
# names the full-width signs too.
FORMULA = ("=", "+", "-", "@", "\t", "\r", "\n", "＝", "＋", "－", "＠")

texts = st.one_of(
    st.text(st.characters(exclude_categories=["Cs"]), max_size=20),
    st.text(st.sampled_from([*"=+-@'\"|\\`*_[]()<>#!~&;:,./ \t\r\n1a", "窓", "é"]), max_size=14),
    st.sampled_from(["=1+1", "@SUM(A1)", "# a", "1. b", "- c", "&amp;", "<b>x</b>", "https://x.y",
                     "a@b.cd", "www.x.y", "~~z~~", "$x$", "x^2", "\\|", "`|`", "|", "***", "---"]),
)  # fmt: skip
figures = st.one_of(
    st.integers(-10_000, 10_000), st.floats(-1000, 1000).map(lambda figure: round(figure, 2))
)
cells = st.one_of(
    texts, figures, st.booleans(), st.none(), st.dates(date(1970, 1, 1), date(2100, 1, 1))
)


@st.composite
def tables(draw: st.DrawFn) -> Table:
    """A table of any cells, with headers as ours are: plain words."""
    wide = draw(st.integers(1, 4))
    rows = draw(st.lists(st.tuples(*[cells] * wide), max_size=4))
    return Table(draw(texts), ("day", "chore", "days late", "to")[:wide], rows)


# ------------------------------------------------------------------------------- cells


@pytest.mark.parametrize(
    ("cell", "text"),
    [(None, ""), (True, "yes"), (False, "no"), (3, "3"), (-3, "-3"), (31.0, "31"), (30.5, "30.5"),
     (1 / 3, "0.3333333333"), (date(2026, 3, 4), "2026-03-04"), ("oven", "oven"), ("", "")],
)  # fmt: skip
def test_cell_is_written_as_a_program_reads_it(cell: Cell, text: str) -> None:
    assert cell_text(cell) == text


# --------------------------------------------------------------------------------- CSV


def read_back(table: Table) -> list[list[str]]:
    """The rows of a table's CSV, as Python's own reader has them."""
    return list(csv.reader(io.StringIO(to_csv(table), newline="")))


@given(tables())
def test_csv_gives_back_every_cell_but_for_the_apostrophe_before_a_formula(table: Table) -> None:
    headers, *rows = read_back(table)
    assert headers == list(table.headers)
    assert len(rows) == len(table.rows)
    for row, given_row in zip(rows, table.rows, strict=True):
        for text, cell in zip(row, given_row, strict=True):
            is_formula = isinstance(cell, str) and cell.startswith(FORMULA)
            assert text == ("'" if is_formula else "") + cell_text(cell)


@given(tables())
def test_no_text_in_csv_can_be_taken_for_a_formula(table: Table) -> None:
    for row, given_row in zip(read_back(table)[1:], table.rows, strict=True):
        for text, cell in zip(row, given_row, strict=True):
            assert not isinstance(cell, str) or not text.startswith(FORMULA)


@pytest.mark.parametrize("sign", FORMULA)
def test_every_sign_of_a_formula_is_put_behind_an_apostrophe(sign: str) -> None:
    (_, (text,)) = read_back(Table("t", ("chore",), [(f"{sign}cmd|' /C calc'!A0",)]))
    assert text.startswith(f"'{sign}")


def test_negative_figures_stay_figures() -> None:
    assert read_back(Table("t", ("days", "share"), [(-3, -0.5)]))[1] == ["-3", "-0.5"]


@given(tables())
def test_lines_of_csv_end_as_rfc_4180_says(table: Table) -> None:
    plain = [
        tuple(c if not isinstance(c, str) else "".join(c.split()) for c in row)
        for row in table.rows
    ]
    text = to_csv(table._replace(rows=plain))
    assert text.endswith("\r\n")
    assert text.count("\n") == text.count("\r\n")


# ---------------------------------------------------------------------------- Markdown


def rendered(text: str) -> tuple[list[str], list[list[list[str]]]]:
    """The headings of a Markdown text, and the rows of its tables, as a reader sees them:
    after markdown-it-py, CommonMark with tables."""
    headings: list[str] = []
    found: list[list[list[str]]] = []
    kind = ""
    for token in MarkdownIt("commonmark").enable("table").parse(text):
        if token.type == "table_open":
            found.append([])
        elif token.type == "tr_open":
            found[-1].append([])
        elif token.type in ("th_open", "td_open", "heading_open"):
            kind = token.type
        elif token.type == "inline":
            parts = token.children or []
            assert {part.type for part in parts} <= {"text", "text_special"}, "nothing but text"
            seen = "".join(part.content for part in parts)
            if kind == "heading_open":
                headings.append(seen)
            else:
                found[-1][-1].append(seen)
    return headings, found


def spaced(text: str) -> str:
    """A text as a page shows it: white space is one blank, and none at the ends."""
    return " ".join(safe(text).split())


@given(st.lists(tables(), max_size=2))
def test_markdown_shows_every_cell_to_the_letter(some: list[Table]) -> None:
    headings, found = rendered(to_markdown(some))
    filled = [table for table in some if table.rows]
    assert list(map(spaced, headings)) == [spaced(table.title) for table in filled]
    assert len(found) == len(filled)
    for rows, table in zip(found, filled, strict=True):
        assert rows[0] == list(table.headers)
        assert [[spaced(text) for text in row] for row in rows[1:]] == [
            [spaced(cell_text(cell)) for cell in row] for row in table.rows
        ]


@given(texts)
def test_escaped_text_is_one_line(text: str) -> None:
    assert "\n" not in escaped(text)
    assert "\r" not in escaped(text)


def test_figures_stand_flush_right_and_text_flush_left() -> None:
    table = Table("t", ("chore", "minutes", "lately"), [("oven", 40, None), ("sink", 5, 7.5)])
    rule = to_markdown([table]).splitlines()[3]
    assert [(cell[0], cell[-1]) for cell in rule.strip("|").split("|")] == [
        (":", "-"), ("-", ":"), ("-", ":"),
    ]  # fmt: skip


def test_table_without_rows_is_left_out_of_markdown_and_is_its_headers_in_csv() -> None:
    table = Table("t", ("day", "chore"), [])
    assert to_markdown([table]) == ""
    assert to_csv(table) == "day,chore\r\n"


# --------------------------------------------------------------------- due and week as tables


@pytest.fixture(scope="module")
def example() -> Household:
    return read_household([Path(__file__).parents[1] / EXAMPLE]).household


@pytest.mark.parametrize("on", ["2026-03-04", "2026-07-20", "2026-11-25"])
def test_table_of_the_day_has_a_row_a_task_and_their_minutes(example: Household, on: str) -> None:
    answer = due(example, day(on))
    (first,) = due_tables(answer)
    gone = tuple(one.task for one in answer.let_go)
    lists = (answer.late, answer.today, answer.waiting, gone, answer.may_wait, answer.done)
    assert len(first.rows) == sum(map(len, lists))
    rows = [dict(zip(first.headers, row, strict=True)) for row in first.rows]
    assert [row["chore"] for row in rows] == [task.chore for tasks in lists for task in tasks]
    must = [row for row in rows if row["list"] in ("late", "today")]
    spent = sum(figure(row["minutes"]) * figure(row["times"]) for row in must)
    assert spent == answer.minutes


def figure(cell: Cell) -> int:
    assert cell is None or isinstance(cell, int)
    return cell or 0


def pairs(table: Table) -> list[tuple[Cell, Cell]]:
    return [(row[0], row[1]) for row in table.rows]


def test_table_of_a_pick_says_what_each_task_counts_and_why_it_is_left(example: Household) -> None:
    on = day("2026-11-25")
    answer = due(example, on, minutes=15)
    (first,) = due_tables(answer)
    rows = [dict(zip(first.headers, row, strict=True)) for row in first.rows]
    picked = [row for row in rows if row["list"] == "picked"]
    assert {row["why left"] for row in picked} == {None}
    assert {row["why left"] for row in rows if row["list"] == "left"} == {
        "no room", "too long", "after wash-up"
    }  # fmt: skip
    assert answer.pick is not None
    assert answer.pick.used == sum(figure(row["counted"]) for row in picked) <= 15


@pytest.mark.parametrize("on", ["2026-03-04", "2026-07-15", "2026-11-25"])
def test_table_of_the_week_has_a_row_a_task_with_its_day(example: Household, on: str) -> None:
    answer = week(example, day(on))
    (first,) = week_tables(answer)
    placed = [(one.day, task.chore) for one in answer.days for task in one.tasks]
    beyond = [(None, task.chore) for task in answer.may_wait]
    assert pairs(first) == [*placed, *beyond]


@pytest.mark.parametrize("command", ["due", "week"])
def test_cautions_in_markdown_end_with_the_last_word(tmp_path: Path, command: str) -> None:
    book = "since 2026-03-01\nevery day\n  oven  5 min  uses lye\n"
    (tmp_path / "home.chores").write_text(book, "utf-8")
    said = besom(command, str(tmp_path), "--on", "2026-03-04", "--as", "markdown").stdout
    mind = said.partition("\n## Mind\n\n")[2]
    assert mind.startswith("- lye: ")
    assert mind.endswith(f"\n\n{LAST_WORD}\n")


@pytest.mark.parametrize("command", ["due", "week"])
def test_command_prints_csv_that_is_read_back_the_same(
    monkeypatch: pytest.MonkeyPatch, example: Household, command: str
) -> None:
    monkeypatch.chdir(Path(__file__).parents[1])
    said = besom(command, EXAMPLE, "--on", "2026-11-25", "--as", "csv").stdout_bytes.decode("utf-8")
    on = day("2026-11-25")
    table = (due_tables(due(example, on)) if command == "due" else week_tables(week(example, on)))[
        0
    ]
    assert said == to_csv(table)


def test_title_that_is_a_formula_is_harmless_in_a_spreadsheet(tmp_path: Path) -> None:
    book = 'since 2026-03-01\nevery day\n  oven  5 min  "=HYPERLINK(1)"\n'
    (tmp_path / "home.chores").write_text(book, "utf-8")
    said = besom("due", str(tmp_path), "--on", "2026-03-04", "--as", "csv").stdout
    assert next(csv.DictReader(io.StringIO(said)))["title"] == "'=HYPERLINK(1)"
