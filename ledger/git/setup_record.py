"""The note of a git setup: what besom wrote into a repository, and how to take it back.

The note is written before the things that it lists. So a killed setup leaves nothing that is not in
the note. An entry whose thing was never written is skipped.
"""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any, Literal, NamedTuple, get_args

from ledger.git.books import GitFault, git, printed_path, top_of
from ledger.git.settings import SettingsFile, settings_of
from ledger.git.texts import ATTRIBUTES, EXCLUDED, HOOK, LINES, SETTINGS, is_whole_hook
from ledger.writing import write_whole

Kind = Literal["attributes", "exclude", "setting", "hook"]

_BEGINNING = b'[\n {\n  "kind": "'
"""The first bytes of every note."""


class Repository(NamedTuple):
    """The places of a repository that a setup reads and writes."""

    top: Path
    """The top of the work tree."""
    tree: str
    """Git's name for a linked work tree; empty for the main one."""
    shared: Path
    """Git's own folder, which all work trees of the repository share."""
    hooks: Path
    exclude: Path
    config: SettingsFile
    note: Path
    command: str
    """The path of besom that the hook runs."""


class SetupEntry(NamedTuple):
    """One thing that is written, with all that is needed to undo it."""

    kind: Kind
    name: str
    """A setting, or a file. The path of an attributes file starts at the top of its work tree; that
    of any other file starts at git's own folder, which moves with the repository."""
    text: str
    """The lines added, the value set, or the whole hook."""
    made: bool = False
    """True if the file was not there before."""
    folder: bool = False
    """True if its folder was not there before."""
    tree: str = ""
    """Of attributes: their work tree, as `Repository.tree` has it."""
    top: str = ""
    """The path of that work tree from git's own folder."""
    digest: str = ""
    """SHA-256 of the settings file after the change, which the next three fields describe."""
    start: int = 0
    """How many bytes at the start stayed the same."""
    rest: int = 0
    """How many bytes at the end stayed the same."""
    was: str = ""
    """The old bytes between them, one character for each."""


def repository_of(folder: Path) -> Repository:
    """The repository around a folder, as git finds it.

    Raises GitFault outside of one, and in one without a work tree.
    """
    top = top_of(folder)

    def place(*words: str) -> Path:
        return top / printed_path(git(top, "rev-parse", *words))

    shared, own = place("--git-common-dir"), place("--git-dir")
    return Repository(
        top,
        "" if own.resolve() == shared.resolve() else own.name,
        shared,
        place("--git-path", "hooks"),
        place("--git-path", "info/exclude"),
        SettingsFile(top, place("--git-path", "config")),
        shared / "besom-setup.json",
        own_command(),
    )


def own_command() -> str:
    """The path of the command that runs, else of `besom` on the PATH, else its name alone."""
    called = shutil.which(sys.argv[0]) if Path(sys.argv[0]).stem == "besom" else None
    found = called or shutil.which("besom")
    return os.path.abspath(found) if found else "besom"  # noqa: PTH100 - links are not followed.


def bytes_of(path: Path) -> bytes | None:
    """The bytes of a file; None if there is none."""
    try:
        return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return None


def shown(path: Path, top: Path) -> str:
    """A path for people: from the top of the work tree, if it is inside."""
    return path.relative_to(top).as_posix() if path.is_relative_to(top) else str(path)


def from_shared(path: Path, repository: Repository) -> str:
    """A path from git's own folder."""
    return Path(os.path.relpath(path, repository.shared)).as_posix()


# ------------------------------------------------------------------------------------- the note


def noted(repository: Repository) -> list[SetupEntry]:
    """The entries of the note, in order of writing. Raises GitFault for a note that is not ours.

    If the note is cut off: its whole entries, and one for each other thing that is in the
    repository just as besom writes it.
    """
    data = bytes_of(repository.note)
    if data is None:
        return []
    entries = _read(data)
    if entries is None:
        if not _is_cut(data):
            raise GitFault(
                f"{repository.note}: cannot be read, and says what to take back; delete it to "
                "begin anew"
            )
        entries = _whole_entries(data)
        known = {(entry.kind, entry.name) for entry in entries}
        written = _already_written(repository)
        entries += [entry for entry in written if (entry.kind, entry.name) not in known]
    return entries


