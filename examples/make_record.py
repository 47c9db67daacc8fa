"""Make the demo record of 12 Quarry Lane: what was done from 2026-01-01 to 2026-11-22.

Usage: python make_record.py [PATH]; without PATH the record is printed.

Reads the routine in quarry-lane/home.chores and makes up the life of a household that keeps
to it a little better each month: most chores in time, some late, early, moved or skipped,
a few done twice, nothing during a trip. The seed is fixed, so one routine gives one record.
"""

import calendar
import random
import re
import sys
from collections.abc import Iterator
from datetime import date, timedelta
from itertools import groupby
from pathlib import Path
from typing import NamedTuple

BOOK = Path(__file__).parent / "quarry-lane" / "home.chores"
DAY = timedelta(days=1)
START, END = date(2026, 1, 1), date(2026, 11, 22)
DAYS = [name.lower() for name in calendar.day_name]
MONTHS = [name.lower() for name in calendar.month_name]
EVERYONE = ("noor", "tam", "edie")
PACE = {"noor": 0.95, "tam": 1.0, "edie": 1.15}
SLOWING, SLOW_FROM = "scrub-bath", date(2026, 9, 1)  # takes half as long again from then on
FLU = (date(2026, 2, 9), date(2026, 2, 13))
NOTES = {
    "own-room": ["found the library book", "a friend helped"],
    "wash-up": ["friends to supper", "pans left to soak", "baking day"],
}
REASONS = {
    "bins": ["no collection, holiday"],
    "lunch-boxes": ["no school"],
    "mow": ["rain all week", "dry spell, grass short"],
}
ANY_REASON = ["visitors", "late home", "work ran over", "all of us tired", "out for the day"]
AGAIN = ["again, after the party", "second time, muddy boots", "again, visitors tomorrow"]


class Chore(NamedTuple):
    """One chore line, with what its section says."""

    name: str
    minutes: int
    people: list[str]
    cadence: list[str]
    season: list[str]
    within: int
    begins: date
    ends: date
    part: int  # of the day: 0 the morning, 1 in between, 2 the evening


class Fact(NamedTuple):
    """One thing that happened, before what belongs together shares a line."""

    day: date
    part: int
    verb: str
    who: tuple[str, ...]
    note: str
    what: str
    minutes: int = 0


def read_chore(line: str, header: str, part: int) -> Chore:
    """Read what this script needs of a chore line; it is no reader for the format at large."""

    def find(pattern: str, text: str, default: str) -> str:
        found = re.search(pattern, text)
        return found[1] if found else default

    return Chore(
        name=line.split(maxsplit=1)[0],
        minutes=60 * int(find(r"(\d+) h\b", line, "0")) + int(find(r"(\d+) min\b", line, "0")),
        people=find(r"\bby (\w+(?: (?:or|then) \w+)*)", line, "").split(),
        cadence=re.sub(r" (during|within|(?<!once )from) .*", "", header).split(),
        season=find(r" during (\w+ to \w+)", header, "january to december").split(" to "),
        within=int(find(r" within (\d+) days", header, "1")),
        begins=date.fromisoformat(find(r" from (\S+)", f"{line} {header}", str(START))),
        ends=date.fromisoformat(find(r" until (\S+)", line, str(END))),
        part=part,
    )


