"""Kills `besom git-setup` and its undo at random moments, and counts what stands afterwards.

    PYTHONPATH=tests python tests/abuse/git_kills.py [--kills 300] [--seed 1]

Half of the kills hit besom alone, half hit its git too. After each of them two things are tried on
copies of what stands: undo must leave not a byte, and setting up again must make all of it whole.
The tests try every moment between two calls to the system instead (`tests/test_git_kills.py`);
this tries the clock.
"""

from __future__ import annotations

import argparse
import os
import random
import shutil
import signal
import sys
import tempfile
import time
from collections import Counter
from contextlib import suppress
from pathlib import Path

import pytest
from repositories import begin, stand_alone
from test_cli import besom
from test_git_setup import BEGINNINGS, everything, states

NOTE = ".git/besom-setup.json"
Words = tuple[str, ...]
SETUP: Words = ("git-setup", "--yes")
UNDO: Words = ("git-setup", "--undo", "--yes")


class Trial:
    """One beginning of a repository, as it is before a setup and after one."""

    def __init__(self, folder: Path, beginning: str) -> None:
        self.top = folder / "home"
        self._copies = folder / "copies"
        shutil.rmtree(self.top, ignore_errors=True)
        shutil.rmtree(self._copies, ignore_errors=True)
        self._copies.mkdir()
        begin(self.top)
        BEGINNINGS[beginning](self.top)
        self.before = everything(self.top)
        self.keep("before")
        self.seconds = {SETUP: self.run(SETUP)}
        self.whole = everything(self.top)
        self.keep("whole")
        self.seconds[UNDO] = self.run(UNDO)

    def keep(self, name: str) -> None:
        shutil.copytree(self.top, self._copies / name, symlinks=True)

    def restore(self, name: str) -> None:
        shutil.rmtree(self.top)
        shutil.copytree(self._copies / name, self.top, symlinks=True)

    def forget(self, name: str) -> None:
        shutil.rmtree(self._copies / name)

    def start(self, words: Words) -> int:
        """Run a command in a process of its own, which leads a group of its own."""
        child = os.fork()
        if child == 0:
            os.setsid()
            besom(*words, str(self.top))
            os._exit(0)
        return child

    def run(self, words: Words) -> float:
        """The seconds that a command takes that is not killed."""
        begun = time.perf_counter()
        os.waitpid(self.start(words), 0)
        return time.perf_counter() - begun


def kill(trial: Trial, words: Words, chance: random.Random) -> None:
    """Start a command, and kill it after a while that it may or may not outlive."""
    started = trial.start(words)
    time.sleep(chance.uniform(0.1, 1.0) * trial.seconds[words])
    with suppress(ProcessLookupError):
        if chance.random() < 0.5:
            os.kill(started, signal.SIGKILL)
        else:
            os.killpg(started, signal.SIGKILL)
    os.waitpid(started, 0)
    time.sleep(0.03)  # For a git of its that is still at work.


def judged(trial: Trial) -> list[str]:
    """What is wrong with what stands after a kill."""
    wrong = []
    trial.keep("killed")
    undone = besom("git-setup", "--undo", "--yes", str(trial.top))
    if undone.exit_code:
        wrong.append(f"undo ended with {undone.exit_code}")
    if everything(trial.top) != trial.before:
        wrong.append("undo left something")
    trial.restore("killed")
    again = besom("git-setup", "--yes", str(trial.top))
    if again.exit_code:
        wrong.append(f"setting up again ended with {again.exit_code}")
    now = everything(trial.top)
    if {**now, NOTE: b""} != {**trial.whole, NOTE: b""} or set(states(trial.top).values()) != {
        "there"
    }:
        wrong.append("setting up again did not make it whole")
    besom("git-setup", "--undo", "--yes", str(trial.top))
    if everything(trial.top) != trial.before:
        wrong.append("undo of that left something")
    trial.forget("killed")
    return wrong


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=300)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    chance = random.Random(asked.seed)
    stood: Counter[str] = Counter()
    wrong: Counter[str] = Counter()
    with pytest.MonkeyPatch.context() as monkeypatch, tempfile.TemporaryDirectory() as folder:
        stand_alone(monkeypatch, Path(folder))
        trial = None
        for number in range(asked.kills):
            if trial is None or number % 25 == 0:
                trial = Trial(Path(folder), chance.choice(sorted(BEGINNINGS)))
            words = chance.choice([SETUP, UNDO])
            trial.restore("before" if words == SETUP else "whole")
            kill(trial, words, chance)
            now = everything(trial.top)
            name = "setup" if words == SETUP else "undo"
            kinds = {False: "midway", True: "before it wrote or after its end"}
            stood[f"{name}, killed {kinds[now in (trial.before, trial.whole)]}"] += 1
            wrong.update(f"{name}: {what}" for what in judged(trial))
    print(f"{asked.kills} kills, seed {asked.seed}")
    for what, count in (*sorted(stood.items()), *sorted(wrong.items())):
        print(f"{count:6}  {what}")
    print("nothing was wrong" if not wrong else f"{wrong.total()} things were wrong")
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()
