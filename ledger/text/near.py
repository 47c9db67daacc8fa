"""How near two words are: which known one a misspelt one was meant to be."""

from __future__ import annotations

from collections.abc import Iterable


def nearest(word: str, known: Iterable[str], most: int = 2) -> str | None:
    """The known word that a misspelt one was probably meant to be, or None if none is near.

    Near is one slip in a word of up to four letters, `most` in a longer one; a slip is a letter
    more, less, other, or two letters swapped.
    """
    most = 1 if len(word) <= 4 else most
    folded = word.casefold()
    ranked = [
        (_slips(folded, choice.casefold()), choice)
        for choice in sorted(known)
        if choice != word and abs(len(choice) - len(word)) <= most
    ]
    best = min(ranked, default=None)
    return best[1] if best is not None and best[0] <= most else None


def _slips(one: str, other: str) -> int:
    """Optimal string alignment distance: edits and swaps of neighbours from one word to another."""
    before: list[int] = []
    above = list(range(len(other) + 1))
    for row, letter in enumerate(one, 1):
        line = [row]
        for column, target in enumerate(other, 1):
            cost = min(above[column] + 1, line[-1] + 1, above[column - 1] + (letter != target))
            if row > 1 and column > 1 and letter == other[column - 2] and one[row - 2] == target:
                cost = min(cost, before[column - 2] + 1)
            line.append(cost)
        before, above = above, line
    return above[-1]
