"""The sheet, seen from outside: its page on its paper, its holes, its columns, and what it says."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Iterator
from datetime import datetime
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import Any

import pytest
import typst
from books import day, house
from paper_pages import Box, Page, pages_of, room_before, spoken, unembedded
from test_cli import DAY, EXAMPLE, besom, stop_clock

import ledger
from ledger.household.things import LAST_WORD
from ledger.render.paper.contents import marks_of
from ledger.render.paper.typesetting import PACKAGES
from ledger.report.chore_lines import lines_of
from ledger.report.routine import routine

SLACK = 0.1
"""Millimetres that a place or a size may be off."""
A4, A5, A6 = (210.0, 297.0), (148.0, 210.0), (105.0, 148.0)
"""ISO 216, trimmed sizes, A series, from memory."""
LETTER, HALF_LETTER = (8.5 * 25.4, 11 * 25.4), (5.5 * 25.4, 8.5 * 25.4)
BOOK = """\
household "12 Quarry Lane"
since 2026-01-01
person noor
person nadia
person tam
area kitchen
area hall "Hall and stairs"
limit weekday 45 min
limit tam 1 h
limit tam weekend 2 h

every day "Morning tin"
    beds    2 min  by each
    dishes  4 min  in kitchen  by noor or tam  vital  "Put the dishes away"
    sweep   3 min  in hall, kitchen  by noor then nadia
    kettle
every weekend except december
    oven    1 h     in kitchen  uses lye
    bins   10 min   uses lye, bleach
every week
    mow    20 min  by tam and noor
every week during may to september
    weed   20 min  by each of tam, noor
every month spare
    photos  30 min  by nadia
weekend 5 paused
    shed    1 h
"""


@pytest.fixture(autouse=True)
def on_a_day_of_2026(monkeypatch: pytest.MonkeyPatch) -> None:
    stop_clock(monkeypatch, datetime(2026, 3, 4, 20))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A folder with a small book."""
    (tmp_path / "home.chores").write_text(BOOK, "utf-8")
    return tmp_path


def many(folder: Path, *sections: int) -> Path:
    """A folder with a book whose sections have so many chores."""
    lines = ['household "12 Quarry Lane"', "since 2026-01-01"]
    for number, count in enumerate(sections):
        lines.append(f'every day "Tin {number}"')
        lines += [f'    q{number}-{n}  5 min  "Wipe the shelf {n}"' for n in range(count)]
    (folder / "home.chores").write_text("\n".join(lines) + "\n", "utf-8")
    return folder


def sheets(book: object, *words: str) -> list[Page]:
    """The pages of the sheet of a book."""
    result = besom("paper", "sheet", str(book), *words)
    assert (result.exit_code, result.stderr) == (0, "")
    assert unembedded(result.stdout_bytes) == set()
    return pages_of(result.stdout_bytes)


def refused(book: object, *words: str) -> str:
    """The error of a call that ends with 2 and prints nothing."""
    result = besom("paper", "sheet", str(book), *words)
    assert (result.exit_code, result.stdout_bytes) == (2, b"")
    return " ".join(result.stderr.partition("Error: ")[2].split())


@pytest.fixture(scope="module")
def example() -> Page:
    """The sheet of the example on the day of these tests, with two holes."""
    (page,) = sheets(EXAMPLE, "--punch", "2", "--on", DAY)
    return page


def said(page: Page) -> str:
    """The words of a page, without the bar's."""
    words = [word.text for word in page.words]
    assert words[:2] == ["50", "mm"]
    return " ".join(words[2:])


def placed(page: Page, size: tuple[float, float]) -> Box:
    """A page of a size in the middle of its paper."""
    left, top = (page.width - size[0]) / 2, (page.height - size[1]) / 2
    return Box(left, top, left + size[0], top + size[1])


def body_size(page: Page) -> float:
    """The size of the type in which chores are set."""
    (size,) = {round(word.size, 2) for word in page.words if word.text in ("Wipe", "shelf")}
    return size


# ---------------------------------------------------------------------------- page and paper


