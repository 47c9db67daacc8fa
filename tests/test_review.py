"""The review: how windows are counted, whose minutes are whose, and what is advised."""

from __future__ import annotations

import csv
import io
import json
from collections import Counter
from datetime import date

import pytest
import strategies as some
from books import day, house, iso
from hypothesis import given, settings
from hypothesis import strategies as st
from test_cli import ROOT, besom
from test_render import too_wide

from ledger.homes import read_household
from ledger.household.model import Household
from ledger.keeping.occasion import OutcomeKind
from ledger.keeping.past import pasts_of
from ledger.render.review_tables import review_tables
from ledger.render.review_text import review_text
from ledger.report.effort import Turns
from ledger.report.review import ChoreWeek, Review, Tally, review
from ledger.text.source import Source
from ledger.workspace import read_sources

SUNDAY = "2026-03-08"
HEAD = ("since 2026-01-01", "person ada", "person bo")
DAYS = st.integers(some.BASE, some.BASE + 150)


def asked(*lines: str, on: str = SUNDAY, weeks: int = 1) -> Review:
    """The review of a book of some lines that begins with the year 2026."""
    return review(house(*HEAD, *lines), day(on), weeks)


def shown(*lines: str, on: str = SUNDAY, weeks: int = 1) -> list[str]:
    """The lines of the text, blanks joined."""
    text = review_text(asked(*lines, on=on, weeks=weeks))
    return [" ".join(line.split()) for line in text.splitlines()]


def said(*lines: str, on: str = SUNDAY) -> str:
    """The text on one line."""
    return " ".join(shown(*lines, on=on))


def told(tally: Tally) -> dict[str, int]:
    """The figures of a tally that are not 0, but for the two that follow from the others."""
    return {name: number for name, number in tally._asdict().items() if number and name[0] != "k"
            and name != "counted"}  # fmt: skip


def chore(answer: Review, name: str = "x") -> ChoreWeek:
    (found,) = (one for one in answer.chores if one.chore == name)
    return found


def dates(first: str, number: int, step: int = 1) -> list[str]:
    """So many dates from one on."""
    return [iso(day(first) + step * n) for n in range(number)]


# ----------------------------------------------------------------------- which days, and windows


@pytest.mark.parametrize(
    ("start", "on", "weeks", "span"),
    [
        ("monday", SUNDAY, 1, ("2026-03-02", SUNDAY)),
        ("monday", "2026-03-02", 1, ("2026-03-02", SUNDAY)),
        ("monday", "2026-03-04", 3, ("2026-02-16", SUNDAY)),
        ("sunday", SUNDAY, 1, (SUNDAY, "2026-03-14")),
        ("saturday", SUNDAY, 2, ("2026-02-28", "2026-03-13")),
    ],
)
def test_weeks_are_those_of_the_book_up_to_the_one_that_holds_the_day(
    start: str, on: str, weeks: int, span: tuple[str, str]
) -> None:
    answer = asked(f"week starts {start}", "every day", "  x", on=on, weeks=weeks)
    assert (answer.first, answer.last) == tuple(map(date.fromisoformat, span))
    assert (answer.on.isoformat(), answer.weeks) == (on, weeks)
    # Every day so far has one window, and none to come has.
    assert sum(chore(answer).tally[:7]) == (answer.on - answer.first).days + 1


def test_every_fate_has_its_figure() -> None:
    answer = asked(
        "every day", "  x  5 min", "every monday", "  y  5 min", "every week", "  z  5 min",
        "2026-03-03 did x, x", "2026-03-03 did x", "2026-03-04 did y", "2026-03-05 skipped x",
        on="2026-03-08",
    )  # fmt: skip
    # The second line of Tuesday finds no window, since every day has its own.
    assert told(chore(answer).tally) == {"done": 1, "skipped": 1, "missed": 4, "open": 1,
                                         "extras": 1}  # fmt: skip
    assert told(chore(answer, "y").tally) == {"late": 1}
    assert told(chore(answer, "z").tally) == {"open": 1}
    assert [(one.container, one.tally.kept, one.tally.counted) for one in answer.containers] == [
        ("every day", 1, 5), ("every monday", 1, 1), ("every week", 0, 0),
    ]  # fmt: skip


def test_what_is_still_owed_is_told_apart_from_what_was_missed() -> None:
    assert told(chore(asked("every monday", "  x")).tally) == {"owed": 1}
    assert told(chore(asked("every monday, friday", "  x")).tally) == {"missed": 1, "owed": 1}


