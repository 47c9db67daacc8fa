"""Since: which findings a change brings, and which it ends."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Sequence

from ledger.text.finding import Finding


def brought(before: Sequence[Finding], after: Sequence[Finding]) -> list[Finding]:
    """The findings after a change that were not there before it, in their order.

    Two findings are one where their rule and the text they mark are: a line may stand
    elsewhere, and the figures that a finding gives may have changed. What says the very same
    is paired off first, so that of several findings at one line the new one is told.
    """
    left = Counter(map(_said, before))
    unsaid = _unpaired(after, left, _said)
    loose: Counter[Hashable] = Counter()
    for finding in before:
        if left[_said(finding)] > 0:
            left[_said(finding)] -= 1
            loose[_meant(finding)] += 1
    return _unpaired(unsaid, loose, _meant)


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


def _said(finding: Finding) -> Hashable:
    return *_meant(finding), finding.message


def _meant(finding: Finding) -> tuple[Hashable, ...]:
    place = finding.place
    line = place.source.lines[place.line] if place.line < len(place.source.lines) else ""
    return finding.rule, line[place.start : place.end], " ".join(line.split())
