"""`besom begin`: writes a first book from a few answers."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Container, Sequence
from contextlib import suppress
from datetime import date
from functools import partial
from pathlib import Path
from shlex import quote
from typing import NamedTuple, TypeVar
from unicodedata import normalize

import click

from ledger.cli.common import PATH, default_book, whole_number
from ledger.cli.faults import WrongCall
from ledger.cli.naming import ME, check_name, the_one
from ledger.cli.output import asked, can_ask, columns_across, say, show_text
from ledger.clock import today_of
from ledger.first_book import FILE, Catalogue, FirstBook, Person, Unfit, Wishes
from ledger.homes import find_homes, home_around
from ledger.household.called import Called
from ledger.household.model import Household
from ledger.library import MINUTES_A_DAY
from ledger.text.words import counted, listed
from ledger.workspace import NoBook, WorkspaceFault, is_folder, is_there

T = TypeVar("T")

NOBODY = "nobody"
WEEKDAY, WEEKEND, CHILDS = 45, 90, 20
"""Minutes where nobody says others."""
_WITH_MINUTES = re.compile(r"(?P<name>.*?)[ \t]*\((?P<minutes>[^()]*?)(?:[ \t]*min)?\)")
_minutes = whole_number(0, MINUTES_A_DAY)


class Given(NamedTuple):
    """What the call says; None for what it does not."""

    people: str | None
    areas: str | None
    weekday: int | None
    weekend: int | None
    container: str | None


@click.command("begin")
@click.argument("folder", type=PATH, required=False, metavar="[FOLDER]")
@click.option(
    "--people",
    metavar="NAMES",
    help="Who lives here; behind a child its minutes a day: `ada, ben, edie (10)`.",
)
@click.option("--areas", metavar="NAMES", help="The rooms: those of the catalogue, and your own.")
@click.option(
    "--weekday", type=_minutes, metavar="N", help=f"Minutes of a weekday, else {WEEKDAY}."
)
@click.option(
    "--weekend",
    type=_minutes,
    metavar="N",
    help=f"Minutes of a day at the weekend, else {WEEKEND}.",
)
@click.option(
    "--with",
    "container",
    metavar="CONTAINER",
    help="What to begin with, else the smallest container of every day.",
)
def command(
    folder: Path | None,
    people: str | None,
    areas: str | None,
    weekday: int | None,
    weekend: int | None,
    container: str | None,
) -> None:
    """Write a first book: one container in force, the others of the home ready and paused.

    On a terminal it asks what the call does not say; elsewhere it takes what is usual. The chores
    come from a catalogue, each with its minutes and with where its interval comes from. Nothing
    is ever overwritten.

    \b
    Examples:
      besom begin                     asks, then writes home.chores here
      besom begin flat/               in another folder, made if need be
      besom begin --people "ada, ben, edie (10)" --areas "kitchen, cat, attic"
      besom begin --weekday 30 --weekend 60 --with Evening
    """
    target = folder or default_book()
    path = target / FILE
    _refuse(target, path)
    given = Given(people, areas, weekday, weekend, container)
    book = _answered(given, today_of(Household()))
    _write(target, path, book.text.encode())
    _say_next("besom due" if folder is None else f"besom due {quote(str(folder))}", path, book)


# ------------------------------------------------------------------------------------- the folder


def _refuse(target: Path, path: Path) -> None:
    """End with exit 2 where no first book can be written, before anything is asked."""
    there = is_there(target)
    if there and not is_folder(target):
        raise click.UsageError(f"{target}: is no folder; name a folder")
    if not is_folder(target.parent):
        raise click.UsageError(f"{target.parent}: there is no such folder")
    around = home_around(target)
    if around is not None:
        inside = os.path.realpath(around) != os.path.realpath(target)
        said = f"lies in the home {around}, which has a book" if inside else "is a home already"
        raise click.UsageError(f"{target}: {said}; nothing was written")
    if is_there(path):
        raise click.UsageError(f"{path}: is in the way; move it, or name another folder")
    if there:
        _refuse_books(target)
    if not os.access(target if there else target.parent, os.W_OK | os.X_OK):
        raise click.UsageError(f"{target}: cannot be written to; name another folder")


def _refuse_books(target: Path) -> None:
    """End with exit 2 for a folder with books of no home, which would become one book with ours."""
    try:
        homes = find_homes([target])
    except NoBook:
        return
    except WorkspaceFault as fault:
        raise click.UsageError(str(fault)) from fault
    names = [source.path for home in homes if not home.is_declared for source in home.sources]
    if names:
        raise click.UsageError(
            f"{target}: holds a book already, without a `household` line: {listed(names)}; give it "
            "one, or name another folder"
        )


def _write(target: Path, path: Path, data: bytes) -> None:
    """Write the book, and make its folder if need be. Leaves nothing where that fails."""
    from ledger.writing import WriteFault, create

    is_new = not is_there(target)
    try:
        if is_new:
            target.mkdir()
        create(path, data)
    except BaseException as fault:
        if is_new:
            with suppress(OSError):
                target.rmdir()
        if isinstance(fault, WriteFault):
            raise click.UsageError(str(fault)) from fault
        if isinstance(fault, OSError):
            said = f"{target}: cannot be made ({fault.strerror})"
            raise click.UsageError(said) from fault
        raise


def _say_next(call: str, path: Path, book: FirstBook) -> None:
    """What was written, and what comes next: four lines at most."""
    waiting = counted(book.waiting, "container waits", "containers wait")
    say(f'{path}: "{book.begun}" is in force, and {waiting} below it')
    if book.left:
        say(f"Paused in it, since the days are full: {listed(book.left)}")
    say(f"Next: {call}")
    if book.waiting:
        say("To begin another container, take the word `paused` out of its header")


# ------------------------------------------------------------------------------------ the answers


def _answered(given: Given, today: date) -> FirstBook:
    """The book of all answers. Asks on a terminal for what is not given."""
    catalogue = Catalogue()
    people, children = _who(given)
    usual = catalogue.usual_areas(bool(children))
    if can_ask() and given.areas is None:
        _show(f"Other areas: {', '.join(catalogue.other_areas(usual))}; or any room of your own")
    read = partial(_areas, catalogue)
    areas = _answer(read, "--areas", given.areas, "Which rooms are there", ", ".join(usual))
    while True:
        weekday = _days_minutes("--weekday", given.weekday, "a weekday", WEEKDAY)
        weekend = _days_minutes("--weekend", given.weekend, "a day at the weekend", WEEKEND)
        most = max(weekday, weekend)
        of_children = {name: _childs(name, held, most, given) for name, held in children.items()}
        everyone = tuple(Person(name, of_children.get(name)) for name in people)
        wishes = Wishes(everyone, areas, weekday, weekend)
        try:
            smallest = catalogue.smallest(wishes, today)
            break
        except Unfit as fault:
            if not can_ask():
                raise click.UsageError(str(fault)) from fault
            _show(f"{fault}")
            given = given._replace(weekday=None, weekend=None)
    offered = {one.title: one for one in catalogue.offered(wishes)}
    if can_ask() and given.container is None:
        _show(", ".join(f"{one.title} ({one.minutes} min)" for one in offered.values()))

    def begun(text: str) -> FirstBook:
        title = the_one("container", text, Called(offered))
        try:
            return catalogue.first_book(wishes, title, today)
        except Unfit as fault:
            raise click.UsageError(str(fault)) from fault

    return _answer(begun, "--with", given.container, "What to begin with", smallest.begun)


def _answer(
    read: Callable[[str], T], option: str, given: str | None, question: str, default: str
) -> T:
    """What the call gives, else what a person answers, else what is usual. A wrong answer is told
    and asked for again; what the call gives wrong ends it with exit 2."""
    if given is None and can_ask():
        while True:
            try:
                return read(asked(question, default))
            except click.UsageError as fault:
                _show(f"{fault.message}")
    try:
        return read(default if given is None else given)
    except WrongCall:
        raise
    except click.UsageError as fault:
        raise click.BadParameter(fault.message, param_hint=option) from fault


def _days_minutes(option: str, given: int | None, kind: str, default: int) -> int:
    text = None if given is None else str(given)
    return _answer(_minutes, option, text, f"Minutes of {kind}", str(default))


def _who(given: Given) -> tuple[tuple[str, ...], dict[str, int | None]]:
    """Those who live there, and the children with their minutes; None for what is not said yet."""
    people, children = _answer(
        _people, "--people", given.people, "Who lives here (names, with commas between)", _me()
    )
    if children or given.people is not None or not can_ask() or len(people) < 2:
        return people, dict(children)
    read = partial(_children, people)
    return people, _answer(read, "--people", None, "Who of them is a child", NOBODY)


def _me() -> str:
    """Who is at the keyboard, as far as that is known."""
    name = os.environ.get(ME, "").strip()
    with suppress(click.UsageError):
        check_name(name, "person")
        return name
    return "me"


def _people(text: str) -> tuple[tuple[str, ...], dict[str, int]]:
    """The names of a list, and the minutes of the children among them."""
    children: dict[str, int] = {}
    names = []
    for part in _parts(text):
        found = _WITH_MINUTES.fullmatch(part)
        name = normalize("NFC", found["name"] if found else part)
        check_name(name, "person")
        if found:
            children[name] = _minutes(found["minutes"])
        names.append(name)
    if not names:
        raise click.UsageError("name at least one who lives here")
    _refuse_twice(names)
    _refuse_only_children(names, children)
    return tuple(names), children


def _children(people: Sequence[str], text: str) -> dict[str, int | None]:
    """Those of the people who are children, with their minutes where they are said."""
    children: dict[str, int | None] = {}
    if text.strip().casefold() in ("", NOBODY, "none", "no"):
        return children
    for part in _parts(text):
        found = _WITH_MINUTES.fullmatch(part)
        name = normalize("NFC", found["name"] if found else part)
        if name not in people:
            raise click.UsageError(f'"{name}" is none of {", ".join(people)}')
        children[name] = _minutes(found["minutes"]) if found else None
    _refuse_only_children(people, children)
    return children


def _refuse_only_children(people: Sequence[str], children: Container[str]) -> None:
    if all(name in children for name in people):
        raise click.UsageError("somebody has to be grown up: some chores can hurt a child")


def _childs(name: str, held: int | None, most: int, given: Given) -> int:
    """The minutes a day of a child, which are no more than any day holds."""
    if held is not None and (held <= most or not can_ask() or given.people is not None):
        if held > most:
            raise click.BadParameter(
                f"{name} has {held} min, and no day has more than {most}", param_hint="--people"
            )
        return held
    default = str(min(CHILDS, most))
    return _answer(whole_number(0, most), "--people", None, f"Minutes a day for {name}", default)


def _areas(catalogue: Catalogue, text: str) -> tuple[str, ...]:
    """The areas of a list: those of the catalogue by name or title, and others by their name."""
    titles = {
        declared.title.value.casefold(): name
        for name, declared in catalogue.areas.items()
        if declared.title is not None
    }
    names = []
    for part in _parts(text):
        name = part if part in catalogue.areas else part.casefold()
        if name not in catalogue.areas:
            name = titles.get(name, normalize("NFC", part))
        check_name(name, "area")
        names.append(name)
    if not names:
        raise click.UsageError("name at least one room")
    _refuse_twice(names)
    return tuple(names)


def _parts(text: str) -> list[str]:
    return [part.strip() for part in text.split(",") if part.strip()]


def _refuse_twice(names: Sequence[str]) -> None:
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise click.UsageError(f'"{twice}" stands twice')


def _show(text: str) -> None:
    """Show a paragraph within the width of the terminal."""
    from ledger.render.layout import wrap_advice

    show_text(f"{wrap_advice(text, 2, columns_across())}\n")
