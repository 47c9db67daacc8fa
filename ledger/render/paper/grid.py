"""Grid: a page of equal boxes in rows and columns, and where each of them lies."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Literal, NamedTuple

from ledger.render.paper.measures import Size

Edge = Literal["long", "short"]
"""The edge of the page around which a printer turns it over."""

_SLACK = 0.01
"""Millimetres that the sum of some measures may exceed a page by: those in inches are rounded."""


_BAR_MARGIN = 5.0
"""Millimetres of a margin that holds a bar of 50 mm with its words."""
_FROM_EDGE = 5.5
"""Where the bar lies in a wide margin, in millimetres from the edge of the page."""


class GridFault(ValueError):
    """Boxes do not fit their page; the message says by how much."""


class Place(NamedTuple):
    """Where a box lies."""

    page: int
    """From 0."""
    left: float
    """From the left edge of the page to the box, in millimetres."""
    top: float
    """From the upper edge of the page to the box, in millimetres."""


class Grid(NamedTuple):
    """Equal boxes on a page; all measures are millimetres."""

    page: Size
    box: Size
    columns: int
    rows: int
    left: float
    """From the left edge of the page to the first column."""
    top: float
    """From the upper edge of the page to the first row."""
    across: float
    """From the left edge of a column to that of the next."""
    down: float
    """From the upper edge of a row to that of the next."""

    @property
    def per_page(self) -> int:
        """How many boxes are on a page."""
        return self.columns * self.rows

    @property
    def right(self) -> float:
        """From the last column to the right edge of the page."""
        return self.page.width - self.left - (self.columns - 1) * self.across - self.box.width

    @property
    def bottom(self) -> float:
        """From the last row to the lower edge of the page."""
        return self.page.height - self.top - (self.rows - 1) * self.down - self.box.height

    def holding(self, count: int) -> Grid:
        """The part of it that the first boxes of a page take, so many of them."""
        return self._replace(
            columns=min(count, self.columns), rows=min(-(-count // self.columns), self.rows)
        )

    def place(self, number: int) -> Place:
        """Where a box lies. They are counted from 0, row by row, page after page."""
        page, rest = divmod(number, self.per_page)
        row, column = divmod(rest, self.columns)
        return Place(page, self.left + column * self.across, self.top + row * self.down)

    def bar(self, width: float) -> float | None:
        """Where a bar of 50 mm lies that is so wide with all beside it, from the upper edge of the
        page; None if no margin has room."""
        if self.page.width < width:
            return None
        if self.bottom >= _BAR_MARGIN:
            return self.page.height - min(_FROM_EDGE, self.bottom / 2)
        return min(_FROM_EDGE, self.top / 2) if self.top >= _BAR_MARGIN else None

    def behind(self, place: Place, edge: Edge) -> Place:
        """Where the back of a box lies on the back of its page.

        A printer turns a page around an edge: what is on the left is on the right then if that edge
        stands upright, and what is above is below if it lies.
        """
        if is_upright(self.page, edge):
            return place._replace(left=self.page.width - place.left - self.box.width)
        return place._replace(top=self.page.height - place.top - self.box.height)

    def cuts(self) -> tuple[list[float], list[float]]:
        """Where to cut: from the left edge of the page, and from the upper edge; each once."""
        return (
            _edges(self.left, self.across, self.box.width, self.columns),
            _edges(self.top, self.down, self.box.height, self.rows),
        )


def is_upright(page: Size, edge: Edge) -> bool:
    """True if an edge of a page stands upright. Of a square, the long one does."""
    return (page.height >= page.width) == (edge == "long")


def checked(grid: Grid) -> Grid:
    """The same grid. Raises GridFault where boxes overlap, or lie beyond their page."""
    for pitch, side, what in (
        (grid.across, grid.box.width, "columns"),
        (grid.down, grid.box.height, "rows"),
    ):
        if pitch < side - _SLACK:
            raise GridFault(f"{what} {pitch:g} mm apart overlap: each of them takes {side:g} mm")
    for count, what, before, pitch, side, rest, whole in (
        (grid.columns, "column", grid.left, grid.across, grid.box.width, grid.right,
         grid.page.width),
        (grid.rows, "row", grid.top, grid.down, grid.box.height, grid.bottom, grid.page.height),
    ):  # fmt: skip
        if rest < -_SLACK:
            steps = f"{count - 1} x {pitch:g} + " if count > 1 else ""
            needing = f"1 {what} needs" if count == 1 else f"{count} {what}s need"
            raise GridFault(
                f"{needing} {before:g} + {steps}{side:g} = {whole - rest:g} mm, and the page has "
                f"{whole:g} mm"
            )
    return grid


def filled(page: Size, box: Size, margin: float) -> Grid:
    """As many boxes as fit on a page inside its margins, edge to edge, in its middle.

    Raises GridFault if not even one does.
    """
    room = Size(page.width - 2 * margin, page.height - 2 * margin)
    columns = int((room.width + _SLACK) // box.width)
    rows = int((room.height + _SLACK) // box.height)
    if columns < 1 or rows < 1:
        raise GridFault(
            f"{box} does not fit on a page of {page}: inside its margins of {margin:g} mm "
            f"there are {max(0, room.width):g} x {max(0, room.height):g} mm"
        )
    return Grid(
        page,
        box,
        columns,
        rows,
        left=(page.width - columns * box.width) / 2,
        top=(page.height - rows * box.height) / 2,
        across=box.width,
        down=box.height,
    )


def _edges(first: float, pitch: float, side: float, count: int) -> list[float]:
    def both() -> Iterator[float]:
        for number in range(count):
            yield first + number * pitch
            yield first + number * pitch + side

    edges: list[float] = []
    for edge in both():
        if not edges or edge - edges[-1] > _SLACK:
            edges.append(edge)
    return edges
