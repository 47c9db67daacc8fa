"""The note of a git setup: what besom wrote into a repository, and how each thing is taken back."""

from __future__ import annotations

import hashlib
import json
import os
from pathlib import Path
from typing import Literal, NamedTuple

from ledger.git import GitFault, git, top_of
from ledger.writing import write_whole

Kind = Literal["attributes", "setting", "hook"]


class Repository(NamedTuple):
    """The places of a repository that a setup reads and writes."""

    top: Path
    """Of the work tree."""
    shared: Path
    """Git's own folder, which all work trees of the repository share."""
    hooks: Path
    config: Path
    note: Path


class Entry(NamedTuple):
    """One thing that was written, with all it takes to undo that."""

    kind: Kind
    name: str
    """A setting, a file from the top of the work tree, or a hook from git's own folder: a
    repository that moves takes that along."""
    text: str
    """The lines added, the value set, or the whole hook."""
    made: bool = False
    """True where the file, or the folder of the hook, was not there before."""
    digest: str = ""
    """SHA-256 of the settings' file after the change; with the three below, the change."""
    start: int = 0
    """How many bytes at the file's start the change left alone."""
    rest: int = 0
    """How many at its end."""
    was: str = ""
    """What stood between them, a character a byte."""


class TakenBack(NamedTuple):
    """What undoing does with one thing that was written."""

    name: str
    """A file from the top of the work tree, or a setting."""
    left: bool
    """True where it was changed since, and stays as it is."""


def repository_of(folder: Path) -> Repository:
    """The repository that a folder lies in, as git finds it.

    Raises GitFault outside of one, and in one without a work tree.
    """
    top = top_of(folder)

    def place(*words: str) -> Path:
        return top / os.fsdecode(git(top, "rev-parse", *words).rstrip(b"\n"))

    return Repository(
        top,
        place("--git-common-dir"),
        place("--git-path", "hooks"),
        place("--git-path", "config"),
        place("--git-path", "besom-setup.json"),
    )


def settings_of(repository: Repository, *scope: str) -> dict[str, list[str]]:
    """The values of each setting that git knows; with `--local`, of the repository's own."""
    values: dict[str, list[str]] = {}
    for entry in git(repository.top, "config", *scope, "-z", "--list").split(b"\0"):
        key, _, value = entry.decode("utf-8", "surrogateescape").partition("\n")
        values.setdefault(key.lower(), []).append(value)
    return values


def bytes_of(path: Path) -> bytes | None:
    """What a file holds; None where there is none."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def shown(path: Path, top: Path) -> str:
    """A path as people read it: from the top of the work tree, for one inside it."""
    return path.relative_to(top).as_posix() if path.is_relative_to(top) else str(path)


# ------------------------------------------------------------------------------------- the note


def noted(repository: Repository) -> list[Entry]:
    """What was written so far, in the order of writing. Raises GitFault for a note not ours."""
    data = bytes_of(repository.note)
    if data is None:
        return []
    try:
        return [Entry(**entry) for entry in json.loads(data)]
    except (TypeError, ValueError) as fault:
        raise GitFault(
            f"{repository.note}: cannot be read, and says what to take back; delete it to begin "
            "anew"
        ) from fault


def note(repository: Repository, entry: Entry) -> None:
    """Add what was just written."""
    entries = [one._asdict() for one in (*noted(repository), entry)]
    repository.note.write_text(json.dumps(entries, indent=1) + "\n", "utf-8")


def setting_entry(name: str, value: str, before: bytes, after: bytes) -> Entry:
    """The entry of a setting, given the bytes of the settings' file before and after."""
    start = _alike(before, after)
    rest = _alike(before[start:][::-1], after[start:][::-1])
    was = before[start : len(before) - rest].decode("latin-1")
    return Entry("setting", name, value, False, _digest(after), start, rest, was)


def _alike(one: bytes, other: bytes) -> int:
    """How many bytes two texts begin with alike."""
    pairs = enumerate(zip(one, other, strict=False))
    return next((n for n, (a, b) in pairs if a != b), min(len(one), len(other)))


def _digest(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


# ------------------------------------------------------------------------------------- and back


def to_take_back(repository: Repository) -> list[TakenBack]:
    """What `take_back` would do with each thing noted; what is gone already is passed over."""
    latest = {(entry.kind, entry.name): entry for entry in noted(repository)}
    local = settings_of(repository, "--local")
    found = []
    for entry in latest.values():
        if entry.kind == "setting":
            values = local.get(entry.name.lower(), [])
            name, there, ours = entry.name, bool(values), values == [entry.text]
        else:
            path = _path(repository, entry)
            name, data, text = shown(path, repository.top), bytes_of(path), entry.text.encode()
            if entry.kind == "hook":
                there, ours = data is not None, data == text
            else:
                there = data is not None and b"chores" in data
                ours = data is not None and _without(data, text) != data
        if there:
            found.append(TakenBack(name, not ours))
    return found


def take_back(repository: Repository) -> list[TakenBack]:
    """Undo all that is noted, the latest first, and forget the note.

    What a person has changed since is left as it is. Says what was done with each thing. Raises
    GitFault where git refuses, and OSError where a file cannot be written; the note then stays.
    """
    found = to_take_back(repository)
    for entry in reversed(noted(repository)):
        if entry.kind == "setting":
            _without_setting(repository, entry)
        elif entry.kind == "hook":
            _without_hook(_path(repository, entry), entry)
        else:
            _without_lines(_path(repository, entry), entry)
    repository.note.unlink(missing_ok=True)
    return found


def _path(repository: Repository, entry: Entry) -> Path:
    return (repository.shared if entry.kind == "hook" else repository.top) / entry.name


def _without_setting(repository: Repository, entry: Entry) -> None:
    data = repository.config.read_bytes()
    if _digest(data) == entry.digest:
        # Nobody wrote since, so the very bytes come back; git itself would leave the line end
        # that it gave to the last line, and take an empty section with it.
        rest = data[len(data) - entry.rest :]
        write_whole(repository.config, data[: entry.start] + entry.was.encode("latin-1") + rest)
    elif settings_of(repository, "--local").get(entry.name.lower()) == [entry.text]:
        git(repository.top, "config", "--local", "--unset", entry.name)


def _without_hook(path: Path, entry: Entry) -> None:
    if bytes_of(path) == entry.text.encode():
        path.unlink()
    if entry.made and path.parent.is_dir() and not any(path.parent.iterdir()):
        path.parent.rmdir()


def _without_lines(path: Path, entry: Entry) -> None:
    data = bytes_of(path)
    if data is None:
        return
    kept = _without(data, entry.text.encode())
    if entry.made and not kept:
        path.unlink()
    elif kept != data:
        write_whole(path, kept)


def _without(data: bytes, added: bytes) -> bytes:
    if data.endswith(added):
        return data.removesuffix(added)
    # With lines after ours, the line before ours keeps the end that it got.
    return data.replace(added.lstrip(), b"", 1)
