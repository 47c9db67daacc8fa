"""Laws of what wrong lines are told: what is shown to type reads, and the words are plain."""

from __future__ import annotations

import re
from pathlib import Path

from ledger.text.finding import Finding, Fix
from ledger.text.hints.reading import fault_of, reads
from ledger.text.reader import Reader
from ledger.text.source import Source, TextRange

FORBIDDEN = re.compile(
    r"\b(token|eof|illegal|invalid|syntax|error|mistake|wrong|bad|parser?|parsed|regex|you|your"
    r"|please|unexpected|todo)\b",
    re.IGNORECASE,
)


WRONG_LINES = Path(__file__).parent / "wrong-lines"
CONSTRUCTS = sorted(path.stem for path in WRONG_LINES.glob("*.chores"))


def parts(construct: str) -> tuple[list[str], list[str]]:
    """The lines of the sound book of a construct, and the wrong ones."""
    text = (WRONG_LINES / f"{construct}.chores").read_text(encoding="utf-8")
    book, wrong = text.split("# wrong\n")
    return book.splitlines(), [line for line in wrong.splitlines() if line]


def in_backticks(text: str) -> tuple[str, ...]:
    return tuple(re.findall(r"`([^`]*)`", text))


def mended(source: Source, fix: Fix) -> str:
    """A source with the one edit of a fix made."""
    (edit,) = fix.edits
    assert (edit.path, edit.line) == (source.path, edit.end_line)
    lines = list(source.lines)
    lines[edit.line] = lines[edit.line][: edit.start] + edit.new + lines[edit.line][edit.end :]
    return source.newline.join(lines)


def assert_typed_reads(finding: Finding) -> None:
    """Asserts that each text that a fix shows reads: alone, or in the place of what is marked."""
    place = finding.place
    line = place.source.lines[place.line]
    for shown in in_backticks(finding.fix):
        typed = shown.replace("YYYY-MM-DD", "2026-01-05")
        if typed.startswith("#") or reads(typed):
            continue
        spliced = line[: place.start] + typed + line[place.end :]
        fault = fault_of(spliced)
        if fault is None or fault.token.start >= place.start + len(typed):
            continue
        assert _said_by_the_way(finding, typed), (line, typed)


def _said_by_the_way(finding: Finding, typed: str) -> bool:
    """True for words that stand in a fix without being the whole of what to type."""
    if finding.message.endswith("cannot stand in a name"):
        return reads(f"    chore  in {typed}")
    if finding.message.startswith("no line begins with"):
        return typed in ("every", "weekend", "once")
    # `from` with its date, which the line before it in the fix has.
    # A clause for the header above, or for the line of another chore.
    if typed.startswith(("within ", "during ")):
        return True
    return typed == "from" or finding.rule == "unknown-name" or typed.startswith("after ")


def assert_fixes_read(finding: Finding) -> None:
    """Asserts that the line of a finding has no fault when one of its fixes is made."""
    path, number = finding.line
    alone = Source(path, finding.place.source.lines[number])
    for fix in finding.moved(TextRange(alone, 0, *finding.place[2:])).fixes:
        assert not [*Reader().read(Source(path, mended(alone, fix))).faults()], (alone, fix)


def assert_plain(finding: Finding) -> None:
    """Asserts that what is said is short, plain, and blames nobody."""
    for said in (finding.message, finding.why, finding.fix):
        ours = re.sub(r'`[^`]*`|"[^"]*"', "", said)
        assert not FORBIDDEN.search(ours), said
        assert "\n" not in said
        assert not said.endswith(".")
        assert "{}" not in ours
    assert not finding.message[0].isupper() or finding.message.startswith("U+")
    assert len(finding.message.split()) <= 24, finding.message
