"""Scenarios: repositories of every kind, in each of which a setup is made, used and undone.

Wrong is an end other than 0, 1 or 2, an exception, a setup that is undone and leaves something,
one that ends otherwise when it is run again, and a fault that is not found or goes into a commit.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest
from repositories import FAULTY, HOME, begin, git, tried
from test_cli import besom
from test_git_setup import everything


class Place(NamedTuple):
    """Where a scenario has put a book."""

    folder: Path
    """Where besom is run."""
    top: Path
    """Of the work tree."""
    watched: Path
    """All that may change by a setup, the repository with its git's own folder."""


class Outcome(NamedTuple):
    """What happened in a scenario."""

    setup: int
    """How the setup ended."""
    commit: int | None
    """How the commit of a fault ended; None where there was no work tree to stage it in."""
    said: str
    wrong: list[str]


Scenario = Callable[[Path, pytest.MonkeyPatch], Place]


def home(folder: Path) -> Place:
    top = begin(folder / "home")
    return Place(top, top, folder)


# ------------------------------------------------------------------------------------ scenarios


def plain(folder: Path, _: pytest.MonkeyPatch) -> Place:
    return home(folder)


def folder_below(folder: Path, _: pytest.MonkeyPatch) -> Place:
    top = home(folder).top
    (top / "rooms" / "attic").mkdir(parents=True)
    return Place(top / "rooms" / "attic", top, folder)


def unborn_branch(folder: Path, _: pytest.MonkeyPatch) -> Place:
    top = folder / "home"
    top.mkdir()
    git(top, "init", "-q", "-b", "main")
    return Place(top, top, folder)


