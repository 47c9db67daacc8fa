"""Writing: the one module that puts text into a user's file, whole or not at all.

Every writer locks the folder of the file, reads the file, and then replaces it whole or adds a line
at its end. The lock works only between commands of besom. Against other programs, `rewrite`
compares before it replaces, and `append_line` checks afterwards that the path still names the file
that it wrote to.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from datetime import date
from enum import Enum
from pathlib import Path

from ledger.locking import LockFault, locked
from ledger.text.source import Source
from ledger.text.tree import Tree
from ledger.workspace import SUFFIX, is_there

TEMPORARY = ".besom-new"
"""The end of the name of a temporary file, which is written beside a file and then replaces it."""

_TRIES = 5
_LONGEST_NAME = 255
"""Bytes that a name may take on the file systems in common use."""


class WriteFault(Exception):
    """A file was not written and is unchanged; the message says why."""


def record_file(folder: Path, trees: Sequence[Tree], day: date) -> Path:
    """The book in which to record what was done on a day.

    It is the book with the latest line of that year, so that a household may split its record as it
    likes. If there is none, it is `YEAR.chores` in the folder.
    """
    best: tuple[int, str] | None = None
    for tree in trees:
        in_year = [d for d in tree.record.dates if date.fromordinal(d).year == day.year]
        if in_year and (best is None or max(in_year) > best[0]):
            best = max(in_year), tree.source.path
    return Path(best[1]) if best else folder / f"{day.year}{SUFFIX}"


class Lacked(Enum):
    """What a file lacked before a line could be added to it."""

    NOTHING = ""
    END = "end"
    """The last line had no line end."""
    FILE = "file"
    """There was no file."""


def append_line(path: Path, line: str) -> Lacked:
    """Add a line to the end of a file, or to a new file if there is none; return what it lacked.

    The line end is the file's own, and is added to a last line without one. If another program
    replaces the file meanwhile, the line goes into the new file. Raises WriteFault if the line
    could not be written.
    """
    return append_lines(path, lambda: [line])


def append_lines(path: Path, lines: Callable[[], Sequence[str]]) -> Lacked:
    """As `append_line`, for several lines, all of them or none. They are asked for once no other
    command can write in the folder; what `lines` raises is raised."""
    target = Path(os.path.realpath(path))
    with _faults_of(path), _locked_and_clean(target.parent):
        added = [line.encode("utf-8") for line in lines()]
        for _ in range(_TRIES if added else 0):
            written, before = _append(target, added)
            if _still_names(target, written):
                return _lacked(before)
            # Another program has read the file with our lines in it and saved both.
            if target.exists() and _has_gained(target.read_bytes(), before or b"", added):
                return Lacked.NOTHING
    if not added:
        return Lacked.NOTHING
    raise WriteFault(f"{path}: another program replaces it again and again; try again later")


def rewrite(path: Path, change: Callable[[bytes], bytes]) -> tuple[bytes, bytes]:
    """Replace a file's bytes by what `change` makes of them; return the bytes before and after.

    If another program writes meanwhile, its bytes are read and changed again. A link stays a link;
    owner and permissions stay the same. Raises WriteFault if the file is read-only, has hard links,
    or cannot be written.
    """
    target = Path(os.path.realpath(path))
    with _faults_of(path), _locked_and_clean(target.parent):
        for _ in range(_TRIES):
            given = target.read_bytes()
            data = change(given)
            if data == given:
                return given, data
            _refuse(path, target.stat())
            if _replace(target, data, given):
                return given, data
    raise WriteFault(f"{path}: another program changes it again and again; try again later")


def create(path: Path, data: bytes) -> None:
    """Write a new file whole. Raises WriteFault if anything has its name already, or it cannot be
    written."""
    with _faults_of(path), _locked_and_clean(path.parent):
        _replace(path, data, None, is_new=True)


def take_back(path: Path, lines: Mapping[str, Lacked]) -> list[str]:
    """Take lines that were added to a file out of it again, each where it stands last; return those
    that it does not hold.

    If one is missing, nothing is changed. Where nothing was added below a line, the file is as it
    was before, and gone if there was none. Raises WriteFault as `rewrite` does.
    """
    target, missing = Path(os.path.realpath(path)), list(lines)

    def without(data: bytes) -> bytes:
        nonlocal missing
        rest, missing = _without(data, lines)
        return data if missing else rest

    if not target.exists():
        return missing
    rewrite(path, without)
    if not missing and Lacked.FILE in lines.values():
        with _faults_of(path), _locked_and_clean(target.parent):
            if not target.read_bytes():
                target.unlink()
    return missing


def _without(data: bytes, lines: Mapping[str, Lacked]) -> tuple[bytes, list[str]]:
    """A text without some lines, the last of them first, and those that are missing."""
    rest, missing = data.splitlines(keepends=True), []
    for line, lacked in reversed(list(lines.items())):
        wanted = line.encode("utf-8")
        places = [n for n, one in enumerate(rest) if one.rstrip(b"\r\n") == wanted]
        if not places:
            missing.append(line)
            continue
        at = places[-1]
        end = rest.pop(at)[len(wanted) :]
        if lacked is Lacked.END and at == len(rest) and at:
            rest[-1] = rest[-1].removesuffix(end)
    return b"".join(rest), missing


def write_whole(path: Path, data: bytes, mode: int | None = None) -> None:
    """Write a file whole, whatever it held before.

    A link stays a link. Permissions are `mode`, else those of the old file, else those of a new
    file. Raises OSError if that fails; the file is then unchanged.
    """
    target = Path(os.path.realpath(path))
    try:
        with _locked_and_clean(target.parent):
            _replace(target, data, None, mode)
    except LockFault as fault:
        raise OSError(None, str(fault), str(path)) from fault


@contextmanager
def _faults_of(path: Path) -> Iterator[None]:
    """Turns a refusal of the system or of the lock into a WriteFault that names the file."""
    try:
        yield
    except LockFault as fault:
        raise WriteFault(f"{path}: {fault}") from fault
    except OSError as fault:
        raise WriteFault(f"{path}: cannot be written ({fault.strerror})") from fault


@contextmanager
def _locked_and_clean(folder: Path) -> Iterator[None]:
    """Locks a folder, and removes what a killed writer left there."""
    with locked(folder):
        with suppress(OSError):
            for leftover in folder.glob(f".*{TEMPORARY}"):
                leftover.unlink()
        yield


def _lacked(before: bytes | None) -> Lacked:
    if before is None:
        return Lacked.FILE
    return Lacked.NOTHING if not before or before.endswith(b"\n") else Lacked.END


def _append(target: Path, lines: Sequence[bytes]) -> tuple[os.stat_result, bytes | None]:
    """Add lines to a file. Returns the file written to, and what it held before; None if there
    was no file.

    Raises OSError if it could not be written; the file is then unchanged.
    """
    is_new = not target.exists()
    # A buffer would write the rest again when the file is truncated or closed.
    with target.open("a+b", buffering=0) as file:
        size = file.seek(0, os.SEEK_END)
        file.seek(0)
        before = file.read(size)
        end = Source.decode(str(target), before).newline.encode("ascii")
        start = end if _lacked(before) is Lacked.END else b""
        try:
            rest = memoryview(start + b"".join(line + end for line in lines))
            while rest:
                rest = rest[file.write(rest) :]
            os.fsync(file.fileno())
        except OSError:
            file.truncate(size)
            if is_new:
                target.unlink(missing_ok=True)
            raise
        return os.fstat(file.fileno()), None if is_new else before


def _has_gained(after: bytes, before: bytes, lines: Sequence[bytes]) -> bool:
    """True if a text holds each of some lines more often than one before it."""
    now, then = after.splitlines(), before.splitlines()
    return all(now.count(line) > then.count(line) for line in lines)


def _still_names(path: Path, written: os.stat_result) -> bool:
    """True if a path still names a file."""
    try:
        return os.path.samestat(path.stat(), written)
    except FileNotFoundError:
        return False


def _refuse(path: Path, state: os.stat_result) -> None:
    """Raise WriteFault for a file that must not be replaced by another."""
    if not state.st_mode & (stat.S_IWUSR | stat.S_IWGRP | stat.S_IWOTH):
        raise WriteFault(
            f"{path}: is read-only and was left as it is; `chmod u+w` lets it be written"
        )
    if state.st_nlink > 1:
        raise WriteFault(
            f"{path}: has {state.st_nlink} hard links, which a new file would part; it was left "
            "as it is. Make a copy in its place first (`cp FILE COPY && mv COPY FILE`)"
        )


def _replace(
    target: Path,
    data: bytes,
    given: bytes | None,
    mode: int | None = None,
    is_new: bool = False,
) -> bool:
    """Write a text to a temporary file, flush it, and rename it over the file.

    Returns False, and replaces nothing, if the file no longer holds `given`. With `is_new`, raises
    FileExistsError if anything has the name of the file.
    """
    temporary = _temporary_path(target)
    try:
        handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        _copy_attributes(temporary, target, mode)
        if given is not None and target.read_bytes() != given:
            temporary.unlink()
            return False
        if is_new:
            _name(temporary, target)
        else:
            temporary.replace(target)
    except BaseException:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)
        raise
    return True


def _name(temporary: Path, target: Path) -> None:
    """Rename a file to a name that nothing has. A rename alone would replace what has it."""
    try:
        os.link(temporary, target)
    except OSError:
        # Some file systems have no hard links.
        if is_there(target):
            raise
        temporary.replace(target)
    else:
        temporary.unlink()


def _temporary_path(target: Path) -> Path:
    """The path of the temporary file: one for each file, so that they do not pile up."""
    name = f".{target.name}{TEMPORARY}"
    if len(os.fsencode(name)) > _LONGEST_NAME:
        import hashlib

        name = f".{hashlib.sha256(os.fsencode(target.name)).hexdigest()}{TEMPORARY}"
    return target.with_name(name)


def _copy_attributes(temporary: Path, target: Path, mode: int | None) -> None:
    """Give a new file the owner, the permissions and the attributes of the one it replaces.

    Raises OSError if the owner cannot be kept: the file would then belong to somebody else.
    """
    try:
        old = target.stat()
    except FileNotFoundError:
        temporary.chmod(0o666 & ~_umask() if mode is None else mode)
        return
    new = temporary.stat()
    if hasattr(os, "chown") and (old.st_uid, old.st_gid) != (new.st_uid, new.st_gid):
        try:
            os.chown(temporary, old.st_uid, old.st_gid)
        except OSError:
            # We may not be allowed to set the group, which does no harm. The owner must be kept.
            if old.st_uid != new.st_uid:
                raise
    if hasattr(os, "listxattr"):
        with suppress(OSError):
            for name in os.listxattr(target):
                os.setxattr(temporary, name, os.getxattr(target, name))
    temporary.chmod(stat.S_IMODE(old.st_mode) if mode is None else mode)


def _umask() -> int:
    """The permissions that a new file does not get. To read them, we have to set them."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask
