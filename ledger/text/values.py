"""Words to values: names, dates, days, durations and titles, and what none of them can be."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable
from datetime import date
from typing import Any, TypeVar

from ledger.text.finding import (
    IMPOSSIBLE_DATE,
    IMPOSSIBLE_NUMBER,
    REPEATED_WORD,
    UNREADABLE_LINE,
    Finding,
    Fix,
    Kind,
    TextEdit,
)
from ledger.text.parser import ParseNode, Token
from ledger.text.source import Source, TextRange
from ledger.text.tree import Day, Located, Name, Names

T = TypeVar("T")

DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august",
    "september", "october", "november", "december",
)  # fmt: skip
ORDINALS = ("first", "second", "third", "fourth", "fifth")
FIRST_YEAR = 1970
LAST = -1

_ESCAPE = re.compile(r"\\(.)")
DAY_NUMBERS = {day[:n]: number for number, day in enumerate(DAYS) for n in (3, len(day))}
MONTH_NUMBERS = {
    month[:n]: number for number, month in enumerate(MONTHS, 1) for n in (3, len(month))
}


class ValueFault(Exception):
    """A line the grammar reads whose words cannot be: what kind of fault that is, the place,
    three sentences, and the ways to mend it, as of a line by itself."""

    def __init__(
        self, kind: Kind, token: Token, message: str, why: str, fix: str, fixes: Iterable[Fix] = ()
    ) -> None:
        super().__init__(message)
        self.token, self.kind, self._said = token, kind, (message, why, fix)
        self.fixes = tuple(fixes)

    def without_fixes(self) -> ValueFault:
        """The same fault, with words alone on how to mend it."""
        return ValueFault(self.kind, self.token, *self._said)

    def at(self, source: Source, line: int) -> Finding:
        """The finding of the fault in a line of a file."""
        place = TextRange(source, line, self.token.start, self.token.end)
        if not self.fixes:
            return self.kind.finding(place, *self._said)
        from ledger.text.edits import moved

        fixes = [moved(fix, source, line) for fix in self.fixes]
        return self.kind.finding(place, *self._said, fixes=fixes)


def edit_of(begin: int, end: int, words: str = "") -> TextEdit:
    """The edit of a stretch of a line by itself."""
    return TextEdit("", 0, begin, 0, end, words)


def check_name(text: str) -> int | None:
    """Index of the first character that no name may hold, or None for a good name.

    The grammar admits any character outside ASCII that is no white space; of those only
    letters, decimal digits and combining marks belong in a name.
    """
    for index, character in enumerate(text):
        if not character.isascii():
            category = unicodedata.category(character)
            if category[0] not in ("LM" if index else "L") and category != "Nd":
                return index
    return None


def ordinal(text: str) -> int | None:
    """The ordinal of a date written YYYY-MM-DD, or None if there is no such day."""
    if text[:4] < str(FIRST_YEAR):
        return None
    try:
        return date.fromisoformat(text).toordinal()
    except ValueError:
        return None


def branches_of(branch: ParseNode) -> list[ParseNode]:
    """The branches right below a branch."""
    return [child for child in branch.children if isinstance(child, ParseNode)]


def tokens_of(branch: ParseNode) -> list[Token]:
    """The words right below a branch."""
    return [child for child in branch.children if isinstance(child, Token)]


def child_of(branch: ParseNode, rule: str) -> ParseNode | None:
    """The first branch of that rule right below a branch."""
    return next((child for child in branches_of(branch) if child.rule == rule), None)


def placed(value: T, token: Token) -> Located[T]:
    """A value with the place of the word it was read from."""
    return Located(value, token.start, token.end)


def name_of(branch: ParseNode) -> Name:
    """A name in normal form (NFC). Raises ValueFault where it holds what no name may hold."""
    token = tokens_of(branch)[0]
    text = token.text
    if not text.isascii():
        wrong = check_name(text)
        if wrong is not None:
            raise no_name(token, wrong)
        text = unicodedata.normalize("NFC", text)
    return placed(text, token)


def no_name(token: Token, index: int, goes_on: bool = False) -> ValueFault:
    """The fault of a word that stands for a name and holds at an index what no name may hold;
    `goes_on` says that the line cannot end behind it."""
    from ledger.text.hints.names import name_character

    message, fix, good = name_character(token.text, index, check_name, goes_on)
    better = Fix(f"Write `{good}`", (edit_of(token.start, token.end, good),))
    return ValueFault(
        UNREADABLE_LINE,
        token,
        message,
        "a name is a letter, then letters, digits and hyphens, so that it can be typed and found "
        "again",
        fix,
        [better] if good else [],
    )


def names_of(branch: ParseNode | None) -> Names:
    """The names right below a branch, none for no branch."""
    return tuple(name_of(child) for child in branches_of(branch)) if branch else ()


def title_of(token: Token) -> Name:
    """What a title says between its quotes."""
    text = token.text[1:-1]
    return placed(_ESCAPE.sub(r"\1", text) if "\\" in text else text, token)


def first_title(tokens: Iterable[Token]) -> Name | None:
    """The title among some words, if any."""
    return next((title_of(token) for token in tokens if token.kind == "TITLE"), None)


def date_of(token: Token) -> Day:
    """A date. Raises ValueFault where the calendar has no such day."""
    number = ordinal(token.text)
    if number is None:
        year = int(token.text[:4])
        early = year < FIRST_YEAR
        fix, fixes = f"write a date from {FIRST_YEAR}-01-01 on", list[Fix]()
        if not early:
            fix, fixes = _nearest_date(token)
        raise ValueFault(
            IMPOSSIBLE_DATE,
            token,
            f"{token.text} is before {FIRST_YEAR}" if early else f"there is no {token.text}",
            "the line stays out of every list until its date can be found in a calendar",
            fix,
            fixes,
        )
    return placed(number, token)


def _nearest_date(token: Token) -> tuple[str, list[Fix]]:
    year, month, _ = (int(part) for part in token.text.split("-"))
    if not 1 <= month <= 12:
        return "write the month as 01 to 12: `YYYY-MM-DD`", []
    after = date(year + month // 12, month % 12 + 1, 1) if year < 9999 else date(9999, 12, 31)
    last = date.fromordinal(after.toordinal() - 1)
    fix = f"write a day from 01 to {last.day}: `{last}` is the last of that month"
    return fix, [Fix(f"Write `{last}`", (edit_of(token.start, token.end, str(last)),))]


def dates_of(branch: ParseNode) -> list[Day]:
    """The dates among the words of a branch."""
    return [date_of(token) for token in tokens_of(branch) if token.kind == "DATE"]


def day_of(token: Token) -> Located[int]:
    """A weekday, 0 for Monday."""
    return placed(DAY_NUMBERS[token.text], token)


def days_of(branch: ParseNode) -> tuple[Located[int], ...]:
    """The weekdays of a list, each named once."""
    return tuple(each_once(tokens_of(branch), day_of))


def each_once(
    words: Iterable[ParseNode | Token], read: Callable[[Any], Located[T]]
) -> list[Located[T]]:
    """The values in order, refusing one that is named twice."""
    out: list[Located[T]] = []
    end = 0
    for word in words:
        value = read(word)
        if value in out:
            raise ValueFault(
                REPEATED_WORD,
                Token("", "", word.start, word.end),
                "this stands twice in its list",
                "it counts once all the same, and one of the two may have been meant otherwise",
                "leave one out, or write the other one that was meant",
                [Fix("Leave this one out", (edit_of(end, word.end),))],
            )
        end = word.end
        out.append(value)
    return out


def number_of(token: Token, low: int, high: int, what: str) -> Located[int]:
    """A number between two bounds. Raises ValueFault outside them."""
    value = int(token.text)
    if not low <= value <= high:
        raise ValueFault(
            IMPOSSIBLE_NUMBER,
            token,
            f"{what} cannot be {value}",
            "the line stays out of every list until the number can be true",
            f"write a number from {low} to {high}",
        )
    return placed(value, token)


def minutes_of(branch: ParseNode, low: int = 1) -> Located[int]:
    """A duration in minutes. Raises ValueFault outside 60 minutes an hour, or below `low`."""
    first, *rest = tokens_of(branch)
    if branch.rule == "minutes":
        total = number_of(first, low, 9999, "the minutes").value
    else:
        total = number_of(first, min(low, 1), 166, "the hours").value * 60
        total += sum(number_of(t, 0, 59, "the minutes after hours").value for t in rest)
    if total < low:
        number_of(first, 1, 166, "the hours")
    return Located(total, branch.start, branch.end)


def check_order(dates: list[Day], tokens: list[Token]) -> None:
    """Raises ValueFault where the last of some dates comes before the first."""
    if dates[0].value > dates[-1].value:
        first, *_, token = (token for token in tokens if token.kind == "DATE")
        raise ValueFault(
            IMPOSSIBLE_DATE,
            token,
            f"{token.text} comes before the date it follows",
            "a span of days runs from its first day to its last; this one holds none",
            "write the earlier date first",
            [
                Fix(
                    "Write the earlier date first",
                    (
                        edit_of(first.start, first.end, token.text),
                        edit_of(token.start, token.end, first.text),
                    ),
                )
            ],
        )


def comment_text(text: str, start: int) -> Name:
    """A comment as a tree holds it: from its `#` to the end, without blanks at the end."""
    text = text.rstrip(" \t")
    return Located(text, start, start + len(text))


def comment_of(token: Token) -> Name:
    """The comment that a word of the grammar holds."""
    return comment_text(token.text, token.start)