def detached_head(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    git(place.top, "checkout", "-q", "--detach")
    return place


def linked_work_tree(folder: Path, _: pytest.MonkeyPatch) -> Place:
    git(home(folder).top, "worktree", "add", "-q", str(folder / "beside"))
    return Place(folder / "beside", folder / "beside", folder)


def work_tree_of_a_bare_repository(folder: Path, _: pytest.MonkeyPatch) -> Place:
    git(folder, "clone", "-q", "--bare", str(home(folder).top), "bare.git")
    git(folder / "bare.git", "worktree", "add", "-q", str(folder / "beside"))
    return Place(folder / "beside", folder / "beside", folder)


def bare_repository(folder: Path, _: pytest.MonkeyPatch) -> Place:
    git(folder, "clone", "-q", "--bare", str(home(folder).top), "bare.git")
    return Place(folder / "bare.git", folder / "bare.git", folder)


def gits_own_folder(folder: Path, _: pytest.MonkeyPatch) -> Place:
    top = home(folder).top
    return Place(top / ".git", top, folder)


def submodule(folder: Path, _: pytest.MonkeyPatch) -> Place:
    part = home(folder).top
    whole = begin(folder / "whole", notes="# none\n")
    git(whole, "-c", "protocol.file.allow=always", "submodule", "add", "-q", str(part))
    return Place(whole / "home", whole / "home", folder)


def shallow_clone(folder: Path, _: pytest.MonkeyPatch) -> Place:
    origin = home(folder).top
    git(origin, "commit", "-q", "--allow-empty", "-m", "More")
    git(folder, "clone", "-q", "--depth", "1", origin.as_uri(), "clone")
    return Place(folder / "clone", folder / "clone", folder)


def partial_clone(folder: Path, _: pytest.MonkeyPatch) -> Place:
    origin = home(folder).top
    git(origin, "config", "uploadpack.allowFilter", "true")
    git(folder, "clone", "-q", "--filter=blob:none", origin.as_uri(), "clone")
    return Place(folder / "clone", folder / "clone", folder)


def clone_that_borrows_objects(folder: Path, _: pytest.MonkeyPatch) -> Place:
    git(folder, "clone", "-q", "--shared", str(home(folder).top), "clone")
    return Place(folder / "clone", folder / "clone", folder)


def sparse_checkout(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    (place.top / "attic").mkdir()
    (place.top / "attic" / "old.chores").write_text("# old\n", "utf-8")
    git(place.top, "add", "-A")
    git(place.top, "commit", "-q", "-m", "Attic")
    git(place.top, "sparse-checkout", "set", "--cone", "--sparse-index")
    return place


def split_index(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    git(place.top, "update-index", "--split-index", "--index-version", "4")
    return place


def path_that_is_no_utf_8(folder: Path, _: pytest.MonkeyPatch) -> Place:
    top = begin(folder / os.fsdecode(b"h\xf6me"))
    return Place(top, top, folder)


def path_of_blanks_quotes_and_line_feeds(folder: Path, _: pytest.MonkeyPatch) -> Place:
    top = begin(folder / "a b\n'c' $d\n")
    return Place(top, top, folder)


def hooks_outside(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    (folder / "hooks").mkdir()
    git(place.top, "config", "core.hooksPath", str(folder / "hooks"))
    return place


def hooks_elsewhere_in_gits_own_folder(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    git(place.top, "config", "core.hooksPath", ".git/checks")
    return place


def hook_of_somebody_else(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    hook = place.top / ".git" / "hooks" / "pre-commit"
    hook.write_text("#!/bin/sh\nexit 0\n", "utf-8")
    hook.chmod(0o755)
    return place


def empty_hook(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    (place.top / ".git" / "hooks" / "pre-commit").touch()
    return place


def settings_that_include_others(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    (folder / "more").write_text("[merge]\n\tconflictStyle = zdiff3\n", "utf-8")
    git(place.top, "config", f"includeIf.gitdir:{place.top}/.path", str(folder / "more"))
    return place


def settings_of_each_work_tree(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = linked_work_tree(folder, _)
    git(place.top, "config", "extensions.worktreeConfig", "true")
    git(place.top, "config", "--worktree", "core.abbrev", "9")
    return place


def settings_behind_a_link(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    config = place.top / ".git" / "config"
    config.rename(folder / "settings")
    config.symlink_to(folder / "settings")
    return place


def settings_that_are_locked(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    (place.top / ".git" / "config.lock").touch()
    return place


def settings_that_are_broken(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    with (place.top / ".git" / "config").open("a", encoding="utf-8") as file:
        file.write("[nothing\n")
    return place


def folder_of_git_named(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    monkeypatch.setenv("GIT_DIR", str(place.top / ".git"))
    monkeypatch.setenv("GIT_WORK_TREE", str(place.top))
    return place


def index_named(folder: Path, monkeypatch: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    shutil.copy(place.top / ".git" / "index", folder / "index")
    monkeypatch.setenv("GIT_INDEX_FILE", str(folder / "index"))
    return place


def rebase_in_progress(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = unfinished(folder)
    tried(place.top, "rebase", "theirs")
    return place


def merge_in_progress(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = unfinished(folder)
    tried(place.top, "merge", "theirs")
    return place


def unfinished(folder: Path) -> Place:
    place = home(folder)
    book = place.top / "home.chores"
    for branch, minutes in (("theirs", "35"), ("main", "45")):
        if branch != "main":
            git(place.top, "branch", branch)
        git(place.top, "checkout", "-q", branch)
        book.write_text(HOME.replace("40", minutes), "utf-8")
        git(place.top, "commit", "-q", "-a", "-m", branch)
    return place


def carriage_returns(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    git(place.top, "config", "core.autocrlf", "true")
    (place.top / ".gitattributes").write_bytes(b"*.txt text\r\n")
    (place.top / "home.chores").write_bytes(HOME.replace("\n", "\r\n").encode())
    return place


def book_meant_to_be_added(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    (place.top / "more.chores").write_text("# more\n", "utf-8")
    git(place.top, "add", "-N", "more.chores")
    return place


def book_that_git_is_told_to_pass_over(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    (place.top / "more.chores").write_text("# more\n", "utf-8")
    git(place.top, "add", "-A")
    git(place.top, "update-index", "--skip-worktree", "more.chores")
    return place


def folder_of_git_apart(folder: Path, _: pytest.MonkeyPatch) -> Place:
    top = home(folder).top
    git(top, "init", "-q", f"--separate-git-dir={folder / 'apart'}")
    return Place(top, top, folder)


def repository_behind_a_link(folder: Path, _: pytest.MonkeyPatch) -> Place:
    top = home(folder).top
    (folder / "link").symlink_to(top)
    return Place(folder / "link", top, folder)


def repository_in_a_repository(folder: Path, _: pytest.MonkeyPatch) -> Place:
    outer = home(folder).top
    inner = begin(outer / "inner")
    return Place(inner, inner, folder)


def objects_by_sha_256(folder: Path, _: pytest.MonkeyPatch) -> Place:
    top = folder / "home"
    top.mkdir()
    git(top, "init", "-q", "-b", "main", "--object-format=sha256")
    begin(top)
    return Place(top, top, folder)


def index_that_is_broken(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    (place.top / ".git" / "index").write_bytes(b"DIRC nothing")
    return place


def object_that_is_gone(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    name = git(place.top, "rev-parse", "HEAD:home.chores").strip()
    (place.top / ".git" / "objects" / name[:2] / name[2:]).unlink()
    return place


def folder_of_somebody_else(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        os.chown(place.top, 12345, 12345)
        os.chown(place.top / ".git", 12345, 12345)
    return place


def folder_of_git_that_may_not_be_written(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    (place.top / ".git").chmod(0o555)
    return place


def no_folder_of_hooks_and_none_of_info(folder: Path, _: pytest.MonkeyPatch) -> Place:
    top = folder / "home"
    top.mkdir()
    git(top, "init", "-q", "-b", "main", "--template=")
    begin(top)
    return Place(top, top, folder)


def watcher_of_files(folder: Path, _: pytest.MonkeyPatch) -> Place:
    place = home(folder)
    program = folder / "program"
    program.write_text(f"#!/bin/sh\ntouch '{folder / 'ran'}'\n", "utf-8")
    program.chmod(0o755)
    git(place.top, "config", "core.fsmonitor", str(program))
    return place


SCENARIOS: dict[str, Scenario] = {
    function.__name__: function
    for function in (
        plain, folder_below, unborn_branch, detached_head, linked_work_tree,
        work_tree_of_a_bare_repository, bare_repository, gits_own_folder, submodule,
        shallow_clone, partial_clone, clone_that_borrows_objects, sparse_checkout, split_index,
        path_that_is_no_utf_8, path_of_blanks_quotes_and_line_feeds, hooks_outside,
        hooks_elsewhere_in_gits_own_folder, hook_of_somebody_else, empty_hook,
        settings_that_include_others, settings_of_each_work_tree, settings_behind_a_link,
        settings_that_are_locked, settings_that_are_broken, folder_of_git_named, index_named,
        rebase_in_progress, merge_in_progress, carriage_returns, book_meant_to_be_added,
        book_that_git_is_told_to_pass_over, folder_of_git_apart, repository_behind_a_link,
        repository_in_a_repository, objects_by_sha_256, index_that_is_broken,
        object_that_is_gone, folder_of_somebody_else, folder_of_git_that_may_not_be_written,
        no_folder_of_hooks_and_none_of_info, watcher_of_files,
    )
}  # fmt: skip


# ------------------------------------------------------------------------------- what is tried


def outcome(name: str, folder: Path, monkeypatch: pytest.MonkeyPatch) -> Outcome:
    """Try all there is to try in one scenario."""
    folder.mkdir()
    place = SCENARIOS[name](folder, monkeypatch)
    monkeypatch.chdir(place.folder)
    wrong: list[str] = []
    before = everything(place.watched)
    first, why = call(wrong, "git-setup", "--yes")
    again, _ = call(wrong, "git-setup", "--yes")
    if first != again:
        wrong.append(f"setup ended with {first}, and run again with {again}")
    undo, _ = call(wrong, "git-setup", "--undo", "--yes")
    left = changed(before, everything(place.watched))
    if left:
        wrong.append(f"undo left {', '.join(left)}")
    call(wrong, "git-setup", "--yes")
    commit, staged = use(place, wrong, first)
    said = f"setup {first}, undo {undo}, {staged}"
    return Outcome(first, commit, said + (f": {why}" if first else ""), wrong)


def use(place: Place, wrong: list[str], setup: int) -> tuple[int | None, str]:
    """Stage a fault, try to commit it, and look at it in every way."""
    book = place.top / "home.chores"
    if not place.top.is_dir() or (place.top / "HEAD").exists():
        return None, "no work tree"
    book.write_text(FAULTY, "utf-8")
    can_stage = tried(place.top, "add", "-f", "home.chores").returncode == 0
    lint, _ = call(wrong, "lint", "--staged", str(place.top))
    call(wrong, "lint", "--staged", "--since", "HEAD")
    call(wrong, "lint", "--since", "HEAD")
    call(wrong, "compare", "HEAD")
    count = tried(place.top, "rev-list", "--count", "--all").stdout
    done = tried(place.top, "commit", "-q", "-m", "A fault")
    came = tried(place.top, "rev-list", "--count", "--all").stdout != count
    if can_stage and lint == 0:
        wrong.append("the fault that is staged was not found")
    if came and setup == 0:
        wrong.append("the fault went into a commit")
    staged = "staged" if can_stage else "not staged"
    return done.returncode, f"{staged}, lint {lint}, commit {done.returncode}"


def call(wrong: list[str], *words: str) -> tuple[int, str]:
    """How a command ends, and the last thing it says of why."""
    try:
        result = besom(*words)
    except Exception as fault:  # Whatever it is, it is what this looks for.
        wrong.append(f"{' '.join(words)}: {type(fault).__name__}: {fault}")
        return -1, ""
    if result.exit_code not in (0, 1, 2):
        wrong.append(f"{' '.join(words)} ended with {result.exit_code}")
    left = [line.strip() for line in result.stdout.splitlines() if "    left  " in line]
    return result.exit_code, " ".join([*left, *result.stderr.partition("Error: ")[2].split()])


def changed(before: dict[str, tuple[int, bytes]], after: dict[str, tuple[int, bytes]]) -> list[str]:
    """The paths that are not as they were; git brings its index up to date as it likes."""
    paths = sorted(before.keys() | after.keys())
    return [path for path in paths if before.get(path) != after.get(path) and path[-5:] != "index"]
