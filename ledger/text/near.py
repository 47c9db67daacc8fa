"""How near two words are: which known one a misspelt one was meant to be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

MOST = 2
"""Slips that a word may have and still be known by."""
_FEW = 4
"""Letters of a word in which one slip is the most."""
_LONG = 24
"""Letters above which a word has too many shorter ones to keep; few such words fit a book."""


def nearest(word: str, known: Iterable[str], most: int = MOST) -> str | None:
    """The known word that a misspelt one was probably meant to be, or None if none is near.

    Near is one slip in a word of up to four letters, `most` in a longer one; a slip is a letter
    more, less, other, or two letters swapped.
    """
    most = _most(word, most)
    folded = word.casefold()
    letters = _letters(folded)
    ranked = []
    for choice in known:
        if _could_be(word, choice, most) and _have_in_common(letters, choice, most):
            count = slips(folded, choice.casefold(), most)
            if count is not None:
                ranked.append((count, choice))
    return min(ranked, default=(0, None))[1]


class Near:
    """Known words, of which the nearest is asked for again and again: `of` answers as `nearest`.

    Of two words so many slips apart, some letters of each can be left out, at most as many, so
    that the same is left of both. Known words are kept by what is so left of them, made when it is
    first asked for.
    """

    def __init__(self, known: Iterable[str]) -> None:
        self._known = known
        self._words: list[tuple[str, str]] | None = None
        # By length, what letters a long word has, and the word.
        self._left: list[dict[str, list[str]]] = []
        self._long: dict[int, list[tuple[int, str]]] = {}

    def of(self, word: str) -> str | None:
        """The known word that a misspelt one was probably meant to be, or None if none is near."""
        if self._words is None:
            self._read()
        folded, most = word.casefold(), _most(word, MOST)
        for count in range(most + 1):
            best = None
            for choices in self._alike(folded, count):
                for choice in choices:
                    if best is not None and choice >= best:
                        break
                    # Fewer slips were looked for before: whoever is found has just so many.
                    if _could_be(word, choice, most) and _are_near(folded, choice, count):
                        best = choice
                        break
            if best is not None:
                return best
        return None

    def _read(self) -> None:
        """Sort the words once: what is left of them is then kept in their order."""
        both = [(word.casefold(), word) for word in sorted(self._known)]
        self._words = [pair for pair in both if len(pair[0]) <= _LONG]
        for folded, choice in both:
            if len(folded) > _LONG:
                self._long.setdefault(len(folded), []).append((_letters(folded), choice))

    def _alike(self, folded: str, count: int) -> Iterator[list[str]]:
        """Lists, each in order, in which all known words so many slips away can be found."""
        if len(folded) <= _LONG + count:
            left = self._left_of_known(count)
            for some in shorter(folded, count):
                if some in left:
                    yield left[some]
        letters = _letters(folded)
        for length in range(max(_LONG + 1, len(folded) - count), len(folded) + count + 1):
            yield [
                choice
                for others, choice in self._long.get(length, ())
                if _are_alike(letters, others, count)
            ]

    def _left_of_known(self, count: int) -> dict[str, list[str]]:
        while len(self._left) <= count:
            left: dict[str, list[str]] = {}
            for folded, choice in self._words or ():
                for some in shorter(folded, len(self._left)):
                    left.setdefault(some, []).append(choice)
            self._left.append(left)
        return self._left[count]


def _have_in_common(letters: int, choice: str, most: int) -> bool:
    return _are_alike(letters, _letters_of(choice), most)


@lru_cache(maxsize=1 << 10)
def _letters_of(choice: str) -> int:
    """The letters of a known word; those of the grammar are known to all who ask."""
    return _letters(choice.casefold())


def _are_alike(letters: int, others: int, most: int) -> bool:
    """False for words too different in their letters: a slip puts one in another's place at
    most."""
    return (letters ^ others).bit_count() <= 2 * most


def _letters(folded: str) -> int:
    """Which letters a word has, as bits, of which far letters may share one."""
    found = 0
    for letter in set(folded):
        found |= 1 << ord(letter) % 64
    return found


def _most(word: str, most: int) -> int:
    return 1 if len(word) <= _FEW else most


def _could_be(word: str, choice: str, most: int) -> bool:
    return choice != word and abs(len(choice) - len(word)) <= most


def _are_near(folded: str, choice: str, count: int) -> bool:
    return slips(folded, choice.casefold(), count) is not None


def shorter(word: str, most: int) -> set[str]:
    """What is left of a word without some of its letters, `most` of them or fewer."""
    found = newest = {word}
    for _ in range(most):
        newest = {some[:n] + some[n + 1 :] for some in newest for n in range(len(some))}
        found = found | newest
    return found


def slips(one: str, other: str, most: int) -> int | None:
    """Optimal string alignment distance: edits and swaps of neighbours from one word to another;
    None where there are more than `most`, which is found out without looking at all letters."""
    if abs(len(one) - len(other)) > most:
        return None
    one, other = _apart(one, other)
    far = most + 1
    # A row has the columns that are at most so far from the diagonal: no others are near.
    before = [far] * (far + most)
    above = [*[far] * most, *range(far)]
    for row, letter in enumerate(one, 1):
        line: list[int] = []
        for place in range(far + most):
            column = row + place - most
            if not 0 < column <= len(other):
                line.append(row if column == 0 else far)
                continue
            same = letter == other[column - 1]
            cost = min(above[place] + (not same), (line[-1] if line else far) + 1)
            if place < 2 * most:
                cost = min(cost, above[place + 1] + 1)
            if (
                row > 1 < column
                and letter == other[column - 2]
                and one[row - 2] == other[column - 1]
            ):
                cost = min(cost, before[place] + 1)
            line.append(cost)
        before, above = above, line
        # A swap goes back two rows, and no row has less than the one before.
        if min(before) > most:
            return None
    found = above[most + len(other) - len(one)]
    return found if found <= most else None


def _apart(one: str, other: str) -> tuple[str, str]:
    """Two words without the letters at which both begin and end alike."""
    least = min(len(one), len(other))
    begin = next((n for n in range(least) if one[n] != other[n]), least)
    most = least - begin
    end = next((n for n in range(most) if one[-1 - n] != other[-1 - n]), most)
    return one[begin : len(one) - end], other[begin : len(other) - end]
