"""Kate colours the words of a book as the grammar classes them."""

from __future__ import annotations

import html
import json
import os
import re
import subprocess
from functools import partial
from itertools import islice
from pathlib import Path
from xml.etree import ElementTree

import pytest
from highlighting import (
    EDITORS,
    EVERY_CONSTRUCT,
    books,
    disagreements,
    half_typed,
    program,
    words_of,
)

from ledger.cli.main import commands
from ledger.text.classes import CLASSES

SYNTAX = EDITORS / "kate" / "chores.xml"
SPAN = re.compile(r'<span style="color:(#[0-9a-f]{6});">|</span>')


def styles() -> dict[str, str]:
    """The standard style of Kate that each class is linked to."""
    data = ElementTree.parse(SYNTAX).iter("itemData")
    return {item.attrib["name"].lower(): item.attrib["defStyleNum"] for item in data}


def colours() -> dict[str, str]:
    """A colour of its own for each class."""
    return {kind: f"#{number:06x}" for number, kind in enumerate(CLASSES, 0x10)}


def colourful(home: Path) -> None:
    """Put the syntax below a home of Kate's data, and a theme that tells the classes apart."""
    data = home / "org.kde.syntax-highlighting"
    for folder in ("syntax", "themes"):
        (data / folder).mkdir(parents=True)
    (data / "syntax" / SYNTAX.name).write_bytes(SYNTAX.read_bytes())
    text_styles = {
        styles()[kind].removeprefix("ds"): {"text-color": colour}
        for kind, colour in colours().items()
    }
    theme = {
        "metadata": {"name": "Classes", "revision": 1},
        "text-styles": {"Normal": {"text-color": "#000000"}, **text_styles},
        "editor-colors": {},
    }
    (data / "themes" / "classes.theme").write_text(json.dumps(theme))


def painted(lines: list[str], home: Path) -> list[list[str | None]]:
    """The class of each character of each line, as Kate has it."""
    colourful(home)
    book = home / "all.chores"
    book.write_text("".join(f"{line}\n" for line in lines), "utf-8")
    done = subprocess.run(
        [program("kate-syntax-highlighter"), "--theme", "Classes", str(book)],
        env=os.environ | {"XDG_DATA_HOME": str(home), "QT_QPA_PLATFORM": "offscreen"},
        check=True,
        capture_output=True,
    )
    assert done.stderr == b"", "Kate complains of the syntax file"
    page = done.stdout.decode("utf-8")
    body = page[page.index("<pre>\n") + len("<pre>\n") : page.rindex("</pre>")]
    found = [_characters(line) for line in body.split("\n")[: len(lines)]]
    assert ["".join(text for text, _ in line) for line in found] == lines
    return [[kind for _, kind in line] for line in found]


def _characters(line: str) -> list[tuple[str, str | None]]:
    kinds = {colour: kind for kind, colour in colours().items()}
    found: list[tuple[str, str | None]] = []
    kind, at = None, 0
    for span in [*SPAN.finditer(line), None]:
        text = line[at : span.start()] if span else line[at:]
        found += [(character, kind) for character in html.unescape(text)]
        if span:
            kind, at = kinds.get(span[1] or ""), span.end()
    return found


def _kind_at(kinds: list[list[str | None]], line: int, column: int) -> str | None:
    return kinds[line][column]


def test_every_class_has_a_style_of_its_own() -> None:
    linked = [styles()[kind] for kind in CLASSES]
    assert len(set(linked)) == len(CLASSES)


def test_every_word_of_every_book_has_its_class(tmp_path: Path) -> None:
    books_lines = [re.split("\r?\n", path.read_bytes().decode("utf-8")) for path in books()]
    kinds = iter(painted([line for lines in books_lines for line in lines], tmp_path))
    wrong = list[str]()
    for path, lines in zip(books(), books_lines, strict=True):
        of_book = list(islice(kinds, len(lines)))
        wrong += disagreements(path, partial(_kind_at, of_book))
    assert wrong == []
    assert sum(1 for path in books() for _ in words_of(path)) > 20_000


def test_words_keep_their_colours_while_the_next_is_typed(tmp_path: Path) -> None:
    begun = half_typed([EVERY_CONSTRUCT])
    kinds = painted([text for text, _ in begun], tmp_path)
    wrong = [
        (text, text[word.start : word.end], word.kind, of_line[word.start])
        for (text, words), of_line in zip(begun, kinds, strict=True)
        for word in words
        if of_line[word.start] != word.kind
    ]
    assert wrong == []
    assert len(begun) > 300


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("    wash-up 15", ["name", "duration"]),
        ('    wash-up in kitchen "Dishes and', ["name", "keyword", "area", *["title"] * 2]),
        ("    wash-up 15min in kitchen", ["name", None, "keyword", "area"]),
        ("    wash-up by  5 min", ["name", "keyword", "duration", "duration"]),
        ("every monday form 2026-01-01", ["keyword", "keyword", None, "date"]),
        ("2026-01-01 did bins,", ["date", "verb", "name"]),
        ("wash-up by day", [None, None, None]),
    ],
)
def test_half_typed_line_keeps_the_colours_of_what_is_typed(
    line: str, expected: list[str | None], tmp_path: Path
) -> None:
    kinds = painted([line], tmp_path)[0]
    words = re.finditer(r"[^ ,]+", line)
    assert [kinds[word.start()] for word in words] == expected


def test_books_are_given_to_a_language_server_that_there_is() -> None:
    settings = json.loads((EDITORS / "kate" / "language-server.json").read_text("utf-8"))
    (server,) = settings["servers"].values()
    name = ElementTree.parse(SYNTAX).getroot().attrib["name"]
    assert re.fullmatch(server["highlightingModeRegex"], name)
    assert server["command"][0] == "besom"
    assert server["command"][1] in commands()