def window_length(chore: Chore, day: date) -> int:
    """How many days the window has that opens on `day`; 0 where none opens."""
    weekday, nth = DAYS[day.weekday()], (day.day + 6) // 7
    month = calendar.monthrange(day.year, day.month)[1] * (day.day == 1)
    match chore.cadence:
        case ("every", "weekend" as which) | ("weekend", which):
            return 2 * (weekday == "saturday" and which in ("weekend", str(nth)))
        case "every", "week":
            return 7 * (weekday == "monday")
        case "every", count, "days" | "weeks" as unit, *_:
            step = int(count) * (7 if unit == "weeks" else 1)
            return int((day - chore.begins).days % step == 0)
        case "every", count, "months":
            return month * ((day.month - chore.begins.month) % int(count) == 0)
        case "once", "from", first, "to", last:
            return ((date.fromisoformat(last) - day).days + 1) * (first == str(day))
    names = set(" ".join(chore.cadence[1:]).replace("month on ", "").split(", "))
    in_words = {"day", weekday, str(day.day), "first " * (nth == 1) + weekday}
    in_words |= {"weekday"} if weekday in DAYS[:5] else set()
    by_month = names & {"month", MONTHS[day.month]}
    return month if by_month else chore.within * bool(names & in_words)


def windows(chore: Chore) -> Iterator[tuple[date, date]]:
    """Each window of a chore in the time of the record, first day and last."""
    opens, closes = (MONTHS.index(name) for name in chore.season)
    for day in days(START - START.weekday() * DAY, chore.ends):
        first = max(day, START, chore.begins)
        last = min(day + (window_length(chore, day) - 1) * DAY, chore.ends)
        if first <= last and opens <= first.month <= closes:
            yield first, last


def days(first: date, last: date) -> list[date]:
    """Every day from the first to the last."""
    return [first + count * DAY for count in range((last - first).days + 1)]


