"""Long lines: what is shown of them is what it always was, and only that much is looked at."""

from __future__ import annotations

from unittest.mock import patch

from hypothesis import given
from hypothesis import strategies as st

from ledger.render import findings_text as module
from ledger.render.findings_text import finding_text, marked
from ledger.text.finding import Finding, Severity
from ledger.text.shown import safe
from ledger.text.source import Source, TextRange
from ledger.text.width import columns_of, width

LETTERS = st.text("ab\t窓é\u0301\u202e🧹", max_size=120)


def shown(text: str) -> str:
    return safe(text.replace("\t", "    "))


def taken_away_one_by_one(place: TextRange) -> list[str]:
    """What is to be shown, by its definition: characters leave until there is room."""
    text = place.source.lines[place.line]
    before, inside, after = (
        shown(part)
        for part in (text[: place.start], text[place.start : place.end], text[place.end :])
    )
    if width(before) > 38 and width(before + inside + after) > 76:
        while width(before) > 38:
            before = before[1:]
        before = "…" + before[1:]
    line = before + inside + after
    marks = " " * width(before) + "^" * max(width(inside), 1)
    while width(line) > 76:
        line = line[:-2] + "…"
    return [("    " + line).rstrip(), "    " + marks[:76]]


@given(LETTERS, LETTERS, LETTERS, st.integers(0, 1))
def test_line_is_cut_as_by_taking_characters_away(
    before: str, inside: str, after: str, further: int
) -> None:
    line = before + inside + after
    source = Source("home.chores", f"x\n{line}\n")
    place = TextRange(source, 1, len(before), len(before + inside) + further)
    assert marked(place) == taken_away_one_by_one(place)


def test_of_a_long_line_only_what_is_shown_is_looked_at() -> None:
    line = "é" * 10_000
    source = Source("home.chores", line + "\n")
    finding = Finding("rule", Severity.ERROR, TextRange(source, 0, 5000, 5001), "a", "b", "c")
    with patch.object(module, "columns_of", wraps=columns_of) as looked:
        finding_text(finding)
    assert looked.call_count < 400


def test_line_seen_beside_a_finding_is_cut_where_it_is_very_long() -> None:
    source = Source("home.chores", "  " + "a" * 400 + "\n" + "b" * 10_000 + "\n")
    see = tuple(TextRange(source, line, 0, 1) for line in (0, 1))
    finding = Finding("rule", Severity.ERROR, see[0], "a", "b", "c", see)
    whole, cut = " ".join(finding_text(finding).split()).split(" see ")[1:]
    assert whole == "home.chores:1:1: " + "a" * 400
    assert cut == "home.chores:2:1: " + "b" * 399 + "…"
