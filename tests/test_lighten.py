"""Lighten: what may move and what may not, what is said of it, and that the book then fits."""

from __future__ import annotations

import csv
import io
import json
import shutil
import subprocess
import sys
from collections import Counter
from collections.abc import Sequence
from datetime import date
from pathlib import Path
from random import Random

import pytest
from books import day, house
from hypothesis import given, settings
from hypothesis import strategies as st
from test_cli import ROOT, besom
from test_render import too_wide

from ledger.calendar.week import year_on
from ledger.cli.common import show_changes
from ledger.homes import read_household
from ledger.household.model import Household
from ledger.lint import overload
from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.planning.choices import choices
from ledger.planning.fit import Ask, Load
from ledger.render.lighten_tables import lighten_tables
from ledger.render.lighten_text import lighten_text
from ledger.report.lighten import (
    Full,
    Fullest,
    Lighten,
    Moved,
    Proposal,
    header_of,
    lighten,
    relocation_of,
)
from ledger.text.formatter import FormatFault, format_tree
from ledger.text.reader import Reader
from ledger.text.relocate import Destination, Relocation, relocate
from ledger.text.source import Source
from ledger.text.tree import Tree
from ledger.workspace import Workspace, read_sources

WEDNESDAY = "2026-03-04"
FIRST = "2026-01-01"
"""The first day of the books: nothing has begun by then, which a move would not change."""
HEAD = ("since 2026-01-01", "person ada", "person bo", "area attic")
EXAMPLE = ROOT / "examples" / "quarry-lane"


def proposal(*lines: str, most: int | None = None, on: str = WEDNESDAY) -> Proposal:
    return lighten(house(*HEAD, *lines), day(on), most)


def ways(*lines: str, chore: str = "x") -> list[str]:
    """The headers under which a chore may be put, new ones marked by a plus."""
    on = day(WEDNESDAY)
    found = choices(house(*HEAD, *lines), range(on, year_on(on) + 1))
    return [
        "+" * one.is_new + header_of(one.section)
        for options in found.options
        for one in options
        if one.chore == chore
    ]


# ------------------------------------------------------------------------------ what may move

WEEKDAYS = ["+every tuesday", "+every wednesday", "+every thursday", "+every friday"]


def test_line_of_one_weekday_may_go_to_the_others_outside_the_weekend() -> None:
    assert ways("every monday", "  x  5 min") == WEEKDAYS
    assert ways("weekend is friday, saturday", "every monday", "  x  5 min") == [
        *WEEKDAYS[:3], "+every sunday",
    ]  # fmt: skip
    assert ways("every saturday", "  x  5 min") == ["+every monday", *WEEKDAYS]


def test_section_that_the_book_has_is_taken_one_without_a_title_first() -> None:
    book = ["every monday", "  x  5 min", 'every tuesday "Red tin"', "  y"]
    assert ways(*book) == ['every tuesday "Red tin"', *WEEKDAYS[1:]]
    assert ways(*book, "every tuesday", "  z")[0] == "every tuesday"
    # Of two with titles nobody can say which.
    assert ways(*book, 'every tuesday "Blue tin"', "  z") == WEEKDAYS[1:]


def test_section_of_the_same_file_is_taken_before_one_of_another() -> None:
    tuesday = "every tuesday\n  {}  5 min\n"
    one = Source("one.chores", tuesday.format("a"))
    two = Source("two.chores", "every monday\n  x  5 min\n" + tuesday.format("b"))
    household = read_sources([one, two]).household.on(day(WEDNESDAY))
    found = choices(household, range(day(WEDNESDAY), year_on(day(WEDNESDAY)) + 1))
    of_x = next(options for options in found.options if options[0].chore == "x")
    assert of_x[0].section.place.source.path == "two.chores"
    alone = read_sources([one, Source("two.chores", "every monday\n  x  40 min\n  y  6 min\n"
                                      "limit weekday 45 min\n")])  # fmt: skip
    answer, relocations = lighten(alone.household.on(day(WEDNESDAY)), day(WEDNESDAY))
    assert answer.moves[0].to_section == "every tuesday"
    assert set(relocate(alone.trees, relocations)) == {"one.chores", "two.chores"}


