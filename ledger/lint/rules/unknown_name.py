"""A person, area or chore that the household does not have, or a hazard's name misspelt.

Why it matters: a record of an unknown chore settles nothing, and a misspelt hazard goes
without its caution.
"""

from __future__ import annotations

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
