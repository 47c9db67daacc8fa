"""Binary: versions of a file that are no text, and that no merge line by line can put together."""

from __future__ import annotations

import re
from collections import Counter

from ledger.text.source import Source

_NUL = "\0"
# What `Source.decode` makes of bytes that are not UTF-8.
_NO_UTF_8 = re.compile("[\udc80-\udcff]")


def are_binary(base: Source, ours: Source, theirs: Source) -> bool:
    """True where both sides differ and git would call one of the three binary, since it holds a
    zero byte; and where both have changed lines that are not UTF-8, each in its own way.

    Such a line that only one side touched is kept as it is, as any line is that cannot be read.
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
