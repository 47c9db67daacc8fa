"""From a line that cannot be read to what is said of it: the first hint whose cure reads."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

import ledger.text.hints.chores as chores
import ledger.text.hints.clauses as clauses
import ledger.text.hints.dates as dates
import ledger.text.hints.durations as durations
import ledger.text.hints.headers as headers
import ledger.text.hints.marks as marks
import ledger.text.hints.records as records
import ledger.text.hints.settings as settings
import ledger.text.hints.titles as titles
import ledger.text.hints.words as words
from ledger.text.hints.miss import (
    Edit,
    Hint,
    Miss,
    applied,
    dated,
    facts,
    fault_of,
    gets_past,
    reads,
)
from ledger.text.hints.slots import expectation
from ledger.text.parser import LineFault, kind_of
from ledger.text.source import Source

_ROUNDS = 6
_LONGEST = 160

HINTS: tuple[Callable[[Miss], Hint | None], ...] = (
    marks.other_quote,
    marks.open_quote,
    marks.odd_blank,
    marks.other_script,
    words.indented,
    records.moved,
    dates.span,
    dates.loose_date,
    dates.no_date,
    dates.time_behind_date,
    words.emphasised,
    marks.bullet,
    settings.time,
    durations.duration,
    durations.no_unit,
    durations.filler,
    words.capitals,
    records.no_date_first,
    settings.one_a_line,
    settings.limit,
    records.people,
    chores.people,
    chores.and_in_list,
    settings.week,
    settings.away,
    headers.cadence,
    clauses.paused_behind,
    words.at_the_margin,
    durations.large_number,
    marks.brackets,
    titles.comment,
    marks.stray_sign,
    titles.heading,
    clauses.month_day,
    clauses.missing_on,
    clauses.no_days_in_on,
    clauses.season,
    clauses.days_within,
    clauses.limits_in_time,
    clauses.time_of_day,
    durations.signed_number,
    durations.number_word,
    records.verb,
    records.time_in_record,
    records.order,
    records.skipped,
    chores.each_and_names,
    chores.how_often,
    chores.chore_in_header,
    chores.before,
    chores.missing_word,
    chores.article,
    words.other_word,
    words.misspelt,
    words.glued,
    durations.unit_before_word,
    marks.glued_sign,
    words.spoiled_name,
    chores.reserved,
    chores.comma,
    titles.title_first,
    titles.unquoted_household,
    titles.name_of_words,
    titles.listed,
    titles.unquoted_title,
    records.no_verb,
)
"""In this order: signs before words, what is sure before what is likely."""

GUESSES = frozenset(
    (
        records.no_verb,
        titles.comment,
        titles.heading,
        titles.listed,
        titles.name_of_words,
        titles.unquoted_title,
    )
)
"""Hints that are too free to mend a second slip with, unseen."""


class Advice(NamedTuple):
    """What is said of a line: a message, a fix, the stretch to mark, and what the line would be."""

    message: str
    fix: str
    begin: int
    end: int
    kind: str
    """The grammar's start symbol for the line that was meant."""


def advise(miss: Miss) -> Advice:
    """The advice for a line."""
    for hint in HINTS:
        found = hint(miss)
        if found is not None:
            advice = _settled(miss, found)
            if advice is not None:
                return advice
    last = expectation(miss)
    return _settled(miss, last) or Advice(last.message, "write it anew", *miss.mark, miss.start)


def _settled(miss: Miss, hint: Hint) -> Advice | None:
    """A hint as advice, or None where one of its cures does not read."""
    begin, end = miss.mark
    end = max(end, hint.end)
    fix, kind, counts = hint.fix, miss.start, False
    several = len(hint.edits) > 1 and not reads(applied(miss.text, hint.edits[0]))
    for number, edit in enumerate(hint.edits):
        if not gets_past(miss.text, edit):
            return None
        line = plain = mended(miss.source, applied(miss.text, edit))
        if plain is not None:
            line = dated(plain, facts(miss.source).date).rstrip(" \t")
        exact = not (hint.whole or several) and (edit.begin, edit.end) == (begin, end)
        words = edit.new.strip(" \t")
        if len(words) > _LONGEST:
            return None
        if exact and words:
            fix = fix.replace("{}", f"`{words}`", 1)
            if line is not None and not reads(applied(miss.text, edit)):
                fix += f"; with its other slips mended, the line is `{line}`"
        elif line is not None and len(line) <= _LONGEST:
            fix = fix.replace("{}", f"`{line}`", 1)
        elif words:
            fix = fix.replace("{}", f"`{words}`", 1)
        else:
            return None
        if number == 0 and line is not None:
            kind = kind_of(line)
        counts = counts or (
            line is not None and plain is not None and len(line) > len(plain) and line in fix
        )
    fix += "; let `from` name a date on which it falls" if counts else ""
    return Advice(_QUOTED.sub(_shortened, hint.message), fix, begin, end, kind)


_QUOTED = re.compile(r'"([^"]{41,})"')


def _shortened(said: re.Match[str]) -> str:
    return f'"{said[1][:39]}…"'


def mended(source: Source, line: str) -> str | None:
    """The line with all its slips mended, if they can be; None if not."""
    for _ in range(_ROUNDS):
        words = line.strip(" \t")
        if not words or words[0] == "#":
            return line if words else None
        fault = fault_of(line)
        if fault is None:
            return line
        if not isinstance(fault, LineFault):
            return None
        edit = _first_edit(Miss(source, line, kind_of(line), fault))
        if edit is None:
            return None
        line = applied(line, edit)
    return line if reads(line) else None


def _first_edit(miss: Miss) -> Edit | None:
    for hint in HINTS:
        found = hint(miss) if hint not in GUESSES else None
        if found is not None and found.edits and gets_past(miss.text, found.edits[0]):
            return found.edits[0]
    return None
