"""Random homes and histories by the thousand: do the laws hold, and do both sides agree?

    python tests/abuse/laws.py [HOMES [FIRST_SEED]] [--product]

In each home someone lives for five weeks by the list, and once more someone writes lines that no
list asked for. Without `--product` the laws are looked at in the simulator alone. With it they are
looked at in the product, and every list, window and outcome is compared with the simulator's.
Prints how many of how many held, and for each law or question that did not, the smallest book that
was found; ends with 1 where there was one.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from collections.abc import Callable
from functools import partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))
from book_laws import (
    any_days_settle_all_parts,
    each_line_counts_once,
    late_is_never_missed,
    windows_are_apart,
)
from differences import Question, first_difference, shrunk, smallest_home
from list_laws import (
    Answers,
    Broken,
    Simulated,
    live_by_the_laws,
)
from product_answers import Product
from random_homes import RandomHome, random_home, scribble

from ledger.text.reader import Reader
from ledger.text.source import Source

DAYS = 35
MOST_SHRUNK = 3
"""How many books of each fault are made small: each takes a while."""

Law = Callable[[Answers, RandomHome, int], object]
LAWS: dict[str, Law] = {
    "windows": lambda answers, home, _: windows_are_apart(answers, home),
    "parts": lambda answers, _, seed: any_days_settle_all_parts(answers, seed),
    "history": lambda answers, home, seed: live_by_the_laws(answers, home, seed, DAYS),
    "late": lambda answers, home, seed: late_is_never_missed(answers, home, seed),
}


class Run:
    """Counts of what held, and a few small books for each kind of fault."""

    def __init__(self, answers: Answers, compared: Answers | None) -> None:
        self.answers, self.compared = answers, compared
        self.counts: Counter[str] = Counter()

    def home(self, seed: int) -> None:
        """Look at all laws in the home of a seed, and compare."""
        home = random_home(seed)
        self.counts["homes"] += 1
        for name, law in LAWS.items():
            broken = self.broken(law, home, seed)
            if broken is not None:
                self.told(
                    f"{name}: {broken.law}", partial(self.small_home, law, home, seed, broken.law)
                )
        for record in (self.lived(home, seed), scribble(home, seed)):
            self.counts["histories"] += 1
            self.counts["lines"] += len(record)
            self.history(home, record)

    def lived(self, home: RandomHome, seed: int) -> list[str]:
        """The record of someone who lives by the simulator's list."""
        try:
            return live_by_the_laws(Simulated(), home, seed, DAYS)
        except Broken as broken:
            return [line for line in broken.text.splitlines() if line not in home.routine]

    def history(self, home: RandomHome, record: list[str]) -> None:
        """Look at the laws of a whole record, and compare."""
        text, days = home.text(record), range(home.first - 2, home.first + DAYS + 3)
        try:
            each_line_counts_once(text, days[-1])
        except Broken as broken:
            self.told(broken.law, partial(str, broken))
        if self.compared is None:
            return
        question = first_difference(self.compared, self.answers, text, days)
        if question is not None:
            self.told(f"differs: {question.kind}", partial(self.small_text, text, question))

    def broken(self, law: Law, home: RandomHome, seed: int) -> Broken | None:
        """How a law is broken in a home, if it is."""
        if not is_sound(home.text()):
            return None
        try:
            law(self.answers, home, seed)
        except Broken as broken:
            return broken
        return None

    def told(self, kind: str, small: Callable[[], str]) -> None:
        """Count a fault, and show the smallest of a few books that have it."""
        self.counts[kind] += 1
        if self.counts[kind] <= MOST_SHRUNK:
            print(f"== {kind}\n{small()}\n", flush=True)

    def small_home(self, law: Law, home: RandomHome, seed: int, kind: str) -> str:
        """The book of the smallest home in which a law is broken."""

        def still(home: RandomHome) -> bool:
            now = self.broken(law, home, seed)
            return now is not None and now.law == kind

        return str(self.broken(law, smallest_home(home, still), seed))

    def small_text(self, text: str, question: Question) -> str:
        """The smallest text on which two answer a question differently, and how."""
        compared = self.compared or self.answers

        def still(text: str) -> bool:
            return is_sound(text) and question.difference(compared, self.answers, text) is not None

        small = shrunk(text, still)
        return f"{small}{question.difference(compared, self.answers, small)}"


def is_sound(text: str) -> bool:
    """True for a book whose every line can be read, and that has a chore below a header."""
    return not Reader().read(Source("home.chores", text)).faults() and "\n    " in text


def main(words: list[str]) -> int:
    """Run as many homes as asked; 1 where a law or an answer did not hold."""
    product = "--product" in words
    numbers = [int(word) for word in words if not word.startswith("--")]
    count, first = (*numbers, *(1000, 0)[len(numbers) :])
    run = Run(Product(), Simulated()) if product else Run(Simulated(), None)
    began = time.monotonic()
    for seed in range(first, first + count):
        run.home(seed)
    print(f"{time.monotonic() - began:.0f} s")
    for kind, number in run.counts.items():
        print(f"{number:8} {kind}")
    return 1 if set(run.counts) - {"homes", "histories", "lines"} else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
