"""Calendars that are imported again after the book has changed: nothing is there twice or lost."""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from calendar_readers import by_python
from calendar_rules import faults_of
from calendar_store import Store, entries_of
from calendar_views import ALWAYS, random_view
from test_cli import besom, stop_clock

MOST_NAMED = 10
WORDS: Sequence[tuple[str, ...]] = ((), ("--chores",), ("--todo",), ("--chores", "--todo"))


class Home:
    """A book whose calendar is written, day by day, to one file."""

    def __init__(self, folder: Path, clock: pytest.MonkeyPatch) -> None:
        self.book, self.file = folder / "home.chores", folder / "home.ics"
        self._clock = clock

    def export(self, text: str, on: int, *words: str) -> tuple[bytes, list[str]]:
        """The calendar of a book, made on the evening of a day, and what is said beside it."""
        self.book.write_text(text, "utf-8")
        evening = datetime.fromordinal(on) + timedelta(hours=20)
        stop_clock(self._clock, evening)
        told = besom("calendar", str(self.book), "-o", str(self.file), *words).stderr
        return self.file.read_bytes(), told.splitlines()


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Home:
    return Home(tmp_path, monkeypatch)


def changed(text: str, on: int, seed: int) -> str:
    """A book after a few days: a line of the routine is gone, one is changed, one is new, and some
    chores are done, skipped or moved."""
    chance = random.Random(seed)
    lines = text.splitlines()
    chores = [number for number, line in enumerate(lines) if line.startswith("    ")]
    gone, other = chance.choice(chores), chance.choice(chores)
    names = [lines[number].split()[0] for number in chores]
    lines[other] += chance.choice((" expires", "", " until 2026-12-31"))
    if chance.random() < 0.7 and len(chores) > 1:
        del lines[gone]
    if chance.random() < 0.5:
        lines += ['every tuesday "new tin"', "    rug in hall"]
    day = date.fromordinal(on + 1).isoformat()
    acts = (f"did {chance.choice(names)}", f"skipped {chance.choice(names)}",
            f"moved {chance.choice(names)} to {date.fromordinal(on + 9)}")  # fmt: skip
    return "\n".join([*lines, *(f"{day} {act}" for act in acts), ""])


def said(left: Mapping[str, str]) -> list[str]:
    """The last words about entries that have left the book, given by their UIDs and what they are
    called: how many there are, and their names."""
    if not left:
        return []
    names = sorted(set(left.values()))
    more = [f"and {len(names) - MOST_NAMED} more"] if len(names) > MOST_NAMED else []
    those = "1 entry is" if len(left) == 1 else f"{len(left)} entries are"
    return [f"besom: {those} no longer in", *names[:MOST_NAMED], *more]


def told_of(told: Sequence[str], file: Path) -> list[str]:
    """The same in what a command says beside its answer."""
    heads = [line.partition(f" {file};")[0] for line in told if " no longer in " in line]
    return [*heads, *(line.strip() for line in told if line.startswith("  "))]


@pytest.mark.parametrize("seed", range(40))
def test_what_is_imported_again_is_what_the_second_file_says(home: Home, seed: int) -> None:
    view, words = random_view(seed), WORDS[seed % len(WORDS)]
    first, _ = home.export(view.text, view.on, *words)
    days = random.Random(seed).choice((1, 3, 8, 40))
    second, told = home.export(changed(view.text, view.on, seed), view.on + days, *words)
    store = Store()
    for file in (first, second):
        assert faults_of(file) == []
        store.take(file)
    after = {one.uid for one in entries_of(second)}
    assert store.of(after) == entries_of(second)
    # What has left the book is named, unless it is past.
    today = date.fromordinal(view.on + days)
    times = sorted(by_python(first, *ALWAYS), key=lambda one: -one.first.toordinal())
    begins = {one.uid: one.first for one in times}
    left = {
        one.uid: f"{one.summary}, from {begins[one.uid]}"
        for one in times
        if one.uid not in after and one.last >= today
    }
    assert told_of(told, home.file) == said(left)


