"""A disk that is full at any byte: a file is as it was or as it should be, and nothing is left.

    python tests/abuse/disks.py

The system lets a command write files up to a size only (RLIMIT_FSIZE), and each size is tried.
"""

from __future__ import annotations

from pathlib import Path

from forks import besom, load_all, scratch_state
from races import home
from writer_kills import CALLS, unsorted_record


def tried(words: tuple[str, ...], record: Path, before: bytes | None) -> str:
    """A command at each size at which writing can end: counts in words."""

    def put_back() -> None:
        record.unlink(missing_ok=True)
        if before is not None:
            record.write_bytes(before)

    put_back()
    besom(*words).wait()
    after = record.read_bytes()
    # A line is added behind what stands there; all other texts are written from their start.
    least = len(before) - 2 if words[0] == "did" and before is not None else 0
    step = 1 if len(after) - least < 400 else 97
    sizes = [*range(least, len(after), step), len(after), len(after) + 1]
    refused = torn = left = 0
    for size in sizes:
        put_back()
        ended = besom(*words, largest_file=size).wait()
        refused += ended.code == 2 and "cannot be written" in ended.errors
        holds = record.read_bytes() if record.exists() else None
        torn += "Traceback" in ended.errors or holds != (after if ended.code < 2 else before)
        left += any(path.name.startswith(".") for path in Path().iterdir())
    what = "of no file yet" if before is None else "of a file"
    return (
        f"{words[0]:<7} {what}: {len(sizes)} sizes, {refused} refused in plain words, {torn} files "
        f"torn, {left} left beside"
    )


def main() -> None:
    """Try each size, and print a line of counts for each command."""
    scratch_state()
    record = home()
    load_all([("due",), *CALLS])
    print(tried(CALLS[0], record, None))
    for words in CALLS:
        print(tried(words, record, unsorted_record(record)))


if __name__ == "__main__":
    main()
