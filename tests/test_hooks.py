"""Hooks: a commit is judged by what it brings, in every kind of work tree."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

import pytest
from repositories import FAULTY, HOME, ROOT, begin, git, stand_alone, tried
from test_cli import besom

from ledger.git.texts import CHECK


@pytest.fixture
def top(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The top of a repository with one sound book, set up; the current folder."""
    stand_alone(monkeypatch, tmp_path)
    folder = begin(tmp_path / "our höme")
    monkeypatch.chdir(folder)
    assert besom("git-setup", "--yes").exit_code == 0
    return folder


def commit(folder: Path, *words: str) -> tuple[bool, str]:
    """Whether a commit came about, and what was said."""
    before = tried(folder, "rev-parse", "HEAD").stdout
    done = tried(folder, "commit", "-m", "A change", *words)
    came = tried(folder, "rev-parse", "HEAD").stdout != before
    assert came == (done.returncode == 0)
    return came, done.stderr


def write(top: Path, text: str, staged: str | None = None) -> None:
    """The book as the folder holds it, after it was staged, as it is or otherwise."""
    book = top / "home.chores"
    book.write_text(text if staged is None else staged, "utf-8")
    git(top, "add", "home.chores")
    book.write_text(text, "utf-8")


# ------------------------------------------------------------------- what besom itself writes


def test_commit_of_an_error_is_stopped_though_the_folder_holds_it_mended(top: Path) -> None:
    write(top, HOME, staged=FAULTY)
    came, said = commit(top)
    assert not came
    assert "home.chores:11:13: error: " in said
    assert "Mend the book, stage it (git add), and commit again" in said
    assert (top / "home.chores").read_text("utf-8") == HOME


def test_commit_of_a_sound_book_goes_through_though_the_folder_holds_an_error(top: Path) -> None:
    write(top, FAULTY, staged=HOME.replace("40 min", "45 min"))
    assert commit(top) == (True, "")
    assert (top / "home.chores").read_text("utf-8") == FAULTY


def test_commit_with_all_or_with_a_path_is_judged_by_what_it_takes(top: Path) -> None:
    (top / "home.chores").write_text(FAULTY, "utf-8")
    assert not commit(top, "-a")[0]
    assert not commit(top, "home.chores")[0]
    (top / "rooms").mkdir()
    (top / "rooms" / "notes.chores").write_text("# nothing yet\n", "utf-8")
    git(top, "add", "rooms")
    assert commit(top, "rooms") == (True, "")


def test_commit_of_a_new_warning_is_told_of_it_and_of_a_note_nothing_is_said(top: Path) -> None:
    write(top, HOME + "    hob  8 min\n")
    came, said = commit(top)
    assert (came, said.count(": warning: "), "note" in said) == (True, 1, False)
    assert "besom: these warnings do not stop the commit.\n" in said
    write(top, HOME.replace("15 min  in", "15 min      in"))
    assert besom("lint").exit_code == 1
    assert commit(top) == (True, "")


def test_commit_does_not_answer_for_what_was_there_before(top: Path) -> None:
    write(top, FAULTY)
    git(top, "commit", "-q", "--no-verify", "-m", "As it is")
    write(top, FAULTY.replace("40 min", "45 min"))
    assert commit(top) == (True, "")
    write(top, FAULTY + "    sinks  7 mins\n")
    came, said = commit(top)
    assert (came, said.count(": error: ")) == (False, 1)


def test_commit_of_many_faults_is_told_of_the_ten_gravest_and_of_how_to_see_all(top: Path) -> None:
    soft = "".join(f"    soft-{n}  5 min\n" for n in range(40))
    write(top, HOME + soft + "".join(f"    hard-{n}  5 mins\n" for n in range(300)))
    came, said = commit(top)
    assert (came, said.count(": error: "), said.count(": warning: ")) == (False, 10, 0)
    assert " more findings; the same command without --most shows all\n" in said
    assert f"To see all of it: {CHECK}\n" in said
    assert len(said.splitlines()) < 100
    shown = besom(*CHECK.split()[1:]).stdout
    assert shown.count("hard-") >= 300


