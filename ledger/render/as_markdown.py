"""Tables as Markdown, for a page or a message."""

from __future__ import annotations

import re
from collections.abc import Sequence

from tabulate import tabulate

from ledger.render.table import Table, cell_text
from ledger.text.shown import safe

_MARKUP = re.compile(r"[\\`*_\[\]<>#|~&@]|^[-+=]|:(?=//)|(?<=www)\.")
"""What may be markup anywhere, what may be markup at the start of a line, and what some programs
turn into links."""
_NUMBERED = re.compile(r"^([0-9]+)([.)])")
_SPACE = re.compile(r"\s+")


def to_markdown(tables: Sequence[Table]) -> str:
    """The tables that have rows, each below its title. Numbers are aligned right."""
    return "\n".join(_table_text(_on_page(table)) for table in tables if table.rows)


def _on_page(table: Table) -> Table:
    """A table without the columns that repeat other tables of the page."""
    wide = len(table.headers) - table.repeated
    return table._replace(headers=table.headers[:wide], rows=[row[:wide] for row in table.rows])


def escaped(text: str) -> str:
    """Text that Markdown shows as it is (CommonMark 0.31.2, 2.4, backslash escapes)."""
    return _NUMBERED.sub(r"\1\\\2", _MARKUP.sub(r"\\\g<0>", _SPACE.sub(" ", safe(text))))


def _table_text(table: Table) -> str:
    figures = [
        all(isinstance(row[n], int | float) or row[n] is None for row in table.rows)
        for n in range(len(table.headers))
    ]
    body = tabulate(
        [
            [escaped(cell) if isinstance(cell, str) else cell_text(cell) for cell in row]
            for row in table.rows
        ],
        headers=table.headers,
        tablefmt="pipe",
        disable_numparse=True,
        colalign=["right" if is_figure else "left" for is_figure in figures],
    )
    return f"### {escaped(table.title)}\n\n{body}\n"
