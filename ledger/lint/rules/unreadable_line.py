"""A line that the grammar cannot read, a chore under no section, or a step under no chore.

Why it matters: what the line says is missing from every list until it can be read. A line at the
margin that is neither a record nor a comment may have been a header. Then the chores below it are
missing too. All other lines are used.
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
