"""Vim: colours, settings, indent and folds in a chore book."""

from __future__ import annotations

from pathlib import Path

import pytest
from highlighting import EVERY_CONSTRUCT, EXAMPLE, books, disagreements, half_typed, program
from vim_sessions import Editor, ends_of_words, written

from ledger.text.classes import CLASSES

RECORD = EXAMPLE / "2026.chores"
FIRST_ENGINE, BOTH_ENGINES = "1", "0"
"""What 'regexpengine' may be: Vim has an old engine, and one that it takes where it can."""


@pytest.fixture
def vim(tmp_path: Path) -> Editor:
    return Editor(program("vim"), tmp_path)


@pytest.mark.parametrize("engine", [BOTH_ENGINES, FIRST_ENGINE])
def test_each_word_has_the_class_that_the_grammar_gives_it(vim: Editor, engine: str) -> None:
    found = vim.classes(ends_of_words(books()), "--cmd", f"set regexpengine={engine}")
    differing = [
        line
        for path, classes in found.items()
        for line in disagreements(path, lambda *place, known=classes: known[place])
    ]
    assert differing == []


def test_line_ends_of_two_kinds_change_no_class(vim: Editor) -> None:
    lines = ["person ida", "every day", "    zip 5 min in hall by ida", "2026-03-01 did zip"]
    text = "".join(line + end for line in lines for end in ("\r\n", "\n"))
    path = written(vim.folder, "both.chores", text)
    classes = vim.classes(ends_of_words([path]))[path]
    assert disagreements(path, lambda *place: classes[place]) == []


def test_words_keep_their_colours_while_the_next_is_typed(vim: Editor) -> None:
    begun = half_typed([EVERY_CONSTRUCT])
    path = written(vim.folder, "begun.chores", "".join(f"{text}\n" for text, _ in begun))
    places = [(line, word.start) for line, (_, words) in enumerate(begun) for word in words]
    found = vim.classes({path: places})[path]
    wrong = [
        (text, text[word.start : word.end], word.kind, found[line, word.start])
        for line, (text, words) in enumerate(begun)
        for word in words
        if found[line, word.start] != word.kind
    ]
    assert wrong == []
    assert len(begun) > 300


@pytest.mark.parametrize(
    ("line", "classes"),
    [
        ("    zip 5 min in hal", "name duration duration keyword area"),
        ("    zip 5", "name duration"),
        ("    zip 5 mni in hall", "name duration - - -"),
        ("    zip by", "name keyword"),
        ('    zip "half', "name title"),
        ('    zip "half#done', "name title"),
        ("every 2 weaks on friday", "keyword number - - -"),
        ("limit ida 1 h 30", "keyword person duration duration duration"),
        ("2026-03-01 did zip 5 mni #late", "date verb name duration - comment"),
        ("2026-03-01 moved zip to", "date verb name keyword"),
        ("evry day", "- -"),
    ],
)
def test_what_is_half_typed_keeps_its_colours(vim: Editor, line: str, classes: str) -> None:
    path = written(vim.folder, "half.chores", line + "\n")
    starts = [at for at in range(len(line)) if line[at] != " " and (at == 0 or line[at - 1] == " ")]
    found = vim.classes({path: [(0, at) for at in starts]})[path]
    assert [kind or "-" for kind in found.values()] == classes.split()


def test_classes_have_colours_of_the_standard_groups(vim: Editor) -> None:
    told = vim.tells(
        """\
function! Told() abort
  setfiletype chores
  return map(g:asked, 'synIDattr(synIDtrans(hlID("chores" . v:val)), "name")')
endfunction
""",
        [kind.title() for kind in CLASSES],
    )
    # Where a colour scheme says nothing else, Vim itself links these on to others.
    standard = {"Comment", "Constant", "Identifier", "Statement", "Type"}
    assert dict(zip(CLASSES, told, strict=True)).keys() == set(CLASSES)
    assert set(told) == standard


def test_end_of_a_long_record_is_coloured_without_the_lines_above(vim: Editor) -> None:
    told = vim.tells(
        """\
function! Told() abort
  execute 'edit' g:asked
  syntime on
  let name = synIDattr(synID(line('$'), 1, 1), 'name')
  redir => report
  silent syntime report
  redir END
  return [name, map(split(report, "\\n"), 'str2nr(split(v:val . " 0 0")[1])')]
endfunction
""",
        str(RECORD),
    )
    name, tries = told
    assert name == "choresDate"
    assert 0 < max(tries) < 50


SETTINGS = ["filetype", "commentstring", "expandtab", "shiftwidth", "fileencoding"]

