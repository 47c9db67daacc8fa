"""Output: the one place that writes to standard output and standard error.

Names of files, words of a call and lines of a book may hold anything. What could upset a terminal
is made safe here, even if the caller forgot.
"""

from __future__ import annotations

import errno
import os
import re
import sys
from contextlib import suppress
from typing import BinaryIO

import click

from ledger.text.shown import safe, safe_lines

NARROWEST, USUAL, WIDEST = 40, 80, 160
"""Columns for which texts are laid out: at least, where nobody says, and at most."""
COLOURS = {"\u206a": "\x1b[31m", "\u206b": "\x1b[1m", "\u206c": "\x1b[32m", "\u206f": "\x1b[0m"}
"""What a terminal is told for the marks of `render/layout.py`: red for what is late, bold for what
is vital, green for what is done (ECMA-48, SGR)."""
_MARK = re.compile(f"([{''.join(COLOURS)}])")
_chosen = {"color": "auto"}
"""What `--color` says."""


class OutputFault(click.ClickException):
    """The output cannot be written."""

    exit_code = 2


def say(line: str = "", err: bool = False) -> None:
    """Write one line for people. A line feed in a name cannot begin another line."""
    _write(safe(line) + "\n", err)


def show_text(text: str, err: bool = False) -> None:
    """Write text that was laid out for people, line by line."""
    _write(safe_lines(text), err)


def show_page(text: str) -> None:
    """Write text whose marks may become colours. A terminal gets no other control."""
    parts = _MARK.split(text)
    _write("".join(COLOURS.get(part) or safe_lines(part) for part in parts), False, has_colours())


def choose_color(when: str) -> None:
    """Take over `--color`: always, never, or on a terminal only (auto)."""
    _chosen["color"] = when


def has_colours() -> bool:
    """True where words may be coloured. Any NO_COLOR but an empty one speaks against it, and so
    does a terminal that says it is dumb; `--color always` speaks for it."""
    if _chosen["color"] != "auto":
        return _chosen["color"] == "always"
    return not (os.environ.get("NO_COLOR") or _is_dumb()) and _is_terminal(err=False)


def columns_across() -> int:
    """The columns for which a text is laid out: those that COLUMNS says, else the terminal's, or
    eighty for a pipe or file."""
    said = os.environ.get("COLUMNS", "")
    across = int(said) if said.isdecimal() and len(said) < 5 else 0
    if not across:
        # It may be closed, or no terminal.
        with suppress(AttributeError, OSError, ValueError):
            across = os.get_terminal_size(sys.stdout.fileno()).columns
    return min(max(across or USUAL, NARROWEST), WIDEST)


def give(data: str | bytes, err: bool = False, end: str = "\n") -> None:
    """Write output for programs: byte for byte, as UTF-8. On a terminal it is made safe, line by
    line; `end` is its line end."""
    if _is_terminal(err):
        text = data if isinstance(data, str) else data.decode("utf-8", "surrogateescape")
        _write(safe_lines(text, end), err)
    else:
        _write(data if isinstance(data, bytes) else data.encode("utf-8", "surrogateescape"), err)


def fills_file() -> bool:
    """True where standard output goes to the end of a file that holds something already (`>>`)."""
    try:
        return os.fstat(sys.stdout.fileno()).st_size > 0
    except (AttributeError, OSError, ValueError):
        # Closed, or no file of the system.
        return False


def wire() -> BinaryIO:
    """The stream for messages to an editor, which is no terminal."""
    return sys.stdout.buffer


def is_shown() -> bool:
    """True where standard output is a terminal, on which its text is shown."""
    return _is_terminal(err=False)


def can_ask() -> bool:
    """True if a person is there who can be asked."""
    return sys.stdin is not None and sys.stdin.isatty() and _is_terminal(err=False)


def can_draw() -> bool:
    """True if a person is there, at a terminal on which a whole screen can be drawn."""
    return can_ask() and not _is_dumb()


def confirmed(question: str, default: bool = False) -> bool:
    """Ask a person; True for yes. Without a word, the answer is the default."""
    return click.confirm(safe_lines(question), default=default)


def asked(question: str, default: str) -> str:
    """What a person answers; the default where they only press Enter."""
    answer: str = click.prompt(safe_lines(question), default=default)
    return answer


def show_fault(text: str) -> None:
    """Show what is wrong with a call, on standard error."""
    # If even this cannot be written, only the exit code can tell.
    with suppress(OSError, OutputFault):
        show_text(text, err=True)


def _is_dumb() -> bool:
    """True for a terminal that says that it takes no controls."""
    return os.environ.get("TERM") == "dumb"


def _is_terminal(err: bool) -> bool:
    stream = sys.stderr if err else sys.stdout
    return stream is not None and stream.isatty()


def _write(data: str | bytes, err: bool, color: bool | None = None) -> None:
    stream = sys.stderr if err else sys.stdout
    if stream is None:
        # The caller has closed this stream and wants no output.
        return
    try:
        try:
            click.echo(data, nl=False, err=err, color=color)
        except UnicodeEncodeError as fault:
            shown = str(data).encode(fault.encoding, "replace").decode(fault.encoding)
            click.echo(shown, nl=False, err=err, color=color)
    except OSError as fault:
        if fault.errno == errno.EPIPE:
            # The reader has closed the pipe; Click ends the command quietly.
            raise
        raise OutputFault(f"the answer cannot be written ({fault.strerror})") from fault
