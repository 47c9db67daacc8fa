"""Git: the books of a revision or of the index, read through git itself.

Nothing is checked out and nothing is written: git says which books there are, and one
`git cat-file` gives their texts.
"""

from __future__ import annotations

import os
import subprocess
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from pathlib import Path, PurePosixPath
from typing import NamedTuple

from ledger.homes import Home, Part, called_like, declares_household, grouped, put_together
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


def revision_on(day: date, folder: Path) -> str:
    """The last revision of the current branch up to the end of a day, by this machine's clock.

    Raises GitFault where there is none, with the first commit.
    """
    _tree(folder, "HEAD")
    found = git(folder, "rev-list", "--max-count=1", f"--before={day}T23:59:59", "HEAD", "--")
    if not found:
        form = ("--date=format-local:%Y-%m-%d", "--format=%h %cd")
        roots = git(folder, "rev-list", "--max-parents=0", *form, "HEAD", "--")
        name, its_day = roots.decode("ascii").split()[-2:]
        raise GitFault(
            f"git has no commit here from {day} or before; write `{name}`, which is the first, or "
            f"its day, {its_day}"
        )
    return found.decode("ascii").strip()


def homes_at(revision: str, paths: Iterable[Path], every: bool = False) -> list[Home]:
    """The homes that paths ask for as of a revision, as `find_homes` finds them in files.

    Their books have the paths that they have in the work tree. With `every`, the homes inside of
    one that was asked for come too. A path without books asks for none. Raises GitFault for a
    revision that git does not know.
    """

    def listed(top: Path) -> list[Blob]:
        words = ("ls-tree", "-r", "-z", "--full-tree", _tree(top, revision))
        return [
            Blob(path, blob)
            for path, (mode, _, blob) in _entries(git(top, *words))
            if mode not in (_LINK, _MODULE)
        ]

    return _homes(listed, paths, every)


def staged_homes(paths: Iterable[Path]) -> list[Home]:
    """The homes that paths ask for, and those inside of them, as the next commit would have
    them."""

    def listed(top: Path) -> list[Blob]:
        # In an unfinished merge a path has an entry for each side, and cannot be committed yet.
        return [
            Blob(path, blob)
            for path, (mode, blob, stage) in _entries(git(top, "ls-files", "--stage", "-z"))
            if mode not in (_LINK, _MODULE) and stage == b"0"
        ]

    return _homes(listed, paths, every=True)


def _entries(listed: bytes) -> Iterator[tuple[PurePosixPath, list[bytes]]]:
    """The paths that git lists, each with what git says of it."""
    for entry in filter(None, listed.split(b"\0")):
        about, _, name = entry.partition(b"\t")
        yield PurePosixPath(os.fsdecode(name)), about.split(b" ")


def _homes(listed: Callable[[Path], list[Blob]], paths: Iterable[Path], every: bool) -> list[Home]:
    tops: dict[Path, list[Blob]] = {}
    parts: list[Part] = []
    for path in paths:
        top = top_of(path)
        if top not in tops:
            tops[top] = listed(top)
        parts += _parts(tops[top], path, top, every)
    # A path may be gone from the work tree, or be a link there.
    return put_together(parts, os.path.abspath)


def _parts(blobs: list[Blob], path: Path, top: Path, every: bool) -> list[Part]:
    """What a path asks for in the homes of a listing."""
    below = _below(path, top)
    file = [blob for blob in blobs if blob.path == below]
    folder = below.parent if file else below
    around = _home_around(blobs, folder, top)
    at = folder if around is None else around
    called = called_like(top / folder, path.parent if file else path)
    root = called if around is None else called_like(top / around, called)
    sources = _sources([blob for blob in blobs if _is_book(blob, at)], root, at, top)
    groups = grouped(sources, root)
    if file:
        (named,) = _sources(file, path, below, top)
        mine = groups.get(root, []) if around is not None else []
        if not any(source.path == str(root / below.relative_to(at)) for source in mine):
            return [Part(None, [named], [named])]
        return [Part(root, mine, [named])]
    return [
        Part(home if around is not None or home != root else None, books, books)
        for home, books in groups.items()
        if around is None or every or home == root
    ]


def _home_around(blobs: list[Blob], folder: PurePosixPath, top: Path) -> PurePosixPath | None:
    """The nearest home at or above a folder, up to a hidden folder and in the repository."""
    above = [folder]
    while above[-1].parts and not above[-1].name.startswith("."):
        above.append(above[-1].parent)
    books = [
        blob for blob in blobs if blob.path.parent in above and _is_book(blob, blob.path.parent)
    ]
    sources = zip(books, _sources(books, top, PurePosixPath(), top), strict=True)
    homes = {blob.path.parent for blob, source in sources if declares_household(source)}
    return next((one for one in above if one in homes), None)


def _is_book(blob: Blob, folder: PurePosixPath) -> bool:
    """True for a book in or below a folder that is not hidden there."""
    if blob.path.suffix != SUFFIX or not blob.path.is_relative_to(folder):
        return False
    return not any(part.startswith(".") for part in blob.path.relative_to(folder).parts)


def _tree(folder: Path, revision: str) -> str:
    words = ("rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{tree}}")
    try:
        return git(folder, *words).decode("ascii").strip()
    except GitFault as fault:
        if "cannot be run" in str(fault):
            raise
        raise GitFault(f'"{revision}" is no revision that git knows here') from fault


def _below(path: Path, top: Path) -> PurePosixPath:
    """A path from the top of the work tree."""
    inside = os.path.relpath(os.path.realpath(path), os.path.realpath(top))
    return PurePosixPath(*Path(inside).parts)


def _sources(blobs: list[Blob], path: Path, below: PurePosixPath, top: Path) -> list[Source]:
    """The texts of some books at or below a path, which is `below` from the top."""
    blobs = sorted(blobs, key=lambda blob: blob.path)
    texts = _texts(top, blobs)
    return [
        Source.decode(str(path / blob.path.relative_to(below)), text)
        for blob, text in zip(blobs, texts, strict=True)
    ]


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
