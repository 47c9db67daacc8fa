"""Paper: what all papers share. Titles of any kind, fonts, templates, and where the pages go."""

from __future__ import annotations

import os
import random
import re
import shutil
import signal
import socket
import subprocess
import sys
import time
import unicodedata
from collections.abc import Callable
from datetime import datetime
from io import BytesIO
from pathlib import Path
from threading import Thread
from typing import Any

import pdfplumber
import pytest
from click.testing import CliRunner, Result
from paper_pages import Box, pages_of, unembedded
from pdfminer.converter import PDFPageAggregator
from pdfminer.pdffont import PDFType3Font
from pdfminer.pdfinterp import PDFPageInterpreter, PDFResourceManager
from pdfminer.pdfpage import PDFPage
from test_cli import besom, stop_clock
from tiny_fonts import write_font

from ledger.cli.main import main
from ledger.cli.paper import PAPERS
from ledger.render.paper.fonts import (
    FAMILY,
    OUR_FILES,
    FontFault,
    chosen_fonts,
    lacking,
    our_font,
    read_font,
)
from ledger.render.paper.templates import template_of
from ledger.render.paper.typesetting import PaperFault, typeset

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "quarry-lane"
ON = "2026-11-23"
HEBREW = "שטיפת כלים"
BROOM = "🧹"
NOTO = Path("/usr/share/fonts")
"""Where Debian has its fonts; a test that wants one is skipped where it is missing."""

TITLES = {
    "long": "W" * 200,
    "words": "wash up and " * 16,
    "markup": '*bold* _x_ $x$ [a] \\ @ref <label> // comment "quotes" `raw` = h - l ~ \'',
    "code": '#let x = 1; #panic("no") #read("/etc/passwd") "); panic("no',
    "marks": "cafe\u0301 a\u0308 Zoe\u0308",
    "joined": "soft\u00adhyphen zero\u200bwidth\u200djoiner\ufe0f",
    "blanks": "a\u00a0b\u2009c",
}
"""Titles that our own font has the characters of."""


BOOK = """\
household "Home"
since 2026-11-01
person noor
person tam "Tam, 9"
area kitchen
area hall "Hall, and the stairs"
limit weekday 30 min
limit tam 10 min
every day "Morning tin"
    wash-up  15 min  in kitchen  by noor then tam
    sweep     5 min  in hall  "Sweep the hall"
every monday
    oven     40 min  in kitchen  uses lye
        - Open the window
        - Gloves
"""
RECORD = "2026-11-22 did wash-up 12 min by noor\n2026-11-23 did sweep\n"


def written(title: str) -> str:
    return title.replace("\\", "\\\\").replace('"', '\\"')


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path / "home"
    folder.mkdir()
    monkeypatch.chdir(folder)
    return folder


def write_book(home: Path, title: str, name: str = "x") -> None:
    lines = ['household "Home"', "since 2026-11-01", "area kitchen", "every day"]
    lines += [f'    {name}  5 min  in kitchen  "{written(title)}"', "        - Step"]
    (home / "home.chores").write_text("\n".join(lines) + "\n", "utf-8")


def printed(paper: str, *words: str) -> Result:
    return besom("paper", paper, "--on", ON, *words)


def text_of(pdf: bytes) -> str:
    """All that is written on some pages, without blanks and what has no shape."""
    return bare("".join(word.text for page in pages_of(pdf) for word in page.words))


def bare(text: str) -> str:
    shown = (c for c in unicodedata.normalize("NFC", text) if not c.isspace())
    return "".join(c for c in shown if unicodedata.category(c) != "Cf" and c != "\ufe0f")


def assert_on_the_page(pdf: bytes) -> None:
    for page in pages_of(pdf):
        whole = Box(0, 0, page.width, page.height)
        assert [word for word in page.words if not whole.holds(word.box)] == []


# --------------------------------------------------------------------------------------- titles


@pytest.mark.parametrize("kind", TITLES)
@pytest.mark.parametrize("paper", PAPERS)
def test_title_is_printed_to_the_letter_or_named_with_its_size(
    home: Path, paper: str, kind: str
) -> None:
    """Nothing in a title is ever read as code of a template."""
    title = TITLES[kind]
    write_book(home, title)
    result = printed(paper)
    if result.exit_code == 2:
        assert "too long for its place" in result.stderr
        assert "mm" in result.stderr
        return
    assert (result.exit_code, result.stderr) == (0, "")
    assert bare(title) in text_of(result.stdout_bytes)
    assert_on_the_page(result.stdout_bytes)
    assert unembedded(result.stdout_bytes) == set()


