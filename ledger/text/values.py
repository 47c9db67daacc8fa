"""Values of words: names, dates, days, durations and titles, and what is wrong with impossible
ones."""

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
from ledger.text.parts import Day, Located, Name, Names
from ledger.text.source import Source, TextRange

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
    """An impossible value in a line that the grammar reads.

    It has a kind, a place, three sentences, and fixes whose edits hold for the line alone.
    """

    def __init__(
        self, kind: Kind, token: Token, message: str, why: str, fix: str, fixes: Iterable[Fix] = ()
    ) -> None:
        super().__init__(message)
        self.token, self.kind, self._sentences = token, kind, (message, why, fix)
        self.fixes = tuple(fixes)

    def without_fixes(self) -> ValueFault:
        """The same fault with the sentence on how to fix it, but without edits."""
        return ValueFault(self.kind, self.token, *self._sentences)

    def at(self, source: Source, line: int) -> Finding:
        """The finding of this fault in a line of a file."""
        place = TextRange(source, line, self.token.start, self.token.end)
        if not self.fixes:
            return self.kind.finding(place, *self._sentences)
        from ledger.text.edits import moved

        fixes = [moved(fix, source, line) for fix in self.fixes]
        return self.kind.finding(place, *self._sentences, fixes=fixes)


def edit_of(begin: int, end: int, words: str = "") -> TextEdit:
    """The edit of a part of a line that is looked at alone."""
    return TextEdit("", 0, begin, 0, end, words)


def check_name(text: str) -> int | None:
    """Index of the first character that no name may hold, or None for a good name.

    The grammar accepts every character outside ASCII except white space. Of those, a name may hold
    only letters, decimal digits and combining marks.
    """
    for index, character in enumerate(text):
        if not character.isascii():
            category = unicodedata.category(character)
            if category[0] not in ("LM" if index else "L") and category != "Nd":
                return index
    return None


def ordinal(text: str) -> int | None:
    """The ordinal of a date written YYYY-MM-DD, or None if there is no such day or it is before
    1970."""
    if text[:4] < str(FIRST_YEAR):
        return None
    try:
        return date.fromisoformat(text).toordinal()
    except ValueError:
        return None


def child_nodes_of(parse_node: ParseNode) -> list[ParseNode]:
    """The parse nodes directly below a parse node."""
    return [child for child in parse_node.children if isinstance(child, ParseNode)]


def tokens_of(parse_node: ParseNode) -> list[Token]:
    """The words directly below a parse node."""
    return [child for child in parse_node.children if isinstance(child, Token)]


def child_node_of(parse_node: ParseNode, rule: str) -> ParseNode | None:
    """The first parse node of a rule directly below a parse node, or None."""
    return next((child for child in child_nodes_of(parse_node) if child.rule == rule), None)


def placed(value: T, token: Token) -> Located[T]:
    """A value with the place of the word it was read from."""
    return Located(value, token.start, token.end)


def name_of(parse_node: ParseNode) -> Name:
    """A name in normal form (NFC). Raises ValueFault for a character that no name may hold."""
    token = tokens_of(parse_node)[0]
    text = token.text
    if not text.isascii():
        wrong = check_name(text)
        if wrong is not None:
            raise bad_name(token, wrong)
        text = unicodedata.normalize("NFC", text)
    return placed(text, token)


def bad_name(token: Token, index: int, goes_on: bool = False) -> ValueFault:
    """The fault of a name with a character at `index` that no name may hold.

    `goes_on` is true where the line cannot end after the name.
    """
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


def names_of(parse_node: ParseNode | None) -> Names:
    """The names directly below a parse node; none for None."""
    return tuple(name_of(child) for child in child_nodes_of(parse_node)) if parse_node else ()


def title_of(token: Token) -> Name:
    """The text of a title, without its quotes and escapes."""
    text = token.text[1:-1]
    return placed(_ESCAPE.sub(r"\1", text) if "\\" in text else text, token)


def first_title(tokens: Iterable[Token]) -> Name | None:
    """The first title among some words, if any."""
    return next((title_of(token) for token in tokens if token.kind == "TITLE"), None)


def date_of(token: Token) -> Day:
    """A date. Raises ValueFault for a day that does not exist or is before 1970."""
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


def dates_of(parse_node: ParseNode) -> list[Day]:
    """The dates among the words of a parse node."""
    return [date_of(token) for token in tokens_of(parse_node) if token.kind == "DATE"]


def day_of(token: Token) -> Located[int]:
    """A weekday, 0 for Monday."""
    return placed(DAY_NUMBERS[token.text], token)


def day_word(token: Token) -> Name:
    """The full name of a day of the week, or `weekday` or `weekend`."""
    return placed(DAYS[DAY_NUMBERS[token.text]] if token.kind == "DAY" else token.text, token)


def days_of(parse_node: ParseNode) -> tuple[Located[int], ...]:
    """The weekdays of a list, each named once."""
    return tuple(each_once(tokens_of(parse_node), day_of))


def each_once(
    words: Iterable[ParseNode | Token], read: Callable[[Any], Located[T]]
) -> list[Located[T]]:
    """The values in order. Raises ValueFault where one is named twice."""
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


def minutes_of(parse_node: ParseNode, low: int = 1) -> Located[int]:
    """A duration in minutes. Raises ValueFault below `low`, or where a number is too large."""
    first, *rest = tokens_of(parse_node)
    if parse_node.rule == "minutes":
        total = number_of(first, low, 9999, "the minutes").value
    else:
        total = number_of(first, min(low, 1), 166, "the hours").value * 60
        total += sum(number_of(t, 0, 59, "the minutes after hours").value for t in rest)
    if total < low:
        number_of(first, 1, 166, "the hours")
    return Located(total, parse_node.start, parse_node.end)


def check_order(tokens: list[Token]) -> None:
    """Raise ValueFault where the last date among some words comes before the first."""
    dates = [token for token in tokens if token.kind == "DATE"]
    if date_of(dates[0]).value > date_of(dates[-1]).value:
        first, *_, token = dates
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
    """The comment in a COMMENT token."""
    return comment_text(token.text, token.start)
