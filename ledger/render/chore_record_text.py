"""What the record says of one chore as text: its minutes, how often it was done, its lines."""

from __future__ import annotations

from ledger.render.layout import short_day
from ledger.render.rows import row_lines
from ledger.render.tasks_text import INDENT
from ledger.report.chore import About
from ledger.report.chore_record import Effect, Kept, RecordedLine
from ledger.report.habit import ENOUGH, percent
from ledger.text.shown import safe
from ledger.text.words import counted, duration


def minutes_lines(about: About, across: int) -> list[str]:
    """The minutes in the book beside those in the record."""
    learned = about.learned
    if learned is None:
        return []
    declared = {line.minutes for line in about.lines if line.status == "in-force"}
    declared_words = [duration(amount) for amount in sorted(filter(None, declared))]
    took = duration(learned.minutes)
    if round(learned.low) < round(learned.high):
        took += f", as a rule {round(learned.low)} to {duration(learned.high)}"
    rows = [("in the book", " or ".join(declared_words) or "not said")]
    rows.append((f"the last {learned.lines} timed", took))
    return row_lines(rows, across, INDENT)


def kept_lines(about: About, across: int) -> list[str]:
    """How many windows of eight weeks and of a year were done, and how often in all."""
    eight_weeks = [(share.person or "", rate(share.eight_weeks)) for share in about.shares]
    year = [(share.person or "", rate(share.year)) for share in about.shares]
    rows: list[tuple[str, str, str]] = []
    for label, rates in (("last eight weeks", eight_weeks), ("last year", year)):
        shown = [(person, rate) for person, rate in rates if rate]
        # In a young book both are the same.
        if shown and not (label == "last year" and shown == eight_weeks):
            rows += [
                ("" if n else label, safe(person), rate) for n, (person, rate) in enumerate(shown)
            ]
    record = about.record
    if record.since is not None:
        # If each does their own, a line may count for one person or for all.
        each = about.shares[0].person is not None
        times = counted(record.did, "line", "lines") if each else _times(record.did)
        rows.append(("in all", "", f"{times} since {record.since}"))
    if record.skipped:
        rows.append(("skipped", "", _times(record.skipped)))
    return row_lines(rows, across, INDENT)


def _times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")


def rate(rate: Kept) -> str:
    """`7 of 9 (77%)`, or nothing if no window counted."""
    if not rate.counted:
        return ""
    share = f" ({percent(rate)}%)" if rate.counted >= ENOUGH else ""
    return f"{rate.kept} of {rate.counted}{share}"


def record_lines(about: About, across: int) -> list[str]:
    """The latest lines of the record: the day, minutes, who, and what each settled."""
    latest = about.record.latest
    other_years = any(one.day.year != about.on.year for one in latest)
    rows = [
        (
            f"{short_day(one.day)} {one.day.year}" if other_years else short_day(one.day),
            one.verb,
            duration(one.minutes) if one.minutes is not None else "",
            safe(", ".join(one.people)),
            safe(_what(one)),
        )
        for one in latest
    ]
    return row_lines(rows, across, INDENT, {2})


def _what(recorded: RecordedLine) -> str:
    """What a line settled, then its note."""
    words = [f"to {short_day(recorded.to)}"] if recorded.to is not None else []
    effects = [_settled(settled) for settled in recorded.settled]
    if len(set(effects)) == 1:
        words += filter(None, effects[:1])
    else:
        words += [
            f"{effect.person} {word}"
            for effect, word in zip(recorded.settled, effects, strict=True)
        ]
    words += [f'"{recorded.note}"'] if recorded.note is not None else []
    return ", ".join(words)


def _settled(settled: Effect) -> str:
    days = counted(settled.days, "day", "days")
    return {
        "done": "on time",
        "late": f"{days} late",
        "early": f"{days} early",
        "extra": "besides",
    }.get(settled.fate, "")
