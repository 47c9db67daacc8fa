"""A line that the grammar cannot read, or a chore under no section.

Why it matters: every line is read alone, so the others are used; but what this one says is
missing from every list until it can be read.
"""

from __future__ import annotations

from ledger.text.finding import UNREADABLE_LINE

RULE = UNREADABLE_LINE

BAD = """\
area kitchen
every mondey
      ^^^^^^
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen
"""

MAY_ALLOW = False
