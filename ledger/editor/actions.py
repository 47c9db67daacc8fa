"""Code actions: a finding's fix or allowance, and what can be done with a chore."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from pathlib import Path

from lsprotocol import types as lsp

from ledger.editor.cures import cures
from ledger.editor.diagnostics import diagnostic
from ledger.editor.edits import Abilities, Edits, edit_to, edits_to, new_file, workspace_edit
from ledger.editor.formatting import format_file
from ledger.editor.names import Spot, spot
from ledger.editor.view import View
from ledger.journal import record_file
from ledger.render.layout import minutes
from ledger.report.lightest import lightest
from ledger.text.finding import Finding
from ledger.text.relocate import relocate

MOST = 8
"""Findings in a range whose cures are looked for: each is tried out."""
QUICK_FIX = lsp.CodeActionKind.QuickFix
REFACTOR = lsp.CodeActionKind.Refactor
KINDS = (QUICK_FIX, REFACTOR)


def actions(
    view: View, uri: str, range_: lsp.Range, only: Sequence[str] | None, abilities: Abilities
) -> list[lsp.CodeAction]:
    """What can be done about a range of a file; `only` names the kinds that are asked for."""
    start, end = spot(view, uri, range_.start), spot(view, uri, range_.end)
    if start.path not in view.trees:
        return []
    found: list[lsp.CodeAction] = []
    if _wanted(QUICK_FIX, only):
        here = [one for one in view.findings if _touches(one, start, end)][:MOST]
        for finding in here:
            found += _cures(view, finding, abilities)
        found += (_allow(view, finding, abilities) for finding in here)
    if _wanted(REFACTOR, only) and start.line == end.line:
        found += _with_chore(view, start, abilities)
    return found


def _wanted(kind: lsp.CodeActionKind, only: Sequence[str] | None) -> bool:
    return only is None or any(kind == one or kind.startswith(f"{one}.") for one in only)


def _touches(finding: Finding, start: Spot, end: Spot) -> bool:
    place = finding.place
    return place.source.path == start.path and start.line <= place.line <= end.line


def _action(
    title: str,
    kind: lsp.CodeActionKind,
    edit: lsp.WorkspaceEdit,
    diagnostics: list[lsp.Diagnostic] | None = None,
    preferred: bool | None = None,
) -> lsp.CodeAction:
    return lsp.CodeAction(title, kind, diagnostics, preferred, edit=edit)


# ------------------------------------------------------------------ findings


def _cures(view: View, finding: Finding, abilities: Abilities) -> Iterator[lsp.CodeAction]:
    path, told = finding.place.source.path, [diagnostic(view, finding)]
    if "`besom format`" in finding.fix:
        edits: Edits = {path: format_file(view, path)}
        if edits[path]:
            edit = workspace_edit(view, edits, abilities)
            yield _action("Format the file", QUICK_FIX, edit, told, True)
    for number, cure in enumerate(cures(view, finding)):
        edits = {path: edit_to(view, path, cure.source.text)}
        edit = workspace_edit(view, edits, abilities)
        yield _action(cure.title, QUICK_FIX, edit, told, number == 0)


def _allow(view: View, finding: Finding, abilities: Abilities) -> lsp.CodeAction:
    """A comment that lets a finding be, with a place for the reason."""
    path, number = finding.place.source.path, finding.place.line
    positions = view.positions(path)
    text = positions.line(number)
    comment = f"# allow {finding.rule}: say why"
    indent = text[: len(text) - len(text.lstrip(" \t"))]
    source = view.trees[path].source
    above = f"{indent}{comment}{source.newline}"
    at = positions.at(number, 0)
    edits = {path: [lsp.TextEdit(lsp.Range(at, at), above)]}
    return _action(
        f"Allow {finding.rule} here",
        QUICK_FIX,
        workspace_edit(view, edits, abilities),
        [diagnostic(view, finding)],
    )


# ------------------------------------------------------------------ chores


def _with_chore(view: View, where: Spot, abilities: Abilities) -> Iterator[lsp.CodeAction]:
    found = view.routines.get((where.path, where.line))
    if found is None:
        return
    name, routine = found
    edit = _done_today(view, name, abilities)
    if edit is not None:
        yield _action("Mark done today", REFACTOR, edit)
    best = lightest(view.household, routine, view.ways)
    if best is not None:
        texts = relocate(view.workspace.trees, [best.relocation])
        less = f"{minutes(best.minutes)} a day, now {minutes(best.minutes_now)}"
        yield _action(
            f"Move to {best.header}, the lightest ({less})",
            REFACTOR,
            workspace_edit(view, edits_to(view, texts), abilities),
        )


def _done_today(view: View, name: str, abilities: Abilities) -> lsp.WorkspaceEdit | None:
    """The edit that adds a line to the record; None where it has one for today, or where the
    editor cannot begin the file it belongs in."""
    log = view.household.log
    done = any(
        log.dates[line] == view.today and log.entries[line].verb == "did"
        for line in reversed(log.by_chore.get(name, ()))
    )
    if done:
        return None
    today = date.fromordinal(view.today)
    line = f"{today} did {name}"
    trees = view.workspace.trees
    folder = view.root if view.root is not None else Path()
    path = str(record_file(folder, trees, today))
    if path not in view.trees and view.root is None:
        path = trees[0].source.path
    if path not in view.trees:
        return new_file(path, line + "\n") if abilities.creates else None
    source = view.trees[path].source
    gap = source.newline if source.text and not source.text.endswith("\n") else ""
    end = view.positions(path).whole.end
    new = lsp.TextEdit(lsp.Range(end, end), f"{gap}{line}{source.newline}")
    return workspace_edit(view, {path: [new]}, abilities)
