"""The undo log: the lines that commands added to records, so that none is lost unnoticed.

An editor that saves a record writes back the text that it read before. A line that a command has
added in between is lost, and nothing can prevent that. So each added line is also kept in the state
folder. The next command reports a lost one, and `besom undo` takes back what was added last. All
other commands work without the log.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import NamedTuple

from ledger.git_head import head_stamp
from ledger.locking import LockFault, locked
from ledger.state import undo_log
from ledger.text.reader import Reader
from ledger.text.shown import safe
from ledger.text.source import Source
from ledger.text.tree import RecordEntry
from ledger.workspace import WorkspaceFault, is_there, load_source

MOST = 1000
"""Lines that the log keeps."""
_A_DAY = 86_400.0
_DATE = 10
"""Characters that a date takes at the start of a line."""


_TYPES = [str, str, float, int, str, str, int, bool]
"""The types of the fields of `AddedLine`."""

Key = tuple[str, str, frozenset[str]]


class AddedLine(NamedTuple):
    """A line that a command added to a record."""

    file: str
    """The real path of the record."""
    line: str
    at: float
    """When, in seconds since 1970; the same for all lines of one act."""
    twins: int
    """How many lines with the same date, verb and chores there were before it was added."""
    head: str
    """Where git's HEAD stood; empty outside of a repository."""
    lacked: str = ""
    """What the file lacked before; a value of `Lacked`."""
    others: int = 0
    """How many other lines of the date there were with one of its chores, without those in the
    log."""
    told: bool = False
    """True once it was told that the line is gone."""


def keep(
    path: Path, lines: Sequence[str], before: Sequence[Source], now: float, lacked: str = ""
) -> str | None:
    """Keep the lines that one act added to a record; `before` are the files before that, and
    `lacked` is what the record lacked.

    Returns why they could not be kept, or None if they were.
    """
    file = os.path.realpath(path)
    head, log = head_stamp(Path(file).parent), undo_log()
    try:
        log.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        with locked(log.parent):
            known = _read(log)
            for place, line in enumerate(lines):
                # Each line was added below those before it, which the file then had.
                there = [*before, Source(file, "\n".join(lines[:place]))]
                keys = [_key(line, one) for one in _entries(Source(file, line), line[:_DATE])]
                twins = sum(len(_entries_with(key, there)) for key in keys)
                others = sum(_count_others(key, there, known) for key in keys)
                known.append(
                    AddedLine(file, line, now, twins, head, "" if place else lacked, others)
                )
            _write(log, known[-MOST:])
    except (OSError, LockFault) as fault:
        return getattr(fault, "strerror", None) or str(fault)
    return None


def lost(sources: Sequence[Source], now: float) -> list[AddedLine]:
    """The lines that were added to some files less than a day ago and are now in none of them.

    A line is reported once: the log notes what is returned. A line that was reworded or corrected
    is not lost, even if it has another verb now. If git's HEAD has moved since, nothing is
    reported: somebody asked for another state of the files.
    """
    log = undo_log()
    try:
        if now - log.stat().st_mtime > _A_DAY:
            return []
        log_lines = _read(log)
    except OSError:
        return []
    paths = [os.path.realpath(source.path) for source in sources]
    new = [
        added
        for added in log_lines
        if not added.told and 0 <= now - added.at < _A_DAY and _belongs_to(added, paths)
    ]
    gone = _missing(new, sources)
    if gone:
        # A line may have been added since the sources were read.
        gone = _missing(new, list(_read_again(sources)))
        _change(lambda lines: [one._replace(told=one.told or one in gone) for one in lines])
    return [added for added in gone if added.head == head_stamp(Path(added.file).parent)]


def loss_message(added: AddedLine) -> str:
    """The message about a line that is gone, with the line to put back."""
    return (
        f"a line that was recorded is gone from {safe(added.file)}. If you took it away yourself, "
        "nothing is to be done; else another program has saved over it. To put it back, add this "
        f"line:\n    {safe(added.line)}"
    )


def last_act(sources: Sequence[Source]) -> list[AddedLine]:
    """The lines of the last act of a command in the home of some files; none if the log knows of
    none."""
    try:
        log_lines = _read(undo_log())
    except OSError:
        return []
    paths = [os.path.realpath(source.path) for source in sources]
    of_home = [added for added in log_lines if _belongs_to(added, paths)]
    latest = max((added.at for added in of_home), default=0)
    return [added for added in of_home if added.at == latest]


def forget(lines: Sequence[AddedLine]) -> None:
    """Take lines out of the log."""
    _change(lambda log_lines: [added for added in log_lines if added not in lines])


