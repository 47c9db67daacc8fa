"""Formatting: a file, or some lines of it, as the formatter writes it."""

from __future__ import annotations

from difflib import SequenceMatcher

from lsprotocol import types as lsp

from ledger.editor.edits import edit, edit_to
from ledger.editor.view import View
from ledger.text.edits import lines_of
from ledger.text.formatter import FormatFault, formatted
from ledger.text.source import BYTE_ORDER_MARK


def format_file(view: View, path: str) -> list[lsp.TextEdit]:
    """The edit that formats a file; none if it is formatted already.

    It touches only the lines between the first and the last that change.
    """
    return edit_to(view, path, _formatted_text(view, path))


def format_range(view: View, path: str, range_: lsp.Range) -> list[lsp.TextEdit]:
    """The edits that format some lines of a file.

    A change that would move a line into these lines or out of them is left out.
    """
    positions = view.positions(path)
    before = lines_of(positions.text.removeprefix(BYTE_ORDER_MARK))
    after = lines_of(_formatted_text(view, path))
    low, (high, column) = positions.own(range_.start)[0], positions.own(range_.end)
    # A range that ends at the start of a line does not include that line.
    high += column > 0 or high == low
    changes = SequenceMatcher(None, before, after, autojunk=False).get_opcodes()
    return [
        edit(view, path, (start, end), after[new_start:new_end])
        for kind, start, end, new_start, new_end in changes
        if kind != "equal" and low <= start and end <= high
    ]


def _formatted_text(view: View, path: str) -> str:
    """The formatted text; the text as it is, if formatting would change what it says."""
    try:
        return formatted(view.trees[path]).removeprefix(BYTE_ORDER_MARK)
    except FormatFault:
        return view.positions(path).text.removeprefix(BYTE_ORDER_MARK)
