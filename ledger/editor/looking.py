"""Looking: which books are in a folder that an editor works in."""

from __future__ import annotations

import os
import tempfile
from collections import deque
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from ledger.workspace import SUFFIX

MOST_ENTRIES = 20_000
"""The most files and folders of one household that are looked at.

When an editor opens one file, the household is the folder of the file and all below it. A home has
some hundred files, with photos and papers maybe some thousand; to look at so many takes a part of a
second. A larger folder is a build, a mail store or a disk, and would take too long.
"""
MOST_BOOKS = 1000
"""The most books of one household that are read: with one a year and one a room, more than a
lifetime's."""


class Look(NamedTuple):
    """What was found in a folder."""

    books: list[Path]
    is_whole: bool
    """False if there is more in the folder than was looked at."""


def is_broad(folder: Path) -> bool:
    """True for a folder that holds much besides a household: a user's home folder, a whole disk,
    and folders for temporary files."""
    temporary = Path(tempfile.gettempdir())
    return folder in (Path.home(), Path(folder.anchor), temporary, temporary.resolve())


def look(root: Path) -> Look:
    """The books in a folder and, unless it is broad, in those below it, in order of name.

    Near folders are looked into first; after MOST_ENTRIES files and folders, or MOST_BOOKS books,
    the rest is left out. Hidden files and folders are skipped, and a link to a folder is not
    followed.
    """
    books: list[Path] = []
    waiting = deque([root])
    left = MOST_ENTRIES
    while waiting:
        for entry in _entries(waiting.popleft()):
            left -= 1
            if left < 0 or len(books) == MOST_BOOKS:
                return Look(sorted(books), is_whole=False)
            if entry.name.startswith("."):
                continue
            with suppress(OSError):
                if entry.is_dir(follow_symlinks=False):
                    waiting.append(Path(entry.path))
                elif entry.name.endswith(SUFFIX) and entry.is_file():
                    books.append(Path(entry.path))
        if is_broad(root):
            break
    return Look(sorted(books), is_whole=True)


def _entries(folder: Path) -> Iterator[os.DirEntry[str]]:
    """What is in a folder, one by one; nothing if it cannot be looked into."""
    with suppress(OSError), os.scandir(folder) as entries:
        yield from entries