class Life:
    """The household's year, which reading the routine fills with facts."""

    def __init__(self, book: str, seed: int) -> None:
        self.rng = random.Random(seed)
        self.facts: list[Fact] = []
        self.absent: set[tuple[str, date]] = set()
        header, part = "", 1
        for line in book.splitlines():
            plain = re.sub(r'"[^"]*"|#.*', "", line).rstrip()
            if away := re.match(r"away (\S+) to (\S+)(?: by (\w+))?", plain):
                span = days(date.fromisoformat(away[1]), date.fromisoformat(away[2]))
                gone = [who for who in EVERYONE if away[3] in (None, who)]
                self.absent.update((who, day) for who in gone for day in span)
            elif plain and not plain.startswith(" "):
                header, part = plain, 0 if "Morning" in line else 2 if "Evening" in line else 1
            elif plain and " paused" not in header:
                live = self.live_from_done if " after done" in header else self.live
                live(read_chore(plain, header, part))

    def present(self, day: date) -> list[str]:
        """Who is at home on a day that the record covers."""
        return [who for who in EVERYONE if day <= END and (who, day) not in self.absent]

    def rate(self, day: date) -> float:
        """How likely a chore is done in time: 70 % in January, 92 % from September on."""
        usual = 0.70 + 0.22 * min(1.0, (day - START).days / 243)
        return usual - 0.25 * (FLU[0] <= day <= FLU[1])

    def live(self, chore: Chore) -> None:
        """Go through the year with one chore."""
        spans = list(windows(chore))
        edges = [START - DAY, *(day for span in spans for day in span), END + DAY]
        for turn, (first, last) in enumerate(spans):
            before, eve, after = edges[2 * turn], first - DAY, edges[2 * turn + 3]
            inside = [day for day in days(first, last) if self.present(day)]
            if chore.people == ["each"]:
                self.each_did(chore, first)
            elif inside and self.rng.random() < self.rate(first):
                day = inside[int(len(inside) * self.rng.random() ** 1.5)]
                early = before + DAY < eve >= chore.begins and self.present(eve)
                self.did(chore, turn, eve if early and self.rng.random() < 0.07 else day)
                if chore.minutes >= 4 and not early and self.rng.random() < 0.02:
                    self.did(chore, turn, day, self.rng.choice(AGAIN))
            elif inside:
                free = days(last + DAY, min(chore.ends, last + (after - last) // 2, last + 8 * DAY))
                self.fail(chore, turn, inside[-1], [day for day in free if self.present(day)])

    def live_from_done(self, chore: Chore) -> None:
        """Go through the year with a chore that is counted from the last time."""
        day, turn = START, 0
        while day <= END:
            if self.present(day) and self.rng.random() < self.rate(day):
                self.did(chore, turn, day)
                day, turn = day + (int(chore.cadence[0]) - 1) * DAY, turn + 1
            day += DAY

    def fail(self, chore: Chore, turn: int, day: date, later: list[date]) -> None:
        """Make up what became of a chore not done in time: skipped, moved, late or missed."""
        fate, flu = self.rng.random(), FLU[0] <= day <= FLU[1]
        reason = self.rng.choice(["flu at home"] if flu else REASONS.get(chore.name, ANY_REASON))
        if fate < (0.6 if flu else 0.14):
            self.facts.append(Fact(day, 1, "skipped", (), reason, chore.name))
        elif later and fate < 0.75:
            to = self.rng.choice(later)
            if fate < 0.3:
                self.facts.append(Fact(day, 1, f"moved {chore.name} to", (), reason, str(to)))
            self.did(chore, turn, to)

    def each_did(self, chore: Chore, day: date) -> None:
        """Add what everyone does for themselves, often written down in one go."""
        who = [name for name in self.present(day) if self.rng.random() < self.rate(day)]
        together = len(who) == len(EVERYONE) and self.rng.random() < 0.5
        for names in [()] if together else [(name,) for name in who]:
            self.add(chore, day, names)

    def did(self, chore: Chore, turn: int, day: date, note: str = "") -> None:
        """Add a chore done by whom it is given to; turns are kept, nearly always."""
        given = [who for who in chore.people if who in EVERYONE] or ["noor", "tam"]
        able = [who for who in given if who in self.present(day)]
        if not able:
            self.facts.append(Fact(day, 1, "skipped", (), f"{given[0]} away", chore.name))
            return
        who: tuple[str, ...] = (self.rng.choice(able),)
        if "then" in chore.people and self.rng.random() < 0.92:
            who = (able[turn % len(able)],)
        elif chore.minutes >= 15 and self.rng.random() < 0.12:
            who = tuple(able)
        if not note and self.rng.random() < 0.08:
            note = self.rng.choice(NOTES.get(chore.name, [""]))
        self.add(chore, day, who, note)

    def add(self, chore: Chore, day: date, who: tuple[str, ...], note: str = "") -> None:
        """Add a chore done, and make up its minutes, which two together shorten a little."""
        usual = chore.minutes * (PACE[who[0]] if len(who) == 1 else 0.8 if who else 1.0)
        usual *= 1.5 if chore.name == SLOWING and day >= SLOW_FROM else 1.0
        minutes = max(1, round(self.rng.gauss(usual, 0.14 * usual)))
        self.facts.append(Fact(day, chore.part, "did", who, note, chore.name, minutes))

    def lines(self) -> Iterator[str]:
        """Write the facts as people do: what one of them did at one time shares a line."""
        self.facts.sort(key=lambda fact: fact[:5])
        for (day, _, verb, who, note), group in groupby(self.facts, lambda fact: fact[:5]):
            facts, timed = list(group), self.rng.random() < 0.62
            items = [fact.what for fact in facts]
            for at, fact in enumerate(facts):
                if fact.minutes and (fact.what == SLOWING or timed == (self.rng.random() < 0.9)):
                    took = f"{fact.minutes // 60} h {fact.minutes % 60} min"
                    items[at] += " " + took.removeprefix("0 h ").removesuffix(" 0 min")
            by, why = f" by {', '.join(who)}" if who else "", f' "{note}"' if note else ""
            yield f"{day} {verb} {', '.join(items)}{by}{why}"


def main() -> None:
    """Write the record to the path given, or print it."""
    record = "".join(f"{line}\n" for line in Life(BOOK.read_text("utf-8"), seed=18).lines())
    if len(sys.argv) > 1:
        Path(sys.argv[1]).write_text(record, "utf-8")
    else:
        sys.stdout.write(record)


if __name__ == "__main__":
    main()
