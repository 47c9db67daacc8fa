"""What the commands share: the clock, the books they are given, and how they end."""

from __future__ import annotations

import importlib
import os
import re
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TypeVar

import click

from ledger.cli.output import give, say, show_text
from ledger.clock import today_of
from ledger.library import MOST_WEEKS
from ledger.state import undo_log
from ledger.text.source import Source
from ledger.workspace import (
    Workspace,
    WorkspaceFault,
    find_books,
    is_there,
    load_source,
    read_bounded,
    read_household,
)

_NUMBER = re.compile(r"[0-9]{1,9}")

F = TypeVar("F", bound=Callable[..., None])


class PathType(click.Path):
    """A path in a call; a name that no file can have is refused, and an empty one."""

    def convert(
        self,
        value: str | os.PathLike[str],
        param: click.Parameter | None,
        ctx: click.Context | None,
    ) -> str | bytes | os.PathLike[str]:
        """The path. Ends with exit 2 for a name that no file can have."""
        if value == "":
            # It would mean the current folder, which a variable without a value does not say.
            self.fail('"" is no name of a file or folder', param, ctx)
        try:
            return super().convert(value, param, ctx)
        except ValueError:
            self.fail(f"no file can have the name {value!r}", param, ctx)


PATH = PathType(path_type=Path, readable=False)
"""A file or folder in a call. The workspace checks that it is there and may be read."""

FINDINGS, WRONG_CALL = 1, 2


def books_argument(command: F) -> F:
    """The files or folders of the book, the current folder by default."""
    return click.argument("paths", nargs=-1, type=PATH, metavar="[BOOK]...")(command)


def as_option(*forms: str) -> Callable[[F], F]:
    """`--as FORM`: text, JSON, and these forms."""
    return click.option(
        "--as",
        "form",
        type=click.Choice(["text", "json", *forms]),
        default="text",
        show_default=True,
        help="Text for people; the others for programs, spreadsheets and pages.",
    )


def whole_number(least: int, most: int) -> Callable[[str], int]:
    """A function that reads a whole number in a range, and refuses anything else in plain words."""

    def number(text: str) -> int:
        if not (_NUMBER.fullmatch(text.strip()) and least <= int(text) <= most):
            raise click.BadParameter(f'"{text}" is no whole number from {least} to {most}')
        return int(text)

    return number


def weeks_option(default: int, help_text: str) -> Callable[[F], F]:
    """`--weeks N`, from one week to ten years."""
    return click.option(
        "--weeks",
        type=whole_number(1, MOST_WEEKS),
        metavar="N",
        default=str(default),
        show_default=True,
        help=help_text,
    )


def scope_options(command: F) -> F:
    """`--for PERSON` and `--in AREA`."""
    command = click.option("--in", "area", metavar="AREA", help="Only what is in this area.")(
        command
    )
    return click.option("--for", "person", metavar="PERSON", help="Only what this person may do.")(
        command
    )


def open_books(paths: tuple[Path, ...]) -> Workspace:
    """The workspace of the books in a call, as of today. Ends with exit 2 if one is unreadable."""
    try:
        workspace = read_household(paths or (Path(),))
    except WorkspaceFault as fault:
        from ledger.cli.misplaced import misplaced

        raise misplaced(paths) or click.UsageError(str(fault)) from fault
    tell_lost([tree.source for tree in workspace.trees])
    return workspace.on(today_of(workspace.household).toordinal())


def sources_of(paths: tuple[Path, ...], name: str) -> list[Source]:
    """The sources in a call. `-` is standard input, which gets a name. Ends with exit 2 if one
    cannot be read."""
    try:
        if paths == (Path("-"),):
            if sys.stdin is None:
                raise WorkspaceFault("standard input is closed; name the files of your book")
            return [Source.decode(name, read_bounded(name, sys.stdin.buffer))]
        sources = [load_source(book) for book in find_books(paths or (Path(),))]
    except WorkspaceFault as fault:
        raise click.UsageError(str(fault)) from fault
    tell_lost(sources)
    return sources


def rewritten(
    source: Source, planned: bytes, again: Callable[[Source], bytes]
) -> tuple[bytes, bytes]:
    """Write a planned text to a file; return the bytes before and after.

    If the file has changed since it was read, `again` makes the text from its new source. Ends with
    exit 2 if the file cannot be written.
    """
    from ledger.writing import WriteFault, rewrite

    read = source.encode()

    def change(data: bytes) -> bytes:
        return planned if data == read else again(Source.decode(source.path, data))

    try:
        return rewrite(Path(source.path), change)
    except WriteFault as fault:
        raise click.UsageError(str(fault)) from fault


def loss_messages(sources: Sequence[Source]) -> list[str]:
    """A message for each line that was added to these files and is gone."""
    if not is_there(undo_log()):
        return []
    from ledger.undo_log import loss_message, lost

    return [loss_message(added) for added in lost(sources, time.time())]


def tell_lost(sources: Sequence[Source]) -> None:
    """Say which lines that were added to these files are gone, and how to put them back."""
    for message in loss_messages(sources):
        show_text(f"besom: {message}\n", err=True)


def show_changes(path: str, before: bytes, after: bytes, err: bool = False) -> None:
    """Print the change from one text of a file to another, as a unified diff that `git apply`
    takes."""
    from ledger.text.difference import difference

    give(difference(shown_path(path), before, after), err)


def shown_path(path: str) -> str:
    """A path for a patch: from the current folder, if the file is inside it."""
    whole, current = Path(path).resolve(), Path.cwd().resolve()
    return whole.relative_to(current).as_posix() if whole.is_relative_to(current) else path


def show(name: str, answer: object, form: str) -> None:
    """Print an answer in a form. `render/NAME_text.py` lays it out for people, `NAME_svg.py` draws
    it, and `NAME_tables.py` makes tables: CSV has the first of them, Markdown all."""
    if form == "json":
        show_json(answer)
        return
    kind = form if form in ("text", "svg") else "tables"
    module = importlib.import_module(f"ledger.render.{name}_{kind}")
    laid_out = getattr(module, f"{name}_{kind}")(answer)
    if form == "text":
        show_text(laid_out)
    elif form == "svg":
        give(laid_out)
    elif form == "csv":
        from ledger.render.as_csv import to_csv

        give(to_csv(laid_out[0]), end="\r\n")
    else:
        from ledger.render.as_markdown import to_markdown

        give(to_markdown(laid_out))


def show_json(answer: object) -> None:
    """Print an answer as JSON, for programs."""
    from ledger.render.as_json import to_json

    give(to_json(answer))


def finish(workspace: Workspace) -> None:
    """Say how many lines could not be used. The command has answered, or written, all the same."""
    unused = workspace.unused_lines()
    if unused:
        lines = "1 line" if unused == 1 else f"{unused} lines"
        say(f"besom: {lines} could not be used in full; `besom lint` says which and why", err=True)
