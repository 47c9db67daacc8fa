"""besom: a plain-text chore book, read, checked and reported on.

from ledger import load
for task in load("home").due().today:
    print(task.title, task.minutes)
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import os
    from datetime import date

    from ledger.library import Book

__version__ = "0.1.0"
__all__ = ["__version__", "load"]


def load(*paths: str | os.PathLike[str], today: date | None = None) -> Book:
    """Read the chore book in some files and folders, as of a day.

    A folder or a file in a home stands for all books of that home. `today` defaults to the local
    date; a day ends at the hour that the book sets.

    Raises `ledger.workspace.WorkspaceFault` if there is no book, one cannot be read, or several
    homes are there, and ValueError for a day that no book can hold.
    """
    # Commands import this package too, and do not need the library.
    from ledger.library import Book

    return Book.load(*paths, today=today)
