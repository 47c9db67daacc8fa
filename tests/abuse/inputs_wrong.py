"""Long wrong lines of chores, steps and the record: what they are told is found in time."""

from __future__ import annotations

from inputs import slow_input

PEOPLE = "".join(f"person {name}\n" for name in ("noor", "tam", "mia"))
HOME = f"{PEOPLE}area living-room\nevery day\n    dishes  5 min\n    bins  5 min\n"


@slow_input(16_000)
def long_list_of_people_joined_in_every_way(n: int) -> str:
    return f"{HOME}    a  by noor" + " and tam or mia" * (n // 3) + "\n"


@slow_input(20_000)
def long_list_behind_each(n: int) -> str:
    return f"{HOME}    a  by each" + " mia" * n + "\n"


@slow_input(20_000)
def long_list_of_people_left_out(n: int) -> str:
    return f"{HOME}    a  by everyone except mia" + ", tam" * (n // 2) + "\n"


@slow_input(20_000)
def long_name_of_words(n: int) -> str:
    return f"{HOME}    make" + " beds" * n + " 5min\n"


@slow_input(15_000)
def long_list_of_names_of_words(n: int) -> str:
    return f"{HOME}    a  in living room" + ", living room" * (n // 3) + "\n"


@slow_input(20_000)
def long_row_of_days_that_ends_in_only(n: int) -> str:
    return f"{HOME}    a  monday" + ", friday" * (n // 3) + " only\n"


@slow_input(25_000)
def long_step_with_another_sign(n: int) -> str:
    return f"{HOME}        * " + "take it, " * (n // 3 + 60) + "\n"


@slow_input(25_000)
def long_step_without_a_sign(n: int) -> str:
    return f"{HOME}        " + "take it " * (n // 3 + 60) + "\n"


@slow_input(30_000)
def long_line_of_doings(n: int) -> str:
    return f"{HOME}2026-03-14 did " + "dishes and bins by noor " * (n // 10 + 9) + "\n"


@slow_input(30_000)
def long_line_of_what_was_not_done(n: int) -> str:
    return f"{HOME}2026-03-14 did not " + "dishes, " * (n // 4 + 60) + "\n"


@slow_input(30_000)
def long_line_of_dates(n: int) -> str:
    return f"{HOME}2026-03-14 moved bins to " + "2026-13-14 " * (n // 5) + "\n"


@slow_input(2_000)
def lines_that_name_nobody(n: int) -> str:
    chores = "".join(f"    a-{number}  by everyone except mia\n" for number in range(n))
    return f"{HOME}{chores}"
