"""Binary: versions of a file that are not text, and cannot be merged line by line."""

from __future__ import annotations

import re
from collections import Counter

from ledger.text.source import Source

_NUL = "\0"
# What `Source.decode` makes of bytes that are not UTF-8.
_NO_UTF_8 = re.compile("[\udc80-\udcff]")


def are_binary(base: Source, ours: Source, theirs: Source) -> bool:
    """True where both sides changed the file differently and cannot be merged as text.

    Either one of the three versions has a zero byte, so that git would call it binary. Or both
    sides changed lines that are not UTF-8, each in its own way; if only one side did, such a line
    is kept as it is, like any unreadable line.
    """
    if ours.text in (base.text, theirs.text) or theirs.text == base.text:
        return False
    if any(_NUL in source.text for source in (base, ours, theirs)):
        return True
    before, mine, other = map(_lines_of_bytes, (base, ours, theirs))
    return mine not in (before, other) and other != before


def _lines_of_bytes(source: Source) -> Counter[str]:
    if _NO_UTF_8.search(source.text) is None:
        return Counter()
    return Counter(line for line in source.lines if _NO_UTF_8.search(line) is not None)