def test_chore_that_each_does_counts_once_a_person() -> None:
    answer = asked("every monday", "  x  by each", "2026-03-02 did x by bo")
    assert told(chore(answer).tally) == {"done": 1, "owed": 1}


def test_chore_of_two_containers_has_a_row_in_each() -> None:
    answer = asked(
        'every monday "Tin"', "  x  until 2026-03-03", "every saturday", "  x  from 2026-03-04",
        "2026-03-02 did x", "2026-03-03 did x", "2026-03-07 did x",
    )  # fmt: skip
    assert [(one.container, told(one.tally)) for one in answer.chores] == [
        ("Tin", {"done": 1, "extras": 1}), ("every saturday", {"done": 1}),
    ]  # fmt: skip


def test_extra_of_a_chore_that_never_comes_round_is_counted_in_its_container() -> None:
    answer = asked("every day paused", "  x  5 min", "2026-03-03 did x")
    assert told(chore(answer).tally) == {"extras": 1}
    (container,) = answer.containers
    assert (container.container, container.days, container.habit) == ("every day", 0, "few")
    assert answer.minutes == 5


@settings(max_examples=60)
@given(some.small_books(), DAYS, st.integers(1, 12))
def test_tallies_are_those_of_the_past_and_add_up(
    book: some.SmallBook, on: int, weeks: int
) -> None:
    household = read_sources([Source("home.chores", book.text())]).on(on).household
    answer = review(household, on, weeks)
    fates: Counter[str] = Counter()
    low = answer.first.toordinal()
    for one in household.chores.values():
        found = pasts_of(household, one, low, on, on)
        windows = [window for part in found for window in part.outcomes]
        # Nobody needs to do what is spare by tonight.
        spare = [one for one in windows if one.routine.spare and one.fate is OutcomeKind.OPEN]
        kinds = Counter(one.fate for one in windows) - Counter(one.fate for one in spare)
        fates.update({fate.value: number for fate, number in kinds.items() if fate is not None})
        lines = {mark.line for part in found for mark in part.extras if mark.verb == "did"}
        fates["extras"] += len(lines)
    by_container = [one.tally for one in answer.containers]
    by_chore = [one.tally for one in answer.chores]
    for tallies in (by_container, by_chore):
        total = Counter(dict.fromkeys(fates, 0))
        for tally in tallies:
            total.update(told(tally))
            assert tally.kept == tally.done + tally.late + tally.early
            assert tally.counted == tally.kept + tally.missed + tally.owed
        assert total == fates


# ------------------------------------------------------------------------------- whose minutes


@pytest.mark.parametrize(
    ("line", "record", "minutes"),
    [
        ("x  20 min", "did x by bo", {"bo": 20}),
        ("x  20 min", "did x 25 min by bo", {"bo": 25}),
        ("x", "did x 25 min by bo", {"bo": 25}),
        ("x", "did x by bo", {}),
        ("x  25 min", "did x by bo, ada", {"bo": 25, "ada": 25}),
        ("x  25 min", "did x by bo, bo", {"bo": 25}),
        ("x  20 min", "did x 9 min by bo, ada", {"bo": 9, "ada": 9}),
        ("x  20 min  by ada and bo", "did x", {"ada": 20, "bo": 20}),
        ("x  20 min  by ada and bo", "did x 7 min", {"ada": 7, "bo": 7}),
        ("x  20 min  by ada and bo", "did x by bo", {"bo": 20}),
        ("x  20 min", "worked x 8 min by bo", {"bo": 8}),
        ("x", "worked x 8 min by bo, ada", {"bo": 8, "ada": 8}),
        ("x  20 min", "did x", {None: 20}),
        ("x  20 min  by ada", "did x", {"ada": 20}),
        ("x  20 min  by ada or bo", "did x", {None: 20}),
        ("x  20 min  by ada then bo", "did x", {None: 20}),
        ("x  20 min  by each", "did x", {"ada": 20, "bo": 20}),
        ("x  20 min  by each", "did x 7 min", {"ada": 7, "bo": 7}),
        ("x  20 min  by each", "did x by bo", {"bo": 20}),
        ("x  20 min  by each", "did x 7 min by bo, ada", {"ada": 7, "bo": 7}),
        ("x  20 min", "did x, x 9 min, x 30 min by bo", {"bo": 9}),
        ("x  20 min", "skipped x", {}),
        ("x  20 min", "moved x to 2026-03-05", {}),
    ],
)
def test_minutes_are_shared_as_a_line_says(
    line: str, record: str, minutes: dict[str | None, int]
) -> None:
    answer = asked("every day", f"  {line}", f"2026-03-04 {record}")
    found = {one.person: one.minutes for one in answer.people if one.minutes}
    assert found == minutes
    assert answer.minutes == sum(minutes.values())
    assert answer.unknown == ((line, record) == ("x", "did x by bo"))


