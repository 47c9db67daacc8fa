"""Git setup: what git is to know about books, and what of that a repository has already."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Literal, NamedTuple

from ledger.git import git
from ledger.gitnote import (
    Entry,
    Kind,
    Repository,
    bytes_of,
    note,
    noted,
    setting_entry,
    settings_of,
    shown,
)
from ledger.writing import write_whole

ATTRIBUTES = ".gitattributes"
LINES = (
    "# besom git-setup: how git compares and merges a book",
    "*.chores diff=chores merge=chores",
)

# A line that begins a section, as extended regular expressions; `weekend is` begins none, and
# a line of the record has a hyphen after its first digits.
_SECTION = (
    "^((every|once|paused)[[:blank:]].*)$\n^((weekend[[:blank:]]+[0-9l]|[0-9]+[[:blank:]]+day).*)$"
)
# Names and dates are whole words; commas and quotes stand alone, so that what is beside them is
# the same word with and without them.
_WORD = '[^[:space:]",]+|[",]'
# Git takes any end of a driver up to 128 for a conflict and keeps our side as it is (gitattributes
# manual, "Defining a custom merge driver"). So git's own merge comes in where besom could not be
# run, or ended with 1 as for conflicts and left no mark of any.
_DRIVER = (
    "besom merge --marker-size %L --path %P %O %A %B || "
    "{ test $? = 1 && grep -q '^<<<<' %A && exit 1; "
    "git merge-file --marker-size=%L -L ours -L base -L theirs %A %O %B; }"
)
SETTINGS = {
    "diff.chores.xfuncname": _SECTION,
    "diff.chores.wordRegex": _WORD,
    "merge.chores.name": "chore books, by what their lines mean",
    "merge.chores.driver": _DRIVER,
}

HOOK = "pre-commit"
CHECK = "besom lint --staged --since HEAD --fail-on warning"
"""What the hook runs: a commit answers for what it brings, advice apart. Time alone brings
findings too, and a chore done must not wait for another one to be set right."""
_SIGN = "besom lint --staged"
HOOK_TEXT = f"""\
#!/bin/sh
# Written by `besom git-setup`, and taken back by `besom git-setup --undo`.
# Lints the books as they are staged where a commit changes one, whatever the folder holds.

git diff --cached --quiet --no-ext-diff -- '*.chores' && exit 0

if ! command -v besom >/dev/null 2>&1; then
    echo 'besom: not found on PATH, so the book was not checked and nothing was committed.' >&2
    echo 'Install besom, or enter its environment; or commit unchecked: git commit --no-verify' >&2
    exit 1
fi

if git rev-parse --verify --quiet HEAD >/dev/null; then
    said=$({CHECK} 2>&1) && exit 0
else
    # The first commit takes a home as it is, but for lines that cannot be used.
    said=$(besom lint --staged --fail-on error 2>&1) && exit 0
