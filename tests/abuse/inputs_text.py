"""Slow inputs of the text side: long lines, many faults, many names, many versions.

Each function is one input: a book, or versions of one, with about n of what it is named for.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from math import isqrt

from inputs import Versions, slow_input

FIRST = date(2026, 1, 1).toordinal()
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def lines(some: Iterable[str]) -> str:
    """Lines as a text."""
    return "".join(f"{line}\n" for line in some)


def word(number: int, length: int = 4) -> str:
    """A number in letters."""
    found = ""
    for _ in range(length):
        number, digit = divmod(number, len(LETTERS))
        found = LETTERS[digit] + found
    return found


def day(number: int) -> str:
    """A day of 2026, from the first on."""
    return date.fromordinal(FIRST + number % 320).isoformat()


def section(chores: Iterable[str], header: str = "every day") -> str:
    """A section with its chores."""
    return lines([header, *(f"    {chore}" for chore in chores)])


# ------------------------------------------------------------------ one long line


@slow_input(100_000)
def long_title(n: int) -> str:
    return section([f'x 5 min in nowhere "{"t" * n}"'])


@slow_input(33_000)
def long_wide_title(n: int) -> str:
    return section([f'x 5 min in nowhere "{"家" * n}" in elsewhere'])


@slow_input(50_000)
def long_title_of_combining_marks(n: int) -> str:
    return section([f'x 5 min "e{chr(0x301) * n}" in nowhere'])


@slow_input(50_000)
def long_title_of_escapes(n: int) -> str:
    return section([f'x 5 min "{chr(92) * 2 * n}" in nowhere'])


@slow_input(50_000)
def long_title_of_words(n: int) -> str:
    return section([f'x 5 min in nowhere "{"a " * n}b"'])


@slow_input(100_000)
def long_word_at_the_margin(n: int) -> str:
    return lines(["e" * n])


@slow_input(100_000)
def long_word_in_a_section(n: int) -> str:
    return section([f"x {'y' * n}"])


@slow_input(100_000)
def long_word_of_signs(n: int) -> str:
    return section(["x " + "%" * n])


@slow_input(33_000)
def long_number(n: int) -> str:
    return section([f"x {'1' * n} min"]) + lines([f"every {'1' * n} days", "1" * n])


@slow_input(33_000)
def long_names(n: int) -> str:
    return section([f"{'a' * n} 5 min"]) + lines([f"2026-03-02 did {'a' * n}b, {'a' * n}"])


@slow_input(49_000)
def long_comment(n: int) -> str:
    return lines(["# " + "c" * n, "every day # " + "," * n])


@slow_input(49_000)
def long_row_of_commas(n: int) -> str:
    return lines(["2026-03-02 did " + "," * n]) + section(["x in " + "," * n])


@slow_input(49_000)
def long_row_of_quotes(n: int) -> str:
    return lines(["2026-03-02 did x " + '"' * n]) + section(["x " + '"' * n])


@slow_input(14_000)
def long_row_of_titles(n: int) -> str:
    return lines(["every day " + '"" ' * n]) + section(["x " + '"a" ' * n])


@slow_input(49_000)
def long_row_of_hashes(n: int) -> str:
    return lines(["every day " + "#" * n, "every " + "#" * n])


@slow_input(33_000)
def long_row_of_blanks(n: int) -> str:
    return lines(["every" + " " * n + "day", "every" + " " * n]) + section(["x" + "\t" * n + "5"])


@slow_input(19_000)
def long_row_of_odd_blanks(n: int) -> str:
    return lines(["every" + "\xa0" * n + "day", "every day" + "\u2003" * n])


@slow_input(24_000)
def long_row_of_unsafe_characters(n: int) -> str:
    return lines(["every day" + "\u202e" * n, "x" + "\x07" * n])


@slow_input(4_300)
def clauses_repeated(n: int) -> str:
    return section(["x " + "in a " * n, "y " + "5 min " * n, "z " + "by a then b " * n])


@slow_input(4_700)
def clauses_of_headers_repeated(n: int) -> str:
    return lines(["every day " + "within 2 days " * n, "every day " + "paused " * n])


@slow_input(4_100)
def words_of_cadences(n: int) -> str:
    return lines(["every " + "monday and " * n, "every " + "other " * n, "on the " * n + "monday"])


@slow_input(2_500)
def words_of_lists_and_spans(n: int) -> str:
    return lines(
        [
            "every week not in " + "may or " * n,
            "away leo and " + "tam and " * n + "2026-07-04",
            "limit " + "leo and " * n + "15 min",
            "every day " + "very " * n + "vital",
            "days school 2 sep to " + "3 sep and " * n,
            "every day (except " + "a " * n,
        ]
    )


@slow_input(1_000)
def named_days_written_apart(n: int) -> str:
    names = [f"{word(number)}-days" for number in range(n)]
    wrong = (f"limit {name.replace('-', ' ')} at most 5 min" for name in names)
    away = (f"away at {name.replace('-', ' ')}" for name in names)
    return lines([*(f"days {name} {day(1)}" for name in names), *wrong, *away])


@slow_input(9_000)
def list_of_days(n: int) -> str:
    return lines(["every " + "monday, " * n + "friday", "every month on " + "1, " * n + "32"])


@slow_input(12_000)
def list_of_items(n: int) -> str:
    names = ", ".join(word(number) for number in range(n))
    return section(["x 5 min"]) + lines([f"2026-03-02 did {names}"])


@slow_input(12_000)
def list_of_known_items(n: int) -> str:
    names = [word(number) for number in range(n // 2)]
    return section(names) + lines([f"2026-03-02 did {', '.join(names)}"])


@slow_input(8_300)
def list_of_items_that_ends_wrong(n: int) -> str:
    return lines(["2026-03-02 did " + "oven 5 min, " * n + "%"])


@slow_input(8_300)
def list_of_areas(n: int) -> str:
    names = ", ".join(word(number) for number in range(n))
    return section([f"x 5 min in {names}", f"y uses {names}"])


@slow_input(6_600)
def list_of_people(n: int) -> str:
    names = [word(number) for number in range(n // 2)]
    known = lines(f"person {name}" for name in names)
    return known + section([f"x 5 min by {' or '.join(names)}", f"y by {' then '.join(names)}"])


@slow_input(25_000)
def list_of_one_name(n: int) -> str:
    return lines(["area a"]) + section(["x in " + "a, " * n + "a"])


# ------------------------------------------------------------------ many names


@slow_input(1_800)
def near_names_of_chores(n: int) -> str:
    names = [f"aaaa-{word(number)}" for number in range(n)]
    wrong = (f"{day(number)} did {name}z" for number, name in enumerate(names))
    return section(names) + lines(wrong)


@slow_input(3_000)
def near_names_in_one_line(n: int) -> str:
    names = [f"aaaa-{word(number)}" for number in range(n)]
    return section(names) + lines(["2026-03-02 did " + ", ".join(f"b{name}" for name in names)])


@slow_input(2_000)
def far_names_of_chores(n: int) -> str:
    names = [f"{word(7919 * number)}-{word(104_729 * number)}" for number in range(n)]
    wrong = (f"{day(number)} did {name[::-1]}" for number, name in enumerate(names))
    return section(names) + lines(wrong)


@slow_input(1_500)
def near_names_of_people(n: int) -> str:
    names = [f"aaaa-{word(number)}" for number in range(n)]
    known = lines(f"person {name}" for name in names)
    return known + section(f"x-{name} by {name}z" for name in names)


@slow_input(1_500)
def near_names_of_areas(n: int) -> str:
    names = [f"aaaa-{word(number)}" for number in range(n)]
    known = lines(f"area {name}" for name in names)
    return known + section(f"x-{name} in {name[1:]}" for name in names)


@slow_input(2_000)
def near_names_after(n: int) -> str:
    names = [f"aaaa-{word(number)}" for number in range(n)]
    return section(f"{name} after {name}z" for name in names)


@slow_input(2_500)
def near_names_of_limits(n: int) -> str:
    names = [f"aaaa-{word(number)}" for number in range(n)]
    return lines(f"person {name}" for name in names) + lines(
        f"limit {name[1:]} 20 min" for name in names
    )


@slow_input(3_000)
def near_things(n: int) -> str:
    return section(f"x-{word(number)} uses blea{word(number)}h" for number in range(n))


@slow_input(300)
def long_near_names(n: int) -> str:
    names = [f"{'a' * 100}-{word(number)}" for number in range(n)]
    wrong = (f"{day(number)} did {name}z" for number, name in enumerate(names))
    return section(names) + lines(wrong)


# ------------------------------------------------------------------ many things of one kind


@slow_input(3_100)
def many_chores(n: int) -> str:
    return section(f'a-{word(number)}  5 min  "Chore {number}"' for number in range(n))


@slow_input(5_300)
def many_chores_renamed(n: int) -> Versions:
    book, before, theirs = (
        section(f"{letter}-{word(number)}  {1 + number % 60} min" for number in range(n))
        for letter in "abc"
    )
    return Versions(book, before, theirs)


@slow_input(2_500)
def many_sections(n: int) -> str:
    return "".join(
        section([f"a-{word(number)} 5 min"], f'every day "Tin {number}"') for number in range(n)
    )


@slow_input(2_500)
def many_sections_renamed(n: int) -> Versions:
    book, before, theirs = (
        "".join(
            section([f"a-{word(number)} 5 min"], f'every day "{letter} {number}"')
            for number in range(n)
        )
        for letter in "abc"
    )
    return Versions(book, before, theirs)


@slow_input(2_000)
def many_sections_renamed_with_other_chores(n: int) -> Versions:
    book, before, theirs = (
        "".join(
            section([f"{letter}-{word(number)} 5 min"], f'every day "{letter} {number}"')
            for number in range(n)
        )
        for letter in "abc"
    )
    return Versions(book, before, theirs)


@slow_input(2_800)
def sections_of_one_chore(n: int) -> str:
    return "".join(section(["x 5 min"], f'every monday "Tin {number}"') for number in range(n))


@slow_input(4_000)
def equal_sections_of_one_chore(n: int) -> str:
    return section(["x 5 min"], "every monday") * n


@slow_input(2_700)
def sections_of_one_chore_changed(n: int) -> Versions:
    book, before, theirs = (
        "".join(
            section([f"x {minutes + number % 50} min"], f'every monday "Tin {number}"')
            for number in range(n)
        )
        for minutes in (1, 2, 3)
    )
    return Versions(book, before, theirs)


@slow_input(8_000)
def one_chore_in_one_section(n: int) -> str:
    return section(["x 5 min"] * n)


@slow_input(2_000)
def one_chore_parted_by_dates(n: int) -> str:
    days = [date.fromordinal(FIRST + 2 * number) for number in range(n)]
    return "".join(section(["x"], f"every day from {first} until {first}") for first in days)


@slow_input(8_000)
def chores_below_a_header_that_cannot_be_read(n: int) -> str:
    return section((f"a-{word(number)}" for number in range(n)), "evry day")


@slow_input(8_000)
def empty_sections(n: int) -> str:
    return lines(["every day", "every weekend"] * (n // 2))


@slow_input(6_000)
def many_people(n: int) -> str:
    return lines(f"person {word(number)}" for number in range(n)) + section(["x by each"])


@slow_input(4_000)
def many_people_changed(n: int) -> Versions:
    book, before, theirs = (
        lines(f'person {word(number)} "{title}"' for number in range(n)) for title in "abc"
    )
    return Versions(book, before, theirs)


@slow_input(7_000)
def many_areas(n: int) -> str:
    return lines(f"area {word(number)}" for number in range(n))


@slow_input(14_000)
def many_areas_of_one_name(n: int) -> str:
    return lines(["area a"] * n)


@slow_input(4_000)
def many_limits(n: int) -> str:
    return lines(f"person {word(number)}" for number in range(n // 2)) + lines(
        f"limit {word(number)} 20 min" for number in range(n // 2)
    )


@slow_input(5_200)
def many_settings(n: int) -> str:
    return lines(["week starts monday"] * n)


@slow_input(4_200)
def dangerous_things(n: int) -> str:
    return section(
        f"a-{word(number)} uses {'bleach' if number % 2 else 'vinegar'}" for number in range(n)
    )


@slow_input(3_400)
def dangerous_things_apart(n: int) -> str:
    days = ("every monday", "every tuesday")
    return "".join(
        section(
            (f"{thing}-{word(number)} uses {thing}" for number in range(n // 2)),
            header,
        )
        for header, thing in zip(days, ("bleach", "vinegar"), strict=True)
    )


@slow_input(5_000)
def chores_moved_apart(n: int) -> Versions:
    moved = [f"a-{word(number)} 5 min" for number in range(n)]
    headers = ("every day", "every monday", "every friday")
    book, before, theirs = (
        "".join(section(moved if one == header else ["x"], header) for header in headers)
        for one in headers
    )
    return Versions(book, before, theirs)


@slow_input(3_000)
def chores_with_comments_taken_out(n: int) -> Versions:
    names = [f"a-{word(number)}" for number in range(n)]
    before = section(f"{name} 5 min" for name in names)
    book = section(f"{name} 5 min # {name}" for name in names)
    return Versions(book, before, section(["x"]))


@slow_input(3_000)
def chain_of_after(n: int) -> str:
    return section(f"a-{word(number)} after a-{word(number + 1)}" for number in range(n))


@slow_input(3_000)
def circle_of_after(n: int) -> str:
    return section(f"a-{word(number)} after a-{word((number + 1) % n)}" for number in range(n))


@slow_input(10_000)
def net_of_after(n: int) -> str:
    names = [f"a-{word(number)}" for number in range(isqrt(n))]
    return section(f"{name} after {', '.join(names)}" for name in names)


@slow_input(4_000)
def chores_of_no_section(n: int) -> str:
    return lines(f"    a-{word(number)} 5 min" for number in range(n))


@slow_input(4_000)
def headers_that_cannot_be_read(n: int) -> str:
    return "".join(section([f"a-{word(number)}"], f"evry {word(number)}") for number in range(n))


# ------------------------------------------------------------------ many lines


@slow_input(7_100)
def unread_lines(n: int) -> str:
    return lines(f"nonsense {word(number)}" for number in range(n))


@slow_input(20_000)
def equal_unread_lines(n: int) -> Versions:
    return Versions(lines(["%%%%"] * n), lines(["%%%%"] * (n - 1)), lines(["%%%%"] * (n + 1)))


@slow_input(6_000)
def unread_lines_changed(n: int) -> Versions:
    book, before, theirs = (
        lines(f"nonsense {letter}{word(number)}" for number in range(n)) for letter in "abc"
    )
    return Versions(book, before, theirs)


@slow_input(4_900)
def unread_lines_in_a_section(n: int) -> str:
    return section(f"a-{word(number)} nonsense" for number in range(n))


@slow_input(5_000)
def unread_lines_of_the_record(n: int) -> str:
    return lines(f"{day(number)} dod {word(number)}" for number in range(n))


@slow_input(4_000)
def lines_of_the_record_in_other_words(n: int) -> str:
    return lines(f"{day(number)} {word(number)} was done" for number in range(n))


@slow_input(3_000)
def dates_that_are_none(n: int) -> str:
    return lines(f"2026-02-{30 + number % 60} did {word(number)}" for number in range(n))


@slow_input(3_000)
def minutes_that_cannot_be_read(n: int) -> str:
    return section(f"a-{word(number)} {number} minutes in kitchen" for number in range(n))


@slow_input(6_200)
def unsafe_lines(n: int) -> str:
    return lines("every day \x07" + word(number) for number in range(n))


@slow_input(100_000)
def blank_lines(n: int) -> str:
    return lines([""] * n) + section(["x"])


@slow_input(100_000)
def lone_returns(n: int) -> str:
    return "every day\r" + "\r" * n + "x"


@slow_input(25_000)
def comments_alone(n: int) -> str:
    return lines(["# a"] * n)


@slow_input(10_000)
def comments_changed(n: int) -> Versions:
    book, before, theirs = (
        lines(f"# {letter} {word(number)}" for number in range(n)) + section(["x"])
        for letter in "abc"
    )
    return Versions(book, before, theirs)


@slow_input(4_000)
def comments_at_lines(n: int) -> str:
    return lines(f"# {word(number)}\n{day(number)} did x" for number in range(n)) + section(["x"])


@slow_input(14_000)
def headers_below_comments(n: int) -> str:
    return lines(f"# {word(number)}" for number in range(n)) + section(["x"]) * 3


@slow_input(7_100)
def headers_and_comments(n: int) -> str:
    return lines("# a\nevery day" for _ in range(n))


@slow_input(2_300)
def allowances(n: int) -> str:
    return section(f"a-{word(number)} # allow missing-minutes: short" for number in range(n))


@slow_input(2_400)
def allowances_of_no_rule(n: int) -> str:
    return section(
        f"a-{word(number)} # allow missing-minuts{word(number)}: x" for number in range(n)
    )


@slow_input(6_000)
def allowances_in_one_line(n: int) -> str:
    return section(["x # allow " + ", ".join(["missing-minutes"] * n) + ": short"])


@slow_input(6_000)
def allowances_of_no_rule_in_one_line(n: int) -> str:
    return section(["x # allow " + ", ".join(f"misng-mi-{word(k)}" for k in range(n)) + ": short"])


@slow_input(4_500)
def record_of_one_day(n: int) -> str:
    return section(["x 5 min"]) + lines(["2026-03-02 did x"] * n)


@slow_input(4_500)
def record_backwards(n: int) -> str:
    return section(["x 5 min"]) + lines(f"{day(-number)} did x" for number in range(n))


@slow_input(4_000)
def record_of_many_notes(n: int) -> str:
    return section(["x 5 min"]) + lines(
        f'{day(number)} did x "{word(number)}"' for number in range(n)
    )


@slow_input(3_000)
def record_with_other_notes(n: int) -> Versions:
    book, before, theirs = (
        section(["x 5 min"])
        + lines(f'2026-03-02 did x "{letter} {word(number)}"' for number in range(n))
        for letter in "abc"
    )
    return Versions(book, before, theirs)


@slow_input(2_500)
def record_of_moves(n: int) -> str:
    return section(["x 5 min"], "every week") + lines(
        f"{day(number)} moved x to {day(number + 2)}" for number in range(n)
    )


@slow_input(77_000, commands=("merge", "compare"))
def record_changed_at_its_first_line(n: int) -> Versions:
    rest = lines(f"{day(number)} did x" for number in sorted(k % 320 for k in range(n)))
    first, other, third = (f"2025-12-31 did x {minutes} min\n" for minutes in (5, 6, 7))
    return Versions(first + rest, other + rest, third + rest)


@slow_input(77_000, commands=("merge",))
def record_changed_at_its_end(n: int) -> Versions:
    rest = lines(f"{day(number)} did x" for number in sorted(k % 320 for k in range(n)))
    last, other, third = (f"2026-12-31 did x {minutes} min\n" for minutes in (5, 6, 7))
    return Versions(rest + last, rest + other, rest + third)


# ------------------------------------------------------------------ steps and lists


@slow_input(6_000, commands=("merge", "compare"))
def steps_in_other_orders(n: int) -> Versions:
    steps = [f"        - {number}" for number in range(n)]
    orders = steps, [*steps[1::2], *steps[::2]], [*steps[::3], *steps[1::3], *steps[2::3]]
    return Versions(*(lines(["every day", "    a  5 min", *order]) for order in orders))


@slow_input(6_000, commands=("merge", "compare"))
def list_that_both_changed(n: int) -> Versions:
    items = [f"thing-{number}" for number in range(n)]
    three = items, [*items[1:], "ours"], [*items[:-1], "theirs"]
    return Versions(*(lines(["every day", f"    a  uses {', '.join(one)}"]) for one in three))


# ------------------------------------------------------------------ marks of a merge


@slow_input(3_000)
def conflicts(n: int) -> str:
    mark = "<<<<<<< ours\nevery day\n=======\nevery weekend\n>>>>>>> theirs"
    return lines([mark] * (n // 2))


@slow_input(8_000)
def marks_that_only_open(n: int) -> str:
    return lines(["<<<<<<< ours"] * n)


@slow_input(62_500)
def deep_marks(n: int) -> str:
    depth = range(7, 7 + isqrt(n))
    opening = ("<" * length for length in depth)
    closing = (f"{'=' * length}\n{'>' * length}" for length in reversed(depth))
    return lines([*opening, *closing])


@slow_input(30_000)
def long_marks(n: int) -> str:
    return lines(["<" * n, "=" * n, ">" * n])
