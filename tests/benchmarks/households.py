"""Made-up households of any size: a routine, and the record of years of living by it.

    python tests/benchmarks/households.py FOLDER --chores 45 --years 10 --people 3

The same arguments always give the same bytes. Of the made-up life, near enough: three lines in
five carry minutes, three in five a name, three in a hundred a note; fifteen in a thousand skip
a chore and five in a thousand move one; some chores are done late and a few never.
"""

import argparse
import json
import random
import re
from collections import defaultdict
from collections.abc import Iterator
from itertools import groupby
from pathlib import Path

from sample_routine import (
    AREAS,
    DAY,
    PEOPLE,
    TITLED_PEOPLE,
    Chore,
    Date,
    away_days,
    duration,
    limits,
    routine,
)

LAST_YEAR = 2025
EARLIEST_YEAR = 1970

# Chances, set so that 45 chores and 3 people come near the shares named above.
MISSED = 0.01
SKIPPED = 0.02
MOVED = 0.05
LATE = 0.06
JOINED = 0.075
TIMED = 0.6
NAMED = 0.45
TOGETHER = 0.06
NOTED = 0.025
EXCUSED = 0.35

OPENINGS = (
    "Took longer", "Quick one", "Half of it", "All of it", "Done early", "After supper",
    "Before school", "With the radio on", "Twice over", "Café night", "Late, but done",
    'The "good" cloth', "Needs doing better", "Right to the corners", "By torchlight",
)  # fmt: skip
CLOSINGS = (
    "", "; ran out of soap", "; new sponge next time", "; guests coming", "; rain all day",
    " \\ again on Friday", "; the hinge squeaks", "; cold hands", "; 20 °C at last", "; no soap",
    "; found a sock", "; bag nearly full", " (see shelf)", ", helped by Gran", "; 3 of 4 rooms",
)  # fmt: skip
EXCUSES = (
    "no collection, holiday", "everyone ill", "already clean", "power cut", "visitors",
    "snowed in", "nothing to do", "out all day", "part on order", "too wet", "late train",
)  # fmt: skip


def span(years: int) -> tuple[Date, Date]:
    """The first and last day of a book of so many years.

    It ends with 2025 unless that would begin it before 1970; a longer one runs on into years to
    come.
    """
    first_year = max(LAST_YEAR + 1 - years, EARLIEST_YEAR)
    return Date(first_year, 1, 1), Date(first_year + years - 1, 12, 31)


def write_household(folder: Path, *, chores: int, years: int, people: int, seed: int = 12) -> None:
    """Write `home.chores` and one record file a year into the folder, made if need be.

    45 chores, 10 years and 3 people give close to 75,000 lines of record; 100 years, 750,000.
    """
    if min(chores, years, people) < 1:
        raise ValueError("a household has one chore, one year and one person or more")
    # A mistyped folder must not cost anybody their own book.
    if any(folder.glob("*.chores")):
        raise FileExistsError("the folder already holds a household")
    folder.mkdir(parents=True, exist_ok=True)
    first, last = span(years)
    names = tuple((*PEOPLE, *(f"lodger-{n}" for n in range(1, people)))[:people])
    sheet = routine(chores, names, first, last)
    _write(folder / "home.chores", home_text(sheet, names, first, last))
    life = _Life(sheet, names, random.Random(seed))
    for year, days in groupby(_days(first, last), key=lambda day: day.year):
        text = "".join(_year_of_record(life, year, days))
        _write(folder / f"{year}.chores", text)


def home_text(chores: list[Chore], people: tuple[str, ...], first: Date, last: Date) -> str:
    """The whole of `home.chores`."""
    by_section: dict[str, list[str]] = {}
    for chore in chores:
        by_section.setdefault(chore.section.header, []).append(chore.line)
    away = (away_days(year) for year in range(first.year, last.year + 1))
    blocks = [
        ["# A household made up for measuring", 'household "12 Quarry Lane"', f"since {first}"],
        ["week starts monday", "weekend is saturday, sunday"],
        [f"person {name}{_title(TITLED_PEOPLE.get(name, ''))}" for name in people],
        [f"area {name}{_title(title)}" for name, title in AREAS.items()],
        limits(chores, people),
        [f'away {leaves} to {returns} "By the sea"' for leaves, returns in away],
        *([header, *lines] for header, lines in by_section.items()),
    ]
    return "\n\n".join("\n".join(block) for block in blocks) + "\n"


