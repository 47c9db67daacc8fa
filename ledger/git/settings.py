"""Git's settings: what a repository has set, and changes to its settings file.

Git makes the change in a copy, so that the new bytes are known before the file is touched. The copy
then replaces the file as git would do it: under the lock that keeps other git commands from
writing.
"""

from __future__ import annotations

import os
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from ledger.git.books import GitFault, git
from ledger.writing import TEMPORARY


def settings_of(top: Path, *scope: str) -> dict[str, list[str]]:
    """The values of each git setting; with `--local`, only the repository's own."""
    values: dict[str, list[str]] = {}
    for entry in git(top, "config", *scope, "-z", "--list").split(b"\0"):
        key, _, value = entry.decode("utf-8", "surrogateescape").partition("\n")
        values.setdefault(key.lower(), []).append(value)
    return values


class SettingsFile:
    """The file that holds a repository's own settings."""

    def __init__(self, top: Path, path: Path) -> None:
        self._top = top
        self._path = path.resolve()
        self._copy = self._path.with_name(f".{self._path.name}{TEMPORARY}")
        self._lock = self._path.with_name(f"{self._path.name}.lock")

    def read(self) -> bytes:
        """What the file holds."""
        return self._path.read_bytes()

    def changed(self, data: bytes, name: str, value: str) -> bytes:
        """The text of a settings file after a value is set in it."""
        with self._copy_holding(data):
            return self._copy_after(name, value)

    def without(self, data: bytes, name: str, value: str) -> bytes:
        """The text without a setting. If this is not its only value, the text stays as it is."""
        with self._copy_holding(data):
            if settings_of(self._top, "--file", str(self._copy)).get(name.lower()) != [value]:
                return data
            return self._copy_after("--unset", name)

    def replace(self, given: bytes, data: bytes) -> None:
        """Replace the text `given` in the file by a new one.

        Raises GitFault if another program has locked or changed the file, and OSError if it cannot
        be written; the file is then unchanged.
        """
        if data == given:
            return
        with self._copy_holding(data):
            self._copy.chmod(stat.S_IMODE(self._path.stat().st_mode))
            new = self._take_lock()
            try:
                if self.read() != given:
                    raise GitFault(
                        f"{self._path}: another program changed it meanwhile; run this again"
                    )
                new.replace(self._path)
            except (GitFault, OSError):
                new.unlink(missing_ok=True)
                raise

    def clear(self) -> None:
        """Remove what a killed change left."""
        try:
            # Our lock is a second name of the copy; any other lock is somebody else's.
            if self._lock.samefile(self._copy):
                self._lock.unlink()
        except FileNotFoundError:
            pass
        self._copy.unlink(missing_ok=True)
        self._copy.with_name(f"{self._copy.name}.lock").unlink(missing_ok=True)

    def _copy_after(self, *words: str) -> bytes:
        """The copy after `git config` has changed it."""
        git(self._top, "config", "--file", str(self._copy), *words)
        return self._copy.read_bytes()

    @contextmanager
    def _copy_holding(self, data: bytes) -> Iterator[None]:
        """Writes a text to the copy, and deletes the copy afterwards."""
        try:
            # Settings may hold passwords: nobody else may read the copy.
            handle = os.open(self._copy, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            with os.fdopen(handle, "wb") as file:
                file.write(data)
                file.flush()
                os.fsync(file.fileno())
            yield
        finally:
            self._copy.unlink(missing_ok=True)

    def _take_lock(self) -> Path:
        """Give the copy the name of git's lock, and return the path to rename."""
        try:
            os.link(self._copy, self._lock)
        except FileExistsError as fault:
            raise GitFault(
                f"git: could not lock config file {self._path}: {self._lock} is there. Another git "
                "command is at work; if none is, one was killed, and you may delete that file"
            ) from fault
        except OSError:
            # A file system without hard links. The rename is atomic there too.
            if self._lock.exists():
                raise
            return self._copy
        return self._lock
