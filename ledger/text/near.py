"""Near words: which known word a misspelt one was meant to be."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

MOST = 2
"""The most slips with which a word is still recognised."""
_FEW = 4
"""A word of up to this many letters may have one slip only."""
_LONG = 24
"""Longer words are compared one by one: they have too many shortened forms to keep, and a book
holds few of them."""


def nearest(word: str, known: Iterable[str], most: int = MOST) -> str | None:
    """The known word that a misspelt one was probably meant to be, or None if none is near.

    A word of up to four letters may have one slip, a longer one `most`. A slip is a letter added,
    dropped or changed, or two neighbours swapped.
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
    """Known words for many look-ups: `of` answers as `nearest` does.

    Two words that are n slips apart become equal once up to n letters are dropped from each. So
    known words are kept by their shortened forms, which are made when they are first needed.
    """

    def __init__(self, known: Iterable[str]) -> None:
        self._known = known
        self._words: list[tuple[str, str]] | None = None
        # For each count of dropped letters, the words by their shortened forms.
        self._by_shortened: list[dict[str, list[str]]] = []
        # Long words by their length, each with its letters as bits.
        self._long: dict[int, list[tuple[int, str]]] = {}

    def of(self, word: str) -> str | None:
        """The known word that a misspelt one was probably meant to be, or None if none is near."""
        if self._words is None:
            self._read()
        folded, most = word.casefold(), _most(word, MOST)
        for count in range(most + 1):
            best = None
            for choices in self._candidates(folded, count):
                for choice in choices:
                    if best is not None and choice >= best:
                        break
                    # Fewer slips were tried before, so this word has exactly `count`.
                    if _could_be(word, choice, most) and _are_near(folded, choice, count):
                        best = choice
                        break
            if best is not None:
                return best
        return None

    def _read(self) -> None:
        """Sort the words once, so that each list of words with one shortened form is sorted too."""
        both = [(word.casefold(), word) for word in sorted(self._known)]
        self._words = [pair for pair in both if len(pair[0]) <= _LONG]
        for folded, choice in both:
            if len(folded) > _LONG:
                self._long.setdefault(len(folded), []).append((_letters(folded), choice))

    def _candidates(self, folded: str, count: int) -> Iterator[list[str]]:
        """Sorted lists of candidates, among them every known word that is `count` slips away."""
        if len(folded) <= _LONG + count:
            words_by_shortened = self._words_by_shortened(count)
            for shortened in shorter(folded, count):
                if shortened in words_by_shortened:
                    yield words_by_shortened[shortened]
        letters = _letters(folded)
        for length in range(max(_LONG + 1, len(folded) - count), len(folded) + count + 1):
            yield [
                choice
                for others, choice in self._long.get(length, ())
                if _are_alike(letters, others, count)
            ]

    def _words_by_shortened(self, count: int) -> dict[str, list[str]]:
        while len(self._by_shortened) <= count:
            words_by_shortened: dict[str, list[str]] = {}
            for folded, choice in self._words or ():
                for shortened in shorter(folded, len(self._by_shortened)):
                    words_by_shortened.setdefault(shortened, []).append(choice)
            self._by_shortened.append(words_by_shortened)
        return self._by_shortened[count]


def _have_in_common(letters: int, choice: str, most: int) -> bool:
    return _are_alike(letters, _letters_of(choice), most)


@lru_cache(maxsize=1 << 10)
def _letters_of(choice: str) -> int:
    """The letters of a known word, remembered: the words of the grammar are compared often."""
    return _letters(choice.casefold())


def _are_alike(letters: int, others: int, most: int) -> bool:
    """False for words whose letters differ too much: one slip changes two bits at most."""
    return (letters ^ others).bit_count() <= 2 * most


def _letters(folded: str) -> int:
    """The letters of a word as 64 bits; some letters share a bit."""
    bits = 0
    for letter in set(folded):
        bits |= 1 << ord(letter) % 64
    return bits


def _most(word: str, most: int) -> int:
    return 1 if len(word) <= _FEW else most


def _could_be(word: str, choice: str, most: int) -> bool:
    return choice != word and abs(len(choice) - len(word)) <= most


def _are_near(folded: str, choice: str, count: int) -> bool:
    return slips(folded, choice.casefold(), count) is not None


def shorter(word: str, most: int) -> set[str]:
    """The word and its shortened forms, with up to `most` letters dropped."""
    words = newest = {word}
    for _ in range(most):
        newest = {word[:n] + word[n + 1 :] for word in newest for n in range(len(word))}
        words = words | newest
    return words


def slips(one: str, other: str, most: int) -> int | None:
    """The optimal string alignment distance of two words: edits, and swaps of neighbours.

    None where it is more than `most`, which is found without comparing all letters.
    """
    if abs(len(one) - len(other)) > most:
        return None
    one, other = _without_common_ends(one, other)
    far = most + 1
    # A row holds only the columns within `most` of the diagonal: all others are too far.
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
    distance = above[most + len(other) - len(one)]
    return distance if distance <= most else None


def _without_common_ends(one: str, other: str) -> tuple[str, str]:
    """Two words without the letters that they share at the beginning and at the end."""
    least = min(len(one), len(other))
    begin = next((n for n in range(least) if one[n] != other[n]), least)
    most = least - begin
    end = next((n for n in range(most) if one[-1 - n] != other[-1 - n]), most)
    return one[begin : len(one) - end], other[begin : len(other) - end]