def test_only_person_of_a_house_did_what_names_nobody() -> None:
    household = house("since 2026-01-01", "person ada", "every day", "  x  5 min",
                      "2026-03-04 did x")  # fmt: skip
    (person,) = review(household, day(SUNDAY), 1).people
    assert person[:4] == ("ada", 5, 100, 0)


@pytest.mark.parametrize("line", ["x  5 min", "x  5 min  by each"])
def test_house_without_people_has_minutes_of_nobody_named(line: str) -> None:
    household = house("since 2026-01-01", "every day", f"  {line}", "2026-03-04 did x")
    answer = review(household, day(SUNDAY), 1)
    assert answer.people == ((None, 5, 100, None, Turns(0, 0, 0, 0)),)
    assert "Who did it" not in review_text(answer)


def test_line_by_somebody_whom_the_book_does_not_know_is_of_nobody_named() -> None:
    text = "since 2026-01-01\nperson ada\nevery day\n  x  10 min by each\n2026-03-04 did x by zed\n"
    household = read_sources([Source("home.chores", text)]).household
    answer = review(household, day(SUNDAY), 1)
    assert [(one.person, one.minutes) for one in answer.people] == [("ada", 0), (None, 10)]


def test_share_is_set_beside_an_even_one_of_what_is_named() -> None:
    answer = asked(
        "every day", "  x  30 min", "2026-03-03 did x by ada", "2026-03-04 did x by ada",
        "2026-03-05 did x 15 min by bo", "2026-03-06 did x",
    )  # fmt: skip
    assert [one[:4] for one in answer.people] == [
        ("ada", 60, 57, 22.5), ("bo", 15, 14, -22.5), (None, 30, 29, None),
    ]  # fmt: skip


@settings(max_examples=60)
@given(some.small_books(), DAYS, st.integers(1, 12))
def test_every_minute_is_counted_once(book: some.SmallBook, on: int, weeks: int) -> None:
    household = read_sources([Source("home.chores", book.text())]).on(on).household
    answer = review(household, on, weeks)
    assert sum(one.minutes for one in answer.people) == answer.minutes
    assert sum(one.percent for one in answer.people) == (100 if answer.minutes else 0)
    above = sum(one.above for one in answer.people if one.above is not None)
    assert abs(above) <= 0.05 * len(answer.people)
    low, high = least_and_most(household, answer.first.toordinal(), on)
    assert low <= answer.minutes <= high


def least_and_most(household: Household, first: int, last: int) -> tuple[int, int]:
    """The minutes of the lines between two days, as timed, else the fewest and the most that
    any line of the routine declares; in full for each person."""
    low = high = 0
    for when, entry in zip(household.log.dates, household.log.entries, strict=True):
        if not first <= when <= last or entry.verb not in ("did", "worked"):
            continue
        named = len({person.value for person in entry.people})
        for name in {item.name.value for item in entry.items}:
            timed = [i.minutes for i in entry.items if i.name.value == name and i.minutes]
            lines = household.chores[name].routines
            most = named or max(max(1, line.shares, len(line.assignment.people)) for line in lines)
            declared = [line.minutes or 0 for line in lines]
            # Of what was worked on before, less is left than is declared.
            least = 0 if name in household.log.worked else min(declared)
            low += (timed[0].value if timed else least) * max(1, named)
            high += (timed[0].value if timed else max(declared)) * most
    return low, high


# --------------------------------------------------------------------------------------- turns


def test_turns_are_set_beside_who_took_them() -> None:
    answer = asked(
        "every day", "  x  5 min  by ada then bo", "every week", "  y  by ada or bo",
        "2026-03-02 did x by ada", "2026-03-03 did x by ada", "2026-03-04 did x by ada, bo",
        "2026-03-05 did x", "2026-03-06 skipped x", "2026-03-07 did x by bo",
    )  # fmt: skip
    # The 61st day of the year is Monday 2 March, so its turn is that of ada.
    ada, bo = answer.people[:2]
    assert ada.turns == (2, 2, 0, 1)
    assert bo.turns == (3, 1, 1, 0)


