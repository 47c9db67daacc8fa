"""Random homes over all that a routine may say, and a person who lives by a list, day by day.

One seed makes one home and one history, in plain Python, so that many thousands are quick.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from datetime import date
from typing import NamedTuple

from ledger.text.values import DAYS, MONTHS

PEOPLE = ("ana", "ben", "cleo")
CHORES = ("dishes", "bins", "sheets", "oven", "lamp")
NAMED = ("school", "guests")
AFTER_DONE = "fridge"
FIRST = date(2026, 1, 1).toordinal()
REACH = 60
"""How far from its first day the dates of a home lie."""


class RandomHome(NamedTuple):
    """A routine, and the day from which someone lives by it."""

    routine: tuple[str, ...]
    first: int

    def text(self, record: Sequence[str] = ()) -> str:
        """The whole book."""
        return "\n".join([*self.routine, *record, ""])


def iso(day: int) -> str:
    """The date of an ordinal, as a book writes it."""
    return date.fromordinal(day).isoformat()


class _Maker:
    """Draws one home."""

    def __init__(self, chance: random.Random) -> None:
        self.chance = chance
        self.first = FIRST + chance.randrange(365)
        self.people = chance.sample(PEOPLE, chance.choice((0, 1, 2, 2, 3)))
        self.named = chance.sample(NAMED, chance.choice((0, 0, 1, 1, 2)))

    def may(self, share: float) -> bool:
        return self.chance.random() < share

    def some(self, words: Sequence[str], most: int = 3) -> list[str]:
        """A few of the words, at least one, in any order."""
        return self.chance.sample(words, self.chance.randint(1, min(most, len(words))))

    def near(self, low: int = -10, high: int = REACH) -> int:
        return self.first + self.chance.randint(low, high)

    def months(self) -> list[str]:
        """Months about the first day more often than others."""
        month = date.fromordinal(self.first).month
        return [MONTHS[(month - 1 + step) % 12] for step in (0, 0, 1, 1, 2, 5)]

    # ------------------------------------------------------------------ days

    def spans(self) -> str:
        """Days with dates: single, spans, or an open one."""
        if self.may(0.08):
            return f"from {iso(self.near())}"
        found = []
        for _ in range(self.chance.choice((1, 1, 2))):
            first, length = self.near(-5, 45), self.chance.choice((0, 0, 1, 2, 4, 9, 15))
            found.append(iso(first) + (f" to {iso(first + length)}" if length else ""))
        return ", ".join(found)

    def item(self) -> str:
        """An item of a list behind `during` or `except`."""
        kinds = ["day", "day", "weekday", "weekend", "month", "months"]
        kinds += ["named"] * 3 if self.named else []
        match self.chance.choice(kinds):
            case "day":
                return self.chance.choice(DAYS)
            case "weekday":
                return "weekday"
            case "weekend":
                return "weekend"
            case "month":
                return self.chance.choice(self.months())
            case "months":
                first, last = self.chance.sample(MONTHS, 2)
                return f"{first} to {last}"
        return self.chance.choice(self.named)

    def items(self) -> str:
        """A list of days, none twice."""
        return ", ".join(dict.fromkeys(self.item() for _ in range(self.chance.choice((1, 1, 2)))))

    def day_lists(self, share: float) -> list[str]:
        """`during` and `except`, now and then."""
        words = [f"during {self.items()}"] if self.may(share / 2) else []
        return words + ([f"except {self.items()}"] if self.may(share) else [])

    # ------------------------------------------------------------------ cadences

    def calendar_cadence(self) -> tuple[str, bool]:
        """A cadence that the calendar decides, and whether it needs a `from`."""
        chance, n = self.chance, self.chance.choice((2, 2, 3))
        month_days = ", ".join(self.some(["1", "15", "last", "first saturday", "last friday"], 2))
        days = ", ".join(self.some(DAYS))
        weekends = ", ".join(self.some(["1", "2", "3", "4", "5", "last"], 2))
        kinds: list[tuple[str, bool, int]] = [
            ("every day", False, 6),
            (f"every {chance.choice((2, 3, 5))} days", True, 4),
            ("every weekday", False, 3),
            ("every weekend", False, 4),
            (f"weekend {weekends}", False, 2),
            (f"every {days}", False, 5),
            ("every week", False, 5),
            (f"every {n} weeks", True, 3),
            (f"every {n} weeks on {days}", True, 2),
            ("every month", False, 2),
            (f"every month on {month_days}", False, 2),
            (f"every {n} months", True, 1),
            (f"every {', '.join(dict.fromkeys(self.some(self.months())))}", False, 1),
        ]
        text, needs, _ = chance.choices(kinds, [weight for *_, weight in kinds])[0]
        return text, needs

    def cadence(self) -> tuple[str, bool]:
        """Any cadence but `after done`, and whether it needs a `from`."""
        chance = self.chance
        if self.may(0.2):
            times = chance.choice((2, 2, 3))
            unit, needs = chance.choice(
                [("week", False), ("week", False), ("2 weeks", True), ("month", False),
                 (chance.choice(self.months()), False)]
            )  # fmt: skip
            return f"{times} times every {unit}", needs
        if self.may(0.06):
            first = self.near(-3, 30)
            return f"once from {iso(first)} to {iso(first + chance.choice((0, 1, 5, 20)))}", False
        return self.calendar_cadence()

    def dates(self, needs_from: bool) -> list[str]:
        """`within`, `from` and `until`, now and then."""
        words = [f"within {self.chance.choice((1, 2, 3, 5, 9))} days"] if self.may(0.15) else []
        words += [f"from {iso(self.near(-20, 20))}"] if needs_from or self.may(0.08) else []
        return words + ([f"until {iso(self.near(5, 45))}"] if self.may(0.08) else [])

    def flags(self, share: float) -> list[str]:
        """Flags that may stand together."""
        words = [self.chance.choice(("vital", "spare"))] if self.may(share) else []
        words += ["expires"] if self.may(share) else []
        return words + (["paused"] if self.may(share / 8) else [])

    # ------------------------------------------------------------------ lines

    def assignment(self) -> str:
        """Who does a chore, in any of the forms."""
        people = self.people
        forms = ["", "", "by each"]
        if people:
            forms += [f"by {self.chance.choice(people)}"] * 2
            forms.append(f"by each of {', '.join(self.some(people))}")
        if len(people) > 1:
            some = self.chance.sample(people, self.chance.randint(2, len(people)))
            forms += ["by " + f" {word} ".join(some) for word in ("or", "then", "then", "and")]
        return self.chance.choice(forms)

    def chore(self, name: str, who: str) -> str:
        minutes = self.chance.choice(("", "5 min", "20 min", "1 h"))
        words = [name, minutes, who, *self.day_lists(0.12)]
        words += [f"from {iso(self.near(-5, 20))}"] if self.may(0.05) else []
        words += [f"until {iso(self.near(5, 45))}"] if self.may(0.05) else []
        return "    " + " ".join(filter(None, [*words, *self.flags(0.1)]))

    def sections(self) -> Iterator[str]:
        """Sections, some of which share a chore."""
        names = self.chance.sample(CHORES, self.chance.choice((1, 2, 2, 3)))
        who = {name: self.assignment() for name in names}
        headers: set[str] = set()
        for _ in range(self.chance.choice((1, 2, 2, 3))):
            cadence, needs_from = self.cadence()
            words = [cadence, *self.day_lists(0.25), *self.dates(needs_from), *self.flags(0.12)]
            header = " ".join(words)
            if header not in headers:
                headers.add(header)
                yield header
                for name in self.some(names, 2):
                    yield self.chore(name, who[name])
        if self.may(0.25):
            words = [f"{self.chance.choice((1, 3, 7))} days after done", *self.day_lists(0.25)]
            yield " ".join([*words, *self.dates(False), *self.flags(0.1)])
            yield self.chore(AFTER_DONE, self.assignment())

    def days_lines(self) -> Iterator[str]:
        """Named days, by dates or by a cadence."""
        for name in self.named:
            if self.may(0.6):
                yield f"days {name} {self.spans()}"
            else:
                cadence, needs_from = self.calendar_cadence()
                yield " ".join([f"days {name}", cadence, *self.dates(needs_from)])

    def absences(self) -> Iterator[str]:
        """Days away and of rest."""
        for _ in range(self.chance.choice((0, 0, 1, 1, 2, 3))):
            word = self.chance.choice(("away", "rest"))
            spans = self.chance.choice(self.named) if self.named and self.may(0.3) else self.spans()
            whose = (
                f" by {', '.join(self.some(self.people))}" if self.people and self.may(0.6) else ""
            )
            yield f"{word} {spans}{whose}"

    def home(self) -> RandomHome:
        """The home."""
        lines = [f"since {iso(self.first - self.chance.choice((0, 0, 3, 40)))}"]
        if self.may(0.3):
            lines.append(f"week starts {self.chance.choice(DAYS)}")
        if self.may(0.3):
            first, length = self.chance.randrange(7), self.chance.choice((1, 2, 2, 3))
            days = [DAYS[(first + step) % 7] for step in range(length)]
            lines.append(f"weekend is {', '.join(days)}")
        lines += [f"person {name}" for name in self.people]
        lines += [*self.days_lines(), *self.absences(), *self.sections()]
        return RandomHome(tuple(lines), self.first)


def random_home(seed: int) -> RandomHome:
    """The home of a seed."""
    return _Maker(random.Random(seed)).home()


def chores_of(home: RandomHome) -> list[str]:
    """The chores of a home, each once."""
    lines = [line.split()[0] for line in home.routine if line.startswith("    ")]
    return list(dict.fromkeys(lines))


# ------------------------------------------------------------------------ who lives by a list


class Shown(NamedTuple):
    """As much of a line of the list as a person needs."""

    chore: str
    person: str | None


class Act(NamedTuple):
    """A line that a person writes."""

    day: int
    verb: str
    chore: str
    person: str | None = None
    minutes: int | None = None
    to: int | None = None
    is_listed: bool = True

    def text(self) -> str:
        """The line of the record."""
        words = [iso(self.day), self.verb, self.chore]
        words += [f"to {iso(self.to)}"] if self.to is not None else []
        words += [f"{self.minutes} min"] if self.minutes is not None else []
        says_who = self.person is not None and self.verb in ("did", "worked")
        return " ".join([*words, *([f"by {self.person}"] if says_who else [])])


class Habits(NamedTuple):
    """How often someone does, skips, moves or works on what is listed, and does what is not."""

    does: float = 0.45
    skips: float = 0.06
    moves: float = 0.08
    works: float = 0.1
    strays: float = 0.08


def habits_of(chance: random.Random) -> Habits:
    """The habits of someone: diligent, slow, or fond of moving things."""
    return chance.choice(
        (
            Habits(),
            Habits(does=0.8),
            Habits(does=0.2, works=0.2),
            Habits(0.3, 0.15, 0.25, 0.05, 0.2),
        )
    )


def act_on(chance: random.Random, habits: Habits, day: int, shown: Shown) -> Act | None:
    """What someone does about a line of the list; None where it is left for another day."""
    verb = chance.choices(
        ("did", "skipped", "moved", "worked", ""),
        (*habits[:4], max(0.0, 1 - sum(habits[:4]))),
    )[0]
    return _act(chance, day, verb, shown, True) if verb else None


def stray(chance: random.Random, habits: Habits, day: int, chores: Sequence[Shown]) -> Act | None:
    """A line about what the list does not show."""
    if not chores or chance.random() >= habits.strays:
        return None
    verb = chance.choices(("did", "skipped", "moved", "worked"), (5, 1, 2, 1))[0]
    return _act(chance, day, verb, chance.choice(chores), False)


def _act(chance: random.Random, day: int, verb: str, shown: Shown, is_listed: bool) -> Act:
    minutes = chance.choice((3, 8, 30)) if verb == "worked" or chance.random() < 0.3 else None
    if verb not in ("did", "worked"):
        minutes = None
    to = day + chance.choice((1, 1, 2, 3, 4, 6, 9)) if verb == "moved" else None
    return Act(day, verb, shown.chore, shown.person, minutes, to, is_listed)


ListOf = Callable[[str, int], Sequence[Shown]]
"""The list of a day of a book."""


def live(home: RandomHome, list_of: ListOf, seed: int, days: int = 35) -> list[str]:
    """The record of someone who lives by a list for some days, one line a thing."""
    chance = random.Random(seed)
    habits = habits_of(chance)
    record: list[str] = []
    for day in range(home.first, home.first + days):
        shown = list(list_of(home.text(record), day))
        acts = [act_on(chance, habits, day, one) for one in shown]
        others = [Shown(name, None) for name in chores_of(home)
                  if name not in {one.chore for one in shown}]  # fmt: skip
        acts.append(stray(chance, habits, day, others))
        record += [act.text() for act in acts if act is not None]
    return record


def scribble(home: RandomHome, seed: int, days: int = 35) -> list[str]:
    """A record of any lines on any days, in any order: what no list asked for."""
    chance = random.Random(seed)
    people = [line.split()[1] for line in home.routine if line.startswith("person ")]
    record = []
    for _ in range(chance.randint(1, 14)):
        day = home.first + chance.randint(-6, days)
        chore = chance.choice(chores_of(home))
        person = chance.choice([None, None, *people])
        verb = chance.choices(("did", "skipped", "moved", "worked"), (6, 1, 2, 1))[0]
        act = _act(chance, day, verb, Shown(chore, person), False)
        if act.to is not None:
            act = act._replace(to=day + chance.randint(-4, 12))
        record.append(act.text())
    return record if chance.random() < 0.5 else sorted(record)
