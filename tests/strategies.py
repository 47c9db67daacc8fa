"""What tests draw: names of any script, titles, every kind of node, and lines with a slip."""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from datetime import date
from typing import Any, NamedTuple, TypeVar

from hypothesis import strategies as st

from ledger.text.cadences import shortest_period
from ledger.text.clauses import (
    CLAUSES,
    ChoreLine,
    ClauseLine,
    NamedDays,
    SectionHeader,
    Turn,
    ValueKind,
    plain,
)
from ledger.text.parts import Cadence, Day, DayItem, DayItems, Located, MonthDay, Name, Names, Spans
from ledger.text.tree import (
    AbsentLine,
    Declared,
    LimitLine,
    Node,
    RecordEntry,
    RecordItem,
    RecordLine,
    Setting,
    Step,
)
from ledger.text.writer import write_line

T = TypeVar("T")
Flagged = TypeVar("Flagged", SectionHeader, ChoreLine)

FIRST_DAY = date(1970, 1, 1).toordinal()
LAST_DAY = date.max.toordinal()
LONGEST = 166 * 60 + 59
DAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
KEYWORDS = (
    "household", "since", "week", "starts", "is", "ends", "person", "area", "limit", "away",
    "rest", "every", "day", "days", "weeks", "month", "months", "once", "times", "during",
    "except", "within", "on", "last", "done", "in", "by", "of", "or", "then", "and", "uses",
    "after", "from", "to", "until", "vital", "expires", "spare", "paused", "did", "skipped",
    "moved", "worked", "min", "h", "may", "april", "first", "fifth",
)  # fmt: skip
NOT_PEOPLE = ("each", "weekday", "weekend", *DAYS, *(name[:3] for name in DAYS))
MONTHS = (
    "january", "february", "march", "april", "may", "june", "july", "august", "september",
    "october", "november", "december",
)  # fmt: skip
KINDS_OF_DAY = ("weekday", "weekend", *DAYS)
UNSAFE = "\x7f\u2028\u2029\ufeff" + "".join(
    chr(code)
    for low, high in ((0, 8), (10, 31), (0x80, 0x9F), (0x202A, 0x202E), (0x2066, 0x2069))
    for code in range(low, high + 1)
)


def normal(text: str) -> str:
    """The form in which a name is kept (NFC)."""
    return unicodedata.normalize("NFC", text)


# ------------------------------------------------------------------------- words

_letters = st.characters(categories=["L"])
_rest = st.text(st.characters(categories=["L", "M", "Nd"], include_characters="-"), max_size=6)
_any_script = st.builds(str.__add__, _letters, _rest).map(normal)
_plain = st.sampled_from(["wash-up", "bins", "oven2", "a", "Café", "窓", "मेज़", "کفش"]).map(normal)

people = st.one_of(_plain, st.sampled_from(KEYWORDS), _any_script).filter(
    lambda name: name not in NOT_PEOPLE
)
names = st.one_of(people, st.sampled_from(NOT_PEOPLE))
days_names = st.one_of(people, st.just("each")).filter(
    lambda name: name not in (*MONTHS, *(month[:3] for month in MONTHS))
)
titles = st.one_of(
    st.sampled_from(
        ["", "Edie, 10", 'The "good" cloth', "back \\ slash", "\\", '"', "# no comment"]
    ),
    st.text(st.characters(exclude_categories=["Cs"], exclude_characters=UNSAFE), max_size=12),
)
comments = titles.map(lambda title: ("#" + title).rstrip(" \t"))
steps = titles.map(lambda title: Step(Located(title.strip(" \t"), 0, 0)))
durations = st.one_of(st.integers(1, 150), st.integers(1, LONGEST))
days = st.integers(FIRST_DAY, LAST_DAY)
weekdays = st.integers(0, 6)
months = st.integers(1, 12)
counts = st.integers(1, 9999)
either = st.booleans()

# A text of characters that mean something in a book, so that words form now and then.
book_characters = st.one_of(
    st.sampled_from(' \t\t,#"\\-:0123456789dinbyhmxé'),
    st.characters(exclude_characters="\n\r"),
)
arbitrary_lines = st.text(book_characters, max_size=30)


def placed(values: st.SearchStrategy[T]) -> st.SearchStrategy[Located[T]]:
    """Values with a place that means nothing, as places do not take part in equality."""
    return values.map(lambda value: Located(value, 0, 0))


def maybe(values: st.SearchStrategy[T]) -> st.SearchStrategy[T | None]:
    """A value, or none."""
    return st.one_of(st.none(), values)


