"""Git setup: what git should know about books, and what a repository's git knows already."""

from __future__ import annotations

import os
import shlex
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from pathlib import Path
from typing import Literal, NamedTuple

from ledger.git.books import git
from ledger.git.revert import clear, without_cut
from ledger.git.settings import settings_of
from ledger.git.setup_record import (
    Kind,
    Repository,
    SetupEntry,
    bytes_of,
    file_entry,
    from_shared,
    note,
    noted,
    setting_entry,
    shown,
)
from ledger.git.texts import (
    ATTRIBUTES,
    CHECK,
    EXCLUDED,
    HOOK,
    LINES,
    SETTINGS,
    SIGN,
    WRITTEN,
    hook_text,
    is_whole_hook,
)
from ledger.writing import write_whole

State = Literal["new", "there", "theirs"]
Texts = Mapping[tuple[Kind, str], Sequence[str]]
"""The texts in the note, by kind and name, the latest last."""


class Step(NamedTuple):
    """One thing that git should know, and its state in a repository."""

    kind: Kind
    name: str
    """A file, from the top of the work tree, or a setting."""
    before: str | None
    """Its text or value now; None if it has none."""
    after: str
    """Its text or value after the setup; of a file with other people's lines, the lines to add."""
    state: State
    """`new`: to be written. `there`: done already. `theirs`: somebody else's, and left alone."""
    why: str = ""
    """Of `theirs`: why it is left. Of `new` that is partly there: what is wrong with it."""
    by_hand: str = ""
    """Of `theirs`: how to reach the same by hand."""


class _PlannedWrite(NamedTuple):
    """A write to do, and the entries to put into the note before it."""

    entries: list[SetupEntry]
    write: Callable[[], None]


def steps_of(repository: Repository) -> list[Step]:
    """What a setup would do, step by step. Raises GitFault if git refuses to answer."""
    texts: dict[tuple[Kind, str], list[str]] = {}
    for entry in noted(repository):
        texts.setdefault((entry.kind, entry.name), []).append(entry.text)
    known = settings_of(repository.top)
    return [
        _attributes_step(repository),
        _exclude_step(repository),
        *(
            _setting_step(name, known.get(name.lower(), []), texts.get(("setting", name), []))
            for name in SETTINGS
        ),
        _hook_step(repository, texts),
    ]


def set_up(repository: Repository, steps: list[Step]) -> None:
    """Do the steps that are `new`, and repair what was cut off. Each is noted before it is written.

    A step that has changed since `steps` was made is left out. Raises GitFault if git refuses, and
    OSError if a file cannot be written; what was written before that is in the note.
    """
    clear(repository)
    agreed = {(step.kind, step.name, step.after) for step in steps if step.state == "new"}
    new = [
        step
        for step in steps_of(repository)
        if step.state == "new" and (step.kind, step.name, step.after) in agreed
    ]
    writes = _planned_writes(repository, new)
    note(repository, [entry for planned in writes for entry in planned.entries])
    for planned in writes:
        planned.write()


# ------------------------------------------------------------------------------- what is there


def _attributes_step(repository: Repository) -> Step:
    path = repository.top / ATTRIBUTES
    step = _lines_step("attributes", ATTRIBUTES, path, LINES)
    output = git(repository.top, "check-attr", "-z", "diff", "merge", "--", "home.chores")
    values = set(output.decode("utf-8", "replace").split("\0")[2::3])
    if values == {"chores"}:
        return step._replace(state="there")
    by_hand = f"as the last line of {ATTRIBUTES}, write\n{LINES[-1]}"
    if values - {"chores", "unspecified"} and not step.why:
        why = "git has other attributes for books already"
        return step._replace(state="theirs", why=why, by_hand=by_hand)
    if path.is_symlink():
        why = "it is a link, and git follows none here"
        return step._replace(state="theirs", why=why, by_hand=by_hand)
    return step


def _exclude_step(repository: Repository) -> Step:
    path = repository.exclude
    step = _lines_step("exclude", shown(path, repository.top), path, EXCLUDED)
    if EXCLUDED[-1] in (step.before or "").splitlines():
        return step._replace(state="there")
    if not _is_in_git_folder(path, repository):
        why = "the file is not this repository's alone"
        by_hand = f"add this line to it:\n{EXCLUDED[-1]}"
        return step._replace(state="theirs", why=why, by_hand=by_hand)
    return step


def _lines_step(kind: Kind, name: str, path: Path, lines: Sequence[str]) -> Step:
    """The step that adds lines to a file; the caller finds out whether they are there."""
    data = bytes_of(path)
    before = None if data is None else data.decode("utf-8", "replace")
    is_cut = data is not None and _without_cut_lines(data, lines) != data
    return Step(kind, name, before, "\n".join(lines), "new", "cut off" if is_cut else "")


