"""Random homes to plan eight weeks for: chores with a choice of days among those with one day,
people, limits, days away and of rest, orders, dangers, and a record that leaves things late.

One seed makes one book, without a fault.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from books import iso
from random_homes import FIRST

from ledger.text.values import DAYS

PEOPLE = ("ana", "ben", "cleo", "dan")
AREAS = ("kitchen", "bath", "hall")
CHORES = (
    "vacuum", "mop", "dust", "sheets", "oven", "bins", "fridge", "sink", "shower", "windows",
    "plants", "lamp",
)  # fmt: skip
MEETINGS = (("bleach", "vinegar"), ("bleach", "ammonia"), ("lye", "vinegar"))
"""Things that must never meet."""
MINUTES = (5, 10, 15, 15, 20, 25, 30, 40, 45, 60)
MONTH_DAYS = ("1", "15", "last", "first saturday")
BEFORE = 35
"""Days that the book is kept before the first day of the plan."""
WEEKS = 8


class PlannedHome(NamedTuple):
    """A book, and the days to plan."""

    lines: tuple[str, ...]
    first: int
    last: int


class _Maker:
    """Draws one home."""

    def __init__(self, chance: random.Random) -> None:
        self.chance = chance
        self.first = FIRST + 60 + chance.randrange(300)
        self.last = self.first + 7 * WEEKS - 1
        self.people = chance.sample(PEOPLE, chance.choice((1, 2, 2, 3, 4)))
        self.chores = chance.sample(CHORES, chance.randint(5, 12))
        self.meeting = chance.choice(MEETINGS)

    def may(self, share: float) -> bool:
        return self.chance.random() < share

    def day(self, low: int = 0, high: int = 7 * WEEKS) -> str:
        return iso(self.first + self.chance.randint(low, high))

    def declarations(self) -> Iterator[str]:
        yield f"since {iso(self.first - BEFORE)}"
        yield from (f"person {name}" for name in self.people)
        yield from (f"area {name}" for name in AREAS)
        if self.may(0.5):
            yield f"days guests {self.span(0, 3)}"
        yield from self.limits()
        for keyword, most in (("away", 9), ("rest", 5)):
            for _ in range(self.chance.choice((0, 1, 1, 2))):
                whose = f" by {self.chance.choice(self.people)}" if self.may(0.75) else ""
                yield f"{keyword} {self.span(1, most)}{whose}"

    def span(self, least: int, most: int) -> str:
        """Some days in a row, more often soon than late."""
        first = self.first + min(self.chance.randint(-4, 50), self.chance.randint(-4, 50))
        return f"{iso(first)} to {iso(first + self.chance.randint(least, most))}"

    def limits(self) -> Iterator[str]:
        """Limits of kinds of day and of people."""
        # From days that hold too little whatever is done to days that all fits in.
        steps = range(15, 100, 15)
        base = self.chance.choice((20, 45, 60, 60, 90, 90, 120, 150))
        if self.may(0.9):
            yield f"limit weekday {base} min"
        for kind in ("weekend", self.chance.choice(DAYS)):
            if self.may(0.5):
                yield f"limit {kind} {base + self.chance.choice((-15, 0, 15, 30, 60))} min"
        for name in self.people:
            if self.may(0.5):
                yield f"limit {name} {self.chance.choice((10, 20, 30, 45, 60, 90))} min"
                if self.may(0.3):
                    yield f"limit {name} {self.chance.choice(DAYS)} {self.chance.choice(steps)} min"

    def header(self) -> str:
        """A section; those with a choice of days are the most."""
        chance = self.chance
        days = ", ".join(chance.sample(DAYS, chance.choice((1, 1, 2))))
        start = iso(self.first - chance.randint(0, 30))
        few, some, date = (
            chance.choice((4, 10)),
            chance.choice((2, 3, 4)),
            chance.choice(MONTH_DAYS),
        )
        again, most = chance.choice((5, 10, 20)), chance.choice((1, 3))
        kinds = [
            ("every day", 2),
            (f"every {days}", 3),
            ("every week", 6),
            (f"every week except {chance.choice(DAYS)}", 1),
            ("every weekend", 3),
            (f"every 2 weeks from {start}", 4),
            ("2 times every week", 2),
            (f"every {few} days within {some} days from {start}", 2),
            ("every month", 3),
            (f"every month on {date} within 5 days", 1),
            (f"weekend {chance.choice((1, 2, 3))}", 2),
            (f"{again} days after done within {most} days", 1),
            (f"once from {self.day(-5, 10)} to {self.day(14, 50)}", 1),
        ]
        text: str = chance.choices([kind for kind, _ in kinds], [weight for _, weight in kinds])[0]
        return text + (f' "{chance.choice(("Blue", "Red"))} tin"' if self.may(0.2) else "")

    def who(self) -> str:
        """Who does a chore."""
        forms = [
            "",
            f"by {self.chance.choice(self.people)}",
            f"by {self.chance.choice(self.people)}",
        ]
        if len(self.people) > 1:
            some = self.chance.sample(self.people, 2)
            forms += [f"by {f' {word} '.join(some)}" for word in ("and", "or", "then", "then")]
            forms += [f"by each of {', '.join(some)}"]
        return self.chance.choice(forms)

    def chore(self, place: int) -> str:
        """A line. A chore comes after earlier ones only, so that none goes in a circle."""
        words = [self.chores[place], f"{self.chance.choice(MINUTES)} min"]
        words += [f"in {self.chance.choice(AREAS)}"] if self.may(0.7) else []
        words += [self.who()]
        words += [f"uses {self.chance.choice(self.meeting)}"] if self.may(0.35) else []
        if place and self.may(0.35):
            words.append(f"after {self.chance.choice(self.chores[:place])}")
        words += [self.chance.choice(("vital", "spare"))] if self.may(0.2) else []
        words += ["expires"] if self.may(0.12) else []
        return "    " + " ".join(filter(None, words))

    def sections(self) -> Iterator[str]:
        """The chores, each in one section."""
        headers = [self.header() for _ in range(self.chance.randint(3, 9))]
        where = {name: self.chance.choice(headers) for name in self.chores}
        for header in dict.fromkeys(headers):
            inside = [place for place, name in enumerate(self.chores) if where[name] == header]
            if inside:
                yield header
                yield from (self.chore(place) for place in inside)

    def record(self) -> Iterator[str]:
        """What was done before the plan's first day, up to a lapse of some days or weeks."""
        kept, lapse = self.chance.choice((0.15, 0.3, 0.5)), self.chance.choice((1, 4, 10, 20))
        for day in range(self.first - BEFORE, self.first - lapse):
            done = [name for name in self.chores if self.may(kept * 0.4)]
            yield from (f"{iso(day)} did {name}" for name in done)
        if self.may(0.4):
            day, name = self.first - 1, self.chance.choice(self.chores)
            yield f"{iso(day)} worked {name} 5 min"
        if self.may(0.3):
            day, name = self.first - 1, self.chance.choice(self.chores)
            yield f"{iso(day)} moved {name} to {iso(self.first + self.chance.randint(1, 9))}"

    def home(self) -> PlannedHome:
        lines: Sequence[str] = [*self.declarations(), *self.sections(), *self.record()]
        return PlannedHome(tuple(lines), self.first, self.last)


def random_planned_home(seed: int) -> PlannedHome:
    """The home of a seed."""
    return _Maker(random.Random(seed)).home()