def test_section_of_some_dates_only_takes_no_line_and_gives_none() -> None:
    for clause in ("during may to june", "within 2 days", "from 2026-01-01", "until 2026-12-31"):
        assert ways(f"every monday {clause}", "  x  5 min") == []
        assert ways("every monday", "  x  5 min", f"every tuesday {clause}", "  y") == WEEKDAYS
    assert ways("every monday paused", "  x  5 min") == []
    assert ways("every monday", "  x  5 min", "every tuesday paused", "  y") == WEEKDAYS


def test_line_of_one_day_may_go_to_any_day_of_the_week_where_the_book_has_such_a_section() -> None:
    assert ways("every monday", "  x  5 min", "every week", "  y") == ["every week", *WEEKDAYS]
    assert ways("every weekend", "  x  5 min", "every week", "  y") == ["every week"]
    assert ways("every weekend", "  x  5 min") == []


def test_line_of_one_weekend_may_go_to_the_first_four_and_to_the_month() -> None:
    assert ways("weekend 2", "  x  5 min") == ["+weekend 1", "+weekend 3", "+weekend 4"]
    assert ways("weekend 2", "  x  5 min", "every month", "  y")[:1] == ["every month"]
    for other in ("weekend 5", "weekend last", "weekend 1, 3"):
        assert ways(other, "  x  5 min", "every month", "  y") == []


@pytest.mark.parametrize("on", ["15", "last", "first monday", "last friday", "28"])
def test_line_of_a_day_of_each_month_may_go_to_any_day_of_the_month(on: str) -> None:
    assert ways(f"every month on {on}", "  x  5 min", "every month", "  y") == ["every month"]
    assert ways(f"every month on {on}", "  x  5 min") == []


@pytest.mark.parametrize(
    "header",
    ["every month on 29", "every month on monday", "every month on fifth monday",
     "every month on 1, 15", "every 2 months on 1 from 2026-01-01", "every day", "every week",
     "every weekday", "every monday, tuesday", "every april on 1", "every month",
     "once from 2026-04-01 to 2026-04-05", "3 days after done"],
)  # fmt: skip
def test_line_of_another_rhythm_stays(header: str) -> None:
    book = () if header == "every month" else ("every month", "  y")
    assert ways(header, "  x  5 min", *book) == []


def test_what_is_paused_over_or_has_no_minutes_stays() -> None:
    assert ways("every monday", "  x  5 min  paused") == []
    assert ways("every monday", "  x") == []
    assert ways("every monday", "  x  5 min  until 2026-03-01") == []


def test_what_is_tied_to_another_chore_stays() -> None:
    assert ways("every monday", "  x  5 min  after y", "  y  5 min") == []
    assert ways("every monday", "  x  5 min", "  y  5 min  after x") == []


def test_what_uses_a_thing_that_must_not_meet_another_of_the_book_stays() -> None:
    book = ["every monday", "  x  5 min  uses bleach", "every friday", "  y  uses vinegar"]
    assert ways(*book) == []
    assert ways(*book[:3], "  y  uses cloth") == ["every friday", *WEEKDAYS[:3]]
    assert ways("every monday", "  x  5 min  uses bleach, vinegar") == []


def test_chore_of_two_lines_keeps_them_on_different_days() -> None:
    book = ["every monday", "  x  5 min", "every friday", "  x  8 min"]
    assert ways(*book) == [*WEEKDAYS[:3], "+every tuesday", "+every wednesday", "+every thursday"]
    # One after the other in time they cannot meet, but a name stands once in a section.
    book = ["every monday", "  x  5 min  until 2026-06-30", "every friday", "  x  from 2026-07-01"]
    assert ways(*book) == WEEKDAYS[:3]


# --------------------------------------------------------------------- what it asks of the days


def in_lint(household: Household, on: int) -> list[Load]:
    """The load as the rules of overload see it: of the household, then of people with a limit."""
    book = LintedBook((), household.on(on))
    found = [overload.of_household(book), *overload.of_people(book).values()]
    loads = []
    for one in found:
        load = Load(365)
        for demand in one.demands:
            if on <= demand.first and demand.last < on + 365:
                load.add(Ask([demand.first - on], [demand.last - on], demand.minutes))
        loads.append(load)
    return loads


def loads_of(asks: Sequence[Ask], layers: int) -> list[Load]:
    loads = [Load(365) for _ in range(layers)]
    for ask in asks:
        loads[ask.layer].add(ask)
    return loads


