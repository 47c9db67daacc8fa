"""JSON as text (RFC 8259) that is safe on a terminal and loses nothing."""

from __future__ import annotations

import json
import re

from ledger.text.shown import UNSHOWN


def json_text(document: object) -> str:
    """A document as JSON. Letters of any script stay as they are. What must not be shown becomes
    JSON escapes, as do bytes that are not UTF-8."""
    lines = json.dumps(document, ensure_ascii=False, indent=2).split("\n")
    return "".join(UNSHOWN.sub(_escaped, line) + "\n" for line in lines)


def _escaped(match: re.Match[str]) -> str:
    return json.dumps(match[0])[1:-1]