def test_commit_without_a_book_is_not_asked_about_books(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stand_alone(monkeypatch, tmp_path, with_besom=False)
    (top / "notes.txt").write_text("no book", "utf-8")
    git(top, "add", "notes.txt")
    assert commit(top) == (True, "")


def test_commit_is_stopped_with_advice_where_besom_is_not_to_be_found(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stand_alone(monkeypatch, tmp_path, with_besom=False)
    write(top, HOME.replace("40 min", "45 min"))
    came, said = commit(top)
    assert not came
    assert "besom: not found, neither where it was nor on PATH" in said
    assert "git commit --no-verify" in said
    assert commit(top, "--no-verify")[0]


@pytest.mark.parametrize(("book", "comes"), [(HOME + "    hob  8 min\n", True), (FAULTY, False)])
def test_first_commit_takes_a_home_as_it_is_but_for_errors(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, book: str, comes: bool
) -> None:
    stand_alone(monkeypatch, tmp_path)
    git(tmp_path, "init", "-q", "home")
    top = tmp_path / "home"
    assert besom("git-setup", "--yes", str(top)).exit_code == 0
    write(top, book)
    assert commit(top)[0] == comes


def test_besom_is_run_where_it_was_though_the_path_does_not_have_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A graphical program runs git with another PATH than the shell in which besom was set up."""
    stand_alone(monkeypatch, tmp_path)
    top = begin(tmp_path / "home")
    before = os.environ["PATH"]
    own = tmp_path / "its own" / "besom"
    own.parent.mkdir()
    (tmp_path / "programs" / "besom").rename(own)
    monkeypatch.setenv("PATH", str(own.parent), prepend=os.pathsep)
    assert besom("git-setup", "--yes", str(top)).exit_code == 0
    monkeypatch.setenv("PATH", before)
    write(top, FAULTY)
    came, said = commit(top)
    assert (came, said.count(": error: ")) == (False, 1)
    assert f"To see all of it: '{own}' lint --staged . " in said
    # It is gone from there, and is on the PATH.
    own.rename(tmp_path / "programs" / "besom")
    came, said = commit(top)
    assert (came, said.count(": error: ")) == (False, 1)


def test_book_of_the_environment_is_not_what_a_commit_is_judged_by(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BESOM_BOOK", str(begin(tmp_path / "other")))
    write(top, FAULTY)
    assert not commit(top)[0]


def test_last_book_may_go(top: Path) -> None:
    git(top, "rm", "-q", "home.chores")
    assert commit(top) == (True, "")


def test_commit_of_another_work_tree_is_judged_by_the_same_hook(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    other = tmp_path / "beside"
    git(top, "worktree", "add", "-q", str(other))
    (other / "rooms").mkdir()
    monkeypatch.chdir(other / "rooms")
    # It has no attributes yet, as these are not committed; the rest it shares, the note too.
    assert besom("git-setup", "--yes").exit_code == 0
    assert (other / ".gitattributes").is_file()
    write(other, HOME, staged=FAULTY)
    assert not commit(other / "rooms")[0]
    write(other, FAULTY, staged=HOME.replace("40 min", "45 min"))
    assert commit(other / "rooms") == (True, "")
    assert besom("git-setup", "--undo", "--yes").exit_code == 0
    for tree in (other, top):
        assert not (tree / ".gitattributes").exists()
        assert "nothing that git-setup wrote" in besom("git-setup", "--undo", str(tree)).stdout
    assert tried(top, "config", "merge.chores.driver").returncode == 1
    assert not list(top.glob(".git/**/besom-setup.json"))


def test_commit_of_a_submodule_is_judged_by_a_hook_of_its_own(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stand_alone(monkeypatch, tmp_path)
    begin(tmp_path / "home")
    whole = begin(tmp_path / "whole", notes="# none\n")
    git(whole, "-c", "protocol.file.allow=always", "submodule", "add", "-q", str(tmp_path / "home"))
    part = whole / "home"
    assert besom("git-setup", "--yes", str(part)).exit_code == 0
    assert (part / ".gitattributes").is_file()
    assert (whole / ".git" / "modules" / "home" / "hooks" / "pre-commit").is_file()
    assert not (whole / ".git" / "hooks" / "pre-commit").exists()
    assert tried(whole, "config", "merge.chores.driver").returncode == 1
    write(part, HOME, staged=FAULTY)
    assert not commit(part)[0]
    write(part, HOME.replace("40 min", "45 min"))
    assert commit(part) == (True, "")


# ------------------------------------------------------------ the framework that shares hooks
# https://pre-commit.com: a repository of hooks is one with `.pre-commit-hooks.yaml`, which is
# cloned and installed by pip, so this test needs an index of packages.


def run_framework(folder: Path, home: Path, hook: str) -> subprocess.CompletedProcess[str]:
    environment: Mapping[str, str] = {**os.environ, "PRE_COMMIT_HOME": str(home)}
    words = [sys.executable, "-m", "pre_commit", "run", hook, "--color", "never"]
    return subprocess.run(
        words, cwd=folder, env=environment, capture_output=True, encoding="utf-8", check=False
    )


def copy_of_the_checkout(folder: Path) -> str:
    """A clone of the project with what is not committed yet; its newest commit."""
    shutil.copytree(
        ROOT,
        folder,
        ignore=shutil.ignore_patterns(".git", ".*cache*", ".hypothesis", "venv", ".venv", "tests"),
    )
    git(folder, "init", "-q", "-b", "main")
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", "As it is")
    return git(folder, "rev-parse", "HEAD").strip()


@pytest.mark.network
def test_hooks_of_the_framework_find_faults_and_bring_books_into_shape(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = os.environ["PATH"]
    stand_alone(monkeypatch, tmp_path)
    monkeypatch.setenv("PATH", path)
    monkeypatch.delenv("PYTHONPATH", raising=False)
    revision = copy_of_the_checkout(tmp_path / "project")
    top = begin(tmp_path / "höme with books")
    (top / ".pre-commit-config.yaml").write_text(
        f"repos:\n  - repo: {(tmp_path / 'project').as_uri()}\n    rev: {revision}\n"
        "    hooks:\n      - id: besom-format\n      - id: besom-lint\n",
        "utf-8",
    )
    git(top, "add", "-A")
    git(top, "commit", "-q", "-m", "Share the hooks")
    home = tmp_path / "cache"

    write(top, HOME.replace("40 min  in", "40 min     in"))
    shaped = run_framework(top, home, "besom-format")
    assert (shaped.returncode, "files were modified by this hook" in shaped.stdout) == (1, True)
    assert (top / "home.chores").read_text("utf-8") == HOME

    write(top, HOME, staged=FAULTY)
    stopped = run_framework(top, home, "besom-lint")
    assert (stopped.returncode, ": error: " in stopped.stdout) == (1, True)

    write(top, FAULTY, staged=HOME.replace("40 min", "45 min"))
    for hook in ("besom-format", "besom-lint"):
        passed = run_framework(top, home, hook)
        assert (passed.returncode, "Passed" in passed.stdout) == (0, True), passed.stdout
    assert (top / "home.chores").read_text("utf-8") == FAULTY
