"""Tags on paper, seen from outside: where each lies, what is on it, and what is told."""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from itertools import combinations
from pathlib import Path

import pytest
from books import day, house
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st
from paper_pages import NO_WIDTH, Box, Page, Word, pages_of, unembedded
from repositories import begin, git, stand_alone
from tiny_fonts import write_font

from ledger.cli.main import main
from ledger.household.things import LAST_WORD
from ledger.render.paper.fonts import our_font
from ledger.render.paper.grid import Edge, Grid, filled
from ledger.render.paper.layouts import names, path_of, read_layout
from ledger.render.paper.measures import Size
from ledger.render.paper.tags import Tag, check_size, tags_data, tags_of
from ledger.render.paper.templates import template_of
from ledger.render.paper.typesetting import Pages, typeset
from ledger.report.routine import routine
from ledger.text.source import Source
from ledger.workspace import load_source

EXAMPLE = Path(__file__).parents[1] / "examples" / "quarry-lane"
ON = "2026-11-25"
A4 = Size(210, 297)
HOLE, HOLE_IN = 5.0, 5.5
"""The hole for a ring: its diameter, and how far its middle lies from the edge of the tag."""
TOLERANCE = 0.1
"""Millimetres."""


def besom(*words: str, text: str | None = None) -> Result:
    return CliRunner().invoke(main, ["paper", "tags", *words], input=text, prog_name="besom")


def printed(folder: Path, *words: str) -> list[Page]:
    """The pages of the tags of a folder's book."""
    return pages_of(pdf_of(folder, *words))


def pdf_of(folder: Path, *words: str) -> bytes:
    pdf = folder / "tags.pdf"
    result = besom(str(folder), "-o", str(pdf), "--force", "--on", ON, *words)
    assert result.exit_code == 0, result.output
    return pdf.read_bytes()


def refused(*words: str, text: str = "") -> str:
    """What a wrong call is told, on one line."""
    result = besom(*words, text=text)
    assert result.exit_code == 2, result.output
    assert not result.stdout
    return " ".join(result.stderr.split())


def tags(*lines: str) -> list[Tag]:
    """The tags of a sound book."""
    return tags_of(routine(house(*lines).on(day(ON)), day(ON)).containers)


def set_in(grid: Grid, some: Sequence[Tag], backs: Edge | None = None, **how: int) -> Pages:
    data = tags_data("Home", some, grid, backs, ready=bool(how), skip=how.get("skip", 0))
    return typeset(template_of("tags"), data, [our_font()])


def joined(words: Sequence[Word]) -> str:
    return " ".join(word.text for word in words)


def book(folder: Path, *lines: str) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "home.chores").write_text("\n".join(lines) + "\n", "utf-8")
    return folder


def numbered(count: int) -> list[str]:
    """Chores with a word on the front, and one on the back, that no other has; each back is full of
    words from side to side."""
    lines = ["every day"]
    for number in range(1, count + 1):
        lines += [
            f'    c{number} {number} min "front{number}"',
            f"        - behind{number} {'a ' * 90}",
        ]
    return lines


