"""Terminals for tests: a command at a pseudo terminal, its screen as a person sees it, and a clock
that stands still until the test moves it."""

from __future__ import annotations

import fcntl
import os
import pty
import re
import select
import signal
import struct
import subprocess
import sys
import termios
import time
from collections.abc import Callable
from pathlib import Path

import pyte

PATIENCE = 60
"""Seconds after which a screen will not come any more."""
CLOCKED = """
import datetime, sys, types
clock = sys.argv.pop(1)

def now():
    with open(clock) as file:
        return float(file.read())

class Told(datetime.datetime):
    @classmethod
    def now(cls, tz=None):
        return cls.fromtimestamp(now(), tz)

import ledger.clock, ledger.cli.round
ledger.clock.datetime = Told
ledger.cli.round.time = types.SimpleNamespace(time=now)
from ledger.cli.main import main
main(sys.argv[1:], prog_name="besom")
"""
"""A command that takes the time from a file."""


class Terminal:
    """A command at a terminal of its own."""

    def __init__(self, folder: Path, *words: str, size: tuple[int, int] = (80, 24), **env: str):
        self.clock = folder.parent / "clock"
        self.output = b""
        self.size = size
        self._master, self.slave = pty.openpty()
        fcntl.ioctl(self.slave, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))
        self.settings = termios.tcgetattr(self.slave)
        kept = {k: v for k, v in os.environ.items() if k not in ("BESOM_ME", "COLUMNS", "NO_COLOR")}
        self.process = subprocess.Popen(
            [sys.executable, "-c", CLOCKED, str(self.clock), *words],
            cwd=folder,
            env={**kept, "TERM": "xterm", "TZ": "UTC", "PYTHONPATH": ":".join(sys.path), **env},
            stdin=self.slave,
            stdout=self.slave,
            stderr=self.slave,
            start_new_session=True,
            preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0),
        )

    def lines(self) -> list[str]:
        """The screen, line by line."""
        screen = pyte.Screen(*self.size)
        pyte.ByteStream(screen).feed(self.output)
        return [line.rstrip() for line in screen.display]

    def until(self, is_there: Callable[[Terminal], bool]) -> None:
        """Read until the terminal shows something. Fails if it never comes."""
        end = time.monotonic() + PATIENCE
        while not is_there(self):
            assert time.monotonic() < end, "\n".join(self.lines())
            self._read(0.05)

    def shows(self, text: str) -> None:
        """Wait for a text on the screen."""
        self.until(lambda one: any(text in line for line in one.lines()))

    def press(self, *keys: str, then: str) -> None:
        """Type keys, and wait for a text that they bring."""
        self.type("".join(keys))
        self.shows(then)

    def type(self, text: str) -> None:
        """Type a text, and wait for nothing."""
        os.write(self._master, text.encode())

    def kill(self, how: signal.Signals) -> None:
        """End the process by a signal."""
        self.process.send_signal(how)
        self.end()

    def hang_up(self) -> None:
        """Close the terminal, as its window does."""
        os.close(self.slave)
        os.close(self._master)
        self.process.wait(PATIENCE)

    def end(self) -> str:
        """Wait for the end of the process; return all that was written below the screen."""
        end = time.monotonic() + PATIENCE
        while self.process.poll() is None:
            assert time.monotonic() < end
            self._read(0.05)
        self._read(0)
        said = self.output.rpartition(b"\x1b[?1049l")[2].decode().replace("\r\n", "\n")
        return re.sub(r"\x1b\[[?0-9;]*[a-z]", "", said)

    def is_as_before(self) -> bool:
        """True if the terminal is as it was before the command: its settings, its screen and its
        cursor."""
        screens = self.output.count(b"\x1b[?1049h"), self.output.count(b"\x1b[?1049l")
        cursor = self.output.rfind(b"\x1b[?25h") >= self.output.rfind(b"\x1b[?25l")
        return (
            termios.tcgetattr(self.slave) == self.settings and screens[0] == screens[1] and cursor
        )

    def _read(self, wait: float) -> None:
        while select.select([self._master], [], [], wait)[0]:
            try:
                some = os.read(self._master, 1 << 16)
            except OSError:
                return
            if not some:
                return
            self.output += some
            wait = 0


def set_clock(folder: Path, moment: float) -> None:
    """Let the commands of a folder believe that it is a certain moment."""
    new = folder.parent / "clock.new"
    new.write_text(repr(moment), "utf-8")
    new.replace(folder.parent / "clock")
