"""Code actions: a finding's fix or allowance, and what can be done with a chore."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date

from lsprotocol import types as lsp

from ledger.editor.allowing import allowing
from ledger.editor.diagnostics import diagnostic
from ledger.editor.edits import Abilities, edits_to, new_file, workspace_edit
from ledger.editor.names import CursorPosition, cursor_position
from ledger.editor.parting import parting
from ledger.editor.quick_fixes import QuickFix, quick_fixes
from ledger.editor.view import View
from ledger.household.model import Routine
from ledger.report.lightest import lightest
from ledger.text.finding import Finding
from ledger.text.relocate import relocate
from ledger.text.words import duration
from ledger.writing import record_file

MOST = 4
"""The most findings of a range for which fixes are looked for: each fix is tried out."""
QUICK_FIX = lsp.CodeActionKind.QuickFix
REFACTOR = lsp.CodeActionKind.Refactor
KINDS = (QUICK_FIX, REFACTOR)


def actions(
    view: View, uri: str, range_: lsp.Range, only: Sequence[str] | None, abilities: Abilities
) -> list[lsp.CodeAction]:
    """What can be done about a range of a file; `only` names the kinds that the editor wants."""
    start, end = cursor_position(view, uri, range_.start), cursor_position(view, uri, range_.end)
    if start.path not in view.trees:
        return []
    code_actions: list[lsp.CodeAction] = []
    if _wanted(QUICK_FIX, only):
        lines = [one for one in view.findings if _touches(one, start, end)]
        # If the range touches some findings of the line, only these count.
        findings = ([one for one in lines if _is_pointed_at(one, start, end)] or lines)[:MOST]
        for finding in findings:
            code_actions += _fix_actions(view, finding, abilities)
        for finding in findings:
            code_actions += _allow_actions(view, finding, abilities)
    if _wanted(REFACTOR, only) and start.line == end.line:
        code_actions += _chore_actions(view, start, abilities)
    return code_actions


def _wanted(kind: lsp.CodeActionKind, only: Sequence[str] | None) -> bool:
    return only is None or any(kind == one or kind.startswith(f"{one}.") for one in only)


def _touches(finding: Finding, start: CursorPosition, end: CursorPosition) -> bool:
    place = finding.place
    return place.source.path == start.path and start.line <= place.line <= end.line


def _is_pointed_at(finding: Finding, start: CursorPosition, end: CursorPosition) -> bool:
    place = finding.place
    return (place.line, place.start) <= (end.line, end.column) and (
        start.line,
        start.column,
    ) <= (place.line, place.end)


def _action(
    title: str,
    kind: lsp.CodeActionKind,
    edit: lsp.WorkspaceEdit,
    diagnostics: list[lsp.Diagnostic] | None = None,
    preferred: bool | None = None,
) -> lsp.CodeAction:
    return lsp.CodeAction(title, kind, diagnostics, preferred, edit=edit)


# ------------------------------------------------------------------ findings


def _fix_actions(view: View, finding: Finding, abilities: Abilities) -> Iterator[lsp.CodeAction]:
    for number, fix in enumerate([*quick_fixes(view, finding), *parting(view, finding)]):
        yield _fix_action(view, finding, fix, abilities, number == 0)


def _allow_actions(view: View, finding: Finding, abilities: Abilities) -> Iterator[lsp.CodeAction]:
    fix = allowing(view, finding)
    if fix is not None:
        yield _fix_action(view, finding, fix, abilities, None)


def _fix_action(
    view: View, finding: Finding, fix: QuickFix, abilities: Abilities, preferred: bool | None
) -> lsp.CodeAction:
    edits = edits_to(view, {source.path: source for source in fix.sources})
    edit = workspace_edit(view, edits, abilities)
    return _action(fix.title, QUICK_FIX, edit, [diagnostic(view, finding)], preferred)


# ------------------------------------------------------------------ chores


def _chore_actions(
    view: View, where: CursorPosition, abilities: Abilities
) -> Iterator[lsp.CodeAction]:
    named_routine = view.routines.get((where.path, where.line))
    if named_routine is None:
        return
    name, routine = named_routine
    for title, line in _done_today(view, name, routine):
        edit = _recorded(view, line, abilities)
        if edit is not None:
            yield _action(title, REFACTOR, edit)
    best = lightest(view.household, routine, view.choices)
    if best is not None:
        texts = relocate(view.workspace.trees, [best.relocation])
        less = f"{duration(best.minutes)} on its days, now {duration(best.minutes_now)}"
        yield _action(
            f"Move to {best.header}, the lightest: {less}",
            REFACTOR,
            workspace_edit(view, edits_to(view, texts), abilities),
        )


def _done_today(view: View, name: str, routine: Routine) -> Iterator[tuple[str, str]]:
    """Titles and record lines that mark a chore done today. If people each do their own, there is
    one for everyone who has not done it today."""
    log = view.household.log
    entries = [
        log.entries[line]
        for line in log.by_chore.get(name, ())
        if log.dates[line] == view.today and log.entries[line].verb == "did"
    ]
    record_line = f"{date.fromordinal(view.today)} did {name}"
    people = routine.assignment.people if routine.assignment.form == "each" else ()
    if not people and not entries:
        only = routine.assignment.people
        yield "Mark done today", f"{record_line} by {only[0]}" if len(only) == 1 else record_line
    # A line that names nobody speaks for everyone.
    if all(entry.people for entry in entries):
        done = {person.value for entry in entries for person in entry.people}
        for person in people:
            if person not in done:
                yield f"Mark done today by {person}", f"{record_line} by {person}"


def _recorded(view: View, line: str, abilities: Abilities) -> lsp.WorkspaceEdit | None:
    """The edit that adds a line to the record; None if the editor cannot make the file."""
    trees = view.workspace.trees
    today = date.fromordinal(view.today)
    path = trees[0].source.path
    if view.root is not None:
        path = str(record_file(view.root, trees, today))
    if path not in view.trees:
        return new_file(path, line + "\n") if abilities.creates else None
    source = view.trees[path].source
    gap = source.newline if source.text and not source.text.endswith("\n") else ""
    end = view.positions(path).whole.end
    new = lsp.TextEdit(lsp.Range(end, end), f"{gap}{line}{source.newline}")
    return workspace_edit(view, {path: [new]}, abilities)