fi
printf '%s\\n\\n' "$said" >&2
echo 'besom: nothing was committed. Mend the book, stage it (git add), and commit again;' >&2
echo 'or commit it as it is: git commit --no-verify' >&2
exit 1
"""

State = Literal["new", "there", "theirs"]


class Step(NamedTuple):
    """One thing that git is to know, and how a repository stands to it."""

    kind: Kind
    name: str
    """A file from the top of the work tree, or a setting."""
    before: str | None
    """What it says now; None where it says nothing."""
    after: str
    """What it is to say; of the file of attributes, the lines to add."""
    state: State
    """`new` is to be written, `there` is so already, `theirs` is left as others made it."""
    why: str = ""
    """Of `theirs`: whose it is."""
    by_hand: str = ""
    """Of `theirs`: what to do for it to be as besom would write it."""


def steps_of(repository: Repository) -> list[Step]:
    """What a setup would do, thing by thing. Raises GitFault where git refuses to answer."""
    entries = {(entry.kind, entry.name): entry.text for entry in noted(repository)}
    known = settings_of(repository)
    return [
        _attributes_step(repository),
        *(
            _setting_step(name, known.get(name.lower(), []), entries.get(("setting", name)))
            for name in SETTINGS
        ),
        _hook_step(repository, entries),
    ]


def set_up(repository: Repository, steps: list[Step]) -> None:
    """Write what is new, and note each thing once it is written.

    Raises GitFault where git refuses, and OSError where a file cannot be written; what was
    written before that is noted.
    """
    for step in steps:
        if step.state == "new":
            write = {"attributes": _add_lines, "setting": _set, "hook": _write_hook}[step.kind]
            note(repository, write(repository, step))


# ------------------------------------------------------------------------------- what is there


def _attributes_step(repository: Repository) -> Step:
    path = repository.top / ATTRIBUTES
    data = bytes_of(path)
    before = None if data is None else data.decode("utf-8", "replace")
    said = git(repository.top, "check-attr", "-z", "diff", "merge", "--", "home.chores")
    values = set(said.decode("utf-8", "replace").split("\0")[2::3])
    step = Step("attributes", ATTRIBUTES, before, "\n".join(LINES), "new")
    if values == {"chores"}:
        return step._replace(state="there")
    by_hand = f"as the last line of {ATTRIBUTES}, write\n{LINES[-1]}"
    if values - {"chores", "unspecified"}:
        why = "git has other attributes for books already"
        return step._replace(state="theirs", why=why, by_hand=by_hand)
    if path.is_symlink():
        why = "it is a link, and git follows none here"
        return step._replace(state="theirs", why=why, by_hand=by_hand)
    return step


def _setting_step(name: str, values: list[str], ours: str | None) -> Step:
    wanted = SETTINGS[name]
    step = Step("setting", name, "\n".join(values) if values else None, wanted, "new")
    if set(values) == {wanted}:
        return step._replace(state="there")
    if not values or values == [ours]:
        return step
    by_hand = (
        f"git config --unset-all {name}\n(with --global where it is set there), then git-setup"
    )
    return step._replace(state="theirs", why="somebody else has set it", by_hand=by_hand)


def _hook_step(repository: Repository, entries: dict[tuple[Kind, str], str]) -> Step:
    path = repository.hooks / HOOK
    data = path.read_bytes() if path.is_file() else None
    before = None if data is None else data.decode("utf-8", "replace")
    step = Step("hook", shown(path, repository.top), before, HOOK_TEXT, "new")
    ours = entries.get(("hook", _from_shared(path, repository)))
    if before is not None and before != ours and _checks(before):
        return step._replace(state="there")
    if before == HOOK_TEXT:
        return step._replace(state="there")
    by_hand = f"add this line to it:\n{CHECK} || exit 1"
    if not path.resolve().is_relative_to(repository.shared.resolve()):
        why = "git takes hooks from a folder that is not this repository's alone"
        return step._replace(state="theirs", why=why, by_hand=by_hand)
    if os.path.lexists(path) and (before is None or before != ours):
        return step._replace(state="theirs", why="somebody else's hook is there", by_hand=by_hand)
    return step


def _checks(hook: str) -> bool:
    """True for a hook of somebody else's that lints what is staged."""
    return any(_SIGN in line and not line.lstrip().startswith("#") for line in hook.splitlines())


def _from_shared(path: Path, repository: Repository) -> str:
    return Path(os.path.relpath(path, repository.shared)).as_posix()


# ------------------------------------------------------------------------------------- writing


def _add_lines(repository: Repository, step: Step) -> Entry:
    path = repository.top / ATTRIBUTES
    data = bytes_of(path)
    end = "\r\n" if data is not None and b"\r\n" in data else "\n"
    first = end if data and not data.endswith(b"\n") else ""
    text = first + "".join(line + end for line in LINES)
    if data is None:
        path.write_bytes(text.encode())
    else:
        write_whole(path, data + text.encode())
    return Entry("attributes", step.name, text, made=data is None)


def _set(repository: Repository, step: Step) -> Entry:
    before = repository.config.read_bytes()
    git(repository.top, "config", "--local", step.name, step.after)
    return setting_entry(step.name, step.after, before, repository.config.read_bytes())


def _write_hook(repository: Repository, step: Step) -> Entry:
    path = repository.hooks / HOOK
    made = not path.parent.is_dir()
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(step.after.encode())
    path.chmod(0o755)
    return Entry("hook", _from_shared(path, repository), step.after, made)
