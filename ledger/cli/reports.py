"""The reports: one row for each command that asks the book and prints its answer."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

import click

from ledger.cli.common import (
    as_option,
    books_argument,
    color_option,
    finish,
    open_books,
    scope_options,
    show,
    weeks_option,
    whole_number,
)
from ledger.cli.days import day_asked, on_option
from ledger.cli.naming import resolved_name
from ledger.cli.proposing import Change, change_of, diff_of, show_change
from ledger.library import MINUTES_A_DAY, Book
from ledger.workspace import Workspace

if TYPE_CHECKING:
    from ledger.report.review import Review

Option = Callable[[Callable[..., None]], Callable[..., None]]


class Report(NamedTuple):
    """A command that reports: `render/NAME_text.py` shows what `Book.NAME` answers."""

    about: str
    """What it answers, in a few words."""
    help: str
    options: tuple[Option, ...] = ()
    """Options beside `--on` and `--as`: what `Book.NAME` takes beside a day."""
    arguments: tuple[Option, ...] = ()
    """Arguments before the books."""
    forms: tuple[str, ...] = ("csv", "markdown")
    """Forms beside text and JSON."""
    pages: tuple[str, ...] = ()
    """Those of the forms that `render/NAME_FORM.py` lays out, not tables."""
    view: tuple[Option, ...] = ()
    """Options of the text alone: what its renderer takes beside the answer."""
    proposes: Callable[[Workspace, Any], Change] | None = None
    """The change to the book that an answer is for."""


def _begun(workspace: Workspace, answer: Review) -> Change:
    """The change that begins what a review says to begin next."""
    from ledger.report.habit import to_resume
    from ledger.text.edits import resumed

    sources = (tree.source for tree in workspace.trees)
    return change_of(workspace, resumed(sources, to_resume(workspace.household, answer.advice)))


REPORTS = {
    "ahead": Report(
        "the load of the coming weeks and the year",
        """
        What the days of the weeks ahead hold against their limits, and a year of them at a glance.

        Each chore that leaves a choice of days is put on one, so that as little as possible lies
        beyond the limits and no day is heavier than it must be. What is late stands on coming
        days, as early as it fits.

        \b
        Examples:
          besom ahead                    the book in this folder, from today
          besom ahead --on monday --weeks 8
          besom ahead home/ --as svg     the year as a picture
        """,
        (weeks_option(4, "Weeks told day by day, the last of them to its end."),),
        forms=("csv", "markdown", "svg"),
    ),
    "areas": Report(
        "when each area was last cared for, and what it takes",
        """
        For each area its last care, what is next in it, and its minutes in a month.

        The minutes are those of the routine as it stands, over an average month of the year. A
        chore in two areas gives half of its minutes to each.

        \b
        Examples:
          besom areas                        the book in this folder, today
          besom areas --on sunday
          besom areas home/ --as csv         a row an area, for a spreadsheet
        """,
    ),
    "chore": Report(
        "all the book knows of one chore",
        """
        All about one chore: its lines in the book, what is next, how it was kept, its record.

        Of the minutes of its latest timed lines the middle one is shown, and between which two the
        middle half of them lies.

        \b
        Examples:
          besom chore oven                   in the book of this folder, today
          besom chore oven home/ --on 2026-03-04
          besom chore oven --as csv          a row a window, from a year back on
        """,
        arguments=(click.argument("name", metavar="CHORE"),),
    ),
    "due": Report(
        "what a day asks for",
        """
        What the plan of the week has for a day: container by container, then what is late. What
        waits for a later day, or may be let go, stands in a line below; --all shows it.

        For a day to come, all that is asked before it is taken as done.
        "By the record" is what these chores took together, by their latest timed lines: half of the
        times lie between its two figures.

        \b
        With --minutes, what is best done in them. That is the choice with
          1. most vital chores that are late or on their last day, then
          2. most chores that cannot be done later: on their last day, and they
             expire, or come round again before they are next asked, then
          3. most lateness (days late over the chore's period, added up), then
          4. most other chores in time, first those on their last day; then the
             most minutes used, then
          5. most spare chores.

        A chore is picked only with the open ones of the list that it comes after, and never two
        that must not meet. The minutes are those of all people together: a chore that three do
        counts three times. With --for, they are that person's own.

        \b
        Examples:
          besom due                          the book in this folder, today
          besom due --all --steps            with what may wait, and each step
          besom due --on tomorrow            what to take out this evening
          besom due --as markdown            a page for the fridge, with boxes to tick
          besom due --minutes 30 --for tam   what tam does best with half an hour
          besom due home/ --on friday --in kitchen --as csv
        """,
        (
            scope_options,
            click.option(
                "--minutes",
                type=whole_number(1, MINUTES_A_DAY),
                metavar="N",
                help="Only what is best done in so many minutes, and why the rest is left.",
            ),
        ),
        pages=("markdown",),
        view=(
            click.option(
                "--all", "everything", is_flag=True, help="Each chore that may wait or is done."
            ),
            click.option("--steps", is_flag=True, help="The steps of each chore too."),
        ),
    ),
    "review": Report(
        "how the week went, and what to begin or pause next",
        """
        How the week went: what was done and what slipped, where the minutes went, what next.

        A window counts on the day it was done or skipped, else on the last of its days. Kept is
        what was done, late or early too, of all but what was skipped or is still open. Where
        there is something to begin, the report ends with the change as a diff, which git apply
        takes.

        \b
        Examples:
          besom review                       this week, on a Sunday night
          besom review --on yesterday        the week that is over, on a Monday
          besom review --weeks 4             the last four together
          besom review home/ --as csv        a row a chore, for a spreadsheet
        """,
        (weeks_option(1, "How many weeks, up to the one that holds the day."),),
        proposes=_begun,
    ),
    "week": Report(
        "seven days, and what each holds",
        """
        Seven days, what each holds and its minutes, and what may wait beyond them.

        Each chore that leaves a choice of days has the day that the plan gives it. What is late is
        put on the days to come within their limits, what is vital first. While all is done as
        planned, the plan stays as it is. "tam (or noor)" proposes tam, and noor may do it too.

        For a week to come, all that is asked before it is taken as done.
        "By the record" is what these chores took together, by their latest timed lines: half of the
        times lie between its two figures.

        \b
        Examples:
          besom week                         the book in this folder, this week
          besom week --on monday             the next week, on a Sunday night
          besom week --for tam               tam's own part of it
          besom week home/ --on 2026-03-04 --in kitchen --as csv
        """,
        (scope_options,),
        pages=("markdown",),
    ),
}
"""The reports by name."""


def report_command(name: str) -> click.Command:
    """The command of a report."""
    report = REPORTS[name]

    def answer(paths: tuple[Path, ...], on: str, form: str, **parameters: Any) -> None:
        workspace = open_books(paths)
        household = workspace.household
        for what, names in (
            ("person", household.people), ("area", household.areas), ("name", household.chores),
        ):  # fmt: skip
            if what in parameters:
                parameters[what] = resolved_name(
                    "chore" if what == "name" else what, parameters[what], names
                )
        day = date.fromordinal(day_asked(on, household))
        view = {key: parameters.pop(key) for key in ("everything", "steps") if key in parameters}
        answered = getattr(Book(workspace), name)(day=day, **parameters)
        change = report.proposes(workspace, answered) if report.proposes else ()
        if change:
            answered = answered._replace(diff=diff_of(change))
        show(name, answered, form, report.pages, **view)
        if form == "text":
            show_change(change)
        finish(workspace)

    options: tuple[Option, ...] = (
        on_option, *report.options, *report.view, as_option(*report.forms), color_option,
    )  # fmt: skip
    for option in reversed((*report.arguments, books_argument, *options)):
        answer = option(answer)
    return click.command(name, help=report.help)(answer)
