"""Slow inputs of the calendar: far spans, long absences, many lines of one chore.

Each function is one input: a book with about n years, lines or sections of what it is named for.
"""

from __future__ import annotations

from datetime import date

from inputs import slow_input

COMMANDS = (
    "due",
    "week",
    "review",
    "review --weeks 520",
    "ahead",
    "ahead --weeks 520",
    "lighten",
    "areas",
    "chore",
    "lint",
    "compare",
)
"""The commands that ask the calendar."""
OF_A_YEAR = tuple(command for command in COMMANDS if "--weeks" not in command)
"""Those that look at a year at most: of many chores a day ten years have millions of windows, each
of which is looked at."""
NEAR, LAST = "2026-11-25", "9999-12-31"
ENDS = ("1970-01-01", NEAR, LAST)
YEARS = 8029
"""From the first year that a book may name to the last."""
LAST_YEAR = 9999


HEADERS = (
    "every day",
    "every 3 days from 1970-01-01",
    "every weekday",
    "every weekend",
    "weekend 5",
    "weekend 1, last",
    "every tuesday, friday",
    "every week",
    "every week during april to october",
    "every week except wednesday, off",
    "2 times every week",
    "3 times every month except august",
    "every 2 weeks on thursday from 1970-01-01",
    "every month",
    "every month on first saturday within 7 days",
    "every month on 1, 15, last",
    "every 3 months from 1970-01-01",
    "every april, october",
    "every february on 29",
    "every day during may to june within 3 days",
    "14 days after done",
    "once from 2026-12-01 to 2026-12-20",
)
"""A header of every cadence, and of most clauses."""
CALENDAR_HEADERS = tuple(h for h in HEADERS if not h.endswith("done") and not h.startswith("once"))

HOUSE = """\
household "12 Quarry Lane"
person noor
person tam
area kitchen
days off 2026-12-24 to 2026-12-31
limit weekday 45 min
limit tam 15 min
"""


def iso(day: int) -> str:
    """The date of an ordinal, as a book writes it."""
    return date.fromordinal(day).isoformat()


def year_from(first: int, years: int) -> int:
    """A year so many after a first one, no later than the last of the calendar."""
    return min(first + years, LAST_YEAR)


def every_cadence(clauses: str = "", headers: tuple[str, ...] = HEADERS) -> str:
    """A chore under each cadence, with turns; `x` is the first of them."""
    names = ["x", *(f"chore-{letters}" for letters in "abcdefghijklmnopqrstuvwxyz")]
    return "".join(
        f"{header}\n    {name} 10 min in kitchen by noor then tam{clauses}\n"
        for header, name in zip(headers, names, strict=False)
    )


# ------------------------------------------------------------- named days, rest, and work in parts


@slow_input(2600, ENDS, COMMANDS)
def rest_on_named_days(lines: int) -> str:
    """Days of rest that many lines name, and a chore of each cadence kept to named days."""
    first = date(2026, 1, 1).toordinal()
    days = (f"days trips {iso(first + 3 * n)} to {iso(first + 3 * n + 1)}\n" for n in range(lines))
    chores = every_cadence(
        headers=tuple(
            f"{header} except off"
            for header in CALENDAR_HEADERS
            if "except" not in header and "from" not in header
        )
    )
    return f"{HOUSE}since 1970-01-01\nrest trips by tam\n" + "".join(days) + chores


@slow_input(250, ENDS, COMMANDS)
def kept_to_many_named_days(names: int) -> str:
    """Chores that are kept to named days of their own, each by a cadence."""
    return f"{HOUSE}since 1970-01-01\n" + "".join(
        f"days d{n} {CALENDAR_HEADERS[n % 3]} until 2030-01-01\n"
        f"every day during d{n}\n    y{n} 5 min by noor then tam\n"
        for n in range(names)
    )


@slow_input(2200, ENDS, COMMANDS)
def worked_on_again_and_again(lines: int) -> str:
    """A window that is worked on for years, and one of `N times`."""
    first = date(2026, 1, 1).toordinal()
    book = "once from 2026-01-01 to 2026-12-20\n    x 9000 min\n2 times every week\n    y 30 min\n"
    return f"{HOUSE}since 2026-01-01\n{book}" + "".join(
        f"{iso(first + n // 4)} worked x 1 min, y 2 min by noor\n" for n in range(lines)
    )


# --------------------------------------------------------------------- years: how far spans reach


@slow_input(YEARS, ENDS, COMMANDS)
def away_until_further_notice(years: int) -> str:
    """Away for so many years, which ends with the calendar at four times the usual size."""
    end = year_from(2026, years)
    record = "2026-11-02 did x by noor\n"
    return f"{HOUSE}since 2026-01-01\naway 2026-12-01 to {end}-12-31\n" + every_cadence() + record


