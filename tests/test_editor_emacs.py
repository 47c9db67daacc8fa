"""Emacs: colours, indentation, sections and files of a chore book."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from emacs_batch import MODE, Emacs, quoted, visited
from highlighting import EXAMPLE, books, disagreements, words_of

from ledger.text.classes import CLASSES


@pytest.fixture(scope="module")
def editor(tmp_path_factory: pytest.TempPathFactory) -> Emacs:
    return Emacs(tmp_path_factory.mktemp("mode"))


def kinds(runs: list[tuple[int, int, int, str]]) -> dict[tuple[int, int], str]:
    """The class that each character is shown as, by line and column."""
    return {
        (line, column): face.removeprefix("chores-").removesuffix("-face")
        for line, start, end, face in runs
        for column in range(start, end)
    }


def shown(runs: list[tuple[int, int, int, str]]) -> Callable[[int, int], str | None]:
    """The class that a place is shown as."""
    faces = kinds(runs)
    return lambda line, column: faces.get((line, column))


# ------------------------------------------------------------------ colours


def test_every_word_of_all_books_has_the_face_of_its_class(editor: Emacs) -> None:
    paths = books()
    found = editor.tells("(faces-of-books)", *map(str, paths))
    wrong: list[str] = []
    for path, runs in zip(paths, found, strict=True):
        wrong += disagreements(path, shown(runs))
    assert wrong == []
    assert {word.kind for path in paths for word in words_of(path)} == set(CLASSES)


def test_commas_and_blanks_have_no_face(editor: Emacs) -> None:
    path = EXAMPLE / "home.chores"
    [runs] = editor.tells("(faces-of-books)", str(path))
    words = {
        (word.line, column) for word in words_of(path) for column in range(word.start, word.end)
    }
    assert kinds(runs).keys() == words


TYPED = {
    "    vac 1 h inn yard by zoë  # so": (
        "name duration duration - - keyword person comment comment"
    ),
    '    vac "Vacuum the': "name title title",
    "    vac 15min in": "name - keyword",
    "2026-11-": "-",
    "2026-11-24 did wash-up 1": "date verb name duration",
    "2026-11-24 dd wash-up": "date - -",
    "limit zoë 1 h and": "keyword person duration duration -",
    "evry day 3 # so": "- - - comment comment",
    "<<<<<<< every day": "- - -",
}
"""Lines that cannot be read, or not yet, and what their words are shown as."""


def test_line_being_typed_keeps_the_faces_of_what_fits(editor: Emacs) -> None:
    text = "\n".join(TYPED)
    find = shown(editor.tells(f"(in-book {quoted(text)} (faces-here))"))
    assert {
        line: " ".join(find(number, word.start()) or "-" for word in re.finditer(r"\S+", line))
        for number, line in enumerate(TYPED)
    } == TYPED


def test_mode_is_compiled_without_a_warning(editor: Emacs) -> None:
    assert editor.said_of_mode == ""


def test_mode_passes_the_check_of_its_documentation(editor: Emacs) -> None:
    check = f"(progn (require 'checkdoc) (checkdoc-file {quoted(MODE)}))"
    assert editor.says("--eval", check) == ""


# ------------------------------------------------------------------ typing


def test_tab_indents_chores_and_nothing_else(editor: Emacs) -> None:
    lines = {
        "every day\nwash-up 5 min": "    wash-up 5 min",
        "every day\n  wash-up 5 min": "    wash-up 5 min",
        "every day\n\tevery 5 min": "    every 5 min",
        "every day\n    a\nevery week": "every week",
        "every day\n2026-11-24 did a": "2026-11-24 did a",
        "every day\nweekend is friday": "weekend is friday",
        "every day\n# a word": "# a word",
        "every day\n": "    ",
        "every day\n    ": "",
        "person al\n": "    ",
        "person al\nwash-up": "wash-up",
    }
    forms = " ".join(f"(tab-on-last-line {quoted(text)})" for text in lines)
    assert editor.tells(f"(vector {forms})") == list(lines.values())


def test_indenting_all_of_the_example_changes_nothing(editor: Emacs) -> None:
    path = EXAMPLE / "home.chores"
    form = f"(with-current-buffer {visited(path)} (indent-region (point-min) (point-max))"
    assert editor.tells(f"{form} (text-of (current-buffer)))") == path.read_text("utf-8")


def test_new_line_below_a_section_is_a_chore_and_an_empty_line_ends_them(editor: Emacs) -> None:
    keys = "every day\nwash-up 5 min\nbins\n\nevery week\nmop\n"
    text = "every day\n    wash-up 5 min\n    bins\n\nevery week\n    mop\n    "
    assert editor.tells(f"(typed {quoted(keys)})") == text


def test_quote_without_its_other_ends_with_its_line(editor: Emacs) -> None:
    text = '    a "half\n    b "a # b" # c "\n    c\n'
    assert editor.tells(f"(columns-of-strings {quoted(text)})") == [False, False, False]


def test_filling_and_commenting_keep_lines_apart(editor: Emacs) -> None:
    text = "every day\n    a  5 min\n    b\n"
    form = (
        f"(in-book {quoted(text)} (forward-line) (fill-paragraph)"
        " (let ((start (point)) (filled (text-of (current-buffer))) commented)"
        " (comment-region start (point-max)) (setq commented (text-of (current-buffer)))"
        " (uncomment-region start (point-max))"
        " (vector filled commented (text-of (current-buffer)))))"
    )
    commented = "every day\n    # a  5 min\n    # b\n"
    assert editor.tells(form) == [text, commented, text]


# ------------------------------------------------------------------ sections


def test_imenu_lists_sections_and_chores_with_their_places(editor: Emacs, tmp_path: Path) -> None:
    path = tmp_path / "home.chores"
    path.write_text(
        'weekend is friday\nweekend 5 paused "A # b"  # c\n    \u00e9tage 5 min\n'
        "14 days after done\n\tmop\n2026-11-24 did mop\n",
        "utf-8",
    )
    sections, chores = editor.tells(f"(imenu-names {quoted(path)})")
    assert sections == [['weekend 5 paused "A # b"', 2, 0], ["14 days after done", 4, 0]]
    assert chores == [["étage", 3, 4], ["mop", 5, 8]]


def test_folding_leaves_the_headers_of_the_example(editor: Emacs) -> None:
    path = EXAMPLE / "home.chores"
    shown = editor.tells(f"(shown-when-folded {quoted(path)})")
    firsts = ("every ", "2 times every ", *(f"weekend {n}" for n in range(1, 6)), "once ")
    headers = [
        line
        for line in path.read_text("utf-8").splitlines()
        if line.startswith(firsts) or "after done" in line
    ]
    assert [line for line in shown[shown.index(headers[0]) :] if line] == headers


# ------------------------------------------------------------------ files


def test_ends_of_lines_and_a_byte_order_mark_outlive_a_change(
    editor: Emacs, tmp_path: Path
) -> None:
    marked, plain, new = (tmp_path / f"{name}.chores" for name in ("marked", "plain", "new"))
    marked.write_bytes(b"\xef\xbb\xbfperson zo\xc3\xab\r\n")
    plain.write_bytes(b"person zo\xc3\xab\n")
    change = "(goto-char (point-max)) (insert (string ?a ?\\u00e9 ?\\n)) (save-buffer)"
    edits = " ".join(
        f"(with-current-buffer {visited(path)} {change})" for path in (marked, plain, new)
    )
    faces = f"(with-current-buffer {visited(marked)} (faces-here))"
    runs = editor.tells(f"(progn {edits} {faces})", locale="C")
    assert kinds(runs)[0, 0] == "keyword"
    assert marked.read_bytes() == b"\xef\xbb\xbfperson zo\xc3\xab\r\na\xc3\xa9\r\n"
    assert plain.read_bytes() == b"person zo\xc3\xab\na\xc3\xa9\n"
    assert new.read_bytes() == b"a\xc3\xa9\n"
