"""Two commands write at once: no line that `did` reported may be lost.

    python tests/abuse/races.py [--rounds 200] [--seed 1]

Beside `format`, `lint --fix` and `merge` every line must be there in the end; beside `undo` every
line that it did not take back. Beside a foreign program that saves an older text over the file,
each must be there or be named by the next command.
"""

from __future__ import annotations

import argparse
import os
import random
import tempfile
import time
from pathlib import Path

from forks import Running, besom, load_all, scratch_state

HOME = """\
since 2026-01-01
area kitchen

every day
    wash-up    15 min  in kitchen
    make-beds   5 min  in kitchen
"""
DAY = "2026-03-04"


def home() -> Path:
    """A scratch household with a record of some length; the current folder from now on."""
    folder = Path(tempfile.mkdtemp(prefix="besom-race-"))
    (folder / "home.chores").write_text(HOME, "utf-8")
    lines = (f"2026-{month:02}-{day:02} did make-beds" for month in (1, 2) for day in range(1, 29))
    (folder / "2026.chores").write_text("\n".join(lines) + "\n", "utf-8")
    os.chdir(folder)
    return folder / "2026.chores"


def race(words: tuple[str, ...], rounds: int, writers: int, dice: random.Random) -> tuple[int, int]:
    """How many lines were reported, and how many of them are there in the end."""
    record = home()
    base = record.read_text("utf-8")
    Path("base").write_text(base, "utf-8")
    reported = []
    for number in range(rounds):
        # Of two days in turn, so that there is always something to sort.
        day = DAY if number % 2 else "2026-02-10"
        Path("theirs").write_text(f'{base}{day} did make-beds "theirs {number}"\n', "utf-8")
        other = besom(*words)
        time.sleep(dice.random() * 0.03)
        notes = [f"ours {number} {writer}" for writer in range(writers)]
        begun = [besom("did", "wash-up", "--yes", "--on", day, "--note", note) for note in notes]
        for note, did in zip(notes, begun, strict=True):
            ended = did.wait()
            if ended.code == 0:
                reported.append(note)
            else:
                print(f"  did ended with {ended.code}: {ended.errors}")
        ended = other.wait()
        if ended.code not in (0, 1):
            print(f"  {words[0]} ended with {ended.code}: {ended.errors}")
    text = record.read_text("utf-8")
    return len(reported), sum(text.count(f'"{note}"\n') == 1 for note in reported)


def undone(rounds: int, dice: random.Random) -> tuple[int, int, int]:
    """Lines reported, how many of them `undo` took back meanwhile, and how many are there."""
    record = home()
    base = record.read_text("utf-8")
    reported = taken = 0
    for number in range(rounds):
        note = f"ours {number}"
        did = besom("did", "wash-up", "--yes", "--on", DAY, "--note", note)
        time.sleep(dice.random() * 0.03)
        undo = besom("undo")
        reported += did.wait().code == 0
        taken += undo.wait().code == 0
    text = record.read_text("utf-8")
    return reported, taken, text.removeprefix(base).count("ours") if text.startswith(base) else -1


def foreign(rounds: int, dice: random.Random) -> tuple[int, int, int]:
    """Lines reported, of these there, and of the others named as gone by the next command."""
    record = home()
    reported = there = named = 0
    for number in range(rounds):
        first, second, third = (dice.random() * 0.02 for _ in range(3))

        def save(first: float = first, second: float = second) -> None:
            time.sleep(first)
            text = record.read_bytes()
            time.sleep(second)
            Path(".other-program").write_bytes(text)
            Path(".other-program").replace(record)

        editor = Running(save)
        time.sleep(third)
        line = f'{DAY} did wash-up "ours {number}"'
        ended = besom("did", "wash-up", "--yes", "--on", DAY, "--note", f"ours {number}").wait()
        editor.wait()
        reported += ended.code == 0
        if f"{line}\n" in record.read_text("utf-8"):
            there += 1
        elif f"{line}\n" in besom("due", "--on", DAY).wait().errors:
            named += 1
        else:
            print(f"  lost without a word: {line}")
    return reported, there, named


def main() -> None:
    """Run all races, and print a line of counts for each."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--rounds", type=int, default=200)
    parser.add_argument("--writers", type=int, default=2)
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    scratch_state()
    dice = random.Random(given.seed)
    home()
    merge = ("merge", "base", "2026.chores", "theirs")
    load_all(
        [
            ("due",),
            ("did", "wash-up", "--yes", "--on", DAY),
            ("format",),
            ("lint", "--fix"),
            ("undo",),
        ]
    )
    for words in (("format",), ("lint", "--fix"), merge):
        reported, there = race(words, given.rounds, given.writers, dice)
        print(f"did beside {words[0]:<7} {reported} lines reported, {there} there")
    reported, taken, there = undone(given.rounds, dice)
    print(f"did beside undo: {reported} reported, {taken} taken back, {there} there")
    reported, there, named = foreign(given.rounds, dice)
    print(f"did beside a foreign rename: {reported} reported, {there} there, {named} named as gone")


if __name__ == "__main__":
    main()
