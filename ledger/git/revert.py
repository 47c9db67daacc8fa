"""Undo of a git setup: takes back what the note lists, and what a killed setup left."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from ledger.git.books import printed_path
from ledger.git.settings import SettingsFile, settings_of
from ledger.git.setup_record import Kind, Repository, SetupEntry, bytes_of, digest_of, noted, shown
from ledger.git.texts import ATTRIBUTES, HOOK
from ledger.writing import TEMPORARY, write_whole

_SIGN = b"# besom git-setup"
"""The start of our lines in a file that holds others too."""


class Reverted(NamedTuple):
    """What undoing does with one thing that was written."""

    name: str
    """A file, from the top of the work tree, or a setting."""
    left: bool
    """True if it was changed since, and stays as it is."""


def to_revert(repository: Repository) -> list[Reverted]:
    """What `revert` would do with each thing in the note; what is gone already is left out."""
    things: dict[tuple[str, str, str], list[SetupEntry]] = {}
    for entry in noted(repository):
        things.setdefault((entry.kind, entry.name, entry.tree), []).append(entry)
    local = settings_of(repository.top, "--local")
    undone = []
    for entries in things.values():
        first, texts = entries[0], [entry.text for entry in entries]
        if first.kind == "setting":
            values = local.get(first.name.lower(), [])
            name, there, ours = first.name, bool(values), values in [[text] for text in texts]
        else:
            path = _path(repository, first)
            data = None if path is None else bytes_of(path)
            if path is None or data is None:
                continue
            name = shown(path, repository.top)
            ours = any(_without(data, first.kind, text) != data for text in texts)
            there = ours or any(_has_line_of_ours(data, text) for text in texts)
        if there:
            undone.append(Reverted(name, not ours))
    return undone


def revert(repository: Repository) -> list[Reverted]:
    """Undo all that is in the note, the latest first, and delete the note.

    What somebody has changed since is left as it is. Returns what was done with each thing. Raises
    GitFault if git refuses, and OSError if a file cannot be written; the note then stays.
    """
    undone = to_revert(repository)
    entries = noted(repository)
    clear(repository)
    _take_back_settings(repository.config, [one for one in entries if one.kind == "setting"])
    for entry in reversed(entries):
        path = None if entry.kind == "setting" else _path(repository, entry)
        if path is not None:
            _take_back_text(path, entry)
    repository.note.unlink(missing_ok=True)
    return undone


def clear(repository: Repository) -> None:
    """Remove the half-written files of a setup or an undo that was killed."""
    repository.config.clear()
    paths = [
        repository.note,
        repository.top / ATTRIBUTES,
        repository.exclude,
        repository.hooks / HOOK,
        *(_path(repository, entry) for entry in noted(repository) if entry.kind != "setting"),
    ]
    for path in paths:
        if path is not None and path.parent.is_dir():
            target = path.resolve()
            target.with_name(f".{target.name}{TEMPORARY}").unlink(missing_ok=True)


def without_cut(data: bytes, text: bytes) -> bytes:
    """A file without our lines at its end, if they were cut off in the middle."""
    lines = text.lstrip()
    sizes = range(len(lines) - 1, len(_SIGN) - 1, -1)
    return data[: len(data) - next((n for n in sizes if data.endswith(lines[:n])), 0)]


def _path(repository: Repository, entry: SetupEntry) -> Path | None:
    """The path of an entry's file; None if it is no path that a setup writes to."""
    if entry.kind != "attributes":
        path = repository.shared / entry.name
        inside = path.parent.resolve().is_relative_to(repository.shared.resolve())
        return path if inside else None
    if entry.name != ATTRIBUTES:
        return None
    if entry.tree == repository.tree:
        return repository.top / entry.name
    if not entry.tree:
        return Path(os.path.normpath(repository.shared / entry.top)) / entry.name
    linked = repository.shared / "worktrees" / Path(entry.tree).name
    place = bytes_of(linked / "gitdir")
    return None if place is None else (linked / printed_path(place)).parent / entry.name


def _take_back_settings(config: SettingsFile, entries: Sequence[SetupEntry]) -> None:
    given = data = config.read()
    for entry in reversed(entries):
        if digest_of(data) == entry.digest:
            # Nobody has written since, so the very bytes come back. Git itself would leave the line
            # end that it added to the last line, and would remove an empty section.
            rest = data[len(data) - entry.rest :]
            data = data[: entry.start] + entry.was.encode("latin-1") + rest
        else:
            data = config.without(data, entry.name, entry.text)
    config.replace(given, data)


def _take_back_text(path: Path, entry: SetupEntry) -> None:
    data = bytes_of(path)
    if data is not None:
        remaining = _without(data, entry.kind, entry.text)
        if remaining is None or (entry.made and not remaining):
            path.unlink()
        elif remaining != data:
            write_whole(path, remaining)
    if entry.folder and path.parent.is_dir() and not any(path.parent.iterdir()):
        path.parent.rmdir()


def _without(data: bytes, kind: Kind, text: str) -> bytes | None:
    """A file without what was written into it; None if the file is to be deleted."""
    added = text.encode()
    if kind == "hook":
        return None if added.startswith(data) else data
    if data.endswith(added):
        return data.removesuffix(added)
    if added.lstrip() in data:
        # If lines follow ours, the line end that we added before ours is still needed.
        return data.replace(added.lstrip(), b"", 1)
    return without_cut(data, added)


def _has_line_of_ours(data: bytes, text: str) -> bool:
    """True if the file still has a line of ours that nobody else would write."""
    lines = text.encode().splitlines()
    ours = {line.strip() for line in lines if b"besom" in line or b"chores" in line}
    return not ours.isdisjoint(line.strip() for line in data.splitlines())
