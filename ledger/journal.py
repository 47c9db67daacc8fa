"""The journal: where a new line of the record goes, and how text gets into a file whole."""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import IO

from ledger.text.tree import Tree
from ledger.workspace import SUFFIX

TEMPORARY = ".besom-new"
"""How the name of a text ends that is written beside a file, to take its place."""


def record_file(folder: Path, trees: Sequence[Tree], day: date) -> Path:
    """The book that a line of a day belongs in.

    The one with the latest line of that day's year, so that a household may keep its record
    as it likes; with none, `YEAR.chores` in the folder.
    """
    best: tuple[int, str] | None = None
    for tree in trees:
        in_year = [d for d in tree.record.dates if date.fromordinal(d).year == day.year]
        if in_year and (best is None or max(in_year) > best[0]):
            best = max(in_year), tree.source.path
    return Path(best[1]) if best else folder / f"{day.year}{SUFFIX}"


def append_line(path: Path, line: str) -> None:
    """Add a line to the end of a file, under a lock; a file that is not there is begun.

    The line end is the file's own, and a last line without one is closed first. Raises
    OSError where the line could not be written; the file is then as it was.
    """
    # Without a buffer, what cannot be written is not tried again when the file is cut or closed.
    with path.open("a+b", buffering=0) as file, _locked(file):
        size = file.seek(0, os.SEEK_END)
        file.seek(0)
        head = file.read(4096)
        newline = b"\r\n" if b"\r\n" in head else b"\n"
        file.seek(max(0, size - 1))
        start = b"" if size == 0 or file.read(1) == b"\n" else newline
        try:
            data = memoryview(start + line.encode("utf-8") + newline)
            while data:
                data = data[file.write(data) :]
            os.fsync(file.fileno())
        except OSError:
            file.truncate(size)
            raise


def write_whole(path: Path, data: bytes, mode: int | None = None) -> None:
    """Put a file there, or a new text in a file's place: written beside it, flushed, then renamed
    over it.

    A link stays a link. Permissions are `mode`, else those that the file has, else those of a
    new file. Raises OSError where that fails; the file is then as it was.
    """
    target = path.resolve()
    beside = target.with_name(f".{target.name}{TEMPORARY}")
    try:
        handle = os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        beside.chmod(_mode_of(target) if mode is None else mode)
        beside.replace(target)
    except OSError:
        beside.unlink(missing_ok=True)
        raise


def _mode_of(path: Path) -> int:
    """The permissions that a file has, or that a new one is given."""
    try:
        return stat.S_IMODE(path.stat().st_mode)
    except FileNotFoundError:
        mask = os.umask(0o077)
        os.umask(mask)
        return 0o666 & ~mask


@contextmanager
def _locked(file: IO[bytes]) -> Iterator[None]:
    """Holds the file against every other `besom did`, on this system's own terms."""
    try:
        import fcntl
    except ImportError:  # pragma: no cover - Windows has no fcntl
        import msvcrt

        file.seek(0)
        msvcrt.locking(file.fileno(), msvcrt.LK_LOCK, 1)  # type: ignore[attr-defined]
        try:
            yield
        finally:
            file.seek(0)
            msvcrt.locking(file.fileno(), msvcrt.LK_UNLCK, 1)  # type: ignore[attr-defined]
        return
    fcntl.flock(file, fcntl.LOCK_EX)
    try:
        yield
    finally:
        fcntl.flock(file, fcntl.LOCK_UN)