def said(load: Load) -> tuple[list[int], dict[tuple[int, int], int]]:
    return load.single, {span: minutes for span, minutes in load.wide.items() if minutes}


def made_up(random: Random) -> str:
    """A book of a few containers, people and limits; overloaded more often than not."""
    lines = [
        "since 2026-01-01",
        f"week starts {random.choice(['monday', 'sunday', 'saturday'])}",
        f"weekend is {random.choice(['saturday, sunday', 'friday, saturday', 'sunday'])}",
        "person ada", "person bo", "area attic", f"limit weekday {random.randint(20, 60)} min",
        f"limit bo {random.randint(15, 50)} min",
    ]  # fmt: skip
    if random.random() < 0.7:
        lines.append(f"limit weekend {random.randint(40, 90)} min")
    lines += random.sample(
        ["away 2026-04-04 to 2026-04-12", "away 2026-05-01 to 2026-05-10 by bo", "limit camp 9 min",
         "rest 2026-04-20 to 2026-04-24 by ada", "rest 2026-05-15", "limit bo friday 40 min",
         "away camp by ada"],
        random.randint(0, 3),
    )  # fmt: skip
    lines.append("days camp every 3 days from 2026-05-20 until 2026-06-20")
    headers = ["every monday", "every tuesday", "every wednesday", 'every friday "Red tin"',
               "every week", "every weekend", "weekend 1", "weekend 2", "every month",
               "every month on 1", "every day", "every month on last friday",
               "every 2 weeks from 2026-01-05", "10 days after done"]  # fmt: skip
    number = 0
    for header in random.sample(headers, random.randint(2, 8)):
        lines += ["", header]
        for _ in range(random.randint(1, 4)):
            name = f"c{number}" if random.random() < 0.9 or not number else f"c{number - 1}"
            by = random.choice(["", "", " by bo", " by ada or bo", " by ada then bo", " by each",
                                " by ada and bo", " by each of bo"])  # fmt: skip
            dates = random.choice(
                [""] * 6
                + [
                    " until 2026-07-15",
                    " from 2026-05-20",
                    " spare",
                    " vital",
                    " expires",
                    " except tuesday, camp",
                ]
            )
            if f"    {name} " not in "\n".join(lines[len(lines) - lines[::-1].index(header) :]):
                minutes = random.randint(3, 25 if header != "every day" else 8)
                lines.append(f"    {name}  {minutes} min  in attic{by}{dates}")
            number += 1
    return format_tree(Reader().read(Source("home.chores", "\n".join(lines) + "\n")))


@settings(max_examples=40)
@given(st.integers(0, 10**6))
def test_load_is_that_of_the_rules_of_overload(seed: int) -> None:
    household = read_sources([Source("home.chores", made_up(Random(seed)))]).household
    on = day(WEDNESDAY)
    problem = choices(household, range(on, year_on(on) + 1)).problem
    stands = [*problem.fixed, *(ask for options in problem.pieces for ask in options[0])]
    expected = in_lint(household, on)
    found = loads_of(stands, len(expected))
    assert list(map(said, found)) == list(map(said, expected))


@settings(max_examples=40)
@given(st.integers(0, 10**6))
def test_option_asks_for_what_the_book_says_once_the_line_is_moved(seed: int) -> None:
    random = Random(seed)
    workspace = read_sources([Source("home.chores", made_up(random))])
    on = day(FIRST)
    found = choices(workspace.household, range(on, year_on(on) + 1))
    if not found.options:
        return
    piece = random.randrange(len(found.options))
    option = random.randrange(len(found.options[piece]))
    problem = found.problem
    asks = [*problem.fixed, *problem.pieces[piece][option + 1]]
    for other, options in enumerate(problem.pieces):
        asks += options[0] if other != piece else []
    relocation = relocation_of(workspace.household, found.options[piece][option])
    moved = read_sources(relocate(workspace.trees, [relocation]).values())
    expected = in_lint(moved.household, on)
    assert list(map(said, loads_of(asks, len(expected)))) == list(map(said, expected))


def findings(workspace: Workspace, on: int) -> Counter[str]:
    book = LintedBook(workspace.trees, workspace.household.on(on))
    return Counter(finding.rule for finding in lint(book, workspace.findings))