@slow_input(YEARS, ENDS, COMMANDS)
def away_from_the_start(years: int) -> str:
    """Away from 1970 on, so that hardly a window was ever at home."""
    end = year_from(1970, years)
    return f"{HOUSE}since 1970-01-01\naway 1970-01-02 to {end}-12-31\n" + every_cadence()


@slow_input(YEARS, ENDS, COMMANDS)
def one_person_away(years: int) -> str:
    """One of two who each do their own is away for good."""
    end = year_from(2026, years)
    chores = every_cadence().replace("by noor then tam", "by each")
    return f"{HOUSE}since 1970-01-01\naway 2026-12-01 to {end}-12-31 by tam\n{chores}"


@slow_input(YEARS, ENDS, COMMANDS)
def once_over_a_daily_line(years: int) -> str:
    """`once` over years beside a daily line of the same chore."""
    end = year_from(1970, years)
    return (
        f"{HOUSE}since 1970-01-01\nonce from 1970-01-01 to {end}-12-31\n"
        "    x 10 min by noor then tam\nevery day\n    x 5 min by noor then tam\n"
    )


@slow_input(YEARS, ENDS, COMMANDS)
def once_over_every_cadence(years: int) -> str:
    """`once` over years beside a line of every cadence there is."""
    end = year_from(1970, years)
    headers = CALENDAR_HEADERS
    pairs = (
        f"{header}\n    {name} 10 min by noor then tam\n"
        f"once from 1970-01-01 to {end}-12-31\n    {name} 10 min by noor then tam\n"
        for header, name in zip(headers, ("x", *map("chore-{}".format, "abcdefghijklmnopqrs")),
                                strict=False)
    )  # fmt: skip
    return f"{HOUSE}since 1970-01-01\n" + "".join(pairs)


@slow_input(YEARS, ENDS, COMMANDS)
def once_and_once_again(years: int) -> str:
    """Two lines `once` of one chore over the same years, and one that begins with them."""
    end = year_from(1970, years)
    return (
        f"{HOUSE}since 1970-01-01\nonce from 1970-01-01 to {end}-12-31\n    x 10 min\n"
        f"once from 1970-01-02 to {end}-12-30\n    x 10 min\n"
    )


@slow_input(YEARS, (LAST,), COMMANDS)
def old_book(years: int) -> str:
    """A book of every cadence, asked on the last day of the calendar, that began so long ago."""
    start = max(1970, LAST_YEAR - years)
    return f"{HOUSE}since {start}-01-01\n" + every_cadence()


@slow_input(YEARS, (LAST,), COMMANDS)
def old_chore_of_many_lines(years: int) -> str:
    """A chore with a line of every cadence of the calendar, each on until today."""
    start = max(1970, LAST_YEAR - years)
    lines = "".join(f"{h}\n    x 10 min by noor then tam\n" for h in CALENDAR_HEADERS)
    return f"{HOUSE}since {start}-01-01\n{lines}"


@slow_input(YEARS, ENDS, COMMANDS)
def record_at_both_ends(years: int) -> str:
    """A record with a line in 1970 and one so many years on, and nothing between."""
    end = year_from(1970, years)
    return f"{HOUSE}{every_cadence()}1970-01-01 did x\n{end}-12-30 did x, chore-a by tam\n"


@slow_input(YEARS, ENDS, COMMANDS)
def far_apart(years: int) -> str:
    """Cadences with the longest steps there are."""
    end = year_from(1970, years)
    headers = (
        "every 9999 days from 1970-01-01",
        "every 9999 weeks from 1970-01-01",
        "every 9999 months from 1970-01-01",
        "9999 days after done",
        "1 day after done during february to february",
        "every 48 months on 29 within 366 days from 1971-02-01",
        "every 24 months on 29 from 1971-02-01",
        "every month on 31 during june to june",
        "weekend 5 during february to february",
    )
    chores = every_cadence(headers=headers)
    return f"{HOUSE}since 1970-01-01\n{chores}1970-01-02 did x\n{end}-01-02 did chore-a\n"


@slow_input(YEARS, ENDS, COMMANDS)
def record_seldom(years: int) -> str:
    """A line of the record every fifty years, late each time."""
    lines = (
        f"{year:04}-06-03 did x, chore-f, chore-g by tam\n"
        for year in range(1970, year_from(1970, years), 50)
    )
    return f"{HOUSE}{every_cadence()}" + "".join(lines)


# --------------------------------------------------------------------- lines of days away


