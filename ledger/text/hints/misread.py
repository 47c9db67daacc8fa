"""An unreadable line and what it says up to its fault, and what a hint on it holds."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from ledger.text.hints.facts import Near, facts
from ledger.text.hints.reading import Edit, reads
from ledger.text.hints.vocabulary import DATE, DAY, MONTH, NAME, Pattern
from ledger.text.parser import END, LineFault, parser
from ledger.text.source import Source

LONGEST = 160
"""The longest line that is shown to type, and that is looked at as a whole."""
ODD_BLANK = Pattern(r"[^\S\t\x20]+")
"""White space that does not separate the words of a book."""
_WORDS = Pattern(r'"(?:[^"\\]|\\.)*"?|[^"#]+')
_LAST_DATE = Pattern(rf"(?<![^\s,]){DATE}(?![^\s,])")
_DATED = Pattern(r"(?:away|rest|days) ")
_DAYS_LISTED = Pattern(r"\b(?:during|except) (?:.*, *)?[^\s,]+\Z")
_NAME_OF_DAYS = Pattern(
    rf"(?:\A(?:away|rest)|\b(?:during|except)) (?:[^\"]*, *)?(?P<name>(?!(?:{DAY}|{MONTH}|weekday"
    rf"|weekend)\Z){NAME})\Z"
)
_MONTH_LEFT = Pattern(r"(?:to|until|till|-|–)(?!\S)")
_DATES_LEFT = Pattern(r"(?:to|from|until|till)\b|[^\"]*[0-9]")
_OF_LIMIT = frozenset({"INT", "DAY", "WEEKDAY", "WEEKEND"})


class Hint(NamedTuple):
    """What a line was meant to say, and how to write it."""

    message: str
    fix: str
    """What to do, with `{}` for each text to type, in the order of `edits`."""
    edits: tuple[Edit, ...] = ()
    end: int = 0
    """Where the mark ends, if it goes beyond the word at which the reader stopped."""
    whole: bool = False
    """True to show the whole line to type, not only the words that change."""
    is_example: bool = False
    """True where the text shown is an example that a person has to replace."""
    lines: int = 0
    """How many lines replace this one, where one is not enough; `edits` holds the first of them."""
    in_columns: bool = False
    """True where the line of a chore is shown with its clauses two blanks apart."""


def a_line_each(message: str, lines: list[str], most: int, body: int, end: int) -> Hint:
    """A hint that replaces one line with several; at most `most` are shown."""
    edits = tuple(Edit(0, body, line) for line in lines[:most])
    fix = "write a line for each: " + ", ".join("{}" for _ in edits[1:])
    fix += " and {}" if len(lines) <= most else ", {} and so on"
    return Hint(message, fix, edits, end, whole=True, lines=len(lines))


@dataclass(frozen=True)
class Line:
    """A line of a source, as its words stand."""

    source: Source
    text: str

    @cached_property
    def body(self) -> int:
        """End of the words of the line: before its comment and the blanks before that."""
        end = 0
        for match in _WORDS.finditer(self.text):
            if match.start() != end:
                break
            end = match.end()
        return len(self.text[:end].rstrip(" \t"))

    @cached_property
    def margin(self) -> int:
        """Start of the first word."""
        return len(self.text) - len(self.text.lstrip(" \t"))

    @property
    def words(self) -> str:
        """The words of the line, from its first to its last."""
        return self.text[self.margin : self.body]

    @property
    def date(self) -> str:
        """An example date for this book: the last date in its record, or its first day."""
        return self.near.date

    @property
    def near(self) -> Near:
        """The time of this book, to which dates belong that do not name their year."""
        return facts(self.source).near

    @property
    def areas(self) -> frozenset[str]:
        """The areas that this file declares."""
        return facts(self.source).areas

    @property
    def people(self) -> tuple[str, ...]:
        """The people that this file declares."""
        return facts(self.source).people

    @property
    def weekend(self) -> tuple[str, ...]:
        """The days of the book's weekend, in their row."""
        return facts(self.source).weekend

    @property
    def days(self) -> frozenset[str]:
        """The names of days that this file declares."""
        return facts(self.source).days