@pytest.mark.parametrize("paper", PAPERS)
def test_longest_name_and_title_of_a_household_are_printed_or_named(home: Path, paper: str) -> None:
    name = "n" * 400
    write_book(home, "x" * 400, name)
    result = printed(paper)
    assert result.exit_code in (0, 2)
    assert result.exit_code == 0 or "too long for its place" in result.stderr.replace("\n", " ")


@pytest.mark.parametrize("paper", PAPERS)
def test_signs_that_no_font_has_are_named_with_their_title(home: Path, paper: str) -> None:
    write_book(home, f"Sweep {BROOM}")
    result = printed(paper, "-o", "x.pdf")
    said = result.stderr.replace("\n ", "")
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"{BROOM} (U+1F9F9)" in said
    assert said.startswith("Error: our font lacks")
    assert f'first in "Sweep {BROOM}"' in said
    assert said.endswith("; name a font file that has it: `--font FILE`\n")
    assert not Path("x.pdf").exists()


@pytest.mark.parametrize("paper", PAPERS)
def test_title_of_another_script_is_printed_in_a_font_that_has_it(home: Path, paper: str) -> None:
    write_book(home, f"{HEBREW} {BROOM}")
    font = write_font(home / "odd.ttf", HEBREW.replace(" ", "") + BROOM)
    result = printed(paper, "--font", str(font))
    assert (result.exit_code, result.stderr) == (0, "")
    text = text_of(result.stdout_bytes)
    # What is written from right to left may lie in the file from left to right.
    for word in HEBREW.split():
        assert word in text or word[::-1] in text
    assert BROOM in text
    assert_on_the_page(result.stdout_bytes)


