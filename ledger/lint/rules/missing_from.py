"""A section, or named days, of every second, third or later day, week or month without a `from`.

Why it matters: any of them could be the first, so nothing that hangs on it can be given a date.
"""

from __future__ import annotations

from ledger.text.finding import MISSING_FROM

RULE = MISSING_FROM

BAD = """\
area kitchen
every 2 weeks
^^^^^^^^^^^^^
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen
every 2 weeks from 2026-01-05
    oven  40 min  in kitchen
"""

MAY_ALLOW = False
