"""Labels of containers, seen from outside: where they lie, what they say, and what does not fit."""

from __future__ import annotations

import re
from datetime import datetime
from math import hypot
from pathlib import Path

import pytest
from paper_pages import Box, Page, Word, pages_of, room_before, spoken, unembedded
from test_cli import EXAMPLE, besom, stop_clock

import ledger
from ledger.household.cadence import containers
from ledger.render.paper.layouts import path_of, read_layout
from ledger.workspace import load_source

SLACK = 0.1
"""Millimetres that a place or a size may be off."""
A4 = (210.0, 297.0)
BOOK = """\
household "12 Quarry Lane"
since 2026-01-01
person noor
person tam

every day "Morning tin"
    beds     2 min  by each
    lay      3 min  "Lay the table"
    kettle
every weekend
    sheets  15 min
    oven    1 h     uses lye
every month spare
    photos  30 min
weekend 5 paused
    shed     1 h  "Sort the shed"
"""


@pytest.fixture(autouse=True)
def on_a_day_of_2026(monkeypatch: pytest.MonkeyPatch) -> None:
    stop_clock(monkeypatch, datetime(2026, 3, 4, 20))


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """A folder with a small book."""
    (tmp_path / "home.chores").write_text(BOOK, "utf-8")
    return tmp_path


def many(folder: Path, count: int, title: str = "Kitchen tin") -> Path:
    """A folder with a book of one container that has so many chores."""
    lines = [f'    q{n}  5 min  "Wipe the shelf {n}"' for n in range(count)]
    text = "\n".join(["since 2026-01-01", f'every day "{title}"', *lines])
    (folder / "home.chores").write_text(text + "\n", "utf-8")
    return folder


def labels(book: object, *words: str) -> tuple[list[Page], str]:
    """The pages of labels of a book, and what is said beside them."""
    result = besom("paper", "labels", str(book), *words)
    assert result.exit_code == 0, result.stderr
    assert unembedded(result.stdout_bytes) == set()
    return pages_of(result.stdout_bytes), result.stderr


def refused(book: object, *words: str) -> str:
    """The error of a call that ends with 2 and prints nothing."""
    result = besom("paper", "labels", str(book), *words)
    assert (result.exit_code, result.stdout_bytes) == (2, b"")
    return " ".join(result.stderr.partition("Error: ")[2].split())


