"""The sheet: the whole routine on a page, to cut out for a planner."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any, NamedTuple

from ledger.household.things import LAST_WORD
from ledger.render.paper.contents import (
    NO_MINUTES,
    Marks,
    cautions_of,
    container_data,
    marks_of,
    minutes_of,
    remarks,
    shares_of,
)
from ledger.render.paper.holes import Holes
from ledger.render.paper.measures import PAGES, MeasureFault, Size
from ledger.report.routine import Routine, RoutineChore, RoutineContainer, RoutineLimit
from ledger.text.words import duration

LEAST = Size(80, 80)
"""A page must have it, for the bar of 50 mm beside the holes and the margins."""


class SheetPage(NamedTuple):
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


def place_on(page: Size, paper: Size, holes: Holes | None, pages: int) -> SheetPage:
    """A page on a paper, which is turned if the page fits only so. Raises MeasureFault."""
    if page.width < LEAST.width or page.height < LEAST.height:
        raise MeasureFault(f"a page of {page} is too small for a routine; {LEAST} is the least")
    held = _held_by(paper, page)
    if held is None:
        raise MeasureFault(f"a page of {page} does not fit on a paper of {paper}")
    return SheetPage(page, held, holes, pages)


def _held_by(paper: Size, page: Size) -> Size | None:
    """The paper, lying or standing, if it holds a page."""
    fitting = (
        one
        for one in (paper, paper.turned)
        if page.width <= one.width and page.height <= one.height
    )
    return next(fitting, None)


def sheet_data(routine: Routine, on: SheetPage) -> dict[str, Any]:
    """What the template of the sheet prints."""
    marks = marks_of(routine)
    left = on.margin if on.holes is None else max(on.margin, on.holes.margin)
    return {
        "title": routine.household or "Our routine",
        "page": on.page._asdict(),
        "paper": on.paper._asdict(),
        "margin": {"left": left, "rest": on.margin},
        "holes": None if on.holes is None else on.holes._asdict(),
        "pages": on.pages,
        "sections": [_section(one, marks) for one in routine.containers],
        "areas": [{"number": one.number, "title": one.title} for one in routine.areas],
        "people": [{"mark": mark, "name": name} for name, mark in marks.by_name.items()],
        "limits": [_limit(one) for one in routine.limits],
        "signs": list(_signs(routine.containers)),
        "cautions": [
            {"thing": one.thing, "words": f"{one.caution} ({one.source})"}
            for one in cautions_of(routine.containers)
        ],
        "last_word": LAST_WORD,
    }


def _section(one: RoutineContainer, marks: Marks) -> dict[str, Any]:
    return {
        **container_data(one),
        "chores": [_chore(chore, one, marks) for chore in one.chores],
    }


def _chore(chore: RoutineChore, container: RoutineContainer, marks: Marks) -> dict[str, Any]:
    return {
        "title": chore.title,
        "minutes": minutes_of(chore, container),
        "areas": [area.number for area in chore.areas],
        "who": marks.who(chore.line),
        "remarks": remarks(chore, container),
        "cautions": [one.thing for one in chore.cautions],
    }


def _limit(one: RoutineLimit) -> dict[str, str]:
    words = [one.person, one.kind or "any day"] if one.person else [one.kind or "any day"]
    return {"of": ", ".join(words), "minutes": duration(one.minutes)}


def _signs(containers: Iterable[RoutineContainer]) -> Iterator[dict[str, str]]:
    """What the signs and words beside the chores mean, of those that occur."""
    chores = [chore for one in containers for chore in one.chores]
    lines = [chore.line for chore in chores]
    several = next((one for one in chores if one.shares > 1 and one.line.minutes), None)
    if several is not None:
        words = f"{several.shares} people, {several.line.minutes} min each"
        yield {"sign": shares_of(several), "words": words}
    if any(line.minutes is None for line in lines):
        yield {"sign": NO_MINUTES, "words": "minutes not known"}
    if any(line.vital for line in lines):
        yield {"sign": "vital", "words": "on days of rest too"}
    if any(line.spare for line in lines):
        yield {"sign": "spare", "words": "only when time is left, in no total"}
