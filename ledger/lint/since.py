"""Since: which findings a change brings, and which it ends."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Sequence

from ledger.text.finding import Finding


def new_findings(before: Sequence[Finding], after: Sequence[Finding]) -> list[Finding]:
    """The findings after a change that were not there before it, in their order.

    Two findings are one where their rule and the text they mark are: a line may stand
    elsewhere, and the figures that a finding gives may have changed. What says the very same
    is paired off first, so that of several findings at one line the new one is told.
    """
    keys = _Keys()
    left = Counter(map(keys.said, before))
    unsaid = _unpaired(after, left, keys.said)
    loose: Counter[Hashable] = Counter()
    for finding in before:
        if left[keys.said(finding)] > 0:
            left[keys.said(finding)] -= 1
            loose[keys.meant(finding)] += 1
    return _unpaired(unsaid, loose, keys.meant)


def _unpaired(
    findings: Sequence[Finding], others: Counter[Hashable], key: Callable[[Finding], Hashable]
) -> list[Finding]:
    """The findings that have no partner left among the others, which are used up."""
    alone = []
    for finding in findings:
        if others[key(finding)] > 0:
            others[key(finding)] -= 1
        else:
            alone.append(finding)
    return alone


class _Keys:
    """What findings are known by. A line that a thousand of them are about is read once."""

    def __init__(self) -> None:
        self._words: dict[str, str] = {}
        self._marked: dict[tuple[str, int, int], str] = {}

    def said(self, finding: Finding) -> Hashable:
        """What tells of two findings that they say the same."""
        return *self.meant(finding), finding.message

    def meant(self, finding: Finding) -> tuple[Hashable, ...]:
        """What tells of two findings that they are about the same."""
        place = finding.place
        line = place.source.lines[place.line] if place.line < len(place.source.lines) else ""
        if line not in self._words:
            self._words[line] = " ".join(line.split())
        stretch = line, place.start, place.end
        if stretch not in self._marked:
            self._marked[stretch] = line[place.start : place.end]
        return finding.rule, self._marked[stretch], self._words[line]