@pytest.mark.parametrize(
    ("words", "size", "paper"),
    [
        ([], A5, A4),
        (["--page", "A4"], A4, A4),
        (["--page", "A6"], A6, A4),
        (["--page", "letter"], LETTER, LETTER),
        (["--page", "half-letter"], HALF_LETTER, LETTER),
        (["--page", "148x210mm", "--paper", "A5"], A5, A5),
        (["--page", "250x100mm"], (250.0, 100.0), A4[::-1]),
        (["--page", "300x200mm"], (300.0, 200.0), (300.0, 200.0)),
    ],
)
def test_page_lies_in_the_middle_of_its_paper_with_marks_on_its_cuts(
    book: Path, words: list[str], size: tuple[float, float], paper: tuple[float, float]
) -> None:
    (page,) = sheets(book, *words)
    assert (page.width, page.height) == pytest.approx(paper, abs=SLACK)
    cut = placed(page, size)
    bar, *rest = page.words
    assert bar.text == "50"
    assert all(cut.holds(word.box, -3) for word in rest[1:])
    beside = [
        line
        for line in page.lines
        if not cut.holds(line, -1) and abs(line.width - 50) > SLACK and line.width + line.height > 2
    ]
    upright = sorted(line.left for line in beside if line.width < SLACK)
    lying = sorted(line.top for line in beside if line.height < SLACK)
    expected = [cut.left] * 2 + [cut.right] * 2 if size[0] < paper[0] - 1 else []
    assert upright == pytest.approx(expected, abs=SLACK)
    expected = [cut.top] * 2 + [cut.bottom] * 2 if size[1] < paper[1] - 1 else []
    assert lying == pytest.approx(expected, abs=SLACK)


def test_bar_measures_50_mm(book: Path) -> None:
    for words in ([], ["--page", "A4"]):
        (page,) = sheets(book, *words)
        word, *_ = page.words
        (bar,) = [
            line
            for line in page.lines
            if line.height < SLACK
            and 49 < line.width < 51
            and word.box.top < line.top < word.box.bottom
        ]
        assert bar.width == pytest.approx(50, abs=SLACK)
        ends = {round(line.left - bar.left, 1) for line in page.lines if 1.5 < line.height < 1.7}
        assert ends == {0.0, 50.0}


@pytest.mark.parametrize(
    ("words", "size", "centres", "edge", "diameter"),
    [
        # ISO 838 (1974): two holes of 6 mm, 80 mm apart, 12 mm from the edge; from memory.
        (["--punch", "2"], A5, [-40, 40], 12, 6),
        (["--punch", "4", "--page", "A4"], A4, [-120, -40, 40, 120], 12, 6),
        # Common practice, from memory.
        (["--punch", "3", "--page", "letter"], LETTER, [-107.95, 0, 107.95], 12.7, 7),
        (["--punch", "3", "--page", "half-letter"], HALF_LETTER, [-69.85, 0, 69.85], 12.7, 7),
        (["--punch", "6"], A5, [-73, -54, -35, 35, 54, 73], 6.5, 5.5),
        (["--punch", "6", "--page", "95x171mm"], (95, 171),
         [-63.5, -44.5, -25.5, 25.5, 44.5, 63.5], 6.5, 5.5),
        (["--punch", "4x45 mm"], A5, [-67.5, -22.5, 22.5, 67.5], 12, 6),
    ],
)  # fmt: skip
def test_holes_lie_at_their_measures_and_are_free_of_text(
    book: Path,
    words: list[str],
    size: tuple[float, float],
    centres: list[float],
    edge: float,
    diameter: float,
) -> None:
    (page,) = sheets(book, *words)
    cut = placed(page, size)
    holes = [box for box in page.curves if abs(box.width - diameter) < SLACK]
    x, middle = cut.left + edge, cut.middle[1]
    assert [hole.middle for hole in holes] == [
        pytest.approx((x, middle + centre), abs=SLACK) for centre in centres
    ]
    assert all(hole.height == pytest.approx(diameter, abs=SLACK) for hole in holes)
    for hole in holes:
        for word in page.words:
            assert word.box.left > hole.right + 2, word


# ---------------------------------------------------------------------------- what it says


def test_sheet_says_all_of_a_small_book(book: Path) -> None:
    (page,) = sheets(book)
    assert said(page) == (
        "12 Quarry Lane "
        "Morning tin 13 min every day beds each 3×2 "
        "1 Put the dishes away vital No or T 4 2 1 sweep No then Na 3 kettle – "
        "every weekend 1 h 10 min except december 1 oven lye 60 bins lye, bleach 10 "
        "every week 1 h 20 min mow T and No 2×20 "
        "weed during may to september each of T, No 2×20 "
        "every month photos spare Na (30) "
        "Areas 1 kitchen 2 Hall and stairs People No noor Na nadia T tam "
        "Limits weekday 45 min tam, any day 1 h tam, weekend 2 h "
        "Signs 3×2 3 people, 2 min each – minutes not known vital on days of rest too "
        "spare only when time is left, in no total "
        "Mind lye: it burns skin and eyes at once: gloves and goggles; never with acid or any "
        "other product (National Capital Poison Center, caution with caustics, 2008). "
        "bleach: mix it with nothing but water, as its label says; open a window; wear gloves "
        f"(CDC, cleaning and disinfecting notice CS316270A, 2020 (copy)). {LAST_WORD}"
    )


