"""From a line that cannot be read to what is said of it: the first hint whose cure reads."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

from ledger.text import (
    hint_chores,
    hint_clauses,
    hint_dates,
    hint_durations,
    hint_headers,
    hint_marks,
    hint_records,
    hint_settings,
    hint_titles,
    hint_words,
)
from ledger.text.hint_miss import (
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
from ledger.text.hint_slots import expectation
from ledger.text.parser import LineFault, kind_of
from ledger.text.source import Source

_ROUNDS = 6
_LONGEST = 160

HINTS: tuple[Callable[[Miss], Hint | None], ...] = (
    hint_marks.other_quote,
    hint_marks.open_quote,
    hint_marks.odd_blank,
    hint_marks.other_script,
    hint_words.indented,
    hint_records.moved,
    hint_dates.span,
    hint_dates.loose_date,
    hint_dates.no_date,
    hint_dates.time_behind_date,
    hint_words.emphasised,
    hint_marks.bullet,
    hint_settings.time,
    hint_durations.duration,
    hint_durations.no_unit,
    hint_durations.filler,
    hint_words.capitals,
    hint_records.no_date_first,
    hint_settings.one_a_line,
    hint_settings.limit,
    hint_records.people,
    hint_chores.people,
    hint_chores.and_in_list,
    hint_settings.week,
    hint_settings.away,
    hint_headers.cadence,
    hint_clauses.paused_behind,
    hint_words.at_the_margin,
    hint_durations.large_number,
    hint_marks.brackets,
    hint_titles.comment,
    hint_marks.stray_sign,
    hint_titles.heading,
    hint_clauses.month_day,
    hint_clauses.missing_on,
    hint_clauses.no_days_in_on,
    hint_clauses.season,
    hint_clauses.days_within,
    hint_clauses.limits_in_time,
    hint_clauses.time_of_day,
    hint_durations.signed_number,
    hint_durations.number_word,
    hint_records.verb,
    hint_records.time_in_record,
    hint_records.order,
    hint_records.skipped,
    hint_chores.each_and_names,
    hint_chores.how_often,
    hint_chores.chore_in_header,
    hint_chores.before,
    hint_chores.missing_word,
    hint_chores.article,
    hint_words.other_word,
    hint_words.misspelt,
    hint_words.glued,
    hint_durations.unit_before_word,
    hint_marks.glued_sign,
    hint_words.spoiled_name,
    hint_chores.reserved,
    hint_chores.comma,
    hint_titles.title_first,
    hint_titles.unquoted_household,
    hint_titles.name_of_words,
    hint_titles.listed,
    hint_titles.unquoted_title,
    hint_records.no_verb,
)
"""In this order: signs before words, what is sure before what is likely."""

GUESSES = frozenset(
    (
        hint_records.no_verb,
        hint_titles.comment,
        hint_titles.heading,
        hint_titles.listed,
        hint_titles.name_of_words,
        hint_titles.unquoted_title,
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
