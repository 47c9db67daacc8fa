"""Advice on an unreadable line: the first hint whose edits get the reader further."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import NamedTuple

import ledger.text.hints.absences as absences
import ledger.text.hints.chores as chores
import ledger.text.hints.clauses as clauses
import ledger.text.hints.dates as dates
import ledger.text.hints.day_lists as day_lists
import ledger.text.hints.doings as doings
import ledger.text.hints.durations as durations
import ledger.text.hints.flags as flags
import ledger.text.hints.headers as headers
import ledger.text.hints.limits as limits
import ledger.text.hints.lists as lists
import ledger.text.hints.marks as marks
import ledger.text.hints.month_days as month_days
import ledger.text.hints.named_days as named_days
import ledger.text.hints.no_cadences as no_cadences
import ledger.text.hints.once as once
import ledger.text.hints.people as people
import ledger.text.hints.records as records
import ledger.text.hints.relative as relative
import ledger.text.hints.settings as settings
import ledger.text.hints.spans as spans
import ledger.text.hints.steps as steps
import ledger.text.hints.titles as titles
import ledger.text.hints.words as words
from ledger.text.hints.facts import facts
from ledger.text.hints.misread import LONGEST, Hint, Misread
from ledger.text.hints.offered import as_declared, in_columns
from ledger.text.hints.reading import Edit, applied, dated, fault_of, gets_past, reads
from ledger.text.hints.slots import expectation
from ledger.text.parser import LineFault, kind_of
from ledger.text.source import Source

_ROUNDS = 6

HINTS: tuple[Callable[[Misread], Hint | None], ...] = (
    marks.other_quote,
    marks.open_quote,
    marks.odd_blank,
    marks.other_script,
    words.indented,
    *records.MOVED,
    doings.not_done,
    doings.time_left,
    doings.doings,
    *chores.DAYS_OF_A_CHORE,
    *chores.BY_A_DAY,
    once.deadline,
    *dates.SPAN,
    dates.slashed,
    dates.loose_date,
    relative.relative_date,
    spans.no_date,
    records.TIMES[0],
    steps.step,
    steps.bare_step,
    marks.EMPHASISED,
    marks.BULLET,
    settings.TIME,
    durations.duration,
    durations.no_unit,
    durations.FILLER,
    words.capitals,
    records.no_date_first,
    settings.one_a_line,
    lists.chores_in_a_line,
    lists.titled,
    lists.joined,
    people.WHEN_AWAY,
    people.POSSESSIVE,
    people.who_did,
    people.who_does,
    limits.limit,
    *chores.AND_IN_LIST,
    settings.week,
    absences.open_behind,
    absences.absence,
    *named_days.CADENCES,
    named_days.named_days,
    headers.flag_first,
    no_cadences.several_a_day,
    no_cadences.of_term,
    headers.cadence,
    *clauses.ORDER,
    words.at_the_margin,
    durations.large_number,
    *marks.BRACKETS,
    *titles.COMMENT,
    *marks.STRAY_SIGN,
    titles.HEADING,
    *month_days.MONTH_DAY,
    *clauses.IN_A_ROW,
    month_days.MISSING_ON,
    *flags.SLIPS,
    month_days.AFTER_A_DAY,
    *clauses.NO_DAYS_IN_ON,
    day_lists.NOT_BEHIND_COMMA,
    day_lists.day_list,
    *clauses.SEASON,
    *clauses.DAYS_WITHIN,
    once.once,
    *clauses.LIMITS_IN_TIME,
    spans.month_for_date,
    clauses.TIME_OF_DAY,
    durations.SIGNED_NUMBER,
    durations.number_word,
    records.NO_COMMA,
    records.verb,
    records.TIMES[1],
    *records.ORDER,
    *records.SKIPPED,
    lists.WITH_SOMEONE,
    chores.EACH_OF,
    chores.how_often,
    chores.IN_HEADER,
    chores.BEFORE,
    *chores.MISSING_WORD,
    chores.ARTICLE,
    words.other_word,
    words.misspelt,
    named_days.unknown_days,
    words.glued,
    durations.UNIT_BEFORE_WORD,
    *marks.GLUED_SIGN,
    words.spoiled_name,
    *chores.RESERVED,
    *chores.COMMA,
    titles.title_first,
    lists.chore_of_words,
    titles.HOUSEHOLD,
    lists.name_of_words,
    lists.listed,
    titles.unquoted_title,
    records.NO_VERB,
)
"""The order of trying: signs before words, what is sure before what is likely."""

GUESSES = frozenset(
    (
        records.NO_VERB,
        named_days.NO_DAYS_IN_DAYS,
        *titles.COMMENT,
        titles.HEADING,
        lists.name_of_words,
        titles.unquoted_title,
    )
)
"""Hints that guess too freely to fix a second slip unseen."""


LEFT_OUT = (chores.how_often, chores.BEFORE)
"""Hints that leave out what must be said in another line: a person has to see it go."""


class Cure(NamedTuple):
    """A fix of a line, as it is offered."""

    title: str
    edit: Edit
    solves: bool
    """False where it holds an example that a person has to replace."""


class Advice(NamedTuple):
    """The advice on a line: a message, a fix, the part to mark, and the kind of line that was
    meant."""

    message: str
    fix: str
    begin: int
    end: int
    kind: str
    """The grammar's start symbol for the line that was meant."""
    cures: tuple[Cure, ...] = ()


