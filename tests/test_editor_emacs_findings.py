"""Emacs: what is found in a chore book, by the linter and by the language server."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path
from typing import Any

import pytest
from emacs_batch import DAY, Emacs, quoted, visited
from highlighting import ALL_ARE_HERE

ODD = "q\u0302tage"
"""A name whose first letter no single character stands for."""
HOME = """\
since 2026-11-01
person zoë
person al
area küche

every day
    wash-up  15 min  in küche  by zoë then al
"""
RECORD = f"""\
2026-11-23 did wash-up by zoë "😀"
2026-11-24 did wahs-up by zoë "😀 e\u0301" 5
2026-11-24 skipped wash-up, {ODD}
"""


@pytest.fixture(scope="module")
def editor(tmp_path_factory: pytest.TempPathFactory) -> Emacs:
    return Emacs(tmp_path_factory.mktemp("mode"))


@pytest.fixture
def house(tmp_path: Path) -> Path:
    return household(tmp_path / "house")


def household(folder: Path) -> Path:
    """A household with slips in its record."""
    folder.mkdir()
    (folder / "home.chores").write_text(HOME, "utf-8")
    (folder / "2026.chores").write_text(RECORD, "utf-8")
    return folder


# ------------------------------------------------------------------ findings


def test_findings_are_marked_at_their_words_behind_emoji_and_accents(
    editor: Emacs, house: Path
) -> None:
    found = editor.tells(f"(findings-in {visited(house / '2026.chores')})")
    assert [(line, text, weight) for line, text, weight, _ in found] == [
        (2, "5", ":error"),
        (3, ODD, ":error"),
    ]
    assert found[1][3].startswith(f'"{ODD}" is no chore of this household [unknown-name]\n')


def test_findings_know_what_other_buffers_have_not_saved(editor: Emacs, house: Path) -> None:
    change = "(goto-char (point-max)) "
    change += f"(insert {quoted(f'    {ODD}  2 min')} (string ?\\n))"
    unsaved = f"(with-current-buffer {visited(house / 'home.chores')} {change})"
    found = editor.tells(f"(progn {unsaved} (findings-in {visited(house / '2026.chores')}))")
    assert [text for _, text, _, _ in found] == ["5"]
    assert (house / "home.chores").read_text("utf-8") == HOME


def test_record_in_a_folder_below_is_read_with_the_routine_above_in_a_clone(
    editor: Emacs, house: Path
) -> None:
    below = house / "record" / "2026.chores"
    below.parent.mkdir()
    (house / "2026.chores").rename(below)
    subprocess.run(["git", "init", "-q", str(house)], check=True)
    found = editor.tells(
        f"(progn (setq vc-handled-backends '(Git)) (findings-in {visited(below)}))"
    )
    assert [text for _, text, _, _ in found] == ["5", ODD]


def test_record_whose_routine_is_elsewhere_has_no_unknown_names(
    editor: Emacs, tmp_path: Path
) -> None:
    path = tmp_path / "alone" / "2026.chores"
    path.parent.mkdir()
    path.write_text(RECORD, "utf-8")
    found = editor.tells(f"(findings-in {visited(path)})")
    assert [text for _, text, _, _ in found] == ["5"]


def test_folder_set_by_hand_is_the_household(editor: Emacs, house: Path) -> None:
    (house / "routine").mkdir()
    (house / "record").mkdir()
    (house / "home.chores").rename(house / "routine" / "home.chores")
    (house / "2026.chores").rename(house / "record" / "2026.chores")
    (house / ".dir-locals.el").write_text(f"((nil . ((chores-folder . {quoted(house)}))))")
    found = editor.tells(f"(findings-in {visited(house / 'record' / '2026.chores')})")
    assert [text for _, text, _, _ in found] == ["5", ODD]


def test_findings_leave_no_file_behind(editor: Emacs, house: Path, tmp_path: Path) -> None:
    rest = tmp_path / "rest"
    rest.mkdir()
    form = f"(setq temporary-file-directory {quoted(str(rest) + '/')})"
    editor.tells(f"(progn {form} (findings-in {visited(house / '2026.chores')}))")
    assert list(rest.iterdir()) == []


def test_next_error_goes_to_what_compile_found(editor: Emacs, house: Path) -> None:
    places = editor.tells(f"(errors-visited {quoted(house / '2026.chores')})")
    assert places[:2] == [["2026.chores", 2, "5"], ["2026.chores", 3, ODD]]


# ------------------------------------------------------------------ the language server


SPACED = '2026-11-25  did  mop  "😀"\n'
"""A line of the record that the formatter would write otherwise."""


@pytest.fixture(scope="module")
def answers(editor: Emacs, tmp_path_factory: pytest.TempPathFactory) -> list[Any]:
    """What the language server answers in one session, in the record of a household."""
    if not editor.tells('(if (progn (package-initialize) (locate-library "eglot")) t :false)'):
        if os.environ.get(ALL_ARE_HERE):
            pytest.fail(f"needs Eglot, and {ALL_ARE_HERE} says that it is installed")
        pytest.skip("needs Eglot")
    house = household(tmp_path_factory.mktemp("served") / "house")
    asked = (
        "(server-findings)",
        '(completed-behind "skipped wash")',
        '(place-of-declaration "wash-up")',
        f'(renamed "wash-up" "dishes" {quoted(house / "home.chores")})',
        f"(formatted-with {quoted(SPACED)})",
        f"(aref (imenu-names {quoted(house / 'home.chores')}) 0)",
    )
    record = quoted(house / "2026.chores")
    told = editor.tells(f"(with-server {record} {quoted(DAY)} (vector {' '.join(asked)}))")
    assert isinstance(told, list)
    return told


def test_language_server_marks_its_findings_at_their_words(answers: list[Any]) -> None:
    found = answers[0]
    assert [(line, text) for line, text, _, _ in found] == [(2, "5"), (3, ODD)]
    assert f'"{ODD}" is no chore of this household' in found[1][3]


def test_language_server_completes_a_name(answers: list[Any]) -> None:
    assert answers[1] == ["wash-up"]


def test_language_server_leads_from_the_record_to_the_chore(answers: list[Any]) -> None:
    assert answers[2] == ["home.chores", 7]


def test_language_server_renames_a_chore_in_every_book(answers: list[Any]) -> None:
    assert answers[3] == [text.replace("wash-up", "dishes") for text in (RECORD, HOME)]


def test_language_server_formats_a_book_behind_wide_characters(answers: list[Any]) -> None:
    assert answers[4] == RECORD.replace("wash-up", "dishes") + '2026-11-25 did mop "😀"\n'


def test_sections_are_listed_by_the_mode_beside_a_language_server(answers: list[Any]) -> None:
    assert answers[5] == [["every day", 6, 0]]
