"""Git: the books of a revision or of the index, read through git itself.

Nothing is checked out and nothing is written: git says which books there are, and one
`git cat-file` gives their texts.
"""

from __future__ import annotations

import os
import subprocess
from collections.abc import Iterable
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from ledger.text.source import Source
from ledger.workspace import SUFFIX, WorkspaceFault, is_folder

_LINK, _MODULE = b"120000", b"160000"

# The settings of a repository from somebody else may name programs. Our calls only read, but two
# things would still run a program: to look at the index asks a file watcher, and an object that is
# missing here is fetched by the program that the remote names.
_NO_PROGRAMS = ("-c", "core.fsmonitor=false")
_NO_FETCHING = {"GIT_NO_LAZY_FETCH": "1", "GIT_ALLOW_PROTOCOL": "none"}


class GitFault(WorkspaceFault):
    """Git could not do something; the message says what it was and what to do."""


class Blob(NamedTuple):
    """A book as git keeps it."""

    path: PurePosixPath
    """The path from the top of the work tree."""
    name: bytes
    """The name of the object that holds its text."""


def git(folder: Path, *words: str, given: bytes = b"") -> bytes:
    """The output of a git command in a folder; no program that the repository names is run.

    Raises GitFault if git is not there or refuses, with the first line of its complaint.
    """
    command = ["git", "--literal-pathspecs", *_NO_PROGRAMS, *words]
    # Its messages are checked below, so they must not be translated.
    environment = {**os.environ, **_NO_FETCHING, "LC_ALL": "C"}
    try:
        done = subprocess.run(
            command, cwd=folder, input=given, capture_output=True, check=False, env=environment
        )
    except OSError as fault:
        raise GitFault("git cannot be run here; install git, or give folders and files") from fault
    except ValueError as fault:
        raise GitFault("git knows nothing by a name that is no text") from fault
    if done.returncode:
        complaint = done.stderr.decode("utf-8", "replace").strip().splitlines()
        if complaint and "not a git repository" in complaint[0]:
            raise GitFault(f"{folder}: in no git repository; begin one with `git init`")
        raise GitFault(f"git: {complaint[0] if complaint else f'{words[0]} failed'}")
    return done.stdout


def top_of(path: Path) -> Path:
    """The top of the work tree around a path, which may be gone. Raises GitFault outside of one."""
    folder = path.absolute()
    while not is_folder(folder):
        folder = folder.parent
    return Path(printed_path(git(folder, "rev-parse", "--show-toplevel")))


def printed_path(line: bytes) -> str:
    """The path in a line that git printed; a path may itself end in a line feed."""
    return os.fsdecode(line.removesuffix(b"\n"))


def is_revision(text: str, folder: Path) -> bool:
    """True if git knows a revision by that name in the repository of a folder."""
    try:
        _tree(folder, text)
    except GitFault:
        return False
    return True


def sources_at(revision: str, path: Path) -> list[Source]:
    """The books in a folder, or the one at a path, as of a revision.

    They have the paths that they have in the work tree. Raises GitFault for a revision that git
    does not know.
    """
    top = top_of(path)
    tree = _tree(top, revision)
    listed = git(top, "ls-tree", "-r", "-z", "--full-tree", tree, "--", *_below(path, top))
    blobs = []
    for entry in filter(None, listed.split(b"\0")):
        about, _, name = entry.partition(b"\t")
        mode, _, blob = about.split(b" ")
        if mode not in (_LINK, _MODULE):
            blobs.append(Blob(PurePosixPath(os.fsdecode(name)), blob))
    return _sources(blobs, path, top)


def staged_sources(path: Path) -> list[Source]:
    """The books in a folder, or the one at a path, as the next commit would have them."""
    top = top_of(path)
    listed = git(top, "ls-files", "--stage", "-z", "--", *_below(path, top))
    blobs = []
    for entry in filter(None, listed.split(b"\0")):
        about, _, name = entry.partition(b"\t")
        mode, blob, stage = about.split(b" ")
        # In an unfinished merge a path has an entry for each side, and cannot be committed yet.
        if mode not in (_LINK, _MODULE) and stage == b"0":
            blobs.append(Blob(PurePosixPath(os.fsdecode(name)), blob))
    return _sources(blobs, path, top)


def _tree(folder: Path, revision: str) -> str:
    words = ("rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{tree}}")
    try:
        return git(folder, *words).decode("ascii").strip()
    except GitFault as fault:
        if "cannot be run" in str(fault):
            raise
        raise GitFault(f'"{revision}" is no revision that git knows here') from fault


def _below(path: Path, top: Path) -> list[str]:
    """A path from the top of the work tree, as git takes it; empty for the top itself."""
    inside = os.path.relpath(os.path.realpath(path), os.path.realpath(top))
    if inside == os.curdir:
        return []
    return [PurePosixPath(*Path(inside).parts).as_posix()]


def _sources(blobs: Iterable[Blob], path: Path, top: Path) -> list[Source]:
    below = PurePosixPath(*_below(path, top))
    books = []
    for blob in blobs:
        if blob.path == below:
            books.append((path, blob))
            continue
        inside = blob.path.relative_to(below)
        hidden = any(part.startswith(".") for part in inside.parts)
        if inside.suffix == SUFFIX and not hidden:
            books.append((path / inside, blob))
    books.sort(key=lambda book: book[0])
    texts = _texts(top, [blob for _, blob in books])
    return [Source.decode(str(name), text) for (name, _), text in zip(books, texts, strict=True)]


def _texts(top: Path, blobs: list[Blob]) -> list[bytes]:
    """The texts of some books, read by one process.

    Raises GitFault for a text that this repository does not have.
    """
    if not blobs:
        return []
    out = git(top, "cat-file", "--batch", given=b"".join(blob.name + b"\n" for blob in blobs))
    texts, at = [], 0
    for blob in blobs:
        end = out.index(b"\n", at)
        header = out[at:end].split(b" ")
        if header[-1] == b"missing":
            raise GitFault(
                f"{blob.path}: git does not have its text here; in a partial clone, fetch it with "
                f"`git cat-file -p {blob.name.decode('ascii')}`"
            )
        size = int(header[2])
        texts.append(out[end + 1 : end + 1 + size])
        at = end + 1 + size + 1
    return texts
