"""Cures: what a finding says to write, tried out before it is offered."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple

from ledger.editor.edits import lines_of
from ledger.editor.view import View
from ledger.text.finding import Finding, Severity
from ledger.text.hints import RULE
from ledger.text.source import Source

_WRITE = re.compile(r"\b[Ww]rite `([^`]+)`")
_WHOLE = re.compile(r"\bthe line is `([^`]+)`")
_ADD = re.compile(r"\badd a line `((?:person|area) [^`]+)`")
_DELETE = re.compile(r"\bdelete `([^`]+)`")
_RECORD = re.compile(r"[0-9]{4}-")
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
        if cure.title not in told and heals(view, finding, cure.source):
            told.add(cure.title)
            yield cure


def _candidates(source: Source, finding: Finding) -> Iterator[Cure]:
    line, start, end = finding.place[1:]
    text = source.lines[line]
    indent = text[: len(text) - len(text.lstrip(" \t"))]
    for words in map(str.strip, _WRITE.findall(finding.fix)):
        title = f"Write `{words}`"
        if not _RECORD.match(words) or finding.rule == RULE:
            yield Cure(title, with_line(source, line, text[:start] + words + text[end:]))
        if finding.rule == RULE and _is_of(words, text):
            yield Cure(title, with_line(source, line, indent + words))
        elif finding.rule != RULE and not _RECORD.match(words):
            yield Cure(title, with_line(source, line, _appended(text, words)))
    for words in map(str.strip, _WHOLE.findall(finding.fix)):
        yield Cure(f"Write the line as `{words}`", with_line(source, line, indent + words))
    for words in _ADD.findall(finding.fix):
        yield _added(source, words)
    for words in _DELETE.findall(finding.fix):
        less = re.sub(rf"[ \t]*{re.escape(words)}(?![^ \t,#])", "", text, count=1)
        yield Cure(f"Delete `{words}`", with_line(source, line, less))
    if finding.rule in _DELETES_LINE:
        yield Cure("Delete this line", with_line(source, line, None))
    if finding.rule == "unused-allow":
        less = text[:start].rstrip(" \t")
        yield Cure("Delete the comment", with_line(source, line, less or None))


def _is_of(words: str, text: str) -> bool:
    """True for words that say what a whole line says: they keep most of its own."""
    own = text.replace(",", " ").split()
    kept = set(words.replace(",", " ").split())
    return 2 * sum(word in kept for word in own) > len(own)


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
    return Cure(f"Add a line `{words}`", edited(source, at, at, [words]))


def with_line(source: Source, line: int, text: str | None) -> Source:
    """A file with another line in the place of one, or with none."""
    return edited(source, line, line + 1, [] if text is None else [text])


def edited(source: Source, first: int, last: int, lines: list[str]) -> Source:
    """The file with some lines in place of others, every other line as it was."""
    whole = lines_of(source.text)
    ends_open = bool(whole) and not whole[-1].endswith("\n")
    if ends_open:
        whole[-1] += source.newline
    whole[first:last] = [line + source.newline for line in lines]
    text = "".join(whole)
    return replace(source, text=text.removesuffix(source.newline) if ends_open else text)


def heals(view: View, finding: Finding, source: Source, only_errors: bool = True) -> bool:
    """True where a change takes a finding away and brings none: no error, or none at all; nor
    takes a chore along with it.

    What a line says that could not be read before may be at fault in its turn.
    """
    after = view.trial(source)
    before, now = _counted(view.findings), _counted(after.findings)
    if now[_kind(finding)] >= before[_kind(finding)]:
        return False
    if not view.household.chores.keys() <= after.household.chores.keys():
        return False
    brought = now - before
    if finding.rule == RULE:
        path, line = finding.place.source.path, finding.place.line
        brought -= _counted(
            one
            for one in after.findings
            if one.rule != RULE and (one.place.source.path, one.place.line) == (path, line)
        )
    return not any(kind.severity is Severity.ERROR or not only_errors for kind in brought)


class _Kind(NamedTuple):
    """A finding wherever it stands in its file: lines above it may have come or gone."""

    rule: str
    severity: Severity
    path: str
    message: str


def _kind(finding: Finding) -> _Kind:
    return _Kind(finding.rule, finding.severity, finding.place.source.path, finding.message)


def _counted(findings: Iterable[Finding]) -> Counter[_Kind]:
    return Counter(map(_kind, findings))
