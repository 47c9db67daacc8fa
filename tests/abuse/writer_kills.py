"""Commands that write are killed: the file is as it was or as it should be, and nothing is left.

    python tests/abuse/writer_kills.py [--kills 300] [--seed 1]

So many kills of each of `did`, `format`, `lint --fix`, `merge` and `undo`, with SIGKILL, at random
moments.
"""

from __future__ import annotations

import argparse
import random
import time
from pathlib import Path

from forks import besom, load_all, scratch_state
from races import DAY, home

from ledger.state import undo_log
from ledger.writing import TEMPORARY

CALLS = (
    ("did", "wash-up", "--yes", "--on", DAY, "--note", "killed"),
    ("format",),
    ("lint", "--fix"),
    ("merge", "base", "2026.chores", "theirs"),
    ("undo",),
)


def unsorted_record(record: Path) -> bytes:
    """Give the record lines that the formatter puts elsewhere; what it holds then."""
    text = "2026-03-01 did  make-beds\n2026-01-01  did make-beds\n" * 200
    record.write_text(text, "utf-8")
    Path("base").write_text(text, "utf-8")
    Path("theirs").write_text(text + f"{DAY} did wash-up\n", "utf-8")
    return text.encode()


def prepared(record: Path, words: tuple[str, ...]) -> tuple[bytes, bytes]:
    """Bring the record to where a command has something to write; what it and the undo log hold."""
    before = unsorted_record(record)
    if words[0] == "undo":
        assert besom(*CALLS[0]).wait().code == 0
        before = record.read_bytes()
    return before, undo_log().read_bytes() if undo_log().exists() else b""


def main() -> None:
    """Kill each command as often as asked, and print a line of counts for each."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--kills", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    scratch_state()
    dice = random.Random(given.seed)
    record = home()
    load_all([("due",), *CALLS])
    for words in CALLS:
        before, log = prepared(record, words)
        begun = time.perf_counter()
        besom(*words).wait()
        longest = time.perf_counter() - begun
        after = record.read_bytes()
        killed = torn = left = 0
        for _ in range(given.kills):
            record.write_bytes(before)
            if log:
                undo_log().write_bytes(log)
            running = besom(*words)
            running.kill_after(dice.random() * longest)
            killed += running.wait().code < 0
            torn += record.read_bytes() not in (before, after)
            left += any(Path().glob(f".*{TEMPORARY}"))
        # The next writer takes away what the last one left.
        besom("did", "wash-up", "--yes", "--on", DAY).wait()
        names = sorted(path.name for path in Path().iterdir())
        print(
            f"{words[0]:<7} {killed} of {given.kills} killed in time, {torn} files torn, "
            f"{left} times a text left beside, in the end there are {', '.join(names)}"
        )


if __name__ == "__main__":
    main()
