"""What day it is in the nights in which clocks are set, in every zone; and commands at those times.

    python tests/abuse/clocks.py [ZONE]... [--years 2024 2027] [--step 5] [--commands 40]

For each zone of the tz database, each night of the years in which its clock is set, and several
hours at which a day may end, the day that commands believe in is compared, every few minutes, with
one worked out from the definition by `zoneinfo`. Then some of these moments are drawn, and every
command runs at them over a small book. Run by hand: it prints counts, and ends with 1 where a day
was wrong or a command broke. Reading the zones of the system needs a Unix.
"""

from __future__ import annotations

import argparse
import os
import random
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import NamedTuple
from unittest.mock import patch
from zoneinfo import ZoneInfo, available_timezones

import click
from click.testing import CliRunner

import ledger.clock
from ledger.cli.main import main as besom
from ledger.household.model import Household

HOUR, MINUTE = 3600, 60
AROUND = 7 * HOUR
"""Seconds before and after a clock is set that are looked at."""
BEFORE = 30 * HOUR
"""From so long before on it is followed what a clock shows."""
ENDS = (0, 30, 90, 120, 150, 180, 210, 719)
"""Minutes after midnight at which a day may end: those that come twice, or not at all, among
them."""
COMMANDS = ("due", "week", "review", "ahead", "lighten", "areas", "chore x", "lint")
BOOK = """\
since 2020-01-01
day ends 02:30
limit weekday 30 min
every day
    x 5 min
every 12 months from 2024-02-29
    y 5 min
5 days after done
    z 5 min
"""


class Night(NamedTuple):
    """A night in which the clock of a zone is set."""

    zone: str
    moment: int
    """The second, of those that computers count from 1970 on, at which it is set."""


def nights(zone: str, first: int, last: int) -> Iterator[Night]:
    """The nights of some years in which the clock of a zone is set forward or back."""
    place = ZoneInfo(zone)
    moment = int(datetime(first, 1, 1, tzinfo=UTC).timestamp())
    end = int(datetime(last + 1, 1, 1, tzinfo=UTC).timestamp())
    while moment < end:
        if _offset(place, moment) != _offset(place, moment + 24 * HOUR):
            low, high = moment, moment + 24 * HOUR
            while high - low > 1:
                middle = (low + high) // 2
                same = _offset(place, middle) == _offset(place, moment)
                low, high = (middle, high) if same else (low, middle)
            yield Night(zone, high)
        moment += 24 * HOUR


def _offset(place: ZoneInfo, moment: int) -> timedelta | None:
    return datetime.fromtimestamp(moment, place).utcoffset()


def days_by_definition(night: Night, ends: int, step: int) -> Iterator[tuple[int, date]]:
    """Every so many minutes of a night what day it is: of the date that the clock shows, once it
    has shown the hour of `day ends` on that date, and from then on; else of the day before."""
    place = ZoneInfo(night.zone)
    begun: set[date] = set()
    for moment in range(night.moment - BEFORE, night.moment + AROUND, MINUTE):
        shown = datetime.fromtimestamp(moment, place)
        if shown.hour * 60 + shown.minute >= ends:
            begun.add(shown.date())
        since = moment - night.moment + AROUND
        if since >= 0 and since % (step * MINUTE) == 0:
            yield moment, shown.date() - timedelta(days=shown.date() not in begun)


@contextmanager
def clock(zone: str) -> Iterator[Callable[[int], None]]:
    """Let the commands live in a zone; what is given sets their clock to a moment."""
    moments = [0]

    class Stopped(datetime):
        @classmethod
        def now(cls, tz: object = None) -> datetime:  # type: ignore[override]
            # Of a class below `datetime` Python forgets which of two equal times it is.
            return datetime.fromtimestamp(moments[0])

    before = os.environ.get("TZ")
    os.environ["TZ"] = zone
    time.tzset()
    try:
        with patch.object(ledger.clock, "datetime", Stopped):
            yield lambda moment: moments.__setitem__(0, moment)
    finally:
        if before is None:
            del os.environ["TZ"]
        else:
            os.environ["TZ"] = before
        time.tzset()


def wrong_days(night: Night, ends: int, step: int) -> tuple[int, list[str]]:
    """How many moments of a night were looked at, and those at which commands are wrong."""
    household, looked, wrong = Household(day_ends=ends), 0, []
    with clock(night.zone) as set_to:
        for moment, day in days_by_definition(night, ends, step):
            set_to(moment)
            looked += 1
            found = ledger.clock.today_of(household)
            if found != day:
                shown = datetime.fromtimestamp(moment, ZoneInfo(night.zone))
                wrong.append(f"{night.zone} {shown} ends {ends}: {found}, not {day}")
    return looked, wrong


def broken_commands(moments: Sequence[tuple[str, int]]) -> tuple[int, list[str]]:
    """How many commands ran at some moments of zones, and those that broke."""
    ran, broken = 0, []
    with tempfile.TemporaryDirectory() as folder:
        for zone, moment in moments:
            book = Path(folder) / "home.chores"
            book.write_text(BOOK, "utf-8")
            with clock(zone) as set_to:
                set_to(moment)
                for words in (*COMMANDS, "did x", "due", "lint"):
                    where = ["--book", str(book)] if words.startswith("did") else [str(book)]
                    result = CliRunner().invoke(besom, [*words.split(), *where])
                    ran += 1
                    if not isinstance(result.exception, SystemExit | None):
                        broken.append(f"{zone} {moment} {words}: {result.exception!r}")
    return ran, broken


def main() -> None:
    """Look at zones, nights and commands, and print what was found."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("zones", nargs="*")
    options.add_argument("--years", nargs=2, type=int, default=(2024, 2027))
    options.add_argument("--step", type=int, default=5)
    options.add_argument("--commands", type=int, default=40)
    options.add_argument("--seed", type=int, default=1)
    given = options.parse_args()
    zones = given.zones or sorted(available_timezones() - {"localtime"})
    all_nights = [night for zone in zones for night in nights(zone, *given.years)]
    looked = 0
    wrong: list[str] = []
    for night in all_nights:
        for ends in ENDS:
            count, faults = wrong_days(night, ends, given.step)
            looked, wrong = looked + count, wrong + faults
    chance = random.Random(given.seed)
    drawn = chance.sample(all_nights, min(given.commands, len(all_nights)))
    moments = [(one.zone, one.moment + chance.randint(-3 * HOUR, 3 * HOUR)) for one in drawn]
    ran, broken = broken_commands(moments)
    print(f"{len(zones)} zones, {len(all_nights)} nights, {len(ENDS)} hours at which a day ends")
    print(f"{looked} moments, {len(wrong)} wrong; {ran} commands, {len(broken)} broken")
    print("\n".join([*wrong[:20], *broken[:20]]))
    sys.exit(bool(wrong or broken))


if __name__ == "__main__":
    for name in COMMANDS:
        besom.get_command(click.Context(besom), name.split()[0])
    main()
