"""Begin: the catalogue, the first books that are made from it, and the talk before one is
written."""

from __future__ import annotations

import json
import os
import pty
import stat
import sys
from collections.abc import Sequence
from contextlib import suppress
from datetime import date, datetime
from pathlib import Path
from select import select
from signal import SIG_DFL, SIGINT, signal
from time import sleep
from typing import Any

import pytest
from click.testing import CliRunner, Result
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from strategies import people as person_names
from test_cli import besom, stop_clock

from ledger import load
from ledger.calendar.in_force import lines_in_force
from ledger.calendar.occurrences import period_days
from ledger.cli.main import main
from ledger.first_book import (
    CATALOGUE,
    CHILD,
    FILE,
    GROWN_UP,
    ROOM,
    Catalogue,
    FirstBook,
    Person,
    Unfit,
    Wishes,
)
from ledger.household.cadence import container
from ledger.household.cautions import HAZARDS
from ledger.household.model import Chore, Household
from ledger.library import Book
from ledger.render.due_text import due_text
from ledger.text.classes import is_name
from ledger.text.formatter import format_tree
from ledger.text.source import Source
from ledger.workspace import Workspace, load_source, read_sources

TODAY = date(2026, 11, 26)
GOLDEN = Path(__file__).with_name("golden") / "first-books"
PUBLISHED = json.loads(
    Path(__file__).with_name("published").joinpath("upkeep.json").read_text("utf-8")
)
ROWS: dict[str, dict[str, Any]] = {row["id"]: row for row in PUBLISHED["rows"]}
SCREEN = 24

# --------------------------------------------------------------------------------- the catalogue

SOURCED = {
    "smoke-alarms": "B01", "smoke-batteries": "B02", "new-smoke-alarms": "B03",
    "co-alarm": "B05", "co-battery": "B06", "new-co-alarm": "B07", "safety-sockets": "B08",
    "extinguisher": "B09", "extinguisher-check": "B10", "dryer-vent": "B12",
    "dryer-outlet": "B13", "look-at-filter": "B14", "change-filter": "B15",
    "heating-service": "B16", "chimney-sweep": "B17", "gutters": "B18", "old-food": "B19",
    "fridge-coil": "B20", "sheets": "B24", "septic-inspection": "B27", "septic-pumping": "B28",
    "stored-water": "B29", "hot-tank": "B31", "washer-hoses": "B32", "well-water": "B33",
    "garage-door": "B36", "way-out": "B37",
}  # fmt: skip
"""The published fact behind each chore that has one."""
BY_A_TRADE = {"heating-service", "chimney-sweep", "septic-inspection", "septic-pumping",
              "extinguisher-check", "hot-tank", "well-water", "car-service"}  # fmt: skip
DAYS = {"day": 1, "week": 7, "month": 365.25 / 12, "year": 365.25}


def workspace_of(text: str, today: date = TODAY) -> Workspace:
    return read_sources([Source(FILE, text)]).on(today.toordinal())


CATALOGUE_TEXT = CATALOGUE.read_text("utf-8")
KNOWN = workspace_of(CATALOGUE_TEXT)


def comment_above(chore: Chore) -> str:
    """The comment right above the line of a chore; nothing where there is none."""
    (line,) = chore.routines
    above = line.place.source.lines[line.place.line - 1].strip()
    return above if above.startswith("#") else ""


def test_catalogue_is_a_sound_book_in_the_shape_of_the_formatter() -> None:
    result = besom("lint", str(CATALOGUE), "--on", str(TODAY))
    assert (result.exit_code, result.output.startswith("No findings")) == (0, True)
    assert besom("format", str(CATALOGUE), "--check").exit_code == 0
    assert 60 <= len(KNOWN.household.chores) <= 90


def test_chore_of_the_catalogue_has_minutes_one_area_and_a_container_of_its_own_name() -> None:
    names = [container(section) for section in KNOWN.household.sections]
    assert len(names) == len(set(names))
    assert all(section.title for section in KNOWN.household.sections)
    for chore in KNOWN.household.chores.values():
        (line,) = chore.routines
        assert line.minutes, chore.name
        assert len(line.areas) == 1, chore.name
        assert not line.after, chore.name