def is_too_full(workspace: Workspace, on: int) -> bool:
    """True where some days of the household do not fit, or those of a person."""
    book = LintedBook(workspace.trees, workspace.household.on(on))
    return any(
        one.spans for one in (overload.of_household(book), *overload.of_people(book).values())
    )


def test_book_that_was_lightened_is_overloaded_no_more_and_nothing_else_is_found() -> None:
    on, helped = day(FIRST), 0
    for seed in range(45):
        workspace = read_sources([Source("home.chores", made_up(Random(seed)))])
        answer, relocations = lighten(workspace.household, on)
        assert too_wide(lighten_text(answer)) == [], seed
        before = findings(workspace, on)
        assert bool(answer.too_full) == is_too_full(workspace, on), seed
        if not relocations:
            continue
        changed = read_sources(relocate(workspace.trees, relocations).values())
        after = findings(changed, on)
        assert bool(answer.left) == is_too_full(changed, on), seed
        worse = after - before
        if answer.minutes_left:
            # What is still too full may be cut into more findings than before.
            worse -= Counter({"overloaded-day": 9, "overloaded-person": 9})
        assert worse == Counter(), seed
        helped += not answer.minutes_left
    assert helped >= 10


# ----------------------------------------------------------------------------------- the answer

CROWDED = (
    "limit weekday 30 min", "every monday", "  x  20 min", "  y  20 min", "  z  5 min",
    "every tuesday", "  t  15 min",
)  # fmt: skip


def test_answer_says_what_is_too_full_what_moves_and_what_it_comes_to() -> None:
    answer, relocations = proposal(*CROWDED)
    assert answer == Lighten(
        household=None,
        first=date(2026, 3, 4),
        last=date(2027, 3, 3),
        has_limits=True,
        moves_most=None,
        too_full=(Full(date(2026, 3, 9), date(2026, 3, 9), 45, 30, 52),),
        moves=(Moved("x", "x", 20, "every monday", "every wednesday", True, "home.chores", 7),),
        fullest=(
            Fullest("monday", 45, 25, 30),
            Fullest("tuesday", 15, 15, 30),
            Fullest("wednesday", 0, 20, 30),
            Fullest("thursday", 0, 0, 30),
            Fullest("friday", 0, 0, 30),
            Fullest("weekend", 0, 0, None),
            Fullest("week", 60, 60, None),
        ),
        heaviest_before=45,
        heaviest_after=25,
        minutes_left=0,
        left=(),
        moves_least=1,
        heaviest_least=25,
        proven=True,
    )
    # A new section goes after the last one of a weekday.
    assert relocations == ((("home.chores", 6), ("home.chores", 9), "every wednesday"),)


def test_moves_to_spend_lower_the_heaviest_day_and_no_more_are_spent_than_that_takes() -> None:
    one, two, many = (proposal(*CROWDED, most=most).answer for most in (1, 2, 9))
    assert (one.heaviest_after, len(one.moves)) == (25, 1)
    assert (two.heaviest_after, len(two.moves)) == (20, 2)
    assert (many.heaviest_after, len(many.moves)) == (20, 2)
    assert [one.proven, two.proven, many.proven] == [True] * 3


def test_book_that_fits_or_has_no_limits_is_left_alone_unless_moves_may_be_spent() -> None:
    for book in (("limit weekday 45 min", *CROWDED[1:]), CROWDED[1:]):
        answer, relocations = proposal(*book)
        assert (answer.too_full, answer.moves, relocations, answer.proven) == ((), (), (), True)
        assert answer.heaviest_before == answer.heaviest_after == 45
        assert proposal(*book, most=1).answer.heaviest_after == 25


def test_what_fits_nowhere_is_said_with_its_days() -> None:
    answer, _ = proposal("limit weekday 10 min", "every day", "  x  25 min", on="2027-03-04")
    assert (answer.moves, answer.moves_least, answer.proven) == ((), None, True)
    assert answer.left == answer.too_full
    assert answer.minutes_left == sum(15 for n in range(366) if (n + 3) % 7 < 5)
    none = proposal(*CROWDED, most=0).answer
    assert (none.moves, none.moves_least, none.minutes_left) == ((), 1, 780)
    assert not none.proven