def _with_away(lines: list[str]) -> str:
    return f"{HOUSE}since 2020-01-01\n" + "".join(lines) + every_cadence()


@slow_input(2400, ENDS, COMMANDS)
def away_apart(lines: int) -> str:
    """Many short absences, a day at home between each and the next."""
    first = date(2020, 1, 3).toordinal()
    return _with_away([f"away {iso(first + 4 * n)} to {iso(first + 4 * n + 2)}\n"
                       for n in range(lines)])  # fmt: skip


@slow_input(2400, ENDS, COMMANDS)
def away_touching(lines: int) -> str:
    """Many absences that touch, so that they are one."""
    first = date(2020, 1, 3).toordinal()
    return _with_away([f"away {iso(first + 4 * n)} to {iso(first + 4 * n + 3)}\n"
                       for n in range(lines)])  # fmt: skip


@slow_input(2400, ENDS, COMMANDS)
def away_nested(lines: int) -> str:
    """Absences, each inside the one before it."""
    first = date(2020, 1, 3).toordinal()
    return _with_away([f"away {iso(first + n)} to {iso(first + 9 * lines - n)}\n"
                       for n in range(lines)])  # fmt: skip


@slow_input(2400, ENDS, COMMANDS)
def away_overlapping(lines: int) -> str:
    """Absences that each reach into the next few."""
    first = date(2020, 1, 3).toordinal()
    return _with_away([f"away {iso(first + 3 * n)} to {iso(first + 3 * n + 20)}\n"
                       for n in range(lines)])  # fmt: skip


@slow_input(2000, ENDS, COMMANDS)
def away_by_turns(lines: int) -> str:
    """Absences of one person and of the other, by turns and overlapping."""
    first = date(2020, 1, 3).toordinal()
    return _with_away([f"away {iso(first + 3 * n)} to {iso(first + 3 * n + 4)} by "
                       f"{('noor', 'tam')[n % 2]}\n" for n in range(lines)])  # fmt: skip


@slow_input(1600, ENDS, OF_A_YEAR)
def away_of_many_people(lines: int) -> str:
    """Many people, each away on days of their own now and again, in one chore that each does."""
    first = date(2020, 1, 3).toordinal()
    people = [
        f"person p{n // 16}x\n"
        * (n % 16 == 0)
        + f"away {iso(first + 160 * (n % 16) + n)} to {iso(first + 160 * (n % 16) + n + 9)} "
        f"by p{n // 16}x\n"
        for n in range(lines)
    ]
    return f"since 2020-01-01\n{''.join(people)}every day\n    x 5 min by each\n"


@slow_input(1200, ENDS, COMMANDS)
def away_after_done(lines: int) -> str:
    """Absences and a record in step with them, of chores that count from when they were done."""
    first = date(2020, 1, 3).toordinal()
    away = [f"away {iso(first + 6 * n)} to {iso(first + 6 * n + 2)}\n" for n in range(lines)]
    record = [f"{iso(first + 6 * n + 3)} did x\n" for n in range(lines)]
    return f"{HOUSE}{''.join(away)}2 days after done\n    x 5 min\n{''.join(record)}"


# --------------------------------------------------------------------- sections and lines


@slow_input(1600, ENDS, COMMANDS)
def once_sections(sections: int) -> str:
    """A section `once` a chore, all over the same years."""
    first = date(2026, 1, 1).toordinal()
    return f"{HOUSE}since 1970-01-01\nevery day\n    x 5 min\n" + "".join(
        f"once from {iso(first + n)} to 9999-12-31\n    y{n} 5 min\n" for n in range(sections)
    )


@slow_input(1600, ENDS, COMMANDS)
def once_sections_of_one_chore(sections: int) -> str:
    """One chore under many sections `once`, each over a day of its own."""
    first = date(2026, 1, 1).toordinal()
    return f"{HOUSE}since 1970-01-01\n" + "".join(
        f"once from {iso(first + 2 * n)} to {iso(first + 2 * n)}\n    x 5 min\n"
        for n in range(sections)
    )


@slow_input(1600, ENDS, COMMANDS)
def once_sections_of_one_chore_over_years(sections: int) -> str:
    """One chore under many sections `once`, all to the end of the calendar."""
    first = date(2026, 1, 1).toordinal()
    return f"{HOUSE}since 1970-01-01\n" + "".join(
        f"once from {iso(first + 2 * n)} to 9999-12-31\n    x 5 min\n" for n in range(sections)
    )


