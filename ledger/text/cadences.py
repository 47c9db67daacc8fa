"""Cadences: how often a section comes round, read from its header and written as one."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import assert_never, cast

from ledger.text.finding import IMPOSSIBLE_DATE, Fix
from ledger.text.parser import (
    ParseNode,
    Token,
)
from ledger.text.tree import (
    Cadence,
    Located,
    MonthDay,
)
from ledger.text.values import (
    DAY_NUMBERS,
    DAYS,
    LAST,
    MONTH_NUMBERS,
    MONTHS,
    ORDINALS,
    ValueFault,
    branches_of,
    check_order,
    child_of,
    dates_of,
    days_of,
    each_once,
    edit_of,
    number_of,
    placed,
    tokens_of,
)
from ledger.text.words import days_text

_SHORT_MONTHS = {2: 29, 4: 30, 6: 30, 9: 30, 11: 30}
"""The most days that a month can have, where some day of a cadence may be none of its."""


def cadence_of(branch: ParseNode) -> Located[Cadence]:
    """How often a header comes round. Raises ValueFault where one of its words cannot be."""
    head = branches_of(branch)[0]
    cadence = _CADENCES[head.rule](head)
    if _never_falls(cadence):
        raise _nowhere(cadence, branch)
    return Located(cadence, branch.start, branch.end)


def _never_falls(cadence: Cadence) -> bool:
    """True where no month that a cadence names has any of its days: the 31st of June."""
    months = cadence.months or tuple(range(1, 13))
    return bool(cadence.on) and all(
        month in _SHORT_MONTHS and day.number > _SHORT_MONTHS[month]
        for day in cadence.on
        for month in months
    )


def _nowhere(cadence: Cadence, head: ParseNode) -> ValueFault:
    last = write_cadence(cadence._replace(on=(MonthDay(LAST, None),)))
    return ValueFault(
        IMPOSSIBLE_DATE,
        Token("", "", head.start, head.end),
        f"`{write_cadence(cadence)}` falls on no day",
        "the months it names are shorter",
        "write a day that the month has, or `last` for its last day",
        [Fix(f"Write `{last}`", (edit_of(head.start, head.end, last),))],
    )


def write_cadence(cadence: Cadence) -> str:
    """The cadence as a header says it: `every 2 weeks on thursday`."""
    days = ", ".join(DAYS[day] for day in cadence.days)
    match cadence.kind:
        case "day" | "weekday" | "weekend":
            return _every(cadence, "")
        case "week":
            return _every(cadence, days)
        case "month":
            return _every(cadence, _asked(cadence.on))
        case "numbered-weekend":
            numbers = ("last" if n == LAST else str(n) for n in cadence.weekends)
            return f"weekend {', '.join(numbers)}"
        case "named-day":
            return f"every {days}"
        case "named-month":
            months = ", ".join(MONTHS[month - 1] for month in cadence.months)
            return f"every {months}{_on(_asked(cadence.on))}"
        case "after-done":
            return f"{days_text(cadence.every)} after done"
        case "once":
            first, last = date.fromordinal(cadence.first), date.fromordinal(cadence.last)
            return f"once from {first} to {last}"
    assert_never(cadence.kind)


def _every(cadence: Cadence, on: str) -> str:
    """`every week`, or `every 2 weeks on monday`: the kind is the word for its unit."""
    count = "" if cadence.every == 1 else f"{cadence.every} "
    return f"every {count}{cadence.kind}{'s' if count else ''}{_on(on)}"


def _on(days: str) -> str:
    return f" on {days}" if days else ""


def _asked(days: tuple[MonthDay, ...]) -> str:
    return ", ".join(map(_month_day_text, days))


def _month_day_text(day: MonthDay) -> str:
    if day.weekday is None:
        return "last" if day.number == LAST else str(day.number)
    turn = "last " if day.number == LAST else f"{ORDINALS[day.number - 1]} " if day.number else ""
    return turn + DAYS[day.weekday]


def _count(branch: ParseNode, high: int = 9999) -> int:
    """The N of `every N`, 1 where it is not written."""
    numbers = [token for token in tokens_of(branch) if token.kind == "INT"]
    return number_of(numbers[0], 1, high, "N in `every N`").value if numbers else 1


def _weekdays(branch: ParseNode) -> tuple[int, ...]:
    days = child_of(branch, "days")
    return tuple(sorted(day.value for day in days_of(days))) if days else ()


def _weekends(branch: ParseNode) -> Cadence:
    tokens = [token for child in branches_of(branch) for token in tokens_of(child)]
    numbers = each_once(tokens, _weekend_number)
    return Cadence("numbered-weekend", weekends=tuple(number.value for number in numbers))


def _weekend_number(token: Token) -> Located[int]:
    if token.kind == "LAST":
        return placed(LAST, token)
    return number_of(token, 1, 5, "the number of a weekend")


def _month_days(branch: ParseNode) -> tuple[MonthDay, ...]:
    days = child_of(branch, "month_days")
    return tuple(day.value for day in each_once(branches_of(days), _month_day)) if days else ()


def _month_day(branch: ParseNode) -> Located[MonthDay]:
    return Located(_month_day_value(branch), branch.start, branch.end)


def _month_day_value(branch: ParseNode) -> MonthDay:
    tokens = tokens_of(branch)
    head, weekday = tokens[0], None
    if branch.rule == "day_in_month":
        weekday = DAY_NUMBERS[tokens[-1].text]
        if len(tokens) == 1:
            return MonthDay(0, weekday)
    if head.kind == "LAST":
        return MonthDay(LAST, weekday)
    if head.kind == "ORDINAL":
        return MonthDay(ORDINALS.index(head.text) + 1, weekday)
    return MonthDay(number_of(head, 1, 31, "a day of the month").value, None)


def _named_months(branch: ParseNode) -> Cadence:
    named = cast(ParseNode, child_of(branch, "months"))
    months = each_once(tokens_of(named), lambda t: placed(MONTH_NUMBERS[t.text], t))
    numbers = tuple(sorted(month.value for month in months))
    return Cadence("named-month", months=numbers, on=_month_days(branch))


def _once(branch: ParseNode) -> Cadence:
    dates = dates_of(branch)
    check_order(dates, tokens_of(branch))
    return Cadence("once", first=dates[0].value, last=dates[1].value)


_CADENCES: dict[str, Callable[[ParseNode], Cadence]] = {
    "every_day": lambda b: Cadence("day", _count(b)),
    "every_weekday": lambda _: Cadence("weekday"),
    "every_weekend": lambda _: Cadence("weekend"),
    "weekends": _weekends,
    "every_named_day": lambda b: Cadence("named-day", days=_weekdays(b)),
    "every_week": lambda b: Cadence("week", _count(b), days=_weekdays(b)),
    "every_month": lambda b: Cadence("month", _count(b), on=_month_days(b)),
    "named_months": _named_months,
    "after_done": lambda b: Cadence("after-done", _count(b)),
    "once": _once,
}
