"""Near misses of header clauses: seasons, windows, limits in time, and words that are no
clause."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from ledger.text.hints.phrases import DAYS_ALONE
from ledger.text.hints.slips import ANY_WORD, SAYS, Slip, Words, line_reads
from ledger.text.hints.spans import later, month_span
from ledger.text.hints.vocabulary import (
    AND,
    DAY,
    FLAGS,
    MONTH,
    NUMBER,
    SEASONS,
    THROUGH,
    any_of,
    day_name,
    days_between,
    days_in,
    month_name,
    months_between,
    number_in,
    small,
)
from ledger.text.values import DAYS, MONTHS, ORDINALS
from ledger.text.words import days_text

_SEASON = (
    rf"(?:(?:only|in|during|from|between|for) )*(?P<a>{MONTH})"
    rf"(?:(?:{THROUGH}| and )(?P<b>{MONTH}))?"
    rf"|(?:(?:only|in|during|the) )*(?P<season>{any_of(SEASONS)})"
)
_SPAN_OF_MONTHS = rf"(?P<a>{MONTH})(?:{THROUGH}| and )(?P<b>{MONTH})(?P<season>)"
_LINE = "declaration_line"
_HEADER = "WITHIN DURING"
"""Where a clause of a header can stand; named days have no `during`, and chores no `within`."""
_COUNTS = 'a window is counted in days, not as "{wrong}"'
_COUNTS_NOTHING = '"{wrong}" does not say that it counts days'
_DAYS_OF = {"weekday": DAYS[:5], "weekend": DAYS[5:]}


def _season(words: Words) -> str:
    """The months of a season, given by its name or by months."""
    if words["season"]:
        return f"during {SEASONS[small(words['season'])]}"
    return f"during {' to '.join(month_name(words[one]) for one in 'ab' if words[one])}"


def _days(words: Words) -> str:
    """A number of days, weeks or months, in days."""
    days = number_in(words["n"]) * {"week": 7, "month": 30}.get(small(words["unit"]).rstrip("s"), 1)
    return days_text(days)


def _and_between(between: Callable[[str, str], list[str]], words: Words) -> str:
    """What follows the first of some days or months in a row."""
    return f", {', '.join(between(words['a'], words['b'])[1:])}"


def _all_days(words: Words) -> str:
    """The days of a weekday or a weekend, and others."""
    return "every " + ", ".join(
        dict.fromkeys((*_DAYS_OF[small(words["kind"])], *days_in(words["days"])))
    )


IN_A_ROW = tuple(
    Slip(
        "",
        rf"{THROUGH}(?P<b>{one})",
        partial(_and_between, between),
        message,
        before=before,
        start=_LINE,
        joins=True,
        whole=True,
    )
    for one, between, before, message in (
        (
            MONTH,
            months_between,
            rf"\bevery (?:.*, *)?(?P<a>{MONTH}) *",
            "a cadence names each of its months",
        ),
        (
            DAY,
            days_between,
            rf"\bon (?:.*, *)?(?P<a>{DAY}) *",
            "a cadence names each of its days",
        ),
    )
)
"""`every april to october`, `every 2 weeks on friday to sunday`."""

NO_DAYS_IN_ON = (
    Slip(
        _HEADER,
        rf"(?:(?:and|plus|also|including|&|\+) )+(?:on )?(?P<days>{DAY}(?:{AND}{DAY})*)",
        _all_days,
        "a cadence of several days names each of them",
        before=r"\A(?P<old>every (?P<kind>weekday|weekend) )",
        whole=True,
    ),
    Slip(
        _HEADER,
        rf"on (?P<days>{DAY}(?:{AND}{DAY})*)",
        lambda words: "every " + ", ".join(days_in(words["days"])),
        DAYS_ALONE,
        before=r"\A(?P<old>every (?:day|weekday|week|weekend) )",
        whole=True,
    ),
    *(
        Slip(
            _HEADER,
            rf"on (?P<on>{on}(?:{AND}{on})*)",
            (right, f"{{n}} times every {unit}"),
            "the days of `{n} times` are left open",
            "write {} for these days, or {} for any",
            before=rf"\A(?P<old>(?P<n>[0-9]+) times every {unit} )",
            whole=True,
        )
        for unit, on, right in (
            ("week", DAY, lambda words: "every " + ", ".join(days_in(words["on"]))),
            ("month", "(?:[0-9]{1,2}|last)", "every month on {on}"),
        )
    ),
    Slip(
        _HEADER,
        rf"on (?:the )?(?P<nth>{any_of(ORDINALS)}|last)",
        lambda words: f"every month on {small(words['nth'])} {day_name(words['day'])}",
        "a day and its number in the month stand together",
        before=rf"\A(?P<old>every (?P<day>{DAY}) )",
        whole=True,
    ),
)
"""`every day on monday`, `every monday on first`: `on` after a cadence that takes none."""

SEASON = (
    Slip(
        "COMMA",
        rf"{THROUGH}(?P<b>{MONTH})",
        lambda words: f"{month_name(words['a'])} to {month_name(words['b'])}",
        'a season is written `{new}`, not "{old}{wrong}"',
        # Another word for a month is read as the name of some days.
        before=rf"\b(?:during|except) (?:.*,)? *(?P<old>(?P<a>{MONTH}) *)",
        whole=True,
    ),
    Slip(
        "INT",
        _SEASON,
        _season,
        'a season is written `{new}`, not "{old}{wrong}"',
        before=r"\b(?P<old>within )",
        start=_LINE,
    ),
    Slip(
        "DATE",
        _SPAN_OF_MONTHS,
        _season,
        'a season is written `{new}`, not "{old}{wrong}"',
        before=r"\b(?P<old>from )",
        start="declaration_line chore_line",
    ),
    Slip(_HEADER, _SEASON, _season, 'a season is written `{new}`, not "{wrong}"'),
)
"""A season without `during` or `to`, or by its name."""

DAYS_WITHIN = (
    Slip(
        "INT",
        rf"(?P<n>{NUMBER}) (?P<unit>(?:day|week|month)s?)",
        _days,
        _COUNTS,
        before=r"\bwithin ",
    ),
    Slip("INT", rf"(?P<n>{NUMBER})(?P<unit>)", _days, _COUNTS_NOTHING, before=r"\bwithin "),
    Slip(
        "DAYS",
        r"(?P<unit>(?:day|week|month)s?)",
        _days,
        _COUNTS.replace("{wrong}", "{old}{wrong}"),
        before=r"\bwithin (?P<old>(?P<n>[0-9]{1,4}) *)",
    ),
    Slip(
        "DAYS",
        None,
        _days,
        _COUNTS_NOTHING.replace("wrong", "old"),
        before=r"\bwithin (?P<old>(?P<n>[0-9]{1,3})(?P<unit>))",
    ),
    Slip(
        _HEADER,
        rf"(?:for|in|over) (?P<n>{NUMBER}) (?P<unit>(?:day|week)s?)",
        lambda words: f"within {_days(words)}",
        _COUNTS,
    ),
)
"""`within a week`, `within 2 weeks`, `for 7 days`."""


def _day_before(words: Words) -> str:
    day, date = later(month_span(words["month"], "", words["date"])[0], -1), words["date"]
    return f"until {day if day > date else str(int(day[:4]) + 1) + day[4:]}"


def _months_before(words: Words) -> str | None:
    number = MONTHS.index(month_name(words["month"]))
    months = f"january to {MONTHS[number - 1]}" if number > 1 else MONTHS[0]
    return f"during {months}" if number else None


LIMITS_IN_TIME = (
    Slip(
        "UNTIL",
        rf"before (?P<month>{MONTH})",
        (_day_before, _months_before),
        '"{wrong}" does not say of which year',
        lambda words: (
            "write {} for the coming one"
            + (", or {} for every year" if _months_before(words) else "")
        ),
        whole=True,
    ),
    Slip(
        "UNTIL",
        r"(?:to|till|til|ending|ends?|through|thru|before|up to|-|–)(?: (?:on|at))?(?= *[0-9]{4}-)",
        "until",
        SAYS,
    ),
    Slip(
        "UNTIL",
        r"(?:starting|starts?|beginning|begins?|since|as of|after|on|at)(?: (?:on|from|at|in))?"
        rf"(?= *(?:[0-9]{{4}}-|{MONTH}(?![^\s])))",
        "from",
        SAYS,
    ),
    Slip(
        "UNTIL",
        rf"(?=[0-9]{{4}}-){ANY_WORD}",
        ("from ", "until "),
        "this date has no word before it",
        "write {} or {}",
        adds=True,
        whole=True,
    ),
)
"""`starting 2026-01-05`, `to 2026-12-31` for `from` and `until`."""

TIME_OF_DAY = Slip(
    "TITLE",
    r"(?:(?:at|in|by|before|after|the) )*(?P<time>[0-9]{1,2}[:.][0-9]{2}(?: *[ap]m)?"
    r"|[0-9]{1,2} *(?:[ap]m|o'?clock)|mornings?|evenings?|nights?|afternoons?|noon)",
    lambda words: f'"{words["time"][0].upper()}{words["time"][1:]}"',
    "a book has no times of day; a title can say one",
    start="declaration_line chore_line",
)
"""A time or a part of the day in a header."""

ORDER = (
    Slip(
        "EVERY HOUSEHOLD",
        any_of(FLAGS),
        "every monday {wrong}",
        "`{wrong}` comes behind the cadence",
        "write that first, such as {}",
        before=r"\A",
        check=line_reads,
        whole=True,
        is_example=True,
    ),
    Slip(
        "EVERY HOUSEHOLD",
        r"(?P<clause>(?:from|until) [0-9-]+) (?P<rest>.+)",
        "{rest} {clause}",
        "the cadence comes first in a header",
        whole=True,
    ),
)
"""A flag without a cadence, or a clause before it."""
