"""Laws of whole books: windows apart, lines counted once, and someone who is late but in time."""

from __future__ import annotations

import random
from collections import Counter
from itertools import pairwise

from list_laws import Answers, RowKey, Task, hold
from random_homes import Act, RandomHome
from simulated_keeping import PlainBook


def windows_are_apart(answers: Answers, home: RandomHome, days: int = 120) -> None:
    """Windows of a chore never overlap."""
    text = home.text()
    for row in answers.rows(text, home.first):
        found = answers.windows(text, row, home.first - 60, home.first + days)
        for one, following in pairwise(found):
            apart = one.first <= one.last < following.first
            hold(apart, "windows are apart", text, one.first, (row, one, following))


def each_line_counts_once(text: str, day: int) -> None:
    """Every line is taken once by each row it speaks of, and every minute is counted once."""
    book = PlainBook(text, day)
    for chore in book.lines:
        rows, taken = book.kept(chore, day)
        twice = [one for one, n in Counter(one[:3] for one in taken).items() if n > 1]
        hold(not twice, "a line is taken once", text, day, twice)
        for person, row in rows.items():
            lines = [one.line for one in taken if one.person == person]
            fates = row.fates(day)
            used = [fate.line for fate in fates if fate.line is not None]
            used += [line for fate in fates for line, _ in fate.worked] + row.extras
            hold(len(used) == len(set(used)), "a minute counts once", text, day, (chore, used))
            lost = [
                line for line in set(lines) - set(used)
                if book.record[line].entry.verb in ("did", "skipped")
            ]  # fmt: skip
            hold(not lost, "no line is lost", text, day, (chore, lost))


class Late:
    """Someone who does each listed chore late, but before the next of it comes."""

    def __init__(self, answers: Answers, home: RandomHome, seed: int) -> None:
        self.answers, self.home, self.chance = answers, home, random.Random(seed)
        self.record: list[str] = []
        self.plans: dict[tuple[RowKey, int], int] = {}

    def live(self, days: int) -> None:
        """Live so many days; there is no miss and no extra."""
        for day in range(self.home.first, self.home.first + days):
            for task in self.answers.listed(self.home.text(self.record), day):
                key = task.row, task.first
                if key not in self.plans:
                    self.plans[key] = self._day_for(task, day)
                if self.plans[key] <= day:
                    person = task.person
                    self.record.append(Act(day, "did", task.chore, person).text())
        self._nothing_is_lost(self.home.first + days - 1)

    def _day_for(self, task: Task, day: int) -> int:
        """One of the days on which a task will be listed if nothing more is done about it."""
        text, days = self.home.text(self.record), [day]
        for later in range(day + 1, day + 22):
            of_row = [one for one in self.answers.listed(text, later) if one.row == task.row]
            if of_row and of_row[0].first != task.first:
                break
            days += [later] if of_row else []
        return self.chance.choice([days[-1], self.chance.choice(days)])

    def _nothing_is_lost(self, day: int) -> None:
        text = self.home.text(self.record)
        for row, outcomes in self.answers.outcomes(text, day).items():
            law = "done late, but before the next, nothing is an extra"
            hold(not outcomes.extras, law, text, day, (row, outcomes.extras))
            missed = [
                one for one in outcomes.windows
                if one.kind == "missed" and one.opened >= self.home.first and one.last <= day
            ]  # fmt: skip
            law = "done late, but before the next, nothing is missed"
            hold(not missed, law, text, day, (row, missed))


def late_is_never_missed(answers: Answers, home: RandomHome, seed: int, days: int = 30) -> None:
    """Someone who does each chore late, but before the next comes, has no miss and no extra."""
    Late(answers, home, seed).live(days)


def any_days_settle_all_parts(answers: Answers, seed: int) -> None:
    """`N times every week`, done on any N days of the period, settles all its parts."""
    chance = random.Random(seed)
    n, unit = chance.choice((1, 1, 1, 2)), chance.choice(("week", "month"))
    times = chance.randint(2, 5)
    every = f"{n} {unit}s" if n > 1 else unit
    header = f"{times} times every {every} from 2026-01-01"
    home = RandomHome(("since 2026-01-01", header, "    x"), 0)
    first = PlainBook(home.text(), 0).start
    parts = PlainBook(home.text(), 0).windows("x", None, first + 120)
    periods = sorted({one.period for one in parts if one.period and one.period[0] >= first})
    low, high = chance.choice(periods[:2])
    days = sorted(chance.sample(range(low, high + 1), times))
    record = [Act(day, "did", "x").text() for day in days]
    outcomes = answers.outcomes(home.text(record), high)["x", None]
    inside = [one for one in outcomes.windows if low <= one.opened <= high]
    settled = all(one.line is not None for one in inside) and not outcomes.extras
    law = "done on any days, all parts are settled"
    hold(settled, law, home.text(record), high, outcomes.extras)
