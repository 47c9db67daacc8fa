"""Cadences: how often a section comes round, read from a header and written back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import assert_never, cast

from ledger.text.finding import IMPOSSIBLE_DATE, Fix
from ledger.text.parser import (
    ParseNode,
    Token,
)
from ledger.text.parts import Cadence, Located, MonthDay
from ledger.text.values import (
    DAY_NUMBERS,
    DAYS,
    LAST,
    MONTH_NUMBERS,
    MONTHS,
    ORDINALS,
    ValueFault,
    check_order,
    child_node_of,
    child_nodes_of,
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
_MONTH_LENGTHS = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)


def cadence_of(parse_node: ParseNode) -> Located[Cadence]:
    """The cadence of a header. Raises ValueFault where a word has an impossible value, or where no
    month has such a day."""
    head = child_nodes_of(parse_node)[0]
    cadence = _CADENCES[head.rule](head)
    if _never_falls(cadence):
        raise _no_such_day(cadence, parse_node)
    return Located(cadence, parse_node.start, parse_node.end)


def _never_falls(cadence: Cadence) -> bool:
    """True where no month of a cadence has any of its days, as with the 31st of June."""
    months = cadence.months or tuple(range(1, 13))
    return bool(cadence.on) and all(
        month in _SHORT_MONTHS and day.number > _SHORT_MONTHS[month]
        for day in cadence.on
        for month in months
    )


def _no_such_day(cadence: Cadence, head: ParseNode) -> ValueFault:
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
    """The cadence as a header writes it: `every 2 weeks on thursday`."""
    days = ", ".join(DAYS[day] for day in cadence.days)
    if cadence.times > 1:
        return f"{cadence.times} times {write_cadence(cadence._replace(times=1))}"
    match cadence.kind:
        case "day" | "weekday" | "weekend":
            return _every(cadence, "")
        case "week":
            return _every(cadence, days)
        case "month":
            return _every(cadence, _month_days_text(cadence.on))
        case "numbered-weekend":
            numbers = ("last" if n == LAST else str(n) for n in cadence.weekends)
            return f"weekend {', '.join(numbers)}"
        case "named-day":
            return f"every {days}"
        case "named-month":
            months = ", ".join(MONTHS[month - 1] for month in cadence.months)
            return f"every {months}{_on(_month_days_text(cadence.on))}"
        case "after-done":
            return f"{days_text(cadence.every)} after done"
        case "once":
            first, last = date.fromordinal(cadence.first), date.fromordinal(cadence.last)
            return f"once from {first} to {last}"
    assert_never(cadence.kind)


def _every(cadence: Cadence, on: str) -> str:
    """`every week`, or `every 2 weeks on monday`: the kind is also the word for the unit."""
    count = "" if cadence.every == 1 else f"{cadence.every} "
    return f"every {count}{cadence.kind}{'s' if count else ''}{_on(on)}"


def _on(days: str) -> str:
    return f" on {days}" if days else ""


def _month_days_text(days: tuple[MonthDay, ...]) -> str:
    return ", ".join(map(_month_day_text, days))


def _month_day_text(day: MonthDay) -> str:
    if day.weekday is None:
        return "last" if day.number == LAST else str(day.number)
    turn = "last " if day.number == LAST else f"{ORDINALS[day.number - 1]} " if day.number else ""
    return turn + DAYS[day.weekday]


def _count(parse_node: ParseNode, high: int = 9999) -> int:
    """The N of `every N`; 1 where there is none."""
    numbers = [token for token in tokens_of(parse_node) if token.kind == "INT"]
    return number_of(numbers[0], 1, high, "N in `every N`").value if numbers else 1


def _weekdays(parse_node: ParseNode) -> tuple[int, ...]:
    days = child_node_of(parse_node, "days")
    return tuple(sorted(day.value for day in days_of(days))) if days else ()


def _weekends(parse_node: ParseNode) -> Cadence:
    tokens = [token for child in child_nodes_of(parse_node) for token in tokens_of(child)]
    numbers = each_once(tokens, _weekend_number)
    return Cadence("numbered-weekend", weekends=tuple(number.value for number in numbers))


def _weekend_number(token: Token) -> Located[int]:
    if token.kind == "LAST":
        return placed(LAST, token)
    return number_of(token, 1, 5, "the number of a weekend")


def _month_days(parse_node: ParseNode) -> tuple[MonthDay, ...]:
    days = child_node_of(parse_node, "month_days")
    return tuple(day.value for day in each_once(child_nodes_of(days), _month_day)) if days else ()


def _month_day(parse_node: ParseNode) -> Located[MonthDay]:
    return Located(_month_day_value(parse_node), parse_node.start, parse_node.end)


def _month_day_value(parse_node: ParseNode) -> MonthDay:
    tokens = tokens_of(parse_node)
    head, weekday = tokens[0], None
    if parse_node.rule == "day_in_month":
        weekday = DAY_NUMBERS[tokens[-1].text]
        if len(tokens) == 1:
            return MonthDay(0, weekday)
    if head.kind == "LAST":
        return MonthDay(LAST, weekday)
    if head.kind == "ORDINAL":
        return MonthDay(ORDINALS.index(head.text) + 1, weekday)
    return MonthDay(number_of(head, 1, 31, "a day of the month").value, None)


def _month(parse_node: ParseNode) -> Cadence:
    return Cadence("month", _count(parse_node), on=_month_days(parse_node))


def _named_months(parse_node: ParseNode) -> Cadence:
    named = cast(ParseNode, child_node_of(parse_node, "months"))
    months = each_once(tokens_of(named), lambda t: placed(MONTH_NUMBERS[t.text], t))
    numbers = tuple(sorted(month.value for month in months))
    return Cadence("named-month", months=numbers, on=_month_days(parse_node))


def _week(parse_node: ParseNode) -> Cadence:
    count, days = _count(parse_node), _weekdays(parse_node)
    if days and count == 1:
        return Cadence("named-day", days=days)
    return Cadence("week", count, days=days)


def _n_times(parse_node: ParseNode) -> Cadence:
    period = child_nodes_of(parse_node)[0]
    cadence = _CADENCES[period.rule](period)
    most = shortest_period(cadence)
    times = number_of(tokens_of(parse_node)[0], 2, most, "the number before `times`").value
    return cadence._replace(times=times)


def shortest_period(cadence: Cadence) -> int:
    """The days of the shortest period of a cadence of weeks or months."""
    if cadence.kind == "week":
        return 7 * cadence.every
    if cadence.every == 1 and not cadence.months:
        return min(_MONTH_LENGTHS)
    if cadence.months:
        return min(_MONTH_LENGTHS[month - 1] for month in cadence.months)
    # The calendar repeats after 400 years; a year such as 2100 may have no leap day to lend.
    firsts = ((year, month) for year in range(2000, 2400) for month in range(1, 13))
    return min(_months_later(*first, cadence.every) for first in firsts)


def _months_later(year: int, month: int, months: int) -> int:
    """The days of some months in a row, from one on."""
    end = month - 1 + months
    return (date(year + end // 12, end % 12 + 1, 1) - date(year, month, 1)).days


def _once(parse_node: ParseNode) -> Cadence:
    dates = dates_of(parse_node)
    check_order(tokens_of(parse_node))
    return Cadence("once", first=dates[0].value, last=dates[1].value)


_CADENCES: dict[str, Callable[[ParseNode], Cadence]] = {
    "every_day": lambda node: Cadence("day", _count(node)),
    "every_weekday": lambda _: Cadence("weekday"),
    "every_weekend": lambda _: Cadence("weekend"),
    "weekends": _weekends,
    "every_named_day": lambda node: Cadence("named-day", days=_weekdays(node)),
    "every_week": _week,
    "every_weeks_on": _week,
    "every_month": _month,
    "every_month_on": _month,
    "named_months": _named_months,
    "named_months_on": _named_months,
    "n_times": _n_times,
    "after_done": lambda node: Cadence("after-done", _count(node)),
    "once": _once,
}
