"""The review as text."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.render.layout import PLAIN, Sheet, heading, long_day, paragraph, wrap, wrap_advice
from ledger.render.rows import row_lines
from ledger.report.chore_record import Kept
from ledger.report.habit import ENOUGH, HABIT_DAYS, HABIT_SOURCE, HELD, percent
from ledger.report.review import ChoreWeek, Container, Person, Review, Tally
from ledger.text.shown import safe
from ledger.text.words import counted, duration

INDENT = "  "
FIGURES = ("done", "late", "early", "skipped", "missed", "owed")
"""The shown figures of a tally; open windows have a list of their own."""
NAMES_SHOWN = 12
"""The most chores in one list; the others are counted."""
RULE_OF_THUMB = (
    f"habit: {HELD}% done, {HABIT_DAYS} days in the book. As a rule of thumb a habit takes about"
    f" two months, and anything from a few weeks to most of a year [{HABIT_SOURCE}]."
)


def review_text(review: Review, sheet: Sheet = PLAIN) -> str:
    """How some weeks went and what to change, for people."""
    across = sheet.width
    lines = _heading(review, sheet)
    if not review.chores and not review.minutes:
        nothing = "Nothing came round in these days, and nothing was done."
        lines += ["", wrap(nothing, 2, across)]
    for part, body in (
        ("", _containers(review, across)),
        ("To be done by tonight", _open(review.chores, across)),
        ("What slipped", _slipped(review.chores, across)),
        ("Minutes", _minutes(review, across)),
        ("Who did it", _people(review, across)),
        ("What next", _next(review, across)),
    ):
        if body:
            lines += ["", *([part] if part else []), *body]
    return "\n".join(lines) + "\n"


def _heading(review: Review, sheet: Sheet) -> list[str]:
    weeks = "Week of" if review.weeks == 1 else f"{review.weeks} weeks,"
    span = f"{weeks} {long_day(review.first)} to {long_day(review.last)}"
    lines = [heading(sheet, span, review.household)]
    if review.on < review.last:
        lines.append(f"So far, up to {long_day(review.on)}")
    return lines


def _containers(review: Review, across: int) -> list[str]:
    """A row for each container with any figure, and one for all together."""
    listed = [one for one in review.containers if any(one.tally[: len(FIGURES)])]
    if not listed:
        return []
    headers = ("", *FIGURES, "kept", "8 weeks")
    rows = [(safe(one.container), *_figures(one.tally), _eight_weeks(one)) for one in listed]
    if len(listed) > 1:
        together = Tally(*map(sum, zip(*(one.tally for one in listed), strict=True)))
        rows.append(("All together", *_figures(together), _rate(review.eight_weeks)))
    # A figure that no row has gets no column.
    shown = [n for n in range(len(headers)) if not n or any(row[n] for row in rows)]
    rows = [tuple(row[n] for n in shown) for row in rows]
    named = [headers[n] for n in shown]
    lines = row_lines(rows, across, right=range(1, len(shown) - 1), headers=named)
    if any(one.habit == "habit" for one in listed):
        lines.append(wrap(RULE_OF_THUMB, 2, across))
    return lines


def _figures(tally: Tally) -> tuple[str, ...]:
    figures = tuple(str(number or "") for number in tally[: len(FIGURES)])
    return (*figures, _percent(Kept(tally.kept, tally.counted)))


def _eight_weeks(one: Container) -> str:
    return _rate(one.eight_weeks) + (" habit" if one.habit == "habit" else "")


def _rate(rate: Kept) -> str:
    """`91%`, or `2 of 3` for few windows; nothing if none counted."""
    if 0 < rate.counted < ENOUGH:
        return f"{rate.kept} of {rate.counted}"
    return _percent(rate)


def _percent(rate: Kept) -> str:
    return f"{percent(rate)}%" if rate.counted else ""


def _open(chores: Sequence[ChoreWeek], across: int) -> list[str]:
    names = [one.chore for one in chores if one.tally.open]
    return [INDENT + wrap(safe(", ".join(names)), 2, across)] if names else []


def _slipped(chores: Sequence[ChoreWeek], across: int) -> list[str]:
    """The chores that were late, missed or are owed; those that slipped most often come first."""
    slips = [one for one in chores if one.tally.late + one.tally.missed + one.tally.owed]
    slips.sort(key=lambda one: (-one.tally.missed - one.tally.owed, -one.tally.late))
    shown = slips[:NAMES_SHOWN]
    rows = [(safe(one.chore), safe(one.container), _slip(one.tally)) for one in shown]
    return [*row_lines(rows, across, INDENT), *_rest(len(slips), across)]


def _slip(tally: Tally) -> str:
    """`2 missed, 1 late of 7`; for a single window only `missed`."""
    kinds = ((tally.missed, "missed"), (tally.late, "late"), (tally.owed, "still owed"))
    if tally.counted == 1:
        return next(word for number, word in kinds if number)
    return f"{', '.join(f'{n} {word}' for n, word in kinds if n)} of {tally.counted}"


def _rest(number: int, across: int) -> list[str]:
    """How many rows of a list are left out; no line for none."""
    rest = number - NAMES_SHOWN
    more = f"and {rest} more; `--as csv` has every chore"
    return [paragraph(more, INDENT, across)] if rest > 0 else []


def _minutes(review: Review, across: int) -> list[str]:
    """Timed minutes beside those in the book, and the chores for which the two are off."""
    lines = []
    timed = review.timed
    if timed.declared is not None:
        times = {1: "once", 2: "twice"}.get(timed.lines, f"{timed.lines} times")
        clock = f"{duration(timed.minutes)} by the clock"
        words = f"Timed {times}: {clock}, {duration(timed.declared)} in the book"
        lines.append(paragraph(words, INDENT, across))
        off = [one for one in review.chores if one.timed.off]
        rows = [_off(one) for one in off[:NAMES_SHOWN]]
        lines += [*row_lines(rows, across, INDENT, {1, 2}), *_rest(len(off), across)]
    if review.unknown:
        times = counted(review.unknown, "time", "times")
        lines.append(paragraph(f"Minutes not known, and not counted: {times}", INDENT, across))
    return lines


def _off(one: ChoreWeek) -> tuple[str, ...]:
    timed = one.timed
    times = f"{timed.lines} times together" if timed.lines > 1 else ""
    book = f"{duration(timed.declared or 0)} in the book"
    clock = f"{duration(timed.minutes)} by the clock"
    return safe(one.chore), clock, book, times


def _people(review: Review, across: int) -> list[str]:
    """The minutes of each person beside an even share, and how turns were kept."""
    if not review.minutes or not any(one.person for one in review.people):
        return []
    headers = ("", "minutes", "share", "even share", "own turns", "others' turns")
    rows = [_person(one) for one in review.people]
    # A column of turns without any is left out.
    shown = [n for n in range(len(headers)) if n < 4 or any(row[n] for row in rows)]
    rows = [tuple(row[n] for n in shown) for row in rows]
    lines = row_lines(rows, across, INDENT, {1, 2, 3}, [headers[n] for n in shown])
    unnamed = sum(one.turns.unnamed for one in review.people)
    if unnamed:
        words = f"Turns done by lines that name nobody: {unnamed}"
        lines.append(paragraph(words, INDENT, across))
    return lines


def _person(one: Person) -> tuple[str, ...]:
    name = "nobody named" if one.person is None else safe(one.person)
    turns = f"{one.turns.own} of {one.turns.turns}" if one.turns.turns else ""
    others = str(one.turns.others or "")
    return name, duration(one.minutes), f"{one.percent}%", _above(one.above), turns, others


def _above(above: float | None) -> str:
    if above is None:
        return ""
    gap = round(abs(above))
    return f"{duration(gap)} {'above' if above > 0 else 'below'}" if gap else "even"


def _next(review: Review, across: int) -> list[str]:
    lines = [INDENT + wrap(_advice(review), 2, across)]
    if review.diff:
        call = f"besom review --on {review.on} | git apply"
        how = f"To make the change below, in the folder of the book: `{call}`"
        lines.append(INDENT + wrap_advice(how, 2, across))
    return lines


def _advice(review: Review) -> str:
    advice = review.advice
    rate = f"Over eight weeks {_percent(review.eight_weeks)} was done"
    if advice.kind == "early":
        weeks = counted(advice.weeks or 0, "week", "weeks")
        return f"How a routine holds takes eight weeks to tell: {weeks} more for this book."
    if advice.kind == "silent":
        return "The record of the last eight weeks settles nothing, so there is nothing to go by."
    if advice.kind == "carry-on":
        weeks = counted(advice.weeks or 0, "week", "weeks")
        return f"{rate}. Carry on: after {weeks} more like that there is room for something new."
    if advice.kind == "pause":
        return f"{rate}; from {HELD}% on a routine can settle. {_pause(review)}"
    return f"The routine has held for ten weeks. {_begin(review)}"


def _pause(review: Review) -> str:
    name = review.advice.container
    if name is None:
        return "No container that is still going has slipped so often that it should be paused."
    rates = {one.container: one.eight_weeks for one in review.containers}
    frees = f"Pausing it frees {_a_week(review)}, and it waits in the book until there is room."
    return f'Least was done of "{safe(name)}", {_percent(rates[name])}. {frees}'


def _begin(review: Review) -> str:
    advice = review.advice
    if advice.container is None:
        return "Nothing is paused, so the routine is all that the book has."
    name = f'"{safe(advice.container)}"'
    name = name if advice.chore is None else f"{safe(advice.chore)} in {name}"
    return f"Of what is paused, {name} adds the least: {_a_week(review)}."


def _a_week(review: Review) -> str:
    amount = review.advice.minutes
    if amount is None:
        return "minutes that the book does not tell"
    return f"about {duration(amount)} a week" if amount else "nothing to a usual week"
