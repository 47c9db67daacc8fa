"""The simulator against sentences of the format, each with dates that a person can follow.

2 March 2026 is a Monday. Whoever else answers these questions is held to the same cases.
"""

from __future__ import annotations

from datetime import date

import pytest
from simulated_keeping import PlainBook

HEAD = ("since 2026-03-01", "person ana", "person ben")


def day(text: str) -> int:
    """The ordinal of a day of 2026 written MM-DD."""
    return date.fromisoformat(f"2026-{text}").toordinal()


def short(ordinal: int) -> str:
    """The day of an ordinal as MM-DD."""
    return date.fromordinal(ordinal).isoformat()[5:]


def book(*lines: str, on: str) -> PlainBook:
    """A book of a few lines, whose record lines have short dates."""
    said = (f"2026-{line}" if line[:1].isdigit() and line[2] == "-" else line for line in lines)
    return PlainBook("\n".join([*HEAD, *said, ""]), day(on))


def became(*lines: str, on: str, person: str | None = None) -> list[str]:
    """What became of the windows that have opened or are settled, and how many are extras."""
    fates, extras = book(*lines, on=on).matched("x", person, day(on))
    told = [
        f"{short(one.opened)} {one.kind}"
        for one in fates
        if one.line is not None or one.first <= day(on)
    ]
    return told + ["extra"] * len(extras)


def listed(*lines: str, on: str) -> list[str]:
    """What the list of a day shows: whose, from which day, and how late."""
    return [
        " ".join(filter(None, [one.person, short(one.first), f"late {one.late}" * (one.late > 0)]))
        for one in book(*lines, on=on).listed(day(on))
    ]


def falls(*lines: str, until: str = "03-31", person: str | None = None) -> list[str]:
    """The windows that open by a day; those in brackets are excused."""
    found = book(*lines, on="03-01").windows("x", person, day(until))
    texts = [
        short(one.first) + (f"..{short(one.last)}" if one.last > one.first else "") for one in found
    ]
    return [f"({text})" if one.excused else text for one, text in zip(found, texts, strict=True)]


MONDAYS = ("every monday", "  x  20 min")


@pytest.mark.parametrize(
    ("lines", "windows"),
    [
        (("every week except wednesday", "  x"), ["03-01", "03-02..03-08", "03-09..03-15"]),
        (("days off 2026-03-07", "every weekend except off", "  x"),
         ["03-01", "03-08", "03-14..03-15"]),
        (("every 3 days except sunday from 2026-03-02", "  x"),
         ["03-02", "03-05", "03-11", "03-14"]),
        (("every 3 days within 9 days except thursday from 2026-03-02", "  x"),
         ["03-02..03-04", "03-06..03-07", "03-08..03-10", "03-11..03-13", "03-14..03-16"]),
        (("every weekday during saturday, monday, off", "days off 2026-03-04 to 2026-03-08", "  x"),
         ["03-02", "03-04", "03-05", "03-06", "03-09"]),
        (("2 times every week", "  x"), ["03-01", "03-02..03-05", "03-06..03-08", "03-09..03-12",
                                         "03-13..03-15"]),
        (("3 times every 2 weeks from 2026-03-02", "  x"),
         ["03-02..03-06", "03-07..03-11", "03-12..03-15"]),
        (("rest 2026-03-09 by ana", *MONDAYS), ["03-02", "03-09"]),
        (("rest 2026-03-09 by ana", "every monday", "  x by ana"), ["03-02", "(03-09)"]),
        (("rest 2026-03-09 by ana", "every monday", "  x by ana vital"), ["03-02", "03-09"]),
        (("rest 2026-03-09 by ana", "every monday vital", "  x by ana spare"),
         ["03-02", "(03-09)"]),
        (("away 2026-03-09 by ana", "every monday", "  x by ana vital"), ["03-02", "(03-09)"]),
        (("rest 2026-03-09 by ana", "every monday", "  x by ana or ben"), ["03-02", "03-09"]),
        (("rest 2026-03-09 by ana", "every monday", "  x by ana and ben"), ["03-02", "(03-09)"]),
        (("away 2026-03-03 to 2026-03-09", "once from 2026-03-04 to 2026-03-05", "  x"), ["03-10"]),
        # One that nobody is asked for takes no days from one that somebody is.
        (("away from 2026-03-01 by ben", "every week", "  x by ana", "every wednesday",
          "  x by ben"), ["03-01", "03-02..03-08", "03-09..03-15"]),
        (("every week", "  x", "every wednesday", "  x"),
         ["03-01", "03-02..03-03", "03-04", "03-09..03-10", "03-11"]),
    ],
)  # fmt: skip
def test_windows_fall_as_the_sentences_say(lines: tuple[str, ...], windows: list[str]) -> None:
    assert falls(*lines, until="03-15") == windows


