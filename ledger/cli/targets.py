"""Targets: the file that a call names for its answer, and where none can be; and those it reads."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterable
from pathlib import Path

import click

from ledger.workspace import SUFFIX, is_folder, is_there

STANDARD_OUTPUT = Path("-")


def check_target(path: Path, example: str, reads: Iterable[Path]) -> None:
    """End with exit 2 where no answer may be written: on a folder, a book or a device, on a file
    that the call reads, and in no folder. `example` is a name that would do."""
    if is_folder(path):
        raise click.UsageError(f"{path}: is a folder; name a file in it, such as {example}")
    target = Path(os.path.realpath(path))
    if SUFFIX in (path.suffix.casefold(), target.suffix.casefold()):
        raise click.UsageError(f"{path}: is the name of a book; name a file such as {example}")
    if not is_folder(path.parent):
        raise click.UsageError(f"{path.parent}: there is no such folder")
    if is_there(target) and not target.is_file():
        raise click.UsageError(f"{path}: is no ordinary file; name another, or `-o -`")
    if any(_is_same(path, read) for read in reads):
        raise click.UsageError(f"{path}: is read by this call, so it is not replaced; name another")


def check_given(path: Path, kind: str, ending: str) -> None:
    """End with exit 2 if a path that a call gives is no file to read: a folder, or a device, which
    might be waited for. `kind` says what it should be, `ending` how its name ends."""
    if is_folder(path):
        raise click.UsageError(f"{path}: is a folder; name a {kind} in it, {ending}")
    if not is_there(path):
        raise click.UsageError(f"{path}: there is no such file")
    try:
        is_file = stat.S_ISREG(path.stat().st_mode)
    except OSError as fault:
        raise click.UsageError(f"{path}: cannot be read ({fault.strerror})") from fault
    if not is_file:
        raise click.UsageError(f"{path}: is no {kind}; name {ending}")


def _is_same(one: Path, other: Path) -> bool:
    """True if two paths name one file, by links too, or where upper and lower case are one."""
    try:
        return one.samefile(other)
    except (OSError, ValueError):
        return False