def test_weekend_and_week_of_the_household_are_counted_as_it_has_them() -> None:
    answer, _ = proposal(
        "week starts sunday", "weekend is friday, saturday", "limit weekday 20 min",
        "limit friday 1 h", "limit saturday 30 min", "every weekend", "  x  50 min",
        "every saturday", "  y  10 min",
    )  # fmt: skip
    kinds = {one.kind: one for one in answer.fullest}
    assert list(kinds) == ["sunday", "monday", "tuesday", "wednesday", "thursday", "saturday",
                           "weekend", "week"]  # fmt: skip
    assert kinds["weekend"] == ("weekend", 60, 60, 90)
    assert kinds["week"] == ("week", 60, 60, 190)
    # 60 minutes of a Friday and a Saturday that hold 60 and 30: half of them each.
    assert answer.heaviest_before == 30


def test_weekend_of_one_day_is_that_day() -> None:
    answer, _ = proposal("weekend is sunday", "every weekend", "  x  50 min")
    assert [one.kind for one in answer.fullest][-2:] == ["sunday", "week"]


def test_end_of_the_calendar_is_answered() -> None:
    answer = proposal(*CROWDED, on="9999-12-30").answer
    assert (answer.first, answer.last) == (date(9999, 12, 30), date(9999, 12, 31))
    assert answer.too_full == ()


def test_what_is_too_much_for_one_person_is_said_with_the_name() -> None:
    book = ("limit ada 30 min", "every monday", "  x  40 min  by ada", "  y  40 min")
    answer, relocations = proposal(*book)
    of_ada = Full(date(2026, 3, 9), date(2026, 3, 9), 40, 30, 52, "ada")
    assert (answer.too_full, answer.left, answer.minutes_left) == ((of_ada,), (of_ada,), 0)
    assert relocations == ()
    text = " ".join(lighten_text(answer).split())
    assert "Mon 9 Mar 40 min of 30 min for ada and 51 more like it" in text
    assert "The days of the household fit. To make" in text
    assert "ada has too much on some days. Moves are chosen for the household" in text
    assert "Nothing has to move" not in text
    assert "ada still has too much" in text_of(*book, "limit monday 70 min")
    # Where a person's minutes are all that the household has, they are told once.
    alone = proposal(*book[:3], "limit bo 0 min").answer
    assert [one.person for one in alone.too_full] == [None]


def test_limit_of_the_fullest_is_that_of_most_such_days() -> None:
    answer, _ = proposal("limit ada 30 min", "limit bo 20 min", "limit camp 5 min",
                         "days camp 2026-03-10", "away 2026-04-06", "every monday",
                         "  x  9 min")  # fmt: skip
    assert {one.kind: one.limit for one in answer.fullest} == {
        **dict.fromkeys(["monday", "tuesday", "wednesday", "thursday", "friday"], 50),
        "weekend": 100,
        "week": 350,
    }
    limits = ("limit weekday 45 min", "limit weekend 45 min")
    fullest = proposal(*limits, *CROWDED[1:]).answer.fullest
    assert {one.limit for one in fullest} == {45, 90, 315}


def test_what_has_begun_counts_by_the_days_left_and_by_the_record() -> None:
    week = ("limit weekday 10 min", "limit weekend 10 min", "every week", "  x  60 min")
    answer, _ = proposal(*week, "2026-03-02 worked x 5 min")
    # From Wednesday to Sunday.
    assert answer.too_full[0] == (date(2026, 3, 4), date(2026, 3, 8), 55, 50, 1, None)
    assert proposal(*week, "2026-03-02 did x").answer.too_full == ()
    assert proposal(*week, "2026-03-04 skipped x").answer.too_full == ()


# --------------------------------------------------------------------------------- in every form


def text_of(*lines: str, most: int | None = None) -> str:
    return lighten_text(proposal(*lines, most=most).answer)


def test_text_says_whether_there_is_anything_to_do() -> None:
    assert "The book sets no limits, so no day is too full" in text_of(*CROWDED[1:])
    fits = text_of("limit weekday 1 h", *CROWDED[1:])
    assert "Every day fits its limit.\n" in fits
    assert (
        "Nothing has to move. To make the heaviest day lighter: `besom lighten --moves 2`" in fits
    )
    nothing = text_of("limit weekday 1 h", "every day", "  x  5 min", most=2)
    assert nothing.endswith("\nNo move makes the heaviest day lighter.\n")


