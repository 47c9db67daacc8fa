"""What the commands share: the clock, the books they are given, and how they end."""

from __future__ import annotations

import importlib
import os
import re
import sys
import time
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, TypeVar
from unicodedata import normalize

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
from ledger.household.model import Household
from ledger.library import MOST_WEEKS
from ledger.state import undo_log
from ledger.text.source import Source
from ledger.text.values import DAYS, FIRST_YEAR
from ledger.workspace import (
    Workspace,
    WorkspaceFault,
    find_books,
    is_there,
    load_source,
    read_bounded,
    read_household,
)

if TYPE_CHECKING:
    from ledger.render.layout import Sheet

_NUMBER = re.compile(r"[0-9]{1,9}")
_ISO_DATE = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

F = TypeVar("F", bound=Callable[..., None])


class PathType(click.Path):
    """A path in a call; a name that no file can have is refused."""

    def convert(
        self,
        value: str | os.PathLike[str],
        param: click.Parameter | None,
        ctx: click.Context | None,
    ) -> str | bytes | os.PathLike[str]:
        """The path. Ends with exit 2 for a name that no file can have."""
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


def on_option(command: F) -> F:
    """`--on DAY`."""
    return click.option(
        "--on",
        metavar="DAY",
        default="today",
        show_default=True,
        help="A date (YYYY-MM-DD), today, tomorrow, yesterday, or the next day of a name (friday).",
    )(command)


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


class Titled(Protocol):
    """Something of a household that has a name and a title."""

    @property
    def title(self) -> str:
        """The title; the words of the name if the book gives none."""


def resolved_name(what: str, name: str | None, names: Mapping[str, Titled]) -> str | None:
    """The household's name for what a call names, by its name or title. Capitals and the Unicode
    form make no difference (NFC, as in a book). If there is none, ends with exit 2 and the nearest
    name."""
    if name is None or (name := normalize("NFC", name)) in names:
        return name
    folded = name.casefold()
    matches = [n for n, one in names.items() if folded in (n.casefold(), one.title.casefold())]
    if len(matches) == 1:
        return matches[0]
    from ledger.text.near import nearest

    near = nearest(name, names)
    there = f"there are {', '.join(names)}" if names else f"the book has no {what}"
    advice = f"did you mean `{near}`?" if near else there
    raise click.UsageError(f'there is no {what} "{name}"; {advice}')


def open_books(paths: tuple[Path, ...]) -> Workspace:
    """The workspace of the books in a call, as of today. Ends with exit 2 if one is unreadable."""
    try:
        workspace = read_household(paths or (Path(),))
    except WorkspaceFault as fault:
        for path in map(str, paths):
            if path in ("today", "tomorrow", "yesterday", *DAYS) or _ISO_DATE.fullmatch(path):
                raise click.UsageError(f"the day goes after --on: `--on {path}`") from fault
        raise click.UsageError(str(fault)) from fault
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


def day_asked(on: str, household: Household) -> int:
    """The day that `--on` names, counted from the household's today. Raises as `day_named` does."""
    return day_named(on, date.fromordinal(household.today)).toordinal()


def day_named(text: str, today: date) -> date:
    """The day that `--on` names. Raises click.BadParameter for any other text, and for a day that
    no book can hold."""
    word = text.strip().lower()
    steps = {"today": 0, "tomorrow": 1, "yesterday": -1}
    steps |= {
        spelling: (number - today.weekday()) % 7
        for number, name in enumerate(DAYS)
        for spelling in (name, name[:3])
    }
    day = today.toordinal() + steps[word] if word in steps else _ordinal(word)
    if day is None:
        raise click.BadParameter(
            f'"{text}" is no day; write a date such as {today}, or today, tomorrow, friday',
            param_hint="--on",
        )
    first, last = date(FIRST_YEAR, 1, 1), date.max
    if not first.toordinal() <= day <= last.toordinal():
        raise click.BadParameter(
            f'"{text}" is no day of a book; those are from {first} to {last}', param_hint="--on"
        )
    return date.fromordinal(day)


def _ordinal(word: str) -> int | None:
    """The ordinal of a date YYYY-MM-DD of any year, or None if there is no such day."""
    try:
        return date.fromisoformat(word).toordinal() if _ISO_DATE.fullmatch(word) else None
    except ValueError:
        return None


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
    """Say how many lines could not be used; if there are any, end with exit 1."""
    unused = workspace.unused_lines()
    if not unused:
        return
    lines = "1 line" if unused == 1 else f"{unused} lines"
    say(f"besom: {lines} could not be used in full; `besom lint` says which and why", err=True)
    raise SystemExit(FINDINGS)
