"""Labels: what the label of each container says, and where it lies on a page."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from ledger.render.paper.contents import container_data, minutes_of, remarks
from ledger.render.paper.grid import Grid
from ledger.render.paper.measures import MeasureFault, Size
from ledger.report.routine import RoutineChore, RoutineContainer

LABEL = Size(70, 40)
"""The label of a jar's side where a call gives no measures."""
MARGIN = 10.0
"""Millimetres around the labels of a page: for cut marks, and for what printers cannot reach."""
_LEAST, _LEAST_LID = Size(30, 18), 35.0
_LEAST_PAGE = 84.0
"""The width of a page, for the bar of 50 mm with its words inside the margins."""


def check_label(size: Size) -> Size:
    """The same size. Raises MeasureFault if it is too small for a label."""
    if size.width < _LEAST.width or size.height < _LEAST.height:
        raise MeasureFault(f"{size} is too small for a label; the least is {_LEAST}")
    return size


def check_lid(diameter: float) -> Size:
    """The square around a lid. Raises MeasureFault if it is too small for a label."""
    if diameter < _LEAST_LID:
        raise MeasureFault(
            f"{diameter:g} mm is too small for a lid; the least is {_LEAST_LID:g} mm"
        )
    return Size(diameter, diameter)


def check_page(page: Size) -> Size:
    """The same page. Raises MeasureFault if it is too narrow."""
    if page.width < _LEAST_PAGE:
        raise MeasureFault(
            f"a page of {page} is too narrow: the bar of 50 mm needs {_LEAST_PAGE:g} mm"
        )
    return page


def labels_data(
    household: str | None,
    containers: Sequence[RoutineContainer],
    grid: Grid,
    is_round: bool,
    is_ready: bool,
    skip: int,
) -> dict[str, Any]:
    """What the template of labels prints. Ready labels have no marks to cut by; `skip` of them are
    gone from the first page."""
    return {
        "title": household or "Labels",
        "page": grid.page._asdict(),
        "box": grid.box._asdict(),
        "round": is_round,
        "ready": is_ready,
        "bar": grid.bar(_LEAST_PAGE),
        "labels": [
            {**container_data(one), "chores": [_chore(chore, one) for chore in one.chores]}
            for one in containers
        ],
        "pages": list(_pages(len(containers), grid, skip)),
    }


def _chore(chore: RoutineChore, container: RoutineContainer) -> dict[str, Any]:
    return {
        "title": chore.title,
        "minutes": minutes_of(chore, container),
        "remarks": remarks(chore, container, ["spare"]),
        "cautions": [one.thing for one in chore.cautions],
    }


def _pages(count: int, grid: Grid, skip: int) -> Iterator[dict[str, Any]]:
    """The pages, each with its labels and, where some lie edge to edge, where to cut."""
    places = [grid.place(skip + number) for number in range(count)]
    for page in range(places[-1].page + 1):
        on_it = [(number, at) for number, at in enumerate(places) if at.page == page]
        upright, lying = grid.holding(len(on_it)).cuts()
        yield {
            "boxes": [{"label": number, "left": at.left, "top": at.top} for number, at in on_it],
            "upright": upright,
            "lying": lying,
        }
