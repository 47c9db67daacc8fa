"""The parser: cuts a line into words and follows the grammar's tables to a parse node."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import cache, cached_property, partial
from itertools import chain
from typing import NamedTuple

from ledger.text.grammar import Production, Tables, load

END = "$END"

_FIRST_WORD_IS_A_NUMBER = re.compile(r"[0-9]+(?=[ \t]|$)")


class Token(NamedTuple):
    """A word of the line: its kind in the grammar, its text, its place in the line."""

    kind: str
    text: str
    start: int
    end: int


class ParseNode(NamedTuple):
    """A rule of the grammar as found in a line; bare keywords are left out."""

    rule: str
    children: list[ParseNode | Token]
    start: int
    end: int


class LineFault(Exception):
    """A line that the grammar cannot read: where, at which word, and what could stand there."""

    def __init__(self, token: Token, expected: Callable[[], frozenset[str]]) -> None:
        super().__init__(token.text)
        self.token = token
        self._expected = expected

    @cached_property
    def expected(self) -> frozenset[str]:
        """The kinds of words that could stand there, worked out at first use: most callers need
        only the place."""
        return self._expected()


class Parser:
    """Follows one set of tables. Pure: the same line gives the same parse node."""

    def __init__(self, tables: Tables) -> None:
        self.tables = tables
        self._match = re.compile(tables.words).match
        self._accepting = {last for _, last in tables.starts.values()}

    def tokens(self, line: str) -> Iterator[Token]:
        """The words of a line in order, up to the first characters that form no word.

        These come last, as a token of kind ``""``: what follows them cannot be cut reliably.
        """
        position, length = 0, len(line)
        ignored, keywords = self.tables.ignored, self.tables.keywords
        while position < length:
            match = self._match(line, position)
            if match is None:
                end = _end_of_run(line, position)
                yield Token("", line[position:end], position, end)
                return
            kind, text, end = match.lastgroup or "", match[0], match.end()
            if kind != ignored:
                yield Token(keywords.get(text, kind), text, position, end)
            position = end

    def parse(self, line: str, start: str) -> ParseNode:
        """The parse node of a whole line under one of the grammar's start symbols.

        Raises LineFault at the first word that does not fit.
        """
        rules, actions = self.tables.rules, self.tables.actions
        first, accepting = self.tables.starts[start]
        states, values = [first], list[ParseNode | Token]()
        length = len(line)
        # Word by word: nothing after a word that does not fit is looked at.
        for token in chain(self.tokens(line), (Token(END, "", length, length),)):
            while (action := actions[states[-1]].get(token.kind)) is None or action < 0:
                if action is None:
                    raise LineFault(token, partial(self._expected, states))
                _reduce(rules[-action - 1], states, values, actions)
                if token.kind == END and states[-1] == accepting:
                    break
            else:
                states.append(action)
                values.append(token)
        parse_node = values[0]
        assert isinstance(parse_node, ParseNode)
        return parse_node

    def kinds_after(self, line: str, start: str) -> frozenset[str]:
        """The kinds of words that could follow the beginning of a line; after a comment, only its
        end.

        Raises LineFault where no line begins like this.
        """
        try:
            self.parse(line, start)
        except LineFault as fault:
            if fault.token.kind != END:
                raise
            return fault.expected
        # A complete line raises no fault: add a word of no kind, which does.
        try:
            self.parse(f"{line} \0", start)
        except LineFault as fault:
            return fault.expected
        return frozenset({END})

    def _expected(self, states: list[int]) -> frozenset[str]:
        """The kinds of words that could really come next (a table row alone may list more)."""
        row = self.tables.actions[states[-1]]
        return frozenset(
            kind for kind in row if (kind.isupper() or kind == END) and self._accepts(states, kind)
        )

    def _accepts(self, states: list[int], kind: str) -> bool:
        states = list(states)
        while (action := self.tables.actions[states[-1]].get(kind)) is not None:
            if action >= 0:
                return True
            rule = self.tables.rules[-action - 1]
            del states[len(states) - rule.length :]
            states.append(self.tables.actions[states[-1]][rule.target])
            if kind == END and states[-1] in self._accepting:
                return True
        return False


def _reduce(
    rule: Production,
    states: list[int],
    values: list[ParseNode | Token],
    actions: tuple[dict[str, int], ...],
) -> None:
    split = len(values) - rule.length
    popped = values[split:]
    children: list[ParseNode | Token] = []
    for index in rule.keep:
        child = popped[index]
        if isinstance(child, ParseNode) and child.rule[0] == "_":
            # A list grows item by item, and nothing else refers to the shorter list.
            if children:
                children.extend(child.children)
            else:
                children = child.children
        else:
            children.append(child)
    del values[split:], states[split + 1 :]
    states.append(actions[states[-1]][rule.target])
    lifted = rule.lifted and len(children) == 1
    parse_node = ParseNode(rule.name, children, popped[0].start, popped[-1].end)
    values.append(children[0] if lifted else parse_node)


def _end_of_run(line: str, start: int) -> int:
    """End of the run of characters that a person would take for one word."""
    if line[start] == '"':
        return len(line)
    end = start + 1
    while end < len(line) and line[end] not in ' \t,#"':
        end += 1
    return end


def kind_of(text: str) -> str:
    """The grammar's start symbol for a line that is neither blank nor a comment."""
    if text[0] in " \t":
        return "chore_line"
    # `14 days after done` opens a section; any other digit opens a date.
    if text[0] in "0123456789" and not _FIRST_WORD_IS_A_NUMBER.match(text):
        return "record_line"
    return "declaration_line"


@cache
def parser() -> Parser:
    """The parser of this installation's grammar, built at the first use."""
    return Parser(load())
