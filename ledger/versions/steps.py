"""Steps: the lines below a chore that belong to it, merged line by line from three versions."""

from __future__ import annotations

from bisect import bisect_left
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from ledger.text.tree import STEP, Line, Step
from ledger.versions.pieces import Choice, agreed
from ledger.versions.settled import alike


class BelowLine(NamedTuple):
    """A step, or what stands between a chore and its last step."""

    says: str
    """What it says, without its spacing."""
    is_remark: bool
    """True for a comment and for a blank line."""
    text: str
    """The line as it stands."""

    @classmethod
    def of(cls, line: Line, text: str) -> BelowLine:
        """A line of a file, and its text."""
        if isinstance(line.node, Step):
            return cls(f"{STEP} {line.node.text.value}", False, text)
        return cls(text.strip(" \t"), line.node is None and line.fault is None, text)


Steps = Sequence[BelowLine]


def said(steps: Steps) -> list[str]:
    """What some steps say, without comments and blank lines."""
    return [line.says for line in steps if not line.is_remark]


def remarks(steps: Steps) -> list[str]:
    """The comments between some steps."""
    return [line.text for line in steps if line.is_remark and line.says]


class _Edit(NamedTuple):
    """Lines that a side put in the place of some lines of the base; of none, if it only added."""

    first: int
    end: int
    lines: Steps


class _Side:
    """One side, as the lines of the base that it kept, and its edits."""

    def __init__(self, base: Steps, side: Steps) -> None:
        self.kept: list[BelowLine] = list(base)
        """The lines of the base, as the side writes them."""
        self.edits: list[_Edit] = []
        first = start = 0
        for number, place in (*_matches(base, side), (len(base), len(side))):
            if number > first or place > start:
                self.edits.append(_Edit(first, number, side[start:place]))
            if number < len(base):
                self.kept[number] = side[place]
            first, start = number + 1, place + 1

    def part(self, first: int, end: int, edits: Iterable[_Edit]) -> list[BelowLine]:
        """The side's version of some lines of the base, given its edits there."""
        found: list[BelowLine] = []
        for edit in edits:
            found += [*self.kept[first : edit.first], *edit.lines]
            first = edit.end
        return found + self.kept[first:end]


def merged_steps(base: Steps, ours: Steps, theirs: Steps) -> tuple[Choice, ...]:
    """The steps of a chore. Lines that only one side changed are as that side has them; lines that
    both changed differently are for somebody to choose from.

    Steps that both added at one place are all kept, unless the chore had no steps before. Comments
    are merged, and never for somebody to choose.
    """
    if theirs in (base, ours):
        return _agreed(ours)
    if ours == base:
        return _agreed(theirs)
    mine, others = _Side(base, ours), _Side(base, theirs)
    found: list[Choice] = []
    at = 0
    for first, end, our_edits, their_edits in _groups(mine.edits, others.edits):
        found += _agreed(_unchanged(base, mine, others, at, first))
        parts = mine.part(first, end, our_edits), others.part(first, end, their_edits)
        if our_edits and their_edits:
            found += _chosen(base[first:end], *parts, is_new=not base)
        else:
            found += _agreed(parts[0] if our_edits else parts[1])
        at = end
    return (*found, *_agreed(_unchanged(base, mine, others, at, len(base))))


def _agreed(steps: Steps) -> tuple[Choice, ...]:
    return (agreed(*(line.text for line in steps)),) if steps else ()


def _unchanged(base: Steps, mine: _Side, others: _Side, first: int, end: int) -> Steps:
    """Lines that all versions have, written as the side writes them that changed that."""
    return [
        others.kept[n] if mine.kept[n].text == base[n].text else mine.kept[n]
        for n in range(first, end)
    ]


