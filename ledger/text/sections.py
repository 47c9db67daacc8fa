"""Cadences: how often a section comes round, as its header spells it."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from ledger.text.parser import (
    Branch,
    Token,
)
from ledger.text.tree import (
    Cadence,
    MonthDay,
    Placed,
)
from ledger.text.values import (
    DAY_NUMBERS,
    LAST,
    MONTH_NUMBERS,
    ORDINALS,
    ValueFault,
    branches_of,
    check_order,
    child_of,
    dates_of,
    days_of,
    each_once,
    number_of,
    placed,
    tokens_of,
)

_LONGEST_MONTH = (31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def cadence_of(branch: Branch) -> Placed[Cadence]:
    """How often a header comes round. Raises ValueFault where one of its words cannot be."""
    head = branches_of(branch)[0]
    cadence = _CADENCES[head.rule](head)
    if _never_falls(cadence):
        raise _nowhere(cadence, branch)
    return Placed(cadence, branch.start, branch.end)


def _never_falls(cadence: Cadence) -> bool:
    """True where no month that a cadence names has any of its days: the 31st of June."""
    if not cadence.on or any(day.weekday is not None or day.number < 0 for day in cadence.on):
        return False
    months = cadence.months or tuple(range(1, 13))
    return all(day.number > _LONGEST_MONTH[month - 1] for day in cadence.on for month in months)


def _nowhere(cadence: Cadence, head: Branch) -> ValueFault:
    from ledger.text.writer import write_cadence

    return ValueFault(
        "impossible-date",
        Token("", "", head.start, head.end),
        f"`{write_cadence(cadence)}` falls on no day",
        "the months it names are shorter",
        "write a day that the month has, or `last` for its last day",
    )


def _count(branch: Branch, high: int = 9999) -> int:
    """The N of `every N`, 1 where it is not written."""
    numbers = [token for token in tokens_of(branch) if token.kind == "INT"]
    return number_of(numbers[0], 1, high, "N in `every N`").value if numbers else 1


def _weekdays(branch: Branch) -> tuple[int, ...]:
    days = child_of(branch, "days")
    return tuple(sorted(day.value for day in days_of(days))) if days else ()


def _weekends(branch: Branch) -> Cadence:
    tokens = [tokens_of(child)[0] for child in branches_of(branch)]
    numbers = each_once(tokens, _weekend_number)
    return Cadence("numbered-weekend", weekends=tuple(number.value for number in numbers))


def _weekend_number(token: Token) -> Placed[int]:
    if token.kind == "LAST":
        return placed(LAST, token)
    return number_of(token, 1, 5, "the number of a weekend")


def _month_days(branch: Branch) -> tuple[MonthDay, ...]:
    days = child_of(branch, "month_days")
    return tuple(day.value for day in each_once(branches_of(days), _month_day)) if days else ()


def _month_day(branch: Branch) -> Placed[MonthDay]:
    return Placed(_month_day_value(branch), branch.start, branch.end)


def _month_day_value(branch: Branch) -> MonthDay:
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


def _named_months(branch: Branch) -> Cadence:
    named = cast(Branch, child_of(branch, "months"))
    months = each_once(tokens_of(named), lambda t: placed(MONTH_NUMBERS[t.text], t))
    numbers = tuple(sorted(month.value for month in months))
    return Cadence("named-month", months=numbers, on=_month_days(branch))


def _once(branch: Branch) -> Cadence:
    dates = dates_of(branch)
    check_order(dates, tokens_of(branch))
    return Cadence("once", first=dates[0].value, last=dates[1].value)


_CADENCES: dict[str, Callable[[Branch], Cadence]] = {
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
