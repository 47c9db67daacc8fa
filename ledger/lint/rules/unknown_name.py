"""A person, area, chore or name for days that the household does not have.

Why it matters: a record of an unknown chore settles nothing, nobody is told to do what is given to
an unknown person, and a list of days is read without those that are unknown.
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
