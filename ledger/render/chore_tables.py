"""One chore as tables: its windows, its lines of the routine, its record."""

from __future__ import annotations

from ledger.render.table import Cell, Table
from ledger.render.tasks_tables import MIND_HEADERS, caution_table, mind_cells
from ledger.report.chore import About, ToCome
from ledger.report.chore_record import PastWindow


def chore_tables(about: About) -> list[Table]:
    """A row for each window of the last year and ahead; then the lines of the routine, the shares,
    the latest lines of the record, and the cautions."""
    mind = caution_table(about.cautions)
    return [_windows(about), _lines(about), _shares(about), _record(about), mind]


def _windows(about: About) -> Table:
    headers = (
        "chore", "first", "last", "fate", "days", "settled", "share of", "people", *MIND_HEADERS,
    )  # fmt: skip
    minded = mind_cells(about.cautions)
    rows = [(*_past(about.chore, one), "", "", "") for one in about.past]
    rows += [(*_to_come(about.chore, one), *minded) for one in about.ahead]
    return Table(f"{about.chore} on {about.on}: windows", headers, rows, len(MIND_HEADERS))


def _past(chore: str, one: PastWindow) -> tuple[Cell, ...]:
    people = ", ".join(one.people)
    return (chore, one.first, one.last, one.fate, one.days, one.settled, one.person or "", people)


def _to_come(chore: str, one: ToCome) -> tuple[Cell, ...]:
    people = ", ".join(one.people)
    return (chore, one.first, one.last, one.state, None, None, one.person or "", people)


def _lines(about: About) -> Table:
    headers = (
        "container", "cadence", "minutes", "areas", "form", "people", "uses", "from", "until",
        "vital", "expires", "spare", "steps", "status", "file", "line",
    )  # fmt: skip
    rows = [
        tuple(", ".join(cell) if isinstance(cell, tuple) else cell for cell in line)
        for line in about.lines
    ]
    return Table("In the book", headers, rows)


def _shares(about: About) -> Table:
    headers = (
        "share of", "state", "first", "last", "next asked", "days late", "settled", "people",
        "kept in eight weeks", "counted in them", "kept in a year", "counted in it",
    )  # fmt: skip
    rows = [
        (
            *(one.person or "", one.state, one.first, one.last, one.next_asked),
            *(one.days_late, one.settled, ", ".join(one.people)),
            *one.eight_weeks,
            *one.year,
        )
        for one in about.shares
    ]
    return Table("Where it stands", headers, rows)


def _record(about: About) -> Table:
    headers = ("date", "verb", "to", "minutes", "people", "note", "settled")
    rows = []
    for one in about.record.latest:
        fates = ", ".join(
            " ".join(filter(None, (each.person, each.fate, f"{each.days or ''}")))
            for each in one.settled
        )
        people = ", ".join(one.people)
        rows.append((one.day, one.verb, one.to, one.minutes, people, one.note, fates))
    return Table("The record, latest first", headers, rows)
