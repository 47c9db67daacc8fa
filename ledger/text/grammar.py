"""The grammar's tables, made from `chores.lark` for the loop in `parser`.

Lark reads the grammar and works out the LALR(1) tables; `parser` follows them. A wheel carries the
tables ready-made (`tables.json`), because importing Lark and rebuilding them costs more than
everything else `besom due` does; a checkout compiles its grammar file.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, NamedTuple

GRAMMAR_NAME = "chores.lark"
TABLES_NAME = "tables.json"
STARTS = ("declaration_line", "chore_line", "record_line")


class Production(NamedTuple):
    """One production: what a reduction pops, and the parse node it makes."""

    name: str
    """Name of the parse node: the rule's alias, or the rule itself. If it begins with `_`, the
    node's children take its place."""
    length: int
    """How many symbols a reduction takes off the stack."""
    target: str
    """The rule's own name, by which the tables give the next state."""
    keep: tuple[int, ...]
    """Indices of the symbols that stay in the parse node; bare keywords are left out."""
    lifted: bool
    """True where an only child takes the place of its parse node (`?rule` in the grammar)."""


class Tables(NamedTuple):
    """All that `parser` needs: the words, and for each state the action for each word."""

    words: str
    """One regular expression whose named groups are the kinds of words."""
    ignored: str
    """The group of `words` that matches blanks; it is skipped."""
    keywords: dict[str, str]
    """Kind of each keyword, by its text."""
    labels: dict[str, str]
    """The text of each kind of word that has one spelling only."""
    rules: tuple[Production, ...]
    actions: tuple[dict[str, int], ...]
    """By state and kind: n >= 0 shifts to state n; n < 0 reduces by rule -n - 1."""
    starts: dict[str, tuple[int, int]]
    """By start symbol: its first state, and the state that accepts."""


def load() -> Tables:
    """The tables of this installation, ready-made if it has them, else from the grammar.

    Raises FileNotFoundError where neither file is found: a broken installation.
    """
    folder = Path(__file__).parent
    ready = folder / TABLES_NAME
    if ready.is_file():
        return from_json(ready.read_text("utf-8"))
    return compile_grammar(grammar_text())


def grammar_text() -> str:
    """The grammar itself: beside this module in a wheel, in `grammar/` of a checkout."""
    folder = Path(__file__).parent
    packed = folder / GRAMMAR_NAME
    if packed.is_file():
        return packed.read_text("utf-8")
    return (folder.parents[1] / "grammar" / GRAMMAR_NAME).read_text("utf-8")


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
    """A number for each state of a parse table, in the order in which they are reached.

    Lark's own numbers differ from run to run, and a wheel must always be the same.
    """
    reached = [table.start_states[start] for start in STARTS]
    numbers = {state: n for n, state in enumerate(reached)}
    for state in reached:
        for _, (action, argument) in sorted(table.states[state].items()):
            if action.name == "Shift" and argument not in numbers:
                numbers[argument] = len(reached)
                reached.append(argument)
    return numbers


def order_of(order: dict[Any, int], rule: Any) -> int:
    """Index of a rule.

    Rules that Lark adds for its starts are not in `order`; they never reduce before acceptance.
    """
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
    """The tables in a text that `to_json` made."""
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