def _title(title: str) -> str:
    escaped = title.replace("\\", "\\\\").replace('"', '\\"')
    return f' "{escaped}"' if title else ""


def _write(path: Path, text: str) -> None:
    path.write_text(text, encoding="utf-8", newline="\n")


def _days(first: Date, last: Date) -> Iterator[Date]:
    return map(Date.fromordinal, range(first.toordinal(), last.toordinal() + 1))


def _year_of_record(life: "_Life", year: int, days: Iterator[Date]) -> Iterator[str]:
    """The text of one year's file, line by line, with a blank line between the months."""
    yield f"# What was done in {year}\n"
    leaves, returns = away_days(year)
    for day in days:
        if day.day == 1:
            yield "\n"
        if not leaves <= day <= returns:
            yield from (f"{day} {words}\n" for words in life.words_of(day))


class _Life:
    """What happens in a household, one day after another, and the words it is recorded in."""

    def __init__(self, chores: list[Chore], people: tuple[str, ...], luck: random.Random) -> None:
        self.people = people
        self.luck = luck
        self.sections = {chore.section.header: chore.section for chore in chores}
        self.chores: dict[str, list[Chore]] = defaultdict(list)
        for chore in chores:
            self.chores[chore.section.header].append(chore)
        self.put_off: dict[Date, list[Chore]] = defaultdict(list)

    def words_of(self, day: Date) -> list[str]:
        """The day's lines, without their date, in the order they were written down."""
        lines: list[str] = []
        shared: list[Chore] = self.put_off.pop(day, [])
        own: list[Chore] = []
        for chore in self._coming_up(day):
            if chore.each:
                own.append(chore)
            elif (words := self._set_aside(chore, day)) is None:
                shared.append(chore)
            elif words:
                lines.append(words)
        self.luck.shuffle(shared)
        for group in self._groups(shared):
            lines.append(self._did(group, self._doers(group)))
        for person in self.people:
            lines += (self._did(group, (person,)) for group in self._groups(own))
        self.luck.shuffle(lines)
        return lines

    def _coming_up(self, day: Date) -> Iterator[Chore]:
        for header, section in self.sections.items():
            if section.falls(day):
                for chore in self.chores[header]:
                    if chore.begins <= day <= chore.ends:
                        yield chore

    def _set_aside(self, chore: Chore, day: Date) -> str | None:
        """None if the chore is done today; else the words that say so, empty if nobody did."""
        luck = self.luck.random
        if luck() < MISSED:
            return ""
        if luck() < SKIPPED:
            excuse = self.luck.choice(EXCUSES) if luck() < EXCUSED else ""
            return f"skipped {chore.name}{_title(excuse)}"
        slack = chore.section.slack
        if not slack or (chance := luck()) > MOVED + LATE:
            return None
        later = day + DAY * (1 + int(luck() * slack))
        leaves, returns = away_days(later.year)
        if leaves <= later <= returns:
            return None
        self.put_off[later].append(chore)
        return f"moved {chore.name} to {later}" if chance < MOVED else ""

    def _groups(self, chores: list[Chore]) -> list[list[Chore]]:
        """The chores shared out over lines, most on a line of their own."""
        groups: list[list[Chore]] = []
        for chore in chores:
            if groups and self.luck.random() < JOINED:
                groups[-1].append(chore)
            elif self.luck.random() >= MISSED or not chore.each:
                groups.append([chore])
        return groups

    def _doers(self, group: list[Chore]) -> tuple[str, ...]:
        """Who is named on the line: people who may do all of it, or nobody."""
        if self.luck.random() >= NAMED:
            return ()
        able = [name for name in self.people if all(name in chore.doers for chore in group)]
        count = 2 if len(able) > 1 and self.luck.random() < TOGETHER else 1
        return tuple(self.luck.sample(able, count))

    def _did(self, group: list[Chore], doers: tuple[str, ...]) -> str:
        luck = self.luck.random
        items = []
        for chore in group:
            minutes = max(1, round(chore.minutes * self.luck.gauss(1.05, 0.15)))
            items.append(f"{chore.name}{f' {duration(minutes)}' if luck() < TIMED else ''}")
        by = f" by {', '.join(doers)}" if doers else ""
        note = self.luck.choice(OPENINGS) + self.luck.choice(CLOSINGS) if luck() < NOTED else ""
        return f"did {', '.join(items)}{by}{_title(note)}"


