"""The practice itself: containers a week and a month, as homes run on paper keep them.

Facts of this file are common practice, no source. They hold of any routine of such containers:
how many there are and which, where the weekend lies, how long the chores take.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from books import house
from hypothesis import example, given
from hypothesis import strategies as st

from ledger.cli.days import day_named
from ledger.household.model import Household
from ledger.render.due_text import due_text
from ledger.report.due import Due, due
from ledger.report.task import Task
from ledger.report.week import week
from ledger.text.values import DAYS

CONTAINERS = (
    "every day",
    "every weekday",
    *(f"every {name}" for name in DAYS),
    "every weekend",
    *(f"weekend {number}" for number in range(1, 6)),
)
BEGIN = date(2026, 1, 1)


@dataclass(frozen=True)
class Home:
    """A home with a container a line of its sheet, and some chores in each."""

    containers: dict[str, tuple[int, ...]]
    """Minutes of the chores of each."""
    weekend: tuple[int, ...]
    """Days of the weekend in a row, 0 for Monday."""
    week_start: int

    def chores(self, container: str) -> list[str]:
        """Names of the chores in a container."""
        count = len(self.containers[container])
        return [f"{container.replace(' ', '-')}-{number}" for number in range(count)]

    @cached_property
    def lines(self) -> list[str]:
        """Its book, without a record."""
        lines = [f"since {BEGIN}", f"week starts {DAYS[self.week_start]}"]
        lines.append(f"weekend is {', '.join(DAYS[day] for day in self.weekend)}")
        for container, minutes in self.containers.items():
            lines.append(container)
            for name, one in zip(self.chores(container), minutes, strict=True):
                lines.append(f"    {name}  {one} min")
        return lines

    def read(self, record: dict[date, list[str]]) -> Household:
        """The household of its book, with what was done on which day."""
        done = [f"{day} did {', '.join(names)}" for day, names in record.items() if names]
        return house(*self.lines, *done)

    def window(self, container: str, day: date) -> tuple[date, date] | None:
        """First and last day of the window of a container that holds a day, by the calendar."""
        place = (day.weekday() - self.weekend[0]) % 7
        first = day - timedelta(place)
        last = first + timedelta(len(self.weekend) - 1)
        in_weekend = place < len(self.weekend)
        if container == f"weekend {(first.day + 6) // 7}" or container == "every weekend":
            return (max(first, BEGIN), last) if in_weekend and last >= BEGIN else None
        alone = ("every day", f"every {DAYS[day.weekday()]}", *["every weekday"] * (not in_weekend))
        return (day, day) if container in alone else None

    def out(self, day: date) -> list[str]:
        """The containers of a day."""
        return [one for one in self.containers if self.window(one, day)]


_weekends = st.builds(
    lambda first, length: tuple((first + n) % 7 for n in range(length)),
    st.integers(0, 6),
    st.integers(1, 3),
)
_minutes = st.lists(st.integers(1, 600), min_size=1, max_size=3).map(tuple)


@st.composite
def homes(draw: st.DrawFn, *some: str) -> Home:
    """Homes of one container or more, in any order, some of them given."""
    more = draw(st.lists(st.sampled_from(CONTAINERS), min_size=1, unique=True))
    names = draw(st.permutations(list(dict.fromkeys([*some, *more]))))
    minutes = {name: draw(_minutes) for name in names}
    return Home(minutes, draw(_weekends), draw(st.integers(0, 6)))


days = st.dates(BEGIN + timedelta(40), BEGIN + timedelta(500))
choices = st.integers(0, 2**64 - 1)
"""Which chores are done: those whose bit is set."""

WEEKLY = ("every day", *(f"every {name}" for name in DAYS[:5]), "every weekend")
SHEET = Home(dict.fromkeys((*WEEKLY, *CONTAINERS[-5:]), (5,)), (5, 6), 0)
"""The sheet of twelve containers, tried besides; June 2026 begins on a Monday."""
FRIDAY, SATURDAY, MONDAY = (date(2026, 6, number) for number in (5, 6, 8))


def asked(home: Home, day: date, record: dict[date, list[str]]) -> Due:
    return due(home.read(record), day.toordinal())


def names(*lists: tuple[Task, ...]) -> list[str]:
    return [task.chore for tasks in lists for task in tasks]


def some_of(chores: list[str], choice: int) -> list[str]:
    return [chore for number, chore in enumerate(chores) if choice >> number & 1]


# ------------------------------------------------------------------------------ the evening before


@given(homes(), days, choices)
@example(SHEET, FRIDAY, 0)
@example(SHEET, SATURDAY, 0)
@example(SHEET, SATURDAY, 2**64 - 1)
def test_tomorrows_containers_are_named_the_evening_before(
    home: Home, evening: date, choice: int
) -> None:
    """Whatever was done today: those with a chore that must be done tomorrow, and no others than
    those with one still to do, where the plan chooses tomorrow for it."""
    today = [chore for one in home.out(evening) for chore in home.chores(one)]
    done = some_of(today, choice)
    tomorrow = day_named("tomorrow", evening)
    answer = asked(home, tomorrow, {evening: done})
    left = [
        one
        for one in home.out(tomorrow)
        if home.window(one, tomorrow) != home.window(one, evening)
        or not set(home.chores(one)) <= set(done)
    ]
    spans = {one: home.window(one, tomorrow) for one in left}
    closing = {one for one, span in spans.items() if span is not None and span[1] == tomorrow}
    chosen = {task.container for task in answer.today}
    out = [one for one in left if one in chosen]
    assert list(answer.containers) == out
    assert closing <= chosen <= set(left)
    # What is asked of a day to come has its containers at the top.
    said = due_text(answer._replace(kept_from=evening)).split("\n\n")[0]
    said = " ".join(said.split())
    assert said.partition("Take out: ")[2] == "; ".join(out)


@given(homes(), days)
@example(SHEET, SATURDAY)
@example(SHEET, MONDAY)
def test_day_asks_for_the_chores_of_its_containers_and_all_their_minutes(
    home: Home, day: date
) -> None:
    answer = asked(home, day, {})
    out = home.out(day)
    assert Counter(names(answer.today, answer.may_wait)) == Counter(
        chore for one in out for chore in home.chores(one)
    )
    late = sum(task.total for task in answer.late)
    assert answer.minutes + answer.may_wait_minutes == late + sum(
        sum(home.containers[one]) for one in out
    )


# ----------------------------------------------------------------------------------- the weekend


@given(homes("every weekend"), days, choices)
@example(SHEET, SATURDAY, 0)
@example(SHEET, SATURDAY, 1)
def test_what_a_day_of_the_weekend_leaves_the_next_day_has(
    home: Home, day: date, choice: int
) -> None:
    """What Saturday leaves Sunday has, what it did Sunday has not; the day after, what is left
    is late by one day."""
    first = day + timedelta((home.weekend[0] - day.weekday()) % 7)
    held = [one for one in home.out(first) if one.partition(" ")[0] == "weekend"]
    left = [chore for one in (*held, "every weekend") for chore in home.chores(one)]
    whole = set(left)
    record: dict[date, list[str]] = {}
    for number in range(len(home.weekend)):
        now = first + timedelta(number)
        answer = asked(home, now, record)
        is_last = number == len(home.weekend) - 1
        listed = names(answer.today) if is_last else names(answer.today, answer.may_wait)
        assert sorted(whole & set(listed)) == sorted(left)
        assert whole.isdisjoint(names(answer.late))
        record[now] = some_of(left, choice >> 6 * number)
        left = [chore for chore in left if chore not in record[now]]
    after = asked(home, first + timedelta(len(home.weekend)), record)
    owed = (*after.late, *after.waiting, *(one.task for one in after.let_go))
    late = [task for task in owed if task.chore in whole]
    assert sorted(names(tuple(late))) == sorted(left)
    assert {task.days_late for task in late} <= {1}


@given(homes(*CONTAINERS[-5:]), days)
@example(SHEET, date(2026, 5, 30))
@example(SHEET, SATURDAY)
def test_each_weekend_takes_out_the_container_of_its_number_in_the_month(
    home: Home, day: date
) -> None:
    """So the fifth comes out only in months that have five."""
    first = day + timedelta((home.weekend[0] - day.weekday()) % 7)
    answer = asked(home, first, {})
    held = (task.container for task in (*answer.today, *answer.may_wait))
    numbered = [one for one in dict.fromkeys(held) if one.startswith("weekend ")]
    before = sum((first - timedelta(7 * n)).month == first.month for n in range(1, 5))
    assert numbered == [f"weekend {before + 1}"]


# -------------------------------------------------------------------------------------- the week


@given(homes(), days, choices)
@example(SHEET, MONDAY, 0)
@example(SHEET, MONDAY, 2**64 - 1)
def test_after_a_week_each_container_starts_afresh(home: Home, day: date, choice: int) -> None:
    """Done a week ago or not: on its day each chore is due, and owed once."""
    past = day - timedelta(7)
    done = some_of([chore for one in home.out(past) for chore in home.chores(one)], choice)
    answer = asked(home, day, {past: done})
    wanted = [chore for one in home.out(day) for chore in home.chores(one)]
    assert Counter(names(answer.today, answer.may_wait)) == Counter(wanted)
    assert set(names(answer.late)).isdisjoint(wanted)


@given(homes(), days)
@example(SHEET, MONDAY)
def test_a_new_week_holds_every_chore_once_for_each_of_its_windows(home: Home, day: date) -> None:
    """Those of every day seven times, those of a day once; what closes after it may wait, and what
    closes in it has a day."""
    first = day - timedelta((day.weekday() - home.week_start) % 7)
    answer = week(home.read({}), first.toordinal())
    dates = [first + timedelta(number) for number in range(7)]
    windows = {(one, window) for now in dates for one in home.containers
               if (window := home.window(one, now))}  # fmt: skip
    laid = [(task.chore, now.day) for now in answer.days for task in now.tasks
            if task.state == "due"]  # fmt: skip
    # With a weekend at its beginning, what the last one left may be late in the week.
    waiting = tuple(task for task in answer.may_wait if task.state == "due")
    assert Counter([*(chore for chore, _ in laid), *names(waiting)]) == Counter(
        chore for one, _ in windows for chore in home.chores(one)
    )
    assert all(
        any(start <= now <= end for one, (start, end) in windows if chore in home.chores(one))
        for chore, now in laid
    )
    assert all(task.last > dates[-1] for task in waiting)
