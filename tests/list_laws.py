"""The laws of the list and the record, as functions over whoever answers: simulator or product.

Each law raises Broken with the book and the day. Where a law asks who is there, or which lines a
chore has, the simulator says so.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple, Protocol

from random_homes import Act, RandomHome, Shown, act_on, chores_of, habits_of, iso, stray
from simulated_keeping import PlainBook

RowKey = tuple[str, str | None]
"""A chore, and whose own windows they are, if anyone's."""


class Task(NamedTuple):
    """A line of a day's list."""

    chore: str
    person: str | None
    first: int
    last: int
    late: int
    left: int

    @property
    def row(self) -> RowKey:
        """The row it belongs to."""
        return self.chore, self.person


class Span(NamedTuple):
    """A window as the calendar gives it."""

    first: int
    last: int
    excused: bool


class Became(NamedTuple):
    """What became of a window that is not excused."""

    first: int
    last: int
    opened: int
    """Its first day before any move."""
    kind: str
    """done, late, early, skipped, missed, owed, spare or open."""
    line: int | None
    """Place in the record of the line that settled it."""


class Outcomes(NamedTuple):
    """What became of a row's windows, and the lines that found none."""

    windows: tuple[Became, ...]
    extras: tuple[int, ...]


class Answers(Protocol):
    """Who answers questions about a book."""

    def rows(self, text: str, day: int) -> list[RowKey]:
        """Every chore, and every person under each."""

    def windows(self, text: str, row: RowKey, low: int, high: int) -> list[Span]:
        """The windows of a row that begin in some days, in order; none for `after done`."""

    def listed(self, text: str, day: int) -> list[Task]:
        """The list of a day."""

    def outcomes(self, text: str, day: int) -> dict[RowKey, Outcomes]:
        """What became of every row's windows by a day."""


class Simulated:
    """The simulator's answers."""

    def rows(self, text: str, day: int) -> list[RowKey]:
        book = PlainBook(text, day)
        return [(chore, person) for chore in book.lines for person in book.rows(chore)]

    def windows(self, text: str, row: RowKey, low: int, high: int) -> list[Span]:
        found = PlainBook(text, low).windows(*row, high)
        return [Span(one.first, one.last, one.excused) for one in found if one.first >= low]

    def listed(self, text: str, day: int) -> list[Task]:
        return [Task(*one[:6]) for one in PlainBook(text, day).listed(day)]

    def outcomes(self, text: str, day: int) -> dict[RowKey, Outcomes]:
        book = PlainBook(text, day)
        found = {}
        for chore in book.lines:
            for person, row in book.kept(chore, day)[0].items():
                windows = tuple(Became(*fate[:5]) for fate in row.fates(day))
                found[chore, person] = Outcomes(windows, tuple(row.extras))
        return found


class Broken(AssertionError):
    """A law that does not hold, with the book and the day."""

    def __init__(self, law: str, text: str, day: int, about: object) -> None:
        super().__init__(f"{law} on {iso(day)}: {about}\n{text}")
        self.law, self.text, self.day = law, text, day


def hold(true: bool, law: str, text: str, day: int, about: object) -> None:
    """Raise Broken unless a law holds."""
    if not true:
        raise Broken(law, text, day, about)


# ------------------------------------------------------------------------ a history, day by day


