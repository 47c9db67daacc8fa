"""The builder: turns parse nodes into nodes of the tree, and refuses impossible values."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, cast

from ledger.text.cadences import cadence_of
from ledger.text.finding import IMPOSSIBLE_NUMBER, REPEATED_WORD, Fix
from ledger.text.parser import (
    ParseNode,
    Token,
)
from ledger.text.tree import (
    CLAUSES,
    AwayLine,
    ChoreLine,
    Declared,
    LimitLine,
    Located,
    Name,
    Node,
    RecordEntry,
    RecordItem,
    RecordLine,
    SectionHeader,
    Setting,
    Turn,
    ValueKind,
)
from ledger.text.values import (
    DAY_NUMBERS,
    DAYS,
    MONTH_NUMBERS,
    ValueFault,
    check_order,
    child_node_of,
    child_nodes_of,
    comment_of,
    dates_of,
    day_of,
    days_of,
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
    if named:
        (name,) = named
        return LimitLine(name_of(name), minutes_of(duration, 0))
    token = tokens_of(parse_node)[0]
    who = DAYS[DAY_NUMBERS[token.text]] if token.kind == "DAY" else token.text
    return LimitLine(placed(who, token), minutes_of(duration, 0))


def _away(parse_node: ParseNode) -> Node:
    dates = dates_of(parse_node)
    check_order(dates, tokens_of(parse_node))
    people = names_of(child_node_of(parse_node, "people"))
    return AwayLine(dates[0], dates[-1], people, first_title(tokens_of(parse_node)))


def _section(parse_node: ParseNode) -> Node:
    return SectionHeader(**_clauses(SectionHeader, child_nodes_of(parse_node)))


def _chore(parse_node: ParseNode) -> Node:
    name, *clauses = child_nodes_of(parse_node)
    return ChoreLine(name_of(name), **_clauses(ChoreLine, clauses))


def _clauses(line: type[SectionHeader | ChoreLine], parse_nodes: list[ParseNode]) -> dict[str, Any]:
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
    return values


def _turn(parse_node: ParseNode) -> Turn:
    turn = child_nodes_of(parse_node)[0]
    form = {"any_of": "any", "in_turn": "then", "each": "each"}[turn.rule]
    return Turn(form, () if form == "each" else names_of(turn))


def _months(parse_node: ParseNode) -> Located[tuple[int, ...]]:
    months = tuple(MONTH_NUMBERS[token.text] for token in tokens_of(parse_node))
    return Located(months, parse_node.start, parse_node.end)


_CLAUSES = {
    line: {rule: clause for clause in clauses for rule in clause.rules}
    for line, clauses in CLAUSES.items()
}
_READERS: dict[ValueKind, Callable[[ParseNode], object]] = {
    "cadence": cadence_of,
    "duration": minutes_of,
    "names": names_of,
    "turn": _turn,
    "months": _months,
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
    "away": _away,
    "section": _section,
    "chore": _chore,
    "did": _record,
    "skipped": _record,
    "moved": _record,
}
