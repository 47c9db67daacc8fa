"""A chore that mentions a thing that can hurt, and does not have the word behind `uses`.

Why it matters: only the exact word behind `uses` brings its caution to the list of the day, and
only that word is looked at when two things must never meet. Words of everyday use, such as
`steps`, `roof` and `gas`, count only behind `uses`.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from ledger.household.cautions import EVERYDAY, HAZARDS
from ledger.household.things import mind
from ledger.lint.book import LintedBook
from ledger.text.clauses import ChoreLine
from ledger.text.edits import write, write_behind, write_clause
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.source import TextRange
from ledger.text.tree import Step, Tree

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area bathroom

every saturday
    bath  20 min  in bathroom  uses strong-bleach
                                    ^^^^^^^^^^^^^
    lamp   5 min  in bathroom  "Wipe the lamp, from the stepladder"
                                                        ^^^^^^^^^^
"""

GOOD = """\
area bathroom

every saturday
    bath  20 min  in bathroom  uses bleach
    lamp   5 min  in bathroom  uses stepladder  "Wipe the lamp, from the stepladder"
"""

IS_SAFETY = True

_PART = re.compile(r"[^\W_]+")
_LONGEST = max(word.count("-") + 1 for word in HAZARDS)
"""How many parts the longest word has."""
# Words around it that say the thing is not used, or is only read or paid for.
_DENIED_BY = {"no", "non", "not", "never", "without"}
_OTHER_WITH = {"free", "meter", "bill"}


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each such word of a chore's things, name, title or steps; once a chore."""
    for tree in book.trees:
        steps: dict[int, list[TextRange]] = {}
        for step, owner in tree.owned_steps():
            if owner is not None and isinstance(step.node, Step):
                place = step.node.text.at(tree.source, step.number)
                steps.setdefault(owner.number, []).append(place)
        for line in tree.lines:
            if isinstance(line.node, ChoreLine):
                yield from _of_line(tree, line.number, line.node, steps.get(line.number, []))


def _of_line(
    tree: Tree, number: int, node: ChoreLine, steps: Sequence[TextRange]
) -> Iterator[Finding]:
    known = {HAZARDS[thing.value] for thing in node.things if thing.value in HAZARDS}
    things = [thing.at(tree.source, number) for thing in node.things if thing.value not in HAZARDS]
    name = node.name.at(tree.source, number)
    title = [node.title.at(tree.source, number)] if node.title else []
    for place in (*things, name, *title, *steps):
        is_thing = place in things
        for word, found in _mentioned(place, is_thing):
            if HAZARDS[word] in known:
                continue
            known.add(HAZARDS[word])
            if is_thing:
                message = f'"{place.text}" has the word `{word}` in it, and is another word'
                instead, beside = write(place, word), write_behind(place, word, ", ")
                fix = f"{instead.words} in its place, or beside it"
                fixes = [instead, beside._replace(title=f"{beside.title} beside it")]
            else:
                message = f'"{node.name.value}" speaks of `{word}`, and does not say it uses it'
                clause = write_clause(tree.source, number, f"uses {word}")
                if node.things:
                    last = node.things[-1].at(tree.source, number)
                    clause = clause._replace(edits=write_behind(last, word, ", ").edits)
                fix, fixes = f"{clause.words}, or another word where none is used", [clause]
            yield RULE.finding(
                place if is_thing or place is name else found,
                message,
                f"its caution is never shown: {mind(HAZARDS[word]).rstrip('.')}",
                fix,
                fixes=fixes,
            )


def _mentioned(place: TextRange, is_thing: bool) -> Iterator[tuple[str, TextRange]]:
    """The known hazards that a text mentions in whole words, each with its range.

    An everyday word counts only at the end of the name of a thing: `white-vinegar` is vinegar,
    a `roof-box` is no roof.
    """
    parts = list(_PART.finditer(place.text))
    words = [part[0].lower() for part in parts]
    index = 0
    while index < len(words):
        length = _length(words[index:])
        word = "-".join(words[index : index + length])
        end = index + length
        counts = word in HAZARDS and (word not in EVERYDAY or (is_thing and end == len(words)))
        before, behind = words[max(index - 1, 0) : index], words[end : end + 1]
        if counts and _DENIED_BY.isdisjoint(before) and _OTHER_WITH.isdisjoint(behind):
            first, last = parts[index].start(), parts[end - 1].end()
            yield word, place._replace(start=place.start + first, end=place.start + last)
        index = end


def _length(words: Sequence[str]) -> int:
    """How many of the next words make one known hazard, at most; 1 where none do."""
    lengths = range(min(_LONGEST, len(words)), 0, -1)
    return next((length for length in lengths if "-".join(words[:length]) in HAZARDS), 1)
