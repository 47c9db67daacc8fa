"""A made-up household's routine: its people, sections and chores, and limits they fit."""

import datetime
from collections.abc import Callable, Container
from typing import NamedTuple

Date = datetime.date
Falls = Callable[[Date], bool]

ALL_WEEK = frozenset(range(7))
WORKDAYS = frozenset(range(5))
WEEKEND = frozenset({5, 6})
MON, TUE, WED, THU, FRI, SAT = range(6)
ALL_YEAR = range(1, 13)
LAST = 0
DAY = datetime.timedelta(1)

PEOPLE = ("noor", "tam", "edie", "ravi", "mina", "oskar", "lena", "femi")
TITLED_PEOPLE = {"edie": "Edie, 10", "oskar": "Oskar (weekends)"}
AREAS = {
    "kitchen": "",
    "bathroom": "Bathroom and hall toilet",
    "bedrooms": "",
    "living": "Living room and stairs",
    "outside": "Yard, bins and shed",
}


class Section(NamedTuple):
    """One container: its header, and when its chores come up in the made-up life."""

    header: str
    falls: Falls
    """Whether the household would take the container out on a date."""
    weekdays: frozenset[int]
    """The days of the week that a window of it may touch; Monday is 0."""
    slack: int
    """How many days late it is sometimes done, or moved, without reaching the next one."""


class Plan(NamedTuple):
    """One chore as the sheet lists it; `share` says how people divide it."""

    name: str
    section: str
    minutes: int
    area: str
    share: str = ""
    more: str = ""


class Chore(NamedTuple):
    """A chore of one household, with all that its life needs."""

    name: str
    minutes: int
    each: bool
    doers: tuple[str, ...]
    section: Section
    begins: Date
    ends: Date
    line: str


# {year} is the first year of the book and {last} its last, here and in the headers.
PLANS = (
    Plan("wash-up", "blue", 15, "kitchen", "then", '"Wash up and wipe the counters"'),
    Plan("make-beds", "blue", 5, "bedrooms", "each"),
    Plan("sweep-floor", "blue", 6, "kitchen", "or"),
    Plan("feed-cat", "blue", 3, "kitchen", "then"),
    Plan("air-rooms", "blue", 4, "bedrooms"),
    Plan("wipe-basin", "blue", 3, "bathroom", "or"),
    Plan("water-herbs", "blue", 2, "kitchen"),
    Plan("post", "blue", 2, "living", "", "until {last}-06-30"),
    Plan("dry-dishes", "evening", 8, "kitchen", "or", "after wash-up"),
    Plan("tidy-room", "evening", 5, "bedrooms", "each"),
    Plan("lock-up", "evening", 2, "outside", "one"),
    Plan("lay-table", "evening", 4, "kitchen", "then"),
    Plan("compost-pail", "evening", 3, "kitchen", "or"),
    Plan("lunches", "weekday", 10, "kitchen", "then"),
    Plan("walk-dog", "weekday", 15, "outside", "or"),
    Plan("desk", "weekday", 4, "living", "one"),
    Plan("hall-shoes", "weekday", 3, "living", "", "from {year}-07-01"),
    Plan("water-pots", "three-days", 6, "living", "or"),
    Plan("vacuum-stairs", "monday", 15, "living"),
    Plan("bins", "bin-days", 5, "outside", "", '"Bins to the kerb"'),
    Plan("towels", "bin-days", 8, "bathroom"),
    Plan("laundry-darks", "week", 20, "bathroom", "then"),
    Plan("mop", "week", 15, "kitchen"),
    Plan("bath", "wednesday", 12, "bathroom", "", "uses bleach"),
    Plan("mow", "mowing", 35, "outside", "or"),
    Plan("sheets", "weekend", 20, "bedrooms"),
    Plan("meal-plan", "weekend", 10, "kitchen"),
    Plan("big-cook", "weekend", 45, "kitchen", "then"),
    Plan("oven", "weekend-1", 40, "kitchen", "", "uses lye"),
    Plan("bicycles", "weekend-2-4", 25, "outside"),
    Plan("windows", "weekend-2-4", 30, "living"),
    Plan("cupboards", "weekend-last", 30, "kitchen"),
    Plan("feed-plants", "two-weeks", 10, "living"),
    Plan("recycling", "two-thursdays", 5, "outside"),
    Plan("drains", "month", 10, "bathroom"),
    Plan("meter", "month-days", 2, "outside"),
    Plan("accounts", "month-end", 20, "living", "one"),
    Plan("smoke-alarms", "month-saturday", 5, "living", "", '"Test the smoke alarms"'),
    Plan("filter", "quarter", 10, "living", "", "uses ladder"),
    Plan("medicine-box", "half-year", 15, "bathroom"),
    Plan("gutters", "two-months", 90, "outside", "or", "uses ladder"),
    Plan("radiators", "two-tuesdays", 20, "living"),
    Plan("fridge", "after-done", 20, "kitchen"),
    Plan("tree", "once", 45, "living", "", '"The tree, and \\"the box\\""'),
    Plan("sort-shed", "paused", 60, "outside"),
)