def some(values: st.SearchStrategy[str], least: int = 1) -> st.SearchStrategy[Names]:
    """A few names, not always different."""
    return st.lists(placed(values), min_size=least, max_size=3).map(tuple)


def unlike(
    values: st.SearchStrategy[T], least: int = 1
) -> st.SearchStrategy[tuple[Located[T], ...]]:
    """A few values, all different."""
    return st.lists(placed(values), min_size=least, max_size=3, unique=True).map(tuple)


def subsets(values: Sequence[int], most: int | None = None) -> st.SearchStrategy[tuple[int, ...]]:
    """Some of the values, at least one, in order."""
    chosen = st.sets(st.sampled_from(values), min_size=1, max_size=most)
    return chosen.map(lambda numbers: tuple(sorted(numbers)))


# ------------------------------------------------------------------------- declarations

_neighbours = st.builds(
    lambda first, n: [(first + k) % 7 for k in range(n)], weekdays, st.integers(1, 3)
)
weekends = _neighbours.flatmap(st.permutations).map(
    lambda found: tuple(Located(day, 0, 0) for day in found)
)
settings = st.one_of(
    st.builds(Setting, st.just("household"), placed(titles)),
    st.builds(Setting, st.just("since"), placed(days)),
    st.builds(Setting, st.just("week starts"), placed(weekdays)),
    st.builds(Setting, st.just("weekend is"), weekends),
    st.builds(Setting, st.just("day ends"), placed(st.integers(0, 719))),
)
declared = st.one_of(
    st.builds(Declared, st.just("person"), placed(people), maybe(placed(titles))),
    st.builds(Declared, st.just("area"), placed(names), maybe(placed(titles))),
)
limits = st.builds(
    LimitLine,
    placed(st.sampled_from(KINDS_OF_DAY) | people),
    maybe(placed(st.sampled_from(KINDS_OF_DAY) | days_names)),
    placed(st.integers(0, LONGEST)),
).map(lambda limit: limit._replace(kind=None) if limit.who.value in KINDS_OF_DAY else limit)


def _span(first: int, last: int) -> tuple[Day, Day]:
    return Located(min(first, last), 0, 0), Located(max(first, last), 0, 0)


_dated = st.one_of(
    st.lists(st.builds(_span, days, days), min_size=1, max_size=3).map(tuple),
    placed(days).map(lambda first: ((first, None),)),
).map(Spans)
absences = st.builds(
    AbsentLine,
    st.sampled_from(["away", "rest"]),
    _dated | unlike(days_names).map(lambda named: Spans(names=named)),
    some(people, 0),
    maybe(placed(titles)),
)

# ------------------------------------------------------------------------- clauses

turns = st.one_of(
    st.builds(Turn, st.just("any"), some(people)),
    st.builds(Turn, st.just("then"), some(people, 2)),
    st.builds(Turn, st.just("each"), some(people, 0)),
    st.builds(Turn, st.just("together"), some(people, 2)),
)
kinds_of_days = st.one_of(
    st.builds(lambda first, last: DayItem("months", first, last), months, months),
    weekdays.map(lambda day: DayItem("day", day, day)),
    st.sampled_from([DayItem("weekday"), DayItem("weekend")]),
)
"""Items of lists of days that need no other line."""
_named_items = days_names.map(lambda name: DayItem("named", name=name))
_VALUES: dict[ValueKind, st.SearchStrategy[object]] = {
    "duration": maybe(placed(durations)),
    "names": some(names, 0),
    "turn": maybe(turns),
    "day-list": unlike(kinds_of_days | _named_items, 0),
    "days": maybe(placed(st.one_of(st.integers(1, 10), st.integers(1, 366)))),
    "flag": either,
    "title": maybe(placed(titles)),
}


def clause_strategies(
    line: type[ClauseLine], dates: st.SearchStrategy[int] = days
) -> dict[str, st.SearchStrategy[Any]]:
    """Values for the clauses of a kind of line, but for its cadence."""
    values = _VALUES | {"date": maybe(placed(dates))}
    return {one.field: values[one.kind] for one in CLAUSES[line] if one.kind != "cadence"}


# ------------------------------------------------------------------------- sections

month_days = st.one_of(
    st.builds(MonthDay, st.one_of(st.integers(1, 31), st.just(-1)), st.none()),
    st.builds(MonthDay, st.integers(-1, 5), weekdays),
)
_on = st.lists(month_days, max_size=3, unique=True).map(tuple)
_named_months = subsets(range(1, 13), 4)
_numbers = st.lists(st.sampled_from([1, 2, 3, 4, 5, -1]), min_size=1, max_size=4, unique=True)


