"""Git's HEAD, read from its files: to run git takes longer than the rest of a command."""

from __future__ import annotations

from pathlib import Path


def head_stamp(folder: Path) -> str:
    """A text that changes whenever HEAD of the folder's repository moves; empty outside of one.

    It holds what HEAD names and the size of git's log of its moves.
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
    """The folder in which git keeps HEAD for the work tree around a folder."""
    for place in (folder, *folder.parents):
        git = place / ".git"
        if git.is_dir():
            return git
        if git.is_file():
            # A linked work tree or a submodule: the file names the folder.
            named = git.read_text("utf-8", "surrogateescape").removeprefix("gitdir:").strip()
            return place / named
    return None
