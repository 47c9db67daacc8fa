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
    """The chore book in some files and folders, as it is looked at on a day.

    Of a folder every book below it counts. `today` is the local date where it is not given, by
    the hour at which the book ends its days.

    Raises `ledger.workspace.WorkspaceFault` where there is no book, or one cannot be read, and
    ValueError for a day that no book can hold.
    """
    # A command loads this package too, and needs none of it.
    from ledger.library import Book

    return Book.load(*paths, today=today)
