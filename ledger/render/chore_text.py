"""All about one chore as text."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date

from ledger.household.names import own_title
from ledger.render.chore_record_text import kept_lines, minutes_lines, record_lines
from ledger.render.layout import PLAIN, Sheet, heading, long_day, paragraph, short_day
from ledger.render.rows import row_lines
from ledger.render.tasks_text import INDENT, caution_lines, flags
from ledger.report.chore import About, Share, ToCome
from ledger.report.chore_lines import RoutineLine
from ledger.text.shown import safe
from ledger.text.words import counted, duration


def chore_text(about: About, sheet: Sheet = PLAIN) -> str:
    """All about a chore, for people; empty sections are left out."""
    across = sheet.width
    title = own_title(about.chore, about.title)
    lines = [heading(sheet, safe(about.chore), title)]
    lines.append(heading(sheet, long_day(about.on), about.household))
    for part, body in (
        ("In the book", [*_book(about.lines, across), *_ties(about, across)]),
        ("Steps", [paragraph(safe(f"- {step}"), INDENT, across) for step in about.steps]),
        ("Where it stands", _standing(about, across)),
        ("Next", _ahead(about, across)),
        ("Minutes", minutes_lines(about, across)),
        ("How often it was done", kept_lines(about, across)),
        ("The record, latest first", record_lines(about, across)),
        ("Mind", caution_lines(about.cautions, sheet)),
    ):
        if body:
            lines += ["", part, *body]
    return "\n".join(lines) + "\n"


def _book(lines: Iterable[RoutineLine], across: int) -> list[str]:
    """Each line of the routine in words, and below it its place in the book."""
    texts = []
    for line in lines:
        # A container without a title is called by its cadence.
        untitled = line.cadence.startswith(line.container)
        words = [line.cadence] if untitled else [line.container, line.cadence]
        if line.minutes is not None:
            words.append(
                duration(line.minutes) + (" each" if line.form in ("each", "together") else "")
            )
        words += [f"in {' and '.join(line.areas)}"] if line.areas else []
        words += [f"by {_by(line)}"] if line.people else []
        words += [f"uses {', '.join(line.things)}"] if line.things else []
        words += flags(line)
        texts.append(paragraph(safe(", ".join(words)), INDENT, across))
        texts.append(paragraph(safe(f"{_days(line)}{line.file}:{line.line}"), INDENT * 2, across))
    return texts


def _by(line: RoutineLine) -> str:
    between = {"then": " then ", "each": ", ", "together": " and "}
    return between.get(line.form, " or ").join(line.people)


def _days(line: RoutineLine) -> str:
    """The first and last day of a line, and its status if it is not in force."""
    words = {
        "paused": ["paused"],
        "over": ["over"],
        "to-come": ["yet to begin"],
    }.get(line.status, [])
    words += [f"from {line.first}"] if line.first is not None else []
    words += [f"until {line.last}"] if line.last is not None else []
    return "".join(f"{word}, " for word in words)


def _ties(about: About, across: int) -> list[str]:
    lines = []
    for word, others in (("after", about.after), ("before", about.before)):
        if others:
            names = safe(", ".join(others))
            tie = f"comes {word} {names}, where both fall on one day"
            lines.append(paragraph(tie, INDENT, across))
    return lines


def _standing(about: About, across: int) -> list[str]:
    """Where each share stands; shares with the same words are on one line."""
    people_by_words: dict[str, list[str]] = {}
    for share in about.shares:
        people_by_words.setdefault(_stands(share, about), []).append(share.person or "")
    lines = []
    for words, people in people_by_words.items():
        whose = "" if people == [""] else f"{', '.join(people)}: "
        lines.append(paragraph(safe(whose + words), INDENT, across))
    return lines


def _stands(share: Share, about: About) -> str:
    if share.state is None or share.first is None or share.last is None:
        return _nothing(about)
    if share.settled is not None:
        by = f", by {', '.join(share.people)}" if share.people and share.person is None else ""
        return f"{share.state} on {_day(share.settled, about)}{by}"
    if share.next_asked is None or share.last_asked is None:
        return _nothing(about)
    words = []
    if share.days_late:
        words.append(f"{counted(share.days_late, 'day', 'days')} late")
    if share.next_asked > about.on:
        on = "on" if share.next_asked == share.last_asked else "from"
        words.append(f"due {on} {_span(share.next_asked, share.last_asked, about)}")
    elif not share.days_late:
        until = share.last_asked > about.on
        words.append(f"due, until {_day(share.last_asked, about)}" if until else "due today")
    if share.last < about.on:
        words.append(f"it was for {_span(share.first, share.last, about)}")
    return "; ".join(words) + (_turn(share, about) if share.person is None else "")


def _nothing(about: About) -> str:
    states = {line.status for line in about.lines}
    if states <= {"paused", "over"}:
        return "paused, so it does not come round" if "paused" in states else "over"
    if about.ahead and not about.past:
        return "has not come round yet"
    return "asks for nothing now"


def _turn(share: Share, about: About) -> str:
    """Whose turn it is, if people take turns; else who may do it, or who do it together."""
    if any(line.form == "then" for line in about.lines) and len(share.people) == 1:
        return f", the turn of {share.people[0]}"
    return f", by {_names(share)}" if share.people else ""


def _names(one: Share | ToCome) -> str:
    return (" and " if one.together else " or ").join(one.people)


def _ahead(about: About, across: int) -> list[str]:
    """The windows ahead; windows of several shares on the same days are on one line."""
    spans: dict[str, list[str]] = {}
    for one in about.ahead:
        if one.state == "ahead":
            span = _span(one.first, one.last, about)
            spans.setdefault(span, []).append(_names(one))
    names = {span: ", ".join(people) for span, people in spans.items()}
    # Names that are the same in all windows are in the book already.
    telling = len(set(names.values())) > 1 or any(line.form == "then" for line in about.lines)
    rows = [(span, safe(who) if telling else "") for span, who in names.items()]
    lines = row_lines(rows, across, INDENT)
    if about.after_done_days is not None:
        again = "then again" if about.ahead else "again"
        days = counted(about.after_done_days, "day", "days")
        lines.append(paragraph(f"{again} {days} after it is done", INDENT, across))
    return lines


def _span(first: date, last: date, about: About) -> str:
    if first == last:
        return _day(last, about)
    start = short_day(first) if first.year == last.year else _day(first, about)
    return f"{start} to {_day(last, about)}"


def _day(day: date, about: About) -> str:
    """A day, with its year if that is not the answer's."""
    return short_day(day) if day.year == about.on.year else f"{short_day(day)} {day.year}"