@pytest.mark.parametrize("words", WORDS)
def test_the_same_book_imported_twice_is_there_once(home: Home, words: tuple[str, ...]) -> None:
    for seed in range(5):
        view = random_view(seed)
        first, _ = home.export(view.text, view.on, *words)
        again, told = home.export(view.text, view.on, *words)
        assert (again, told_of(told, home.file)) == (first, [])
        home.file.unlink()


def test_a_revision_is_newer_by_a_second(home: Home) -> None:
    view = random_view(0)
    files = []
    for seconds in (0, 1):
        made = datetime.fromordinal(view.on).replace(tzinfo=UTC) + timedelta(seconds=seconds)
        files.append(view.file(made))
    store = Store()
    for file in reversed(files):
        store.take(file)
    assert store.entries == entries_of(files[1])
    assert files[0] != files[1]


STAYS = """\
household "Home"
person ann
person ben

3 times every week "Thrice"
    shelves  5 min

once from 2026-11-20 to 2026-11-28
    roof  2 h

14 days after done
    descale  5 min  by ann then ben

every day
    sweep  3 min  by ann then ben
"""


@pytest.mark.parametrize("words", WORDS)
def test_a_book_that_does_not_change_leaves_nothing_behind(
    home: Home, words: tuple[str, ...]
) -> None:
    on = date(2026, 11, 26).toordinal()
    store = Store()
    for day in range(on, on + 9):
        # Done early, what comes round afterwards is somebody else's turn.
        done = "2026-11-27 did descale by ann\n" if day > on else ""
        before = home.file.read_bytes() if day > on else b""
        file, told = home.export(STAYS + done, day, *words)
        assert told_of(told, home.file) == []
        store.take(file)
        stale = store.uids - {one.uid for one in entries_of(file)}
        shown = by_python(before, *ALWAYS) if before else ()
        assert not [one for one in shown if one.uid in stale and one.last.toordinal() >= day]


@pytest.mark.parametrize(
    ("before", "after", "words"),
    [
        (
            "every monday\n    bins  5 min\n    sink  5 min\n",
            "every monday\n    sink  5 min\nevery monday until 2027-01-31\n    bins  5 min\n"
            "every monday from 2027-02-01\n    bins  9 min\n",
            (),
        ),
        (
            "every monday\n    bins  5 min\n",
            "every monday\n    bins  5 min\nevery thursday from 2027-03-01\n    bins  5 min\n",
            ("--chores",),
        ),
    ],
)
def test_a_line_that_is_added_leaves_the_others_their_entries(
    home: Home, before: str, after: str, words: tuple[str, ...]
) -> None:
    on = date(2026, 11, 26).toordinal()
    first, _ = home.export(before, on, *words)
    second, told = home.export(after, on, *words)
    assert {one.uid for one in entries_of(first)} < {one.uid for one in entries_of(second)}
    assert told_of(told, home.file) == []


def test_what_is_done_before_its_last_day_is_told(home: Home) -> None:
    on = date(2026, 11, 26).toordinal()
    once = "since 2026-11-01\nonce from 2026-11-01 to 2026-12-31\n    roof  2 h\n"
    roof = f"{once}every day\n    sweep\n"
    home.export(roof, on, "--todo")
    _, told = home.export(f"{roof}2026-11-26 did roof\n", on, "--todo")
    assert told_of(told, home.file)[0] == "besom: 1 entry is no longer in"
    assert "roof, 2 h, from 2026-11-01" in told_of(told, home.file)[1]


@pytest.mark.parametrize("words", [("--years", "1"), ("--only", "every day"), ("--chores",)])
def test_what_another_call_leaves_out_has_not_left_the_book(
    home: Home, words: tuple[str, ...]
) -> None:
    on = date(2026, 11, 26).toordinal()
    book = "once from 2028-05-01 to 2028-05-31\n    roof  2 h\nevery day\n    sweep\n"
    home.export(book, on)
    _, told = home.export(book, on, *words)
    assert told_of(told, home.file) == []
