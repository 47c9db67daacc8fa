"""Quick ways to what the plain way finds: lines that meet, that are one, sections renamed."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest
from types import SimpleNamespace
from typing import Any, cast

from books import iso, read
from hypothesis import given
from hypothesis import strategies as st

from ledger.lint.rules.after_circle import _circle, _without_ends
from ledger.planning.choices import _Asking, _Places
from ledger.report.task import Task, in_order
from ledger.text.source import Source
from ledger.versions.compare import compare
from ledger.versions.renamed import known_as_before
from ledger.versions.units import FileVersion, versions
from ledger.workspace import read_sources

FIRST = 738_000
ANY: Any = None
LINES = st.lists(
    st.tuples(st.sampled_from(["day", "week", "month"]), st.integers(1, 3)), max_size=6
)


def of_lines(lines: Sequence[tuple[str, int]]) -> str:
    return "".join(
        f'every {unit} "{number}"\n    x {minutes} min\n'
        for number, (unit, minutes) in enumerate(lines)
    )


@given(LINES, LINES)
def test_lines_of_a_chore_are_paired_as_by_looking_at_each(
    before: list[tuple[str, int]], after: list[tuple[str, int]]
) -> None:
    # Each section has a title of its own, so that a line is known by its number and its minutes.
    old, new = (
        read_sources([Source("home.chores", of_lines(lines))]).household
        for lines in (before, after)
    )
    left, right = list(enumerate(before)), list(enumerate(after))
    pairs = []
    for number, (_, minutes) in list(right):
        same = [one for one in left if one[0] == number and one[1][1] == minutes]
        pairs += [(one[1][1], minutes) for one in same]
        left = [one for one in left if one not in same]
        right = [one for one in right if not same or one[0] != number]
    for number, (_, minutes) in list(right):
        same = [one for one in left if one[0] == number]
        pairs += [(one[1][1], minutes) for one in same]
        left = [one for one in left if one not in same]
        right = [one for one in right if not same or one[0] != number]
    pairs += [
        (one[1][1] if one else 0, other[1][1] if other else 0)
        for one, other in zip_longest(left, right)
    ]
    told = [
        tuple(int(said.split()[0]) if said else 0 for said in (difference.before, difference.after))
        for change in compare(old, new)
        if change.what == "chore"
        for difference in change.differences
        if difference.clause == "minutes"
    ]
    assert sorted(told) == sorted(pair for pair in pairs if pair[0] != pair[1])


BELOW = st.lists(st.sets(st.sampled_from("abcd"), min_size=1), max_size=5)


def of_sections(sections: Sequence[set[str]], title: str) -> str:
    return "".join(
        f'every day "{title} {number}"\n' + "".join(f"    {name}\n" for name in sorted(names))
        for number, names in enumerate(sections)
    )


def headers(version: FileVersion) -> list[str]:
    return [str(key) for key in version.below if key[0] == "section"]


@given(BELOW, BELOW)
def test_section_is_the_first_old_one_of_which_it_holds_half(
    before: list[set[str]], after: list[set[str]]
) -> None:
    trees = [read(of_sections(before, "old")), read(of_sections(after, "new"))]
    base, side = versions(trees, [(), ()])
    names = {header: header for header in headers(side)}
    gone = dict(zip(headers(base), before, strict=True))
    for header, chores in zip(headers(side), after, strict=True):
        old = next((one for one in gone if 2 * len(gone[one] & chores) >= len(gone[one])), None)
        if old is not None:
            names[header] = old
            del gone[old]
    assert headers(known_as_before(base, side)) == list(names.values())


AFTER = st.lists(st.sets(st.integers(0, 6)), max_size=7)


@given(AFTER)
def test_circles_are_found_as_by_walking_from_each_chore(after: list[set[int]]) -> None:
    names = [f"x-{number}" for number in range(len(after))]
    steps = {
        name: {names[other]: ANY for other in sorted(others) if other < len(names)}
        for name, others in zip(names, after, strict=True)
    }
    steps = {name: others for name, others in steps.items() if others}
    less = _without_ends(steps)
    assert all(_circle(less, name) == _circle(steps, name) for name in names)


@given(AFTER)
def test_tasks_stand_in_their_order_as_by_placing_what_is_earlier_first(
    after: list[set[int]],
) -> None:
    names = [f"x-{number}" for number in range(len(after))]
    tasks = [
        cast(Task, SimpleNamespace(chore=name, after=tuple(f"x-{one}" for one in sorted(others))))
        for name, others in zip(names, after, strict=True)
    ]
    placed: list[str] = []

    def place(name: str, waiting: tuple[str, ...]) -> None:
        if name in names and name not in (*placed, *waiting):
            for task in tasks:
                for other in task.after if task.chore == name else ():
                    place(other, (*waiting, name))
            placed.append(name)

    for name in names:
        place(name, ())
    assert [task.chore for task in in_order(tasks)] == placed


def test_chores_can_come_after_each_other_as_often_as_a_book_can_say() -> None:
    names = [f"x-{number}" for number in range(3000)]
    after = zip(names, [*names[1:], names[0]], strict=True)
    lines = [cast(Task, SimpleNamespace(chore=name, after=(other,))) for name, other in after]
    assert [task.chore for task in in_order(lines)] == names[::-1]


HEADERS = ["every day", "every monday", "every tuesday", "every week", "every weekend", "weekend 1"]


@given(st.lists(st.sampled_from(HEADERS), min_size=1, max_size=5))
def test_lines_that_must_stay_have_no_choice_where_no_two_fall_on_one_day(
    headers: list[str],
) -> None:
    lines = (
        text for n, header in enumerate(headers) for text in (f'{header} "t{n}"', "    x 9 min")
    )
    sources = [Source("home.chores", "\n".join((f"since {iso(FIRST)}", *lines, "")))]
    household = read_sources(sources).household
    days = range(FIRST, FIRST + 366)
    asking = _Asking(household, days, [])
    chore = household.chores["x"]
    free = asking.free_lines(chore)
    for choice in _Places(household).of(chore, days):
        if free is not None and id(choice.routine) not in free:
            assert asking.of_choice(choice) == []


def test_many_lines_on_one_day_are_told_to_stay_at_the_first_that_tells() -> None:
    text = "".join(f'every monday "t{n}"\n    x 9 min\n' for n in range(50))
    household = read_sources([Source("home.chores", text)]).household.on(FIRST)
    asking = _Asking(household, range(FIRST, FIRST + 366), [])
    assert asking.free_lines(household.chores["x"]) == set()
