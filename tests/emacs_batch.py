"""Emacs without a screen: what the tests of `chores-mode` ask it, and how it answers."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any

from highlighting import EDITORS, ROOT, program

MODE = EDITORS / "emacs" / "chores-mode.el"
ASKED = Path(__file__).with_name("emacs.el")
BARE = ("--batch", "--no-init-file", "--no-site-file")
"""Without what the machine sets up, but with the packages that are installed."""
DAY = "2026-11-25"
"""The day on which the tests read a book."""


class Emacs:
    """Emacs without a screen, with the mode and the functions of the tests."""

    def __init__(self, folder: Path) -> None:
        """Install the mode in a folder, compiled."""
        copy = folder / MODE.name
        copy.write_bytes(MODE.read_bytes())
        self._path = program("emacs")
        self._start = ["-l", str(copy.with_suffix(".elc")), "-l", str(ASKED)]
        self.said_of_mode = self.says("-f", "batch-byte-compile", str(copy))

    def says(self, *words: str) -> str:
        """What Emacs says for people when it is started with these words."""
        start = [self._path, *BARE, *words]
        return subprocess.run(start, capture_output=True, text=True, check=True).stderr

    def tells(self, form: str, *words: str, locale: str = "C.UTF-8") -> Any:
        """The value of a Lisp form, by way of JSON."""
        besom = " ".join(quoted(word) for word in (sys.executable, "-m", "ledger"))
        done = subprocess.run(
            [
                *(self._path, *BARE, *self._start),
                *("--eval", f"(setq chores-program '({besom}))"),
                *("--eval", f'(setq chores-lint-options \'("--on" {quoted(DAY)}))'),
                *("--eval", f"(told {form})"),
                *words,
            ],
            capture_output=True,
            encoding="utf-8",
            timeout=60,
            check=False,
            env={**os.environ, "PYTHONPATH": str(ROOT), "LC_ALL": locale},
        )
        assert done.returncode == 0, done.stderr[-2000:]
        return json.loads(done.stdout)


def quoted(text: str | Path) -> str:
    """A string as Lisp writes it."""
    escaped = str(text).replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def visited(path: Path) -> str:
    return f"(find-file-noselect {quoted(path)})"
