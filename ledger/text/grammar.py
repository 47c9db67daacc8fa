"""The grammar's tables: how `chores.lark` becomes something a loop can follow.

Lark reads the grammar and works out the LALR(1) tables; `parser` follows them. A wheel
carries the tables ready-made (`tables.json`), because importing Lark and rebuilding them
costs more than everything else `besom due` does; a checkout reads the grammar where it lies.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, NamedTuple

GRAMMAR_NAME = "chores.lark"
TABLES_NAME = "tables.json"
STARTS = ("declaration_line", "chore_line", "record_line")


class Production(NamedTuple):
    """One production: what a reduction pops, and the branch it leaves behind."""

    name: str
    """Name of the branch: the rule's alias, or the rule itself. The children of a branch
    whose name begins with `_` stand in its place."""
    length: int
    """How many symbols a reduction takes off the stack."""
    target: str
    """The rule as the tables know it, to look up the next state."""
    keep: tuple[int, ...]
    """Indices of the symbols that stay in the branch; a bare keyword does not."""
    lifted: bool
    """True where an only child stands in the branch's place (`?rule` in the grammar)."""


class Tables(NamedTuple):
    """All that `parser` needs: the words, and for each state what each word leads to."""

    words: str
    """One regular expression whose named groups are the kinds of words."""
    ignored: str
    """The group of `words` that parts words and is passed over."""
    keywords: dict[str, str]
    """Kind of each keyword, by its text."""
    labels: dict[str, str]
    """How a kind of word looks on the page, where it has one spelling only."""
    rules: tuple[Production, ...]
    actions: tuple[dict[str, int], ...]
    """By state and kind: n >= 0 shifts to state n; n < 0 reduces by rule -n - 1."""
    starts: dict[str, tuple[int, int]]
    """By start symbol: its first state, and the state that accepts."""


def load() -> Tables:
    """The tables of this installation, ready-made if it has them, else from the grammar.

    Raises FileNotFoundError where neither file is found: a broken installation.
    """
    here = Path(__file__).parent
    ready = here / TABLES_NAME
    if ready.is_file():
        return from_json(ready.read_text("utf-8"))
    return compile_grammar(grammar_text())


def grammar_text() -> str:
    """The grammar itself: beside this module in a wheel, in `grammar/` of a checkout."""
    here = Path(__file__).parent
    packed = here / GRAMMAR_NAME
    if packed.is_file():
        return packed.read_text("utf-8")
    return (here.parents[1] / "grammar" / GRAMMAR_NAME).read_text("utf-8")


def compile_grammar(text: str) -> Tables:
    """The tables of a grammar written for Lark, which is imported only here."""
    from lark import Lark

    # Any: Lark types neither its front ends nor its parse table.
    lark: Any = Lark(
        text, parser="lalr", lexer="basic", start=list(STARTS), maybe_placeholders=False
    )
    table = lark.parser.parser._parse_table
    order = {rule: n for n, rule in enumerate(lark.rules)}
    states = _in_order(table)
    actions = []
    for state in states:
        row = sorted(table.states[state].items())
        actions.append(
            {
                symbol: states[argument]
                if action.name == "Shift"
                else -order_of(order, argument) - 1
                for symbol, (action, argument) in row
            }
        )
    words, keywords = _words(lark)
    return Tables(
        words=words,
        ignored=lark.ignore_tokens[0],
        keywords=keywords,
        labels={t.name: t.pattern.value for t in lark.terminals if t.pattern.type == "str"},
        rules=tuple(_rule(rule) for rule in lark.rules),
        actions=tuple(actions),
        starts={s: (states[table.start_states[s]], states[table.end_states[s]]) for s in STARTS},
    )


def _in_order(table: Any) -> dict[int, int]:
    """A number for each state of a parse table, in the order in which lines reach them: Lark's
    own numbers differ from one run to the next, and a wheel must not."""
    found = [table.start_states[start] for start in STARTS]
    numbers = {state: n for n, state in enumerate(found)}
    for state in found:
        for _, (action, argument) in sorted(table.states[state].items()):
            if action.name == "Shift" and argument not in numbers:
                numbers[argument] = len(found)
                found.append(argument)
    return numbers


def order_of(order: dict[Any, int], rule: Any) -> int:
    """Place of a rule; the rules Lark adds for its starts never reduce before acceptance."""
    return order.get(rule, len(order))


def _rule(rule: Any) -> Production:
    keep = tuple(
        n for n, symbol in enumerate(rule.expansion) if not (symbol.is_term and symbol.filter_out)
    )
    name = str(rule.origin.name)
    return Production(
        name=str(rule.alias or name),
        length=len(rule.expansion),
        target=name,
        keep=keep,
        lifted=bool(rule.options.expand1),
    )


def _words(lark: Any) -> tuple[str, dict[str, str]]:
    """The word pattern and the keywords, by the rules of Lark's basic lexer."""
    import re

    name = re.compile(next(t.pattern.value for t in lark.terminals if t.name == "NAME"))
    patterns, keywords = [], {}
    ranked = sorted(
        lark.terminals,
        key=lambda t: (-t.priority, -t.pattern.max_width, -len(t.pattern.value), t.name),
    )
    for terminal in ranked:
        if terminal.pattern.type == "str" and name.fullmatch(terminal.pattern.value):
            keywords[terminal.pattern.value] = terminal.name
        else:
            patterns.append(f"(?P<{terminal.name}>{terminal.pattern.to_regexp()})")
    return "|".join(patterns), keywords


def to_json(tables: Tables) -> str:
    """The tables as the text that a wheel carries."""
    document = {
        "words": tables.words,
        "ignored": tables.ignored,
        "keywords": tables.keywords,
        "labels": tables.labels,
        "rules": [[r.name, r.length, r.target, list(r.keep), r.lifted] for r in tables.rules],
        "actions": tables.actions,
        "starts": tables.starts,
    }
    return json.dumps(document, separators=(",", ":"))


def from_json(text: str) -> Tables:
    """The tables back from `to_json`."""
    document = json.loads(text)
    return Tables(
        words=document["words"],
        ignored=document["ignored"],
        keywords=document["keywords"],
        labels=document["labels"],
        rules=tuple(
            Production(name, length, target, tuple(keep), lifted)
            for name, length, target, keep, lifted in document["rules"]
        ),
        actions=tuple(document["actions"]),
        starts={start: (first, last) for start, (first, last) in document["starts"].items()},
    )
