"""Lines with clauses: chores, headers and named days, and the table of what they may say."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Literal, NamedTuple

from ledger.text.parts import Cadence, Day, DayItems, Located, Name, Names, Spans


class NamedDays(NamedTuple):
    """`days NAME SPANS` or `days NAME CADENCE`, with the dates that limit the cadence."""

    name: Name
    spans: Spans | None
    cadence: Located[Cadence] | None = None
    within: Located[int] | None = None
    first: Day | None = None
    last: Day | None = None
    title: Name | None = None


class SectionHeader(NamedTuple):
    """A cadence, which is one container, and the dates that limit it; see `text/clauses.py`."""

    cadence: Located[Cadence]
    during: DayItems = ()
    excepted: DayItems = ()
    within: Located[int] | None = None
    first: Day | None = None
    last: Day | None = None
    vital: bool = False
    expires: bool = False
    spare: bool = False
    paused: bool = False
    title: Name | None = None


class Turn(NamedTuple):
    """Who does a chore: `any` of the people, in turn (`then`), `together` (`and`), or `each` their
    own; `each` of no people is everyone."""

    form: str
    people: Names = ()


class ChoreLine(NamedTuple):
    """A chore under a section; for all but its name see `text/clauses.py`."""

    name: Name
    minutes: Located[int] | None = None
    areas: Names = ()
    assignment: Turn | None = None
    things: Names = ()
    after: Names = ()
    during: DayItems = ()
    excepted: DayItems = ()
    first: Day | None = None
    last: Day | None = None
    vital: bool = False
    expires: bool = False
    spare: bool = False
    paused: bool = False
    title: Name | None = None


ClauseLine = SectionHeader | ChoreLine | NamedDays
"""The kinds of lines that have clauses."""

ValueKind = Literal[
    "cadence", "duration", "names", "turn", "day-list", "days", "date", "flag", "title"
]
"""The kinds of clause values: `text/builder.py` reads each kind, `text/writer.py` writes it."""


class Clause(NamedTuple):
    """A clause: one thing that a chore's line or a header may say, with its words."""

    field: str
    """Its field in the node, and in the model of the household."""
    keyword: str
    """The word it begins with; empty where the value alone is the clause."""
    kind: ValueKind
    rules: tuple[str, ...]
    """The grammar rules that spell it."""
    about: str = ""
    """What it says, in a few words."""
    names: str = ""
    """What its names stand for: area, person, thing or chore."""
    has_column: bool = False
    """True where the formatter gives it a column of its own in a section."""

    @property
    def label(self) -> str:
        """What a message calls it."""
        return f"`{self.keyword}`" if self.keyword else f"a {self.kind}"


_DAYS = (
    Clause("during", "during", "day-list", ("during",), "kept to these days"),
    Clause("excepted", "except", "day-list", ("except_days",), "not on these days"),
)
_WITHIN = Clause("within", "within", "days", ("within",), "days that a window lasts")
_DATES = (
    Clause("first", "from", "date", ("from_date",), "the first day that counts"),
    Clause("last", "until", "date", ("until_date",), "the last day that counts"),
)
_FLAGS = (
    Clause("vital", "vital", "flag", ("vital",), "done on days of rest too, and first"),
    Clause("expires", "expires", "flag", ("expires",), "not done on its days, it is missed"),
    Clause("spare", "spare", "flag", ("spare",), "offered when time is left, never late"),
    Clause("paused", "paused", "flag", ("paused",), "laid aside; counts on no day"),
)
_TITLE = Clause("title", "", "title", ("title",))
_CADENCE = Clause("cadence", "", "cadence", ("cadence", "calendar_cadence"))

CLAUSES: Mapping[type[tuple[Any, ...]], tuple[Clause, ...]] = {
    SectionHeader: (_CADENCE, *_DAYS, _WITHIN, *_DATES, *_FLAGS, _TITLE),
    NamedDays: (_CADENCE, _WITHIN, *_DATES, _TITLE),
    ChoreLine: (
        Clause("minutes", "", "duration", ("minutes", "hours"), has_column=True),
        Clause("areas", "in", "names", ("in_areas",), "the areas it is done in", "area", True),
        Clause("assignment", "by", "turn", ("by_people",), "who does it", "person", True),
        Clause("things", "uses", "names", ("uses_things",), "things it needs", "thing"),
        Clause(
            "after", "after", "names", ("after_chores",),
            "chores that come before it on the same day", "chore",
        ),
        *_DAYS,
        *_DATES,
        *_FLAGS,
        _TITLE,
    ),
}  # fmt: skip
"""The clauses of each kind of line, in the order in which the formatter writes them."""


def clause_values(node: ClauseLine) -> Iterator[tuple[Clause, Any]]:
    """The clauses that a line has, each with its value, in the formatter's order."""
    for clause in CLAUSES[type(node)]:
        value = getattr(node, clause.field)
        if value:
            yield clause, value


def plain(value: Any) -> Any:
    """The value of a clause without the places of its words."""
    if isinstance(value, Located):
        return value.value
    return tuple(map(plain, value)) if isinstance(value, tuple) else value
