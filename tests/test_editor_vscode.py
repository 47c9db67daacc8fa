"""VS Code: the colours of a chore book, and how its lines are typed."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from highlighting import EXAMPLE, books, disagreements, half_typed, words_of
from node_scripts import EXTENSION, extension_packages, tells

from ledger.text.classes import CLASSES, classes_of
from ledger.text.parser import ParseNode, kind_of, parser

GRAMMAR = EXTENSION / "syntaxes" / "chores.tmLanguage.json"
CONFIGURATION = json.loads((EXTENSION / "language-configuration.json").read_text("utf-8"))
ODD = "q\u0302tage"
"""A name whose first letter no single character stands for."""

Found = Callable[[int, int], str | None]


def scopes() -> dict[str, str]:
    """The scope of each class, as the README tells them."""
    readme = (EXTENSION / "README.md").read_text("utf-8")
    return dict(re.findall(r"^\| `(\w+)` \| `([\w.-]+)` \|$", readme, re.MULTILINE))


def texts(path: Path) -> list[str]:
    """The lines of a book."""
    return re.split("\r?\n", path.read_bytes().decode("utf-8"))


def shown(paths: list[Path]) -> Iterator[Found]:
    """For each file what tells the class that a place is shown as: `a+b` where it has two."""
    classes = {scope: kind for kind, scope in scopes().items()}
    told = {
        "packages": str(extension_packages()),
        "grammar": str(GRAMMAR),
        "files": [*map(str, paths)],
    }
    for path, tokens in zip(paths, tells("vscode/scopes.mjs", told), strict=True):
        yield _classes_at(texts(path), tokens, classes)


def _classes_at(lines: list[str], tokens: list[Any], classes: dict[str, str]) -> Found:
    kinds = {
        (number, unit): "+".join(classes[scope] for scope in scoped if scope in classes)
        for number, line in enumerate(tokens)
        for start, end, *scoped in line
        for unit in range(start, end)
    }

    def found(line: int, column: int) -> str | None:
        units = len(lines[line][:column].encode("utf-16-le")) // 2
        return kinds.get((line, units)) or None

    return found


def shown_lines(lines: list[str], folder: Path) -> list[list[tuple[str, str | None]]]:
    """The words of lines and what they are shown as, cut at blanks and commas."""
    path = folder / "lines.chores"
    path.write_text("\n".join(lines), "utf-8")
    [found] = shown([path])
    return [
        [(word[0], found(number, word.start())) for word in re.finditer(r'"[^"]*"?|[^ \t,]+', line)]
        for number, line in enumerate(lines)
    ]


# ------------------------------------------------------------------ colours


def test_every_word_of_all_books_has_the_scope_of_its_class() -> None:
    paths = books()
    wrong: list[str] = []
    for path, found in zip(paths, shown(paths), strict=True):
        wrong += disagreements(path, found)
        wrong += [
            f"{path.name}:{word.line + 1}: {word.text!r} is not {word.kind} all through"
            for word in words_of(path)
            if {found(word.line, at) for at in range(word.start, word.end)} != {word.kind}
        ]
    assert wrong == []
    assert {word.kind for path in paths for word in words_of(path)} == set(CLASSES)


def test_commas_and_blanks_have_no_class() -> None:
    path = EXAMPLE / "home.chores"
    [found] = shown([path])
    taken = {(word.line, at) for word in words_of(path) for at in range(word.start, word.end)}
    between = {
        (char, kind)
        for number, line in enumerate(texts(path))
        for column, char in enumerate(line)
        if (number, column) not in taken and (kind := found(number, column)) is not None
    }
    assert between == {(" ", "duration")}, "only the blank of `15 min` has one"


def test_words_keep_their_colours_while_the_next_is_typed(tmp_path: Path) -> None:
    begun = half_typed(books())
    path = tmp_path / "begun.chores"
    path.write_text("\n".join(text for text, _ in begun), "utf-8")
    [found] = shown([path])
    wrong = [
        (text, text[word.start : word.end], word.kind, kind)
        for number, (text, words) in enumerate(begun)
        for word in words
        if (kind := found(number, word.start)) != word.kind
    ]
    assert wrong == []
    assert len(begun) > 5000


def test_lines_that_cannot_be_read_are_coloured_as_far_as_they_can(tmp_path: Path) -> None:
    told: dict[str, list[str | None]] = {
        'household "12 Qu': ["keyword", "title"],
        "every mont on 15": ["keyword", None, "keyword", "number"],
        "  oven 5 mi in 5x, yard": ["name", "number", None, "keyword", None, "area"],
        "  oven berlin kitchen": ["name", None, None],
        "  oven in kitchen,": ["name", "keyword", "area"],
        "  oven by noor then": ["name", "keyword", "person", "keyword"],
        "2026-03-04 di": ["date", None],
        "2026-03-04 did oven, sweep 4": ["date", "verb", "name", "name", "number"],
        "vacuum-in kitchen": [None, None],
        "<<<<<<< ours": [None, None],
        "limit edie 5 min": ["keyword", "person", "duration", "duration"],
    }
    found = shown_lines([*told], tmp_path)
    assert dict(zip(told, ([kind for _, kind in line] for line in found), strict=True)) == told


def test_grammar_has_the_scopes_of_the_table_and_no_others() -> None:
    named = set(re.findall(r'"name": "([\w.-]+\.chores)"', GRAMMAR.read_text("utf-8")))
    parts = {name for name in named if name.startswith(("punctuation.", "constant.character."))}
    assert named - parts == set(scopes().values())
    assert list(scopes()) == list(CLASSES)


# ------------------------------------------------------------------ typing


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("küche", ["küche"]),
        ("    make-beds  5 min", ["make-beds", "5", "min"]),
        (f"by {ODD} or 山田", ["by", ODD, "or", "山田"]),
        ("2026-03-04 did 𝒳-rays,bins", ["2026-03-04", "did", "𝒳-rays", "bins"]),
        ('"Mop, twice" # - done', ["Mop", "twice", "done"]),
    ],
)
def test_a_name_is_one_word_to_the_editor(text: str, words: list[str]) -> None:
    assert tells("vscode/matches.mjs", [{**CONFIGURATION["wordPattern"], "text": text}]) == [words]


def test_enter_indents_below_the_headers_of_sections_and_nowhere_else() -> None:
    rule, _ = CONFIGURATION["onEnterRules"]
    assert rule["action"] == {"indent": "indent"}
    lines = sorted({line for path in books() for line in texts(path) if classes_of(line)})
    asked = [{"pattern": rule["beforeText"], "text": line} for line in lines]
    indents = [
        line for line, found in zip(lines, tells("vscode/matches.mjs", asked), strict=True) if found
    ]
    assert indents == [line for line in lines if is_header(line)]
    assert len(indents) > 100


def is_header(line: str) -> bool:
    """Whether a line that can be read opens a section."""
    if line.lstrip(" \t").startswith(("#", "-")):
        return False
    branch = parser().parse(line, kind_of(line))
    return any(
        isinstance(child, ParseNode) and child.rule == "section" for child in branch.children
    )


def test_enter_on_a_blank_line_of_a_section_goes_back_to_the_margin() -> None:
    _, rule = CONFIGURATION["onEnterRules"]
    assert rule["action"] == {"indent": "outdent"}
    lines = ["    ", "\t", "", "    oven", "every day"]
    asked = [{"pattern": rule["beforeText"], "text": line} for line in lines]
    assert tells("vscode/matches.mjs", asked) == [["    "], ["\t"], [], [], []]


def test_titles_and_comments_are_typed_as_the_format_writes_them() -> None:
    assert CONFIGURATION["comments"] == {"lineComment": "#"}
    [pair] = CONFIGURATION["autoClosingPairs"]
    assert (pair["open"], pair["close"]) == ('"', '"')
    assert CONFIGURATION["folding"] == {"offSide": True}
