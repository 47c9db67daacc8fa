"""Repositories to try things in: git as it comes from its makers, and `besom` on the PATH."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
HOME = """\
area kitchen

every day
    wash-up  15 min  in kitchen

every monday
    oven  40 min  in kitchen  "Oven, hob and hood"

weekend 1
    pantry  20 min  in kitchen
"""
FAULTY = HOME + "    sink  5 mins\n"


def stand_alone(monkeypatch: pytest.MonkeyPatch, folder: Path, with_besom: bool = True) -> None:
    """Let git know nobody's settings, and find the checkout's `besom`, or git and nothing else."""
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        monkeypatch.delenv(name)
    for who in ("AUTHOR", "COMMITTER"):
        monkeypatch.setenv(f"GIT_{who}_NAME", "noor")
        monkeypatch.setenv(f"GIT_{who}_EMAIL", "noor@example.org")
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    monkeypatch.setenv("GIT_CONFIG_NOSYSTEM", "1")
    programs = folder / "programs"
    programs.mkdir(exist_ok=True)
    if not (programs / "git").exists():
        found = shutil.which("git")
        assert found is not None
        (programs / "git").symlink_to(found)
    script = programs / "besom"
    script.unlink(missing_ok=True)
    if with_besom:
        script.write_text(
            f"#!/bin/sh\nPYTHONPATH='{ROOT}' exec '{sys.executable}' -m ledger \"$@\"\n", "utf-8"
        )
        script.chmod(0o755)
    monkeypatch.setenv("PATH", str(programs), prepend=os.pathsep if with_besom else None)


def git(folder: Path, *words: str) -> str:
    """What git prints; a call that fails fails the test, with what git said."""
    done = tried(folder, *words)
    assert done.returncode == 0, done.stderr
    return done.stdout


def tried(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """How a call of git ends."""
    return subprocess.run(
        ["git", *words], cwd=folder, capture_output=True, encoding="utf-8", check=False
    )


def begin(top: Path, **books: str) -> Path:
    """A repository with some books, by their names, in its first commit."""
    top.mkdir(parents=True, exist_ok=True)
    git(top, "init", "-q", "-b", "main")
    for name, text in (books or {"home": HOME}).items():
        (top / f"{name}.chores").write_text(text, "utf-8")
    git(top, "add", "-A")
    git(top, "commit", "-q", "-m", "Begin")
    return top