def on_weekdays(*weekdays: int) -> Falls:
    """Dates on these days of the week."""
    return lambda day: day.weekday() in weekdays


def every(days: int, anchor: Date) -> Falls:
    """Every so many days from the anchor."""
    return lambda day: day >= anchor and (day - anchor).days % days == 0


def on_dates(*dates: int, months: Container[int] = ALL_YEAR) -> Falls:
    """These days of the months; LAST is a month's last."""

    def falls(day: Date) -> bool:
        is_last = (day + DAY).month != day.month
        return day.month in months and (day.day in dates or (is_last and LAST in dates))

    return falls


def nth(weekday: int, *counts: int, months: Container[int] = ALL_YEAR) -> Falls:
    """The first, second, ... such weekday of the months; LAST is the last."""

    def falls(day: Date) -> bool:
        if day.weekday() != weekday or day.month not in months:
            return False
        is_last = (day + DAY * 7).month != day.month
        return (day.day - 1) // 7 + 1 in counts or (is_last and LAST in counts)

    return falls


def _short_sections(monday: Date) -> dict[str, Section]:
    daily = on_weekdays(*ALL_WEEK)
    return {
        "blue": Section('every day "Blue tin"', daily, ALL_WEEK, 0),
        "evening": Section('every day "Evening tin"', daily, ALL_WEEK, 0),
        "weekday": Section("every weekday", on_weekdays(*WORKDAYS), WORKDAYS, 0),
        "three-days": Section(f"every 3 days from {monday}", every(3, monday), ALL_WEEK, 1),
        "weekend": Section("every weekend", on_weekdays(SAT), WEEKEND, 1),
        "weekend-1": Section("weekend 1", nth(SAT, 1), WEEKEND, 7),
        "weekend-2-4": Section("weekend 2, 4", nth(SAT, 2, 4), WEEKEND, 6),
        "weekend-last": Section("weekend last", nth(SAT, LAST), WEEKEND, 7),
        "paused": Section("weekend 5 paused", lambda _: False, frozenset(), 0),
    }


def _weekly_sections(monday: Date) -> dict[str, Section]:
    thursday = monday + DAY * THU
    alternate = f"every 2 weeks on thursday from {thursday}"

    def mowing(day: Date) -> bool:
        return day.weekday() == FRI and 4 <= day.month <= 10

    return {
        "monday": Section("every monday", on_weekdays(MON), frozenset({MON}), 3),
        "bin-days": Section(
            "every tuesday, friday", on_weekdays(TUE, FRI), frozenset({TUE, FRI}), 1
        ),
        "week": Section("every week", on_weekdays(THU), ALL_WEEK, 3),
        "wednesday": Section("every wednesday", on_weekdays(WED), frozenset({WED}), 3),
        "mowing": Section("every week during april to october", mowing, ALL_WEEK, 2),
        "two-weeks": Section(f"every 2 weeks from {monday}", every(14, monday), ALL_WEEK, 6),
        "two-thursdays": Section(alternate, every(14, thursday), frozenset({THU}), 4),
    }


