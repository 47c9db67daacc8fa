"""Keep: a round in a file of the state folder, so that no end of the terminal loses a tick.

Each round of a home has a file of its own, which is held for as long as the round goes. A file that
nobody holds is of a round that came to a sudden end.
"""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path
from typing import Any, NamedTuple

from ledger.evening.progress import Counting, Mark, Progress
from ledger.evening.rows import Key
from ledger.locking import hold
from ledger.state import state_folder
from ledger.writing import write_whole

MOST_AT_ONCE = 99
"""Rounds of one home that may go at the same time."""
_OWNER_ALONE = 0o600


class Kept(NamedTuple):
    """The file of a round."""

    path: Path
    handle: int

    def save(self, progress: Progress) -> None:
        """Keep a round, whatever was kept before. Raises OSError if that fails; the file then holds
        what it held before."""
        text = json.dumps(_to_json(progress))
        write_whole(self.path, text.encode("ascii"), _OWNER_ALONE)

    def forget(self) -> None:
        """Let go of a round that is written or left."""
        self.path.unlink(missing_ok=True)

    def close(self) -> None:
        """Hold the file no longer."""
        os.close(self.handle)


class Found(NamedTuple):
    """A file for a round, and what there is of rounds before it."""

    kept: Kept
    progress: Progress | None
    """The round in it that was not written; None if there is none."""
    goes_elsewhere: bool
    """True if another round of the home goes at this moment."""


def find(home: Path) -> Found:
    """A file for a round of a home: one with a round that was not written, else an empty one.
    Raises OSError if there can be none."""
    name = hashlib.sha256(os.fsencode(os.path.realpath(home))).hexdigest()[:32]
    folder = state_folder() / "rounds"
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    free: list[Found] = []
    elsewhere = False
    for number in range(1, MOST_AT_ONCE + 1):
        path = folder / f"{name}-{number}.json"
        is_beyond = not path.with_suffix(".held").exists()
        handle = hold(path.with_suffix(".held"))
        if handle is None:
            elsewhere = True
            continue
        free.append(Found(Kept(path, handle), read(path), False))
        if free[-1].progress is not None or is_beyond:
            break
    if not free:
        raise OSError(None, "too many rounds of this home go at the same time")
    best = next((one for one in free if one.progress is not None), free[0])
    for one in free:
        if one is not best:
            one.kept.close()
    return best._replace(goes_elsewhere=elsewhere)


def read(path: Path) -> Progress | None:
    """The round in a file; None where there is no file, or it holds something else."""
    try:
        return _from_json(json.loads(path.read_bytes()))
    except (OSError, ValueError, TypeError, KeyError, AttributeError):
        return None


def _to_json(progress: Progress) -> dict[str, Any]:
    return {
        **vars(progress),
        "marks": [[*key, *mark] for key, mark in progress.marks.items()],
        "counting": None if progress.counting is None else [
            *progress.counting.key, progress.counting.since, progress.counting.seen
        ],
        "accepted": sorted(progress.accepted),
    }  # fmt: skip


def _from_json(data: dict[str, Any]) -> Progress:
    """The round that JSON says. Raises ValueError, TypeError or KeyError for what is none."""
    marks = {
        Key(str(chore), str(person)): Mark(
            bool(ticked), None if given is None else int(given), float(seconds)
        )
        for chore, person, ticked, given, seconds in data["marks"]
    }
    counting = None
    if data["counting"] is not None:
        chore, person, since, until = data["counting"]
        counting = Counting(Key(str(chore), str(person)), float(since), float(until))
    return Progress(
        day=int(data["day"]),
        began=float(data["began"]),
        who=None if data["who"] is None else str(data["who"]),
        marks=marks,
        skips={str(chore): str(why) for chore, why in data["skips"].items()},
        counting=counting,
        accepted=frozenset(tuple(map(str, chores)) for chores in data["accepted"]),
        written={str(line): int(count) for line, count in data["written"].items()},
    )