@pytest.mark.parametrize(
    ("lines", "on", "told"),
    [
        # What is owed comes before what is nearer.
        ((*MONDAYS, "03-08 did x"), "03-08", ["03-02 late"]),
        ((*MONDAYS, "03-02 did x", "03-03 did x"), "03-03", ["03-02 done", "extra"]),
        ((*MONDAYS, "03-02 did x", "03-07 did x"), "03-09", ["03-02 done", "03-09 early"]),
        (("every week during april to october", "  x", "03-09 did x"), "03-09", ["extra"]),
        (("every week during april to october", "  x", "03-27 did x"), "03-27", ["04-01 early"]),
        (("once from 2026-08-01 to 2026-08-02", "  x", "03-09 did x"), "03-09", ["08-01 early"]),
        (("away 2026-03-09", *MONDAYS, "03-02 did x", "03-11 did x"), "03-11",
         ["03-02 done", "03-09 late"]),
        ((*MONDAYS, "03-02 did x", "03-04 skipped x"), "03-04", ["03-02 done", "03-09 skipped"]),
        ((*MONDAYS, "03-02 did x", "03-02 skipped x"), "03-02", ["03-02 done", "extra"]),
        ((*MONDAYS, "03-02 moved x to 2026-03-07", "03-05 did x"), "03-05", ["03-02 early"]),
        ((*MONDAYS, "03-02 moved x to 2026-03-09"), "03-02", ["03-02 open", "extra"]),
        (("away 2026-03-09", *MONDAYS, "03-02 moved x to 2026-03-10", "03-10 did x"), "03-16",
         ["03-02 done", "03-16 open"]),
        (("away 2026-03-09", *MONDAYS, "03-02 moved x to 2026-03-10", "03-10 did x",
          "03-11 did x"), "03-15", ["03-02 done", "extra"]),
        (("every monday expires", "  x", "03-03 did x"), "03-03", ["03-02 late"]),
        (("every monday expires", "  x"), "03-03", ["03-02 missed"]),
        (("every monday spare", "  x"), "03-10", ["03-02 spare", "03-09 spare"]),
        (("every monday until 2026-03-05", "  x"), "03-05", ["03-02 owed"]),
        (("every monday until 2026-03-05", "  x"), "03-06", ["03-02 missed"]),
        (("2 times every week from 2026-03-02", "  x", "03-02 did x", "03-04 did x"), "03-08",
         ["03-02 done", "03-06 early"]),
        (("2 times every week from 2026-03-02", "  x", "03-06 did x", "03-08 did x"), "03-08",
         ["03-02 late", "03-06 done"]),
        (("away 2026-03-06 to 2026-03-08", "2 times every week from 2026-03-02", "  x",
          "03-03 did x", "03-07 did x"), "03-08", ["03-02 done", "03-06 done"]),
        (("3 days after done", "  x", "03-01 did x", "03-02 did x"), "03-04",
         ["03-01 done", "03-04 early"]),
        (("3 days after done", "  x", "03-01 skipped x", "03-02 moved x to 2026-03-09"), "03-10",
         ["03-01 skipped", "03-04 owed"]),
        # A window that is missed is not owed again, whatever a later line moves.
        ((*MONDAYS, "03-10 moved x to 2026-03-12"), "03-11", ["03-02 missed"]),
        (("every monday except thursday, friday, saturday, sunday", "  x",
          "03-07 moved x to 2026-03-11"), "03-11", ["03-02 missed", "03-09 open"]),
        (("every monday expires", "  x", "03-07 moved x to 2026-03-11"), "03-10", ["03-02 missed"]),
        # One that has not opened is not dropped by a later one that is settled early.
        (("2 times every week from 2026-03-02", "  x", "every saturday", "  x",
          "03-02 did x", "03-05 did x"), "03-07", ["03-02 done", "03-06 early", "03-07 open"]),
        (("3 days after done until 2026-03-05", "  x", "03-08 moved x to 2026-03-09"), "03-09",
         ["03-01 missed", "extra"]),
    ],
)  # fmt: skip
def test_lines_are_for_the_windows_that_the_sentences_say(
    lines: tuple[str, ...], on: str, told: list[str]
) -> None:
    assert became(*lines, on=on) == told


