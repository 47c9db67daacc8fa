"""nano colours the words of a book as the grammar classes them."""

from __future__ import annotations

import os
import pty
import re
import select
import time
from collections.abc import Iterator
from functools import partial
from itertools import islice
from pathlib import Path
from typing import NamedTuple

import pyte
import pytest
from click.testing import CliRunner
from highlighting import EDITORS, books, disagreements, program, words_of

from ledger.cli.main import main
from ledger.text.classes import CLASSES

SYNTAX = EDITORS / "nano" / "chores.nanorc"
COLUMNS = 400
LAST = "# the last of all lines"
PATIENCE = 60.0
SHOWN_AS = {
    ("cyan", False): "comment",
    ("green", False): "title",
    ("magenta", False): "date",
    ("brightbrown", False): "duration",
    ("brown", False): "number",
    ("brightcyan", False): "verb",
    ("default", True): "name",
    ("brightmagenta", False): "person",
    ("brightgreen", False): "area",
    ("brightblue", False): "keyword",
}
"""The class of each colour, and whether bold: pyte has `brown` for what nano calls yellow."""


class Screen(pyte.Screen):
    """A terminal that gives every character a cell, however wide it is and whatever it marks."""

    def draw(self, data: str) -> None:
        row = self.buffer[self.cursor.y]
        for character in data:
            row[self.cursor.x] = self.cursor.attrs._replace(data=character)
            self.cursor.x += 1


class Shown(NamedTuple):
    """What nano shows of a file: its lines with the look of each of their cells, and all text."""

    rows: list[list[tuple[str, str | None]]]
    text: str


def shown(lines: list[str], folder: Path, syntax: Path = SYNTAX) -> Shown:
    """What nano shows of a file of these lines, on a screen that is high enough for all."""
    book = folder / "all.chores"
    book.write_text("".join(f"{line}\n" for line in [*lines, LAST]), "utf-8")
    height = len(lines) + 10
    screen = Screen(COLUMNS, height)
    pyte.ByteStream(screen).feed(_output_of_nano(book, height, syntax))
    rows = [[screen.buffer[row][at] for at in range(COLUMNS)] for row in range(height)]
    return Shown(
        [[(cell.data, SHOWN_AS.get((cell.fg, cell.bold))) for cell in row] for row in rows],
        "\n".join("".join(cell.data for cell in row).rstrip() for row in rows),
    )


def _output_of_nano(book: Path, height: int, syntax: Path) -> bytes:
    """All that nano writes until it has shown the last line."""
    nano, child, terminal = program("nano"), *pty.fork()
    if child == 0:
        size = {"LINES": str(height), "COLUMNS": str(COLUMNS)}
        others = {"TERM": "xterm-256color", "LC_ALL": "C.UTF-8"}
        arguments = [nano, "--rcfile", str(syntax), "--view", str(book)]
        os.execve(nano, arguments, os.environ | size | others)
    output, deadline = b"", time.monotonic() + PATIENCE
    try:
        while LAST.encode() not in output:
            assert select.select([terminal], [], [], deadline - time.monotonic())[0], output
            output += os.read(terminal, 1 << 16)
    finally:
        os.close(terminal)
        os.waitpid(child, 0)
    return output


def painted(lines: list[str], folder: Path) -> list[list[str | None]]:
    """The class of each character of each line, as nano has it; a blank's is the one before it."""
    rows = shown(lines, folder).rows[1 : len(lines) + 1]
    return [list(_kinds(line, row)) for line, row in zip(lines, rows, strict=True)]


def _kinds(line: str, row: list[tuple[str, str | None]]) -> Iterator[str | None]:
    cells = [cell for cell in row if not cell[0].isspace()]
    assert "".join(text for text, _ in cells) == re.sub(r"\s", "", line)
    kinds, kind = iter(kind for _, kind in cells), None
    for character in line:
        kind = kind if character.isspace() else next(kinds)
        yield kind


def _kind_at(kinds: list[list[str | None]], line: int, column: int) -> str | None:
    return kinds[line][column]


def test_every_class_has_a_look_of_its_own() -> None:
    assert sorted(SHOWN_AS.values()) == sorted(CLASSES)


def test_nano_loads_the_syntax_without_complaint(tmp_path: Path) -> None:
    assert "Mistakes in" not in shown([], tmp_path).text
    broken = tmp_path / "broken.nanorc"
    broken.write_text(f'{SYNTAX.read_text("utf-8")}color green "(" \n', "utf-8")
    assert "Mistakes in" in shown([], tmp_path, broken).text


def test_every_word_of_every_book_has_its_class(tmp_path: Path) -> None:
    books_lines = [re.split("\r?\n", path.read_bytes().decode("utf-8")) for path in books()]
    kinds = iter(painted([line for lines in books_lines for line in lines], tmp_path))
    wrong = list[str]()
    for path, lines in zip(books(), books_lines, strict=True):
        wrong += disagreements(path, partial(_kind_at, list(islice(kinds, len(lines)))))
    assert wrong == []
    assert sum(1 for path in books() for _ in words_of(path)) > 20_000


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("    wash-up 15", ["name", "number"]),
        ('    wash-up in kitchen "Dishes and', ["name", "keyword", "area", *["title"] * 2]),
        ("    wash-up 15min in kitchen", ["name", None, "keyword", "area"]),
        ("    wash-up by  5 min", ["name", "keyword", "duration", "duration"]),
        ("every monday form 2026-01-01", ["keyword", "keyword", None, "date"]),
        ("2026-01-02 did bins,", ["date", "verb", "name"]),
    ],
)
def test_half_typed_line_keeps_the_colours_of_what_is_typed(
    line: str, expected: list[str | None], tmp_path: Path
) -> None:
    kinds = painted([line], tmp_path)[0]
    assert [kinds[word.start()] for word in re.finditer(r"[^ ,]+", line)] == expected


def test_linter_says_of_the_whole_folder_what_nano_can_read(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("home.chores").write_text("person ada\nevery day\n    sweep  by adda\n", "utf-8")
    Path("2026.chores").write_text("2026-01-05 did sweep by ada\n", "utf-8")
    linter = re.search(r"^linter besom (.+)$", SYNTAX.read_text("utf-8"), re.MULTILINE)
    assert linter is not None
    said = CliRunner().invoke(main, [*linter[1].split(), "2026.chores"]).output
    assert re.findall(r"^([^\s:]+):(\d+):(\d+): error", said, re.MULTILINE) == [
        ("home.chores", "3", "15")
    ]
