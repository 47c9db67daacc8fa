"""Vim: the list of findings that `:make` fills in a chore book."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from highlighting import program
from vim_sessions import Editor, written

HOME = """\
person ida
area café
every day "🙂 twice"
    zip  5 min  in café  "Tëa 🙂 e\u0301"  by idda
\tzap  5 min  in caffé
    zop  5 mni
"""
RECORD_LINES = '2026-03-01 did zip "é"\r\n2026-03-02 did zip by ida, olé "é"\r\n'
FOUND = """\
function! Told() abort
  edit home.chores
  compiler besom
  execute 'silent' g:asked
  let list = g:asked =~# '^l' ? getloclist(0) : getqflist()
  call filter(list, 'v:val.type ==# "e"')
  return [map(list, 'Place(v:val)'), Rest()]
endfunction
function! Place(item) abort
  execute 'edit' bufname(a:item.bufnr)
  let word = matchstr(strpart(getline(a:item.lnum), a:item.col - 1), '^\\k\\+')
  return [bufname(a:item.bufnr), a:item.lnum, word, a:item.text]
endfunction
function! Rest() abort
  return len(filter(getqflist() + getloclist(0), '!v:val.valid'))
endfunction
"""


@pytest.fixture
def vim(tmp_path: Path) -> Editor:
    return Editor(program("vim"), tmp_path)


@pytest.mark.parametrize("command", ["make", "lmake"])
def test_findings_are_listed_where_they_stand(vim: Editor, command: str) -> None:
    written(vim.folder, "home.chores", HOME)
    written(vim.folder, "record.chores", RECORD_LINES)
    told: list[Any] = vim.tells(FOUND, command)
    found, rest = told
    assert [item[:3] for item in found] == [
        ["home.chores", 4, "idda"],
        ["home.chores", 5, "caffé"],
        ["home.chores", 6, "mni"],
        ["record.chores", 2, "olé"],
    ]
    assert found[0][3].startswith('"idda" is no person of this household')
    assert rest == 0


def test_columns_of_other_programs_are_left_as_they_are(vim: Editor) -> None:
    written(vim.folder, "home.chores", HOME)
    told = vim.tells(
        """\
function! Told() abort
  edit home.chores
  compiler besom
  let &l:makeprg = g:asked
  silent make
  return map(getqflist(), 'v:val.col')
endfunction
""",
        "echo home.chores:4:40: error: x",
    )
    assert told == [40]
