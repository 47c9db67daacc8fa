"""The entries of a calendar as the texts that a phone shows."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from ledger.render.layout import long_day
from ledger.report.calendar_entries import Calendar, CalendarEntry, CalendarLine, Until
from ledger.text.values import DAYS
from ledger.text.words import days_text, duration


def calendar_name(calendar: Calendar) -> str:
    """What a program may call the calendar: the household, and whom and what it is for."""
    about = [text for text in (calendar.person, calendar.area) if text]
    return ", ".join([calendar.household or "Chores", *about])


def summary(entry: CalendarEntry, by_chore: bool) -> str:
    """What a month shows of an entry: its container, or its chore `by_chore`, and its minutes. A
    container with one chore names that too."""
    called = [] if by_chore else [entry.container]
    called += [line.title for line in entry.lines] if len(entry.lines) == 1 else []
    title = ": ".join(called)
    return f"{title}, {duration(entry.minutes)}" if entry.minutes else title


def description(entry: CalendarEntry, by_chore: bool) -> str:
    """What an entry tells where it is opened: until when it has time, its chores with their steps,
    and what to mind. `by_chore`, the title of its chore stands above already."""
    untils = {line.until for line in entry.lines}
    until = _until(untils.pop()) if len(untils) == 1 else ""
    blocks = [[until[0].upper() + until[1:]]] if until else []
    chores: list[str] = []
    for line in entry.lines:
        facts = ", ".join(_facts(line, not until, entry.minutes > 0))
        titled = [] if by_chore else [line.title]
        text = ": ".join([*titled, facts] if facts else titled)
        chores += [*filter(None, [text]), *(f"- {step}" for step in line.steps)]
    blocks.append(chores)
    blocks += [
        [
            f"It comes round again {days_text(line.again)} after it is done. This is the next "
            "time; later ones are not known yet."
        ]
        for line in entry.lines
        if line.again is not None
    ]
    if by_chore:
        blocks.append([f"Container: {entry.container}"])
    if cautions := entry.cautions:
        minded = (f"Mind {one.thing}: {one.caution} [{one.source}]" for one in cautions)
        blocks.append([*minded, cautions[0].last_word])
    return "\n\n".join("\n".join(block) for block in blocks if block)


def _facts(line: CalendarLine, with_until: bool, has_sum: bool) -> Iterator[str]:
    if line.minutes:
        times = f"{line.shares} × " if line.shares > 1 else ""
        yield times + duration(line.minutes)
    yield from line.areas
    if line.people:
        yield _people(line)
    if with_until and (until := _until(line.until)):
        yield until
    if line.moved:
        yield "moved to this day"
    if line.late is not None:
        yield f"late, its last day was {long_day(line.late)}"
    if line.vital:
        yield "vital"
    if line.spare:
        yield "spare: only if time is left" + (", not in the minutes above" if has_sum else "")


def _people(line: CalendarLine) -> str:
    if len(line.people) == 1:
        return line.people[0]
    if line.form == "each":
        return f"each of {', '.join(line.people)}"
    return (" and " if line.form == "together" else " or ").join(line.people)


def _until(until: Until) -> str:
    """Until when there is time, in words that are true each time; empty for a single day."""
    if until.kind == "weekday":
        return f"until {DAYS[until.value].capitalize()}"
    if until.kind == "month":
        return "until the end of the month"
    if until.kind == "days":
        return f"within {days_text(until.value)}"
    return f"until {long_day(date.fromordinal(until.value))}" if until.kind == "date" else ""
