"""Findings as text: place, sentence, the line with the place marked, why, and what to write."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from ledger.render.layout import WIDTH, counted, safe, wrap
from ledger.text.finding import Finding, Severity
from ledger.text.source import Place
from ledger.text.width import width

INDENT = 4
LABEL = INDENT + 5


def findings_text(
    findings: Sequence[Finding],
    files: int,
    lines: int,
    seconds: float | None = None,
    most: int | None = None,
) -> str:
    """The findings, `most` of them at most, and a closing line that counts them all and says how
    long it took."""
    shown = findings if most is None else _gravest(findings, most)
    blocks = [finding_text(finding) for finding in shown]
    if len(shown) < len(findings):
        more = counted(len(findings) - len(shown), "more finding", "more findings")
        blocks.append(f"{more}; the same command without --most shows all\n")
    taken = "" if seconds is None else f" ({seconds:.2f} s)"
    return "\n".join([*blocks, closing(findings, files, lines) + taken]) + "\n"


def _gravest(findings: Sequence[Finding], count: int) -> list[Finding]:
    """The findings that weigh most, in the order in which they stand."""
    weights = list(Severity)
    by_weight = sorted(range(len(findings)), key=lambda n: weights.index(findings[n].severity))
    return [findings[n] for n in sorted(by_weight[:count])]


def finding_text(finding: Finding) -> str:
    """One finding; its first line stands alone, in the form that editors take places from."""
    head = (
        f"{safe(str(finding.place))}: {finding.severity.value}: {safe(finding.message)} "
        f"[{finding.rule}]"
    )
    lines = [head, *marked(finding.place)]
    for label, text in (("why", finding.why), ("fix", finding.fix)):
        lines.append(" " * INDENT + f"{label}  " + wrap(safe(text), LABEL))
    lines += [
        " " * INDENT + f"see  {safe(str(place))}: {safe(place.source.lines[place.line]).strip()}"
        for place in finding.see
    ]
    return "\n".join(lines) + "\n"


def marked(place: Place) -> list[str]:
    """The line of a place, and a line of marks below the place.

    Columns of the terminal, not characters, decide where the marks stand: wide characters
    take two, combining ones none. A long line is cut around its place.
    """
    text = place.source.lines[place.line]
    before = _shown(text[: place.start])
    inside = _shown(text[place.start : place.end])
    after = _shown(text[place.end :])
    room = WIDTH - INDENT
    if width(before) > room // 2 and width(before + inside + after) > room:
        while width(before) > room // 2:
            before = before[1:]
        before = "…" + before[1:]
    line = before + inside + after
    marks = " " * width(before) + "^" * max(width(inside), 1)
    while width(line) > room:
        line = line[:-2] + "…"
    blanks = " " * INDENT
    return [(blanks + line).rstrip(), blanks + marks[:room]]


def _shown(text: str) -> str:
    return safe(text.replace("\t", "    "))


def closing(findings: Sequence[Finding], files: int, lines: int) -> str:
    """How many findings there are, by severity, in how much text."""
    read = f"{counted(files, 'file', 'files')}, {lines:,} {'line' if lines == 1 else 'lines'}"
    if not findings:
        return f"No findings in {read}."
    by_severity = Counter(finding.severity for finding in findings)
    plural = {
        Severity.ERROR: ("error", "errors"),
        Severity.WARNING: ("warning", "warnings"),
        Severity.ADVICE: ("piece of advice", "pieces of advice"),
    }
    parts = ", ".join(
        counted(by_severity[severity], *plural[severity])
        for severity in Severity
        if by_severity[severity]
    )
    return f"{counted(len(findings), 'finding', 'findings')} ({parts}) in {read}."
