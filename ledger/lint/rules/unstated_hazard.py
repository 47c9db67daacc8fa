"""A chore that speaks of a thing that can hurt, while its `uses` does not have the word.

Why it matters: only the exact word behind `uses` brings its caution to the list of the day, and
only that word is looked at when two things must never meet.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from ledger.household.things import HAZARDS
from ledger.lint.book import Book
from ledger.text.finding import Finding, Severity
from ledger.text.source import Place
from ledger.text.tree import ChoreLine, Tree

BAD = """\
area bathroom

every saturday
    bath  20 min  in bathroom  uses strong-bleach
                                    ^^^^^^^^^^^^^
    lamp   5 min  in bathroom  "Wipe the lamp, from the ladder"
                                                        ^^^^^^
"""

GOOD = """\
area bathroom

every saturday
    bath  20 min  in bathroom  uses bleach
    lamp   5 min  in bathroom  uses ladder  "Wipe the lamp, from the ladder"
"""

_PART = re.compile(r"[^\W_]+")
_OF_TWO_WORDS = frozenset(word for word in HAZARDS if "-" in word)
# Words around it that say the thing is not used, or is only read or paid for.
_DENIED_BY = {"no", "non", "not", "never", "without"}
_OTHER_WITH = {"free", "meter", "bill"}


def check(book: Book) -> Iterator[Finding]:
    """A finding for each such word of a chore's things, name or title; once a line."""
    for tree in book.trees:
        for line in tree.lines:
            if isinstance(line.node, ChoreLine):
                yield from _of_line(tree, line.number, line.node)


def _of_line(tree: Tree, number: int, node: ChoreLine) -> Iterator[Finding]:
    known = {HAZARDS[thing.value] for thing in node.things if thing.value in HAZARDS}
    things = [thing for thing in node.things if thing.value not in HAZARDS]
    for text in (*things, node.name, node.title):
        if text is None:
            continue
        place = text.at(tree.source, number)
        for word, found in _spoken_of(place):
            if HAZARDS[word] in known:
                continue
            known.add(HAZARDS[word])
            if text is node.name or text is node.title:
                message = f'"{node.name.value}" speaks of `{word}`, and does not say it uses it'
                fix = f"write `uses {word}`, or another word where none is used"
            else:
                message = f'"{text.value}" has the word `{word}` in it, and is another word'
                fix = f"write `{word}` in its place, or beside it"
            where = found if text is node.title else place
            yield _finding(where, message, word, fix)


def _spoken_of(place: Place) -> Iterator[tuple[str, Place]]:
    """The known things that a stretch of text speaks of in whole words, each with its place."""
    parts = list(_PART.finditer(place.text))
    words = [part[0].lower() for part in parts]
    index = 0
    while index < len(words):
        length = 2 if "-".join(words[index : index + 2]) in _OF_TWO_WORDS else 1
        word = "-".join(words[index : index + length])
        before, behind = (
            words[max(index - 1, 0) : index],
            words[index + length : index + length + 1],
        )
        if word in HAZARDS and _DENIED_BY.isdisjoint(before) and _OTHER_WITH.isdisjoint(behind):
            start, end = parts[index].start(), parts[index + length - 1].end()
            yield word, place._replace(start=place.start + start, end=place.start + end)
        index += length


def _finding(place: Place, message: str, word: str, fix: str) -> Finding:
    return Finding(
        "unstated-hazard",
        Severity.WARNING,
        place,
        message,
        f"its caution is never shown: {HAZARDS[word].caution}",
        fix,
    )
