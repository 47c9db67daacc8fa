"""Compare: what changed by meaning, what it does to the week, and how a call names versions."""

from __future__ import annotations

import json
import random
import re
from collections import Counter
from datetime import date
from pathlib import Path

import pytest
from books import day, house
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from repositories import git
from test_cli import EXAMPLE, ROOT, besom

from ledger.household.model import Household
from ledger.render.compare_text import compare_text
from ledger.text.formatter import format_tree
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.width import width
from ledger.versions.compare import Change, compare
from ledger.versions.comparison import comparison
from ledger.versions.effect import effect
from ledger.versions.record_changes import compare_records
from ledger.workspace import read_sources

TODAY = "2026-11-25"
ROUTINE = (ROOT / EXAMPLE / "home.chores").read_text("utf-8")
SECTIONS = ROUTINE.split("\n\n")


def home(text: str) -> Household:
    return read_sources([Source("home.chores", text)]).household


def told(before: Household, after: Household) -> list[tuple[str, ...]]:
    """The changes as short rows: kind, what, name, and each clause with both its values."""
    return [
        (
            one.kind,
            one.what,
            one.name,
            *(f"{d.clause}:{d.before}>{d.after}" for d in one.differences),
        )
        for one in compare(before, after)
    ]


BASE = (
    "person noor", "person tam", "area kitchen", "area living", "limit weekday  45 min",
    "every monday", "  vacuum  10 min  in living  by noor or tam",
    "every friday", "  shelves  8 min  in living",
)  # fmt: skip


def edited(old: str, new: str) -> Household:
    assert old in BASE
    return house(*(new if line == old else line for line in BASE if line != old or new))


# --------------------------------------------------------------------------- what is told


@pytest.mark.parametrize(
    ("old", "new", "wanted"),
    [
        ("person tam", 'person tam "Tam"', ("changed", "person", "tam", ":tam>Tam")),
        ("limit weekday  45 min", "limit weekday  1 h",
         ("changed", "limit", "weekday", ":45 min>1 h")),
        ("limit weekday  45 min", "", ("retired", "limit", "weekday", ":45 min>")),
        ("  shelves  8 min  in living", "  shelves  12 min  in living",
         ("changed", "chore", "shelves", "minutes:8 min>12 min")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living, kitchen",
         ("changed", "chore", "shelves", "in:living>kitchen, living")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  by noor then tam",
         ("changed", "chore", "shelves", "by:>noor then tam")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  by each",
         ("changed", "chore", "shelves", "by:>each of noor, tam")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  uses cloth  after vacuum",
         ("changed", "chore", "shelves", "uses:>cloth", "after:>vacuum")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  paused",
         ("changed", "chore", "shelves", "paused:>paused")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  from 2026-12-01",
         ("changed", "chore", "shelves", "from:>2026-12-01")),
        ("  shelves  8 min  in living", '  shelves  8 min  in living  "Dust"',
         ("changed", "chore", "shelves", "title:shelves>Dust")),
        ("  shelves  8 min  in living", "  rack  8 min  in living",
         ("renamed", "chore", "rack")),
        ("every friday", "every tuesday",
         ("moved", "chore", "shelves", "container:every friday>every tuesday")),
        ("every friday", "paused every friday",
         ("changed", "section", "every friday", "paused:>paused")),
        ("every friday", "every friday during may to june within 2 days",
         ("changed", "section", "every friday", "during:>may to june", "within:>2 days")),
        ("area living", "area living\nweekend is friday, saturday",
         ("changed", "setting", "weekend is", ":saturday, sunday>friday, saturday")),
        ("area living", "area living\naway 2026-12-24 to 2026-12-26 by tam",
         ("added", "away", "2026-12-24 to 2026-12-26 by tam", )),
        ("area living", "area living\nday ends 03:00",
         ("changed", "setting", "day ends", ":00:00>03:00")),
    ],
)  # fmt: skip
def test_a_change_is_told_by_its_clauses(old: str, new: str, wanted: tuple[str, ...]) -> None:
    assert told(house(*BASE), edited(old, new)) == [wanted]