class History:
    """Someone lives in a home by a list; after every line the laws of that line are looked at."""

    def __init__(self, answers: Answers, home: RandomHome, seed: int) -> None:
        self.answers, self.home = answers, home
        self.chance = random.Random(seed)
        self.habits = habits_of(self.chance)
        self.record: list[str] = []
        self.lists: dict[int, list[Task]] = {}
        """The list of each day, at its end."""
        self.settled: dict[RowKey, int] = {}
        """The day on which each row was done or skipped last, as its list showed."""
        self.moved: dict[RowKey, int] = {}
        """The day to which what was listed of each row is moved."""
        self.missed: set[tuple[RowKey, int]] = set()
        self.taken: dict[tuple[RowKey, int], Became] = {}
        """What each line of the record settled."""
        self.seen: set[tuple[RowKey, int]] = set()
        """What was ever listed, by first day."""

    @property
    def text(self) -> str:
        """The book by now."""
        return self.home.text(self.record)

    def live(self, days: int) -> None:
        """Live so many days, then look at what holds of the whole."""
        for day in range(self.home.first, self.home.first + days):
            self._day(day)
        self._past_stays()

    def _day(self, day: int) -> None:
        tasks = self.answers.listed(self.text, day)
        self._list_is_sound(day, tasks)
        self._moved_is_back(day, tasks)
        for task in tasks:
            act = act_on(self.chance, self.habits, day, Shown(*task.row))
            if act is not None:
                self._write(act, task)
        shown = {task.chore for task in tasks}
        others = [Shown(name, None) for name in chores_of(self.home) if name not in shown]
        act = stray(self.chance, self.habits, day, others)
        if act is not None:
            self._write(act, None)
        self.lists[day] = self.answers.listed(self.text, day)
        self.seen |= {(task.row, task.first) for task in [*tasks, *self.lists[day]]}
        self._settled_stays(day)

    def _write(self, act: Act, task: Task | None) -> None:
        before = self.answers.listed(self.text, act.day)
        if task is not None and task.row not in {one.row for one in before}:
            return
        self.record.append(act.text())
        after = self.answers.listed(self.text, act.day)
        touched = [
            one
            for one in before
            if one.chore == act.chore
            and (one.person == act.person or act.verb in ("skipped", "moved"))
        ]
        self._others_stay(act, before, after, touched)
        rows = [{one.row for one in tasks} for tasks in (before, after)]
        law = "what is written adds nothing to the list"
        hold(rows[1] <= rows[0], law, self.text, act.day, rows)
        for row in list(self.moved):
            if row[0] == act.chore:
                del self.moved[row]
        outcomes = self.answers.outcomes(self.text, act.day)
        for one in touched:
            self._listed_is_taken(act, one, after, outcomes[one.row])

    # ------------------------------------------------------------------ laws of a day

    def _list_is_sound(self, day: int, tasks: Sequence[Task]) -> None:
        """Nothing is listed twice, nor when nobody is asked, nor again before a window opens."""
        twice = [row for row, n in Counter(task.row for task in tasks).items() if n > 1]
        hold(not twice, "nothing is listed twice", self.text, day, twice)
        book = PlainBook(self.text, day)
        for task in tasks:
            there = any(
                book.home.someone_there(line, task.person, day)
                for line in book.home.lines_of(*task.row)
            )
            hold(there, "nothing is listed that nobody is there to do", self.text, day, task)
            spare = {line.spare for line in book.home.lines_of(*task.row)}
            # Where only some lines are spare, one cannot tell which of them is listed.
            late = {day > task.last and not one for one in spare}
            opens = task.first <= day and (task.late > 0) in late
            hold(opens, "a task is listed in its window or late", self.text, day, task)
            done = self.settled.get(task.row, 0)
            hold(task.first > done, "what is settled does not come back", self.text, day, task)
            to = self.moved.get(task.row, 0)
            hold(to <= day or task.first > day, "moved, it waits for its day", self.text, day, task)

    def _moved_is_back(self, day: int, tasks: Sequence[Task]) -> None:
        """What was moved to a day is listed on it, if someone is there."""
        book = PlainBook(self.text, day)
        for row, to in list(self.moved.items()):
            if to == day:
                there = all(
                    book.home.someone_there(line, row[1], day) for line in book.home.lines_of(*row)
                )
                listed = any(task.row == row and task.first == day for task in tasks)
                law = "moved, it is listed on its day"
                hold(listed or not there, law, self.text, day, row)
                del self.moved[row]

    def _others_stay(
        self, act: Act, before: Sequence[Task], after: Sequence[Task], touched: Sequence[Task]
    ) -> None:
        """A line changes nothing of what it does not name."""
        rows = {task.row for task in touched}
        others = [[one for one in tasks if one.row not in rows] for tasks in (before, after)]
        law = "a line changes only what it names"
        hold(others[0] == others[1], law, self.text, act.day, others)

    def _listed_is_taken(
        self, act: Act, task: Task, after: Sequence[Task], outcomes: Outcomes
    ) -> None:
        """What is done, skipped, moved or worked on is what the list shows."""
        line, day, text = len(self.record) - 1, act.day, self.text
        now = [one for one in after if one.row == task.row]
        if act.verb == "worked":
            left = task._replace(left=max(0, task.left - (act.minutes or 0)))
            hold(now == [left], "what is worked on is what the list shows", text, day, now)
        elif act.verb == "moved":
            if line in outcomes.extras:
                hold(now == [task], "a move that cannot be changes nothing", text, day, now)
            else:
                hold(not now, "moved, it leaves the list", text, day, now)
                self.moved[task.row] = act.to or 0
        else:
            took = [one for one in outcomes.windows if one.line == line]
            same = [(one.first, one.last) for one in took] == [(task.first, task.last)]
            hold(same, "what is done or skipped is what the list shows", text, day, (task, took))
            hold(line not in outcomes.extras, "what is listed is no extra", text, day, task)
            hold(not now, "done or skipped, it leaves the list", text, day, now)
            self.settled[task.row] = day

    def _settled_stays(self, day: int) -> None:
        """What is settled or missed stays so, and what is missed was listed once."""
        for row, outcomes in self.answers.outcomes(self.text, day).items():
            owed = [one for one in outcomes.windows if one.kind == "owed"]
            hold(len(owed) < 2, "one window is owed at most", self.text, day, owed)
            for one in outcomes.windows:
                key, about = (row, one.opened), (row, one)
                again = key in self.missed and one.kind in ("owed", "open")
                hold(not again, "a missed window is not owed again", self.text, day, about)
                if one.kind == "missed":
                    self.missed.add(key)
                    # One that was moved to where nobody is there may never have been.
                    seen = one.first != one.opened or (row, one.first) in self.seen
                    seen = seen or one.first < self.home.first
                    hold(seen, "what is missed was listed once", self.text, day, about)
            self._taken_stays(day, row, outcomes)

    def _taken_stays(self, day: int, row: RowKey, outcomes: Outcomes) -> None:
        """What a line settled, no later line changes."""
        now = {(row, one.line): one for one in outcomes.windows if one.line is not None}
        before = {key: one for key, one in self.taken.items() if key[0] == row}
        lost = [one for key, one in before.items() if now.get(key) != one]
        hold(not lost, "what a line settled stays settled", self.text, day, (row, lost))
        self.taken |= now

    def _past_stays(self) -> None:
        """What a past day's list was never changes when later lines are added."""
        for day in self.chance.sample(sorted(self.lists), min(6, len(self.lists))):
            now = self.answers.listed(self.text, day)
            hold(now == self.lists[day], "the past stays", self.text, day, (now, self.lists[day]))


def live_by_the_laws(answers: Answers, home: RandomHome, seed: int, days: int = 35) -> list[str]:
    """The record of someone who lives by the list; raises Broken where a law does not hold."""
    history = History(answers, home, seed)
    history.live(days)
    return history.record
