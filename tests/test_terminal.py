"""Terminal: texts fit any width, colours come where they may, and days to come are days kept."""

from __future__ import annotations

import os
import pty
import re
import subprocess
import sys
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path

import pytest
from books import day
from hypothesis import given, settings
from hypothesis import strategies as st
from random_homes import live, random_home
from test_cli import EXAMPLE, ROOT, VERSIONS, besom, stop_clock

from ledger.homes import read_household
from ledger.household.model import Household
from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.render.ahead_text import ahead_text
from ledger.render.areas_text import areas_text
from ledger.render.cautions_text import cautions_text
from ledger.render.chore_text import chore_text
from ledger.render.due_text import due_text
from ledger.render.findings_text import findings_text
from ledger.render.layout import DONE, LATE, VITAL, Sheet
from ledger.render.lighten_text import lighten_text
from ledger.render.review_text import review_text
from ledger.render.rows import row_lines
from ledger.render.week_text import week_text
from ledger.report.ahead import ahead
from ledger.report.areas import areas
from ledger.report.chore import about
from ledger.report.due import due
from ledger.report.lighten import lighten
from ledger.report.review import review
from ledger.report.scope import Scope
from ledger.report.week import week
from ledger.text.source import Source
from ledger.text.width import width
from ledger.workspace import Workspace, read_sources

WIDTHS = (40, 60, 80, 120, 160)
DAY = "2026-03-04"


def workspace_of(text: str, today: int) -> Workspace:
    return read_sources([Source("home.chores", text)]).on(today)


def texts(workspace: Workspace, on: int, sheet: Sheet) -> Iterator[tuple[str, str]]:
    """What each renderer says of a book on a day, by its name."""
    household = workspace.household
    person = next(iter(household.people), None)
    yield "due", due_text(due(household, on), sheet)
    yield "due, all", due_text(due(household, on), sheet, everything=True, steps=True)
    yield "due, minutes", due_text(due(household, on, minutes=30), sheet)
    yield "due, person", due_text(due(household, on, Scope(person)), sheet)
    yield "due, to come", due_text(due(household, on + 3), sheet)
    yield "week", week_text(week(household, on), sheet)
    yield "week, to come", week_text(week(household, on + 9, Scope(person)), sheet)
    yield "review", review_text(review(household, on, 2), sheet)
    yield "areas", areas_text(areas(household, on), sheet)
    yield "ahead", ahead_text(ahead(household, on, 1), sheet)
    for name in [*household.chores][:3]:
        yield f"chore {name}", chore_text(about(household, name, on), sheet)
    found = lint(LintedBook(workspace.trees, household), workspace.findings)
    yield "lint", findings_text(found, 1, 1, sheet=sheet)


def too_wide(text: str, across: int) -> list[str]:
    """The lines beyond a width that are not one single word or call; a book's own lines, which lint
    cuts around the place that it marks, may end in a part of a word."""
    lines = (line.strip() for line in text.splitlines() if width(line) > across)
    return [line for line in lines if " " in line and not re.fullmatch("`[^`]*`", line)]


# -------------------------------------------------------------------------------- the width


@settings(max_examples=12, deadline=None)
@given(st.integers(0, 9999), st.integers(40, 160), st.booleans())
def test_no_line_of_any_text_is_wider_than_the_screen(seed: int, across: int, color: bool) -> None:
    home = random_home(seed)
    record = live(home, lambda _text, _day: [], seed, days=12)
    workspace = workspace_of(home.text(record), home.first + 12)
    for name, text in texts(workspace, home.first + 12, Sheet(across, color)):
        assert too_wide(text, across) == [], name
        assert all(line == line.rstrip() for line in text.splitlines()), name


@pytest.mark.parametrize("across", WIDTHS)
def test_no_text_of_the_example_is_wider_than_the_screen_or_cuts_a_word(across: int) -> None:
    workspace = read_household([ROOT / EXAMPLE]).on(day("2026-11-20"))
    wide = dict(texts(workspace, day("2026-11-20"), Sheet(4000)))
    for name, text in texts(workspace, day("2026-11-20"), Sheet(across)):
        assert too_wide(text, across) == [], name
        assert "…" not in text or name == "lint"
        if name not in ("ahead", "lint"):
            # Every word of the widest sheet is there, whole.
            words = set(re.findall(r"[\w-]+", wide[name]))
            assert words <= set(re.findall(r"[\w-]+", text)), name


