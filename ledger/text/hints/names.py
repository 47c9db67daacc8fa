"""Names with a character that no name may hold, and the names that were meant.

Needs no lines, so that names can be refused without them.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable

Check = Callable[[str], int | None]
"""Index of the first character that no name may hold, or None for a good name."""

FULL_WIDTH = {"，": ",", "、": ",", "；": ",", "：": "", "。": "", "．": "", "＃": "#", "–": "-",
               "—": "-", "‐": "-", "‑": "-", "−": "-", "－": "-", "\u00ad": ""}  # fmt: skip
"""Look-alike characters, with what each stands for in a book."""

_COMMAS = "，、；"
_NOTHING = "：。"


def name_character(name: str, index: int, check: Check, goes_on: bool) -> tuple[str, str, str]:
    """The message, the fix and the better name for a name with a wrong character at `index`.

    The better name is empty where none is near. `goes_on` says that another name may follow a comma
    at its end.
    """
    wrong = name[index]
    code = f"U+{ord(wrong):04X}"
    shown = f'"{wrong}" ({code})' if wrong.isprintable() else code
    good = _good_names(name, check)
    if good and goes_on and name[-1] in _COMMAS:
        good += ","
    fix = f"write `{good}`" if good else "leave the character out"
    held = wrong in _COMMAS + _NOTHING or unicodedata.category(wrong) == "Cf"
    fix += "" if held else "; only a title can hold it"
    return f"{shown} cannot stand in a name", fix, good


def _good_names(name: str, check: Check) -> str:
    """The nearest good names, with commas between them; empty where there are none."""
    names = [_good_name(part, check) for part in re.split(f"[{_COMMAS}]", name) if part]
    return ", ".join(names) if all(names) else ""


def _good_name(name: str, check: Check) -> str:
    out: list[str] = []
    for character in name:
        plain = FULL_WIDTH.get(character, character)
        if unicodedata.category(character) == "Cf" or character == "’":
            continue
        good = plain in ("", "-") or check("a" + plain) is None
        out.append(plain if good else "-" if out else "")
    name = re.sub("-{2,}", "-", "".join(out)).strip("-")
    return name if name and name[0].isalpha() and check(name) is None else ""
