"""What the commands share: the clock, the books they are given, and how they end."""

from __future__ import annotations

import importlib
import os
import re
import sys
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, NoReturn, TypeVar

import click

from ledger.cli.output import (
    choose_color,
    columns_across,
    give,
    has_colours,
    say,
    show_page,
    show_text,
)
from ledger.clock import today_of
from ledger.homes import Home, SeveralHomes, find_homes
from ledger.library import MOST_WEEKS
from ledger.state import undo_log
from ledger.text.source import Source
from ledger.text.words import counted
from ledger.workspace import Workspace, WorkspaceFault, is_there, read_bounded

if TYPE_CHECKING:
    from ledger.render.layout import Sheet

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

BOOK_VARIABLE = "BESOM_BOOK"
"""The variable that names the book of calls that name none."""


def books_argument(command: F) -> F:
    """The files or folders of the book; without one, what `default_book` says."""
    return click.argument("paths", nargs=-1, type=PATH, metavar="[BOOK]...")(command)


def color_option(command: F) -> F:
    """`--color WHEN`: whether words are coloured."""
    return click.option(
        "--color",
        type=click.Choice(["auto", "always", "never"]),
        default="auto",
        show_default=True,
        expose_value=False,
        callback=lambda _context, _option, when: choose_color(when),
        help="Colour what is late, vital or done; auto: on a terminal without NO_COLOR.",
    )(command)


def sheet() -> Sheet:
    """What texts are laid out on: as wide as the terminal, with colours if it has some."""
    from ledger.render.layout import Sheet

    return Sheet(columns_across(), has_colours())


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


def default_book() -> Path:
    """The book of a call that names none: what BESOM_BOOK names, else the current folder. Ends with
    exit 2 if nothing has that name."""
    book = Path(os.environ.get(BOOK_VARIABLE) or ".")
    if not is_there(book):
        raise click.UsageError(f"{BOOK_VARIABLE} names {book}: there is no such file or folder")
    return book


def open_books(paths: tuple[Path, ...]) -> Workspace:
    """The one home that a call asks for, as of today. Ends with exit 2 if a book cannot be read,
    and where there are several homes."""
    homes = homes_of(paths)
    if len(homes) > 1:
        _refuse_several(SeveralHomes(homes))
    workspace = homes[0].workspace()
    return workspace.on(today_of(workspace.household).toordinal())


def homes_of(paths: tuple[Path, ...], name: str = "standard input") -> list[Home]:
    """The homes that a call asks for. `-` is standard input, a home by itself, which gets a name.
    Ends with exit 2 if a book cannot be read."""
    try:
        if paths == (Path("-"),):
            return [_standard_input(name)]
        homes = find_homes(paths or (default_book(),))
    except WorkspaceFault as fault:
        from ledger.cli.misplaced import misplaced

        whence = "" if paths or not os.environ.get(BOOK_VARIABLE) else f"{BOOK_VARIABLE} names "
        raise misplaced(paths) or click.UsageError(f"{whence}{fault}") from fault
    tell_lost([source for home in homes for source in home.sources])
    return homes


def _standard_input(name: str) -> Home:
    if sys.stdin is None:
        raise WorkspaceFault("standard input is closed; name the files of your book")
    source = Source.decode(name, read_bounded(name, sys.stdin.buffer))
    return Home(Path(), (source,), frozenset([name]), is_declared=False)


def _refuse_several(several: SeveralHomes) -> NoReturn:
    """Name the homes, as many as a line holds, and end with exit 2."""
    names = several.names
    begin = f"besom: here are {len(names)} homes: "
    if len(names) == 1:
        begin = f"besom: here is 1 home, and {counted(several.others, 'book', 'books')} of none: "
    for shown in range(len(names), 0, -1):
        more = f" and {len(names) - shown} more" if shown < len(names) else ""
        line = f"{begin}{', '.join(names[:shown])}{more}"
        if len(line) <= columns_across():
            break
    say(line, err=True)
    say(f"Name one, such as `{_call_with(names[0])}`, or set {BOOK_VARIABLE}.", err=True)
    raise SystemExit(WRONG_CALL)


def _call_with(book: str) -> str:
    """The command with its arguments, and with this book."""
    context = click.get_current_context()
    words = [context.command_path]
    for parameter in context.command.params:
        value = context.params.get(parameter.name or "")
        if parameter.name == "paths":
            words.append(quote(book))
        elif parameter.name == "book":
            words.append(f"--book {quote(book)}")
        elif isinstance(parameter, click.Argument):
            words += map(quote, [value] if isinstance(value, str) else value or ())
    return " ".join(words)


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


def show(name: str, answer: object, form: str, pages: Sequence[str] = (), **view: bool) -> None:
    """Print an answer in a form. `render/NAME_text.py` lays it out for people, `NAME_svg.py` draws
    it, and `NAME_tables.py` makes tables: CSV has the first of them, Markdown all. The forms in
    `pages` have a module of their own. `view` is what the text shows more of."""
    if form == "json":
        show_json(answer)
        return
    kind = form if form in ("text", "svg", *pages) else "tables"
    lay_out = getattr(importlib.import_module(f"ledger.render.{name}_{kind}"), f"{name}_{kind}")
    if form == "text":
        show_page(lay_out(answer, sheet(), **view))
        return
    laid_out = lay_out(answer)
    if kind != "tables":
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
