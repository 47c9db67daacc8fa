"""A name that is given to two things, or a line that a book may have once, and has twice.

Why it matters: the first one counts, and what the second says is lost without a word. A chore
that changes from a day on stands below two headers: one with `until`, the other with `from`.
"""

from __future__ import annotations

from ledger.text.finding import REPEATED_NAME

RULE = REPEATED_NAME

BAD = """\
area kitchen
area kitchen
     ^^^^^^^
every monday
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen
"""