@pytest.fixture(scope="module")
def example(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("example")
    (folder / "home.chores").write_bytes((EXAMPLE / "home.chores").read_bytes())
    return folder


def titles_of_the_example() -> list[tuple[str, str]]:
    """The title and the minutes of each chore line, by the text of the book alone."""
    found = []
    for line in (EXAMPLE / "home.chores").read_text("utf-8").splitlines():
        words = line.split()
        if not line.startswith("    ") or words[0].startswith(("-", "#")) or "sort-shed" in words:
            continue
        if ("until 2026-08-31" in line) or "paint-gate" in words:
            continue
        title = line.split("  #")[0].rstrip().split('"')[1] if '"' in line else ""
        minutes = " ".join(words[1 : words.index("min") + 1]) if "min" in words else "1 h"
        found.append((title or words[0].replace("-", " "), minutes))
    return found


def test_each_tag_lies_in_its_box(example: Path) -> None:
    pages = printed(example)
    expected = titles_of_the_example()
    # 3 columns of 60 mm and 11 rows of 25 mm, in the middle of A4.
    for number, (title, minutes) in enumerate(expected):
        page, rest = divmod(number, 33)
        row, column = divmod(rest, 3)
        left, top = 15 + 60 * column, 11 + 25 * row
        box = Box(left, top, left + 60, top + 25)
        text = Box(left + 10, top + 3, left + 57, top + 22)
        words = pages[page].inside(box)
        assert all(text.holds(word.ink, TOLERANCE) for word in words), title
        assert joined(words).startswith(f"{title} {minutes} "), title
        (hole,) = [
            one
            for one in pages[page].curves
            if one.middle == pytest.approx((left + HOLE_IN, top + 12.5), abs=TOLERANCE)
        ]
        assert (hole.width, hole.height) == pytest.approx((HOLE, HOLE), abs=TOLERANCE)
    assert sum(round(one.width) == HOLE for page in pages for one in page.curves) == len(expected)
    outside = [page.words[-1].text for page in pages[:2]]
    assert outside == ["1", "2"]
    assert joined(pages[2].words).startswith("What to mind")


def test_the_marks_stand_where_to_cut(example: Path) -> None:
    page = printed(example)[0]
    # Below the last row lies the bar.
    marks = [line for line in page.lines if max(line.width, line.height) < 3 and line.top < 290]
    upright = sorted({round(line.left, 1) for line in marks if line.width < TOLERANCE})
    lying = sorted({round(line.top, 1) for line in marks if line.height < TOLERANCE})
    assert upright == [15, 75, 135, 195]
    assert lying == [11 + 25 * n for n in range(12)]
    assert all(
        not (15 < line.left < 195 and 11 < line.top < 286) or line.width < 2 for line in marks
    )


@pytest.mark.parametrize("name", names())
def test_labels_lie_where_their_layout_says(name: str, tmp_path: Path) -> None:
    told = tomllib.loads(path_of(name).read_text("utf-8"))
    inches = name.endswith("in")
    millimetres = {
        key: [float(part) * (25.4 if inches else 1) for part in value.rstrip("min").split("x")]
        for key, value in told.items()
        if isinstance(value, str) and key != "page"
    }
    (width, height), (left,), (top,) = (
        millimetres[key] for key in ("label", "margin-left", "margin-top")
    )
    (across,) = millimetres.get("pitch-across", [width])
    per_page = told["columns"] * told["rows"]
    folder = book(tmp_path, *numbered(per_page + 1))
    pages = printed(folder, "--sheet", name, "--skip", "2")
    for number in range(2, per_page + 3):
        title = f"front{number - 1}"
        page, rest = divmod(number, per_page)
        row, column = divmod(rest, told["columns"])
        at = Box(left + across * column, top + height * row, 0, 0)
        box = Box(at.left, at.top, at.left + width, at.top + height)
        words = pages[page].inside(box)
        # 5 mm and 4 mm stay white beside what the printer cannot reach.
        inner = Box(box.left + 5, box.top + 4, box.right - 5, box.bottom - 4)
        assert joined(words).startswith(f"{title} "), title
        assert all(inner.holds(word.ink) for word in words)
    dimensions = name.removesuffix("mm").removesuffix("in").partition("-")
    assert dimensions[0] == f"{told['columns']}x{told['rows']}"
    assert dimensions[2] in told["label"]
    assert not any(page.curves for page in pages)


def test_pages_are_theirs_with_a_bar_of_50_mm(tmp_path: Path) -> None:
    folder = book(tmp_path, *numbered(2), "    oven 40 min uses lye")
    for words, size in (
        ((), (210, 297)),
        (("--page", "A6"), (105, 148)),
        (("--page", "letter", "--backs", "long"), (8.5 * 25.4, 11 * 25.4)),
        (("--page", "210x148mm", "--backs", "short"), (210, 148)),
        (("--sheet", "3x10-2.625x1in"), (8.5 * 25.4, 11 * 25.4)),
    ):
        pages = printed(folder, *words)
        assert len(pages) == 3 if "--backs" in words else 2
        # What to mind is printed on plain paper, whatever has the tags.
        last = size if size[1] > 210 else A4
        for page in pages:
            of = last if page is pages[-1] else size
            assert (page.width, page.height) == pytest.approx(of, abs=TOLERANCE)
            bars = [one for one in page.lines if one.width == pytest.approx(50, abs=TOLERANCE)]
            assert len(bars) == 1
            beside = [word for word in page.words if abs(word.box.middle[1] - bars[0].top) < 1]
            assert joined(beside).startswith("50 mm")
            # The name of the side stands apart from the bar and its words.
            names = [word for word in beside if word.text in ("front", "back")]
            assert all(word.box.left > beside[1].box.right + 2 for word in names)
    assert joined(pages[0].words).endswith("front 1")
    result = besom(str(folder), "--page", "A6", "-o", str(tmp_path / "a6.pdf"))
    assert result.stderr == 'besom: the last page, "What to mind", is for plain paper of A4\n'


def test_marks_to_cut_by_stand_beside_tags_only(tmp_path: Path) -> None:
    (page,) = printed(book(tmp_path, *numbered(1)))
    marks = [line for line in page.lines if max(line.width, line.height) < 4]
    assert {round(line.left) for line in marks if line.width < TOLERANCE and line.top < 100} == {
        15, 75,
    }  # fmt: skip


def test_words_of_a_caution_stay_in_a_narrow_back(tmp_path: Path) -> None:
    folder = book(tmp_path, "every day", "    oven 4 min uses lye")
    _, back, _ = printed(folder, "--tag", "10x190mm", "--backs", "long")
    # The last of the 19 columns in the margins lies behind the first.
    box = Box(190, 53.5, 200, 243.5)
    inner = Box(box.left + 3, box.top, box.right - 3, box.bottom)
    words = [word for word in back.words if word.size == pytest.approx(6) and word.box.top < 270]
    assert joined(words).replace(" ", "").count("burnsskin") == 1
    assert all(inner.holds(word.ink, TOLERANCE) for word in words)


def test_a_sheet_without_margins_has_no_bar_and_says_so(tmp_path: Path) -> None:
    pdf = tmp_path / "labels.pdf"
    folder = book(tmp_path, *numbered(2), "    oven 40 min uses lye")
    result = besom(str(folder), "--sheet", "3x8-70x37mm", "-o", str(pdf))
    assert "no margin has room for the bar of 50 mm" in result.stderr
    assert 'the last page, "What to mind", is for plain paper' in result.stderr
    *labels, last = pages_of(pdf.read_bytes())
    assert "backs are for cards" not in result.stderr
    assert not any(line.width > 40 for page in labels for line in page.lines)
    assert any(line.width == pytest.approx(50, abs=TOLERANCE) for line in last.lines)


def test_what_is_to_be_known_of_pages_is_said_once_they_are_written(tmp_path: Path) -> None:
    folder = book(tmp_path, "every day", f'    oven 5 min uses lye "{"w" * 999}"')
    words = (str(folder), "--sheet", "3x8-70x37mm", "--backs", "long", "-o", str(folder / "x.pdf"))
    assert "the last page" not in refused(*words)
    book(folder, "every day", "    oven 5 min uses lye")
    result = besom(*words)
    said = ["no margin has room for", "backs are for cards; those of", "the last page"]
    for line, start in zip(result.stderr.splitlines(), said, strict=True):
        assert line.startswith(f"besom: {start}")
    assert "the last page" not in refused(*words)


LAYOUT = """\
page = "{page}"
label = "55x30mm"
columns = 3
rows = 4
margin-left = 7
margin-top = "12 mm"
pitch-across = "60.5mm"
pitch-down = "33mm"
"""


@pytest.mark.parametrize("edge", ["long", "short"])
@pytest.mark.parametrize("page", ["A4", "297x210mm", "200x200mm"])
def test_the_back_of_each_tag_lies_behind_its_front(page: str, edge: str, tmp_path: Path) -> None:
    layout = tmp_path / "my.toml"
    layout.write_text(LAYOUT.format(page=page), "utf-8")
    folder = book(tmp_path / "home", *numbered(11))
    for words, label, hole in (
        (("--sheet", str(layout), "--skip", "5"), Size(55, 30), None),
        (("--page", page, "--tag", "50x24mm"), Size(50, 24), Box(3, 9.5, 8, 14.5)),
        (("--page", page, "--tag", "24x50mm"), Size(24, 50), Box(9.5, 3, 14.5, 8)),
    ):
        pages = printed(folder, "--backs", edge, *words)
        places: dict[str, tuple[int, Word]] = {}
        for number, one in enumerate(pages):
            for word in one.words:
                # A title stands on its front, and on its back after that.
                places.setdefault(word.text, (number, word))
        # A title begins where its tag does, and as far inside as that of the first.
        first = places["front1"][1].box
        left, top = corner_of_first(words, pages[0], label)
        inside = (first.left - left, first.top - top)
        stands = (pages[0].height >= pages[0].width) == (edge == "long")
        for number in range(1, 12):
            front_page, front = places[f"front{number}"]
            back_page, back = places[f"behind{number}"]
            assert (back_page, back.upright) == (front_page + 1, stands)
            left, top = front.box.left - inside[0], front.box.top - inside[1]
            box = Box(left, top, left + label.width, top + label.height)
            assert box.holds(turned(back.ink, pages[0], stands), 0)
            # Its title and all words of its step lie behind it, and none where the hole will be.
            behind = [
                (word.text, turned(word.ink, pages[0], stands)) for word in pages[back_page].words
            ]
            within = [word for _, word in behind if box.holds(word, 0)]
            texts = [text for text, word in behind if word in within]
            assert texts == [f"front{number}", f"behind{number}", *["a"] * 90]
            if hole is not None:
                ring = Box(left + hole.left, top + hole.top, left + hole.right, top + hole.bottom)
                assert not any(overlap(ring, word) for word in within)
    assert [one.words[-2].text for one in pages] == ["front", "back"] * (len(pages) // 2)


def corner_of_first(words: Sequence[str], page: Page, label: Size) -> tuple[float, float]:
    """Where the first printed tag begins."""
    if "--sheet" in words:
        # The sixth label: the third of the second row.
        return 7 + 2 * 60.5, 12 + 33
    columns, rows = int((page.width - 20) // label.width), int((page.height - 20) // label.height)
    return (page.width - columns * label.width) / 2, (page.height - rows * label.height) / 2


def turned(box: Box, page: Page, stands: bool) -> Box:
    """Where something on the back lies, seen from the front, if the page is turned around an edge
    that stands, or lies."""
    if stands:
        return Box(page.width - box.right, box.top, page.width - box.left, box.bottom)
    return Box(box.left, page.height - box.bottom, box.right, page.height - box.top)


def test_what_to_mind_is_never_lost(tmp_path: Path) -> None:
    folder = book(
        tmp_path / "home",
        "every day",
        '    oven 40 min uses lye, cloth "Oven"',
        '    bins 5 min uses bleach "Bins"',
        "        - Rinse them",
        '    drain 5 min uses lye "Drain"',
    )
    front, last = printed(folder)
    assert "Oven 40 min lye every day" in joined(front.words)
    assert LAST_WORD not in joined(front.words)
    told = joined(last.words)
    for words in (
        "Oven; Drain",
        "it burns skin and eyes at once",
        "National Capital Poison Center",
        "mix it with nothing but water",
        LAST_WORD,
    ):
        assert words in told
    _, back, last = printed(folder, "--backs", "long", "--tag", "70x35mm")
    assert told == joined(last.words)
    behind = joined(back.words)
    assert behind.count(LAST_WORD) == 3
    assert "Rinse them bleach: mix it with nothing but water" in behind
    assert behind.count("lye: it burns skin and eyes at once") == 2
    assert behind.count("Oven lye: it burns") == behind.count("Drain lye: it burns") == 1
    assert "Bins Rinse them" in behind


def test_a_tag_says_who_where_and_how_long(tmp_path: Path) -> None:
    folder = book(
        tmp_path / "home",
        "person noor",
        "person tam",
        "area kitchen",
        'area hall "Hall, and stairs"',
        'every day "Blue tin"',
        "    a 1 h 30 min in hall, kitchen by noor then tam",
        "    b 2 h by noor or tam",
        "    c by noor and tam",
        "    d 5 min by each",
        "    e 5 min by each of tam",
        "    f 5 min in kitchen",
        "    g 5 min by tam paused",
        "    h 5 min by tam vital",
    )
    (page,) = printed(folder, "--tag", "80x30mm")
    assert joined(page.words[:-4]) == (
        "a 1 h 30 min 2 Hall, and stairs 1 kitchen Blue tin · noor, then tam "
        "b 2 h Blue tin · noor or tam "
        "c Blue tin · noor and tam "
        "d 5 min Blue tin · each: noor, tam "
        "e 5 min Blue tin · each: tam "
        "f 5 min 1 kitchen Blue tin · anyone "
        "h 5 min Blue tin · tam · vital"
    )


def test_a_tag_says_from_and_until_when_and_what_is_spare(tmp_path: Path) -> None:
    folder = book(
        tmp_path / "home",
        "every day until 2026-12-31",
        "    dishes 10 min",
        "every day from 2027-01-01",
        "    dishes 25 min",
        "every day",
        "    plants 4 min spare",
        "        - \U0001f3e0",
    )
    # A step that no font can print is on backs only.
    (page,) = printed(folder)
    assert joined(page.words[:-4]).replace("\N{NO-BREAK SPACE}", " ") == (
        "dishes 10 min every day · anyone · until 31 December 2026 "
        "dishes 25 min every day · anyone · from 1 January 2027 "
        "plants 4 min every day · anyone · spare"
    )


def test_one_container_is_printed_paused_or_not(example: Path) -> None:
    assert joined(printed(example, "--only", "morning")[0].words).startswith("make beds 2 min")
    (page,) = printed(example, "--only", "weekend 5")
    assert joined(page.words).startswith("sort shed 1 h 5 Yard, bins and shed weekend 5 · anyone")
    assert 'there is no container "cellar"' in refused(str(example), "--only", "cellar")


def test_a_lost_tag_is_printed_alone(example: Path, tmp_path: Path) -> None:
    def alone(*words: str) -> str:
        (page,) = printed(example, "--chore", *words)
        return joined(page.words).removesuffix(" 50 mm front 1")

    assert alone("make-beds").startswith("make beds 2 min")
    assert alone("make", "--only", "morning") == alone("make-beds")
    # A paused one too.
    assert alone("sort-shed") == "sort shed 1 h 5 Yard, bins and shed weekend 5 · anyone"
    assert "did you mean `make-beds`?" in refused(str(example), "--chore", "make-beats")
    told = refused(str(example), "--chore", "make-beds", "--only", "weekend 5")
    assert '"weekend 5" has no chore make-beds now or to come: there is no tag to print' in told
    folder = book(
        tmp_path, 'every day "A"', "    a 5 min", "    b 5 min", 'every monday "B"', "    a 9 min"
    )
    (page,) = printed(folder, "--chore", "a")
    assert joined(page.words).startswith("a 5 min A · anyone a 9 min B · anyone 50")
    (page,) = printed(folder, "--chore", "a", "--only", "B")
    assert joined(page.words).startswith("a 9 min B · anyone 50")


def test_the_same_book_gives_the_same_bytes(tmp_path: Path) -> None:
    folder = book(tmp_path, *numbered(2), "    oven 40 min uses lye")
    files = [tmp_path / "one.pdf", tmp_path / "other.pdf"]
    for file in files:
        assert besom(str(folder), "--backs", "long", "-o", str(file)).exit_code == 0
    assert files[0].read_bytes() == files[1].read_bytes()
    assert unembedded(files[0].read_bytes()) == set()
    assert len({font for page in pages_of(files[0].read_bytes()) for font in page.fonts}) == 3


LETTERS = "".join(map(chr, range(0x20, 0x7F))) + "·"


@pytest.mark.parametrize("reach", [(0, 600), (-600, 900), (-100, 1400), (-250, 750)])
def test_no_letter_is_cut_off_or_laid_over_another_whatever_its_font_says(
    reach: tuple[int, int], tmp_path: Path
) -> None:
    folder = book(
        tmp_path,
        "person tam",
        'every day "Morning tin"',
        '    a 5 min by tam "Sweep the yard"',
        '    b 25 min by tam "gypsy"',
        "        - Jump, and try to grasp it",
        "        - Or not",
    )
    font = write_font(tmp_path / "Deep-Regular.ttf", LETTERS, "Deep", reach=reach)
    words = ("--sheet", "3x8-70x37mm", "--font", str(font), "--backs", "long")
    for page in pages_of(pdf_of(folder, *words), [font]):
        labels = [Box(70 * n + 5, 0.5 + 4, 70 * n + 65, 37.5 - 4) for n in range(3)]
        assert len(page.words) > 8
        assert all(any(label.holds(word.ink, 0.01) for label in labels) for word in page.words)
        assert not any(overlap(*pair) for pair in combinations([w.ink for w in page.words], 2))


def test_signs_above_and_below_the_letters_stay_in_the_tag(tmp_path: Path) -> None:
    folder = book(tmp_path, "every day", '    a 5 min "ÅÄÖ |Å| Çgjß Ể"')
    (page,) = printed(folder)
    text = Box(15 + 10, 11 + 3, 15 + 57, 11 + 22)
    words = page.inside(Box(15, 11, 75, 36))
    assert joined(words).startswith("ÅÄÖ |Å| Çgjß Ể 5 min")
    assert all(text.holds(word.ink, 0.01) for word in words)


LONG = "word " * 40


@pytest.mark.parametrize(
    "title",
    [
        LONG.strip(),
        "w" * 200,
        r"#strong[x] $a^2$ \\\\ <unfit> @besom // *b* _c_ `d` = e",
        r"#include \"/etc/passwd\" #data #read(\"x\") {{ }} ]] )) ~ -- ...",
        "Donaudampfschifffahrtsgesellschaftskapitän und noch mehr",
    ],
)
def test_a_hostile_title_is_in_its_box_to_the_letter_or_told(title: str) -> None:
    some = tags("every day", f'    a 5 min "{title}"')
    size = Size(60, 25)
    pages = set_in(filled(A4, size, 10), some)
    if pages.unfit:
        (told,) = pages.unfit
        assert told.name == some[0].front["title"]
        assert (told.width, told.height > 25) == (60, True)
        # The size that was told holds it.
        size = Size(told.width, told.height + 0.01)
        pages = set_in(filled(A4, size, 10), some)
    assert not pages.unfit
    (page,) = pages_of(pages.files[0])
    words = [word for word in page.words if word.box.bottom < page.height - 7]
    grid = filled(A4, size, 10)
    box = Box(grid.left, grid.top, grid.left + size.width, grid.top + size.height)
    assert all(box.holds(word.ink, 0) for word in words)
    assert min(word.size for word in words) >= 5.99
    blank = str.maketrans("", "", f" {NO_WIDTH}")
    read = "".join(word.text for word in words).translate(blank)
    assert read == f"{some[0].front['title']}5mineveryday·anyone".translate(blank)


def test_what_does_not_fit_is_told_by_name_with_a_size_that_holds_it(tmp_path: Path) -> None:
    step = "and then the other side of it, and its lid too, by hand, with a cloth, until all is dry"
    folder = book(
        tmp_path / "home",
        'area k "' + "Wide room " * 20 + '"',
        'every day "' + "Long tin " * 22 + '"',
        "    a 5 min in k",
        *[f"        - {step}"] * 12,
    )
    words = (str(folder), "--backs", "short", "-o", str(folder / "x.pdf"))
    told = refused(*words)
    area = ("Wide room " * 20).strip()
    assert f'type: "{area} " of "a"; "a" (back); 60 x 84.4 mm holds all. Choose' in told, told
    assert not (folder / "x.pdf").exists()
    assert besom(*words, "--tag", "60x84.4mm").exit_code == 0
    told = refused(str(folder))
    assert f'type: "{area} " of "a" needs 60 x 31 mm. Choose' in told, told
    assert besom(*words[:1], *words[3:], "--tag", "60x31mm", "--force").exit_code == 0


def test_a_text_that_keeps_several_tags_from_fitting_is_named_once(tmp_path: Path) -> None:
    area = "Utility room, back porch, wood store and the cupboard under the stairs"
    lines = [f'area k "{area}"', "every day"]
    lines += [f'    c{n} 5 min in k "Sweep {n} of all its corners and shelves"' for n in (1, 2)]
    told = refused(str(book(tmp_path, *lines)), "--tag", "45x20mm")
    names = ", ".join(f'"Sweep {n} of all its corners and shelves"' for n in (1, 2))
    assert f'type: "{area}" of {names} needs 45 x ' in told, told


def test_a_step_that_is_too_long_is_named_on_its_back(tmp_path: Path) -> None:
    step = "and round " * 60
    folder = book(tmp_path, "every day", "    a 5 min", "        - Begin", f"        - {step}")
    told = refused(str(folder), "--backs", "long")
    assert f'type: "{step.strip()}" of "a" (back) needs 60 x ' in told, told


def test_a_back_has_its_title_where_there_is_room(tmp_path: Path) -> None:
    steps = [f"        - Step {number}" for number in range(3)]
    folder = book(
        tmp_path,
        "every day",
        '    a 5 min uses lye "Oven"',
        *steps,
        '    b 5 min uses lye "The oven of the summer kitchen"',
        *steps,
        '    c 5 min "Sweep"',
        *steps,
    )
    pdf = folder / "tags.pdf"
    result = besom(str(folder), "--on", ON, "--backs", "long", "-o", str(pdf))
    said = 'besom: there is no room for the title on the back of "The oven of the summer kitchen"'
    assert result.stderr == f"{said}\n"
    back = pages_of(pdf.read_bytes())[1]
    first, second, third = (
        joined(back.inside(Box(left, 11, left + 60, 36))) for left in (135, 75, 15)
    )
    assert first.startswith("1 Step 0")
    assert first.endswith(f"{LAST_WORD} Oven")
    assert second.endswith(LAST_WORD)
    assert third == "Sweep 1 Step 0 2 Step 1 3 Step 2"


def test_what_stands_on_a_tag_keeps_apart(tmp_path: Path) -> None:
    """The number of an area that takes two lines stands on the first; least gaps are kept."""
    area = "Utility room, back porch, wood store and the cupboard under the stairs"
    titles = [" ".join(["gypsum", "i" * number, "yard"]) for number in range(1, 26)]
    lines = [f'area k "{area}"', "every day"]
    lines += [f'    c{n} 25 min in k "{title}"' for n, title in enumerate(titles)]
    (page,) = printed(book(tmp_path, *lines))
    for number, title in enumerate(titles):
        row, column = divmod(number, 3)
        left, top = 15 + 60 * column, 11 + 25 * row
        words = page.inside(Box(left, top, left + 60, top + 25))
        count = len(title.split())
        head, (figure, _, disc), below = words[:count], words[count : count + 3], words[count + 3 :]
        assert joined(head) == title
        assert (figure.text, disc.text) == ("25", "1")
        assert min(figure.box.left - word.box.right for word in head) > 2.9
        first, last = below[0], below[area.count(" ")]
        assert (first.text, last.text) == ("Utility", "stairs")
        assert last.ink.top > first.ink.bottom
        assert disc.ink.middle[1] == pytest.approx(first.ink.middle[1], abs=0.5)
        assert first.ink.top - max(word.ink.bottom for word in head) > 2


short_words = st.text("abcdefghij -äß", min_size=1, max_size=60).map(lambda text: f"t{text}")


@settings(max_examples=15)
@given(
    titles=st.lists(short_words, min_size=1, max_size=4, unique=True),
    size=st.builds(Size, st.integers(20, 90), st.integers(20, 90)),
    minutes=st.integers(1, 900),
    edge=st.sampled_from([None, "long", "short"]),
)
def test_all_words_are_in_their_box_or_told(
    titles: list[str], size: Size, minutes: int, edge: Edge | None
) -> None:
    lines = ["person tam", "area k", "every day"]
    for number, title in enumerate(titles):
        lines += [f'    c{number} {minutes} min in k by tam "{title}"', f"        - {title}"]
    some = tags(*lines)
    grid = filled(Size(210, 297), size, 10)
    pages = set_in(grid, some, edge)
    if pages.unfit:
        assert {one.name for one in pages.unfit} <= {*titles}
        # No tag is written then, and the largest of the sizes told holds all of them.
        size = Size(size.width, max(one.height for one in pages.unfit) + 0.01)
        larger = Size(2 * size.width, 2 * size.height)
        assert not set_in(filled(larger, size, 5), some, edge).unfit
        return
    printed_on = pages_of(pages.files[0])
    for number, tag in enumerate(some):
        place = grid.place(number)
        page = printed_on[place.page * (1 if edge is None else 2)]
        box = Box(place.left, place.top, place.left + size.width, place.top + size.height)
        words = page.inside(box)
        assert all(box.holds(word.ink, 0) for word in words)
        assert "".join(word.text for word in words).startswith("".join(tag.front["title"].split()))
        assert min(word.size for word in words) > 5.99
        lying = size.width >= size.height
        x, y = (HOLE_IN, size.height / 2) if lying else (size.width / 2, HOLE_IN)
        middle = (box.left + x, box.top + y)
        (hole,) = [one for one in page.curves if one.middle == pytest.approx(middle, abs=TOLERANCE)]
        assert not any(overlap(hole, word.ink) for word in words)


def overlap(one: Box, other: Box) -> bool:
    return (
        one.left < other.right
        and other.left < one.right
        and one.top < other.bottom
        and other.top < one.bottom
    )


HOME = """\
person noor
area kitchen
area hall

every day
    wash-up  15 min  in kitchen  by noor
    sweep     5 min  in hall
        - Corners first
    dust      5 min

every monday
    oven  40 min  in kitchen
    oven-door  5 min
"""


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository with a book, committed on a day in January and once more in February."""
    stand_alone(monkeypatch, tmp_path)
    monkeypatch.setenv("GIT_COMMITTER_DATE", "2026-01-10T23:30:00")
    top = begin(tmp_path / "repository", home=HOME)
    monkeypatch.setenv("GIT_COMMITTER_DATE", "2026-02-10T00:10:00")
    commit(top, HOME.replace("wash-up  15", "wash-up  12"))
    monkeypatch.chdir(top)
    return top


def commit(top: Path, text: str) -> None:
    (top / "home.chores").write_text(text, "utf-8")
    git(top, "commit", "-qam", "Change")


def since(when: str, *words: str) -> tuple[str, str]:
    """The titles of the tags that are printed, and what is said beside them."""
    pdf = Path("new.pdf")
    pdf.unlink(missing_ok=True)
    result = besom("--since", when, "-o", str(pdf), "--on", ON, *words)
    assert result.exit_code == 0, result.output
    if not pdf.exists():
        return "", result.stderr
    words_of = [word for page in pages_of(pdf.read_bytes()) for word in page.words]
    return joined([word for word in words_of if 11 <= word.size <= 12]), result.stderr


def test_only_changed_tags_are_printed_since_a_revision_or_a_day(home: Path) -> None:
    assert since("HEAD~1") == ("wash up", "")
    assert since("HEAD") == ("", "besom: no tag has changed since HEAD; nothing is written\n")
    # The commit of the tenth counts until the end of that day, by this machine's clock.
    for when, titles in (
        ("2026-01-10", "wash up"),
        ("2026-02-09", "wash up"),
        ("2026-02-10", ""),
        ("3.2.2026", "wash up"),
    ):
        assert since(when)[0] == titles, when
    told = refused("--since", "2026-01-09", "-o", "x.pdf")
    first = git(home, "rev-parse", "--short", "HEAD~1").strip()
    assert "git has no commit here from 2026-01-09 or before; " in told
    assert f"write `{first}`, which is the first, or its day, 2026-01-10" in told
    assert since(first) == since("2026-01-10")
    assert '"nowhere" is no revision that git knows here, and no day' in refused(
        "--since", "nowhere"
    )
    assert "git knows nothing of standard input" in refused("-", "--since", "HEAD", text=HOME)


def test_three_changes_make_three_tags(home: Path) -> None:
    commit(
        home,
        HOME.replace("oven  40", "oven  30").replace("sweep ", "mop ").replace("by noor", ""),
    )
    titles, said = since("HEAD~1")
    assert titles == "wash up mop oven"
    assert said == 'take out: "sweep" of "every day"\n'


def test_what_is_not_printed_is_no_change(home: Path) -> None:
    text = (home / "home.chores").read_text("utf-8")
    commit(home, f"# Ours\n{text}".replace("  in kitchen", " in kitchen") + "2026-02-12 did oven\n")
    assert since("HEAD~1")[0] == ""
    # The name of an area is for the book; its title is printed.
    renamed = text.replace("area kitchen", 'area galley "kitchen"').replace(
        "in kitchen", "in galley"
    )
    commit(home, renamed)
    assert since("HEAD~1")[0] == ""
    commit(home, text)
    # Steps are printed on backs only.
    commit(home, text.replace("Corners first", "Corners last"))
    assert since("HEAD~1")[0] == ""
    assert since("HEAD~1", "--backs", "long", "--tag", "60x25mm")[0] == "sweep"


def test_a_second_tag_like_another_is_new(home: Path) -> None:
    text = (home / "home.chores").read_text("utf-8")
    commit(home, text + '    oven-grid  5 min  "oven door"\n')
    assert since("HEAD~1") == ("oven door", "")


def test_the_number_of_an_area_is_printed_and_so_a_change_of_it_is_one(home: Path) -> None:
    text = (home / "home.chores").read_text("utf-8")
    commit(home, text.replace("area kitchen\narea hall", "area hall\narea kitchen"))
    assert since("HEAD~1")[0] == "wash up sweep oven"
    assert since("HEAD~1", "--only", "every monday")[0] == "oven"


def test_a_tag_is_taken_out_once_its_line_is_gone(home: Path) -> None:
    text = (home / "home.chores").read_text("utf-8")
    moved = text.replace("    oven-door  5 min\n", "").replace("    dust      5 min\n", "")
    commit(home, moved.replace("    sweep", "    oven-door  5 min\n    sweep"))
    # What has moved is printed anew, and so its old tag is replaced.
    assert since("HEAD~1") == ("oven door", 'take out: "dust" of "every day"\n')
    assert since("HEAD~1", "--only", "every monday") == (
        "",
        'take out: "oven door" of "every monday"\n'
        "besom: there is no new tag to print; nothing is written\n",
    )
    assert since("HEAD~1", "--chore", "sweep") == (
        "",
        "besom: no tag has changed since HEAD~1; nothing is written\n",
    )
    assert since("HEAD~1", "--chore", "oven-door") == ("oven door", "")


def test_changes_of_a_container_that_is_named_are_those_of_it_among_all(home: Path) -> None:
    """A line that is paused now has no tag, by whatever call; it is taken out."""
    text = (home / "home.chores").read_text("utf-8")
    commit(home, text.replace("every monday", "every monday paused"))
    gone = "".join(f'take out: "{one}" of "every monday"\n' for one in ("oven", "oven door"))
    said = f"{gone}besom: there is no new tag to print; nothing is written\n"
    assert since("HEAD~1") == since("HEAD~1", "--only", "every monday") == ("", said)


def test_lines_that_cannot_be_read_are_counted_though_no_tag_has_changed(home: Path) -> None:
    commit(home, (home / "home.chores").read_text("utf-8") + "every mondey\n")
    result = besom("--since", "HEAD~1", "-o", "x.pdf", "--on", ON)
    assert result.exit_code == 0
    assert "no tag has changed" in result.stderr
    assert "1 line could not be used in full" in result.stderr


def test_wrong_calls_are_told_what_to_write(example: Path, tmp_path: Path) -> None:
    folder = str(example)
    for words, told in (
        (("--tag", "60"), '"60" is no size; write width and height, such as `60x25mm`'),
        (("--tag", "9x9cm", "--page", "A9"), '"A9" is no page; write A4, A5, A6, letter'),
        (("--tag", "8x60mm"), "8 x 60 mm is too small for a tag; its sides are at least"),
        (("--tag", "15x15mm"), "15 x 15 mm is too small for a tag"),
        (("--tag", "195x20mm"), "195 x 20 mm does not fit on a page of 210 x 297 mm"),
        (("--skip", "3"), "--skip counts the labels of a sheet; name it by --sheet"),
        (("--sheet", "3x8-70x37mm", "--skip", "24"), "a sheet has 24 labels; skip at most 23"),
        (("--sheet", "3x8-70x37mm", "--tag", "60x25"), "--sheet says all measures; leave --tag"),
        (("--sheet", "3x8-70x37mm", "--page", "A4"), "leave --page out"),
        (("--sheet", "3x8-70x37"), "did you mean `3x8-70x37mm`?"),
        (("--sheet", "stars"), "name a file with measures, or one of 2x4-99.1x67.7mm, "),
        (("--sheet", folder), "is a folder"),
    ):  # fmt: skip
        assert told in refused(folder, *words), words
    empty = book(tmp_path / "empty", "every day paused", "    a 5 min")
    assert "the book has no chore now or to come: there is no tag to print" in refused(str(empty))


def layout(*changes: tuple[str, str]) -> str:
    """What a layout with some changes is told, on its file `my.toml`."""
    text = LAYOUT.format(page="A4")
    for before, after in changes:
        assert before in text
        text = text.replace(before, after)
    from ledger.render.paper.layouts import LayoutFault

    with pytest.raises(LayoutFault) as told:
        read_layout(Source("my.toml", text))
    return str(told.value)


def test_a_wrong_layout_is_told_with_its_file_and_line() -> None:
    for changes, told in (
        ([("columns = 3", "colums = 3")], 'my.toml:3: there is no "colums"; did you mean "colum'),
        ([("columns", "gap")], 'my.toml:3: there is no "gap"; write page, label, columns, rows, '),
        ([("rows = 4\n", "")], 'my.toml: lacks "rows"; write it as `rows = 8`'),
        ([("= 4", '= "four"')], 'my.toml:4: rows: "four" is no whole number from 1 to 100'),
        ([("= 4", "= 4.5")], 'my.toml:4: rows: "4.5" is no whole number'),
        ([("= 4", '= "0000000009999"')], 'my.toml:4: rows: "0000000009999" is no whole number'),
        ([("= 4", f"= {'9' * 5000}")], "my.toml: cannot be read as TOML (a number has too many"),
        ([("= 4", f"= 0x{'f' * 5000}")], "my.toml:4: rows: a number has too many digits"),
        ([("= 4", "= 0")], 'my.toml:4: rows: "0" is no whole number'),
        ([("= 7", "= -7")], 'my.toml:5: margin-left: "-7" is no length; write millimetres'),
        ([("A4", "A9")], 'my.toml:1: page: "A9" is no page; write A4, A5'),
        ([("55x30mm", "wide")], 'my.toml:2: label: "wide" is no size'),
        ([('"A4"', "A4")], "my.toml:1:8: cannot be read as TOML (Invalid value); write lines such"),
        ([("rows", "columns")], "my.toml:4:12: cannot be read as TOML (Cannot overwrite a value)"),
        ([("= 4", "= 9")], "my.toml: 9 rows need 12 + 8 x 33 + 30 = 306 mm, and the page"),
        ([("= 3", "= 4")], "my.toml: 4 columns need 7 + 3 x 60.5 + 55 = 243.5 mm, and the page"),
        ([("60.5", "50")], "my.toml: columns 50 mm apart overlap: each of them takes 55 mm"),
    ):  # fmt: skip
        assert layout(*changes).startswith(told)


def test_our_layouts_fill_their_pages() -> None:
    for name in names():
        grid = read_layout(load_source(path_of(name)))
        assert grid.left == pytest.approx(grid.right, abs=0.2), name
        assert grid.top == pytest.approx(grid.bottom, abs=0.6), name
        assert check_size(grid.box) == grid.box
