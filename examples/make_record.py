"""Make the demo record of 12 Quarry Lane: what was done from 2026-01-01 to 2026-11-22.

Usage: python make_record.py [PATH]; without PATH the record is printed.

Reads the routine in quarry-lane/home.chores and makes up the life of a household that keeps
to it a little better each month: most chores in time, some late, early, moved or skipped, a few
done twice or begun a day before, nothing during a trip, only what is vital in bed with the flu.
The seed is fixed, so one routine gives one record, and a new chore leaves the others as they were.
"""

import random
import sys
from collections.abc import Iterator
from datetime import date
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

from ledger.calendar.day_set import DaySet
from ledger.calendar.presence import there
from ledger.calendar.windows import Timeline
from ledger.household.model import Chore, Household, Routine
from ledger.text.source import Source
from ledger.workspace import read_sources

BOOK = Path(__file__).parent / "quarry-lane" / "home.chores"
SEED = 157
START, END = date(2026, 1, 1).toordinal(), date(2026, 11, 22).toordinal()
PACE = {"noor": 0.95, "tam": 1.0, "edie": 1.1}
SLOWING, SLOW_FROM = "scrub-bath", date(2026, 9, 1).toordinal()  # from then on, half as long again
LONG = 60  # minutes of a job that is begun the day before
NOTES = {
    "own-room": ["found the library book", "a friend helped"],
    "wash-up": ["friends to supper", "pans left to soak", "baking day"],
}
REASONS = {
    "bins": ["road closed, no collection"],
    "lunch-boxes": ["school trip, lunch from school"],
    "mow": ["rain all week", "dry spell, grass short"],
}
ANY_REASON = ["visitors", "late home", "work ran over", "all of us tired", "out for the day"]
AGAIN = ["again, after the party", "second time, muddy boots", "again, visitors tomorrow"]


class Fact(NamedTuple):
    """One thing that happened, before what belongs together shares a line."""

    day: int
    part: int  # of the day: 0 the morning, 1 in between, 2 the evening
    verb: str
    who: tuple[str, ...]
    note: str
    what: str
    minutes: int = 0


def rate(day: int) -> float:
    """How likely a chore is done in time: 70 % in January, 92 % from September on."""
    return 0.70 + 0.22 * min(1.0, (day - START) / 243)


