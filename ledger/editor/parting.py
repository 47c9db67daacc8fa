"""Parting: a line moved to other days, away from one with which it must never meet."""

from __future__ import annotations

from collections.abc import Iterator

from ledger.editor.cures import Cure, heals
from ledger.editor.view import View
from ledger.report.lighten import header_of, relocation_of
from ledger.schedule.choices import elsewhere
from ledger.text.finding import Finding
from ledger.text.formatter import FormatFault
from ledger.text.relocate import Relocation, relocate
from ledger.text.source import Source

RULE = "dangerous-pair"


def parting(view: View, finding: Finding) -> Iterator[Cure]:
    """For each of the two lines of a dangerous pair the first move that parts them, tried in the
    household; nothing where one line uses both things, or may stand nowhere else."""
    if finding.rule != RULE:
        return
    spots = [(place.source.path, place.line) for place in (finding.place, *finding.see)]
    if len(set(spots)) < len(spots):
        return
    for spot in spots:
        name, routine = view.routines[spot]
        for choice in elsewhere(view.household, name, routine):
            source = _moved(view, relocation_of(view.household, choice))
            if source is not None and _parts(view, finding, source):
                yield Cure(f"Part them: move {name} to {header_of(choice.section)}", source)
                break


def _parts(view: View, finding: Finding, source: Source) -> bool:
    """True where a change takes the pair away, and brings neither another nor an error."""
    pairs = _pairs(view.trial(source))
    return pairs < _pairs(view) and heals(view, finding, source)


def _pairs(view: View) -> int:
    return sum(one.rule == RULE for one in view.findings)


def _moved(view: View, move: Relocation) -> Source | None:
    """The file with a line moved; None where more files than one would change, or what a line
    says would."""
    try:
        sources = list(relocate(view.workspace.trees, [move]).values())
    except FormatFault:
        return None
    return sources[0] if len(sources) == 1 else None