def places(count: int, box: tuple[float, float], page: tuple[float, float] = A4) -> list[Box]:
    """Where so many labels must lie on their pages: edge to edge in the middle of what margins of
    10 mm leave, row by row."""
    columns, rows = (int((side - 20) // one) for side, one in zip(page, box, strict=True))
    left, top = (page[0] - columns * box[0]) / 2, (page[1] - rows * box[1]) / 2
    corners = [
        (left + n % columns * box[0], top + n // columns % rows * box[1]) for n in range(count)
    ]
    return [Box(x, y, x + box[0], y + box[1]) for x, y in corners]


def near(one: Box, other: Box) -> bool:
    return all(abs(a - b) < SLACK for a, b in zip(one, other, strict=True))


def said(words: list[Word]) -> str:
    return " ".join(word.text for word in words)


def is_bar_word(word: Word, page: Page) -> bool:
    """True for the words beside the bar of 50 mm, in the margin below."""
    return word.box.bottom > page.height - 10


def test_labels_lie_at_their_places_and_hold_their_words() -> None:
    pages, _ = labels(EXAMPLE)
    titles = list(containers(ledger.load(EXAMPLE).household.sections))
    expected = places(30, (70, 40))
    shown = []
    for page in pages:
        assert (page.width, page.height) == pytest.approx(A4, abs=SLACK)
        here = [one for one in expected[:12] if any(near(one, found) for found in page.rectangles)]
        assert here == expected[: len(here)]
        for word in page.words:
            assert word.size >= 5.99
            assert is_bar_word(word, page) or any(one.holds(word.box) for one in here), word
        assert page is pages[-1] or len(here) == 12
        shown += [said(page.inside(one)) for one in here]
    # Weekend 5 is paused, and what was once in June is over by no day of March.
    wanted = [title for title in titles if title != "weekend 5"]
    assert len(shown) == len(wanted)
    for words, title in zip(shown, wanted, strict=True):
        assert words.startswith(spoken(title))


def test_every_page_has_a_bar_of_50_mm_and_marks_on_the_lines_of_its_cuts() -> None:
    pages, _ = labels(EXAMPLE, "--label", "60x45mm")
    for page in pages:
        assert [line for line in page.lines if abs(line.width - 50) < SLACK and line.height < SLACK]
        boxes = [
            box
            for box in page.rectangles
            if near(box, Box(box.left, box.top, box.left + 60, box.top + 45))
        ]
        assert boxes
        upright = [x.left for x in page.lines if x.width < SLACK and 3 < x.height < 5]
        lying = [y.top for y in page.lines if y.height < SLACK and 3 < y.width < 5]
        for box in boxes:
            for cut in (box.left, box.right):
                assert sum(abs(cut - x) < SLACK for x in upright) == 2, "above and below"
            for cut in (box.top, box.bottom):
                assert sum(abs(cut - y) < SLACK for y in lying) == 2, "left and right"


def test_label_says_its_title_minutes_cadence_and_chores(book: Path) -> None:
    (page,), told = labels(book)
    words = [said(page.inside(box)) for box in places(3, (70, 40))]
    assert words == [
        "Morning tin 7 min every day 3 chores beds 2×2 Lay the table 3 kettle –",
        "every weekend 1 h 15 min 2 chores sheets 15 oven lye 60",
        "every month 1 chore photos spare (30)",
    ]
    assert told == ""


@pytest.mark.parametrize("lid", [55.0, 70.0, 86.5])
def test_all_words_of_a_lid_lie_in_its_circle(lid: float) -> None:
    pages, _ = labels(EXAMPLE, "--lid", f"{lid}mm", "--page", "letter")
    letter = 8.5 * 25.4, 11 * 25.4
    for page in pages:
        assert (page.width, page.height) == pytest.approx(letter, abs=SLACK)
        circles = [box for box in page.curves if abs(box.width - lid) < SLACK]
        expected = places(len(circles), (lid, lid), letter)
        assert all(near(*pair) for pair in zip(circles, expected, strict=True))
        inside = 0
        for box in circles:
            (x, y), held = box.middle, page.inside(box)
            inside += len(held)
            for word in held:
                for side in (word.box.left, word.box.right):
                    for edge in (word.box.top, word.box.bottom):
                        # The ring lies 1.5 mm inside, and is 0.8 pt thick.
                        assert hypot(side - x, edge - y) < lid / 2 - 1.5 - 0.14 - 2, word
            for line in page.lines:
                if abs(line.middle[0] - x) < SLACK and abs(line.middle[1] - y) < lid / 2:
                    assert hypot(line.right - x, line.top - y) < lid / 2 - 1.5 - 0.14 - 2, line
        assert inside == sum(not is_bar_word(word, page) for word in page.words)


def test_lid_says_what_a_label_says(book: Path) -> None:
    (page,), _ = labels(book, "--lid", "70mm")
    first, *_ = page.curves
    assert said(page.inside(first)) == (
        "every day Morning tin beds 2×2 Lay the table 3 kettle – 7 min 3 chores"
    )


@pytest.mark.parametrize("shape", ["--label", "--lid"])
def test_size_that_is_told_holds_all_chores(tmp_path: Path, shape: str) -> None:
    book = many(tmp_path, 20)
    (page,), told = labels(book, shape, "70x40mm" if shape == "--label" else "60mm")
    text = said(list(page.words))
    (more,) = re.findall(r"and (\d+) more", text)
    shown = text.count("Wipe the shelf")
    assert shown + int(more) == 20
    found = re.fullmatch(
        rf'besom: the label of "Kitchen tin" shows {shown} of 20 chores; `{shape} (\S+)` '
        r"holds all\n",
        told,
    )
    assert found, told
    (page,), told = labels(book, shape, found[1])
    assert (said(list(page.words)).count("Wipe the shelf"), told) == (20, "")


@pytest.mark.parametrize("shape", ["--label", "--lid"])
def test_title_too_long_is_told_with_a_size_that_holds_it(tmp_path: Path, shape: str) -> None:
    title = "What is to be done before anybody of us leaves the house " * 4
    book = many(tmp_path, 2, title.strip())
    told = refused(book, shape, "40x25mm" if shape == "--label" else "45mm")
    found = re.search(rf'"{title.strip()}" needs (\d+) x (\d+) mm', told)
    assert found, told
    size = f"{found[1]}x{found[2]}mm" if shape == "--label" else f"{found[1]}mm"
    (page,), _ = labels(book, shape, size)
    assert title.strip() in said(list(page.words))


RISKY = """\
since 2026-01-01
every day "Weekend tin"
    sheets  20 min  "Change all the sheets"
    vacuum  25 min  "Vacuum all the rooms"
    toilet  10 min  uses mildew-remover               "Clean the toilet"
    tiles   20 min  uses bleach, mildew-remover, lye  "Clean the tiles"
    gutter  10 min  uses ladder, drain-unblocker, surgical-spirit, hydrochloric-acid
"""
DANGERS = (
    "mildew-remover", "bleach", "lye", "ladder", "drain-unblocker", "surgical-spirit",
    "hydrochloric-acid",
)  # fmt: skip


def test_line_of_the_rest_has_the_signs_of_what_is_hidden(tmp_path: Path) -> None:
    (tmp_path / "home.chores").write_text(RISKY, "utf-8")
    (page,), told = labels(tmp_path, "--label", "60x22mm")
    text = said([word for word in page.words if not is_bar_word(word, page)])
    # A word may be broken behind its hyphen.
    assert text.replace("- ", "-").endswith(
        f"Change all the sheets 20 and 4 more, {', '.join(DANGERS)}"
    )
    assert "shows 1 of 5 chores" in told
    assert len([one for one in page.curves if one.width < 3]) == 1, "the sign"


@pytest.mark.parametrize("shape", ["--label", "--lid"])
def test_label_is_refused_rather_than_hide_what_can_hurt(tmp_path: Path, shape: str) -> None:
    (tmp_path / "home.chores").write_text(RISKY, "utf-8")
    refusals = 0
    for side in range(30, 60, 3):
        size = f"{side}x{side // 2 + 3}mm" if shape == "--label" else f"{side + 5}mm"
        result = besom("paper", "labels", str(tmp_path), shape, size)
        if result.exit_code:
            refusals += 1
            found = re.search(
                r'the label of "Weekend tin" has no room for its caution signs \('
                rf"{', '.join(DANGERS)}\); `{shape} (\S+)` has",
                " ".join(result.stderr.split()),
            )
            assert found, result.stderr
            result = besom("paper", "labels", str(tmp_path), shape, found[1])
        (page,) = pages_of(result.stdout_bytes)
        text = "".join(word.text for word in page.words)
        assert all(thing in text for thing in DANGERS)
    assert refusals < 8
    assert refusals or shape == "--lid"


@pytest.mark.parametrize("skip", [0, 5, 23])
def test_ready_labels_are_filled_where_they_are_and_have_no_marks(skip: int) -> None:
    layout = "3x8-70x37mm"
    pages, _ = labels(EXAMPLE, "--sheet", layout, "--skip", str(skip))
    grid = read_layout(load_source(path_of(layout)))
    count = len(containers(ledger.load(EXAMPLE).household.sections)) - 1
    places = [grid.place(skip + number) for number in range(count)]
    used = 0
    for number, page in enumerate(pages):
        boxes = [
            Box(at.left, at.top, at.left + grid.box.width, at.top + grid.box.height)
            for at in places
            if at.page == number
        ]
        used += len(boxes)
        for box in boxes:
            assert page.inside(box)
        for word in page.words:
            (held,) = [box for box in boxes if box.holds(word.box)]
            # What printers cannot reach.
            assert held.left + 4 < word.box.left
            assert word.box.right < held.right - 4
        assert page.rectangles == () or max(box.width for box in page.rectangles) < 1
        for line in page.lines:
            assert any(box.holds(line, -3) for box in boxes)
    assert used == count


def test_container_says_its_dates_once(tmp_path: Path) -> None:
    text = """\
since 2026-01-01
every 3 months from 2026-12-01 "Season box"
    gutters  45 min
    chimney  30 min
every day until 2027-02-03
    hens  5 min
"""
    (tmp_path / "home.chores").write_text(text, "utf-8")
    (page,), _ = labels(tmp_path)
    shown = said([word for word in page.words if not is_bar_word(word, page)])
    assert shown == (
        "Season box 1 h 15 min every 3 months, from 1 December 2026 2 chores gutters 45 chimney 30 "
        "every day 5 min until 3 February 2027 1 chore hens 5"
    )


def test_chore_says_what_its_container_does_not(tmp_path: Path) -> None:
    text = """\
since 2026-01-01
every day until 2026-12-31 "Morning tin"
    dishes  10 min  "Wash the dishes"
every day from 2027-01-01 "Morning tin"
    dishes  25 min
every day "Morning tin"
    sweep    3 min
    plants   4 min  spare
every monday "Morning tin"
    bins     6 min
"""
    (tmp_path / "home.chores").write_text(text, "utf-8")
    (page,), _ = labels(tmp_path)
    shown = said([word for word in page.words if not is_bar_word(word, page)])
    assert shown == (
        "Morning tin 19 min every day 4 chores Wash the dishes until 31 December 2026 10 "
        "Wash the dishes from 1 January 2027 (25) sweep 3 plants spare (4) bins every monday 6"
    )


TINS = "\n".join(
    ["since 2026-01-01"]
    + [
        f'every day "Tin {n}"\n'
        + "\n".join(f'    q{n}-{m}  17 min  "Wipe{" the shelf" * (m % 3)}"' for m in range(count))
        for n, count in enumerate((2, 3, 4, 3, 9, 2, 5, 4))
    ]
)


@pytest.mark.parametrize(
    ("words", "size"),
    [((), (70, 40)), (("--label", "50x30mm"), (50, 30)), (("--lid", "90mm"), (90, 90))],
)
def test_most_labels_of_a_run_have_one_size_of_type(
    tmp_path: Path, words: tuple[str, ...], size: tuple[float, float]
) -> None:
    (tmp_path / "home.chores").write_text(TINS + "\n", "utf-8")
    pages, _ = labels(tmp_path, *words)
    sizes = []
    for page in pages:
        for box in sorted(set(places(8, size))):
            if page.inside(box):
                (one,) = {round(word.size, 2) for word in page.inside(box) if word.text == "17"}
                sizes.append(one)
    assert len(sizes) == 8
    assert max(map(sizes.count, sizes)) >= 6


def test_chores_of_a_lid_grow_with_it(book: Path) -> None:
    sizes = []
    for lid in (60, 90):
        (page,), _ = labels(book, "--lid", f"{lid}mm", "--only", "Morning tin")
        (size,) = {word.size for word in page.words if word.text == "beds"}
        sizes.append(size)
        (circle,) = [box for box in page.curves if abs(box.width - lid) < SLACK]
        lowest = max(word.box.bottom for word in page.inside(circle))
        assert lowest > circle.bottom - lid / 5
    assert sizes[1] > max(12, sizes[0])


def test_lid_without_minutes_has_its_count_in_their_place(book: Path) -> None:
    (page,), _ = labels(book, "--lid", "70mm")
    timed, _, spare = (page.inside(box) for box in places(3, (70, 70)))
    (minutes,) = [word for word in timed if word.text == "min"]
    (count,) = [word for word in spare if word.text == "chore"]
    assert abs(minutes.box.middle[1] % 70 - (count.box.middle[1] - 70) % 70) < 4


@pytest.mark.parametrize("width", [45, 50, 57, 63, 70, 84])
def test_minutes_and_dots_keep_their_distance(book: Path, width: int) -> None:
    lines = [f'    q{n}  17 min  uses lye  "Wipe {"i" * (2 * n + 10)}"' for n in range(24)]
    text = "\n".join(["since 2026-01-01", "every day", *lines])
    (book / "home.chores").write_text(text + "\n", "utf-8")
    pages, _ = labels(book, "--label", f"{width}x100mm")
    figures = [(word, page) for page in pages for word in page.words if word.text == "17"]
    assert len(figures) == 24
    for figure, page in figures:
        assert room_before(figure, page.words) > 1.4
        middle = figure.box.middle[1]
        for dots in (line for line in page.lines if abs(line.top - middle) < 2 and line.width > 3):
            assert abs(figure.box.left - dots.right) > 1.4


def test_container_named_is_printed_though_it_is_paused(book: Path) -> None:
    (page,), _ = labels(book, "--only", "weekend 5")
    words = [word for word in page.words if not is_bar_word(word, page)]
    assert said(words) == "weekend 5 1 h 1 chore Sort the shed 60"
    (page,), _ = labels(book, "--only", "morning")
    assert "weekend" not in said(list(page.words))


@pytest.mark.parametrize(
    ("words", "fault"),
    [
        (["--label", "70x40mm", "--lid", "70mm"], "--label is for the side of a jar"),
        (["--label", "70"], '--label: "70" is no size; write width and height, such as `60x25mm`'),
        (["--label", "20x10mm"], "20 x 10 mm is too small for a label; the least is 30 x 18 mm"),
        (["--lid", "20mm"], "20 mm is too small for a lid; the least is 35 mm"),
        (["--lid", "wide"], '--lid: "wide" is no length; write millimetres, such as `60mm`'),
        (["--label", "200x40mm"], "200 x 40 mm does not fit on a page of 210 x 297 mm"),
        (["--lid", "130mm", "--page", "A5"], "130 x 130 mm does not fit on a page of 148 x 210 mm"),
        (["--page", "70x100mm", "--lid", "40mm"], "a page of 70 x 100 mm is too narrow"),
        (["--sheet", "3x8-70x37mm", "--lid", "70mm"], "--sheet says all measures; leave --lid out"),
        (["--sheet", "3x8-70x37mm", "--label", "70x40mm"], "leave --label out"),
        (["--sheet", "3x8-70x37mm", "--page", "A4"], "leave --page out"),
        (["--sheet", "3x9"], 'there is no layout "3x9"'),
        (["--sheet", "3x8-70x37mm", "--skip", "24"], "a sheet has 24 labels; skip at most 23"),
        (["--skip", "2"], "--skip counts the labels of a sheet; name it by --sheet"),
        (["--only", "mornig tin"], "did you mean `Morning tin`?"),
    ],
)  # fmt: skip
def test_wrong_call_is_told_what_to_do(book: Path, words: list[str], fault: str) -> None:
    assert fault in refused(book, *words)


def test_book_without_chores_has_no_label(tmp_path: Path) -> None:
    (tmp_path / "home.chores").write_text("area kitchen\nevery day paused\n    a\n", "utf-8")
    assert "no chore now or to come: there is no label to print" in refused(tmp_path)


def test_same_book_gives_the_same_bytes() -> None:
    first, second = (besom("paper", "labels", EXAMPLE).stdout_bytes for _ in range(2))
    assert first == second != b""
