"""Cures: what `besom lint --fix` and the editor do about the bad sample of a rule, linted again."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from books import iso, read
from lsp_client import applied
from lsprotocol import converters
from lsprotocol import types as lsp
from test_cli import besom
from test_rules import TODAY, findings, without_marks

from ledger.editor.actions import actions
from ledger.editor.edits import Abilities
from ledger.editor.folder import Folder
from ledger.editor.formatting import format_file
from ledger.editor.view import View
from ledger.lint.memory import Memory
from ledger.lint.rules import RULES
from ledger.text.finding import Finding
from ledger.text.formatter import format_tree
from ledger.text.source import Source
from ledger.text.tree import Tree
from ledger.workspace import read_sources

BOOK = "/home.chores"
OFFERED: dict[str, list[str]] = {
    "after-circle": ["Delete `after sweep`"],
    "after-other-days": ["Delete `after sweep`"],
    "dangerous-pair": [
        "Part them: move taps to every monday",
        "Part them: move bath to every monday",
    ],
    "drifted-minutes": ["Write `15 min`"],
    "empty-section": ["Delete this line"],
    "falls-rarely": ["Write `every month on last`"],
    "missing-area": ["Write `in kitchen`"],
    "misspelt-hazard": ["Write `bleach`"],
    "mixed-line-ends": ["Format the file"],
    "new-without-from": ["Write `from 2026-03-04`", "Write `paused`"],
    "not-formatted": ["Format the file"],
    "out-of-order-line": ["Format the file"],
    "repeated-line": ["Delete this line"],
    "unknown-name": ["Write `kitchen`", "Add a line `area kitchin`"],
    "unreadable-line": ["Write `monday`"],
    "unstated-hazard": ["Write `bleach`", "Write `uses stepladder`"],
    "unused-allow": ["Delete the comment"],
    "unused-area": ["Delete this line"],
}
"""What the editor offers to do about the bad sample of a rule; nothing about any other."""
MENDED = {"mixed-line-ends", "not-formatted", "out-of-order-line", "repeated-line"}
"""The rules whose bad samples `besom lint --fix` makes good."""


def bad(name: str) -> str:
    """The book of a rule's bad sample."""
    lines, _ = without_marks(RULES[name].bad)
    return "\n".join(lines) + "\n"


def view_of(text: str) -> View:
    """A book that is open in an editor, by itself."""
    workspace = read_sources([Source(BOOK, text)])
    return View(workspace.on(TODAY), {}, Memory(), Folder(None))


def about(view: View, finding: Finding) -> Iterator[lsp.CodeAction]:
    """What is offered about a finding, but for letting it be."""
    able = Abilities(lsp.ClientCapabilities())
    uri, place = view.uri(BOOK), view.range(finding.place)
    for action in actions(view, uri, place, [lsp.CodeActionKind.QuickFix], able):
        codes = [one.code for one in action.diagnostics or ()]
        if codes == [finding.rule] and not action.title.startswith("Allow "):
            yield action


def after(text: str, action: lsp.CodeAction) -> str:
    """The book with the edits of an action."""
    assert action.edit is not None
    ((_, edits),) = (action.edit.changes or {}).items()
    plain: list[dict[str, Any]] = converters.get_converter().unstructure(edits)
    return applied(text, plain)


def left(text: str, name: str) -> list[str]:
    """The rules of the findings in a book; spacing counts only for the rules about it."""
    return [finding.rule for finding in findings(text.removesuffix("\n").split("\n"), name)]


def found_in(view: View, name: str) -> list[Finding]:
    """The findings of a rule in a book."""
    return [finding for finding in view.findings if finding.rule == name]


@pytest.mark.parametrize("name", RULES)
def test_editor_offers_these_cures_for_a_bad_sample_and_no_others(name: str) -> None:
    view = view_of(bad(name))
    titles = [action.title for one in found_in(view, name) for action in about(view, one)]
    assert titles == OFFERED.get(name, [])


CURES = [(name, title) for name, titles in OFFERED.items() for title in titles]


@pytest.mark.parametrize(("name", "title"), CURES)
def test_bad_sample_has_no_finding_after_what_the_editor_offers(name: str, title: str) -> None:
    text = bad(name)
    view = view_of(text)
    offered = [action for one in found_in(view, name) for action in about(view, one)]
    text = after(text, next(action for action in offered if action.title == title))
    # A sample with two findings wants two cures.
    for _ in range(len(found_in(view, name)) - 1):
        view = view_of(text)
        text = after(text, next(about(view, found_in(view, name)[0])))
    assert left(text, name) == []


@pytest.mark.parametrize("name", RULES)
def test_fix_makes_these_bad_samples_good_and_leaves_what_others_say(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = fixed(bad(name), tmp_path, monkeypatch)
    expected = RULES[name].good if name in MENDED else bad(name)
    assert text == format_tree(read(expected))
    assert (name in left(text, name)) == (name not in MENDED)


def test_fix_of_drift_mends_the_bad_sample_of_drifted_minutes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = fixed(bad("drifted-minutes"), tmp_path, monkeypatch, "drift")
    assert "    hob  15 min  in kitchen\n" in text
    assert left(text, "drifted-minutes") == []


def fixed(text: str, folder: Path, monkeypatch: pytest.MonkeyPatch, *words: str) -> str:
    """A book after `besom lint --fix`."""
    monkeypatch.chdir(folder)
    path = folder / "home.chores"
    path.write_bytes(text.encode())
    besom("lint", "--fix", *words, "--on", iso(TODAY))
    return path.read_bytes().decode()


def test_editor_offers_no_shape_in_which_a_book_says_something_else(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def dropping(tree: Tree) -> str:
        return format_tree(tree).replace("    oven  40 min  in kitchen\n", "")

    view = view_of(bad("not-formatted"))
    assert format_file(view, BOOK)
    monkeypatch.setattr("ledger.text.formatter.format_tree", dropping)
    (finding,) = found_in(view, "not-formatted")
    assert format_file(view, BOOK) == []
    assert list(about(view, finding)) == []
