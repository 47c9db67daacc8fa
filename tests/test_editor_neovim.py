"""Neovim: the files for Vim, and the language server through Neovim's own client."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import pytest
from highlighting import EDITORS, books, disagreements, program
from vim_sessions import Editor, ends_of_words

CLIENT = EDITORS / "neovim"
SERVER = [sys.executable, "-m", "ledger", "language-server", "--on", "2026-11-25"]
HOME = """\
since 2026-11-01
person zoë
area küche

every day "🙂 twice"
    wash-up  15 min  in küche
    zip 5 min  in kuche  "é 🙂"
"""
RECORD = '2026-11-23 did wash-up by zoë "😀"\n2026-11-24 did wash-up, zpi\n'
IN_LUA = """\
lua << EOF
function opened(name)
  vim.cmd('edit ' .. name)
  local buffer = vim.api.nvim_get_current_buf()
  waits(function() return #vim.diagnostic.get(buffer) > 0 end)
  return buffer
end
function waits(holds)
  if not vim.wait(30000, holds, 20) then error('waited in vain') end
end
function lines(buffer)
  return vim.api.nvim_buf_get_lines(buffer, 0, -1, true)
end
function at(line, text)
  local column = vim.fn.getline(line):find(text, 1, true)
  vim.api.nvim_win_set_cursor(0, { line, column - 1 })
end
BODY
EOF
function! Told() abort
  return luaeval('Told()')
endfunction
"""


@pytest.fixture
def neovim(tmp_path: Path) -> Editor:
    editor = Editor(program("nvim"), tmp_path)
    (tmp_path / "home.chores").write_text(HOME, "utf-8")
    (tmp_path / "record.chores").write_text(RECORD, "utf-8")
    return editor


def in_lua(neovim: Editor, body: str, command: list[str] | None = None) -> Any:
    """The value of a function `Told()` of Lua, with the client of the language server loaded."""
    start = f"let g:besom_command = {json.dumps(command or SERVER)}"
    options = ["--cmd", f"set runtimepath^={CLIENT}", "--cmd", start]
    function = IN_LUA.replace("BODY", body)
    return neovim.tells(function, None, *options, "-c", "runtime plugin/besom.lua")


def quoted(text: str) -> str:
    """A string of Lua."""
    return json.dumps(text, ensure_ascii=False)


def test_each_word_has_the_class_that_the_grammar_gives_it(neovim: Editor) -> None:
    found = neovim.classes(ends_of_words(books()))
    differing = [
        line
        for path, classes in found.items()
        for line in disagreements(path, lambda *place, known=classes: known[place])
    ]
    assert differing == []


def test_settings_indent_and_findings_are_those_of_vim(neovim: Editor) -> None:
    told = neovim.tells("""\
function! Told() abort
  edit home.chores
  compiler besom
  silent make
  let errors = filter(getqflist(), 'v:val.type ==# "e"')
  let places = map(errors, '[bufname(v:val.bufnr), v:val.lnum, v:val.col]')
  edit new.chores
  execute "normal! ievery day\\rzip\\revery weekend\\rzap\\r2026-11-25 did zip"
  return [&l:commentstring, getline(1, '$'), places]
endfunction
""")
    comment, lines, places = told
    assert comment == "# %s"
    assert lines == ["every day", "    zip", "every weekend", "    zap", "2026-11-25 did zip"]
    assert places == [["home.chores", 7, 19], ["record.chores", 2, 25]]


def test_findings_are_shown_where_they_stand(neovim: Editor) -> None:
    told = in_lua(
        neovim,
        """\
function Told()
  local told = {}
  for _, name in ipairs({ 'home.chores', 'record.chores' }) do
    for _, found in ipairs(vim.diagnostic.get(opened(name))) do
      local rule = found.code or found.user_data.lsp.code
      local text = vim.fn.getline(found.lnum + 1):sub(found.col + 1, found.end_col)
      table.insert(told, { name, rule, text, found.severity, found.source })
    end
  end
  return told
end
""",
    )
    error = 1
    assert ["home.chores", "unknown-name", "kuche", error, "besom"] in told
    assert ["record.chores", "unknown-name", "zpi", error, "besom"] in told


def test_name_of_an_area_is_completed(neovim: Editor) -> None:
    told = in_lua(
        neovim,
        """\
function Told()
  local buffer = opened('home.chores')
  vim.fn.setline(7, '    zip 5 min "é 🙂" in kü')
  vim.fn.cursor(7, 1)
  function offered() return #vim.fn.complete_info().items > 0 end
  local keys = 'A<C-x><C-o><Cmd>lua waits(offered)<CR><C-y>'
  vim.cmd('normal! ' .. vim.api.nvim_replace_termcodes(keys, true, false, true))
  return { lines(buffer)[7], vim.bo[buffer].omnifunc }
end
""",
    )
    assert told == ['    zip 5 min "é 🙂" in küche', "v:lua.vim.lsp.omnifunc"]


def test_chore_is_renamed_in_all_files_of_a_household(neovim: Editor) -> None:
    told = in_lua(
        neovim,
        """\
function Told()
  local record = opened('record.chores')
  local home = opened('home.chores')
  at(6, 'wash-up')
  vim.lsp.buf.rename('spül')
  waits(function() return lines(home)[6]:find('spül') and lines(record)[2]:find('spül') end)
  return { lines(home)[6], lines(record) }
end
""",
    )
    line, record = told
    assert line.split() == ["spül", "15", "min", "in", "küche"]
    assert record == RECORD.replace("wash-up", "spül").splitlines()


def test_book_is_formatted(neovim: Editor) -> None:
    told = in_lua(
        neovim,
        """\
function Told()
  local buffer = opened('home.chores')
  if vim.lsp.buf.format then
    vim.lsp.buf.format({ timeout_ms = 20000 })
  else
    vim.lsp.buf.formatting_sync(nil, 20000)
  end
  return lines(buffer)
end
""",
    )
    assert told[:6] == HOME.splitlines()[:6]
    assert told[6] == '    zip       5 min  in kuche  "é 🙂"'


@pytest.mark.parametrize(
    ("line", "word", "title", "after"),
    [
        (7, "kuche", "Write `küche`", '    zip 5 min  in küche  "é 🙂"'),
        (7, "kuche", "Allow unknown-name here", None),
    ],
)
def test_action_on_a_finding_mends_its_line(
    neovim: Editor, line: int, word: str, title: str, after: str | None
) -> None:
    told = in_lua(
        neovim,
        f"""\
function Told()
  local buffer, offered = opened('home.chores'), {{}}
  local before = lines(buffer)
  vim.ui.select = function(actions, options, choose)
    for _, action in ipairs(actions) do
      local title = action[2] and action[2].title or action.action.title
      table.insert(offered, title)
      if title == {quoted(title)} then choose(action) end
    end
  end
  at({line}, {quoted(word)})
  vim.lsp.buf.code_action()
  waits(function() return #offered > 0 end)
  vim.wait(5000, function() return not vim.deep_equal(before, lines(buffer)) end, 20)
  return {{ offered, lines(buffer) }}
end
""",
    )
    offered, lines = told
    assert title in offered
    assert lines != HOME.splitlines()
    assert after is None or lines[line - 1] == after


def test_books_of_one_household_share_a_server(neovim: Editor) -> None:
    folder = neovim.folder
    for other in (folder / "old" / "2025.chores", folder / "none" / "other" / "a.chores"):
        other.parent.mkdir(parents=True)
        other.write_text("person ida\nperson ida\n", "utf-8")
    told = in_lua(
        neovim,
        """\
function Told()
  for _, name in ipairs({ 'home', 'record', 'old/2025', 'none/other/a' }) do
    local buffer = opened(name .. '.chores')
    waits(function() return next(vim.lsp.buf_get_clients(buffer)) ~= nil end)
  end
  local told = {}
  for _, client in pairs(vim.lsp.get_active_clients()) do
    table.insert(told, client.config.root_dir)
  end
  return told
end
""",
    )
    assert sorted(told) == [str(folder), str(folder / "none" / "other")]


def test_newer_client_is_asked_where_neovim_has_one(neovim: Editor) -> None:
    told = in_lua(
        neovim,
        """\
function Told()
  local told = {}
  vim.lsp.start = function(config, options)
    table.insert(told, { config.name, config.root_dir, config.cmd, options.bufnr })
  end
  vim.cmd('edit home.chores')
  return { told, vim.api.nvim_get_current_buf() }
end
""",
    )
    starts, buffer = told
    assert starts == [["besom", str(neovim.folder), SERVER, buffer]]


def test_book_opens_without_the_command(neovim: Editor) -> None:
    told = in_lua(
        neovim,
        """\
function Told()
  local told = {}
  vim.notify_once = function(text) table.insert(told, text) end
  vim.cmd('edit home.chores')
  return { told, vim.bo.filetype, #vim.lsp.get_active_clients() }
end
""",
        ["no-such-besom"],
    )
    said, filetype, clients = told
    assert len(said) == 1
    assert "no-such-besom" in said[0]
    assert (filetype, clients) == ("chores", 0)