def cadences(
    dates: st.SearchStrategy[int] = days, every: st.SearchStrategy[int] = counts
) -> st.SearchStrategy[Cadence]:
    """Every kind of cadence, its dates and its `N` drawn from those given."""
    return st.one_of(
        calendar_cadences(every),
        _periods(every).flatmap(_in_parts),
        every.map(lambda n: Cadence("after-done", n)),
        st.builds(lambda a, b: Cadence("once", first=min(a, b), last=max(a, b)), dates, dates),
    )


def calendar_cadences(every: st.SearchStrategy[int] = counts) -> st.SearchStrategy[Cadence]:
    """Those whose days the calendar alone decides."""
    week_days = st.builds(
        lambda n, named: Cadence("week", n, days=named if n > 1 else ()), every, subsets(range(7))
    )
    return st.one_of(
        every.map(lambda n: Cadence("day", n)),
        st.sampled_from([Cadence("weekday"), Cadence("weekend")]),
        _numbers.map(lambda numbers: Cadence("numbered-weekend", weekends=tuple(numbers))),
        subsets(range(7)).map(lambda named: Cadence("named-day", days=named)),
        week_days,
        _periods(every),
        st.builds(lambda n, on: Cadence("month", n, on=on), every, _on),
        st.builds(lambda m, on: Cadence("named-month", months=m, on=on), _named_months, _on),
    )


def _periods(every: st.SearchStrategy[int]) -> st.SearchStrategy[Cadence]:
    """Cadences of whole weeks or months."""
    return st.one_of(
        every.map(lambda n: Cadence("week", n)),
        every.map(lambda n: Cadence("month", n)),
        _named_months.map(lambda named: Cadence("named-month", months=named)),
    )


def _in_parts(period: Cadence) -> st.SearchStrategy[Cadence]:
    """A period that is parted: `2 times every week`."""
    most = shortest_period(period)
    return st.one_of(st.integers(2, min(4, most)), st.integers(2, most)).map(
        lambda times: period._replace(times=times)
    )


def sections(
    cadence: st.SearchStrategy[Cadence],
    dates: st.SearchStrategy[int] = days,
    paused: st.SearchStrategy[bool] = either,
) -> st.SearchStrategy[SectionHeader]:
    """A cadence with any of the clauses that a header may have."""
    given = clause_strategies(SectionHeader, dates) | {"paused": paused}
    return st.builds(SectionHeader, placed(cadence), **given).map(_consistent)


def _consistent(line: Flagged) -> Flagged:
    """A line that is not both `vital` and `spare`."""
    return line._replace(spare=line.spare and not line.vital)


named_days = st.one_of(
    st.builds(
        lambda name, spans, title: NamedDays(name, spans, title=title),
        placed(days_names),
        _dated,
        maybe(placed(titles)),
    ),
    st.builds(
        NamedDays,
        placed(days_names),
        st.none(),
        placed(calendar_cadences()),
        **clause_strategies(NamedDays),
    ),
)


_rarely = st.integers(0, 5).map(lambda number: number == 5)


def seldom(values: st.SearchStrategy[T]) -> st.SearchStrategy[T | None]:
    """A value now and then, mostly none."""
    return _rarely.flatmap(lambda given: values if given else st.none())


def seldom_some(items: st.SearchStrategy[DayItem]) -> st.SearchStrategy[DayItems]:
    """A list of days now and then, mostly none."""
    return seldom(unlike(items)).map(lambda listed: listed or ())


@st.composite
def plain_sections(
    draw: st.DrawFn,
    cadence: st.SearchStrategy[Cadence],
    near: st.SearchStrategy[int],
    items: st.SearchStrategy[DayItem] = kinds_of_days,
) -> SectionHeader:
    """A sound section that has windows more often than not: few clauses, and never paused."""
    chosen = draw(cadence)
    return SectionHeader(
        Located(chosen, 0, 0),
        during=draw(seldom_some(items)),
        excepted=draw(seldom_some(items)),
        within=draw(seldom(placed(st.integers(1, 12) | st.integers(1, 366)))),
        first=draw(placed(near) if chosen.needs_from else seldom(placed(near))),
        last=draw(seldom(placed(near))),
        title=draw(seldom(placed(titles))),
    )


# ------------------------------------------------------------------------- chores and record

chore_lines = st.builds(ChoreLine, placed(names), **clause_strategies(ChoreLine)).map(_consistent)


few_people = some(people, 0)