def test_area_is_of_every_home_or_of_some() -> None:
    areas: dict[bool, set[str]] = {True: set(), False: set()}
    for chore in KNOWN.household.chores.values():
        (line,) = chore.routines
        areas[line.paused].update(line.areas)
    assert areas[True] & areas[False] == set()
    assert areas[True] | areas[False] == KNOWN.household.areas.keys()


def test_what_can_hurt_is_for_a_grown_up_and_what_a_trade_does_says_so() -> None:
    assert KNOWN.household.people.keys() == {GROWN_UP, CHILD}
    for chore in KNOWN.household.chores.values():
        (line,) = chore.routines
        if any(thing in HAZARDS for thing in line.things):
            assert line.assignment.people == (GROWN_UP,), chore.name
        assert (chore.title.startswith("Have ")) == (chore.name in BY_A_TRADE), chore.name
    trades = {name for name, row in SOURCED.items() if ROWS[row]["who"] != "household"}
    assert trades <= BY_A_TRADE


def test_every_chore_says_where_its_interval_comes_from() -> None:
    sourced = set()
    for chore in KNOWN.household.chores.values():
        (line,) = chore.routines
        header = line.section.place.source.lines[line.section.place.line]
        if comment_above(chore):
            sourced.add(chore.name)
        else:
            assert header.endswith("# common practice"), chore.name
    assert sourced == SOURCED.keys()


@pytest.mark.parametrize("name", SOURCED)
def test_interval_is_that_of_its_published_source(name: str) -> None:
    row = ROWS[SOURCED[name]]
    source = row["source"]
    known = {"primary": "read", None: "from memory"}.get(row["read_via"], "as reported")
    assert (known == "from memory") == (row["how_known"] == "memory")
    said = f"# {source['body']}: {source['title']}, {source['year'] or 'no date'}, {known}"
    chore = KNOWN.household.chores[name]
    assert comment_above(chore) == said
    period = period_days(chore.routines[0].section.cadence)
    if row["value"] == "several":
        assert row["unit"] == "times per year"
        assert period < 365.25 / 2
        return
    value = row["value"] if isinstance(row["value"], list) else [row["value"]]
    least, most = (number * DAYS[row["unit"]] for number in (min(value), max(value)))
    assert least - 1 <= period <= most + 1


# ------------------------------------------------------------------------------- the first books

HOMES = {
    "one-and-a-cat": ("--people", "mo", "--areas", "kitchen, bathroom, bedrooms, cat"),
    "two-and-two-children": (
        "--people", "ada, ben, edie (20), leo (10)", "--weekday", "60", "--weekend", "120",
        "--areas", "kitchen, bathroom, bedrooms, Living room, hall, laundry, children, garden, "
        "car, utility, outside", "--with", "evening",
    ),
    "four-in-a-flat": (
        "--people", "ana, bo, cem, dee", "--areas",
        "kitchen, bathroom, hall, laundry, lift, attic", "--weekday", "30", "--weekend", "45",
    ),
}  # fmt: skip


