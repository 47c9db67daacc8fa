"""A thing behind `uses` whose name is one slip away from a thing that can hurt.

Why it matters: only the exact word brings its caution to the list of the day. Any other word
is the household's own, and right as it is.
"""

from __future__ import annotations

from collections.abc import Iterator

from ledger.household.cautions import EVERYDAY, HAZARDS
from ledger.lint.book import LintedBook
from ledger.text.clauses import ChoreLine
from ledger.text.edits import delete_name, write
from ledger.text.finding import Finding, Kind, Severity
from ledger.text.near import nearest

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen
every monday
    sink  5 min  in kitchen  uses blaech
                                  ^^^^^^
"""

GOOD = """\
area kitchen
every monday
    sink  5 min  in kitchen  uses bleach
"""


IS_SAFETY = True

LEAST = 6
"""A slip from an everyday word is reported if the word has this many letters. Shorter ones are one
slip away from too many others, as `flue` is from `glue`."""
_WORDS = [word for word in HAZARDS if word not in EVERYDAY or len(word) >= LEAST]


def check(book: LintedBook) -> Iterator[Finding]:
    """A finding for each thing that is nearly, and not quite, a known hazard."""
    for tree in book.trees:
        for line in tree.lines:
            if not isinstance(line.node, ChoreLine):
                continue
            for thing in line.node.things:
                near = None if thing.value in HAZARDS else nearest(thing.value, _WORDS, most=1)
                if near is not None:
                    place = thing.at(tree.source, line.number)
                    is_there = near in [one.value for one in line.node.things]
                    right = delete_name(place) if is_there else write(place, near)
                    yield RULE.finding(
                        place,
                        f'"{thing.value}" looks like `{near}`, misspelt',
                        f"only the word `{near}` brings its caution to the list of the day",
                        right.words,
                        fixes=[right],
                    )
