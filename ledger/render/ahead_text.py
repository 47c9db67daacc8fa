"""The load ahead as text: a bar for each day of the weeks, the heaviest days, and a character for
each day of the year."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ledger.render.layout import (
    PLAIN,
    Sheet,
    columns,
    heading,
    long_day,
    paragraph,
    short_day,
    wrap,
    wrap_whole,
)
from ledger.render.tasks_text import KEPT
from ledger.report.ahead import Ahead, AheadDay, AheadTask, FullSpan, HeavyDay
from ledger.text.shown import safe
from ledger.text.values import MONTHS
from ledger.text.width import width
from ledger.text.words import counted, duration

EIGHTHS = " ▏▎▍▌▋▊▉"
FULL, BEYOND, MARK = "█", "▒", "│"
LEAST_BAR = 12
DAY_WIDTH = len("Mon 30 Nov")
MOST_NAMED = 5
"""The most chores of a heavy day that are named."""
LEVELS = ("·", "▂", "▅", "█")
LITTLE_OVER, OVER, AWAY = "+", "!", "-"
LITTLE = 15
"""Minutes over the limit that are still a little."""


def ahead_text(ahead: Ahead, sheet: Sheet = PLAIN) -> str:
    """The weeks, the heaviest days and the year, for people."""
    lines = [heading(sheet, f"Ahead from {long_day(ahead.on)}", ahead.household)]
    if ahead.kept_from is not None:
        lines.append(wrap(KEPT, 2, sheet.width))
    lines += _weeks(ahead, sheet.width)
    if ahead.heaviest:
        until = f"Heaviest days until {long_day(ahead.until)}"
        lines += ["", wrap(until, 2, sheet.width)]
        names = [_dated(day, ahead.on.year) for day in ahead.heaviest]
        edge = max(map(width, names)) + 4
        for day, name in zip(ahead.heaviest, names, strict=True):
            lines += _heavy(day, f"  {name}".ljust(edge), sheet.width)
    lines += ["", *_year(ahead, sheet.width), "", *_together(ahead, sheet.width)]
    return "\n".join(lines) + "\n"


def _weeks(ahead: Ahead, across: int) -> Iterator[str]:
    """A block for each week: its days and its minutes, then a bar for each day, if there is room
    for bars."""
    last = ahead.weeks[-1].last
    days = [day for day in ahead.days if day.day <= last]
    notes = [_note(day) for day in days]
    sums = [_spent_in_week(week, days) for week in ahead.weeks]
    scale = max(max(day.minutes, day.limit or 0) for day in days) or 1
    # The mark of the limit needs one column more.
    room = across - DAY_WIDTH - 5
    cells = room - max(map(width, [*notes, *sums]))
    if cells < LEAST_BAR:
        cells = room - max(map(width, notes))
    for week, spent in zip(ahead.weeks, sums, strict=True):
        label = f"{short_day(week.first)} to {short_day(week.last)}"
        edge = max(DAY_WIDTH + cells + 5, width(label) + 2)
        yield ""
        if edge + width(spent) <= across:
            yield label.ljust(edge) + spent
        else:
            yield from (label, paragraph(spent, "  ", across))
        for day, note in zip(days, notes, strict=True):
            if week.first <= day.day <= week.last:
                bar = f"  {_bar(day.minutes, day.limit, scale, cells):{max(cells, 0) + 1}}"
                shown = bar if cells >= LEAST_BAR else ""
                yield f"{short_day(day.day):{DAY_WIDTH}}{shown}  {note}".rstrip()


def _bar(spent: int, limit: int | None, scale: int, cells: int) -> str:
    """A bar with a mark at the limit; what is over the limit is drawn differently."""
    if limit is None:
        return _filled(spent, scale, cells)
    mark = limit * cells // scale
    bar = _filled(min(spent, limit), scale, cells)[:mark].ljust(mark) + MARK
    if spent <= limit:
        return bar
    return bar + BEYOND * max(spent * cells // scale - mark, 1)


def _filled(spent: int, scale: int, cells: int) -> str:
    whole, rest = divmod(spent * cells * len(EIGHTHS) // scale, len(EIGHTHS))
    return (FULL * whole + EIGHTHS[rest]).rstrip()


def _note(day: AheadDay) -> str:
    if day.away is None:
        return _spent(day.minutes, day.limit, day.over) if day.minutes else "nothing"
    return f"{duration(day.minutes)}, away" if day.minutes else "away"


def _spent(spent: int, limit: int | None, over: int) -> str:
    words = duration(spent) if limit is None else f"{duration(spent)} of {duration(limit)}"
    return f"{words}, {duration(over)} over" if over else words


def _spent_in_week(week: FullSpan, days: Sequence[AheadDay]) -> str:
    """A week's minutes against its limits, and the minutes over the limits of single days."""
    words = _spent(week.minutes, week.limit, 0)
    over = [day for day in days if week.first <= day.day <= week.last and day.over]
    if not over:
        return words
    return f"{words}, {duration(week.over)} over on {counted(len(over), 'day', 'days')}"