@pytest.mark.parametrize("across", WIDTHS)
def test_moves_cautions_and_comparisons_fit_too(across: int) -> None:
    sheet = Sheet(across)
    after = read_household([ROOT / EXAMPLE]).on(day(DAY))
    answer = lighten(after.household, day(DAY), 2).answer
    assert answer.moves
    assert too_wide(lighten_text(answer, sheet), across) == []
    for thing in (None, "bleach", "ammonia", "ladder"):
        text = cautions_text(sheet, thing)
        assert len(text.split()) > 30
        assert too_wide(text, across) == []
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(ROOT)
        patch.setenv("COLUMNS", str(across))
        said = besom("compare", *VERSIONS, "--on", DAY)
    assert "->" in said.stdout
    assert too_wide(said.stdout, across) == []


cells = st.text(st.sampled_from("ab 窓,-"), max_size=30).map(lambda text: " ".join(text.split()))


@given(
    st.integers(1, 4).flatmap(
        lambda n: st.lists(st.lists(cells, min_size=n, max_size=n), min_size=1, max_size=4)
    ),
    st.integers(20, 100),
    st.sets(st.integers(0, 3)),
)
def test_rows_keep_all_words_in_order_of_their_cells(
    rows: list[list[str]], across: int, right: set[int]
) -> None:
    lines = row_lines(rows, across, "  ", right - {0})
    for line in lines:
        assert width(line) <= across or " " not in line.strip() or len(rows[0]) > 1
    said = sorted("".join("".join(lines).replace(",", "").split()))
    meant = "".join(cell for row in rows for cell in row if cell != "-")
    kept = sorted(meant.replace(",", "").replace(" ", ""))
    dashes = sum(row.count("-") for row in rows)
    assert len(said) - len(kept) in range(dashes + 1)


@pytest.mark.parametrize(
    ("columns", "expected"),
    [("40", 40), ("7", 40), ("100", 100), ("160", 160), ("999", 160), ("", 80), ("0", 80),
     ("wide", 80), ("-5", 80), ("٣٠٠", 160), ("9" * 5000, 80)],
)  # fmt: skip
def test_width_is_what_columns_says_between_its_bounds(
    monkeypatch: pytest.MonkeyPatch, columns: str, expected: int
) -> None:
    from ledger.cli.output import columns_across

    monkeypatch.setenv("COLUMNS", columns)
    assert columns_across() == expected


# ------------------------------------------------------------------------------- the colours


def on_terminal(*words: str, **environment: str) -> str:
    """What a command writes to a terminal of 60 columns."""
    from fcntl import ioctl
    from struct import pack
    from termios import TIOCSWINSZ

    reading, writing = pty.openpty()
    ioctl(writing, TIOCSWINSZ, pack("HHHH", 24, 60, 0, 0))
    cleared = {
        key: value for key, value in os.environ.items() if key not in ("COLUMNS", "NO_COLOR")
    }
    process = subprocess.Popen(
        [sys.executable, "-m", "ledger", *words], cwd=ROOT, stdout=writing, stderr=writing,
        stdin=subprocess.DEVNULL, env={**cleared, "TERM": "xterm", **environment},
    )  # fmt: skip
    os.close(writing)
    said = b""
    while True:
        try:
            some = os.read(reading, 1 << 16)
        except OSError:
            break
        if not some:
            break
        said += some
    os.close(reading)
    assert process.wait() == 0
    return said.decode("utf-8").replace("\r\n", "\n")


CALL = ("due", EXAMPLE, "--on", "2026-11-20")
LATE_CALL = ("due", EXAMPLE, "--on", "2026-11-16")
LIVELY = re.compile("\x1b\\[(31|32|1|0)m")


def test_terminal_gets_its_width_and_its_colours_and_the_words_are_the_same() -> None:
    coloured = on_terminal(*LATE_CALL)
    assert "\x1b[31mLate\x1b[0m\n" in coloured
    assert "\x1b[32mDone\x1b[0m: " in coloured
    plain = on_terminal(*LATE_CALL, "--color", "never")
    assert LIVELY.sub("", coloured) == plain
    assert max(map(width, plain.splitlines())) <= 60 < 80
    assert on_terminal(*LATE_CALL, NO_COLOR="1") == on_terminal(*LATE_CALL, TERM="dumb") == plain
    assert on_terminal(*LATE_CALL, COLUMNS="60", NO_COLOR="") == coloured


def test_colours_may_be_asked_for_in_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    plain = besom(*LATE_CALL).stdout
    assert "\x1b" not in plain
    monkeypatch.setenv("NO_COLOR", "1")
    assert LIVELY.sub("", besom(*LATE_CALL, "--color", "always").stdout) == plain
    assert "\x1b[31m3 days late\x1b[0m" in besom(*LATE_CALL, "--color", "always").stdout
    # The choice of one call is not that of the next.
    assert besom(*LATE_CALL).stdout == plain


