"""The moves that make a book fit its days, for people."""

from __future__ import annotations

from collections.abc import Sequence

from ledger.render.layout import (
    PLAIN,
    Sheet,
    heading,
    long_day,
    short_day,
    wrap,
    wrap_advice,
)
from ledger.render.rows import row_lines
from ledger.report.lighten import Full, Lighten, Moved
from ledger.text.shown import safe
from ledger.text.words import counted, duration, listed


def lighten_text(answer: Lighten, sheet: Sheet = PLAIN) -> str:
    """What is too full, the moves, their effect and what is proven, for people."""
    across = sheet.width
    parts = [
        [heading(sheet, f"The year from {long_day(answer.first)}", answer.household)],
        _too_full(answer, across),
        _moves(answer, across),
        _fullest(answer, across),
        _proven(answer, across),
    ]
    return "\n\n".join("\n".join(part) for part in parts if part) + "\n"


def _too_full(answer: Lighten, across: int) -> list[str]:
    if answer.too_full:
        return ["Too full now", *_spans(answer.too_full, across)]
    if answer.has_limits:
        return ["Every day fits its limit."]
    no_limits = "The book sets no limits, so no day is too full (`limit weekday 45 min`)."
    return [wrap_advice(no_limits, 2, across)]


def _spans(spans: Sequence[Full], across: int) -> list[str]:
    rows = []
    for full in spans:
        to = f" to {short_day(full.last)}" if full.last > full.first else ""
        more = f"and {full.times - 1} more like it" if full.times > 1 else ""
        amounts = f"{duration(full.minutes)} of {duration(full.limit)}"
        if full.person is not None:
            amounts += f" for {safe(full.person)}"
        rows.append((short_day(full.first) + to, amounts, more))
    return row_lines(rows, across, "  ")


def _is_home_full(answer: Lighten) -> bool:
    """True where more than one person's own work does not fit now."""
    return any(full.person is None for full in answer.too_full)


def _moves(answer: Lighten, across: int) -> list[str]:
    number = len(answer.moves)
    if not number:
        return []
    purpose = "make it fit" if _is_home_full(answer) else "make the heaviest day lighter"
    if answer.minutes_left:
        purpose = "help, but not enough"
    if number == 1:
        purpose = purpose.replace("make", "makes").replace("help", "helps")
    head = f"{counted(number, 'move', 'moves')} {purpose}"
    rows = [(safe(one.chore), duration(one.minutes), _route(one)) for one in answer.moves]
    return [wrap(head, 2, across), *row_lines(rows, across, "  ", {1})]


def _route(moved: Moved) -> str:
    new = " (a new section)" if moved.opens_section else ""
    return f"{safe(moved.from_section)} -> {safe(moved.to_section)}{new}"


def _fullest(answer: Lighten, across: int) -> list[str]:
    """A line for each kind of day: the fullest such day before and after."""
    after = bool(answer.moves)
    headers = ("What must be done on the fullest", "now", "then" if after else "", "limit")
    rows = []
    for one in answer.fullest:
        limit = "none" if one.limit is None else duration(one.limit)
        name = f"  {one.kind.title() if one.kind[-3:] == 'day' else one.kind}"
        rows.append((name, duration(one.before), duration(one.after) if after else "", limit))
    heaviest = duration(answer.heaviest_after) if after else ""
    rows.append(("The heaviest day has at least", duration(answer.heaviest_before), heaviest, ""))
    return row_lines(rows, across, right={1, 2, 3}, headers=headers)


def _proven(answer: Lighten, across: int) -> list[str]:
    if answer.minutes_left:
        lines = _unsolved(answer, across)
    elif answer.moves:
        lines = [wrap(" ".join(_limits_proven(answer)), 0, across)]
    elif answer.moves_most:
        lines = ["No move makes the heaviest day lighter."]
    else:
        nothing = "The days of the household fit." if answer.too_full else "Nothing has to move."
        more = "To make the heaviest day lighter: `besom lighten --moves 2`"
        lines = [wrap_advice(f"{nothing} {more}", 0, across)]
    lines += _of_people(answer, across)
    if answer.moves:
        spent = "" if answer.moves_most is None else f" --moves {answer.moves_most}"
        call = f"besom lighten --on {answer.first}{spent} | git apply"
        how = f"To make the change below, in the folder of the book: `{call}`"
        lines.append(wrap_advice(how, 0, across))
    return lines


def _of_people(answer: Lighten, across: int) -> list[str]:
    """What is left of people's own work, and what helps."""
    people = list(dict.fromkeys(safe(full.person) for full in answer.left if full.person))
    if not people:
        return []
    still = " still" if answer.moves else ""
    has = "has" if len(people) == 1 else "have"
    help_ = "give some of the work to others with `or`, or raise the limit."
    said = (
        f"{listed(people)}{still} {has} too much on some days. Moves are chosen for the household, "
        f"not for one person: {help_}"
    )
    return [wrap_advice(said, 0, across)]


def _unsolved(answer: Lighten, across: int) -> list[str]:
    least = answer.moves_least
    if least is None:
        head = "No moves from one section to another make everything fit."
    else:
        moves = counted(least, "move", "moves")
        head = f"It would take {moves} at least to make everything fit."
        if answer.moves_most is None:
            head = f"No way was found to make everything fit; it would take {moves} at least."
    left = f"{duration(answer.minutes_left)} of the year still fit nowhere:"
    advice = "Give a chore there more days, pause one, or raise the limit."
    return [
        wrap(f"{head} {left}", 0, across),
        *_spans([full for full in answer.left if full.person is None], across),
        wrap(advice, 0, across),
    ]


def _limits_proven(answer: Lighten) -> list[str]:
    number, least = len(answer.moves), answer.moves_least or 0
    moves = counted(number, "move", "moves")
    sentences = []
    if _is_home_full(answer) and number == least:
        sentences.append("No fewer moves can do it.")
    elif _is_home_full(answer) and answer.moves_most is None:
        needed = "1 is" if least == 1 else f"{least} are"
        sentences.append(
            f"At least {needed} needed; whether fewer than {number} do is not settled."
        )
    low = answer.heaviest_least
    if answer.moves_most is not None:
        moves = f"up to {counted(answer.moves_most, 'move', 'moves')}"
    if low == answer.heaviest_after:
        sentences.append(f"With {moves} the heaviest day cannot be lighter.")
    else:
        sentences.append(f"With {moves} it may come down to {duration(low)}; that is not settled.")
    return sentences
