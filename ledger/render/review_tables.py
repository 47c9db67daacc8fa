"""The review as tables: chores, containers, people, advice."""

from __future__ import annotations

from ledger.render.table import Cell, Table
from ledger.report.review import Review, Tally

TALLY = Tally._fields


def review_tables(review: Review) -> list[Table]:
    """A row for each chore of each container; then the containers, the people, and the advice."""
    return [_chores(review), _containers(review), _people(review), _advice(review)]


def _chores(review: Review) -> Table:
    headers = (
        "container", "chore", *TALLY, "timed lines", "minutes timed", "minutes in the book", "off",
    )  # fmt: skip
    rows = [(one.container, one.chore, *one.tally, *one.timed) for one in review.chores]
    return Table(f"Chores from {review.first} to {review.on}", headers, rows)


def _containers(review: Review) -> Table:
    headers = (
        "container", *TALLY, "kept in eight weeks", "counted in them", "days in the book", "habit",
    )  # fmt: skip
    rows = [
        (one.container, *one.tally, *one.eight_weeks, one.days, one.habit)
        for one in review.containers
    ]
    return Table("Containers", headers, rows)


def _people(review: Review) -> Table:
    headers = (
        "person", "minutes", "percent", "above an even share", "turns", "own turns done",
        "own turns by nobody named", "turns of others done",
    )  # fmt: skip
    rows: list[tuple[Cell, ...]] = [
        (one.person or "", one.minutes, one.percent, one.above, *one.turns) for one in review.people
    ]
    return Table("People", headers, rows)


def _advice(review: Review) -> Table:
    headers = ("advice", "container", "chore", "minutes a week", "weeks more")
    advice = review.advice
    minutes = round(advice.minutes, 1) if advice.minutes is not None else None
    row = (advice.kind, advice.container, advice.chore, minutes, advice.weeks)
    return Table("What next", headers, [row])