def _belongs_to(added: AddedLine, paths: Sequence[str]) -> bool:
    """True for a line of one of the files, or of a deleted file in the folder of one."""
    if added.file in paths:
        return True
    file = Path(added.file)
    return not is_there(file) and any(Path(path).parent == file.parent for path in paths)


def _read_again(sources: Iterable[Source]) -> Iterable[Source]:
    for source in sources:
        try:
            yield load_source(Path(source.path))
        except WorkspaceFault:
            continue


def _missing(added: Sequence[AddedLine], sources: Sequence[Source]) -> list[AddedLine]:
    """The added lines that are in none of the files.

    Lines with the same date, verb and chores are counted together. If there are fewer than when the
    last of them was added, the difference is lost; otherwise they were only reworded.
    """
    alike: dict[Key, list[tuple[AddedLine, RecordEntry]]] = {}
    for line in added:
        for entry in _entries(Source(line.file, line.line), line.line[:_DATE]):
            alike.setdefault(_key(line.line, entry), []).append((line, entry))
    gone = []
    for key, lines in alike.items():
        present = _entries_with(key, sources)
        fewer = max(line.twins for line, _ in lines) + 1 - len(present)
        changed = []
        for line, entry in lines:
            if entry in present:
                present.remove(entry)
            else:
                changed.append(line)
        gone += changed[: max(0, fewer)]
    return [line for line in gone if not _has_another_verb(line, sources, added)]


def _has_another_verb(
    line: AddedLine, sources: Sequence[Source], added: Sequence[AddedLine]
) -> bool:
    """True if a line was changed by hand, so that its key is another: there are more other lines of
    its date with a chore of it than before."""
    keys = [_key(line.line, one) for one in _entries(Source("", line.line), line.line[:_DATE])]
    return sum(_count_others(key, sources, added) for key in keys) > line.others


def _count_others(key: Key, sources: Sequence[Source], added: Sequence[AddedLine]) -> int:
    """How many lines of a date have another key and one of the chores, without those that commands
    have added."""
    date = key[0]
    own = [
        entry
        for line in added
        if line.line.startswith(date)
        for entry in _entries(Source("", line.line), date)
    ]
    entries = (entry for source in sources for entry in _entries(source, date))
    others = (entry for entry in entries if entry not in own and _key(date, entry) != key)
    return sum(not key[2].isdisjoint(_key(date, entry)[2]) for entry in others)


def _key(line: str, entry: RecordEntry) -> Key:
    """What lines that record the same have in common: the date, the verb and the chores."""
    return line[:_DATE], entry.verb, frozenset(item.name.value for item in entry.items)


def _entries_with(key: Key, sources: Sequence[Source]) -> list[RecordEntry]:
    """The entries with a key in some files."""
    date = key[0]
    entries = (entry for source in sources for entry in _entries(source, date))
    return [entry for entry in entries if _key(date, entry) == key]


def _entries(source: Source, date: str) -> list[RecordEntry]:
    """The entries of a source's lines of one date."""
    lines = []
    at = source.text.find(date)
    while at >= 0:
        end = source.text.find("\n", at)
        end = len(source.text) if end < 0 else end
        if at == 0 or source.text[at - 1] == "\n":
            lines.append(source.text[at:end].removesuffix("\r"))
        at = source.text.find(date, end)
    return Reader().read(Source(source.path, "\n".join(lines))).record.entries


def _change(change: Callable[[list[AddedLine]], Sequence[AddedLine]]) -> None:
    """Change the lines in the log. A log that cannot be written stays as it is: what was told is
    told again, which is better than not at all."""
    log = undo_log()
    try:
        with locked(log.parent):
            _write(log, change(_read(log)))
    except (OSError, LockFault):
        return


def _read(log: Path) -> list[AddedLine]:
    """The lines in the log, oldest first. Anything else in the file is skipped."""
    try:
        text = log.read_text("utf-8", "surrogateescape")
    except FileNotFoundError:
        return []
    log_lines = []
    for line in text.splitlines():
        try:
            added = AddedLine(**json.loads(line))
        except (TypeError, ValueError):
            continue
        if [type(value) for value in added] == _TYPES:
            log_lines.append(added)
    return log_lines


def _write(log: Path, log_lines: Sequence[AddedLine]) -> None:
    """Replace the lines in the log. Only its owner may read it."""
    # The folder is locked already.
    temporary = log.with_name(f".{log.name}.new")
    text = "".join(json.dumps(added._asdict()) + "\n" for added in log_lines)
    handle = os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(handle, "w", encoding="utf-8") as file:
        file.write(text)
    temporary.replace(log)
