"""The builder: turns parse nodes into nodes of the tree, and refuses impossible values."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from ledger.text.cadences import cadence_of
from ledger.text.clauses import (
    CLAUSES,
    ChoreLine,
    ClauseLine,
    NamedDays,
    SectionHeader,
    Turn,
    ValueKind,
)
from ledger.text.finding import IMPOSSIBLE_NUMBER, REPEATED_WORD, Fix
from ledger.text.parser import (
    ParseNode,
    Token,
)
from ledger.text.parts import Day, DayItem, DayItems, Located, Name, Spans
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
from ledger.text.values import (
    DAY_NUMBERS,
    MONTH_NUMBERS,
    ValueFault,
    check_order,
    child_node_of,
    child_nodes_of,
    comment_of,
    dates_of,
    day_of,
    day_word,
    days_of,
    each_once,
    edit_of,
    first_title,
    minutes_of,
    name_of,
    names_of,
    number_of,
    placed,
    title_of,
    tokens_of,
)


def build(parse_node: ParseNode) -> tuple[Node, Name | None]:
    """The node of a parsed line, and its comment.

    Raises ValueFault for impossible words: 31 June, weekend 6, a clause given twice.
    """
    first = cast(ParseNode, parse_node.children[0])
    comment = comment_of(tokens_of(parse_node)[-1]) if len(parse_node.children) > 1 else None
    node = _BUILDERS[first.rule](first)
    if isinstance(node, RecordLine) and comment is not None:
        node = RecordLine(node.date, node.entry._replace(comment=comment))
    return node, comment


def step_of(text: str, start: int) -> Step:
    """The step in a line whose `-` stands at `start`: the text behind it, blanks cut off."""
    step = text[start + 1 :].strip(" \t")
    begin = text.find(step, start + 1)
    return Step(Located(step, begin, begin + len(step)))


def _household(parse_node: ParseNode) -> Node:
    return Setting("household", title_of(tokens_of(parse_node)[0]))


def _since(parse_node: ParseNode) -> Node:
    return Setting("since", dates_of(parse_node)[0])


def _week_starts(parse_node: ParseNode) -> Node:
    return Setting("week starts", day_of(tokens_of(parse_node)[0]))


def _weekend_is(parse_node: ParseNode) -> Node:
    days = days_of(child_nodes_of(parse_node)[0])
    tokens = tokens_of(child_nodes_of(parse_node)[0])
    # Neighbouring days, in any order: from one of them all the others follow.
    numbers = {day.value for day in days}
    if len(numbers) > 3 or not any(
        numbers == {(first + n) % 7 for n in range(len(numbers))} for first in numbers
    ):
        raise ValueFault(
            IMPOSSIBLE_NUMBER,
            Token("", "", tokens[0].start, tokens[-1].end),
            "a weekend is one to three days in a row",
            "what the first day of a weekend leaves, its last day finishes",
            "name neighbouring days: `weekend is saturday, sunday`",
        )
    return Setting("weekend is", days)


def _day_ends(parse_node: ParseNode) -> Node:
    token = tokens_of(parse_node)[0]
    hour, minute = int(token.text[:2]), int(token.text[3:])
    if hour > 11 or minute > 59:
        raise ValueFault(
            IMPOSSIBLE_NUMBER,
            token,
            f"a day cannot end at {token.text}",
            "the hours after midnight count for the day before, up to noon at the latest",
            "write a time from 00:00 to 11:59, such as `day ends 03:00`",
        )
    return Setting("day ends", placed(hour * 60 + minute, token))


def _declared(parse_node: ParseNode) -> Node:
    return Declared(
        parse_node.rule, name_of(child_nodes_of(parse_node)[0]), first_title(tokens_of(parse_node))
    )


def _limit(parse_node: ParseNode) -> Node:
    *named, duration = child_nodes_of(parse_node)
    words = [name_of(name) for name in named] + list(map(day_word, tokens_of(parse_node)))
    who, *kind = words
    return LimitLine(who, kind[0] if kind else None, minutes_of(duration, 0))


def _spans(parse_node: ParseNode) -> Spans:
    if parse_node.rule == "days_names":
        return Spans(names=names_of(parse_node))
    return Spans(tuple(_span(span) for span in child_nodes_of(parse_node)))


def _span(parse_node: ParseNode) -> tuple[Day, Day | None]:
    dates = dates_of(parse_node)
    if parse_node.rule == "open_span":
        return dates[0], None
    check_order(tokens_of(parse_node))
    return dates[0], dates[-1]


def _absent(parse_node: ParseNode) -> Node:
    spans, *people = child_nodes_of(parse_node)
    return AbsentLine(
        parse_node.rule,
        _spans(spans),
        names_of(people[0]) if people else (),
        first_title(tokens_of(parse_node)),
    )


def _days_named(parse_node: ParseNode) -> Node:
    name, *others = child_nodes_of(parse_node)
    if others[0].rule == "spans":
        title = first_title(tokens_of(parse_node))
        return NamedDays(name_of(name), _spans(others[0]), title=title)
    return NamedDays(name_of(name), None, **_clauses(NamedDays, others))


def _section(parse_node: ParseNode) -> Node:
    return SectionHeader(**_clauses(SectionHeader, child_nodes_of(parse_node)))


def _chore(parse_node: ParseNode) -> Node:
    name, *clauses = child_nodes_of(parse_node)
    return ChoreLine(name_of(name), **_clauses(ChoreLine, clauses))


def _clauses(line: type[ClauseLine], parse_nodes: list[ParseNode]) -> dict[str, Any]:
    """The values of a line's clauses by field. Raises ValueFault where one is given twice."""
    values: dict[str, Any] = {}
    for number, parse_node in enumerate(parse_nodes):
        clause = _CLAUSES[line][parse_node.rule]
        if clause.field in values:
            first = list(values).index(clause.field)
            raise ValueFault(
                REPEATED_WORD,
                Token("", "", parse_node.start, parse_node.end),
                f"{clause.label} stands twice in this line",
                "each clause is read once, so one of the two would be lost without a word",
                "keep the one that is meant",
                [
                    Fix("Keep the first", (edit_of(parse_nodes[number - 1].end, parse_node.end),)),
                    Fix(
                        "Keep the last",
                        (edit_of(parse_nodes[first].start, parse_nodes[first + 1].start),),
                    ),
                ],
            )
        values[clause.field] = _READERS[clause.kind](parse_node)
        if "vital" in values and "spare" in values:
            raise _contradiction(parse_nodes[number - 1].end, parse_node)
    return values


