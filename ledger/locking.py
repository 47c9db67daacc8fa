"""Locking: one writer at a time in a folder.

Where the system can lock a folder (`flock`: Linux, macOS), the folder itself is locked, and nothing
is left in it. Elsewhere (Windows, and network folders that cannot be locked) a file in the state
folder is locked instead. That works only between commands of one person on one machine.
"""

from __future__ import annotations

import importlib
import os
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from types import ModuleType

from ledger.state import state_folder

_LONGEST_WAIT = 10.0
"""Seconds until a command gives up. Others hold a lock only while they write one file."""
_FIRST_PAUSE, _LONGEST_PAUSE = 0.0005, 0.02

_fcntl: ModuleType | None
try:
    import fcntl as _fcntl
except ImportError:  # pragma: no cover - Windows has none
    _fcntl = None


class LockFault(Exception):
    """Another command has locked a folder for too long; the message says so."""


@contextmanager
def locked(folder: Path) -> Iterator[None]:
    """Locks a folder against all other commands of besom that write.

    Raises LockFault if another holds the lock for too long. If neither the folder nor a file for it
    can be locked, goes on without a lock.
    """
    handle = _lock_folder(folder)
    if handle is None:
        handle = _lock_file(folder)
    try:
        yield
    finally:
        if handle is not None:
            os.close(handle)


def hold(path: Path) -> int | None:
    """Hold a file against all others who hold it so, until the handle that is returned is closed or
    the process ends, in whatever way. None if another holds it. Raises OSError if it cannot be
    opened; where it cannot be locked, nothing holds it."""
    handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    try:
        _try_to_lock(handle)
    except (BlockingIOError, PermissionError):
        os.close(handle)
        return None
    except OSError:
        pass
    return handle


def _lock_folder(folder: Path) -> int | None:
    if _fcntl is None:  # pragma: no cover - Windows alone
        return None
    try:
        handle = os.open(folder, os.O_RDONLY)
    except PermissionError:
        # The folder may be written to, but not listed.
        return None
    return _lock(handle)


def _lock_file(folder: Path) -> int | None:
    """Lock the file that stands for a folder; None if it cannot be locked."""
    import hashlib

    name = hashlib.sha256(os.fsencode(os.path.realpath(folder))).hexdigest()[:32]
    path = state_folder() / "locks" / name
    try:
        path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o600)
    except OSError:
        return None
    return _lock(handle)


def _lock(handle: int) -> int | None:
    """Wait for a lock on an open file. If it cannot be locked, close it and return None."""
    end = time.monotonic() + _LONGEST_WAIT
    pause = _FIRST_PAUSE
    while True:
        try:
            _try_to_lock(handle)
        except (BlockingIOError, PermissionError) as held:
            if time.monotonic() > end:
                os.close(handle)
                raise LockFault(
                    f"another command has been writing in its folder for {_LONGEST_WAIT:.0f} "
                    "seconds; try again"
                ) from held
            time.sleep(pause)
            pause = min(pause * 2, _LONGEST_PAUSE)
        except OSError:
            with suppress(OSError):
                os.close(handle)
            return None
        except BaseException:
            os.close(handle)
            raise
        else:
            return handle


def _try_to_lock(handle: int) -> None:
    if _fcntl is not None:
        _fcntl.flock(handle, _fcntl.LOCK_EX | _fcntl.LOCK_NB)
    else:  # pragma: no cover - Windows alone
        windows = importlib.import_module("msvcrt")
        windows.locking(handle, windows.LK_NBLCK, 1)
