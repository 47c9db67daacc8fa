"""A date that no calendar holds, or a section that falls on no day.

Why it matters: a chore or a record of it would belong to no day, and come up nowhere.
"""

from __future__ import annotations

from ledger.text.finding import IMPOSSIBLE_DATE

RULE = IMPOSSIBLE_DATE

BAD = """\
area kitchen
every monday from 2026-02-30
                  ^^^^^^^^^^
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen
every monday from 2026-02-28
    oven  40 min  in kitchen
"""

MAY_ALLOW = False
