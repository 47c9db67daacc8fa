"""Calendars of random homes as two readers show them, and imported again after a change.

    python tests/abuse/calendars.py [HOMES [FIRST_SEED]]

Each home is exported in a way of its own (a container or a chore an entry, events or to-dos, for
everyone or for one person, all or one area) and read by recurring-ical-events and by ical.js;
what each shows is held to the simulator, and the file to RFC 5545. Then the book changes, and the
second file is imported over the first. As many sets of random dates are told as rules, and read by
ical.js. Prints what was equal, and ends with 1 where something was not.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from calendar_readers import by_node, by_python
from calendar_rules import faults_of
from calendar_store import Store, entries_of
from calendar_views import ALWAYS, MADE, View, random_view
from test_calendar_imports import changed

from ledger.render.recurrence import Part, parts_of

BATCH = 100
"""How many calendars one process of Node reads."""


class Run:
    """Counts of what held."""

    def __init__(self) -> None:
        self.counts = Counter[str]()
        self.faults: list[str] = []

    def views(self, seeds: range) -> None:
        """Hold some homes to what is to be seen of them."""
        views = [random_view(seed) for seed in seeds]
        files = [view.file() for view in views]
        by_ical_js = by_node(files, *ALWAYS)
        for seed, view, file, shown in zip(seeds, views, files, by_ical_js, strict=True):
            self.counts["files"] += 1
            self.counts["entries"] += len(entries_of(file))
            self.counts["bytes"] += len(file)
            wanted = view.expected()
            self.counts["windows"] += len(wanted)
            self.faults += [f"home {seed}: {fault}" for fault in faults_of(file)]
            for name, found in (("Python", by_python(file, *ALWAYS)), ("Node", shown)):
                if view.seen(found) == wanted:
                    self.counts[f"equal on {name}"] += 1
                else:
                    self.faults.append(f"home {seed} {view.way}: {name} shows other windows")
            self.again(seed, view, file)

    def again(self, seed: int, view: View, first: bytes) -> None:
        """Import a home's file, then that of the book after some days and a change."""
        days = random.Random(seed).choice((1, 3, 8, 40))
        later = view._replace(text=changed(view.text, view.on, seed), on=view.on + days)
        second, store = later.file(MADE + timedelta(days=days)), Store()
        for file in (first, second):
            store.take(file)
        after = {one.uid for one in entries_of(second)}
        if store.of(after) != entries_of(second):
            self.faults.append(f"home {seed}: imported again it is another")
        self.counts["entries kept"] += len({one.uid for one in entries_of(first)} & after)
        self.counts["entries left"] += len({one.uid for one in entries_of(first)} - after)

    def rules(self, seeds: range) -> None:
        """Hold the rules of random dates to the dates."""
        sets = [sorted(_dates(random.Random(seed))) for seed in seeds]
        parts = [parts_of((day, day) for day in days) for days in sets]
        shown = by_node([_file(part) for (part,) in parts], *ALWAYS)
        for seed, days, found in zip(seeds, sets, shown, strict=True):
            self.counts["sets of dates"] += 1
            if [one.first.toordinal() for one in found] != days:
                self.faults.append(f"dates {seed}: Node shows others")


def _dates(chance: random.Random) -> set[int]:
    """A few days of two years, or a rhythm with holes in it."""
    first = date(2026, 1, 1).toordinal() + chance.randrange(400)
    if chance.random() < 0.5:
        return {first + chance.randrange(730) for _ in range(chance.randint(1, 12))}
    step = chance.choice((1, 2, 7, 14, 28, 30, 61, 91))
    rhythm = range(first, first + 730, step)
    return {*chance.sample(rhythm, max(1, len(rhythm) * chance.randint(5, 10) // 10))}


def _file(part: Part) -> bytes:
    """A calendar of one part."""
    return "\r\n".join(["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:x", *_event(part), ""]).encode()


def _event(part: Part) -> Iterator[str]:
    first, until, *excepted = (
        f"{date.fromordinal(day):%Y%m%d}" for day in (part.first, part.until or 1, *part.excepted)
    )
    yield from ("BEGIN:VEVENT", "UID:x", "DTSTAMP:20260101T000000Z", "SUMMARY:x")
    yield f"DTSTART;VALUE=DATE:{first}"
    if part.rule:
        yield f"RRULE:{part.rule};UNTIL={until}"
    if excepted:
        yield f"EXDATE;VALUE=DATE:{','.join(excepted)}"
    yield from ("END:VEVENT", "END:VCALENDAR")


def main(words: list[str]) -> int:
    """Run as the command says."""
    homes, first = ([int(word) for word in words] + [300, 0][len(words) :])[:2]
    run = Run()
    for low in range(first, first + homes, BATCH):
        seeds = range(low, min(low + BATCH, first + homes))
        run.views(seeds)
        run.rules(seeds)
    for name, count in run.counts.items():
        print(f"{name:16} {count:9,}")
    print(f"{len(run.faults)} faults", *run.faults[:20], sep="\n")
    return int(bool(run.faults))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