def _matches(base: Steps, side: Steps) -> list[tuple[int, int]]:
    """Pairs of equal lines, as many as keep their order: the place of each in the base and in the
    side."""
    places = {key: number for number, key in enumerate(_numbered(base))}
    pairs = [(places[key], number) for number, key in enumerate(_numbered(side)) if key in places]
    # The longest row in which the places of the base increase. `ends[n]` is the lowest place with
    # which a row of n + 1 pairs can end, `last[n]` the pair of that place.
    ends: list[int] = []
    last: list[int] = []
    before: list[int] = []
    for number, (place, _) in enumerate(pairs):
        length = bisect_left(ends, place)
        ends[length : length + 1] = [place]
        last[length : length + 1] = [number]
        before.append(last[length - 1] if length else -1)
    row = []
    number = last[-1] if last else -1
    while number >= 0:
        row.append(pairs[number])
        number = before[number]
    return row[::-1]


def _numbered(steps: Steps) -> list[tuple[str, int]]:
    """What each line says, and how many lines before it say the same."""
    seen: Counter[str] = Counter()
    found = []
    for line in steps:
        found.append((line.says, seen[line.says]))
        seen[line.says] += 1
    return found


class _Group(NamedTuple):
    """Edits of both sides that change the same lines of the base, or add at one place."""

    first: int
    end: int
    ours: list[_Edit]
    theirs: list[_Edit]


def _groups(ours: Iterable[_Edit], theirs: Iterable[_Edit]) -> Iterator[_Group]:
    """The edits of both sides in order of place, together where they meet."""
    edits = [(edit, True) for edit in ours] + [(edit, False) for edit in theirs]
    group: _Group | None = None
    for edit, is_ours in sorted(edits, key=lambda one: one[0][:2]):
        is_apart = group is not None and edit.first >= group.end and edit[:2] != group[:2]
        if group is None or is_apart:
            if group is not None:
                yield group
            group = _Group(*edit[:2], [], [])
        (group.ours if is_ours else group.theirs).append(edit)
        group = group._replace(end=max(group.end, edit.end))
    if group is not None:
        yield group


def _chosen(base: Steps, ours: Steps, theirs: Steps, *, is_new: bool) -> Iterator[Choice]:
    """Some lines that both sides changed or added; `is_new` where the chore had none."""
    together = _with_remarks(base, ours, theirs)
    if together is not None:
        yield from _agreed(together)
    elif len(base) == len(ours) == len(theirs) > 1:
        for n in range(len(base)):
            yield from _chosen(*(side[n : n + 1] for side in (base, ours, theirs)), is_new=False)
    elif not base and not is_new:
        # The order must not depend on which side is ours.
        first, second = sorted((ours, theirs), key=said)
        known = {line.says for line in first}
        yield from _agreed([*first, *(line for line in second if line.says not in known)])
    else:
        yield from _apart(ours, theirs)


def _with_remarks(base: Steps, ours: Steps, theirs: Steps) -> Steps | None:
    """Some lines where at most one side changed a step, with the changes of both to the comments;
    None where both changed steps."""
    before, mine, others = map(said, (base, ours, theirs))
    if others in (before, mine):
        leading, other = ours, theirs
    elif mine == before:
        leading, other = theirs, ours
    else:
        return None
    gone = set(remarks(base)) - set(remarks(other))
    known = {*remarks(base), *remarks(leading)}
    new = [line for line in other if line.is_remark and line.says and line.text not in known]
    return [*new, *(line for line in leading if not (line.is_remark and line.text in gone))]


def _apart(ours: Steps, theirs: Steps) -> Iterator[Choice]:
    """What each side wants, without the lines at both ends that they have in common."""
    words = [[line.says for line in side] for side in (ours, theirs)]
    start = alike(words)
    end = alike([side[start:][::-1] for side in words])
    middle = [side[start : len(side) - end] for side in (ours, theirs)]
    yield from _agreed(ours[:start])
    yield Choice(*(tuple(line.text for line in side) for side in middle))
    yield from _agreed(ours[len(ours) - end :])
