"""A comment `# allow RULE: reason` that allows nothing.

Why it matters: what it once excused is mended or gone; left standing, it would hide the next
fault of its kind on that line. One whose reason is still `say why` allows nothing until someone
has said why.
"""

from __future__ import annotations

from ledger.text.finding import Kind, Severity

RULE = Kind.of(__name__, Severity.WARNING)

BAD = """\
area kitchen

every monday
    # allow missing-area: it moves about
    ^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^^
    oven  40 min  in kitchen
"""

GOOD = """\
area kitchen

every monday
    oven  40 min  in kitchen
"""

MAY_ALLOW = False