def test_book_can_bring_no_mark_and_no_colour(tmp_path: Path) -> None:
    for mark in (LATE, VITAL, DONE, "\u206f", "\x1b[31m"):
        book = f'every day "tin{mark}"\n    x  5 min  "cups{mark}"\n'
        (tmp_path / "home.chores").write_text(book, "utf-8")
        said = besom("due", str(tmp_path), "--color", "always").stdout
        assert "Thursday" in said or "day " in said
        assert "\x1b" not in said
        assert mark not in said


# ----------------------------------------------------------------------------- days to come


def kept_by_hand(text: str, today: int, on: int) -> Household:
    """A home in which someone does each day all that its list asks for; what comes round so many
    days after it was done, as soon as it may be."""
    for now in range(today, on):
        answer = due(workspace_of(text, now).household, now)
        sooner = [task for task in answer.may_wait if task.container.endswith("after done")]
        for task in (*answer.late, *answer.today, *sooner):
            if not task.spare:
                by = f" by {', '.join(task.people)}" if task.each else ""
                text += f"{date.fromordinal(now)} did {task.chore}{by}\n"
    return workspace_of(text, on).household


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 9999), st.integers(1, 12))
def test_list_of_a_day_to_come_is_that_of_a_home_that_was_kept(seed: int, days: int) -> None:
    home = random_home(seed)
    today = home.first + 5
    text = home.text()
    planned = due(workspace_of(text, today).household, today + days)
    kept = due(kept_by_hand(text, today, today + days), today + days)
    for name in ("late", "today", "may_wait"):
        asked = [(task.chore, task.first, task.last) for task in getattr(planned, name)]
        assert asked == [(task.chore, task.first, task.last) for task in getattr(kept, name)], name


def test_week_to_come_begins_with_all_done_before(monkeypatch: pytest.MonkeyPatch) -> None:
    workspace = read_household([ROOT / EXAMPLE]).on(day("2026-11-20"))
    answer = week(workspace.household, day("2026-11-25"))
    assert (str(answer.on), str(answer.kept_from)) == ("2026-11-23", "2026-11-20")
    tasks = [task for one in answer.days for task in one.tasks]
    assert {task.state for task in tasks} == {"due"}
    now = week(workspace.household, day("2026-11-22"))
    assert (str(now.on), now.kept_from) == ("2026-11-20", None)


# ------------------------------------------------------------------------- pages and findings


def test_page_has_a_box_for_each_chore_and_ticks_what_is_done(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.chdir(ROOT)
    stop_clock(monkeypatch, datetime(2026, 11, 20, 20))
    page = besom(*CALL, "--as", "markdown").stdout
    answer = due(read_household([ROOT / EXAMPLE]).household, day("2026-11-20"))
    lists = answer.late, answer.today, answer.waiting, answer.let_go, answer.may_wait
    count = sum(map(len, lists))
    assert page.count("\n- [ ] ") == count
    assert page.count("\n- [x] ") == len(answer.done)
    assert "- [ ] Test the smoke alarms (5 min, planned Sat 21 Nov, 7 days late)\n" in page
    assert "## Mind\n\n- ladder: " in page
    week_page = besom("week", *CALL[1:], "--as", "markdown").stdout
    assert week_page.startswith("# Week of Monday 16 November 2026")
    assert "\n## Saturday 21 November: 1 h 15 min of 2 h 30 min\n" in week_page
    assert "- [ ] Scrub out the bins (15 min, noor, until Sun 22 Nov)\n" in week_page


def test_brief_findings_are_a_line_each(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    monkeypatch.setenv("COLUMNS", "40")
    call = ("lint", "tests/golden/faulty.chores", "--on", DAY, "--as")
    brief = besom(*call, "brief")
    lines = brief.stdout.splitlines()
    assert brief.exit_code == 1
    assert len(lines) == besom(*call, "json").stdout.count('"rule":') > 5
    for line in lines:
        assert re.fullmatch(
            r"tests/golden/faulty\.chores:\d+:\d+: (error|warning|note): .* \[[a-z-]+\]", line
        )


def test_thing_is_explained_and_one_that_nobody_knows_gets_the_nearest() -> None:
    said = " ".join(besom("explain", "bleach").stdout.split())
    assert "bleach / ammonia give off chloramine gas" in said
    wrong = besom("explain", "bleech")
    assert (wrong.exit_code, "did you mean `bleach`?" in wrong.stderr) == (2, True)
    assert besom("explain", "bleach", "--as", "markdown").stdout.count("| bleach") > 5
