"""Cures: what a finding says to write, tried out before it is offered."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from ledger.editor.view import View
from ledger.text.finding import Finding, Severity
from ledger.text.source import Source

_WRITE = re.compile(r"\b[Ww]rite `([^`]+)`")
_ADD = re.compile(r"\badd a line `((?:person|area) [^`]+)`")
_DELETE = re.compile(r"\bdelete `([^`]+)`")
_DECLARED = re.compile(r"(person|area)[ \t]")
_DELETES_LINE = frozenset({"repeated-line", "unused-area", "empty-section"})


class Cure(NamedTuple):
    """A change of one file that takes a finding away."""

    title: str
    source: Source
    """The file as it would be."""


def cures(view: View, finding: Finding) -> Iterator[Cure]:
    """The changes that its fix asks for and that cure a finding, each tried in its household.

    Only where the fix says to the letter what to type or to take away.
    """
    told = set[str]()
    for cure in _candidates(view.trees[finding.place.source.path].source, finding):
        # Words may be meant for a place or for a whole line: what heals first is what they mean.
        if cure.title not in told and _heals(view, finding, cure.source):
            told.add(cure.title)
            yield cure


def _candidates(source: Source, finding: Finding) -> Iterator[Cure]:
    line, start, end = finding.place[1:]
    text = source.lines[line]
    indent = text[: len(text) - len(text.lstrip(" \t"))]
    for words in _WRITE.findall(finding.fix):
        title = f"Write `{words}`"
        yield _with_line(source, line, title, text[:start] + words + text[end:])
        yield _with_line(source, line, title, indent + words)
        yield _with_line(source, line, title, _appended(text, words))
    for words in _ADD.findall(finding.fix):
        yield _added(source, words)
    for words in _DELETE.findall(finding.fix):
        less = re.sub(rf"[ \t]*{re.escape(words)}(?![^ \t,#])", "", text, count=1)
        yield _with_line(source, line, f"Delete `{words}`", less)
    if finding.rule in _DELETES_LINE:
        yield _with_line(source, line, "Delete this line", None)
    if finding.rule == "unused-allow":
        less = text[:start].rstrip(" \t")
        yield _with_line(source, line, "Delete the comment", less or None)


def _appended(text: str, words: str) -> str:
    """A line with words behind its clauses, before its title and comment."""
    body = re.match(r'[^"#]*', text)
    at = len(body[0].rstrip(" \t")) if body else len(text)
    return f"{text[:at]}  {words}{text[at:]}"


def _added(source: Source, words: str) -> Cure:
    """The file with a declaration below the last of its kind, else at its top."""
    keyword = words.split(" ")[0]
    alike = [
        number
        for number, text in enumerate(source.lines)
        if (found := _DECLARED.match(text)) and found[1] == keyword
    ]
    at = alike[-1] + 1 if alike else 0
    return Cure(f"Add a line `{words}`", _edited(source, at, at, [words]))


def _with_line(source: Source, line: int, title: str, text: str | None) -> Cure:
    return Cure(title, _edited(source, line, line + 1, [] if text is None else [text]))


def _edited(source: Source, first: int, last: int, lines: list[str]) -> Source:
    """The file with some lines in place of others, every other line as it was."""
    texts = source.text.split("\n")
    ends_open = texts.pop()
    whole = [text + "\n" for text in texts] + [ends_open + source.newline] * bool(ends_open)
    whole[first:last] = [line + source.newline for line in lines]
    text = "".join(whole)
    return replace(source, text=text.removesuffix(source.newline) if ends_open else text)


def _heals(view: View, finding: Finding, source: Source) -> bool:
    """True where a change takes the finding away and brings no error."""
    after = view.trial(source)
    if _errors(after) > _errors(view) - (finding.severity is Severity.ERROR):
        return False
    alike = [one for one in view.findings if _kind(one) == _kind(finding)]
    return sum(_kind(one) == _kind(finding) for one in after.findings) < len(alike)


def _kind(finding: Finding) -> tuple[str, str, str]:
    """A finding wherever it stands in its file: lines above it may have come or gone."""
    return finding.rule, finding.place.source.path, finding.message


def _errors(view: View) -> int:
    return sum(finding.severity is Severity.ERROR for finding in view.findings)