def _monthly_sections(first: Date, last: Date) -> dict[str, Section]:
    saturday = "every month on first saturday within 7 days"
    half_year = f"every 6 months on last friday from {first}"
    tuesdays = "every may, september on second tuesday"
    once = f"once from {last.year}-12-01 to {last.year}-12-20"
    return {
        "month": Section("every month", on_dates(12), ALL_WEEK, 9),
        "month-days": Section("every month on 1, 15", on_dates(1, 15), ALL_WEEK, 4),
        "month-end": Section("every month on last", on_dates(LAST), ALL_WEEK, 5),
        "month-saturday": Section(saturday, nth(SAT, 1), ALL_WEEK, 6),
        "quarter": Section(
            f"every 3 months from {first}", on_dates(20, months=(1, 4, 7, 10)), ALL_WEEK, 9
        ),
        "half-year": Section(half_year, nth(FRI, LAST, months=(1, 7)), frozenset({FRI}), 4),
        "two-months": Section("every april, october", on_dates(16, months=(4, 10)), ALL_WEEK, 9),
        "two-tuesdays": Section(tuesdays, nth(TUE, 2, months=(5, 9)), frozenset({TUE}), 4),
        "after-done": Section("14 days after done", every(14, first), ALL_WEEK, 0),
        "once": Section(once, lambda day: day == Date(last.year, 12, 6), ALL_WEEK, 3),
    }


def sections(first: Date, last: Date) -> dict[str, Section]:
    """One section or more of every kind there is, for a book over these dates."""
    monday = first + DAY * (-first.weekday() % 7)
    return {
        **_short_sections(monday),
        **_weekly_sections(monday),
        **_monthly_sections(first, last),
    }


def away_days(year: int) -> tuple[Date, Date]:
    """The week of this year that the household is away, first and last day."""
    first = Date(year, 7, 4)
    return first, first + DAY * 6


def duration(minutes: int) -> str:
    """Minutes as a book writes them: `45 min`, `2 h`, `1 h 30 min`."""
    hours, rest = divmod(minutes, 60)
    parts = [f"{hours} h"] if hours else []
    return " ".join([*parts, f"{rest} min"] if rest else parts)


def _share(share: str, people: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """The `by` clause of a share, and those who then do the chore."""
    match share:
        case "each":
            return "by each", people
        case "one":
            return f"by {people[0]}", people[:1]
        case "or" | "then":
            return "by " + f" {share} ".join(people), people
        case _:
            return "", people


def _plans(count: int) -> list[tuple[Plan, str]]:
    """So many plans, each with the ending of its name.

    One of every section comes first, so that a short list still has every kind; past the end
    the list goes round again, with numbered names.
    """
    openers = {plan.section: plan for plan in reversed(PLANS)}
    ordered = [plan for plan in PLANS if openers[plan.section] is plan]
    ordered += [plan for plan in PLANS if openers[plan.section] is not plan]
    rounds = [(turn, plan) for turn in range(count // len(ordered) + 1) for plan in ordered]
    return [(plan, f"-{turn + 1}" if turn else "") for turn, plan in rounds[:count]]


def routine(count: int, people: tuple[str, ...], first: Date, last: Date) -> list[Chore]:
    """The chores of a household of these people whose book runs over these dates."""
    known = sections(first, last)
    chores = []
    for plan, ending in _plans(count):
        more = plan.more.format(year=first.year, last=last.year)
        clause, doers = _share(plan.share, people)
        name = plan.name + ending
        place = f"{duration(plan.minutes):>10}  in {plan.area:<9}"
        words = " ".join(part for part in (place, clause, more) if part)
        chores.append(
            Chore(
                name=name,
                minutes=plan.minutes,
                each=plan.share == "each",
                doers=doers,
                section=known[plan.section],
                begins=Date.fromisoformat(more[-10:]) if more.startswith("from") else first,
                ends=Date.fromisoformat(more[-10:]) if more.startswith("until") else last,
                line=f"    {name:<15} {words.rstrip()}",
            )
        )
    return chores


def limits(chores: list[Chore], people: tuple[str, ...]) -> list[str]:
    """Limits that hold whatever is cut short or falls together.

    A span of days holds a chore at most once a day, and only on days its windows touch; so if
    each day takes every such chore whole, a span of any length fits.
    """

    def need(weekday: int) -> int:
        able = (chore for chore in chores if weekday in chore.section.weekdays)
        return sum(chore.minutes * (len(people) if chore.each else 1) for chore in able)

    needs = {"weekday": max(map(need, WORKDAYS)), "saturday": need(5), "sunday": need(6)}
    if len(people) > 2:
        needs[people[2]] = sum(chore.minutes for chore in chores)
    return [f"limit {who:<9} {minutes // 60 + 1} h" for who, minutes in needs.items()]
