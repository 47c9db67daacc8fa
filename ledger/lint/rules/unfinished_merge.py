"""Marks that git left where two people changed one line, and nobody has chosen yet.

Why it matters: both sides are read as if both were meant, so a chore may stand twice in its
section, or a limit may be the old one. Keep one side, or write what both mean, and delete the
marks.
"""

from __future__ import annotations

from ledger.text.finding import UNFINISHED_MERGE

RULE = UNFINISHED_MERGE

BAD = """\
area kitchen

every monday
<<<<<<< ours
^^^^^^^
    oven  40 min  in kitchen
=======
    hob   15 min  in kitchen
>>>>>>> theirs
"""

GOOD = """\
area kitchen

every monday
    oven  40 min  in kitchen
"""

MAY_ALLOW = False
