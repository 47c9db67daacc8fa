"""A table as CSV (RFC 4180), safe to open in a spreadsheet."""

from __future__ import annotations

import csv
import io
import re

from ledger.render.table import Cell, Table, cell_text

_FORMULA = re.compile("[=+\\-@\t\r\n＝＋－＠]")
"""First characters by which a spreadsheet may take a cell for a formula."""


def to_csv(table: Table) -> str:
    """The table as CSV with its headers, lines ended by CR LF.

    Text that a spreadsheet could take for a formula gets an apostrophe before it, so that it is
    shown as text (OWASP, CSV Injection, 2024). Numbers are left as they are.
    """
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(table.headers)
    for row in table.rows:
        writer.writerow([_safe(cell) for cell in row])
    return out.getvalue()


def _safe(cell: Cell) -> str:
    text = cell_text(cell)
    return f"'{text}" if isinstance(cell, str) and _FORMULA.match(text) else text
