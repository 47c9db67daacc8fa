"""Vim and Neovim without a screen: runs a function of Vim script and gives back its value."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from highlighting import EDITORS, ROOT, words_of

VIM = EDITORS / "vim"
SCRIPT = """\
set hidden
filetype plugin indent on
syntax on
let g:asked = json_decode(join(readfile($ASKED), ''))
try
  source $FUNCTION
  let s:told = {'value': Told()}
catch
  let s:told = {'failed': v:exception . ' at ' . v:throwpoint}
endtry
call writefile([json_encode(s:told)], $TOLD)
qall!
"""
CLASSES = """\
function! Told() abort
  let told = []
  for book in g:asked
    execute 'edit' fnameescape(book.path)
    call add(told, map(book.at, 'synIDattr(synID(v:val[0], v:val[1], 1), "name")'))
  endfor
  return told
endfunction
"""

Place = tuple[int, int]
"""A line and a column, both from 0, the column in code points."""


class Editor:
    """Vim or Neovim with our files, started anew for each question, in a folder of its own."""

    def __init__(self, path: str, folder: Path) -> None:
        self.folder = folder
        silent = "--headless" if Path(path).name.startswith("nvim") else "-es"
        self._start = [path, silent, "-u", "NONE", "-i", "NONE", "-n", "-N"]
        self._start += ["--cmd", f"set encoding=utf-8 runtimepath^={VIM}"]

    def tells(self, function: str, asked: object = None, *options: str) -> Any:
        """The value of a function `Told()` of Vim script, which finds what is asked in
        `g:asked`; `options` are further words of the command line."""
        hidden = self.folder / ".session"
        hidden.mkdir(exist_ok=True)
        files = {name: hidden / name for name in ("ASKED", "FUNCTION", "SCRIPT", "TOLD")}
        files["ASKED"].write_text(json.dumps(asked), "utf-8")
        files["FUNCTION"].write_text(function, "utf-8")
        files["SCRIPT"].write_text(SCRIPT, "utf-8")
        files["TOLD"].unlink(missing_ok=True)
        done = subprocess.run(
            [*self._start, *options, "-S", str(files["SCRIPT"])],
            cwd=self.folder,
            env=self._environment(files),
            stdin=subprocess.DEVNULL,
            capture_output=True,
            encoding="utf-8",
            timeout=120,
            check=False,
        )
        assert files["TOLD"].is_file(), done.stdout[-1000:] + done.stderr[-1000:]
        told = json.loads(files["TOLD"].read_text("utf-8"))
        assert "failed" not in told, told["failed"]
        return told["value"]

    def classes(
        self, places: Mapping[Path, list[Place]], *options: str
    ) -> dict[Path, dict[Place, str | None]]:
        """The class that the editor gives each of these places of books."""
        asked = [{"path": str(path), "at": _in_bytes(path, some)} for path, some in places.items()]
        told = self.tells(CLASSES, asked, *options)
        return {
            path: dict(zip(some, map(_class_of, names), strict=True))
            for (path, some), names in zip(places.items(), told, strict=True)
        }

    def _environment(self, files: Mapping[str, Path]) -> dict[str, str]:
        """Where `besom` is a command, and nothing of the one who runs the tests is read."""
        programs = self.folder / ".programs"
        programs.mkdir(exist_ok=True)
        besom = programs / "besom"
        besom.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m ledger "$@"\n', "utf-8")
        besom.chmod(0o755)
        return {
            **os.environ,
            **{name: str(path) for name, path in files.items()},
            "PATH": f"{programs}{os.pathsep}{os.environ['PATH']}",
            "PYTHONPATH": str(ROOT),
            "HOME": str(self.folder / ".session"),
            "XDG_CONFIG_HOME": str(self.folder / ".config"),
            "LC_ALL": "C.UTF-8",
        }


def written(folder: Path, name: str, text: str) -> Path:
    """A book with this text, line ends and all."""
    path = folder / name
    path.write_bytes(text.encode("utf-8"))
    return path


def ends_of_words(paths: Iterable[Path]) -> dict[Path, list[Place]]:
    """The first and the last character of each word of these books."""
    return {
        path: [
            (word.line, column)
            for word in words_of(path)
            for column in dict.fromkeys((word.start, word.end - 1))
        ]
        for path in paths
    }


def _in_bytes(path: Path, places: Iterable[Place]) -> list[tuple[int, int]]:
    """Lines and columns as Vim counts them: from 1, the column in bytes."""
    lines = re.split("\r?\n", path.read_bytes().decode("utf-8"))
    return [(line + 1, len(lines[line][:column].encode("utf-8")) + 1) for line, column in places]


def _class_of(group: str) -> str | None:
    """The class that a group of highlighting stands for; None outside of any."""
    return group.removeprefix("chores").lower() if group.startswith("chores") else None