def note(repository: Repository, new: Iterable[SetupEntry]) -> None:
    """Add entries for what is about to be written; an entry that is there is not added again."""
    known: dict[SetupEntry, SetupEntry] = {}
    for entry in (*noted(repository), *new):
        # Undo must bring back what was there before the text was first written.
        same = entry if entry.kind == "setting" else entry._replace(made=False, folder=False)
        known.setdefault(same, entry)
    entries = list(known.values())
    if entries:
        text = json.dumps([entry._asdict() for entry in entries], indent=1)
        data = (text + "\n").encode()
        if data != bytes_of(repository.note):
            write_whole(repository.note, data)
    else:
        repository.note.unlink(missing_ok=True)


def setting_entry(name: str, value: str, before: bytes, after: bytes) -> SetupEntry:
    """The entry of a setting, given the bytes of the settings' file before and after."""
    start = _common_length(before, after)
    rest = _common_length(before[start:][::-1], after[start:][::-1])
    was = before[start : len(before) - rest].decode("latin-1")
    return SetupEntry(
        "setting", name, value, digest=digest_of(after), start=start, rest=rest, was=was
    )


def _read(data: bytes) -> list[SetupEntry] | None:
    """The entries of a whole note; None for anything else."""
    try:
        return [_entry(fields) for fields in json.loads(data)]
    except (TypeError, ValueError):
        return None


def _entry(fields: Any) -> SetupEntry:
    """One entry of a note. Raises TypeError or ValueError for anything else."""
    entry = SetupEntry(**fields)
    wanted = SetupEntry("hook", "", "")
    if any(type(value) is not type(like) for value, like in zip(entry, wanted, strict=True)):
        raise TypeError
    if entry.kind not in get_args(Kind):
        raise ValueError
    return entry


def _is_cut(data: bytes) -> bool:
    """True for the first part of a note, and for one whose end the disk has filled with zeros."""
    text = data.rstrip(b"\0")
    if _BEGINNING.startswith(text):
        return True
    try:
        json.loads(text)
    except ValueError:
        return text.startswith(_BEGINNING)
    return False


def _whole_entries(data: bytes) -> list[SetupEntry]:
    text = data.rstrip(b"\0").decode("utf-8", "replace").removeprefix("[")
    entries: list[SetupEntry] = []
    while text:
        try:
            fields, end = json.JSONDecoder().raw_decode(text.lstrip(" \n,"))
            entries.append(_entry(fields))
        except (TypeError, ValueError):
            break
        text = text.lstrip(" \n,")[end:]
    return entries


def _already_written(repository: Repository) -> Iterable[SetupEntry]:
    """Entries for what is in the repository just as besom writes it."""
    files: list[tuple[Kind, Path, tuple[str, ...]]] = [
        ("attributes", repository.top / ATTRIBUTES, LINES),
        ("exclude", repository.exclude, EXCLUDED),
    ]
    for kind, path, lines in files:
        data = bytes_of(path) or b""
        for end in ("\n", "\r\n"):
            text = "".join(line + end for line in lines)
            if text.encode() in data:
                yield file_entry(repository, kind, path, text, made=data == text.encode())
    local = settings_of(repository.top, "--local")
    for name, value in SETTINGS.items():
        if local.get(name.lower()) == [value]:
            yield SetupEntry("setting", name, value)
    hook = repository.hooks / HOOK
    text = (bytes_of(hook) or b"").decode("utf-8", "surrogateescape")
    if is_whole_hook(text):
        yield file_entry(repository, "hook", hook, text)


def file_entry(
    repository: Repository, kind: Kind, path: Path, text: str, made: bool = False
) -> SetupEntry:
    """The entry of a text that goes into a file."""
    folder = not path.parent.is_dir()
    if kind == "attributes":
        top = from_shared(repository.top, repository)
        return SetupEntry(kind, path.name, text, made, folder, repository.tree, top)
    return SetupEntry(kind, from_shared(path, repository), text, made, folder)


def _common_length(first: bytes, second: bytes) -> int:
    """The length of the common start of two texts."""
    pairs = enumerate(zip(first, second, strict=False))
    return next((n for n, (a, b) in pairs if a != b), min(len(first), len(second)))


def digest_of(data: bytes) -> str:
    """A digest by which a text of the settings file is recognized."""
    return hashlib.sha256(data).hexdigest()