def titles_and_minutes() -> Iterator[tuple[str, list[tuple[str, int]]]]:
    """The containers of the example with their chores, by the model of the book."""
    household, on = ledger.load(EXAMPLE).household, day(DAY)
    held: dict[str, list[tuple[str, int]]] = {}
    for name, chore in household.chores.items():
        for line in lines_of(household, name, on):
            if line.status in ("in-force", "to-come"):
                held.setdefault(line.container, []).append((chore.title, line.minutes or 0))
    yield from held.items()


def test_titles_of_the_example_are_read_back_in_their_sections(example: Page) -> None:
    assert all(word.size >= 5.99 for word in example.words)
    # Words that are broken at the end of a line have no blank between their parts.
    text = said(example).replace(" ", "")
    for title, chores in titles_and_minutes():
        at = text.index(spoken(title).replace(" ", ""))
        section = text[at:]
        places = [
            found.start()
            for chore, minutes in chores
            for found in [
                re.search(rf"{re.escape(chore.replace(' ', ''))}[^0-9]*.*?{minutes}", section)
            ]
            if found
        ]
        assert len(places) == len(chores), title


def test_no_word_lies_on_another(example: Page) -> None:
    words = sorted(example.words, key=lambda word: word.box.left)
    for number, one in enumerate(words):
        for other in words[number + 1 :]:
            if other.box.left > one.box.right - 0.2:
                break
            # The box of a letter has room for the highest and the lowest there are.
            over = min(one.box.bottom, other.box.bottom) - max(one.box.top, other.box.top)
            assert over < 0.3 * min(one.box.height, other.box.height), (one, other)


def test_all_is_black_on_white(book: Path) -> None:
    import pdfplumber

    pdf = book / "sheet.pdf"
    assert besom("paper", "sheet", str(book), "-o", str(pdf)).exit_code == 0
    with pdfplumber.open(pdf) as document:
        (page,) = document.pages
        drawn = [*page.lines, *page.curves, *page.rects]
        colours = [one["stroking_color"] for one in drawn if one["stroke"]]
        colours += [one["non_stroking_color"] for one in page.chars]
        colours += [one["non_stroking_color"] for one in drawn if one["fill"]]
    assert {sum(one) if isinstance(one, tuple) else one for one in colours} == {0}


def test_mark_of_a_person_is_as_short_as_it_can_be_told_from_others() -> None:
    people = ["noor", "Nora", "tam", "tamsin", "édouard"]
    lines = [f"person {name}" for name in people]
    on = day(DAY)
    home = house("since 2026-01-01", *lines, "every day", "    a  by each")
    marks = marks_of(routine(home.on(on), on)).by_name
    assert dict(marks) == {
        "noor": "Noo", "Nora": "Nor", "tam": "Tam", "tamsin": "Tams", "édouard": "É",
    }  # fmt: skip


def test_each_is_said_of_all_the_people_of_the_book_only() -> None:
    people = ["noor", "tam", "edie"]
    lines = [f"person {name}" for name in people]
    on = day(DAY)
    for by, words in (("each", "each"), ("each of noor, tam", "each of N, T")):
        home = house("since 2026-01-01", *lines, "every day", f"    a  by {by}")
        answer = routine(home.on(on), on)
        (chore,) = answer.containers[0].chores
        assert marks_of(answer).who(chore.line) == words


def test_dates_are_spoken_and_those_that_all_share_stand_once(tmp_path: Path) -> None:
    text = """\
since 2026-01-01
every 3 months from 2026-12-01 "Season box"
    gutters  45 min
    chimney  30 min  until 2028-02-03
once from 2026-06-01 to 2026-06-21
    gate  60 min
"""
    (tmp_path / "home.chores").write_text(text, "utf-8")
    (page,) = sheets(tmp_path)
    assert said(page).startswith(
        "Our routine Season box 1 h 15 min every 3 months, from 1 December 2026 gutters 45 "
        "chimney until 3 February 2028 30 once from 1 June 2026 to 21 June 2026 1 h gate 60"
    )


