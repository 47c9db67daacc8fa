"""JSON as text (RFC 8259) that upsets no terminal and gives a program the very text back."""

from __future__ import annotations

import json
import re

from ledger.text.shown import UNSHOWN


def json_text(document: object) -> str:
    """A document as JSON: letters of any script as they are, and what is not to be shown as the
    escapes that JSON has for it, bytes that are not UTF-8 among them."""
    lines = json.dumps(document, ensure_ascii=False, indent=2).split("\n")
    return "".join(UNSHOWN.sub(_escaped, line) + "\n" for line in lines)


def _escaped(found: re.Match[str]) -> str:
    return json.dumps(found[0])[1:-1]
