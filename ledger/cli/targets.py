"""Targets: the file that a call names for its answer, and where none can be."""

from __future__ import annotations

import os
from pathlib import Path

import click

from ledger.workspace import SUFFIX, is_folder, is_there

STANDARD_OUTPUT = Path("-")


def check_target(path: Path, example: str) -> None:
    """End with exit 2 where no answer may be written: on a folder, a book or a device, and in no
    folder. `example` is a name that would do."""
    if is_folder(path):
        raise click.UsageError(f"{path}: is a folder; name a file in it, such as {example}")
    target = Path(os.path.realpath(path))
    if SUFFIX in (path.suffix.casefold(), target.suffix.casefold()):
        raise click.UsageError(f"{path}: is the name of a book; name a file such as {example}")
    if not is_folder(path.parent):
        raise click.UsageError(f"{path.parent}: there is no such folder")
    if is_there(target) and not target.is_file():
        raise click.UsageError(f"{path}: is no ordinary file; name another, or `-o -`")
