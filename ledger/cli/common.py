"""What the commands share: the clock, the books they are given, and how they end."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path
from typing import TypeVar

import click

from ledger.household.model import Household
from ledger.text.source import Source
from ledger.text.values import DAYS, ordinal
from ledger.workspace import (
    Workspace,
    WorkspaceFault,
    find_books,
    load_source,
    read_household,
)

_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

F = TypeVar("F", bound=Callable[..., None])

FINDINGS, WRONG_CALL = 1, 2


def books_argument(command: F) -> F:
    """The files or folders of the book, the current folder by default."""
    return click.argument("paths", nargs=-1, type=click.Path(path_type=Path), metavar="[BOOK]...")(
        command
    )


def on_option(command: F) -> F:
    """`--on DAY`."""
    return click.option(
        "--on",
        metavar="DAY",
        default="today",
        show_default=True,
        help="A date (YYYY-MM-DD), today, tomorrow, yesterday, or the next day of a name (friday).",
    )(command)


def as_option(command: F) -> F:
    """`--as text|json`."""
    return click.option(
        "--as",
        "form",
        type=click.Choice(["text", "json"]),
        default="text",
        show_default=True,
        help="Text for people, or JSON for programs.",
    )(command)


def open_books(paths: tuple[Path, ...]) -> Workspace:
    """The household in the books that a command was given. Ends a wrong call with exit 2."""
    try:
        return read_household(paths or (Path(),))
    except WorkspaceFault as fault:
        for path in map(str, paths):
            if path in ("today", "tomorrow", "yesterday", *DAYS) or _ISO_DATE.fullmatch(path):
                raise click.UsageError(f"the day goes after --on: `--on {path}`") from fault
        raise click.UsageError(str(fault)) from fault


def sources_of(paths: tuple[Path, ...], name: str) -> list[Source]:
    """The sources that a command was given; ``-`` is standard input, called by a name."""
    if paths == (Path("-"),):
        return [Source.decode(name, sys.stdin.buffer.read())]
    try:
        return [load_source(book) for book in find_books(paths or (Path(),))]
    except WorkspaceFault as fault:
        raise click.UsageError(str(fault)) from fault


def replace_text(path: str, data: bytes) -> None:
    """Put a new text in a file's place. Ends with exit 2 where it cannot be written."""
    from ledger.journal import write_whole

    try:
        write_whole(Path(path), data)
    except OSError as fault:
        raise click.UsageError(f"{path}: cannot be written ({fault.strerror})") from fault


def changes(path: str, before: bytes, after: bytes) -> str:
    """What changes from one text of a file to another, as a unified diff, safe to show."""
    from difflib import unified_diff

    from ledger.render.layout import safe

    old, new = (text.decode("utf-8", "surrogateescape").split("\n") for text in (before, after))
    lines = unified_diff(old, new, f"a/{path}", f"b/{path}", lineterm="")
    return "".join(safe(line) + "\n" for line in lines)


def today_of(household: Household) -> date:
    """The local date, a day later or not by the hour at which the household's day ends."""
    return (datetime.now() - timedelta(minutes=household.day_ends)).date()


def day_named(text: str, today: date) -> date:
    """The day that `--on` names. Raises click.BadParameter for another text."""
    word = text.strip().lower()
    steps = {"today": 0, "tomorrow": 1, "yesterday": -1}
    if word in steps:
        return today + timedelta(days=steps[word])
    for number, name in enumerate(DAYS):
        if word in (name, name[:3]):
            return today + timedelta(days=(number - today.weekday()) % 7)
    day = ordinal(word) if _ISO_DATE.fullmatch(word) else None
    if day is None:
        raise click.BadParameter(
            f'"{text}" is no day; write a date such as {today}, or today, tomorrow, friday',
            param_hint="--on",
        )
    return date.fromordinal(day)


def show_json(answer: object) -> None:
    """Print an answer as JSON, for programs."""
    from ledger.render.as_json import to_json

    click.echo(to_json(answer), nl=False)


def finish(workspace: Workspace) -> None:
    """Say how many lines could not be used, and end with 1 if there were any."""
    unused = workspace.unused_lines()
    if not unused:
        return
    lines = "1 line" if unused == 1 else f"{unused} lines"
    click.echo(
        f"besom: {lines} could not be used, or not in full; `besom lint` says which and why",
        err=True,
    )
    raise SystemExit(FINDINGS)