@dataclass(frozen=True)
class Misread(Line):
    """A line, where the grammar stopped in it, and what it wanted there."""

    start: str
    stop: LineFault

    @property
    def expected(self) -> frozenset[str]:
        """The kinds of words that could stand where the reader stopped.

        Behind the person of a limit that is a number, and the days for which it is; their names do
        not count, or every word would be one.
        """
        kinds = self.stop.expected
        return kinds & _OF_LIMIT if {"NAME", "INT"} <= kinds else kinds

    def wants(self, *kinds: str) -> bool:
        """True where each of these kinds of words could stand here.

        False where a name could stand here too, unless NAME is among the kinds.
        """
        if "NAME" in self.expected and "NAME" not in kinds:
            return False
        return self.expected.issuperset(kinds)

    @property
    def at(self) -> int:
        """Start of the word at which the reader stopped, or end of the words."""
        return self.body if self.ended else self.stop.token.start

    @property
    def ended(self) -> bool:
        """True where the words of the line end too soon."""
        return self.stop.token.kind in (END, "COMMENT")

    @property
    def word(self) -> str:
        """The word at which the reader stopped; empty at the end of the words."""
        return "" if self.ended else self.stop.token.text

    @property
    def after(self) -> int:
        """End of that word."""
        return self.at + len(self.word)

    @property
    def rest(self) -> str:
        """The words of the line from the one at which the reader stopped."""
        return self.text[self.at : self.body]

    @property
    def head(self) -> str:
        """The line before the word at which the reader stopped, without blanks at its end."""
        return self.text[: self.at].rstrip(" \t")

    @cached_property
    def mark(self) -> tuple[int, int]:
        """Where the fault stands, by the rules of section 8 of FORMAT.md."""
        return mark(self.text, self.stop)

    @property
    def lacks_unit(self) -> bool:
        """True where a number lacks its unit, and the next word is not a misspelt unit."""
        token = self.stop.token
        follows = token.kind in (END, "COMMA", "TITLE", "COMMENT")
        is_known = follows or token.kind in parser().tables.keywords.values()
        return "MIN" in self.expected and is_known and self.head[-1:].isdecimal()

    @property
    def leaves_dates(self) -> bool:
        """True where dates or months are left over: a word before them was read as the name of
        some days, and was meant otherwise."""
        if _DATED.match(self.text) and self.head != "days":
            return _DATES_LEFT.match(self.rest) is not None
        return bool(_DAYS_LISTED.search(self.head) and _MONTH_LEFT.match(self.rest))

    @property
    def names_no_days(self) -> str:
        """The word before the fault, where it was read as the name of days that the file does not
        have; else empty."""
        match = _NAME_OF_DAYS.search(self.head)
        return match["name"] if match and match["name"] not in self.days else ""

    def rewrite(self, new: str) -> Edit:
        """An edit that replaces the word at which the reader stopped."""
        return Edit(self.at, self.after, new)

    @cached_property
    def own_date(self) -> str:
        """The last date that the line gives before the fault; empty where it gives none."""
        given = _LAST_DATE.findall(self.text[: self.at])
        return next((day for day in reversed(given) if reads(f"since {day}")), "")

    @property
    def chores(self) -> frozenset[str]:
        """The chores whose lines in this file look as they should."""
        return facts(self.source).chores


def mark(text: str, stop: LineFault) -> tuple[int, int]:
    """The part at fault: the word at which the reader stopped, or odd white space in it."""
    token = stop.token
    if not token.kind and not token.text.startswith('"'):
        odd = ODD_BLANK.search(token.text)
        if odd is not None:
            return token.start + odd.start(), token.start + odd.end()
    if token.kind == END:
        end = len(text.rstrip(" \t"))
        return end, end + 1
    return token.start, token.end