SET_AND_UNSET = [
    *("comments", "commentstring", "formatoptions", "expandtab", "shiftwidth", "softtabstop"),
    *("iskeyword", "foldmethod", "foldexpr", "autoindent", "indentexpr", "indentkeys"),
]


def test_book_is_known_by_its_name_and_has_its_settings(vim: Editor) -> None:
    told = vim.tells(
        """\
function! Told() abort
  edit new.chores
  let in_book = map(copy(g:asked), 'eval("&l:" . v:val)')
  let name = matchstr('in wash-up 5', '\\k\\+', 3)
  edit chores
  return [in_book, name, &l:filetype]
endfunction
""",
        SETTINGS,
    )
    assert told == [["chores", "# %s", 1, 4, "utf-8"], "wash-up", ""]


def test_settings_go_when_a_buffer_becomes_something_else(vim: Editor) -> None:
    told = vim.tells(
        """\
function! Told() abort
  let before = Settings()
  let g:chores_folding = 1
  edit new.chores
  let in_book = Settings()
  set filetype=
  return [before, in_book, Settings()]
endfunction
function! Settings() abort
  return map(copy(g:asked), 'eval("&l:" . v:val)')
endfunction
""",
        SET_AND_UNSET,
    )
    before, in_book, after = told
    assert all(one != other for one, other in zip(before, in_book, strict=True))
    assert after == before


TYPED = """\
function! Told() abort
  edit new.chores
  execute "normal! i" . g:asked
  return getline(1, '$')
endfunction
"""


def test_typed_lines_stand_where_they_belong(vim: Editor) -> None:
    lines = [
        "person ida",
        "every day",
        "    zip  5 min",
        "    every-room  5 min",
        "weekend 1",
        "    zap  # twice",
        "    zop",
        "14 days after done",
        "    zup",
        "",
        "weekend is saturday",
        "2026-03-01 did zip",
        "2026-03-02 did zip",
    ]
    assert vim.tells(TYPED, "\r".join(line.strip() for line in lines)) == lines


def test_line_that_is_split_below_a_chore_is_a_chore(vim: Editor) -> None:
    told = vim.tells(TYPED, "every day\rzip  5 min zap\x1bFzi\r")
    assert [line.rstrip() for line in told] == ["every day", "    zip  5 min", "    zap"]


def test_indenting_a_whole_book_moves_no_line_across_the_margin(vim: Editor) -> None:
    book = "every day\n\tzip\n- a\n\nperson ida\n      zap\n  # in\n# out\n    every 5 min\n 2026\n"
    path = written(vim.folder, "odd.chores", book)
    told = vim.tells(
        """\
function! Told() abort
  let told = []
  for path in g:asked
    execute 'edit' fnameescape(path)
    normal! gg=G
    call add(told, getline(1, '$'))
  endfor
  return told
endfunction
""",
        [str(path), *map(str, sorted(EXAMPLE.glob("*.chores")))],
    )
    steps = {"- a": "        - a", "\tzip": "    zip", "      zap": "    zap", " 2026": "    2026"}
    assert told[0] == [steps.get(line, line) for line in book.splitlines()]
    for lines, example in zip(told[1:], sorted(EXAMPLE.glob("*.chores")), strict=True):
        assert lines == example.read_text("utf-8").splitlines()


FOLDED = [
    ("# A book.", 0),
    ("weekend is saturday", 0),
    ("", 0),
    ("# Each day.", 0),
    ("every day paused", 1),
    ("    zip", 1),
    ("        - Step", 1),
    ("", 1),
    ("    # More.", 1),
    ("    zap", 1),
    ("", 0),
    ("weekend 1", 1),
    ("    zop", 1),
    ("14 days after done", 1),
    ("    zup", 1),
    ("", 0),
    ("2026-03-01 did zip", 1),
    ("", 1),
    ("<<<<<<< mine", 1),
    ("2026-03-02 did zip", 1),
    ("2026-04-02 did zip", 1),
    ("2026-04-03 did zip", 1),
    ("", 0),
]


def test_sections_and_months_fold_where_asked_for(vim: Editor) -> None:
    path = written(vim.folder, "folds.chores", "".join(f"{line}\n" for line, _ in FOLDED))
    told = vim.tells(
        """\
function! Told() abort
  execute 'edit' g:asked
  let usual = &l:foldmethod
  let g:chores_folding = 1
  edit
  normal! zM
  return [usual, map(range(1, line('$')), '[foldlevel(v:val), foldclosed(v:val)]')]
endfunction
""",
        str(path),
    )
    usual, lines = told
    assert usual == "manual"
    assert [level for level, _ in lines] == [level for _, level in FOLDED]
    assert sorted({first for _, first in lines}) == [-1, 5, 12, 14, 17, 21]
