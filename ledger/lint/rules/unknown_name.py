"""A person, area or chore that the household does not have.

Why it matters: a record of an unknown chore settles nothing, and nobody is told to do what is
given to an unknown person.
"""

from __future__ import annotations

from ledger.text.finding import UNKNOWN_NAME

RULE = UNKNOWN_NAME

BAD = """\
area kitchen
every monday
    oven  40 min  in kitchin
                     ^^^^^^^
    sink   5 min  in kitchen
"""

GOOD = """\
area kitchen
every monday
    oven  40 min  in kitchen
    sink   5 min  in kitchen
"""
