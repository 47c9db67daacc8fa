"""Compare: what changed by meaning, what it does to the week, and how a call names versions."""

from __future__ import annotations

import json
import random
import re
from collections import Counter
from collections.abc import Hashable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
import strategies as some
from books import day, house, read
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from markdown_it import MarkdownIt
from repositories import git, stand_alone
from test_cli import EXAMPLE, ROOT, besom

from ledger.household.model import Household
from ledger.keeping.history import timelines
from ledger.render.compare_markdown import compare_markdown
from ledger.render.compare_text import compare_text
from ledger.render.compare_words import change_lines, finding_lines
from ledger.text.formatter import format_tree
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import STEP
from ledger.text.width import width
from ledger.versions.compare import Change, compare
from ledger.versions.comparison import ComparedFinding, Version, comparison
from ledger.versions.effect import effect
from ledger.versions.record_changes import RecordChange, compare_records
from ledger.versions.sections import paired
from ledger.workspace import read_sources

TODAY = "2026-11-25"
BASE = some.BASE
ROUTINE = (ROOT / EXAMPLE / "home.chores").read_text("utf-8")


def home(text: str) -> Household:
    return read_sources([Source("home.chores", text)]).household


def version(*texts: str) -> Version:
    """A version of a book, by the texts of its files."""
    read = read_sources(Source(f"{n}.chores", text) for n, text in enumerate(texts))
    return Version("a book", read.household, read.trees)


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


HOUSE = (
    "person noor", "person tam", "area kitchen", "area living", "limit weekday  45 min",
    "every monday", "  vacuum  10 min  in living  by noor or tam",
    "every friday", "  shelves  8 min  in living",
)  # fmt: skip


def edited(old: str, new: str) -> Household:
    assert old in HOUSE
    return house(*(new if line == old else line for line in HOUSE if line != old or new))


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
         ("changed", "chore", "shelves", "by:>each")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  uses cloth  after vacuum",
         ("changed", "chore", "shelves", "uses:>cloth", "after:>vacuum")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  paused",
         ("changed", "chore", "shelves", "paused:>paused")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  from 2026-12-01",
         ("changed", "chore", "shelves", "from:>2026-12-01")),
        ("  shelves  8 min  in living", '  shelves  8 min  in living  "Dust"',
         ("changed", "chore", "shelves", "title:>Dust")),
        ("  shelves  8 min  in living", "  rack  8 min  in living",
         ("renamed", "chore", "rack")),
        ("every friday", "every tuesday",
         ("moved", "chore", "shelves", "container:every friday>every tuesday")),
        ("every friday", "every friday paused",
         ("changed", "section", "every friday", "paused:>paused")),
        ("every friday", "every friday during may to june within 2 days",
         ("changed", "section", "every friday", "during:>may to june", "within:>2 days")),
        ("area living", "area living\nweekend is friday, saturday",
         ("changed", "setting", "weekend is", ":saturday, sunday>friday, saturday")),
        ("area living", "area living\naway 2026-12-24 to 2026-12-26 by tam",
         ("added", "away", "2026-12-24 to 2026-12-26 by tam", )),
        ("area living", "area living\nday ends 03:00",
         ("changed", "setting", "day ends", ":00:00>03:00")),
        ("area living", 'area living\nrest 2026-12-24, 2026-12-27 by tam, noor "Flu"',
         ("added", "rest", "2026-12-24, 2026-12-27 by noor, tam", ":>Flu")),
        ("area living", "area living\naway from 2026-12-24",
         ("added", "away", "from 2026-12-24")),
        ("area living", 'area living\ndays school 2026-12-01 to 2026-12-18 "School days"',
         ("added", "days", "school", ":>2026-12-01 to 2026-12-18", "title:>School days")),
        ("area living", "area living\ndays dads every 2 weeks on friday within 3 days "
         "from 2026-09-04", ("added", "days", "dads",
         ":>every 2 weeks on friday within 3 days from 2026-09-04")),
        ("area living", "area living\nlimit noor saturday  2 h",
         ("added", "limit", "noor saturday", ":>2 h")),
        ("every friday", "every friday vital expires",
         ("changed", "section", "every friday", "vital:>vital", "expires:>expires")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  spare  except may, friday",
         ("changed", "chore", "shelves", "except:>friday, may", "spare:>spare")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  by each of tam, noor",
         ("changed", "chore", "shelves", "by:>each of noor, tam")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living  by tam and noor",
         ("changed", "chore", "shelves", "by:>noor and tam")),
        ("  shelves  8 min  in living", "  shelves  8 min  in living\n    - Dust\n    - Shut",
         ("changed", "chore", "shelves", 'step:>"Dust", "Shut"')),
    ],
)  # fmt: skip
def test_a_change_is_told_by_its_clauses(old: str, new: str, wanted: tuple[str, ...]) -> None:
    assert told(house(*HOUSE), edited(old, new)) == [wanted]


