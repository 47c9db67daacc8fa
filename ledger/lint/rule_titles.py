"""The titles of all rules, read from their files: to import every rule takes long."""

from __future__ import annotations

import pkgutil
import re
from pathlib import Path

FOLDER = Path(__file__).with_name("rules")
_FIRST_SENTENCE = re.compile(r'r?"""(.+?)\.?(?:\n\n|""")', re.DOTALL)


def rule_modules() -> list[str]:
    """The names of the modules of all rules, in order."""
    return sorted(found.name for found in pkgutil.iter_modules([str(FOLDER)]))


def rule_titles() -> dict[str, str]:
    """All rules by name, each with what it finds."""
    titles = {}
    for module in rule_modules():
        found = _FIRST_SENTENCE.match((FOLDER / f"{module}.py").read_text("utf-8"))
        titles[module.replace("_", "-")] = " ".join(found[1].split()) if found else ""
    return titles
