"""The difference between two texts of a file, as an exact patch."""

from __future__ import annotations

import re
from difflib import unified_diff

from ledger.text.source import UNSAFE_CHARACTERS

_LINE = re.compile("[^\n]*\n|[^\n]+")
# A name with one of these would be cut short or misread.
_UNUSUAL = re.compile(f'[\t"\\\\{UNSAFE_CHARACTERS}]')


def difference(path: str, before: bytes, after: bytes) -> str:
    """A unified diff (POSIX.1-2017, diff -u) from one text of a file to another.

    Line ends other than a line feed stay in their lines, a last line that has none is marked,
    and bytes that are not UTF-8 stand as lone surrogates. Unusual names are quoted as git does.
    """
    old, new = (_LINE.findall(text.decode("utf-8", "surrogateescape")) for text in (before, after))
    lines = unified_diff(old, new, _quoted(f"a/{path}"), _quoted(f"b/{path}"))
    return "".join(
        line if line.endswith("\n") else line + "\n\\ No newline at end of file\n" for line in lines
    )


def _quoted(name: str) -> str:
    """A name as the header of a diff writes it."""
    if not _UNUSUAL.search(name):
        # A tab after a name with blanks keeps it from ending at the first blank.
        return name + "\t" * (" " in name)
    written = (
        chr(byte) if 0x20 <= byte < 0x7F and byte not in b'"\\' else f"\\{byte:03o}"
        for byte in name.encode("utf-8", "surrogateescape")
    )
    return f'"{"".join(written)}"'
