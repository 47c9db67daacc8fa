"""`besom merge`: two changed versions of a book put together, as git asks for it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.cli.common import FINDINGS, PATH, rewritten, whole_number
from ledger.cli.output import give, say
from ledger.text.shown import safe
from ledger.text.source import Source
from ledger.text.words import counted
from ledger.workspace import WorkspaceFault, load_source

if TYPE_CHECKING:
    from ledger.versions.merge import Labels, Merged

CONFLICTS = FINDINGS


@click.command("merge")
@click.argument("base", type=PATH)
@click.argument("ours", type=PATH)
@click.argument("theirs", type=PATH)
@click.option("--print", "prints", is_flag=True, help="Print the result; leave OURS as it is.")
@click.option("--path", metavar="NAME", help="What to call the file in messages.")
@click.option(
    "--marker-size",
    type=whole_number(1, 99),
    default="7",
    metavar="N",
    help="How long the marks of a conflict are at least; never below 7.",
)
@click.option("--ours", "our_label", default="ours", help="What the marks call our side.")
@click.option("--theirs", "their_label", default="theirs", help="What they call the other.")
@click.option(
    "--binary-code",
    type=whole_number(1, 99),
    default="1",
    metavar="N",
    help="How to end where both sides hold bytes that are no text.",
)
def command(
    base: Path,
    ours: Path,
    theirs: Path,
    prints: bool,
    path: str | None,
    marker_size: int,
    our_label: str,
    their_label: str,
    binary_code: int,
) -> None:
    """Put two changed versions of a file together, given the one both come from.

    Lines of the record that either side has added stand, each once, by date. All else is
    merged by name and clause by clause. What both changed differently is left for you between
    git's own marks. The result goes into OURS; ends with 1 where it holds conflicts. What is no
    text is not merged: OURS is kept, as a conflict. With `besom git-setup` git calls this by
    itself.

    \b
    Examples:
      besom merge base.chores mine.chores yours.chores
      besom merge --print base.chores mine.chores yours.chores
    """
    from ledger.text.formatter import FormatFault
    from ledger.versions.binary import are_binary
    from ledger.versions.merge import Labels

    try:
        before, mine, other = (load_source(version) for version in (base, ours, theirs))
    except WorkspaceFault as fault:
        raise click.UsageError(str(fault)) from fault
    if are_binary(before, mine, other):
        if prints:
            give(mine.encode())
        _say_binary(path or str(ours))
        raise SystemExit(binary_code)
    labels = Labels(safe(our_label), safe(their_label), marker_size)
    try:
        merged = _put_together(before, mine, other, labels, prints)
    except FormatFault as fault:
        raise click.ClickException(f"{fault}: a bug of besom; nothing was written") from fault
    if merged.conflicts:
        _say(path or str(ours), merged.conflicts)
        raise SystemExit(CONFLICTS)


def _put_together(
    before: Source, mine: Source, other: Source, labels: Labels, prints: bool
) -> Merged:
    """Merge, and print the result or write it over our side. If somebody has written there
    meanwhile, their text is taken as our side and merged again."""
    from ledger.versions.merge import merge

    merged = merge(before, mine, other, labels)

    def merged_again(now: Source) -> bytes:
        nonlocal merged
        merged = merge(before, now, other, labels)
        return merged.source.encode()

    data = merged.source.encode()
    if prints:
        give(data)
    elif data != mine.encode():
        rewritten(mine, data, merged_again)
    return merged


def _say_binary(path: str) -> None:
    say(
        f"besom: {path}: both sides hold bytes that are no text, and differ; nothing was "
        "merged and ours is kept. Keep it, or put the other side in its place",
        err=True,
    )


def _say(path: str, conflicts: tuple[int, ...]) -> None:

    where = ", ".join(map(str, conflicts))
    lines = "line" if len(conflicts) == 1 else "lines"
    say(
        f"besom: {path}: {counted(len(conflicts), 'conflict', 'conflicts')} at {lines} "
        f"{where}; keep one side of each and take out the marks, then `besom lint`",
        err=True,
    )
