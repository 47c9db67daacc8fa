"""A clause, a day or a month that stands twice in one line.

Why it matters: only one of the two can count, and nobody sees which. That goes for `vital` and
`spare` in one line too: they say two things of how much it matters.
"""

from __future__ import annotations

from ledger.text.finding import REPEATED_WORD

RULE = REPEATED_WORD

BAD = """\
area kitchen
every monday
    oven  40 min  in kitchen  25 min
                              ^^^^^^
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen
"""

MAY_ALLOW = False
