"""What highlighters of other programs are held to: the classes that the grammar gives words."""

from __future__ import annotations

import os
import re
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import NamedTuple

import pytest

from ledger.text.classes import Classed, classes_of
from ledger.text.source import UNSAFE

ROOT = Path(__file__).parents[1]
EDITORS = ROOT / "editors"
EXAMPLE = ROOT / "examples" / "quarry-lane"
CORPUS = ROOT / "grammar" / "conformance"
EVERY_CONSTRUCT = Path(__file__).with_name("every-construct.chores")
"""All that a line may say, with names that are words of the grammar wherever a name may be one."""

ALL_ARE_HERE = "BESOM_EDITORS"
"""Set, it says that every editor is installed: a test that finds none then fails."""


class Word(NamedTuple):
    """A word that the grammar reads; lines and columns count from 0, in code points."""

    line: int
    start: int
    end: int
    text: str
    kind: str


def books() -> list[Path]:
    """The example, the corpus and every construct, without the cases that are about bytes no editor
    shows."""
    paths = [EVERY_CONSTRUCT, *sorted(EXAMPLE.glob("*.chores")), *sorted(CORPUS.rglob("*.chores"))]
    return [path for path in paths if _is_plain(path)]


def _is_plain(path: Path) -> bool:
    try:
        text = path.read_bytes().decode("utf-8")
    except UnicodeDecodeError:
        return False
    return not any(UNSAFE.search(line) for line in re.split("\r?\n", text))


def words_of(path: Path) -> Iterator[Word]:
    """The words of a book in order."""
    lines = re.split("\r?\n", path.read_bytes().decode("utf-8"))
    for number, line in enumerate(lines):
        for start, end, kind in classes_of(line):
            yield Word(number, start, end, line[start:end], kind)


def half_typed(paths: list[Path]) -> list[tuple[str, tuple[Classed, ...]]]:
    """The lines of books typed up to each of their words: with each, the words before the last."""
    lines = {line for path in paths for line in re.split("\r?\n", path.read_text("utf-8"))}
    return [
        (line[: words[index].end], words[:index])
        for line in sorted(lines)
        for words in [classes_of(line)]
        for index in range(1, len(words))
    ]


def disagreements(path: Path, found: Callable[[int, int], str | None]) -> list[str]:
    """The words whose class differs, said for people.

    `found` gives the class that a highlighter has at a line and a column, both from 0, the
    column in code points; it is asked for the first and the last character of each word.
    """
    return [
        f"{path.name}:{word.line + 1}:{word.start + 1}: {word.text!r} is {word.kind}, not {kind}"
        for word in words_of(path)
        for column in dict.fromkeys((word.start, word.end - 1))
        if (kind := found(word.line, column)) != word.kind
    ]


def program(*names: str) -> str:
    """The path of the first of these programs that is installed.

    Without any the test is skipped; it fails where all are said to be here, as `.ci/run` does.
    """
    for name in names:
        path = shutil.which(name)
        if path is not None:
            return path
    reason = f"needs {' or '.join(names)}"
    if os.environ.get(ALL_ARE_HERE):
        pytest.fail(f"{reason}, and {ALL_ARE_HERE} says that it is installed")
    pytest.skip(reason)