def _contradiction(end: int, second: ParseNode) -> ValueFault:
    """The fault of a line that is both `vital` and `spare`; `end` is where the clause before the
    second of them ends."""
    return ValueFault(
        REPEATED_WORD,
        Token("", "", second.start, second.end),
        "a line cannot be both `vital` and `spare`",
        "a vital chore comes first when time is short, a spare one only when time is left",
        "keep the one that is meant",
        [Fix("Leave this one out", (edit_of(end, second.end),))],
    )


_FORMS = {"any_of": "any", "in_turn": "then", "each": "each", "together": "together"}


def _turn(parse_node: ParseNode) -> Turn:
    turn = child_nodes_of(parse_node)[0]
    return Turn(_FORMS[turn.rule], names_of(turn))


def _day_list(parse_node: ParseNode) -> DayItems:
    return tuple(each_once(child_nodes_of(parse_node), _day_item))


def _day_item(parse_node: ParseNode) -> Located[DayItem]:
    return Located(_day_item_value(parse_node), parse_node.start, parse_node.end)


def _day_item_value(parse_node: ParseNode) -> DayItem:
    tokens = tokens_of(parse_node)
    if not tokens:
        return DayItem("named", name=name_of(child_nodes_of(parse_node)[0]).value)
    match tokens[0].kind:
        case "MONTH":
            months = [MONTH_NUMBERS[token.text] for token in tokens]
            return DayItem("months", months[0], months[-1])
        case "DAY":
            day = DAY_NUMBERS[tokens[0].text]
            return DayItem("day", day, day)
        case "WEEKDAY":
            return DayItem("weekday")
    return DayItem("weekend")


_CLAUSES = {
    line: {rule: clause for clause in clauses for rule in clause.rules}
    for line, clauses in CLAUSES.items()
}
_READERS: dict[ValueKind, Callable[[ParseNode], object]] = {
    "cadence": cadence_of,
    "duration": minutes_of,
    "names": names_of,
    "turn": _turn,
    "day-list": _day_list,
    "days": lambda parse_node: number_of(tokens_of(parse_node)[0], 1, 366, "the days of a window"),
    "date": lambda parse_node: dates_of(parse_node)[0],
    "flag": lambda _: True,
    "title": lambda parse_node: title_of(tokens_of(parse_node)[0]),
}


def _record(parse_node: ParseNode) -> Node:
    dates = dates_of(parse_node)
    people = child_node_of(parse_node, "people")
    items = [child for child in child_nodes_of(parse_node) if child is not people]
    entry = RecordEntry(
        verb=parse_node.rule,
        items=tuple(_item(child) for child in items),
        people=names_of(people),
        to=dates[1] if len(dates) > 1 else None,
        note=first_title(tokens_of(parse_node)),
    )
    return RecordLine(dates[0], entry)


def _item(parse_node: ParseNode) -> RecordItem:
    if parse_node.rule == "name":
        return RecordItem(name_of(parse_node))
    name, *duration = child_nodes_of(parse_node)
    return RecordItem(name_of(name), minutes_of(duration[0]) if duration else None)


_BUILDERS: dict[str, Callable[[ParseNode], Node]] = {
    "household": _household,
    "since": _since,
    "week_starts": _week_starts,
    "weekend_is": _weekend_is,
    "day_ends": _day_ends,
    "person": _declared,
    "area": _declared,
    "limit": _limit,
    "days_named": _days_named,
    "away": _absent,
    "rest": _absent,
    "section": _section,
    "chore": _chore,
    "did": _record,
    "skipped": _record,
    "moved": _record,
    "worked": _record,
}
