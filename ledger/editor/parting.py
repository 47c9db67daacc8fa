"""Parting: moves one of two lines that must never meet to other days."""

from __future__ import annotations

from collections.abc import Iterator

from ledger.editor.quick_fixes import QuickFix, resolves
from ledger.editor.view import View
from ledger.lint.rules.dangerous_pair import RULE
from ledger.planning.choices import elsewhere
from ledger.report.lighten import header_of, relocation_of
from ledger.text.finding import Finding
from ledger.text.formatter import FormatFault
from ledger.text.relocate import Relocation, relocate
from ledger.text.source import Source


def parting(view: View, finding: Finding) -> Iterator[QuickFix]:
    """For each line of a dangerous pair, the first move that parts them, tried in the household.
    Nothing if one line uses both things, or has nowhere else to go."""
    if finding.rule != RULE.name:
        return
    spots = [(place.source.path, place.line) for place in (finding.place, *finding.see)]
    if len(set(spots)) < len(spots):
        return
    for place_of_line in spots:
        name, routine = view.routines[place_of_line]
        for choice in elsewhere(view.household, name, routine):
            sources = _moved(view, relocation_of(view.household, choice))
            if sources and _parts(view, finding, sources):
                yield QuickFix(f"Part them: move {name} to {header_of(choice.section)}", sources)
                break


def _parts(view: View, finding: Finding, sources: list[Source]) -> bool:
    """True if a change takes the pair away and brings no other pair and no error."""
    pairs = _pairs(view.trial(sources))
    return pairs < _pairs(view) and resolves(view, finding, sources)


def _pairs(view: View) -> int:
    return sum(one.rule == RULE.name for one in view.findings)


def _moved(view: View, move: Relocation) -> list[Source]:
    """The file with a line moved; none if that would change several files, or what a line says."""
    try:
        sources = list(relocate(view.workspace.trees, [move]).values())
    except FormatFault:
        return []
    return sources if len(sources) == 1 else []