def test_missed_turn_is_a_turn_and_an_open_one_is_none_yet() -> None:
    book = ("every day", "  x  5 min  by ada then bo")
    ada, bo = asked(*book).people
    assert (ada.turns, bo.turns) == ((3, 0, 0, 0), (3, 0, 0, 0))


def test_turn_of_a_chore_done_early_stays_whose_it_was() -> None:
    answer = asked(
        "10 days after done", "  x  5 min  by ada then bo",
        "2026-02-25 did x by ada", "2026-03-04 did x by bo",
    )  # fmt: skip
    ada, bo = answer.people
    assert (ada.turns, bo.turns) == ((0, 0, 0, 0), (1, 1, 0, 0))


def test_helper_from_elsewhere_takes_no_turn_of_ours() -> None:
    text = "\n".join([*HEAD, "every day", "  x  5 min by ada then bo", "2026-03-02 did x by zed"])
    household = read_sources([Source("home.chores", text + "\n")]).household
    ada, bo, nobody = review(household, day("2026-03-02"), 1).people
    assert (ada.turns, bo.turns) == ((1, 0, 0, 0), (0, 0, 0, 0))
    assert nobody.minutes == 5


# --------------------------------------------------------------------------------- timed minutes


def test_timed_lines_are_set_beside_what_the_book_says_of_them() -> None:
    answer = asked(
        "every day", "  x  20 min", "  y", "  z  10 min", "2026-03-02 did x 30 min, y 9 min",
        "2026-03-03 did x 25 min, z 12 min", "2026-03-04 did x, z 12 min",
    )  # fmt: skip
    assert chore(answer, "x").timed == (2, 55, 40, True)
    assert chore(answer, "y").timed == (1, 9, None, False)
    # A gap of two minutes is none.
    assert chore(answer, "z").timed == (2, 24, 20, False)
    assert answer.timed[:3] == (4, 79, 60)


# ------------------------------------------------------------------------------------- its forms


def test_text_says_the_advice_in_words() -> None:
    late = ("2026-03-08 did x",)
    assert "takes eight weeks to tell: 1 week more" in said("every day", "  x", on="2026-02-20")
    assert "settles nothing, so there is nothing to go by" in said("every day", "  x")
    pause = said("every day", "  x  5 min", *late)
    assert "Over eight weeks 1% was done; from 80% on a routine can settle. Least was done of " in (
        pause
    )
    assert '"every day", 1%. Pausing it frees about 35 min a week' in pause
    assert "minutes that the book does not tell" in said("every day", "  x", *late)
    good = [f"{when} did x" for when in dates("2026-01-01", 90)]
    book = ("every day", "  x  5 min", *good)
    assert "Over eight weeks 100% was done. Carry on: after 1 week more like that" in said(*book)
    assert "Nothing is paused" in said(*book, on="2026-03-15")
    begin = said("every week paused", "  y  6 min", *book, on="2026-03-15")
    assert 'paused, "every week" adds the least: about 6 min a week.' in begin
    once = ("every week", "  z  paused", "once from 2026-05-01 to 2026-05-02", "  y  6 min paused")
    text = said(*once, *book, on="2026-03-15")
    assert 'y in "once from 2026-05-01 to 2026-05-02" adds the least: nothing to a usual week' in (
        text
    )


def test_text_tells_only_chores_that_slipped_the_worst_of_them_first() -> None:
    text = shown(
        "every day", "  x", "  y", "every monday", "  z", "  w", "every wednesday", "  v",
        *(f"{when} did x, y" for when in dates("2026-03-02", 5)), "2026-03-08 did x",
        "2026-03-05 did z", "2026-03-04 did v",
    )  # fmt: skip
    at = text.index("What slipped")
    # Sunday's line is Sunday's, so of Saturday both are missed.
    assert text[at + 1 : at + 6] == [
        "x every day 1 missed of 7", "y every day 1 missed of 6", "w every monday still owed",
        "z every monday late", "",
    ]  # fmt: skip
    assert text[text.index("To be done by tonight") + 1] == "y"


