"""Fixes that are certain: what `besom lint --fix` does to a file."""

from __future__ import annotations

from dataclasses import replace

from ledger.household.model import Household
from ledger.lint.engine import allowances
from ledger.schedule.minutes import differs, learned_minutes
from ledger.text.tree import ChoreLine, Line, Placed, Record, Tree


def without_repeats(tree: Tree) -> Tree:
    """The file without record lines that stand word for word on their date already.

    A line that a comment allows to stand twice stays.
    """
    allowed = {one.line for one in allowances(tree) if one.rule == "repeated-line" and one.holds}
    record, kept = tree.record, Record(kinds=tree.record.kinds)
    seen = set()
    for number, date, entry in zip(record.numbers, record.dates, record.entries, strict=True):
        # Comments are facts too: only a line that says nothing else may go.
        comment = entry.comment.value if entry.comment else ""
        key = (date, entry, comment)
        if key in seen and number not in allowed:
            continue
        seen.add(key)
        kept.numbers.append(number)
        kept.dates.append(date)
        kept.entries.append(entry)
    return replace(tree, record=kept)


def with_learned_minutes(tree: Tree, household: Household, day: int) -> Tree:
    """The file with the learned figure for each chore whose declared minutes have drifted.

    Of a chore with several lines, those in force on the day.
    """
    return replace(tree, lines=tuple(_learned(line, tree, household, day) for line in tree.lines))


def _learned(line: Line, tree: Tree, household: Household, day: int) -> Line:
    node = line.node
    if not isinstance(node, ChoreLine) or node.minutes is None:
        return line
    chore = household.chores.get(node.name.value)
    in_force = chore is not None and any(
        routine.place.line == line.number
        and routine.place.source is tree.source
        and (routine.first is None or routine.first <= day)
        and (routine.last is None or day <= routine.last)
        for routine in chore.routines
    )
    learned = learned_minutes(household.log, node.name.value, day)
    if not in_force or learned is None or not differs(node.minutes.value, learned.minutes):
        return line
    minutes = Placed(max(1, round(learned.minutes)), node.minutes.start, node.minutes.end)
    return replace(line, node=node._replace(minutes=minutes))