@pytest.mark.parametrize("width", [95, 101, 107, 113, 119, 125, 131])
def test_people_minutes_and_dots_keep_their_distance(tmp_path: Path, width: int) -> None:
    lines = [
        f'    q{n}  {n + 1} min  by {"noor" if n % 3 else "tam"}  uses lye  "Wipe {"i" * n}"'
        for n in range(24)
    ]
    text = "\n".join(["since 2026-01-01", "person noor", "person tam", "every day", *lines])
    (tmp_path / "home.chores").write_text(text + "\n", "utf-8")
    (page,) = sheets(tmp_path, "--page", f"{width}x110mm")
    marks = [word for word in page.words if word.text in ("N", "T")]
    figures = [word for word in page.words[2:] if word.text.isdecimal()]
    assert len(figures) >= 24 <= len(marks)
    for word in (*marks[:24], *figures[:24]):
        assert room_before(word, page.words) > 1.4, word
    dots = [line for line in page.lines if line.height < SLACK and line.width < width / 3]
    for line in dots:
        for word in page.words:
            if word.box.top < line.top < word.box.bottom + SLACK:
                room = max(word.box.left - line.right, line.left - word.box.right)
                assert room > 1.4, (line, word)


# ---------------------------------------------------------------------------- how it fills its page


def columns(page: Page) -> list[float]:
    """Where the columns of a page begin, from the left."""
    return sorted({round(word.box.left) for word in page.words if word.text == "Tin"})


def test_type_grows_to_fill_the_page(tmp_path: Path) -> None:
    sizes = []
    for count in (5, 11):
        (page,) = sheets(many(tmp_path, *[count] * 4))
        sizes.append(body_size(page))
        lowest = max(word.box.bottom for word in page.words[2:])
        assert lowest > placed(page, A5).bottom - 20
    assert sizes[0] > sizes[1]
    assert sizes[-1] >= 6


def test_pages_are_numbered_and_rows_are_not_pulled_apart(tmp_path: Path) -> None:
    book = many(tmp_path, 5, 3, 4)
    (page,) = sheets(book)
    assert " of " not in said(page)
    pages = sheets(book, "--page", "120x297mm", "--pages", "3")
    assert [said(page)[-6:] for page in pages] == ["1 of 3", "2 of 3", "3 of 3"]
    for page in pages:
        cut = placed(page, (120, 297))
        assert all(cut.holds(word.box, -3) for word in page.words[2:])
        rows = [word for word in page.words if word.text == "Wipe"]
        for above, below in pairwise(rows):
            assert below.box.top - above.box.top < 0.65 * above.size


def test_sections_stay_whole_in_their_column(tmp_path: Path) -> None:
    (page,) = sheets(many(tmp_path, 9, 7, 8, 6, 9, 5))
    starts = columns(page)
    assert len(starts) > 1
    words = page.words[2:]
    here: int | None = None
    for word, after in pairwise(words):
        column = sum(start <= word.box.left + 1 for start in starts)
        if word.text == "Tin":
            here = column
        elif word.text == "Wipe":
            assert column == here, after
    assert "(continued)" not in said(page)


def test_section_higher_than_a_column_goes_on_below_its_heading(tmp_path: Path) -> None:
    (page,) = sheets(many(tmp_path, 45))
    text, starts = said(page), columns(page)
    assert text.count("Tin 0") == len(starts) > 1
    assert text.count("Tin 0 (continued)") == len(starts) - 1
    assert re.findall(r"shelf (\d+) 5\b", text) == [str(n) for n in range(45)]


def test_more_than_fits_is_told_with_the_pages_that_hold_it(tmp_path: Path) -> None:
    book = many(tmp_path, *[20] * 6)
    told = refused(book, "--page", "90x130mm")
    found = re.fullmatch(
        r"the routine needs (\d+) pages of 90 x 130 mm at 6 pt, the smallest type; add "
        r"`--pages (\d+)`, or name a larger page: `--page PAGE`",
        told,
    )
    assert found, told
    assert found[1] == found[2] != "1"
    pages = sheets(book, "--page", "90x130mm", "--pages", found[1])
    assert len(pages) == int(found[1])
    text = " ".join(said(page) for page in pages)
    assert len(re.findall(r"Wipe the shelf \d+ 5", text)) == 120
    assert all(said(page).startswith("12 Quarry Lane") for page in pages)
    assert min(word.size for page in pages for word in page.words) >= 5.99


def test_any_title_stays_in_its_page(tmp_path: Path) -> None:
    long, code = "W" * 200, '#panic() $x$ *a* _b_ // \\"c\\" <d> @e [f'
    text = (
        f'household "{long}"\nsince 2026-01-01\nperson {"n" * 90}\narea k "{long}"\n'
        f'every day "{long} {code}"\n    a  5 min  in k  by {"n" * 90}  "{long}"\n    b  "{code}"\n'
    )
    (tmp_path / "home.chores").write_text(text, "utf-8")
    (page,) = sheets(tmp_path)
    cut = placed(page, A5)
    assert all(cut.holds(word.box, -3) for word in page.words[2:])
    joined = said(page).replace(" ", "")
    assert joined.count(long) == 4
    assert joined.count(code.replace("\\", "").replace(" ", "")) == 2