@pytest.mark.parametrize(
    ("lines", "on", "shown"),
    [
        (("away 2026-03-09", *MONDAYS), "03-09", []),
        (("away 2026-03-09", *MONDAYS), "03-10", ["03-02 late 7"]),
        (("every week except wednesday", "  x"), "03-04", []),
        (("every week except wednesday", "  x"), "03-05", ["03-02"]),
        (("once from 2026-03-02 to 2026-03-03", "  x"), "03-20", ["03-02 late 17"]),
        (("once from 2026-03-02 to 2026-03-03", "  x until 2026-03-19"), "03-20", []),
        (("once from 2026-03-02 to 2026-03-03 expires", "  x"), "03-04", []),
        (("every monday spare", "  x"), "03-02", ["03-02"]),
        (("every monday spare", "  x"), "03-03", []),
        (("every monday except tuesday", "  x", "03-02 moved x to 2026-03-03"), "03-03", ["03-03"]),
        (("away 2026-03-04", *MONDAYS, "03-02 moved x to 2026-03-04"), "03-05", ["03-05"]),
        (("every monday", "  x by each"), "03-02", ["ana 03-02", "ben 03-02"]),
        (("every monday", "  x by each of ben"), "03-02", ["ben 03-02"]),
        (("every monday", "  x by each", "03-02 did x by ana", "03-03 skipped x"), "03-09",
         ["ana 03-09", "ben 03-09"]),
        (("rest 2026-03-02 by ben", "every monday", "  x by each"), "03-02", ["ana 03-02"]),
        (("away 2026-03-03 to 2026-03-05", "2 days after done", "  x", "03-02 did x"), "03-06",
         ["03-06"]),
    ],
)  # fmt: skip
def test_list_shows_what_the_sentences_say(
    lines: tuple[str, ...], on: str, shown: list[str]
) -> None:
    assert listed(*lines, on=on) == shown


def test_what_was_worked_is_off_what_is_left_and_part_of_the_timing() -> None:
    lines = (*MONDAYS, "03-02 worked x 5 min", "03-03 worked x 10 min", "03-04 did x 7 min")
    assert [one.left for one in book(*lines[:-1], on="03-03").listed(day("03-03"))] == [5]
    assert [one.minutes for one in book(*lines, on="03-04").timings("x", day("03-04"))] == [22]
    assert book(*lines[:-1], "03-04 did x", on="03-04").timings("x", day("03-04")) == []


def test_turn_of_who_rests_all_days_goes_to_the_next() -> None:
    turns = book("rest 2026-03-09 by ben", "every monday", "  x by ana then ben", on="03-01")
    windows = turns.windows("x", None, day("03-23"))
    who = [turns.calendar.who(number, one) for number, one in enumerate(windows)]
    assert who == [("ana",), ("ana",), ("ana",), ("ben",)]


def test_limit_of_a_day_is_the_least_that_the_lines_allow() -> None:
    limits = book(
        "days busy 2026-03-03", "limit weekday 45 min", "limit monday 30 min", "limit busy 10 min",
        "limit ana 15 min", "limit ana friday 5 min", "limit ben weekday 20 min",
        "away 2026-03-05 by ben", "away 2026-03-06", on="03-01",
    ).calendar  # fmt: skip
    days = [day(f"03-0{number}") for number in range(2, 9)]
    assert [limits.limit(one) for one in days] == [30, 10, 35, 15, 0, None, None]
    assert [limits.limit_of("ana", one) for one in days[:5]] == [15, 15, 15, 15, 5]