def test_chores_added_retired_and_moved_are_told_with_what_they_are() -> None:
    after = house(*BASE[:5], "every monday", "  hob  5 min  in kitchen", "every friday",
                  "  vacuum  12 min  in living  by noor or tam")  # fmt: skip
    assert told(house(*BASE), after) == [
        (
            "moved",
            "chore",
            "vacuum",
            "container:every monday>every friday",
            "minutes:10 min>12 min",
        ),
        ("retired", "chore", "shelves", "container:every friday>", "minutes:8 min>", "in:living>"),
        ("added", "chore", "hob", "container:>every monday", "minutes:>5 min", "in:>kitchen"),
    ]


def test_lines_of_one_chore_are_paired_by_section_before_order() -> None:
    before = house("every monday", "  bins  5 min", "every friday", "  bins  4 min")
    after = house("every friday", "  bins  4 min", "every tuesday", "  bins  5 min")
    assert told(before, after) == [
        ("moved", "chore", "bins", "container:every monday>every tuesday")
    ]


def test_two_chores_alike_are_not_called_renamed() -> None:
    before = house("every monday", "  a  5 min", "  b  5 min")
    after = house("every monday", "  c  5 min")
    assert [one.kind for one in compare(before, after)] == ["retired", "retired", "added"]


def test_record_lines_are_added_retired_or_changed() -> None:
    before = house("every day", "  a  5 min", "  b  5 min", "2026-03-01 did a",
                   "2026-03-02 did a, b 4 min", "2026-03-03 did b", "2026-03-03 did b")  # fmt: skip
    after = house("every day", "  a  5 min", "  b  5 min", "2026-03-02 did b, a 9 min",
                  "2026-03-03 did b", "2026-03-04 skipped a")  # fmt: skip
    assert [tuple(map(str, one)) for one in compare_records(before.log, after.log)] == [
        ("2026-03-01", "retired", "did a", ""),
        ("2026-03-02", "changed", "did a, b 4 min", "did b, a 9 min"),
        ("2026-03-03", "retired", "did b", ""),
        ("2026-03-04", "added", "", "skipped a"),
    ]


# --------------------------------------------------------------------------- the laws


def shuffled(text: str, seed: int) -> str:
    """The same book with its sections, and the lines of each, in another order, unspaced."""
    rng = random.Random(seed)
    blocks: list[list[str]] = []
    for line in text.split("\n"):
        if line[:1].isspace() and line.strip():
            blocks[-1].append("  " + " ".join(line.split()))
        elif line.strip() and not line.startswith("#"):
            blocks.append([line])
    for block in blocks:
        block[1:] = rng.sample(block[1:], len(block) - 1)
    rng.shuffle(blocks)
    return "".join(f"{line}\n" for block in blocks for line in block)


@given(st.integers(0, 10**6))
def test_spacing_comments_and_order_are_no_change(seed: int) -> None:
    assert compare(home(ROUTINE), home(shuffled(ROUTINE, seed))) == ()


def test_formatting_is_no_change() -> None:
    text = shuffled(ROUTINE, 1)
    assert compare(home(text), home(format_tree(Reader().read(Source("x", text))))) == ()


def some_of(picked: list[bool]) -> Household:
    return home("\n\n".join(part for part, is_in in zip(SECTIONS, picked, strict=True) if is_in))


PICKED = st.lists(st.booleans(), min_size=len(SECTIONS), max_size=len(SECTIONS))
MIRRORED = {"added": "retired", "retired": "added"}


def mirrored(change: Change) -> tuple[object, ...]:
    back = change.differences
    return (
        change.what,
        MIRRORED.get(change.kind, change.kind),
        tuple((one.clause, one.after, one.before) for one in back),
    )