def test_text_says_what_the_moves_do() -> None:
    assert "1 move makes it fit\n  " in text_of(*CROWDED)
    assert "2 moves make it fit\n  " in text_of(*CROWDED, most=2)
    roomy = ("limit weekday 1 h", *CROWDED[1:])
    assert "1 move makes the heaviest day lighter\n  " in text_of(*roomy, most=1)
    assert "With up to 2 moves the heaviest day cannot be lighter." in text_of(*roomy, most=2)
    assert "| git apply" in text_of(*CROWDED)


def test_text_says_what_is_left_and_what_it_would_take() -> None:
    stuck = text_of(*CROWDED, "every monday", "  w  40 min  uses bleach", "once from "
                    "2026-03-10 to 2026-03-11", "  v  70 min  uses vinegar")  # fmt: skip
    assert "help, but not enough" in stuck
    assert "No moves from one section to another make everything fit." in stuck
    assert "It would take 1 move at least to make everything fit." in text_of(*CROWDED, most=0)


def test_text_says_what_is_not_settled() -> None:
    answer = proposal(*CROWDED).answer
    known = lighten_text(answer)
    assert "No fewer moves can do it. With 1 move the heaviest day cannot be lighter." in known
    both = lighten_text(answer._replace(moves=answer.moves * 2, heaviest_least=23, proven=False))
    assert "At least 1 is needed; whether fewer than 2 do is not settled." in both
    low = "With 2 moves it may come down to 23 min; that is not settled."
    assert low in " ".join(both.split())
    left = answer._replace(minutes_left=5, left=answer.too_full)
    assert "No way was found to make everything fit; it would take 1 move" in lighten_text(left)


def test_text_of_long_names_fits_and_is_safe() -> None:
    answer = proposal(*CROWDED).answer
    long = answer.moves[0]._replace(chore="x " * 50, from_section="every monday " + "y " * 40)
    text = lighten_text(answer._replace(moves=(long,), household="\x1b[31m"))
    assert too_wide(text) == []
    assert "\x1b" not in text


def test_tables_have_the_moves_first() -> None:
    moves, full, left, fullest = lighten_tables(proposal(*CROWDED).answer)
    assert [len(moves.rows), len(full.rows), len(left.rows)] == [1, 1, 0]
    assert fullest.rows[-1] == ("heaviest day", 45, 25, None)
    for table in (moves, full, left, fullest):
        assert {len(row) for row in table.rows} <= {len(table.headers)}


def test_csv_is_a_row_a_move() -> None:
    said = besom("lighten", str(EXAMPLE), "--on", "2026-11-25", "--as", "csv").stdout
    rows = csv.DictReader(io.StringIO(said))
    assert [(row["chore"], row["minutes"], row["from"], row["to"]) for row in rows] == [
        ("scrub-bath", "20", "every weekend", "every week"),
        ("papers", "20", "every month on first monday", "every month"),
    ]


# -------------------------------------------------------------------------------- with real git

