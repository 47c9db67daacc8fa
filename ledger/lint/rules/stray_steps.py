"""A step below a chore that was made a comment, so that it belongs to the chore above that.

Why it matters: a step belongs to the nearest chore above it, and a comment is no chore. Someone who
put a `#` before a chore and left its steps has given them to another one.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence, Set
from functools import partial
from itertools import groupby
from typing import NamedTuple

from ledger.lint.book import LintedBook
from ledger.text.clauses import ChoreLine
from ledger.text.edits import over
from ledger.text.finding import Finding, Fix, Kind, Severity
from ledger.text.parts import Name
from ledger.text.reader import Reader
from ledger.text.source import Source, TextRange
from ledger.text.tree import STEP, Line, Step, Tree
from ledger.text.words import listed

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen

every day
    lunch-boxes  10 min  in kitchen
    # walk-dog   20 min  in kitchen
      ^^^^^^^^
        - Take a bag
"""

GOOD = """\
area kitchen

every day
    lunch-boxes  10 min  in kitchen
    # walk-dog   20 min  in kitchen
    # - Take a bag
"""


class _Comment(NamedTuple):
    """A comment that reads as a chore."""

    line: Line
    chore: ChoreLine
    place: TextRange
    """Where it names the chore."""


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such comment with steps below it.

    A comment is taken for a chore if it reads as one that says how long it takes, and where or by
    whom, all of these known to the book. One that names the chore above it is an older line of it.
    """
    known = book.household.areas.keys() | book.household.people.keys()
    for tree in book.trees:
        find = partial(_found, tree, known)
        yield from book.memory.once((RULE.name, tree.source.path), find, tree, sorted(known))


def _found(tree: Tree, known: Set[str]) -> list[Finding]:
    by_number = {line.number: line for line in tree.lines}
    found: list[Finding] = []
    for _, group in groupby(tree.owned_steps(), key=lambda pair: pair[1] and pair[1].number):
        pairs = list(group)
        steps, owner = [step for step, _ in pairs], pairs[0][1]
        if owner is not None and isinstance(owner.node, ChoreLine):
            numbers = range(owner.number + 1, steps[-1].number)
            between = [by_number[number] for number in numbers if number in by_number]
            comments = [
                one
                for one in _as_chores(tree.source, between, known)
                if one.chore.name.value != owner.node.name.value
            ]
            found += _findings(tree.source, (owner.number, owner.node.name), comments, steps)
    return found


def _as_chores(source: Source, lines: Iterable[Line], known: Set[str]) -> Iterator[_Comment]:
    """The comments among some lines that read as chores."""
    comments = [(line, line.comment) for line in lines if line.is_comment and line.comment]
    texts = [" " + comment.value.lstrip("#") for _, comment in comments]
    read = Reader().read(Source("", "\n".join(texts))).lines if texts else ()
    nodes = {line.number: line.node for line in read}
    for number, (line, comment) in enumerate(comments):
        node = nodes.get(number)
        if isinstance(node, ChoreLine) and _says_all(node, known):
            begin = comment.end - len(texts[number])
            place = node.name.at(source, line.number)
            place = place._replace(start=place.start + begin, end=place.end + begin)
            yield _Comment(line, node, place)


def _says_all(chore: ChoreLine, known: Set[str]) -> bool:
    """True for a chore with its minutes and with known areas or people, or both."""
    people = chore.assignment.people if chore.assignment else ()
    names = {name.value for name in (*chore.areas, *people)}
    return chore.minutes is not None and bool(names) and names <= known


def _findings(
    source: Source, owner: tuple[int, Name], comments: Sequence[_Comment], steps: Sequence[Line]
) -> Iterator[Finding]:
    """A finding for each comment that has steps before the next one."""
    numbers = [one.line.number for one in comments]
    for place, group in groupby(steps, key=lambda step: bisect_left(numbers, step.number)):
        if place:
            yield _finding(source, owner, comments[place - 1], list(group))


def _finding(
    source: Source, owner: tuple[int, Name], comment: _Comment, steps: Sequence[Line]
) -> Finding:
    number, own = owner
    texts = [step.node.text.value for step in steps if isinstance(step.node, Step)]
    belong = "step belongs" if len(steps) == 1 else f"{len(steps)} steps belong"
    indent = source.lines[comment.line.number].partition("#")[0]
    signs = [_sign(source, step.number) for step in steps]
    edits = tuple(over(sign._replace(start=0), f"{indent}# {STEP}") for sign in signs)
    fix = Fix(f"Write `# {STEP}` for `{STEP}`", edits)
    return RULE.finding(
        comment.place,
        f'"{comment.place.text}" is a comment, and its {belong} to "{own.value}"',
        f'a comment is no chore, so whoever does "{own.value}" is told: {listed(texts)}',
        f"{fix.words} at each of its steps, or make `{comment.place.text}` a chore again",
        (own.at(source, number), signs[0]),
        [fix],
    )


def _sign(source: Source, line: int) -> TextRange:
    """The place of the sign that a step begins with."""
    start = source.lines[line].index(STEP)
    return TextRange(source, line, start, start + len(STEP))