SCHOOL = (
    "person ann", "person ben", "person cat",
    "days school  2026-09-01 to 2026-10-20, 2026-11-01 to 2026-12-18",
    "days dads  every friday", "days dads  every 2 weeks from 2026-09-07 within 3 days",
    "away dads, school by ann, ben", "rest 2026-11-20, 2026-11-22",
    "weekend 1, last", "  a  5 min  in kitchen, hall  by ann or ben  except school, monday",
    "every month on 1, friday, last during may, school, weekend",
    "  b  5 min  by each of ann, ben  uses soap, water",
)  # fmt: skip
REORDERED = {
    "2026-09-01 to 2026-10-20, 2026-11-01": "2026-11-01 to 2026-12-18, 2026-09-01 to 2026-10-20, "
    "2026-12-02",
    "dads, school by ann, ben": "school, dads by ben, ann",
    "2026-11-20, 2026-11-22": "2026-11-22, 2026-11-20",
    "weekend 1, last": "weekend last, 1",
    "ann or ben  except school, monday": "ben or ann  except mon, school",
    "on 1, friday, last during may, school, weekend": "on last, 1, fri during weekend, school, may",
    "each of ann, ben  uses soap, water": "each of ben, ann  uses water, soap",
}


def test_order_of_lists_is_no_change() -> None:
    lines = ["area kitchen", "area hall", *SCHOOL]
    for old, new in REORDERED.items():
        changed = "\n".join(lines).replace(old, new)
        assert changed != "\n".join(lines)
        assert compare(house(*lines), house(changed)) == ()
    swapped = [*lines[:6], lines[7], lines[6], *lines[8:]]
    assert compare(house(*lines), house(*swapped)) == ()


def test_headers_that_say_the_same_in_another_order_are_one_container() -> None:
    both = home(
        "every month on 1, friday except may, june\n  a\n"
        "every month on friday, 1 except jun, may\n  b\n"
        "weekend 1, last\n  c\nweekend last, 1\n  d\n"
    )
    assert len(set(both.sections)) == 2
    assert paired(both.sections[::2], both.sections[1::2]) == dict(
        zip(both.sections[::2], both.sections[1::2], strict=True)
    )


@pytest.mark.parametrize(
    ("before", "after", "wanted"),
    [
        (["a", "b", "c"], ["a", "x", "c"], ('"b"', '"x"')),
        (["a", "b"], ["a", "new", "b"], ("", '"new"')),
        (["a", "b"], ["a"], ('"b"', "")),
        (["a", "a", "a"], ["a", "a"], ('"a"', "")),
        (["a", "b", "c"], ["a", "c", "b"], ('"b", "c"', '"c", "b"')),
        (["x # y, z", 'a "b"'], ['a "b"'], ('"x # y, z"', "")),
    ],
)
def test_steps_are_told_without_those_that_stayed(
    before: list[str], after: list[str], wanted: tuple[str, str]
) -> None:
    books = [
        house("every day", "  walk  5 min", *(f"    - {step}" for step in steps))
        for steps in (before, after)
    ]
    (change,) = compare(*books)
    assert change.differences == (("step", *wanted),)


