"""Random books of 100 kB: words of the grammar, and lines of corpus and example, spliced."""

from __future__ import annotations

import random
from functools import cache
from pathlib import Path

from ledger.text.parser import parser

ROOT = Path(__file__).resolve().parents[2]
SIZE = 100_000


@cache
def words() -> list[str]:
    """The words of the grammar, and what else a line is made of."""
    others = ["2026-03-02", "5", "min", ",", '"', "#", "\t", "noor", "oven", "x", "é", "99999", "-"]
    return [*parser().tables.keywords, *others]


@cache
def pieces() -> list[str]:
    """The lines of the corpus and of the example."""
    paths = [*ROOT.glob("grammar/conformance/**/*.chores"), *ROOT.glob("examples/**/*.chores")]
    assert paths
    texts = (path.read_bytes().decode("utf-8", "surrogateescape") for path in sorted(paths))
    return [line for text in texts for line in text.splitlines(keepends=True)]


def random_book(seed: int) -> str:
    """A book of about 100 kB; one seed makes one book."""
    chance = random.Random(seed)
    made: list[str] = []
    size = 0
    # Each book has its own share of the three, so that some are all of one kind.
    weights = [chance.random() ** 2 for _ in range(3)]
    while size < SIZE:
        make = chance.choices((_of_words, _spliced, _mangled), weights)[0]
        text = make(chance)
        made.append(text)
        size += len(text.encode("utf-8", "surrogateescape"))
    return "".join(made)


def _of_words(chance: random.Random) -> str:
    """A line of words of the grammar; now and then one that is long or all of one word."""
    length = chance.choice((1, 3, 6, 10, 20, 20, 2000 if chance.random() < 0.02 else 5))
    some = chance.choices(words(), k=chance.choice((1, 3, 30)))
    indent = chance.choice(("", "", "    "))
    return indent + " ".join(chance.choices(some, k=length)) + "\n"


def _spliced(chance: random.Random) -> str:
    """A stretch of the corpus or the example, maybe many times over."""
    start = chance.randrange(len(pieces()))
    stretch = pieces()[start : start + chance.choice((1, 5, 30))]
    return "".join(stretch) * chance.choice((1, 1, 1, 2, 20 if chance.random() < 0.1 else 1))


def _mangled(chance: random.Random) -> str:
    """A stretch with some of its characters doubled, dropped or put elsewhere."""
    text = list(_spliced(chance))
    for _ in range(chance.randint(1, 20)):
        start = chance.randrange(len(text)) if text else 0
        end = start + chance.choice((1, 1, 2, 8, 40))
        match chance.randrange(3):
            case 0:
                del text[start:end]
            case 1:
                text[start:start] = text[start:end] * chance.choice((1, 3))
            case _:
                text[start:end] = reversed(text[start:end])
    return "".join(text)