def test_no_larger_type_would_fit(tmp_path: Path) -> None:
    # A section of three rows is broken in no case.
    book = many(tmp_path, 3, 3, 3, 3, 3)
    (page,) = sheets(book)
    larger = body_size(page) + 0.25
    ours = besom("paper", "sheet", str(book), "--show-template").stdout
    theirs = ours.replace("    floor: floor,", f"    floor: {larger}pt,")
    assert ours != theirs
    (tmp_path / "larger.typ").write_text(theirs, "utf-8")
    told = refused(book, "--template", str(tmp_path / "larger.typ"))
    assert "needs 2 pages of A5" in told


SHARING = """\
#import "columns.typ": shared-out
#for case in json(bytes(sys.inputs.cases)) [#metadata(shared-out(
  case.sections.map(one => (heading: one.heading * 1pt, rows: one.rows.map(row => row * 1pt))),
  case.rooms.map(room => room * 1pt), 2pt, case.broken,
)) <shares>]
"""


def random_cases(count: int) -> list[dict[str, Any]]:
    """Sections with the heights of their rows, and the heights of the columns."""
    chance = Random(20)
    return [
        {
            "sections": [
                {
                    "heading": chance.randint(1, 4),
                    "rows": [chance.randint(1, 3) for _ in range(chance.choice([1, 2, 3, 9, 20]))],
                }
                for _ in range(chance.randint(1, 5))
            ],
            "rooms": [chance.randint(8, 40) for _ in range(chance.randint(1, 6))],
            "broken": chance.random() < 0.5,
        }
        for _ in range(count)
    ]


def test_rows_are_shared_out_whole_in_order_and_never_alone(tmp_path: Path) -> None:
    cases = random_cases(400)
    shutil.copy(PACKAGES / "besom/paper/1.0.0/columns.typ", tmp_path)
    (tmp_path / "cases.typ").write_text(SHARING, "utf-8")
    answer = typst.query(
        str(tmp_path / "cases.typ"), "<shares>", field="value",
        sys_inputs={"cases": json.dumps(cases)},
    )  # fmt: skip
    fitting = 0
    for case, shares in zip(cases, json.loads(answer), strict=True):
        if shares is None:
            continue
        fitting += 1
        sections, rooms = case["sections"], case["rooms"]
        rows = [(s, row) for column in shares for s, a, b in column for row in range(a, b)]
        assert rows == [
            (s, row) for s, one in enumerate(sections) for row in range(len(one["rows"]))
        ]
        for room, column in zip(rooms, shares, strict=False):
            parts = [sections[s]["heading"] + sum(sections[s]["rows"][a:b]) for s, a, b in column]
            assert sum(parts) + 2 * (len(parts) - 1) <= room
        for s, first, last in (part for column in shares for part in column):
            count = len(sections[s]["rows"])
            whole = sections[s]["heading"] + sum(sections[s]["rows"])
            if (first, last) != (0, count):
                assert last - first >= 2
                assert case["broken"] or whole > max(rooms)
    assert 50 < fitting < 350


# ---------------------------------------------------------------------------- calls


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        (["--page", "A3"], '--page: "A3" is no page; write A4, A5, A6, letter, half-letter'),
        (["--page", "60x60mm"], "a page of 60 x 60 mm is too small"),
        (["--page", "A4", "--paper", "A5"],
         "a page of 210 x 297 mm does not fit on a paper of 148 x 210 mm"),
        (["--punch", "5"], '"5" is no row of holes; write 2, 3, 4, 6, or how many and how far'),
        (["--punch", "4"], "holes by `--punch 4` need a page 251 mm high; this one has 210 mm"),
        (["--punch", "9x0mm"], "no length from 1 to 2000 mm"),
        (["--pages", "0"], '--pages: "0" is no whole number from 1 to 20'),
    ],
)  # fmt: skip
def test_wrong_call_is_told_what_to_do(book: Path, words: list[str], fault: str) -> None:
    assert fault in refused(book, *words)


def test_book_without_chores_has_no_sheet(tmp_path: Path) -> None:
    (tmp_path / "home.chores").write_text("area kitchen\n", "utf-8")
    assert refused(tmp_path) == ("the book has no chore now or to come: there is no sheet to print")


def test_same_book_gives_the_same_bytes() -> None:
    first, second = (besom("paper", "sheet", EXAMPLE).stdout_bytes for _ in range(2))
    assert first == second != b""