@pytest.mark.parametrize("paper", PAPERS)
def test_same_book_gives_the_same_bytes_at_any_time(
    home: Path, paper: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    Path("home.chores").write_text(BOOK + RECORD, "utf-8")
    made = []
    for at in (datetime(2026, 12, 24, 8), datetime(2027, 6, 1, 23, 59)):
        stop_clock(monkeypatch, at)
        made.append(printed(paper).stdout_bytes)
    assert made[0].startswith(b"%PDF")
    assert made[0] == made[1]


def test_same_book_gives_the_same_bytes_in_any_process(tmp_path: Path) -> None:
    """Another home, zone, language and order of hashes; the files of the book made the other way
    round."""
    script = (
        "import sys\nfrom ledger.cli.main import main\n"
        "book, *papers = sys.argv[1:]\n"
        "for paper in papers:\n"
        f"    main(['paper', paper, book, '--on', '{ON}', '-o', paper + '.pdf'], "
        "standalone_mode=False)\n"
    )
    made = []
    for number, zone in enumerate(("Pacific/Kiritimati", "America/Los_Angeles")):
        folder, book = tmp_path / str(number), tmp_path / f"{number}" / "book"
        book.mkdir(parents=True)
        files = [("home.chores", BOOK), ("2026.chores", RECORD)]
        for name, text in reversed(files) if number else files:
            (book / name).write_text(text, "utf-8")
        own = {"TZ": zone, "HOME": str(folder), "PYTHONHASHSEED": str(number + 1)}
        own |= {"LC_ALL": ("C.UTF-8", "POSIX")[number], "PYTHONUTF8": "1"}
        subprocess.run(
            [sys.executable, "-c", script, str(book), *PAPERS],
            cwd=folder,
            env={**os.environ, **own, "PYTHONPATH": str(ROOT)},
            check=True,
            capture_output=True,
        )
        made.append([(folder / f"{paper}.pdf").read_bytes() for paper in PAPERS])
    assert made[0] == made[1]


@pytest.mark.parametrize("paper", PAPERS)
def test_nothing_on_a_paper_is_clipped(home: Path, paper: str) -> None:
    Path("home.chores").write_text(BOOK, "utf-8")
    with pdfplumber.open(BytesIO(printed(paper).stdout_bytes)) as document:
        for page in document.pages:
            drawing = b"".join(stream.get_data() for stream in page.page_obj.contents)
            # The operators that make a path one to clip by (ISO 32000-2, 8.5.4).
            assert b"BT" in drawing
            assert re.search(rb"\sW\*?\s", drawing) is None


# --------------------------------------------------------------------------------------- fonts


def fonts_used(result: Result) -> set[str]:
    """The fonts of some pages, without the six letters before the name of a part of a font."""
    assert result.exit_code == 0, result.stderr
    names = {name for page in pages_of(result.stdout_bytes) for name in page.fonts}
    return {name.partition("+")[2] or name for name in names}


def test_font_with_letters_and_figures_is_asked_before_ours_another_behind_it(home: Path) -> None:
    write_book(home, f"Sweep 12 {BROOM}")
    letters = "".join(map(chr, range(0x20, 0x7F)))
    signs = write_font(home / "signs.ttf", f"0123456789{BROOM}", "Signs")
    whole = write_font(home / "whole.ttf", letters, "Whole")
    assert [font.family for font in chosen_fonts([signs, whole])] == ["Whole", FAMILY, "Signs"]
    # A font of pictures has figures of its own, and no minutes are set in them.
    assert fonts_used(printed("week", "--font", str(signs))) == {
        "SourceSansPro-Bold", "SourceSansPro-Regular", "SourceSansPro-Semibold", "Signs-Regular",
    }  # fmt: skip
    used = fonts_used(printed("week", "--font", str(signs), "--font", str(whole)))
    assert used == {"Signs-Regular", "Whole-Regular"}


def test_other_face_of_our_own_family_stands_in_place_of_ours(home: Path) -> None:
    write_book(home, "Sweep")
    black = OUR_FILES[0].with_name("SourceSansPro-Black.ttf")
    assert fonts_used(printed("week", "--font", str(black))) == {"SourceSansPro-Black"}


def test_fonts_that_lack_a_sign_are_named(home: Path) -> None:
    write_book(home, f"Sweep {BROOM}{HEBREW}")
    font = write_font(home / "x.ttf", HEBREW.replace(" ", ""), "Signs")
    said = printed("week", "--font", str(font)).stderr
    assert f"Error: our font and Signs lack {BROOM} (U+1F9F9), first in" in said


def test_all_is_bold_only_with_a_word(home: Path) -> None:
    """Where no plain face of a font for all the text is given, that is said; of a font that is only
    for signs, one face is enough."""
    write_book(home, f"Sweep {BROOM}")
    letters = "".join(map(chr, range(0x20, 0x7F)))
    signs = write_font(home / "signs.ttf", BROOM, "Signs", weight=700)
    bold = write_font(home / "bold.ttf", letters, "Whole", weight=700)
    plain = write_font(home / "plain.ttf", letters, "Whole")
    for files, is_told in (([], False), ([bold], True), ([bold, plain], False), ([plain], False)):
        words = [word for file in (*files, signs) for word in ("--font", str(file))]
        result = printed("week", *words)
        assert result.exit_code == 0
        assert result.stderr == is_told * (
            "besom: Whole is given in bold only, so all is bold; give its plain file too, "
            "by another `--font`\n"
        )


@pytest.mark.parametrize("name", ["x.otf", "x", "x.bin"])
def test_font_is_known_by_what_it_holds_not_by_its_name(home: Path, name: str) -> None:
    write_book(home, f"Sweep {BROOM}")
    write_font(home / name, BROOM, "Signs")
    assert "Signs-Regular" in fonts_used(printed("week", "--font", name))


def test_font_whose_weight_varies_is_taken_as_it_is(home: Path) -> None:
    write_book(home, f"Sweep {BROOM}")
    font = write_font(home / "x.ttf", BROOM, "Signs", weights=(400, 700))
    assert BROOM in text_of(printed("week", "--font", str(font)).stdout_bytes)


@pytest.mark.parametrize(
    ("file", "letters", "family"),
    [
        ("opentype/noto/NotoSansCJK-Regular.ttc", "浴室を洗う", "Noto Sans CJK JP"),
        ("truetype/noto/NotoColorEmoji.ttf", "👩\u200d🍳👍🏽1\ufe0f\u20e3", "Noto Color Emoji"),
        ("truetype/noto/NotoSansHebrew-Regular.ttf", HEBREW, "Noto Sans Hebrew"),
        ("truetype/noto/NotoSansDevanagari-Regular.ttf", "क्षि", "Noto Sans Devanagari"),
        ("truetype/dejavu/DejaVuSansCondensed.ttf", "☃ ⚙ ⅐", "DejaVu Sans"),
    ],
)
def test_fonts_of_a_system_have_what_their_scripts_need(
    home: Path, file: str, letters: str, family: str
) -> None:
    font = NOTO / file
    if not font.exists():
        pytest.skip("this system has no such font")
    assert read_font(font).family == family
    write_book(home, letters)
    assert printed("week").exit_code == 2
    result = printed("week", "--font", str(font))
    assert (result.exit_code, result.stderr) == (0, "")
    assert not missing_signs(result.stdout_bytes)


def test_file_that_is_no_font_is_told_from_one(home: Path) -> None:
    write_book(home, "Sweep")
    Path("text.ttf").write_text("no font", "utf-8")
    Path("empty.ttf").touch()
    Path("folder").mkdir()
    os.mkfifo("pipe.ttf")
    for name, why in {
        "text.ttf": "is no font; name a .ttf, .otf or .ttc file",
        "empty.ttf": "is no font",
        "pipe.ttf": "is no font",
        "/dev/zero": "is no font",
        "folder": "is a folder; name a font file in it",
        "missing.ttf": "there is no such file",
    }.items():
        result = printed("week", "--font", name)
        assert (result.exit_code, result.stdout) == (2, "")
        assert f"{name}: {why}" in result.stderr


def test_huge_file_is_no_font_and_is_not_read(home: Path) -> None:
    shutil.copyfile(OUR_FILES[0], "huge.ttf")
    os.truncate("huge.ttf", 2**40)
    with pytest.raises(FontFault, match="is no font"):
        read_font(Path("huge.ttf"))


def test_font_with_bytes_turned_over_is_used_or_told(tmp_path: Path) -> None:
    whole = write_font(tmp_path / "whole.ttf", BROOM).read_bytes()
    chance, ends = random.Random(0), set()
    for number in range(60):
        data = bytearray(whole)
        for _ in range(chance.choice((1, 3, 20))):
            data[chance.randrange(len(data))] = chance.randrange(256)
        path = tmp_path / f"{number}.ttf"
        path.write_bytes(data[: chance.choice((None, len(data) // 2, 40))])
        try:
            typeset(template_of("week"), EMPTY_WEEK, chosen_fonts([path]))
            ends.add("used")
        except (FontFault, PaperFault) as fault:
            ends.add("told" if str(path) in str(fault) else str(fault))
    assert ends == {"used", "told"}


EMPTY_WEEK: dict[str, Any] = {
    "title": "Week", "page": {"width": 100, "height": 120}, "large": False, "steps": False,
    "lists": [
        {"name": "", "title": "", "notes": [], "cards": [], "cautions": [], "last_word": ""}
    ],
}  # fmt: skip


class Signs(PDFPageAggregator):
    """Counts the signs of a page that are the sign for 'none': number 0 of each font."""

    missing = 0

    def render_char(self, matrix, font, fontsize, scaling, rise, cid, *rest):  # type: ignore[no-untyped-def]
        # The signs of a font of pictures are numbered from 0.
        self.missing += cid == 0 and not isinstance(font, PDFType3Font)
        return super().render_char(matrix, font, fontsize, scaling, rise, cid, *rest)


def missing_signs(pdf: bytes) -> int:
    manager = PDFResourceManager()
    signs = Signs(manager)
    for page in PDFPage.get_pages(BytesIO(pdf)):
        PDFPageInterpreter(manager, signs).process_page(page)
    return signs.missing


def test_what_is_told_as_missing_is_what_typesetting_would_leave_empty(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The pages themselves say which signs are missing: of texts of letters, marks, joiners and
    pictures, in two fonts that each have some."""
    signs = write_font(tmp_path / "signs.ttf", f"{BROOM}ש")
    fonts = chosen_fonts([signs])
    told = {}
    pieces = (
        "a", "é", "e\u0301", "\u0301", "ש", "ש\u0301", "ש\u05b8", BROOM, "\u200d", "\ufe0f",
        "\u00ad",
        "→", "浴", "क", "\u2009", "\u3000", "\u0378", "\ue000", "\U000e0001", "ﬁ", "x\u20e3",
        f"{BROOM}\u200d{BROOM}", f"{BROOM}\u200d♀",
    )  # fmt: skip
    for piece in pieces:
        told[piece] = bool(lacking([piece], fonts))
        monkeypatch.setattr("ledger.render.paper.typesetting.lacking", lambda *_: {})
        notes = [f"x{piece}" if piece[0] in "\u0301\u200d" else piece]
        data = EMPTY_WEEK | {"lists": [EMPTY_WEEK["lists"][0] | {"notes": notes}]}
        drawn = typeset(template_of("week"), data, fonts).files[0]
        assert bool(missing_signs(drawn)) == told[piece], [f"{ord(sign):04X}" for sign in piece]
    assert set(told.values()) == {True, False}


def test_letter_that_a_font_has_only_put_together_or_only_apart_is_no_fault(
    tmp_path: Path,
) -> None:
    for name, has in (("a.ttf", "é"), ("b.ttf", "e\u0301")):
        font = read_font(write_font(tmp_path / name, has))
        assert lacking(["é", "e\u0301"], [font]) == {}
        assert lacking(["ê"], [font]) == {"ê": "ê"}


# ------------------------------------------------------------------------------------ templates


@pytest.mark.parametrize("paper", PAPERS)
def test_our_template_copied_gives_the_same_pages_and_changed_others(
    home: Path, paper: str
) -> None:
    write_book(home, "Sweep")
    shown = besom("paper", paper, "--show-template").stdout
    assert shown == template_of(paper).read_text("utf-8")
    Path("mine.typ").write_text(shown, "utf-8")
    ours = printed(paper).stdout_bytes
    assert printed(paper, "--template", "mine.typ").stdout_bytes == ours
    Path("mine.typ").write_text(f"{shown}\n#pagebreak()\nmore", "utf-8")
    assert len(pages_of(printed(paper, "--template", "mine.typ").stdout_bytes)) > len(
        pages_of(ours)
    )


HEAD = '#import "@besom/paper:1.0.0": *\n#show: paper\n'
FAULTS = {
    "#let x = (": ("mine.typ:3:9", "unclosed delimiter"),
    "\n#foo(1)": ("mine.typ:4:1", "unknown variable: foo"),
    "#data.nosuch": ("mine.typ:3:6", 'dictionary does not contain key "nosuch"'),
    # What is wrong inside of ours is told at the line that calls it.
    "\n\n#fitted(3, 60mm, 12mm)": ("mine.typ:5:1", "`fitted` needs a text, not int"),
    '#fitted("x", 6, 12mm)': ("mine.typ:3:1", "`fitted` needs lengths, such as 60mm"),
    "#let f(x) = [\n#fitted(x, 60mm, 3mm)]\n#f([a])": ("mine.typ:4:1", "`fitted` needs a text"),
    '#panic("oh no")': ("mine.typ:3:1", "oh no"),
    '#image("no.png")': ("mine.typ:3:7", "file not found"),
    '#include "beside.typ"': ("beside.typ:2:1", "unknown variable: bar"),
    '#read("../secret.txt")': ("mine.typ:3:6", "a template has the files of its folder"),
    '#read("/etc/passwd")': ("mine.typ:3:6", "file not found"),
    '#import "@preview/some:0.1.0": *': ("mine.typ:3:8", "none is downloaded"),
    '#import "@" + "preview/some:0.1.0"': ("mine.typ:3:8", "none is downloaded"),
    '#import "@local/some:0.1.0": *': ("mine.typ:3:8", "package not found"),
    "#let x = 0\n#while x < 20000 { x += 1 }": ("mine.typ:4:1", "loop seems to be infinite"),
    "#let f(x) = f(x + 1)\n#f(1)": ("mine.typ:3", "maximum function call depth exceeded"),
}


@pytest.mark.parametrize("source", FAULTS)
def test_template_that_fails_is_told_with_its_line(home: Path, source: str) -> None:
    write_book(home, "Sweep")
    (home.parent / "secret.txt").write_text("secret", "utf-8")
    Path("beside.typ").write_text("\n#bar()", "utf-8")
    Path("mine.typ").write_text(HEAD + source, "utf-8")
    place, why = FAULTS[source]
    result = printed("week", "--template", "mine.typ", "-o", "x.pdf")
    assert (result.exit_code, result.stdout) == (2, "")
    said = " ".join(result.stderr.split())
    assert said.startswith(f"Error: {place}")
    assert why in said
    assert "--root" not in said
    assert not Path("x.pdf").exists()


def test_template_that_is_no_text_is_told(home: Path) -> None:
    write_book(home, "Sweep")
    Path("bytes.typ").write_bytes(b"#let x = 1\n\xff\xfe")
    Path("folder").mkdir()
    os.mkfifo("pipe.typ")
    for name, why in {
        "bytes.typ": "file is not valid UTF-8",
        "folder": "is a folder; name a template in it, a .typ file",
        "pipe.typ": "is no template; name a .typ file",
        "missing.typ": "there is no such file",
    }.items():
        result = printed("week", "--template", name)
        assert (result.exit_code, result.stdout) == (2, "")
        assert f"{name}: {why}" in result.stderr


@pytest.mark.parametrize("option", ["--font", "--template"])
def test_name_that_no_file_can_have_is_told(home: Path, option: str) -> None:
    write_book(home, "Sweep")
    result = printed("week", option, "x" * 300)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.endswith("there is no such file\n")


@pytest.mark.parametrize("option", ["--font", "--template"])
def test_file_that_may_not_be_read_is_told(
    home: Path, option: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_book(home, "Sweep")
    stat = Path.stat

    def refuse(path: Path, **how: bool) -> os.stat_result:
        if path.name == "locked":
            raise PermissionError(13, "Permission denied")
        return stat(path, **how)

    Path("locked").touch()
    monkeypatch.setattr(Path, "stat", refuse)
    result = printed("week", option, "locked")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == "Error: locked: cannot be read (Permission denied)\n"


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(
    "told",
    [
        "5", '"text"', "none", "(1, 2)", "(untitled: 1)", '(pages: "two")', "(name: 1)", "(:)",
        '(name: "a", width: none, height: 1)', '(name: "a", width: 1, height: 1, more: 1)',
        '(name: "a", shown: 1, chores: 2, hidden: (1,), width: 1, height: 1)', "[content]",
    ],
)  # fmt: skip
def test_template_that_tells_in_another_form_is_told(home: Path, paper: str, told: str) -> None:
    """Whatever stands at the labels by which our templates tell what does not fit."""
    write_book(home, "Sweep")
    for label in ("told", "unfit"):
        Path("mine.typ").write_text(f"#metadata({told}) <{label}>", "utf-8")
        result = printed(paper, "--template", "mine.typ", "-o", "x.pdf")
        assert (result.exit_code, result.stdout) == (2, "")
        said = " ".join(result.stderr.split())
        assert said.startswith(f"Error: mine.typ: the label <{label}> is for what besom reads")
        assert not Path("x.pdf").exists()


@pytest.mark.parametrize("paper", PAPERS)
def test_template_is_shown_without_a_book_and_without_the_extra(
    home: Path, paper: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not list(home.iterdir())
    for name in ("typst", "fontTools"):
        monkeypatch.setitem(sys.modules, name, None)
    monkeypatch.delitem(sys.modules, "ledger.render.paper.typesetting", raising=False)
    result = besom("paper", paper, "--show-template")
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == template_of(paper).read_text("utf-8")


def test_template_has_the_pictures_beside_it_wherever_it_lies(home: Path) -> None:
    write_book(home, "Sweep")
    folder = home.parent / "my templates"
    folder.mkdir()
    assert printed("week", "-o", str(folder / "picture.png")).exit_code == 0
    (folder / "mine.typ").write_text(f'{HEAD}#image("picture.png", width: 20mm)', "utf-8")
    (home / "link.typ").symlink_to(folder / "mine.typ")
    assert printed("week", "--template", "../my templates/mine.typ").exit_code == 0
    assert printed("week", "--template", "link.typ").exit_code == 0


def test_template_asks_no_other_machine_and_leaves_the_settings_of_the_network(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with socket.create_server(("127.0.0.1", 0)) as proxy:
        asked: list[object] = []
        Thread(target=lambda: asked.append(proxy.accept()[0]), daemon=True).start()
        address = f"http://127.0.0.1:{proxy.getsockname()[1]}"
        for name in ("HTTPS_PROXY", "https_proxy", "ALL_PROXY"):
            monkeypatch.setenv(name, address)
        monkeypatch.setenv("NO_PROXY", "*")
        before = dict(os.environ)
        write_book(home, "Sweep")
        Path("mine.typ").write_text('#import "@preview/some:0.1.0": *', "utf-8")
        assert "none is downloaded" in " ".join(
            printed("week", "--template", "mine.typ").stderr.split()
        )
        assert not asked
        # It would have been noticed.
        socket.create_connection(proxy.getsockname()).close()
        wait_for(lambda: bool(asked))
    assert dict(os.environ) == before


def wait_for(is_so: Callable[[], bool]) -> None:
    while not is_so():
        time.sleep(0.02)


def test_template_that_runs_for_long_ends_with_the_keys_that_end_a_command(home: Path) -> None:
    write_book(home, "Sweep")
    Path("mine.typ").write_text(
        '#metadata("#")\n#let x = 0\n'
        "#for i in range(3000) { for j in range(3000000) { x = calc.rem(x + 1, 7) } }",
        "utf-8",
    )
    words = ["-m", "ledger", "paper", "week", "--template", "mine.typ", "-o", "x.pdf"]
    running = subprocess.Popen(
        [sys.executable, *words],
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        stderr=subprocess.PIPE,
        text=True,
        # Who runs the tests in the background has them ignore it, and all they start.
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.SIG_DFL),
    )
    try:
        # It is in its template when it has used more time than it takes to begin.
        wait_for(lambda: time_used(running.pid) > 1.2)
        running.send_signal(signal.SIGINT)
        _, errors = running.communicate(timeout=60)
    finally:
        running.kill()
    assert (running.returncode, errors.strip()) == (1, "Aborted!")
    assert not Path("x.pdf").exists()


def time_used(process: int) -> float:
    """Seconds of work that a process has done."""
    stat = Path(f"/proc/{process}/stat")
    if not stat.exists():
        pytest.skip("this system does not say how long a process worked")
    fields = stat.read_text("utf-8").rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


# ------------------------------------------------------------------------------------- where to


def test_file_is_written_once_and_replaced_only_by_force(home: Path) -> None:
    write_book(home, "Sweep")
    assert printed("week", "-o", "x.pdf").stdout == "x.pdf\n"
    first = Path("x.pdf").read_bytes()
    write_book(home, "Mop")
    result = printed("week", "-o", "x.pdf")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "x.pdf: is there already; `--force` replaces it" in result.stderr
    assert Path("x.pdf").read_bytes() == first
    assert printed("week", "-o", "x.pdf", "--force").exit_code == 0
    assert Path("x.pdf").read_bytes() == printed("week", "-o", "-").stdout_bytes != first


@pytest.mark.parametrize(
    ("words", "begins"),
    [
        (("-o", "x.png"), b"\x89PNG"),
        (("-o", "x.PNG"), b"\x89PNG"),
        (("-o", "x.pdf"), b"%PDF"),
        (("-o", "x"), b"%PDF"),
        (("-o", "x.png", "--as", "png"), b"\x89PNG"),
        (("-o", "x.picture", "--as", "png"), b"\x89PNG"),
    ],
)
def test_name_of_the_file_says_its_form_unless_the_call_does(
    home: Path, words: tuple[str, ...], begins: bytes
) -> None:
    write_book(home, "Sweep")
    assert printed("week", *words).exit_code == 0
    assert Path(words[1]).read_bytes().startswith(begins)


def test_form_that_the_name_of_the_file_denies_is_refused(home: Path) -> None:
    write_book(home, "Sweep")
    for name, form in (("x.pdf", "png"), ("x.PNG", "pdf")):
        result = printed("week", "-o", name, "--as", form)
        assert (result.exit_code, result.stdout) == (2, "")
        said = " ".join(result.stderr.split())
        assert said.startswith(f"Error: {name}: ends in {Path(name).suffix.lower()}, but `--as")
        assert f"name a .{form} file" in said
        assert not Path(name).exists()


LAYOUT = """page = "A4"
label = "70x37mm"
columns = 3
rows = 8
margin-left = "0mm"
margin-top = "0.5mm"
"""


@pytest.mark.parametrize("paper", ["labels", "tags"])
def test_how_to_print_is_said_of_pages_that_are_there(home: Path, paper: str) -> None:
    write_book(home, "Sweep")
    words = ("--sheet", "3x8-70x37mm", "-o", "x.pdf")
    assert "no margin has room for the bar of 50 mm" in printed(paper, *words).stderr
    again = printed(paper, *words)
    assert again.exit_code == 2
    assert "bar" not in again.stderr


def test_file_that_the_call_reads_is_never_replaced(home: Path) -> None:
    """A book, a template, a font and a layout may have any name."""
    Path("plain").write_text(BOOK, "utf-8")
    Path("2026").write_text(RECORD, "utf-8")
    Path("link.pdf").symlink_to("plain")
    Path("form").write_text(template_of("tags").read_text("utf-8"), "utf-8")
    shutil.copyfile(OUR_FILES[0], "letters")
    Path("labels").write_text(LAYOUT, "utf-8")
    before = {path.name: path.read_bytes() for path in home.iterdir()}
    given = ("--template", "form", "--font", "letters", "--sheet", "labels")
    for name in before:
        for force in ((), ("--force",)):
            result = printed("tags", "plain", "2026", *given, "-o", name, *force)
            assert (result.exit_code, result.stdout) == (2, "")
            assert result.stderr == (
                f"Error: {name}: is read by this call, so it is not replaced; name another\n"
            )
    for paper in PAPERS:
        assert printed(paper, "plain", "-o", "plain", "--force").exit_code == 2
    result = printed("labels", "plain", "--sheet", "labels", "-o", "labels", "--force")
    assert result.exit_code == 2
    assert {path.name: path.read_bytes() for path in home.iterdir()} == before
    # What is not read is replaced as before.
    assert printed("week", "plain", "-o", "labels", "--force").exit_code == 0


def test_numbered_page_replaces_no_file_that_the_call_reads(home: Path) -> None:
    text = (EXAMPLE / "home.chores").read_text("utf-8")
    Path("x-2.png").write_text(text, "utf-8")
    result = printed("week", "x-2.png", "--page", "A5", "-o", "x.png", "--force")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "x-2.png: is read by this call" in result.stderr
    assert [path.name for path in home.iterdir()] == ["x-2.png"]
    assert Path("x-2.png").read_text("utf-8") == text


def test_place_that_is_none_is_told_and_nothing_is_written(home: Path) -> None:
    write_book(home, "Sweep")
    Path("folder").mkdir()
    Path("file").touch()
    Path("link.pdf").symlink_to("home.chores")
    os.mkfifo("pipe.pdf")
    before = sorted(home.rglob("*")), Path("home.chores").read_bytes()
    for words, why in {
        ("folder",): "folder: is a folder; name a file in it, such as paper.pdf",
        ("none/x.pdf",): "none: there is no such folder",
        ("file/x.pdf",): "file: there is no such folder",
        ("new.chores",): "new.chores: is the name of a book; name a file such as paper.pdf",
        ("home.chores", "--force"): "home.chores: is the name of a book",
        ("link.pdf", "--force"): "link.pdf: is the name of a book",
        ("pipe.pdf", "--force"): "pipe.pdf: is no ordinary file",
        ("/dev/null", "--force"): "/dev/null: is no ordinary file",
        ("x.jpg",): "x.jpg: a paper is a .pdf or .png file",
        ("x" * 260 + ".pdf",): "cannot be written (File name too long)",
    }.items():
        result = printed("week", "-o", *words)
        assert (result.exit_code, result.stdout) == (2, ""), words
        assert why in " ".join(result.stderr.split()).replace("xx xx", "xxxx"), words
    assert (sorted(home.rglob("*")), Path("home.chores").read_bytes()) == before


def test_folder_that_may_not_be_written_in_is_told(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_book(home, "Sweep")

    def refuse(*_: object, **__: object) -> bool:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("ledger.writing._replace", refuse)
    for words in (("-o", "x.pdf"), ("-o", "x.pdf", "--force")):
        result = printed("week", *words)
        assert result.exit_code == 2
        assert result.stderr == "Error: x.pdf: cannot be written (Permission denied)\n"


def test_full_disk_leaves_the_old_file_and_nothing_beside(home: Path) -> None:
    resource = pytest.importorskip("resource", reason="only Unix can limit the size of a file")
    write_book(home, "Sweep")
    Path("x.png").write_bytes(b"old")
    before = sorted(home.iterdir())
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    for size, why in ((400_000, "x.png: cannot be written"), (40_000, "fonts cannot be copied")):
        resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
        try:
            words = ("--page", "420x594mm", "-o", "x.png", "--force")
            result = besom("paper", "week", str(EXAMPLE), "--on", ON, *words)
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        assert result.exit_code == 2
        assert f"{why}" in result.stderr
        assert "(File too large)" in result.stderr
    assert sorted(home.iterdir()) == before
    assert Path("x.png").read_bytes() == b"old"


def test_pages_of_a_picture_are_numbered_files_each_replaced_whole(home: Path) -> None:
    words = ("paper", "week", str(EXAMPLE), "--on", ON, "--page", "A5")
    result = besom(*words, "-o", "x.png")
    assert result.stdout == "x-1.png to x-3.png\n"
    first = [Path(f"x-{number}.png").read_bytes() for number in (1, 2, 3)]
    assert {data[:4] for data in first} == {b"\x89PNG"}
    Path("x-1.png").unlink()
    Path("x-2.png").write_bytes(b"mine")
    assert besom(*words, "-o", "x.png").exit_code == 2
    assert (Path("x-1.png").exists(), Path("x-2.png").read_bytes()) == (False, b"mine")
    assert besom(*words, "-o", "x.png", "--force").exit_code == 0
    assert [Path(f"x-{number}.png").read_bytes() for number in (1, 2, 3)] == first
    several = besom(*words, "--as", "png")
    assert (several.exit_code, several.stdout) == (2, "")
    assert "there are 3 pages, a file each: name them by `-o FILE.png`" in several.stderr


def test_terminal_gets_no_bytes_of_pages(home: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_book(home, "Sweep")
    monkeypatch.setattr("ledger.cli.papers.output.is_shown", lambda: True)
    result = printed("week", "--as", "png")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == "Error: name a file: `-o FILE.png`\n"


def test_lines_that_cannot_be_read_are_counted_beside_the_paper(home: Path) -> None:
    write_book(home, "Sweep")
    with Path("home.chores").open("a", encoding="utf-8") as book:
        book.write("every mondey\n")
    result = printed("week")
    assert result.stdout_bytes.startswith(b"%PDF")
    assert result.stderr.startswith("besom: 1 line could not be used in full")


# ---------------------------------------------------------------------------------- the extra


BELOW = {"fontTools": ("fontTools.ttLib",)}
"""Modules of a package that may be loaded already."""


@pytest.mark.parametrize(
    ("paper", "blocked"),
    [
        *((paper, "typst") for paper in PAPERS),
        *(("week", one) for one in ("fontTools", "font_source_sans_pro")),
    ],
)
def test_without_the_extra_it_is_said_what_to_install(
    home: Path, paper: str, blocked: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_book(home, "Sweep")
    package = sys.modules["ledger.render.paper"]
    for name in ("fonts", "typesetting"):
        monkeypatch.delitem(sys.modules, f"ledger.render.paper.{name}")
        monkeypatch.delattr(package, name)
    for name in (blocked, *BELOW.get(blocked, ())):
        monkeypatch.setitem(sys.modules, name, None)
    result = CliRunner().invoke(main, ["paper", paper, "-o", "x.pdf"])
    assert result.exit_code == 2
    assert " ".join(result.stderr.split()) == (
        "Error: paper needs typst: pip install '.[paper]' in a copy of besom"
    )
    assert not Path("x.pdf").exists()


def test_our_font_is_the_one_that_its_files_are() -> None:
    assert {read_font(file).family for file in OUR_FILES} == {FAMILY}
    assert our_font().characters == read_font(OUR_FILES[2]).characters