def test_steps_of_a_chore_of_several_lines_are_told_once() -> None:
    before = house("every monday", "  bins  5 min", "    - Lid", "every friday", "  bins  5 min")
    after = house("every monday", "  bins  5 min", "every friday", "  bins  5 min", "    - Lid")
    assert compare(before, after) == ()
    gone = house("every monday", "  bins  3 min", "every friday", "  bins  4 min")
    assert [one.differences for one in compare(before, gone)] == [
        (("step", '"Lid"', ""),),
        (("minutes", "5 min", "3 min"),),
        (("minutes", "5 min", "4 min"),),
    ]


def test_what_a_chore_has_from_its_section_is_told_of_the_section() -> None:
    before = house("every day vital during may", "  a  5 min  except friday")
    after = house("every day expires during june", "  a  5 min  vital  except friday")
    assert told(before, after) == [
        ("changed", "section", "every day", "during:may>june", "vital:vital>", "expires:>expires"),
        ("changed", "chore", "a", "vital:>vital"),
    ]


def test_days_that_touch_or_overlap_are_one_span_and_lines_of_a_name_add_up() -> None:
    before = house("days x 2026-05-01 to 2026-05-09", "days x 2026-05-12")
    after = house("days x 2026-05-12, 2026-05-05 to 2026-05-09, 2026-05-01 to 2026-05-06")
    assert compare(before, after) == ()
    open_ended = house("days x from 2026-05-01")
    assert told(before, open_ended) == [
        ("changed", "days", "x", ":2026-05-01 to 2026-05-09, 2026-05-12>from 2026-05-01")
    ]


