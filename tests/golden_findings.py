"""Golden findings: what is said of wrong lines, to the letter, in a file that reads well in a diff.

A file has a block for each case. It begins with `## ` and the name of the case, and has an entry
for each finding: the line, what is marked below it, and what is said of it.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from pathlib import Path

from ledger.text.finding import Finding


def golden_blocks(path: Path, names: Iterable[str], made: Callable[[str], str]) -> dict[str, str]:
    """What a file says of each case. `BESOM_UPDATE_GOLDEN=1 pytest TEST` writes it anew, from what
    `made` says of each name: cases that it has stay in their order, others follow them."""
    blocks = _read(path)
    if os.environ.get("BESOM_UPDATE_GOLDEN"):
        new = {name: made(name) for name in names}
        order = [*(name for name in blocks if name in new), *(n for n in new if n not in blocks)]
        text = "\n\n".join(f"## {name}\n\n{new[name]}" for name in order)
        path.write_bytes(f"{text}\n".encode())
        blocks = _read(path)
    return blocks


def _read(path: Path) -> dict[str, str]:
    if not path.exists():
        return {}
    # As bytes: a line of a sample may end in CR.
    text = path.read_bytes().decode("utf-8").removeprefix("## ").removesuffix("\n")
    return dict(part.split("\n\n", 1) for part in text.split("\n\n## ") if part)


def entries(block: str) -> list[str]:
    """The entries of a block."""
    return block.split("\n\n")


def entry(finding: Finding, with_why: bool) -> str:
    """What is said of a line, below the line and its marks."""
    place = finding.place
    line = place.source.lines[place.line]
    before = "".join("\t" if character == "\t" else " " for character in line[: place.start])
    said = [line, before + "^" * (place.end - place.start)]
    said.append(f"{finding.severity.value}: {finding.message}")
    if with_why:
        said.append(f"why: {finding.why}")
    said.append(f"fix: {finding.fix}")
    said += [f"see: line {other.line + 1}, `{other.text}`" for other in finding.see]
    return "\n".join(said)


def block(findings: Iterable[Finding], with_why: bool) -> str:
    """The entries of all findings of a case."""
    return "\n\n".join(entry(finding, with_why) for finding in findings)