@slow_input(1300, ENDS, COMMANDS)
def lines_one_after_another(lines: int) -> str:
    """One chore of every day in many lines, each on from where the one before it ends."""
    first = date(2020, 1, 1).toordinal()
    return f"{HOUSE}since 1970-01-01\n" + "".join(
        f"every day from {iso(first + 5 * n)} until {iso(first + 5 * n + 4)}\n"
        "    x 5 min by noor then tam\n"
        for n in range(lines)
    )


@slow_input(1000, ENDS, COMMANDS)
def lines_of_many_cadences(lines: int) -> str:
    """One chore with many lines of all cadences, on one after another."""
    first = date(2020, 1, 1).toordinal()
    headers = [h.split(" from")[0] for h in CALENDAR_HEADERS if "every 2" not in h]
    headers = [h for h in headers if not h.startswith("every 3")]
    return f"{HOUSE}since 1970-01-01\n" + "".join(
        f"{headers[n % len(headers)]} from {iso(first + 40 * n)} until {iso(first + 40 * n + 39)}\n"
        f"    x 5 min by noor then tam\n"
        for n in range(lines)
    )


@slow_input(1000, ENDS, OF_A_YEAR)
def old_turns(sections: int) -> str:
    """Many chores of all cadences with turns, in a book that began in 1970."""
    return f"{HOUSE}since 1970-01-01\nevery day\n    x 5 min by noor then tam\n" + "".join(
        f'{CALENDAR_HEADERS[n % len(CALENDAR_HEADERS)]} "{n}"\n    y{n} 5 min by noor then tam\n'
        for n in range(sections)
    )


# --------------------------------------------------------------------- the record


@slow_input(2800, ENDS, COMMANDS)
def never_quiet(lines: int) -> str:
    """A weekly chore done the day after each time, so that no gap between windows is quiet."""
    first = date(1990, 1, 1).toordinal()
    return f"{HOUSE}every monday\n    x 5 min by noor then tam\n" + "".join(
        f"{iso(first + 7 * n + 1)} did x\n" for n in range(lines)
    )


@slow_input(2000, ENDS, COMMANDS)
def moved_each_time(lines: int) -> str:
    """A weekly chore moved each time it comes round."""
    first = date(1990, 1, 1).toordinal()
    return f"{HOUSE}every monday\n    x 5 min by noor then tam\n" + "".join(
        f"{iso(first + 7 * n)} moved x to {iso(first + 7 * n + 3)}\n" for n in range(lines)
    )


@slow_input(3200, ENDS, COMMANDS)
def done_after_done(lines: int) -> str:
    """A chore that counts from when it was done, done many times and moved now and then."""
    first = date(1990, 1, 1).toordinal()
    return f"{HOUSE}5 days after done during march to october\n    x 5 min by noor then tam\n" + (
        "".join(f"{iso(first + 4 * n)} did x\n" for n in range(lines))
    )


@slow_input(2800, ENDS, COMMANDS)
def moved_to_the_end(lines: int) -> str:
    """A daily chore that the record moves to the last days of the calendar again and again."""
    record = (
        f"{iso(date(2026, 1, 1).toordinal() + n % 300)} moved x to 9999-12-{n % 28 + 1:02}\n"
        for n in range(lines)
    )
    return f"{HOUSE}since 2026-01-01\nevery day\n    x 5 min\n" + "".join(record)


@slow_input(2800, ENDS, COMMANDS)
def moved_onto_the_next(lines: int) -> str:
    """A weekly chore done late each time, and moved onto where it comes round next."""
    first = date(2026, 11, 25).toordinal() - 7 * 40
    record = (
        f"{iso(first + 7 * (n % 40) - 1)} did x\n{iso(first + n % 280)} moved x to "
        f"{iso(first + n % 280 + 14)}\n"
        for n in range(lines // 2)
    )
    return f"{HOUSE}since 2020-01-01\nevery monday\n    x 5 min\n" + "".join(sorted(record))


@slow_input(1250, (NEAR,), COMMANDS)
def mondays_one_after_another(lines: int) -> str:
    """One chore of one weekday in many lines, each on from where the one before it ends."""
    first = date(2020, 1, 1).toordinal()
    return f"{HOUSE}since 1970-01-01\n" + "".join(
        f"every monday from {iso(first + 7 * n)} until {iso(first + 7 * n + 6)}\n"
        "    x 5 min by noor then tam\n"
        for n in range(lines)
    )


@slow_input(1000, (NEAR,), OF_A_YEAR)
def many_daily_chores(chores: int) -> str:
    """Many chores of every day, none ever done, in a book of twenty years."""
    return f"{HOUSE}since 2006-01-01\nevery day\n    x 5 min\n" + "".join(
        f"    y{n} 5 min in kitchen by noor then tam\n" for n in range(chores)
    )