def _dated(day: HeavyDay, year: int) -> str:
    """A day, with its year if it is not this one."""
    return short_day(day.day) if day.day.year == year else f"{short_day(day.day)} {day.day.year}"


def _heavy(day: HeavyDay, head: str, across: int) -> list[str]:
    """A day with the chores that take longest on it."""
    names = [f"{safe(task.chore)} {duration(task.minutes)}{_why(task, day)}" for task in day.tasks]
    if len(names) > MOST_NAMED + 1:
        rest = sum(task.minutes for task in day.tasks[MOST_NAMED:])
        names[MOST_NAMED:] = [f"and {len(names) - MOST_NAMED} more, {duration(rest)}"]
    spent = wrap_whole(
        _spent(day.minutes, day.limit, day.over).split(", "), ", ", len(head), across
    )
    return [head + spent, " " * len(head) + wrap_whole(names, ", ", len(head), across)]


def _why(task: AheadTask, day: HeavyDay) -> str:
    if task.late:
        return " (late)"
    return f" (until {short_day(task.last)})" if task.last > day.day else ""


def _year(ahead: Ahead, across: int) -> Iterator[str]:
    """A row a month, a column a day, and what the characters mean. The minutes stand beside it, or
    without room below it."""
    heaviest = max(day.minutes for day in ahead.days)
    rows = {(month.first.year, month.first.month): [" "] * 31 for month in ahead.months}
    for day in ahead.days:
        rows[day.day.year, day.day.month][day.day.day - 1] = _character(day, heaviest)
    ruler = "".join(f"{number:<{5 if number > 1 else 4}}" for number in (1, *range(5, 31, 5)))
    totals = columns([_month(month) for month in ahead.months], frozenset({0}))
    is_wide = DAY_WIDTH + 2 + 31 + 2 + max(map(width, totals)) <= across
    edge = DAY_WIDTH + 2 if is_wide else len("Nov 2026 ")
    yield " " * edge + ruler.rstrip()
    for month, row, amount in zip(ahead.months, rows.values(), totals, strict=True):
        name = f"{MONTHS[month.first.month - 1][:3].title()} {month.first.year}"
        line = f"{name:{edge}}{''.join(row)}"
        if is_wide:
            yield f"{line}  {amount}"
        else:
            yield from (line.rstrip(), " " * edge + amount.lstrip())
    yield ""
    yield from _legend(ahead.days, across)


def _character(day: AheadDay, heaviest: int) -> str:
    if day.over:
        return LITTLE_OVER if day.over <= LITTLE else OVER
    if not day.minutes:
        return LEVELS[0] if day.away is None else AWAY
    # Without a limit, a day is measured by the heaviest day.
    return LEVELS[1 + min(3 * day.minutes // ((day.limit or heaviest) + 1), 2)]


def _month(month: FullSpan) -> tuple[str, str]:
    over = counted(month.days_over, "day", "days")
    return duration(month.minutes), f"{over} over" if month.days_over else ""


def _legend(days: Sequence[AheadDay], across: int) -> list[str]:
    """What the characters of the year mean."""
    limits = {day.limit is not None for day in days if day.away is None}
    whole = "the limit" if True in limits else "the heaviest day"
    nothing, third, two_thirds, full = LEVELS
    parts = [f"{nothing} nothing", f"{third} to a third", f"{two_thirds} to two thirds"]
    parts.append(f"{full} to {whole}")
    if any(0 < day.over <= LITTLE for day in days):
        parts.append(f"{LITTLE_OVER} up to {duration(LITTLE)} over it")
    if any(day.over > LITTLE for day in days):
        parts.append(f"{OVER} more than {duration(LITTLE)} over it")
    if any(day.away is not None for day in days):
        parts.append(f"{AWAY} away")
    text = wrap_whole(parts, ", ", 2, across)
    mixed = wrap("Days without a limit are measured by the heaviest day.", 2, across)
    return [text, mixed] if len(limits) > 1 else [text]


def _together(ahead: Ahead, across: int) -> list[str]:
    """The totals, and what to know about them."""
    days = len(ahead.days)
    sentences = [f"Together: {duration(ahead.minutes)} in {days} days"]
    if ahead.over:
        count = sum(day.over > 0 for day in ahead.days)
        sentences[0] += f"; {duration(ahead.over)} over, on {counted(count, 'day', 'days')}"
        sentences.append(_least(ahead))
    if ahead.late:
        windows = counted(ahead.late, "chore", "chores")
        sentences.append(f"Late, and put on coming days: {windows}.")
    if ahead.expected:
        sentences.append(
            "Chores that follow so many days after they were done are put as if each is "
            "done on the first day it may be."
        )
    if ahead.untimed:
        sentences.append(f"Minutes not known, and not counted: {safe(', '.join(ahead.untimed))}")
    return [wrap(line, 2, across) for line in sentences]


def _least(ahead: Ahead) -> str:
    if ahead.least_over == ahead.over:
        return "No other choice of days has fewer minutes over."
    if ahead.least_over:
        return f"Whatever days are chosen, {duration(ahead.least_over)} or more are over."
    return "Another choice of days may have fewer minutes over."