def entries(
    name: st.SearchStrategy[str] = names,
    who: st.SearchStrategy[Names] = few_people,
    dates: st.SearchStrategy[int] = days,
) -> st.SearchStrategy[RecordEntry]:
    """What a record line says behind its date, with every verb."""
    note = maybe(placed(titles))
    plain = st.builds(_item, placed(name))
    timed = st.builds(_item, placed(name), placed(durations))
    maybe_timed = st.lists(plain | timed, min_size=1, max_size=3)
    return st.one_of(
        st.builds(_entry, st.just("did"), maybe_timed, note, who),
        st.builds(_entry, st.just("worked"), st.lists(timed, min_size=1, max_size=3), note, who),
        st.builds(_entry, st.just("skipped"), st.lists(plain, min_size=1, max_size=3), note),
        st.builds(_entry, st.just("moved"), st.tuples(plain), note, to=placed(dates)),
    )


def _item(name: Name, minutes: Located[int] | None = None) -> RecordItem:
    return RecordItem(name, minutes)


def _entry(
    verb: str,
    items: Sequence[RecordItem],
    note: Name | None,
    people: Names = (),
    to: Day | None = None,
) -> RecordEntry:
    return RecordEntry(verb, tuple(items), people, to, note)


record_nodes = st.builds(RecordLine, placed(days), entries())
parsed_nodes: st.SearchStrategy[Node] = st.one_of(
    settings,
    declared,
    named_days,
    limits,
    absences,
    sections(cadences()),
    chore_lines,
    record_nodes,
)
"""All that the grammar reads: every kind but steps, which have no comments either."""
nodes = parsed_nodes | steps

# ------------------------------------------------------------------------- lines

record_lines = st.builds(write_line, record_nodes, maybe(placed(comments)))
parsed_lines = st.builds(write_line, parsed_nodes, maybe(placed(comments)))
lines = parsed_lines | steps.map(write_line)


@st.composite
def mutated(draw: st.DrawFn, sound: st.SearchStrategy[str]) -> str:
    """A sound line with one character cut, doubled, swapped with its neighbour or replaced."""
    line = draw(sound)
    at = draw(st.integers(0, len(line) - 1))
    before, here, after = line[:at], line[at], line[at + 1 :]
    slip = draw(st.sampled_from(["cut", "doubled", "swapped", "replaced"]))
    if slip == "cut":
        return before + after
    if slip == "doubled":
        return before + here * 2 + after
    if slip == "swapped":
        return before + after[:1] + here + after[1:]
    return before + draw(book_characters) + after


# ------------------------------------------------------------------------- small books

PEOPLE = ("noor", "tam", "edie")
AREAS = ("kitchen", "outside")
CHORES = ("oven", "bins", "sheets", "by")
BASE = date(2026, 1, 1).toordinal()


class SmallBook(NamedTuple):
    """A sound book of a few lines, in parts that may stand in files of their own."""

    head: list[str]
    containers: list[list[str]]
    record: list[str]

    def text(self) -> str:
        """The whole book in one file."""
        body = [line for lines in self.containers for line in lines]
        return "\n".join([*self.head, *body, *self.record, ""])


def _who(known: tuple[str, ...]) -> st.SearchStrategy[Turn | None]:
    forms = ["any", "then", "together", "each"] if len(known) > 1 else ["any", "each"]
    ordered = st.permutations(known).map(lambda names: tuple(Located(n, 0, 0) for n in names))
    named = st.builds(Turn, st.sampled_from(forms), ordered)
    return st.one_of(st.none(), st.just(Turn("each")), named)


Container = tuple[SectionHeader, list[ChoreLine], list[Step]]
"""A header, chores under it, and the steps of the last of them."""


@st.composite
def _containers(
    draw: st.DrawFn,
    near: st.SearchStrategy[int],
    turn: st.SearchStrategy[Turn | None],
    items: st.SearchStrategy[DayItem],
) -> Container:
    """A section of a cadence that falls, and a chore or two under it."""
    cadence = _frequent | cadences(near, st.integers(1, 4)).filter(_falls)
    flags: st.SearchStrategy[dict[str, Any]] = st.fixed_dictionaries(dict.fromkeys(_FLAGS, _rarely))
    section = _consistent(draw(plain_sections(cadence, near, items))._replace(**draw(flags)))
    chores = []
    for name in draw(st.lists(st.sampled_from(CHORES), min_size=1, max_size=2, unique=True)):
        chore = ChoreLine(
            Located(name, 0, 0),
            minutes=draw(maybe(placed(st.integers(1, 90)))),
            areas=draw(st.sampled_from([(), (Located("kitchen", 0, 0),)])),
            assignment=draw(turn),
            things=draw(st.sampled_from([(), (Located("bleach", 0, 0), Located("vinegar", 0, 0))])),
            during=draw(seldom_some(items)),
            excepted=draw(seldom_some(items)),
            first=draw(seldom(placed(near))),
            last=draw(seldom(placed(near))),
            **draw(flags),
        )
        chores.append(_consistent(chore))
    return section, chores, draw(seldom(st.lists(steps, max_size=2))) or []