def _setting_step(name: str, values: list[str], ours: Sequence[str]) -> Step:
    wanted = SETTINGS[name]
    step = Step("setting", name, "\n".join(values) if values else None, wanted, "new")
    if set(values) == {wanted}:
        return step._replace(state="there")
    if not values or (len(values) == 1 and values[0] in ours):
        return step
    by_hand = (
        f"git config --unset-all {name}\n(with --global where it is set there), then git-setup"
    )
    return step._replace(state="theirs", why="somebody else has set it", by_hand=by_hand)


def _hook_step(repository: Repository, texts: Texts) -> Step:
    path = repository.hooks / HOOK
    data = bytes_of(path) if path.is_file() else None
    before = None if data is None else data.decode("utf-8", "replace")
    wanted = hook_text(repository.command)
    step = Step("hook", shown(path, repository.top), before, wanted, "new")
    noted_texts = texts.get(("hook", from_shared(path, repository)), [])
    is_ours = before is not None and _is_our_hook(before, noted_texts, wanted)
    is_theirs = not is_ours and _lints_staged(before or "")
    may_run = before is not None and os.access(path, os.X_OK)
    if may_run and (before == wanted or is_theirs):
        return step._replace(state="there")
    if is_theirs:
        why, by_hand = "git does not run it", f"chmod +x {shlex.quote(step.name)}"
        return step._replace(state="theirs", why=why, by_hand=by_hand)
    by_hand = f"add this line to it:\n{CHECK} || exit 1"
    if not _is_in_git_folder(path, repository):
        why = "git takes hooks from a folder that is not this repository's alone"
        return step._replace(state="theirs", why=why, by_hand=by_hand)
    if is_ours:
        whole = is_whole_hook(before or "") or before in noted_texts
        return step._replace(why="cut off" if not whole else "" if may_run else "not run by git")
    if os.path.lexists(path):
        return step._replace(state="theirs", why="somebody else's hook is there", by_hand=by_hand)
    return step


def _is_our_hook(hook: str, texts: Sequence[str], wanted: str) -> bool:
    """True for a hook that is in the note, for today's hook, and for the first part of either. If
    it is not in the note, the part must be long enough to show that it is ours."""
    return (
        any(text.startswith(hook) for text in texts)
        or is_whole_hook(hook)
        or (hook.startswith(WRITTEN) and wanted.startswith(hook))
    )


def _lints_staged(hook: str) -> bool:
    """True for a hook that lints what is staged."""
    return any(SIGN in line and not line.lstrip().startswith("#") for line in hook.splitlines())


def _is_in_git_folder(path: Path, repository: Repository) -> bool:
    """True if a file is in git's own folder after links are followed."""
    return path.resolve().is_relative_to(repository.shared.resolve())


# ------------------------------------------------------------------------------------- writing


def _planned_writes(repository: Repository, new: Sequence[Step]) -> list[_PlannedWrite]:
    writes = []
    for step in new:
        if step.kind == "attributes":
            writes.append(_planned_lines(repository, step, repository.top / ATTRIBUTES, LINES))
        elif step.kind == "exclude":
            writes.append(_planned_lines(repository, step, repository.exclude, EXCLUDED))
    settings = [step for step in new if step.kind == "setting"]
    if settings:
        writes.append(_planned_settings(repository, settings))
    return writes + [_planned_hook(repository, step) for step in new if step.kind == "hook"]


def _planned_lines(
    repository: Repository, step: Step, path: Path, lines: Sequence[str]
) -> _PlannedWrite:
    data = bytes_of(path)
    before = _without_cut_lines(data or b"", lines)
    end = "\r\n" if b"\r\n" in before else "\n"
    first = end if before and not before.endswith(b"\n") else ""
    text = first + "".join(line + end for line in lines)
    entry = file_entry(repository, step.kind, path, text, made=data is None)
    return _PlannedWrite([entry], partial(_write, path, before + text.encode()))


def _without_cut_lines(data: bytes, lines: Sequence[str]) -> bytes:
    """A file without our lines at its end if they were cut off, whatever its line ends."""
    for end in ("\n", "\r\n"):
        data = without_cut(data, "".join(line + end for line in lines).encode())
    return data


def _planned_settings(repository: Repository, steps: Sequence[Step]) -> _PlannedWrite:
    given = data = repository.config.read()
    entries = []
    for step in steps:
        before, data = data, repository.config.changed(data, step.name, step.after)
        entries.append(setting_entry(step.name, step.after, before, data))
    return _PlannedWrite(entries, partial(repository.config.replace, given, data))


def _planned_hook(repository: Repository, step: Step) -> _PlannedWrite:
    path = repository.hooks / HOOK
    entry = file_entry(repository, "hook", path, step.after)
    return _PlannedWrite([entry], partial(_write, path, step.after.encode(), 0o755))


def _write(path: Path, data: bytes, mode: int | None = None) -> None:
    path.parent.mkdir(exist_ok=True)
    write_whole(path, data, mode)