def test_chores_added_retired_and_moved_are_told_with_what_they_are() -> None:
    after = house(*HOUSE[:5], "every monday", "  hob  5 min  in kitchen", "every friday",
                  "  vacuum  12 min  in living  by noor or tam")  # fmt: skip
    assert told(house(*HOUSE), after) == [
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


def test_a_chore_of_another_name_is_one_where_the_rest_is_alike() -> None:
    before = house("person noor", "every day", '  a  5 min  "Tidy"')
    after = house("person noor", "every day", "  b  5 min  by noor")
    assert told(before, after) == [
        ("renamed", "chore", "b"),
        ("changed", "chore", "b", "by:>noor", "title:Tidy>"),
    ]


def test_two_chores_alike_are_not_called_renamed() -> None:
    before = house("every monday", "  a  5 min", "  b  5 min")
    after = house("every monday", "  c  5 min")
    assert [one.kind for one in compare(before, after)] == ["retired", "retired", "added"]


def test_title_of_a_chore_of_several_lines_is_told_once() -> None:
    before = house("every monday", "  bins  5 min", "every friday", "  bins  5 min")
    after = house("every monday", '  bins  4 min  "Kerb"', "every friday", "  bins  3 min")
    assert [(one.container, *one.differences) for one in compare(before, after)] == [
        ("", ("title", "", "Kerb")),
        ("every monday", ("minutes", "5 min", "4 min")),
        ("every friday", ("minutes", "5 min", "3 min")),
    ]


def test_title_of_a_new_chore_of_several_lines_comes_with_it() -> None:
    after = house("every monday", '  bins  4 min  "Kerb"', "every friday", "  bins  3 min")
    assert list(change_lines(compare(home(""), after))) == [
        'added bins: title "Kerb"',
        "added bins: every monday; 4 min",
        "added bins: every friday; 3 min",
    ]


def tins(**headers: str) -> Household:
    """A book of one container a chore: `a="every day"`."""
    return house(*(line for chore, head in headers.items() for line in (head, f"  {chore}  5 min")))


@pytest.mark.parametrize(
    ("before", "after", "wanted"),
    [
        ({"a": 'every day "Tin"'}, {"a": 'every weekday "Tin"'},
         ("changed", "Tin", "", "cadence:every day>every weekday")),
        ({"a": 'every day "Tin"'}, {"a": 'every day "Jar"'}, ("renamed", "Jar", "Tin")),
        ({"a": 'every day "Tin"'}, {"a": "every day until 2027-01-31"},
         ("renamed", "every day", "Tin", "until:>2027-01-31")),
        ({"a": "every week during may to june", "b": "every week"},
         {"b": "every week", "a": "every week during may to july"},
         ("changed", "every week during may to july", "every week during may to june",
          "during:may to june>may to july")),
        ({"a": "every day paused", "b": "every day within 2 days"},
         {"a": "every day", "b": "every day within 2 days"},
         ("changed", "every day", "every day paused", "paused:paused>")),
    ],
)  # fmt: skip
def test_a_container_keeps_its_chores_when_its_header_changes(
    before: dict[str, str], after: dict[str, str], wanted: tuple[str, ...]
) -> None:
    assert [
        (
            one.kind,
            one.name,
            one.was,
            *(f"{d.clause}:{d.before}>{d.after}" for d in one.differences),
        )
        for one in compare(tins(**before), tins(**after))
    ] == [wanted]


def test_chores_have_moved_where_nothing_says_which_container_became_which() -> None:
    before = tins(a='every monday "Tin"', b='every monday "Jar"')
    after = tins(a='every monday "Box"', b='every monday "Pot"')
    assert told(before, after) == [
        ("moved", "chore", "a", "container:Tin>Box"),
        ("moved", "chore", "b", "container:Jar>Pot"),
    ]


def test_containers_of_one_title_are_told_apart() -> None:
    before = tins(a='every day "Tin"', b='every friday "Tin"')
    after = house('every day "Tin"', "  a  5 min", "  b  5 min")
    assert told(before, after) == [("moved", "chore", "b", "container:Tin every friday>Tin")]


def records(before: list[str], after: list[str], **renamed: str) -> list[tuple[str, ...]]:
    """The changes from one record to another, as texts."""
    old, new = ([read("".join(f"{line}\n" for line in lines))] for lines in (before, after))
    return [tuple(map(str, one)) for one in compare_records(old, new, renamed)]


def test_record_lines_are_added_retired_or_changed() -> None:
    assert records(
        [
            "2026-03-01 did a",
            "2026-03-02 did a, b 4 min",
            "2026-03-03 did b",
            "2026-03-03 did b",
            "2026-03-05 worked a 5 min",
        ],
        [
            "2026-03-02 did b, a 9 min",
            "2026-03-03 did b",
            "2026-03-04 skipped a",
            "2026-03-05 worked a 9 min by noor",
        ],
    ) == [
        ("2026-03-01", "retired", "did a", ""),
        ("2026-03-02", "changed", "did a, b 4 min", "did a 9 min, b"),
        ("2026-03-03", "retired", "did b", ""),
        ("2026-03-04", "added", "", "skipped a"),
        ("2026-03-05", "changed", "worked a 5 min", "worked a 9 min by noor"),
    ]


def test_spacing_order_and_comments_of_the_record_are_no_change() -> None:
    assert not records(
        ["2026-03-02 did a, b 4 min by noor, tam", "2026-03-01 did a  # late"],
        ["2026-03-01 did a", "2026-03-02   did b 4 min,a  by tam, noor   # both"],
    )


def test_a_chore_of_another_name_is_no_change_to_the_record_that_follows_it() -> None:
    before = ["2026-03-01 did a, b", "2026-03-02 did a", "2026-03-03 did a"]
    assert records(before, ["2026-03-01 did c, b", "2026-03-02 did c"], a="c") == [
        ("2026-03-03", "retired", "did a", "")
    ]
    assert not records(before, before, a="c")


def test_a_retired_chore_takes_no_line_out_of_the_record(tmp_path: Path) -> None:
    text = "every day\n    a  5 min\n    b  5 min\n2026-03-01 did a, b\n2026-03-02 did b\n"
    for name, said in (("old", text), ("new", text.replace("    b  5 min\n", ""))):
        (tmp_path / f"{name}.chores").write_text(said, "utf-8")
    books = [str(tmp_path / f"{name}.chores") for name in ("old", "new")]
    answer = json.loads(besom("compare", *books, "--on", "2026-03-03", "--as", "json").stdout)
    assert [(one["kind"], one["name"]) for one in answer["changes"]] == [("retired", "b")]
    assert answer["record"] == []
    said = besom("compare", *books, "--on", "2026-03-03").stdout
    assert said.count('"b" is no chore of this household') == 1
    assert "[unknown-name], and 1 line more" in " ".join(said.split())


# --------------------------------------------------------------------------- the laws


def shuffled(text: str, seed: int) -> str:
    """The same book with its sections, and the chores of each, in another order, unspaced; steps
    stay below their chores."""
    rng = random.Random(seed)
    blocks: list[list[list[str]]] = []
    for line in text.split("\n"):
        said = line.strip(" \t")
        if said.startswith(STEP):
            blocks[-1][-1].append(f"   {said}")
        elif line[:1].isspace() and said:
            blocks[-1].append(["  " + " ".join(line.split())])
        elif said and not said.startswith("#"):
            blocks.append([[line]])
    for block in blocks:
        block[1:] = rng.sample(block[1:], len(block) - 1)
    rng.shuffle(blocks)
    return "".join(f"{line}\n" for block in blocks for lines in block for line in lines)


@settings(max_examples=25)
@given(st.integers(0, 10**6))
def test_spacing_comments_and_order_are_no_change(seed: int) -> None:
    assert compare(home(ROUTINE), home(shuffled(ROUTINE, seed))) == ()


@settings(max_examples=60)
@given(some.small_books(), st.integers(0, 10**6))
def test_order_and_files_of_any_book_are_no_change(book: some.SmallBook, seed: int) -> None:
    routine = shuffled(book._replace(record=[]).text(), seed)
    record = shuffled("\n".join(book.record), seed)
    whole, apart = version(book.text()), version(record, routine)
    chores = whole.household.chores.values()
    # Of several lines with steps, the first in the book counts.
    assume(all(len({line.steps for line in one.routines} - {()}) < 2 for one in chores))
    assert comparison(whole, whole, BASE, [], []).is_empty
    assert comparison(whole, apart, BASE, [], []).is_empty


def test_sections_of_one_chore_may_change_places() -> None:
    early = ["every day until 2026-06-30", "  a  5 min"]
    late = ["every day from 2026-07-01", "  a  8 min"]
    assert not compare(house(*early, *late), house(*late, *early))


def test_formatting_is_no_change() -> None:
    text = shuffled(ROUTINE, 1)
    assert compare(home(text), home(format_tree(Reader().read(Source("x", text))))) == ()


MIRRORED = {"added": "retired", "retired": "added"}


def facts(change: Change | RecordChange, *, mirrored: bool = False) -> Hashable:
    """What a change says, or what it says of the way back."""
    kind = MIRRORED.get(change.kind, change.kind) if mirrored else change.kind
    step = -1 if mirrored else 1
    if isinstance(change, RecordChange):
        return change.day, kind, (change.before, change.after)[::step]
    names = (change.name, change.was or change.name)[::step]
    said = ((one.clause, (one.before, one.after)[::step]) for one in change.differences)
    return change.what, names, kind, tuple(said)


@settings(max_examples=40)
@given(some.small_books(), some.small_books())
def test_the_way_back_is_the_mirror_of_the_way_there(
    one: some.SmallBook, other: some.SmallBook
) -> None:
    old, new = version(one.text()), version(other.text())
    there, back = comparison(old, new, BASE, [], []), comparison(new, old, BASE, [], [])
    for way, other_way in ((there.changes, back.changes), (there.record, back.record)):
        assert Counter(map(facts, way)) == Counter(
            facts(change, mirrored=True) for change in other_way
        )
    assert {(row.name, row.before, row.after) for row in there.effect.people} == {
        (row.name, row.after, row.before) for row in back.effect.people
    }


@settings(max_examples=40)
@given(some.small_books())
def test_each_minute_falls_on_one_day_and_to_one_person(book: some.SmallBook) -> None:
    household = home(book.text()).on(BASE)
    found = effect(household, household, BASE)
    assert sum(row.after for row in found.people) == pytest.approx(found.week.after)
    calendar = replace(household, chores={
        name: chore for name, chore in household.chores.items()
        if all(one.section.cadence.kind != "after-done" for one in chore.routines)
    })  # fmt: skip
    windows = [
        (window, timeline.line_of(window.routine).asked)
        for chore in calendar.chores.values()
        for timeline in timelines(calendar, chore)
        for window in timeline.between(BASE, BASE + 365)
        if not window.excused
    ]
    by_day = 0.0
    for one, asked in windows:
        days = [day for day in range(one.first, one.last + 1) if asked.holds(day)]
        people = one.routine.assignment.people
        together = len(people) if one.routine.assignment.form == "together" else 1
        inside = sum(BASE <= day <= BASE + 365 for day in days)
        by_day += together * (one.routine.minutes or 0) * inside / len(days)
    assert effect(calendar, calendar, BASE).week.after * 366 / 7 == pytest.approx(by_day)


# --------------------------------------------------------------------------- the effect


def test_a_move_lightens_one_day_and_loads_another() -> None:
    after = edited("every friday", "every tuesday")
    found = effect(house(*HOUSE), after, day(TODAY))
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


def test_who_does_it_together_each_work_all_its_minutes() -> None:
    book = house("person noor", "person tam", "since 2026-11-25", "every day",
                 "  a  10 min  by noor and tam", "  b  6 min  by each of noor")  # fmt: skip
    found = effect(book, book, day(TODAY))
    assert {row.name: round(row.after) for row in found.people} == {
        "noor": 7 * 16, "tam": 7 * 10, "anyone": 0,
    }  # fmt: skip
    assert round(found.week.after) == 7 * 26


def test_minutes_fall_on_the_days_on_which_they_are_asked() -> None:
    book = house("days tea  every tuesday", "since 2026-11-25", "every week except tea, wednesday",
                 "  a  10 min", "2 times every week spare", "  b  7 min", "every friday",
                 "  c  9 min  during monday")  # fmt: skip
    found = effect(book, book, day(TODAY))
    shares = {row.name: round(row.after, 1) for row in found.days}
    # The week in parts of four days and of three.
    assert shares == {
        "monday": 3.8, "tuesday": 1.8, "wednesday": 1.8, "thursday": 3.8, "friday": 4.3,
    }  # fmt: skip


def test_a_line_counted_from_its_last_doing_asks_for_its_season_and_from_its_first_day() -> None:
    """Half of the days of May, June and July; and of 366 days the calendar has the first 100."""
    book = house("since 2026-11-25", "2 days after done during may to july", "  a  10 min")
    assert effect(book, book, day(TODAY)).week.after == pytest.approx(5 * 92 * 7 / 366)
    until = house("since 2026-11-25", "2 days after done", "  a  10 min  until 2026-12-04")
    assert effect(until, until, day(TODAY)).week.after == pytest.approx(5 * 10 * 7 / 366)
    book = house("since 2026-11-25", "5 days after done", "  a  10 min  from 2027-03-05")
    assert effect(book, book, day(TODAY)).week.after == pytest.approx(2 * 266 * 7 / 366)


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
    stand_alone(monkeypatch, tmp_path)
    folder = tmp_path / "our höme" / "flat"
    folder.mkdir(parents=True)
    (folder / "home.chores").write_text(ROUTINE, "utf-8")
    git(folder.parent, "init", "-q", "-b", "main")
    git(folder.parent, "add", "-A")
    git(folder.parent, "commit", "-q", "-m", "Begin")
    text = ROUTINE.replace("every tuesday\n", "every saturday\n")
    text = text.replace("12 min  in kitchen", "15 min  in kitchen")
    text = text.replace("person tam\n", "person tam\nperson kim\n").replace(
        "weekend 4", "weekend 4 paused"
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
        "added person kim",
        "changed section weekend 4: paused",
        "moved wipe-basin: every tuesday -> every saturday",
        "changed wash-up (Evening tin): 12 min -> 15 min",
        "changed mop-kitchen (every weekend): 12 min -> 15 min",
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
    assert besom("compare", "flat", "flat").exit_code == 0


def test_a_revision_beside_a_path_is_one_of_the_repository_of_the_path(
    repository: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    form = ("--on", TODAY, "--as", "json")
    known = json.loads(besom("compare", "HEAD", *form).stdout)["changes"]
    monkeypatch.chdir(tmp_path)
    assert besom("compare", "HEAD").exit_code == 2
    for old, new in (("HEAD", "flat"), ("HEAD:flat", "flat"), ("HEAD", "flat/home.chores")):
        said = besom("compare", old, str(repository / new), *form)
        assert json.loads(said.stdout)["changes"] == known != []


def test_a_revision_may_be_named_by_its_message(repository: Path) -> None:
    git(repository, "commit", "-aqm", "Mend: the basin")
    said = besom("compare", "HEAD~1", "HEAD^{/Mend: the}", "--on", TODAY)
    assert (said.exit_code, said.stderr) == (1, "")
    assert "moved wipe-basin: every tuesday -> every saturday" in said.stdout


def test_formatting_is_nothing_to_tell_of(repository: Path) -> None:
    """Nor that the file has left the formatter's shape, its lines' order and its line ends."""
    book = repository / "flat" / "home.chores"
    record = "2026-11-02 did wash-up\n2026-10-01 did wash-up\n"
    book.write_text(book.read_text("utf-8") + record, "utf-8")
    git(repository, "commit", "-aqm", "Record")
    text = book.read_text("utf-8").replace(record, "") + "".join(
        f"{line}\r\n" for line in reversed(record.splitlines())
    )
    book.write_bytes(text.replace("    make-beds", "  make-beds").encode())
    said = besom("compare", "HEAD", "--on", TODAY)
    assert (said.exit_code, said.stdout) == (
        0,
        "From HEAD to the files as they are\n\nNothing has changed.\n",
    )


def test_a_person_who_comes_is_told_once_and_not_at_what_each_does() -> None:
    before = house("person noor", "every day", "  a  5 min  by each")
    after = house("person noor", "person kim", "every day", "  a  5 min  by each")
    assert told(before, after) == [("added", "person", "kim", ":>kim")]
    assert [round(row.after) for row in effect(before, after, day(TODAY)).people] == [35, 35, 0]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nowhere",), "nowhere: there is no such file or folder, and git knows no such revision"),
        (("HEAD", "HEAD~7"), "HEAD~7: there is no such file or folder"),
        (("HEAD:empty",), "HEAD:empty: holds no book"),
        (("flat",), "flat: is one version; name the other, such as `besom compare HEAD flat`"),
        ((), "`besom compare` needs OLD, the older version"),
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


@pytest.mark.parametrize(
    ("before", "after", "wanted"),
    [
        ("area hall", 'area hall "Hall and stairs"',
         'changed area hall: "hall" -> "Hall and stairs"'),
        ("", 'away 2026-12-24 "At sea"', 'added away 2026-12-24: "At sea"'),
        ("limit monday  1 h", "", "taken out limit monday: 1 h"),
        ("", "since 2026-01-01", "changed since: now 2026-01-01"),
        ("every day paused\n  a", "every day\n  a", "changed section every day: resumed"),
        ("every day\n  a  paused", "every day\n  a", "changed a (every day): resumed"),
        ("every day\n  a", "every day\n  a  paused", "changed a (every day): paused"),
        ('every day\n  a  "Tidy"', "every day\n  a", 'changed a: no longer title "Tidy"'),
        ("every day\n  a", 'every day\n  a\nevery week\n  b  1 h  "Dig"',
         'added b: every week; 1 h; title "Dig"'),
        ("every day\n  a", "every day\n  a  uses soap, water",
         "changed a (every day): now uses soap, water"),
        ("every day\n  a\n  b", "every day\n  c\n  b", "renamed c, which was a"),
        ("every day\n  a", "every day\n  a  expires  vital",
         "changed a (every day): now vital; now expires"),
        ("every day spare\n  a", "every day\n  a", "changed section every day: no longer spare"),
        ("every week\n  a", "2 times every week\n  a",
         "moved a: every week -> 2 times every week"),
        ("every day\n  a\n    - x\n    - y", "every day\n  a\n    - x\n    - z\n    - y",
         'changed a: now step "z"'),
        ("", 'rest from 2026-05-01 "Baby"', 'added rest from 2026-05-01: "Baby"'),
        ("days x 2026-05-01", "days x 2026-05-02", "changed days x: 2026-05-01 -> 2026-05-02"),
    ],
)  # fmt: skip
def test_a_change_reads_as_a_person_would_say_it(before: str, after: str, wanted: str) -> None:
    assert list(change_lines(compare(home(before + "\n"), home(after + "\n")))) == [wanted]


def test_a_change_of_the_record_shows_the_line_as_it_was_and_is() -> None:
    old, new = (version(f"every day\n  a\n2026-03-01 did a {n} min\n") for n in (5, 7))
    answer = comparison(old, new, BASE, [], [])
    assert "  changed 2026-03-01 did a 5 min -> did a 7 min\n" in compare_text(answer)
    assert "Minutes" not in compare_text(answer) + compare_markdown(answer)


def test_findings_that_say_the_same_are_told_once_and_many_are_counted() -> None:
    def found(line: int, message: str) -> ComparedFinding:
        return ComparedFinding("unknown-name", "error", "home.chores", line, message)

    said = list(finding_lines([found(3, "x"), found(4, "y"), found(7, "x"), found(9, "x")]))
    assert said == [
        "home.chores:3 error: x [unknown-name], and 2 lines more",
        "home.chores:4 error: y [unknown-name]",
    ]
    many = list(finding_lines([found(n, str(n)) for n in range(20)]))
    assert len(many) == 13
    assert many[-1] == "and 8 more; `besom lint` tells them all"


def test_many_lines_of_the_record_are_counted() -> None:
    base = "every day\n  a  5 min\n"
    lines = "".join(f"2026-03-{n:02} did a\n" for n in range(1, 21))
    old, new = version(base), version(base + lines)
    said = compare_text(comparison(old, new, day(TODAY), [], []))
    assert "  added 20 lines, 2026-03-01 to 2026-03-20\n" in said
    back = compare_text(comparison(new, old, day(TODAY), [], []))
    assert back.count("taken out 2026") == 12
    assert "  and 8 more changed or taken out\n" in back


def test_json_names_what_the_change_brings_and_ends(repository: Path) -> None:
    answer = json.loads(besom("compare", "HEAD", "--on", TODAY, "--as", "json").stdout)
    assert {one["rule"] for one in answer["brought"]} >= {"overloaded-day"}
    back = json.loads(besom("compare", "flat", "HEAD", "--on", TODAY, "--as", "json").stdout)
    assert back["ended"] == answer["brought"]