class _Shown(NamedTuple):
    """What a fix shows for one edit: the text to type, and the line that results."""

    words: str
    besides: str
    """Text to add to the fix where typing the words is not enough."""
    cure: Cure | None
    line: str | None
    """The line with its other slips fixed and the `from` that `every N` needs; None where they
    cannot be fixed."""
    is_counted: bool
    """True where that `from` was added."""


def advise(miss: Misread) -> Advice:
    """The advice for a line."""
    for find in HINTS:
        hint = find(miss)
        if hint is not None:
            advice = _advice_of(miss, hint)
            if advice is not None:
                return advice
    last = expectation(miss)
    return _advice_of(miss, last) or Advice(last.message, "write it anew", *miss.mark, miss.start)


def _advice_of(miss: Misread, hint: Hint) -> Advice | None:
    """A hint as advice, or None where one of its edits gets the reader no further."""
    begin, end = miss.mark
    end = max(end, hint.end)
    several = len(hint.edits) > 1 and not reads(applied(miss.text, hint.edits[0]))
    stretch = None if hint.whole or several else (begin, end)
    fix, all_shown, is_counted = hint.fix, list[_Shown](), False
    for edit in hint.edits:
        shown = _shown(miss, edit, stretch, hint) if gets_past(miss.text, edit) else None
        if shown is None:
            return None
        fix = fix.replace("{}", f"`{shown.words}`", 1) + shown.besides
        is_counted = is_counted or (shown.is_counted and str(shown.line) in fix)
        all_shown.append(shown)
    fix += "; let `from` name a date on which it falls" if is_counted else ""
    kind = kind_of(all_shown[0].line) if all_shown and all_shown[0].line else miss.start
    cures = _cures(miss, hint, all_shown)
    return Advice(_QUOTED.sub(_shortened, hint.message), fix, begin, end, kind, cures)


def _shown(miss: Misread, edit: Edit, stretch: tuple[int, int] | None, hint: Hint) -> _Shown | None:
    """What to type for an edit: its words where the edit covers `stretch`, else the whole line.

    Where the line is too long or unknown, its words after all; None where they are empty or too
    long.
    """
    changed = applied(miss.text, edit)
    line, is_counted = mended(miss.source, changed), False
    if line is not None:
        known = facts(miss.source)
        counted = dated(line, miss.date)
        is_counted = counted != line
        line = as_declared(counted, known).rstrip(" \t")
        line = in_columns(line) if hint.in_columns else line
    words, whole = edit.new.strip(" \t"), Edit(0, len(miss.text), line or "")
    cure = Cure(f"Write `{words}`", edit, True) if reads(changed) else None
    if len(words) > LONGEST:
        return None
    if words and (edit.begin, edit.end) == stretch:
        besides = ""
        if line is not None and not reads(changed):
            besides = f"; with its other slips mended, the line is `{line}`"
            cure = Cure(f"Write the line as `{line.strip()}`", whole, True)
        return _Shown(words, besides, cure, line, is_counted)
    if line is not None and len(line) <= LONGEST:
        cure = Cure(f"Write `{line.strip()}`", edit if line == changed else whole, True)
        return _Shown(line, "", cure, line, is_counted)
    return _Shown(words, "", cure, line, is_counted) if words else None


def _cures(miss: Misread, hint: Hint, all_shown: list[_Shown]) -> tuple[Cure, ...]:
    cures = [shown.cure for shown in all_shown if shown.cure is not None]
    if hint.lines > len(all_shown):
        return ()
    if hint.lines:
        lines = [shown.words for shown in all_shown]
        title = "Write " + " and ".join(f"`{line.strip()}`" for line in lines)
        new = facts(miss.source).newline.join(lines)
        cures = [Cure(title, Edit(0, len(miss.text), new), True)]
    return tuple(cure._replace(solves=not hint.is_example) for cure in cures)


_QUOTED = re.compile(r'(?<!\S)"([^"]{41,})"')


def _shortened(match: re.Match[str]) -> str:
    return f'"{match[1][:39]}…"'


def mended(source: Source, line: str) -> str | None:
    """The line with all its slips fixed; None where they cannot be."""
    for _ in range(_ROUNDS):
        words = line.strip(" \t")
        if not words or words[0] == "#":
            return line if words else None
        fault = fault_of(line)
        if fault is None:
            return line
        if not isinstance(fault, LineFault):
            return None
        edit = _first_edit(Misread(source, line, kind_of(line), fault))
        if edit is None:
            return None
        line = applied(line, edit)
    return line if reads(line) else None


def _first_edit(miss: Misread) -> Edit | None:
    for find in HINTS:
        hint = find(miss) if find not in GUESSES else None
        if hint is not None and (find in LEFT_OUT or hint.lines):
            return None
        if hint is not None and hint.edits and gets_past(miss.text, hint.edits[0]):
            return hint.edits[0]
    return None