@given(PICKED, PICKED)
def test_the_way_back_is_the_mirror_of_the_way_there(one: list[bool], other: list[bool]) -> None:
    there, back = compare(some_of(one), some_of(other)), compare(some_of(other), some_of(one))
    plain = [(change.what, change.kind, change.differences) for change in back]
    assert Counter(map(mirrored, there)) == Counter(
        (what, kind, tuple(tuple(d) for d in differences)) for what, kind, differences in plain
    )
    assert compare(some_of(one), some_of(one)) == ()


@given(PICKED)
def test_minutes_of_the_days_and_of_the_people_are_those_of_the_windows(
    picked: list[bool],
) -> None:
    """Every minute once: a week's days together, and all who do them, give the week."""
    household = some_of(picked)
    found = effect(household, household, day(TODAY))
    days = sum(row.after for row in found.days)
    after_done = sum(
        (r.minutes or 0) * 7 / r.section.cadence.every
        for chore in household.chores.values()
        for r in chore.routines
        if r.section.cadence.kind == "after-done"
    )
    assert sum(row.after for row in found.people) == pytest.approx(found.week.after + after_done)
    assert days <= found.week.after + 1e-6
    assert all(row.before == row.after for row in (*found.days, *found.weekends, *found.people))


# --------------------------------------------------------------------------- the effect


def test_a_move_lightens_one_day_and_loads_another() -> None:
    after = edited("every friday", "every tuesday")
    found = effect(house(*BASE), after, day(TODAY))
    assert {row.name: (round(row.before), round(row.after)) for row in found.days} == {
        "monday": (10, 10), "tuesday": (0, 8), "wednesday": (0, 0), "thursday": (0, 0),
        "friday": (8, 0),
    }  # fmt: skip
    assert found.heaviest_after is not None
    assert (found.heaviest_after.day, found.heaviest_after.minutes) == (date(2026, 11, 30), 10)


def test_minutes_go_to_those_who_are_bound_to_them() -> None:
    book = house("person noor", "person tam", "since 2026-11-25", "every day",
                 "  a  10 min  by noor", "  b  6 min  by noor then tam", "  c  4 min  by each",
                 "  d  2 min  by noor or tam",
                 "14 days after done", "  e  28 min  by tam")  # fmt: skip
    found = {row.name: row.after for row in effect(book, book, day(TODAY)).people}
    assert {name: round(minutes) for name, minutes in found.items()} == {
        "noor": 7 * (10 + 3 + 4), "tam": 7 * (3 + 4) + 14, "anyone": 7 * 2,
    }  # fmt: skip


def test_weekends_are_told_by_their_numbers() -> None:
    book = house("since 2026-01-01", "weekend 1", "  oven  40 min", "every weekend", "  x  10 min")
    found = effect(book, book, day(TODAY)).weekends
    assert [(row.name, row.after) for row in found] == [
        ("weekend 1", 50), *((f"weekend {n}", 10) for n in (2, 3, 4, 5)),
    ]  # fmt: skip


