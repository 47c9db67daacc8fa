"""Real shells on a terminal of their own: what they make of a line and the Tab key."""

from __future__ import annotations

import os
import pty
import re
import select
import signal
import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from highlighting import program

PATIENCE = 60.0
WITHOUT_SETTINGS = {
    "bash": ["--noprofile", "--norc"],
    "zsh": ["-f"],
    "fish": ["--no-config"],
}
"""The words with which each shell starts without the settings of its person."""
LOAD = {
    "bash": 'eval "$(besom completion bash)"',
    "zsh": 'eval "$(besom completion zsh)"',
    "fish": "besom completion fish | source",
}
LAST = "the-last-word"
START_OF_LINE, END_OF_LINE, DELETE_LINE = "\x01", "\x05", "\x15"
_WORD = re.compile(r"<([^<>%]*)>\r?\n")


class Shell:
    """A shell in a folder."""

    def __init__(
        self, name: str, folder: Path, variables: Mapping[str, str], line: str | None = None
    ) -> None:
        """Starts it and types a line; without one, it has no settings, and loads its completion."""
        path = program(name)
        self._pid, self._terminal = pty.fork()
        if self._pid == 0:
            os.chdir(folder)
            settings = {"TERM": "xterm", "LC_ALL": "C.UTF-8", **variables}
            plain = WITHOUT_SETTINGS[name] if line is None else []
            os.execve(path, [path, *plain, "-i"], settings)
        self._type(f"{line or LOAD[name]}; printf '<%s>\\n' {LAST}\r")
        self._wait(lambda seen: LAST in _WORD.findall(seen))

    def completed(self, line: str) -> list[str]:
        """The words of a line after the Tab key, as the shell would give them to a command."""
        self._type(f"{line}\t{START_OF_LINE}printf '<%s>\\n' {END_OF_LINE} {LAST}\r")
        seen = self._wait(lambda seen: LAST in _WORD.findall(seen))
        return _WORD.findall(seen)[:-1]

    def shown(self, line: str, wanted: str) -> str:
        """What the terminal shows after the Tab key, up to some text."""
        self._type(f"{line}\t")
        seen = self._wait(lambda seen: wanted in seen)
        self._type(DELETE_LINE)
        return seen

    def end(self) -> None:
        """End the shell, and what it started."""
        os.close(self._terminal)
        os.kill(self._pid, signal.SIGKILL)
        os.waitpid(self._pid, 0)

    def _type(self, keys: str) -> None:
        os.write(self._terminal, keys.encode())

    def _wait(self, is_there: Callable[[str], bool]) -> str:
        raw, deadline = b"", time.monotonic() + PATIENCE
        while not is_there(seen := raw.decode(errors="replace")):
            left = deadline - time.monotonic()
            if left < 0 or not select.select([self._terminal], [], [], left)[0]:
                raise TimeoutError(seen)
            raw += os.read(self._terminal, 1 << 16)
        return seen


def besom_command(folder: Path, python: str, package: Path, paths: Sequence[str]) -> dict[str, str]:
    """The variables for shells that find `besom`, with a package of its own, in a folder."""
    command = folder / "besom"
    command.write_text(f'#!/bin/sh\nexec {python} -m ledger "$@"\n', "utf-8")
    command.chmod(0o755)
    return {
        "PATH": f"{folder}:/usr/bin:/bin",
        "PYTHONPATH": os.pathsep.join([str(package), *paths]),
        "HOME": str(folder),
    }
