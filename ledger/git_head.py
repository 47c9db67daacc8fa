"""Git's HEAD, read off its files: asking git itself takes longer than all else a command does."""

from __future__ import annotations

from pathlib import Path


def head_stamp(folder: Path) -> str:
    """A text that changes whenever HEAD of the folder's repository moves; empty outside of one.

    It holds what HEAD names and how long git's list of its moves is.
    """
    try:
        git = _git_folder(folder)
        if git is None:
            return ""
        head = (git / "HEAD").read_text("utf-8", "replace").strip()
        moves = git / "logs" / "HEAD"
        return f"{head} {moves.stat().st_size if moves.exists() else 0}"
    except OSError:
        return ""


def _git_folder(folder: Path) -> Path | None:
    """Where git keeps HEAD for the work tree that a folder lies in."""
    for place in (folder, *folder.parents):
        git = place / ".git"
        if git.is_dir():
            return git
        if git.is_file():
            # A linked work tree or a submodule: the file names the folder.
            named = git.read_text("utf-8", "surrogateescape").removeprefix("gitdir:").strip()
            return place / named
    return None