@pytest.fixture
def place(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, empty, on an evening in November."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("BESOM_ME", raising=False)
    stop_clock(monkeypatch, datetime(2026, 11, 26, 20))
    return tmp_path


def left_in(place: Path) -> list[str]:
    """The names of what lies in a folder."""
    return [path.name for path in place.iterdir()]


@pytest.mark.parametrize("name", HOMES)
def test_first_book_of_a_home_is_clean_and_its_day_fits_a_screen(place: Path, name: str) -> None:
    begun = besom("begin", *HOMES[name])
    assert (begun.exit_code, begun.stderr) == (0, "")
    assert begun.stdout.count("\n") <= 4
    lint = besom("lint")
    assert (lint.exit_code, lint.stdout[:11]) == (0, "No findings")
    assert besom("format", "--check").exit_code == 0
    day = besom("due")
    assert (day.exit_code, day.stderr) == (0, "")
    assert day.stdout.count("\n") <= SCREEN
    screens = f"$ besom begin\n{begun.stdout}$ besom due\n{day.stdout}"
    for path, said in (
        (GOLDEN / name / FILE, Path(FILE).read_text("utf-8")),
        (GOLDEN / name / "screens.txt", screens),
    ):
        if os.environ.get("BESOM_UPDATE_GOLDEN"):
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(said, "utf-8")
        assert said == path.read_text("utf-8")


def test_homes_differ_in_what_they_have() -> None:
    books = {name: load(GOLDEN / name).household for name in HOMES}
    cat, family, flat = books.values()
    assert {"litter", "cat-bowl"} <= cat.chores.keys() - family.chores.keys()
    assert {"mow", "tyres", "gutters", "toys"} <= family.chores.keys() - flat.chores.keys()
    assert {"tidy-attic", "wipe-rails"} <= flat.chores.keys() - cat.chores.keys()
    assert family.chores["toys"].routines[0].assignment == ("each", ("edie", "leo"))
    assert family.chores["mow"].routines[0].assignment == ("any", ("ada", "ben"))
    assert flat.chores["toilet"].routines[0].assignment.people == ()


CATALOGUE_AREAS = [*Catalogue().areas]
own_areas = st.one_of(
    st.sampled_from(["attic", "mower-shed", "bleach", "area", "room", "in", "paused", "monday"]),
    person_names,
).filter(lambda name: is_name(name, "area") and name not in CATALOGUE_AREAS)


@st.composite
def wishes(draw: st.DrawFn) -> Wishes:
    names = draw(st.lists(person_names, min_size=1, max_size=5, unique=True))
    areas = draw(st.lists(st.sampled_from(CATALOGUE_AREAS), max_size=9, unique=True))
    areas += draw(st.lists(own_areas, min_size=not areas, max_size=2, unique=True))
    minutes = st.integers(0, 120) | st.integers(0, 1440)
    weekday, weekend = draw(minutes), draw(minutes)
    children = draw(st.sets(st.sampled_from(names), max_size=len(names) - 1))
    people = [
        Person(name, draw(st.integers(0, max(weekday, weekend))) if name in children else None)
        for name in names
    ]
    return Wishes(tuple(people), tuple(areas), weekday, weekend)


@settings(max_examples=60, deadline=None)
@given(wishes(), st.dates(TODAY, date(2031, 12, 31)), st.data())
def test_book_of_any_answers_is_clean_says_them_and_fits_a_screen(
    wished: Wishes, today: date, data: st.DataObject
) -> None:
    catalogue = Catalogue()
    offered = catalogue.offered(wished)
    assume(offered)
    begin = data.draw(st.sampled_from([None, *(one.title for one in offered)]))
    try:
        if begin is None:
            book = catalogue.smallest(wished, today)
        else:
            book = catalogue.first_book(wished, begin, today)
    except Unfit:
        # Only days that are too short for a chore, or a home in which somebody is left out.
        assert min(wished.weekday, wished.weekend) < 60 or begin is not None
        return
    check(book, wished, today)


def check(book: FirstBook, wished: Wishes, today: date = TODAY) -> None:
    """A book says what was wished, has no finding, and gives no child what can hurt."""
    workspace = workspace_of(book.text, today)
    home, read = workspace.household, Book(workspace)
    assert read.findings() == []
    assert format_tree(workspace.trees[0]) == book.text
    assert [*home.people] == [person.name for person in wished.people]
    assert [*home.areas] == list(wished.areas)
    limits = {(of.person or of.kind): limit.minutes for of, limit in home.limits.items()}
    children = {one.name: one.minutes for one in wished.people if one.minutes is not None}
    assert limits == {"weekday": wished.weekday, "weekend": wished.weekend, **children}
    begun = {
        container(line.section)
        for name in home.chores
        for line in lines_in_force(home, name, today.toordinal())
    }
    assert begun == {book.begun}
    own = {name for name, one in KNOWN.household.chores.items()
           if one.routines[0].assignment.people == (CHILD,)}  # fmt: skip
    assert children or own.isdisjoint(home.chores)
    for chore in home.chores.values():
        (line,) = chore.routines
        may = line.assignment.people or home.people.keys()
        if any(thing in HAZARDS for thing in line.things):
            assert children.keys().isdisjoint(may), chore.name
        assert line.paused == (line.section.title != book.begun or chore.name in book.left)
    assert due_text(read.due()).count("\n") <= SCREEN


def test_chores_that_a_day_does_not_hold_are_paused_in_the_container_that_begins() -> None:
    wished = Wishes((Person("mo"),), ("kitchen", "living"), 9, 60)
    book = Catalogue().first_book(wished, "Evening", TODAY)
    assert book.left == ("wash-up", "pick-up")
    check(book, wished)


def test_child_with_few_minutes_loses_no_chore_that_others_may_do() -> None:
    wished = Wishes((Person("mo"), Person("edie", 1)), ("children",), 60, 60)
    book = Catalogue().first_book(wished, "Children's evening", TODAY)
    assert book.left == ("toys", "school-bag", "clothes-out")
    check(book, wished)


def test_home_without_children_has_no_chore_of_theirs() -> None:
    check(
        Catalogue().smallest(wished := Wishes((Person("mo"),), ("children",), 60, 60), TODAY),
        wished,
    )


def test_days_without_minutes_begin_nothing() -> None:
    wished = Wishes((Person("mo"),), ("kitchen",), 0, 0)
    with pytest.raises(Unfit, match="give them more minutes"):
        Catalogue().smallest(wished, TODAY)
    with pytest.raises(Unfit, match='nothing of "Evening" fits'):
        Catalogue().first_book(wished, "Evening", TODAY)


def test_child_without_a_chore_is_said_before_the_book_is_written() -> None:
    wished = Wishes((Person("mo"), Person("edie", 10)), ("utility",), 60, 60)
    with pytest.raises(Unfit, match='cannot begin with "Heating service": no chore is given to'):
        Catalogue().first_book(wished, "Heating service", TODAY)


def test_room_called_after_a_thing_that_can_hurt_says_so_itself() -> None:
    book = Catalogue().smallest(Wishes((Person("mo"),), ("mower-shed", ROOM), 30, 30), TODAY)
    assert "in mower-shed  # allow unstated-hazard: the room is called so" in book.text
    assert "tidy-room        10 min  in room\n" in book.text


# ------------------------------------------------------------------------- calls without a terminal


def test_nothing_is_asked_without_a_terminal_and_what_is_usual_is_taken(place: Path) -> None:
    assert besom("begin").exit_code == 0
    home = load(FILE).household
    assert [*home.people] == ["me"]
    assert [*home.areas] == ["kitchen", "bathroom", "bedrooms", "living", "hall", "laundry"]
    assert [limit.minutes for limit in home.limits.values()] == [45, 90]
    assert home.since == TODAY.toordinal()


def test_besom_me_names_the_one_at_the_keyboard(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BESOM_ME", "tam")
    besom("begin", "a")
    monkeypatch.setenv("BESOM_ME", "Tam Lin")
    besom("begin", "b")
    assert ([*load("a").household.people], [*load("b").household.people]) == (["tam"], ["me"])


WRONG = [
    (("--people", " , "), "--people: name at least one who lives here"),
    (("--people", "ada, ada"), '"ada" stands twice'),
    (("--people", "edie (10)"), "somebody has to be grown up"),
    (("--people", "ada, each"), 'no person can be called "each"'),
    (("--people", "ada, a b"), '"a b" cannot be a name'),
    (("--people", "ada, edie (ten)"), '"ten" is no whole number from 0 to 1440'),
    (("--people", "ada, edie (91)"), "edie has 91 min, and no day has more than 90"),
    (("--areas", "kitchen, dining room"), "such as dining-room"),
    (("--areas", ","), "--areas: name at least one room"),
    (("--weekday", "x"), '--weekday: "x" is no whole number from 0 to 1440'),
    (("--weekday", "0", "--weekend", "0"), "give them more minutes"),
    (("--with", "mornig"), 'there is no container "mornig"; did you mean `Morning`?'),
    (("--with", "Washing", "--weekday", "5", "--weekend", "5"), 'nothing of "Washing" fits'),
    (("no/such",), "no: there is no such folder"),
    (("a-file",), "a-file: is no folder"),
]


@pytest.mark.parametrize(("words", "said"), WRONG)
def test_wrong_call_ends_with_2_and_leaves_no_trace(
    place: Path, words: Sequence[str], said: str
) -> None:
    Path("a-file").write_text("x", "utf-8")
    result = besom("begin", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in " ".join(result.stderr.split())
    assert left_in(place) == ["a-file"]


def test_nothing_is_overwritten(place: Path) -> None:
    besom("begin")
    before = Path(FILE).read_bytes()
    assert ".: is a home already" in besom("begin").stderr
    assert "room: lies in the home ., which has a book" in besom("begin", "room").stderr
    assert Path(FILE).read_bytes() == before
    assert left_in(place) == [FILE]


@pytest.mark.parametrize("kind", ["file", "folder", "link"])
def test_what_is_in_the_way_is_left_as_it_is(place: Path, kind: str) -> None:
    if kind == "file":
        Path(FILE).write_text("area attic\n", "utf-8")
    elif kind == "folder":
        Path(FILE).mkdir()
    else:
        Path(FILE).symlink_to("nowhere")
    before = os.lstat(FILE)
    result = besom("begin")
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"{FILE}: is in the way" in result.stderr
    assert os.path.samestat(before, os.lstat(FILE))


def test_books_of_no_home_are_not_drawn_into_one(place: Path) -> None:
    Path("notes.chores").write_text("area attic\n", "utf-8")
    assert "holds a book already, without a `household` line: notes.chores" in " ".join(
        besom("begin").stderr.split()
    )
    # A home further down is one by itself.
    Path("notes.chores").unlink()
    besom("begin", "cabin")
    assert besom("begin").exit_code == 0


def test_folder_that_cannot_be_written_to_is_told_before_anything_is_asked(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Path("shut").mkdir()
    Path("shut").chmod(stat.S_IRUSR | stat.S_IXUSR)
    if os.access("shut", os.W_OK):
        # Root may write anywhere.
        monkeypatch.setattr("os.access", lambda *_: False)
    result = besom("begin", "shut")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "shut: cannot be written to" in result.stderr


def test_disk_that_refuses_leaves_neither_file_nor_folder(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    result = besom("begin", "flat")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "cannot be written (No space left on device)" in result.stderr
    assert left_in(place) == []


def test_file_that_came_meanwhile_is_not_overwritten(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    smallest = Catalogue.smallest

    def slow(*words: Any) -> FirstBook:
        Path(FILE).write_text("theirs\n", "utf-8")
        return smallest(*words)

    monkeypatch.setattr(Catalogue, "smallest", slow)
    result = besom("begin")
    assert (result.exit_code, result.stdout) == (2, "")
    assert f"{FILE}: cannot be written (File exists)" in result.stderr
    assert left_in(place) == [FILE]
    assert Path(FILE).read_text("utf-8") == "theirs\n"


def test_disk_without_hard_links_takes_a_book_too(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refused(*_: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("os.link", refused)
    assert besom("begin").exit_code == 0
    assert left_in(place) == [FILE]


def test_place_without_a_book_is_told_in_two_lines_how_to_begin(place: Path) -> None:
    result = besom("due")
    assert result.exit_code == 2
    assert result.stderr.splitlines() == [
        "Error: .: no .chores file in this folder; name the folder of your book, or",
        "  begin one: `besom begin`",
    ]
    Path("my flat").mkdir()
    assert "`besom begin 'my flat'`" in besom("due", "my flat").stderr
    assert besom("begin", "my flat").stdout.splitlines()[1] == "Next: besom due 'my flat'"
    assert besom("due", "my flat").exit_code == 0


# ----------------------------------------------------------------------- the talk on a terminal


def talk(monkeypatch: pytest.MonkeyPatch, *answers: str, words: Sequence[str] = ()) -> Result:
    """What is said where a person answers these lines and then closes the terminal."""
    monkeypatch.setattr("ledger.cli.begin.can_ask", lambda: True)
    typed = "".join(f"{answer}\n" for answer in answers)
    return CliRunner().invoke(main, ["begin", *words], input=typed, prog_name="besom")


def test_every_question_has_an_answer_that_enter_gives(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    besom("begin")
    usual = Path(FILE).read_bytes()
    Path(FILE).unlink()
    result = talk(monkeypatch, *[""] * 5)
    assert result.exit_code == 0
    assert result.stdout.count("]: ") == 5
    assert Path(FILE).read_bytes() == usual


def test_wrong_answers_are_told_and_asked_again(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    answers = (
        "ada, monday", "ada, ben, edie",  # who
        "eddie", "ada, ben, edie", "edie",  # who is a child
        "kitchen, the den", "kitchen, living room, den",  # rooms
        "an hour", "60", "", "100", "15",  # minutes, of edie too
        "nothing", "Evening",
    )  # fmt: skip
    result = talk(monkeypatch, *answers)
    assert result.exit_code == 0
    for said in (
        'no person can be called "monday"',
        '"eddie" is none of ada, ben, edie',
        "somebody has to be grown up",
        '"the den" cannot be a name',
        '"an hour" is no whole number from 0 to 1440',
        '"100" is no whole number from 0 to 90',
        'there is no container "nothing"',
    ):
        assert said in result.stdout
    home = load(FILE).household
    assert [*home.people] == ["ada", "ben", "edie"]
    assert [*home.areas] == ["kitchen", "living", "den"]
    assert [limit.minutes for limit in home.limits.values()] == [60, 90, 15]
    assert f'{FILE}: "Evening" is in force' in result.stdout


def test_days_too_short_are_asked_for_again(place: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    result = talk(monkeypatch, "", "0", "30", "", words=("--weekday", "0", "--areas", "kitchen"))
    assert result.exit_code == 1
    assert "give them more minutes" in result.stdout
    assert left_in(place) == []
    result = talk(monkeypatch, "", "0", "30", "40", "", words=("--weekday", "0", "--areas", "hall"))
    assert result.exit_code == 0
    assert [limit.minutes for limit in load(FILE).household.limits.values()] == [30, 40]


def test_minutes_in_the_list_of_people_make_a_child(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Those that no day has are asked for again.
    result = talk(monkeypatch, "ada, edie (12 min), leo (200)", *[""] * 5)
    assert result.exit_code == 0
    limits = load(FILE).household.limits
    assert [limit.minutes for of, limit in limits.items() if of.person] == [12, 20]


def test_minutes_behind_the_name_of_a_child_are_asked_for_no_more(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    result = talk(monkeypatch, "ada, edie, leo", "edie (12), leo", *[""] * 5)
    assert result.exit_code == 0
    limits = load(FILE).household.limits
    assert [limit.minutes for of, limit in limits.items() if of.person] == [12, 20]


def test_child_is_offered_no_more_than_a_day_has(
    place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    talk(monkeypatch, "ada, edie", "edie", "", "10", "12", *[""] * 2)
    limits = load(FILE).household.limits
    assert [limit.minutes for limit in limits.values()] == [10, 12, 12]


@pytest.mark.parametrize("given_up_after", range(5))
def test_closed_terminal_leaves_no_trace(
    place: Path, monkeypatch: pytest.MonkeyPatch, given_up_after: int
) -> None:
    result = talk(monkeypatch, *[""] * given_up_after, words=("flat",))
    assert result.exit_code == 1
    assert left_in(place) == []


def test_ctrl_c_leaves_no_trace(place: Path) -> None:
    child, terminal = pty.fork()
    if not child:  # pragma: no cover - another process
        # Who runs the tests in the background has them ignore it, and all they start.
        signal(SIGINT, SIG_DFL)
        os.execv(sys.executable, [sys.executable, "-m", "ledger", "begin", "flat"])
    said = b""
    while b"]: " not in said:
        assert select([terminal], [], [], 30)[0], said
        said += os.read(terminal, 1 << 16)
    # One that comes before Python waits for the answer is not heard.
    ended, status = 0, 0
    for _ in range(300):
        with suppress(OSError):
            os.write(terminal, b"\x03")
        ended, status = os.waitpid(child, os.WNOHANG)
        if ended:
            break
        sleep(0.1)
    assert ended, "it does not end"
    assert os.waitstatus_to_exitcode(status) == 1
    os.close(terminal)
    assert left_in(place) == []


# ------------------------------------------------------------------------------- the next container


def home_of(text: str) -> Household:
    return workspace_of(text).household


def test_first_book_is_the_one_that_is_loaded_from_the_package() -> None:
    assert load_source(CATALOGUE).text == CATALOGUE_TEXT
    assert home_of(Catalogue().smallest(Wishes((Person("mo"),), ("hall",), 9, 9), TODAY).text).since
