"""Near misses of what comes once: `once by christmas`, `once in 2026`, a chore with a deadline."""

from __future__ import annotations

from ledger.text.hints.dates import feast
from ledger.text.hints.facts import Near
from ledger.text.hints.misread import LONGEST, Hint, Misread
from ledger.text.hints.reading import Edit
from ledger.text.hints.spans import said
from ledger.text.hints.vocabulary import CLAUSE, FLAGS, Pattern, any_of

_UNTIL = r"(?:(?:by|before|until|till|for|on|at|is|date|no later than) *:? +)*"
_BEHIND_ONCE = Pattern(
    r"(?:(?P<by>by|before)(?= ))?(?P<when>[^\"]+?)"
    rf"(?= *(?:\"|\Z| (?:during|except|within|{any_of(FLAGS)})\b))"
)
_YEAR = Pattern(r" *(?:(?:in|during|within) )?(?P<year>(?:19|20)[0-9]{2}) *")
_DEADLINE = Pattern(
    rf"(?P<word>(?:the )?deadline|due|once|no later than|latest)(?: *:)? +(?P<by>{_UNTIL})"
    rf"(?P<when>[^\"]+?)(?= *(?:\"|\Z|(?:  |\t)[\t\x20]*|[0-9]+ (?:min|h)\b| {CLAUSE}[\t\x20]))"
)


def _span(when: str, by: bool, near: Near) -> tuple[str, str, bool] | None:
    """The first and the last day that some words mean, and if they are an example; `by` is true
    where they say the last day alone."""
    year = _YEAR.fullmatch(when)
    if year is not None:
        return f"{year['year']}-01-01", f"{year['year']}-12-31", False
    day = feast(when, near)
    if day:
        return (near.date if by else day), day, bool(by)
    found = said(f"until {when}" if by else when, near)
    if found is None or len(found.spans) != 1:
        return None
    if any(piece.kind not in ("filler", "by") for piece in found.others):
        return None
    first, last = found.spans[0]
    return first, last or first, found.is_example


def once(miss: Misread) -> Hint | None:
    """`once` with other words than `from` and `to`, or with one day."""
    if miss.expected != {"FROM"} or len(miss.text) > LONGEST:
        return None
    match = _BEHIND_ONCE.match(miss.text, miss.at, miss.body)
    span = _span(match["when"], match["by"] is not None, miss.near) if match else None
    if match is None or span is None:
        return None
    first, last, is_example = span
    edit = Edit(miss.at, match.end(), f"from {first} to {last}")
    message = "`once` has `from` and `to`, even for one day"
    fix = "write both, such as {}" if is_example else "write {}"
    return Hint(message, fix, (edit,), match.end(), is_example=is_example)


def deadline(miss: Misread) -> Hint | None:
    """A deadline in the line of a chore, or `once` with its days."""
    if miss.start != "chore_line" or not miss.wants("USES") or len(miss.text) > LONGEST:
        return None
    match = _DEADLINE.match(miss.text, miss.at, miss.body)
    if match is None:
        return None
    span = _span(match["when"], bool(match["by"]) or match["word"] != "once", miss.near)
    if span is None:
        return None
    first, last, is_example = span
    edit = Edit(len(miss.head), match.end(), "")
    header = f"once from {first} to {last}"
    such = "a header such as" if is_example else "a header"
    message = f'"{match[0].strip()}" is for the header above, which says when'
    fix = f"leave it out here: {{}}, and put the chore below {such} `{header}`"
    return Hint(message, fix, (edit,), match.end(), whole=True)
