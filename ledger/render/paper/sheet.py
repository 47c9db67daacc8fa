"""The sheet: the whole routine on a page, to cut out for a planner."""

from __future__ import annotations

from typing import Any, NamedTuple

from ledger.household.things import LAST_WORD
from ledger.render.paper.contents import (
    Marks,
    cadence_of,
    cautions_of,
    container_data,
    marks_of,
    minutes_of,
    remarks,
)
from ledger.render.paper.holes import Holes
from ledger.render.paper.measures import PAGES, MeasureFault, Size
from ledger.report.routine import Routine, RoutineChore, RoutineContainer, RoutineLimit
from ledger.text.words import duration

LEAST = Size(70, 70)
"""A page must have it, for the bar of 50 mm beside the holes and the margins."""


class Place(NamedTuple):
    """A page on the paper that it is printed on."""

    page: Size
    paper: Size
    holes: Holes | None
    pages: int

    @property
    def margin(self) -> float:
        """Millimetres between the edge of the page and the text."""
        return round(min(10, max(5, min(self.page) * 0.045)), 1)


def paper_for(page: Size) -> Size:
    """The paper that a page is printed on where nobody says it: A4 or letter, to cut it out of;
    the page itself if it is as large as these."""
    usual = PAGES["letter"] if page == PAGES["half-letter"] else PAGES["A4"]
    return page if page == PAGES["letter"] else _held_by(usual, page) or page


def place_on(page: Size, paper: Size, holes: Holes | None, pages: int) -> Place:
    """A page on a paper, which is turned if the page fits only so. Raises MeasureFault."""
    if page.width < LEAST.width or page.height < LEAST.height:
        raise MeasureFault(f"a page of {page} is too small for a routine; {LEAST} is the least")
    held = _held_by(paper, page)
    if held is None:
        raise MeasureFault(f"a page of {page} does not fit on a paper of {paper}")
    return Place(page, held, holes, pages)


def _held_by(paper: Size, page: Size) -> Size | None:
    """The paper, lying or standing, if it holds a page."""
    fitting = (
        one
        for one in (paper, paper.turned)
        if page.width <= one.width and page.height <= one.height
    )
    return next(fitting, None)


def sheet_data(routine: Routine, place: Place) -> dict[str, Any]:
    """What the template of the sheet prints."""
    marks = marks_of(routine.containers)
    left = place.margin if place.holes is None else max(place.margin, place.holes.margin)
    return {
        "title": routine.household or "Our routine",
        "page": place.page._asdict(),
        "paper": place.paper._asdict(),
        "margin": {"left": left, "rest": place.margin},
        "holes": None if place.holes is None else place.holes._asdict(),
        "pages": place.pages,
        "sections": [_section(one, marks) for one in routine.containers],
        "areas": [{"number": one.number, "title": one.title} for one in routine.areas],
        "people": [{"mark": mark, "name": name} for name, mark in marks.by_name.items()],
        "limits": [_limit(one) for one in routine.limits],
        "cautions": [
            {"thing": one.thing, "words": f"{one.caution} ({one.source})"}
            for one in cautions_of(routine.containers)
        ],
        "last_word": LAST_WORD,
    }


def _section(one: RoutineContainer, marks: Marks) -> dict[str, Any]:
    cadence = cadence_of(one)
    return {
        **container_data(one),
        "chores": [_chore(chore, cadence, marks) for chore in one.chores],
    }


def _chore(chore: RoutineChore, cadence: str, marks: Marks) -> dict[str, Any]:
    return {
        "title": chore.title,
        "minutes": minutes_of(chore),
        "areas": [area.number for area in chore.areas],
        "who": marks.who(chore.line),
        "remarks": remarks(chore, cadence),
        "cautions": [one.thing for one in chore.cautions],
    }


def _limit(one: RoutineLimit) -> dict[str, str]:
    words = [word for word in (one.person, one.kind) if word]
    return {"of": " ".join(words), "minutes": duration(one.minutes)}