_NAME = r"[^\W\d_][\w-]*"
_RECORD = re.compile(
    rf"""(?P<date>\d{{4}}-\d\d-\d\d)\ (?P<verb>did|skipped|moved)
    \ (?P<chores>{_NAME}(?:\ \d+\ h)?(?:\ \d+\ min)?(?:,\ {_NAME}(?:\ \d+\ h)?(?:\ \d+\ min)?)*)
    (?:\ by\ (?P<by>{_NAME}(?:,\ {_NAME})*))?
    (?:\ to\ (?P<to>\d{{4}}-\d\d-\d\d))?
    (?:\ "(?P<note>(?:[^"\\]|\\.)*)")?""",
    re.VERBOSE,
)
_ITEM = re.compile(rf"(?P<name>{_NAME})(?: (?P<hours>\d+) h)?(?: (?P<minutes>\d+) min)?")


def record_lines(folder: Path) -> Iterator[str]:
    """The folder's lines of record, in order of file and line."""
    for path in sorted(folder.glob("*.chores")):
        for line in path.read_text(encoding="utf-8").splitlines():
            # A digit is not enough: a section may begin with a number of days.
            if line[4:5] == "-" and line[:4].isdigit():
                yield line


def records_as_json(folder: Path) -> str:
    """The folder's lines of record as one JSON array of objects, in order of file and line.

    It reads only what `write_household` writes, and has nothing from the package in it, so it
    can stand as a yardstick beside the package. No white space between the parts and no
    escaped letters: that is JSON at its quickest to read.
    """
    records = [_as_object(line) for line in record_lines(folder)]
    return json.dumps(records, ensure_ascii=False, separators=(",", ":"))


def _as_object(line: str) -> dict[str, object]:
    found = _RECORD.fullmatch(line)
    if found is None:
        raise ValueError(f"not a line of record: {line}")
    chores: list[dict[str, object]] = []
    for item in _ITEM.finditer(found["chores"]):
        chore: dict[str, object] = {"name": item["name"]}
        if item["hours"] or item["minutes"]:
            chore["minutes"] = int(item["hours"] or 0) * 60 + int(item["minutes"] or 0)
        chores.append(chore)
    record: dict[str, object] = {"date": found["date"], "verb": found["verb"], "chores": chores}
    if found["by"]:
        record["by"] = found["by"].split(", ")
    if found["note"] is not None:
        record["note"] = re.sub(r"\\(.)", r"\1", found["note"])
    if found["to"]:
        record["to"] = found["to"]
    return record


def main() -> None:
    """Write the household that the command line asks for."""
    parser = argparse.ArgumentParser(description="Write a made-up household into a folder.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--chores", type=int, default=45)
    parser.add_argument("--years", type=int, default=10)
    parser.add_argument("--people", type=int, default=3)
    parser.add_argument("--seed", type=int, default=12)
    asked = parser.parse_args()
    write_household(
        asked.folder,
        chores=asked.chores,
        years=asked.years,
        people=asked.people,
        seed=asked.seed,
    )


if __name__ == "__main__":
    main()