def test_long_lists_of_the_text_are_cut_and_say_so() -> None:
    chores = [f"  x{n}  10 min" for n in range(15)]
    timed = ", ".join(f"x{n} 30 min" for n in range(15))
    text = shown("every monday", *chores, f"2026-03-03 did {timed}")
    assert text.count("and 3 more; `--as csv` has every chore") == 2
    assert sum(line.endswith("every monday late") for line in text) == 12
    assert "Timed 15 times: 7 h 30 min by the clock, 2 h 30 min in the book" in text
    assert "x0 30 min by the clock 10 min in the book" in text


def test_text_says_who_did_it_beside_an_even_share() -> None:
    text = shown(
        "every day", "  x  30 min  by ada then bo", "  y",
        "2026-03-02 did x by ada", "2026-03-03 did x by ada", "2026-03-04 did x, y",
    )  # fmt: skip
    assert text[text.index("Who did it") + 1 :][:5] == [
        "minutes share even share own turns others' turns",
        "ada 1 h 67% 30 min above 1 of 3 1",
        "bo 0 min 0% 30 min below 0 of 3",
        "nobody named 30 min 33%",
        "Turns done by lines that name nobody: 1",
    ]
    assert "Minutes not known, and not counted: 1 time" in text


def test_text_has_no_column_of_turns_where_there_are_none() -> None:
    text = shown("every day", "  x  30 min", "2026-03-02 did x by ada, bo")
    assert "minutes share even share" in text
    assert "ada 30 min 50% even" in text


def test_text_of_an_empty_week_says_so() -> None:
    text = shown(on="2026-03-04")
    assert text[:4] == [
        "Week of Monday 2 March 2026 to Sunday 8 March 2026",
        "So far, up to Wednesday 4 March 2026",
        "",
        "Nothing came round in these days, and nothing was done.",
    ]
    assert "3 weeks, Monday 16 February 2026 to Sunday 8 March 2026" in shown(weeks=3)


def test_text_of_the_example_fits_in_80_columns() -> None:
    household = read_household([ROOT / "examples" / "quarry-lane"]).household
    for number, on in enumerate(range(day("2025-12-28"), day("2026-12-31"), 20)):
        assert too_wide(review_text(review(household, on, 1 + number % 9))) == []


def test_text_with_long_names_fits_in_80_columns_but_for_no_name() -> None:
    name = "a-chore-with-a-name-that-is-longer-than-most-lines-would-have-room-for"
    household = house(
        "since 2026-01-01", f"person {name}", f'every day "{name} and then some more of it"',
        f"  {name}  10 min", f"2026-03-03 did {name} 40 min by {name}",
    )  # fmt: skip
    text = review_text(review(household, day(SUNDAY), 1))
    assert [line for line in too_wide(text) if name not in line] == []
    assert "…" not in text


def test_csv_has_a_row_a_chore(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    words = ("review", "examples/quarry-lane", "--on", "2026-11-22")
    text = besom(*words, "--as", "csv").stdout
    rows = {row["chore"]: row for row in csv.DictReader(io.StringIO(text, newline=""))}
    assert rows["mirrors"]["open"] == "1"
    assert (rows["pick-up"]["container"], rows["pick-up"]["missed"]) == ("Evening tin", "1")
    assert (rows["scrub-bath"]["minutes timed"], rows["scrub-bath"]["off"]) == ("29", "yes")
    answer = json.loads(besom(*words, "--as", "json").stdout)
    assert list(rows) == [one["chore"] for one in answer["chores"]]
    markdown = besom(*words, "--as", "markdown").stdout
    assert [line for line in markdown.splitlines() if line.startswith("#")] == [
        "### Chores from 2026-11-16 to 2026-11-22", "### Containers", "### People",
        "### What next",
    ]  # fmt: skip


def test_rows_of_tables_have_a_cell_a_header() -> None:
    answer = asked("every day", "  x  30 min", "2026-03-02 did x 40 min")
    for table in review_tables(answer):
        assert table.rows
        assert {len(row) for row in table.rows} == {len(table.headers)}


@pytest.mark.parametrize("on", ["9999-12-31", "0001-01-01"])
def test_ends_of_the_calendar_are_answered(on: str) -> None:
    household = house("since 2026-01-01", "every day", "  x", "5 days after done", "  y")
    answer = review(household, day(on), 3)
    assert answer.first <= answer.on <= answer.last
    assert too_wide(review_text(answer)) == []


def test_book_without_a_line_is_too_young_to_say() -> None:
    answer = review(Household(as_of=day(SUNDAY)), day(SUNDAY), 1)
    assert (answer.containers, answer.people, answer.advice.kind) == ((), (), "early")