_FLAGS = [one.field for one in CLAUSES[ChoreLine] if one.kind == "flag"]


def _key(container: Container) -> object:
    """What makes two headers one container: all they say, lists in any order."""
    header = container[0]
    said = (*header.cadence.value, *plain(header[1:]))
    return tuple(frozenset(one) if isinstance(one, tuple) else one for one in said)


def _written(header: SectionHeader, chores: list[ChoreLine], below: list[Step]) -> list[str]:
    return [write_line(header), *map(write_line, chores), *map(write_line, below)]


def _sound(containers: Sequence[Container]) -> list[Container]:
    """The containers without the chores that a line under `N days after done` shuts out."""
    after_done: dict[str, bool] = {}
    kept = []
    for header, chores, below in containers:
        alone = header.cadence.value.is_after_done
        chores = [
            chore
            for chore in chores
            if not (alone or after_done.get(chore.name.value)) or chore.name.value not in after_done
        ]
        after_done |= {chore.name.value: alone for chore in chores}
        kept += [(header, chores, below)] if chores else []
    return kept


_frequent = st.sampled_from(
    [
        Cadence("day"),
        Cadence("weekend"),
        Cadence("named-day", days=(0, 3)),
        Cadence("week", 2),
        Cadence("month", on=(MonthDay(1, None), MonthDay(2, 4))),
        Cadence("after-done", 6),
    ]
)


def _falls(cadence: Cadence) -> bool:
    """False where a day of the month is asked for that not every month has."""
    return all(day.weekday is not None or day.number <= 28 for day in cadence.on)


_school = st.just(DayItem("named", name="school"))


@st.composite
def _some_days(draw: st.DrawFn, near: st.SearchStrategy[int]) -> NamedDays:
    """Named days that fall, by spans or by a cadence."""
    name = Located("school", 0, 0)
    if draw(either):
        first = draw(near)
        return NamedDays(name, Spans((_span(first, first + draw(st.integers(0, 60))),)))
    cadence = draw(_frequent.filter(lambda one: not one.is_after_done))
    within = draw(seldom(placed(st.integers(1, 12))))
    return NamedDays(name, None, Located(cadence, 0, 0), within, draw(placed(near)))


@st.composite
def small_books(draw: st.DrawFn) -> SmallBook:
    """Books of up to three people and containers, in the first months of 2026."""
    near = st.integers(BASE, BASE + 120)
    known = tuple(draw(st.lists(st.sampled_from(PEOPLE), unique=True)))
    head = [f"person {name}" for name in known] + [f"area {name}" for name in AREAS]
    since = draw(st.sampled_from([BASE, BASE + 10, None]))
    head += [write_line(Setting("since", Located(since, 0, 0)))] if since else []
    head.append(write_line(Setting("week starts", Located(draw(weekdays), 0, 0))))
    head.append(write_line(Setting("weekend is", draw(weekends))))
    who = st.lists(st.sampled_from(known), unique=True) if known else st.just([])
    named = who.map(lambda names: tuple(Located(name, 0, 0) for name in names))
    school = draw(seldom(_some_days(near)))
    head += [write_line(school)] if school else []
    items = kinds_of_days | _school if school else kinds_of_days
    span = st.builds(lambda first, days: _span(first, first + days), near, st.integers(0, 12))
    dated = st.lists(span, min_size=1, max_size=2).map(lambda spans: Spans(tuple(spans)))
    open_ended = placed(near).map(lambda first: Spans(((first, None),)))
    by_name = st.just(Spans(names=(Located("school", 0, 0),))) if school else dated
    days_off = st.one_of(dated, dated, dated, by_name, open_ended)
    for _ in range(draw(st.integers(0, 2))):
        keyword = draw(st.sampled_from(["away", "rest"]))
        head.append(write_line(AbsentLine(keyword, draw(days_off), draw(named), None)))
    turn = _who(known) if known else st.sampled_from([None, Turn("each")])
    sections = _containers(near, turn, items)
    found = _sound(draw(st.lists(sections, min_size=1, max_size=3, unique_by=_key)))
    used = sorted({chore.name.value for _, chores, _ in found for chore in chores})
    said = entries(st.sampled_from(used), named, near)
    record = draw(st.lists(st.builds(RecordLine, placed(near), said), max_size=12))
    return SmallBook(head, [_written(*one) for one in found], [*map(write_line, record)])
