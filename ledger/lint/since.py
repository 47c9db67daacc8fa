"""Since: which findings a change brings, and which it ends."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Sequence

from ledger.text.finding import Finding


def new_findings(before: Sequence[Finding], after: Sequence[Finding]) -> list[Finding]:
    """The findings after a change that were not there before it, in their order.

    Two findings are one if they have the same rule, mark the same text, and their lines have the
    same words. The line may have moved, and the figures in the message may have changed. Findings
    with equal messages are paired first, so that of several at one line the new one is reported.
    """
    keys = _Keys()
    unpaired_before = Counter(map(keys.by_message, before))
    unpaired_after = _unpaired(after, unpaired_before, keys.by_message)
    subjects: Counter[Hashable] = Counter()
    for finding in before:
        if unpaired_before[keys.by_message(finding)] > 0:
            unpaired_before[keys.by_message(finding)] -= 1
            subjects[keys.by_subject(finding)] += 1
    return _unpaired(unpaired_after, subjects, keys.by_subject)


def _unpaired(
    findings: Sequence[Finding], others: Counter[Hashable], key: Callable[[Finding], Hashable]
) -> list[Finding]:
    """The findings that have no partner among the others; each of those is used once."""
    alone = []
    for finding in findings:
        if others[key(finding)] > 0:
            others[key(finding)] -= 1
        else:
            alone.append(finding)
    return alone


class _Keys:
    """The keys of findings. A line is read once, even if a thousand findings are about it."""

    def __init__(self) -> None:
        self._words: dict[str, str] = {}
        self._marked: dict[tuple[str, int, int], str] = {}

    def by_message(self, finding: Finding) -> Hashable:
        """A key that findings share if they say the same."""
        return *self.by_subject(finding), finding.message

    def by_subject(self, finding: Finding) -> tuple[Hashable, ...]:
        """A key that findings share if they are about the same thing."""
        place = finding.place
        line = place.source.lines[place.line] if place.line < len(place.source.lines) else ""
        if line not in self._words:
            self._words[line] = " ".join(line.split())
        marked_range = line, place.start, place.end
        if marked_range not in self._marked:
            self._marked[marked_range] = line[place.start : place.end]
        return finding.rule, self._marked[marked_range], self._words[line]
