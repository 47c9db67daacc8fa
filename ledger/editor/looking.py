"""Looking: which books lie in a folder that an editor works in, as far as it can be looked into."""

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
"""Files and folders of one household that are looked at.

An editor that opens one file makes its folder and all below it the household. A home has some
hundred of them, with its photos and papers maybe some thousand; looking at so many takes a part of
a second. Beyond lie a build, a mail store or a disk, of which nobody waits for the end.
"""
MOST_BOOKS = 1000
"""Books of one household that are read: at one a year and one a room, more than a lifetime's."""


class Look(NamedTuple):
    """What was found in a folder."""

    books: list[Path]
    is_whole: bool
    """False where more lies there than was looked at."""


def is_broad(folder: Path) -> bool:
    """True for a folder below which much else lies: somebody's home, a whole disk, and where
    programs put what they will need once."""
    temporary = Path(tempfile.gettempdir())
    return folder in (Path.home(), Path(folder.anchor), temporary, temporary.resolve())


def look(root: Path) -> Look:
    """The books in a folder and, unless it is broad, in those below it, in order of name.

    Near folders are looked into first; after MOST_ENTRIES files and folders, or MOST_BOOKS books,
    the rest is left alone. Hidden files and folders are nobody's books, and a link to a folder
    is not followed.
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
    """What lies in a folder, one by one; nothing where it cannot be looked into."""
    with suppress(OSError), os.scandir(folder) as entries:
        yield from entries