class Life:
    """The household's year: one chore after the other fills it with facts."""

    def __init__(self, household: Household) -> None:
        self.household = household
        self.facts: list[Fact] = []
        for chore in household.chores.values():
            self.rng = random.Random(f"{SEED} {chore.name}")
            if chore.is_after_done:
                self.live_from_done(chore.name, chore.routines[0])
            elif chore.routines[0].assignment.form == "each":
                self.live_each(chore)
            else:
                self.live(chore)

    def able(self, line: Routine, day: int) -> list[str]:
        """Who is there to do a line on a day that the record covers."""
        people = line.assignment.people or ("noor", "tam")
        sets = {who: there(self.household, who, line.vital) for who in people}
        return [who for who, days in sets.items() if day <= END and days.holds(day)]

    def live(self, chore: Chore) -> None:
        """Go through the year with one chore."""
        timeline = Timeline(self.household, chore)
        windows = timeline.asked_between(START, END + 60)
        for turn, (first, last, line, _) in enumerate(windows):
            before = windows[turn - 1].last if turn else START - 1
            after = windows[turn + 1].first if turn + 1 < len(windows) else last + 31
            asked = timeline.line_of(line).asked

            def free(day: int, line: Routine = line, asked: DaySet = asked) -> bool:
                return asked.holds(day) and bool(self.able(line, day))

            inside = [day for day in range(first, min(last, END) + 1) if free(day)]
            if inside and self.rng.random() < (0.4 if line.spare else rate(first)):
                day = inside[int(len(inside) * self.rng.random() ** 1.5)]
                early = before < first - 1 and free(first - 1)
                if early and self.rng.random() < 0.07:
                    day = first - 1
                self.did(chore.name, line, turn, day)
                if (line.minutes or 0) >= 4 and not early and self.rng.random() < 0.02:
                    self.did(chore.name, line, turn, day, self.rng.choice(AGAIN))
            elif inside and not line.spare:
                latest = min(last + (after - last) // 2, last + 8) if not line.expires else last
                later = [day for day in range(last + 1, latest + 1) if self.able(line, day)]
                self.fail(chore.name, line, turn, inside[-1], later)

    def live_from_done(self, name: str, line: Routine) -> None:
        """Go through the year with a chore that is counted from the last time."""
        day, turn = START, 0
        while day <= END:
            if self.able(line, day) and self.rng.random() < rate(day):
                self.did(name, line, turn, day)
                day, turn = day + line.section.cadence.every - 1, turn + 1
            day += 1

    def live_each(self, chore: Chore) -> None:
        """Go through the year with what each does for themselves, often written down in one go."""
        line = chore.routines[0]
        lines = [Timeline(self.household, chore, who) for who in line.assignment.people]
        windows = {window[:2] for one in lines for window in one.asked_between(START, END)}
        for first, last in sorted(windows):
            day = self.rng.randint(first, min(last, END))
            who = [name for name in self.able(line, day) if self.rng.random() < rate(day)]
            together = len(who) == len(self.household.people) and self.rng.random() < 0.5
            for names in [()] if together else [(name,) for name in who]:
                self.add(chore.name, line, day, names)

    def fail(self, name: str, line: Routine, turn: int, day: int, later: list[int]) -> None:
        """Make up what became of a chore not done in time: skipped, moved, late or missed."""
        fate, reason = self.rng.random(), self.rng.choice(REASONS.get(name, ANY_REASON))
        if fate < 0.14:
            self.facts.append(Fact(day, 1, "skipped", (), reason, name))
        elif later and fate < 0.75:
            to = self.rng.choice(later)
            if fate < 0.3:
                new = date.fromordinal(to).isoformat()
                self.facts.append(Fact(day, 1, f"moved {name} to", (), reason, new))
            self.did(name, line, turn, to)

    def did(self, name: str, line: Routine, turn: int, day: int, note: str = "") -> None:
        """Add a chore done by whom it is given to; turns are kept, nearly always."""
        able = self.able(line, day)
        who: tuple[str, ...] = (self.rng.choice(able),)
        minutes = line.minutes or 0
        if line.assignment.form == "then" and self.rng.random() < 0.92:
            who = (able[turn % len(able)],)
        elif line.assignment.form == "together" or (minutes >= 15 and self.rng.random() < 0.12):
            who = tuple(able)
        if not note and self.rng.random() < 0.08:
            note = self.rng.choice(NOTES.get(name, [""]))
        self.add(name, line, day, who, note)

    def add(self, name: str, line: Routine, day: int, who: tuple[str, ...], note: str = "") -> None:
        """Add a chore done, and make up its minutes, which two together shorten a little."""
        planned = line.minutes or 0
        usual = planned * (PACE[who[0]] if len(who) == 1 else 0.8 if who else 1.0)
        usual *= 1.5 if name == SLOWING and day >= SLOW_FROM else 1.0
        minutes = max(1, round(self.rng.gauss(usual, 0.14 * usual)))
        if planned >= LONG:
            self.facts.append(Fact(day - 1, 1, "worked", who, "first coat", name, minutes // 2))
            minutes -= minutes // 2
        title = line.section.title or ""
        part = 0 if "Morning" in title else 2 if "Evening" in title else 1
        self.facts.append(Fact(day, part, "did", who, note, name, minutes))

    def lines(self) -> Iterator[str]:
        """Write the facts as people do: what one of them did at one time shares a line."""
        self.facts.sort(key=lambda fact: fact[:5])
        for on, of_day in groupby(self.facts, lambda fact: fact.day):
            rng = random.Random(f"{SEED} {on}")
            for (_, _, verb, who, note), group in groupby(of_day, lambda fact: fact[:5]):
                facts, timed = list(group), rng.random() < 0.62
                items = [fact.what for fact in facts]
                for at, fact in enumerate(facts):
                    is_timed = fact.what == SLOWING or timed == (rng.random() < 0.9)
                    if verb == "worked" or (fact.minutes and is_timed):
                        took = f"{fact.minutes // 60} h {fact.minutes % 60} min"
                        items[at] += " " + took.removeprefix("0 h ").removesuffix(" 0 min")
                by, why = f" by {', '.join(who)}" if who else "", f' "{note}"' if note else ""
                yield f"{date.fromordinal(on)} {verb} {', '.join(items)}{by}{why}"


def main() -> None:
    """Write the record to the path given, or print it."""
    book = Source(BOOK.name, BOOK.read_text("utf-8"))
    record = "".join(f"{line}\n" for line in Life(read_sources([book]).household).lines())
    if len(sys.argv) > 1:
        Path(sys.argv[1]).write_text(record, "utf-8")
    else:
        sys.stdout.write(record)


if __name__ == "__main__":
    main()