needs_git = pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")
ON = ("--on", "2026-11-25")


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A copy of the example in a repository, with three weekdays made too full."""
    folder = tmp_path / "house" / "home"
    shutil.copytree(EXAMPLE, folder)
    book = folder / "home.chores"
    text = book.read_text("utf-8")
    for line in ("vacuum-stairs  10", "wipe-basin  5", "dust-shelves   8"):
        assert line in text
        name, minutes = line.split()
        text = text.replace(line, f"{name}  {int(minutes) + 4}")
    tree = Reader().read(Source("home.chores", text))
    at = {text.split("  ")[0].strip(): number for number, text in enumerate(tree.source.lines)}
    worse = {"shopping-list": "monday", "toilets": "tuesday", "water-plants": "friday"}
    moves = [
        Relocation(
            Destination("home.chores", line), Destination("home.chores", at[f"every {name}"])
        )
        for chore, name in worse.items()
        for line, text in enumerate(tree.source.lines)
        if text.split()[:1] == [chore]
    ]
    moved = Reader().read(relocate([tree], moves)["home.chores"])
    book.write_text(format_tree(moved), "utf-8")
    subprocess.run(["git", "init", "--quiet", str(tmp_path / "house")], check=True)
    monkeypatch.chdir(tmp_path / "house")
    return book


def rules(*paths: str) -> Counter[str]:
    workspace = read_household([Path(path) for path in paths])
    return findings(workspace, day("2026-11-25"))


def apply(where: Path, *words: str) -> None:
    """Pipe what besom says into `git apply`."""
    patch = besom("lighten", *words, *ON).stdout_bytes
    run = subprocess.run(["git", "apply", "-"], cwd=where, input=patch, capture_output=True)
    assert (run.returncode, run.stderr) == (0, b"")


@needs_git
@pytest.mark.parametrize("form", ["text", "diff"])
def test_git_applies_what_is_printed_and_the_book_fits(home: Path, form: str) -> None:
    before = rules("home")
    assert before["overloaded-day"] >= 3
    apply(Path(), "home", "--as", form)
    after = rules("home")
    assert after["overloaded-day"] == 0
    # By its new day of the week, wipe-basin was late on a day in February on which it was moved,
    # and could not be moved so far.
    assert after - before == Counter({"impossible-move": 1})
    again = json.loads(besom("lighten", "home", *ON, "--as", "json").stdout)
    assert (again["too_full"], again["moves"], again["diff"]) == ([], [], "")


@needs_git
@pytest.mark.parametrize("name", [(), (".",), ("home.chores", "2026.chores"), ("absolute",)])
def test_git_applies_it_in_a_folder_of_the_repository(
    home: Path, monkeypatch: pytest.MonkeyPatch, name: tuple[str, ...]
) -> None:
    monkeypatch.chdir("home")
    apply(Path(), *(str(home.parent) if word == "absolute" else word for word in name))
    assert rules(".")["overloaded-day"] == 0


@needs_git
@pytest.mark.parametrize("end", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("last", [True, False])
def test_git_applies_it_whatever_the_ends_of_lines(
    home: Path, end: str, mark: str, last: bool
) -> None:
    text = "limit monday 10 min\n\nevery tuesday\n    a  5 min\n\nevery monday\n    b  8 min\n"
    data = mark + (text + "    c  5 min # \udcff\n    d  2 min\n    e  4 min").replace("\n", end)
    home.write_bytes((data + end * last).encode("utf-8", "surrogateescape"))
    apply(Path(), "home/home.chores")
    after = home.read_bytes()
    assert after.endswith(end.encode()) == last
    assert after.count(b"\n") == after.count(b"\r\n") or end == "\n"
    assert rules("home/home.chores")["overloaded-day"] == 0


def test_file_is_never_written(home: Path) -> None:
    before = home.read_bytes()
    assert besom("lighten", "home", *ON).exit_code == 0
    assert home.read_bytes() == before


def test_change_that_would_say_something_else_is_not_proposed(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(tree: Tree) -> str:
        raise FormatFault(tree.source.path)

    monkeypatch.setattr("ledger.text.formatter.formatted", refuse)
    result = besom("lighten", "home", *ON)
    assert (result.exit_code, result.stdout) == (1, "")
    assert "a bug of besom" in result.stderr


def test_diff_in_json_is_the_one_that_is_printed(home: Path) -> None:
    said = json.loads(besom("lighten", "home", *ON, "--as", "json").stdout)
    assert said["diff"] == besom("lighten", "home", *ON, "--as", "diff").stdout
    text = "limit monday 5 min\nevery monday\n  a  4 min\n  # \udcff\n  b  4 min\n"
    home.write_bytes(text.encode("utf-8", "surrogateescape"))
    odd = json.loads(besom("lighten", "home/home.chores", *ON, "--as", "json").stdout)
    assert "\n   # \udcff\n" in odd["diff"]


def test_terminal_is_shown_a_diff_that_cannot_upset_it(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    class Terminal(io.StringIO):
        def isatty(self) -> bool:
            return True

    for stream, err in (("stdout", False), ("stderr", True)):
        terminal = Terminal()
        monkeypatch.setattr(sys, stream, terminal)
        show_changes("a", b"\x1b[31m\n", b"b\r", err)
        assert terminal.getvalue() == (
            "--- a/a\n+++ b/a\n@@ -1 +1 @@\n-\ufffd[31m\n+b\ufffd\n\\ No newline at end of file\n"
        )


def test_program_is_given_a_diff_to_the_byte(capfdbinary: pytest.CaptureFixture[bytes]) -> None:
    show_changes("/elsewhere/a", b"", b"\x1b\xff\r\n")
    exact = capfdbinary.readouterr().out
    assert exact.startswith(b"--- a//elsewhere/a\n")
    assert exact.endswith(b"\n+\x1b\xff\r\n")