# --------------------------------------------------------------------------- the command


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository with the example in a folder, changed since: the current folder."""
    folder = tmp_path / "our höme" / "flat"
    folder.mkdir(parents=True)
    (folder / "home.chores").write_text(ROUTINE, "utf-8")
    git(folder.parent, "init", "-q", "-b", "main")
    git(folder.parent, "add", "-A")
    git(folder.parent, "commit", "-q", "-m", "Begin")
    text = ROUTINE.replace("every tuesday\n", "every saturday\n")
    text = text.replace("12 min  in kitchen", "15 min  in kitchen")
    text = text.replace("person tam\n", "person tam\nperson kim\n").replace(
        "weekend 4", "paused weekend 4"
    )
    (folder / "home.chores").write_text(text, "utf-8")
    monkeypatch.chdir(folder.parent)
    return folder.parent


def test_the_files_are_compared_with_a_revision_and_a_reviewer_sees_it_at_a_glance(
    repository: Path,
) -> None:
    result = besom("compare", "HEAD", "--on", TODAY)
    assert (result.exit_code, result.stderr) == (1, "")
    assert max(map(width, result.stdout.splitlines())) <= 80
    lines = [line.strip() for line in result.stdout.splitlines()]
    assert lines[0] == "From HEAD to the files as they are"
    for wanted in (
        "added person kim: kim",
        "changed section weekend 4: paused nothing -> paused",
        "moved wipe-basin: every tuesday -> every saturday",
        "changed wash-up: 12 min -> 15 min",
        "changed mop-kitchen: 12 min -> 15 min",
    ):
        assert wanted in lines
    assert any(line.startswith("weekend 4 ") and line.endswith("less") for line in lines)
    assert any("overloaded-day" in line for line in lines)


@pytest.mark.parametrize(
    "words",
    [("HEAD", "HEAD"), ("flat", "flat/home.chores"), ("HEAD", "main"), ("HEAD:flat", "HEAD"),
     ("HEAD:./flat/home.chores", "HEAD:flat")],
)  # fmt: skip
def test_nothing_has_changed_between_names_of_one_version(
    repository: Path, words: tuple[str, str]
) -> None:
    result = besom("compare", *words)
    assert result.exit_code == 0
    assert result.stdout.endswith("\nNothing has changed.\n")
    assert "Nothing has changed." in besom("compare", *words, "--as", "markdown").stdout


@pytest.mark.parametrize(
    "words",
    [("HEAD",), ("HEAD", "flat"), ("HEAD:flat", "flat"), ("main", "."),
     ("HEAD", "flat/home.chores"), ("HEAD:flat/home.chores", "flat/home.chores")],
)  # fmt: skip
def test_a_change_is_the_same_whatever_names_its_sides(
    repository: Path, words: tuple[str, ...]
) -> None:
    known = besom("compare", "HEAD", "--on", TODAY).stdout.splitlines()[1:]
    assert besom("compare", *words, "--on", TODAY).stdout.splitlines()[1:] == known


def test_a_path_wins_over_a_revision_of_its_name(repository: Path) -> None:
    git(repository, "branch", "flat")
    assert besom("compare", "flat").exit_code == 0


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nowhere",), "nowhere: there is no such file or folder, and git knows no such revision"),
        (("HEAD", "HEAD~7"), "HEAD~7: there is no such file or folder"),
        (("HEAD:empty",), "HEAD:empty: holds no book"),
        ((), "Missing argument"),
    ],
)
def test_wrong_call_ends_with_2(repository: Path, words: tuple[str, ...], said: str) -> None:
    result = besom("compare", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in " ".join(result.stderr.split())


def test_markdown_says_the_same_and_is_read_as_lists_and_a_table(repository: Path) -> None:
    text = besom("compare", "HEAD", "--on", TODAY, "--as", "markdown").stdout
    page = MarkdownIt("commonmark").enable("table").render(text)
    assert "<li>moved wipe-basin: every tuesday -&gt; every saturday</li>" in page
    assert re.search("<td[^>]*>weekend 4</td>", page)
    assert page.count("<table>") == 1


def test_many_lines_of_the_record_are_counted() -> None:
    base = ["every day", "  a  5 min"]
    lines = [f"2026-03-{n:02} did a" for n in range(1, 21)]
    answer = comparison(("x", "y"), house(*base), house(*base, *lines), day(TODAY), [], [])
    assert "  added 20 lines, 2026-03-01 to 2026-03-20\n" in compare_text(answer)
    back = compare_text(
        comparison(("x", "y"), house(*base, *lines), house(*base), day(TODAY), [], [])
    )
    assert back.count("retired 2026") == 12
    assert "  and 8 more changed or retired\n" in back


def test_json_names_what_the_change_brings_and_ends(repository: Path) -> None:
    answer = json.loads(besom("compare", "HEAD", "--on", TODAY, "--as", "json").stdout)
    assert {one["rule"] for one in answer["brought"]} >= {"overloaded-day"}
    back = json.loads(besom("compare", "flat", "HEAD", "--on", TODAY, "--as", "json").stdout)
    assert back["ended"] == answer["brought"]
