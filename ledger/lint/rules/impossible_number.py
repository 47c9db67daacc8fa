"""A number outside what it can be: weekend 6, 75 minutes past an hour.

Why it matters: no reading of the line would be the one that was meant.
"""

from __future__ import annotations

from ledger.text.finding import IMPOSSIBLE_NUMBER

RULE = IMPOSSIBLE_NUMBER

BAD = """\
area kitchen
weekend 6
        ^
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen
weekend 4
    oven  40 min  in kitchen
"""

MAY_ALLOW = False
