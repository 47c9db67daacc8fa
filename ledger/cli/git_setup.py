"""`besom git-setup`: lets git compare, merge and check the book."""

from __future__ import annotations

import shutil
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.cli.common import FINDINGS, PATH, default_book
from ledger.cli.output import columns_across, confirmed, say, show_text
from ledger.text.words import counted
from ledger.workspace import WorkspaceFault, is_folder

if TYPE_CHECKING:
    from ledger.git.revert import Reverted
    from ledger.git.setup import Step
    from ledger.git.setup_record import Repository

_FILE_USES = {
    "attributes": "which files are books",
    "exclude": "what is half written is never committed",
    "hook": "an error stops a commit, a warning is shown",
}
_SETTING_USES = {
    "diff.chores.xfuncname": "a change names the section it stands in",
    "diff.chores.wordRegex": "git diff --word-diff shows what changed in a line",
    "merge.chores.name": "what git calls our way to merge",
    "merge.chores.driver": "two changed versions are merged by besom, or else by git",
}
_LABEL = 10


@click.command("git-setup")
@click.argument("folder", type=PATH, required=False, metavar="[FOLDER]")
@click.option("--yes", is_flag=True, help="Do it without asking.")
@click.option("--dry-run", is_flag=True, help="Show what would be done, and do nothing.")
@click.option("--undo", is_flag=True, help="Take back what git-setup wrote, and nothing else.")
def command(folder: Path | None, yes: bool, dry_run: bool, undo: bool) -> None:
    """Let git compare, merge and check the book in its repository.

    A change then names the section it stands in, two versions are merged by what their lines
    mean, and a commit is stopped that would bring an error or a warning into the book. Shows
    first what it will write, and asks. What others have set is left as it is; ends with 1 where
    there was any.

    \b
    Examples:
      besom git-setup                    for the repository of this folder
      besom git-setup --dry-run          show what it would write
      besom git-setup --undo             take it all back
    """
    if folder is not None and not is_folder(folder):
        raise click.UsageError(f"{folder}: there is no such folder")
    try:
        from ledger.git.setup_record import repository_of

        repository = repository_of(folder or default_book())
        left = (_take_back if undo else _set_up)(repository, yes, dry_run)
    except WorkspaceFault as fault:
        raise click.UsageError(str(fault)) from fault
    except OSError as fault:
        raise click.UsageError(f"{fault.filename}: cannot be written ({fault.strerror})") from fault
    if left:
        raise SystemExit(FINDINGS)


def _set_up(repository: Repository, yes: bool, dry_run: bool) -> bool:
    """Show, ask and write. True if something of somebody else's was left."""
    from ledger.git.setup import set_up, steps_of

    steps = steps_of(repository)
    _say_where(repository)
    for step in steps:
        if step.state != "there":
            _say_step(step)
    if shutil.which("besom") is None:
        say("besom is not on the PATH of this shell. Where git does not find besom, it merges")
        say("books in its own way; put the folder of besom on the PATH.")
        say()
    new = [step for step in steps if step.state == "new"]
    theirs = len(steps) - len(new) - sum(step.state == "there" for step in steps)
    if not new:
        say("Nothing else is left to do." if theirs else "All is set up already.")
        if not dry_run:
            # A note that was cut off is written again.
            set_up(repository, [])
    elif dry_run:
        say("Nothing was written. Without --dry-run this is asked for, then done.")
    else:
        _ask(yes, "Write this?")
        set_up(repository, steps)
        _say_next(new)
    return theirs > 0


def _take_back(repository: Repository, yes: bool, dry_run: bool) -> bool:
    """Show, ask and undo. True if something was left because others have changed it."""
    from ledger.git.revert import revert, to_revert

    things = to_revert(repository)
    _say_where(repository)
    _say_things(things)
    left = any(thing.left for thing in things)
    if not things:
        say("There is nothing that git-setup wrote here and could take back.")
        if not dry_run:
            revert(repository)
    elif dry_run:
        say()
        say("Nothing was taken back.")
    else:
        _ask(yes, "\nTake this back?")
        revert(repository)
        say("Taken back." if not left else "Taken back, but for what others changed.")
    return left


def _say_where(repository: Repository) -> None:
    say(f"Git, for the books in {repository.top}")
    say()


def _ask(yes: bool, question: str) -> None:
    """End with exit 1, unless the person says yes or `--yes` was given."""
    if not yes and not confirmed(question):
        say("Nothing was changed.")
        raise SystemExit(FINDINGS)


def _say_step(step: Step) -> None:
    from ledger.git.texts import CHECK

    say(f"{step.name}: {_FILE_USES.get(step.kind) or _SETTING_USES[step.name]}")
    if step.kind == "setting":
        now, new = step.before or "not set", step.after
    elif step.before is None:
        now, new = "no such file", step.after
    else:
        lines = step.before.count("\n")
        now, new = f"{counted(lines, 'line', 'lines')}", step.after
        now += ", kept" if step.kind != "hook" else ""
        now += f"; ours, and {step.why}" if step.why and step.state == "new" else ""
    _say("now", now)
    if step.state == "theirs":
        _say("left", step.why)
        _say("do", step.by_hand, is_typed=True)
    elif step.kind == "hook":
        _say("new", f"runs `{CHECK}` where a commit changes a book")
    else:
        _say("new", new)
    say()


def _say(label: str, text: str, is_typed: bool = False) -> None:
    """Say a text behind a label. What is to be typed keeps its lines."""
    from ledger.render.layout import wrap
    from ledger.text.shown import safe

    for line in text.split("\n"):
        shown = safe(line) if is_typed else wrap(safe(line), _LABEL, columns_across())
        show_text(f"    {label:<6}{shown}\n")
        label = ""


def _say_things(things: Sequence[Reverted]) -> None:
    for thing in things:
        say(f"  {'left, changed since' if thing.left else 'to take back':<20}  {thing.name}")


def _say_next(written: Sequence[Step]) -> None:
    say("Done. `besom git-setup --undo` takes it back.")
    if any(step.kind == "attributes" for step in written):
        say("Commit .gitattributes: it goes to everyone who has the repository.")
    say("Settings and hooks do not go along with a repository: whoever clones it runs")
    say("`besom git-setup` once.")
