"""The grid of a page of equal boxes: where they lie, before and behind, and what does not fit."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.render.paper.grid import Edge, Grid, GridFault, Place, checked, filled
from ledger.render.paper.measures import Size, read_size

millimetres = st.integers(1, 60)
sizes = st.builds(Size, millimetres, millimetres)


@st.composite
def grids(draw: st.DrawFn) -> Grid:
    """Boxes with margins and gaps of their own on each side."""
    box, columns, rows = draw(sizes), draw(st.integers(1, 5)), draw(st.integers(1, 5))
    gap = st.integers(0, 9)
    across, down = box.width + draw(gap), box.height + draw(gap)
    left, top = draw(gap), draw(gap)
    page = Size(
        left + (columns - 1) * across + box.width + draw(gap),
        top + (rows - 1) * down + box.height + draw(gap),
    )
    return Grid(page, box, columns, rows, left, top, across, down)


def cells(grid: Grid, place: Place) -> set[tuple[int, int]]:
    """The square millimetres that a box covers; all measures are whole ones."""
    return {
        (x, y)
        for x in range(int(place.left), int(place.left + grid.box.width))
        for y in range(int(place.top), int(place.top + grid.box.height))
    }


@given(grids())
def test_boxes_lie_on_their_page_and_apart(grid: Grid) -> None:
    assert checked(grid) == grid
    places = [grid.place(number) for number in range(grid.per_page)]
    covered = set().union(*(cells(grid, place) for place in places))
    assert len(covered) == grid.per_page * grid.box.width * grid.box.height
    assert all(0 <= x < grid.page.width and 0 <= y < grid.page.height for x, y in covered)
    assert places == sorted(places, key=lambda place: (place.top, place.left))
    assert grid.place(grid.per_page) == places[0]._replace(page=1)


@given(grids(), st.sampled_from(["long", "short"]))
def test_a_back_lies_behind_its_front(grid: Grid, edge: Edge) -> None:
    width, height = int(grid.page.width), int(grid.page.height)
    upright = height >= width if edge == "long" else height < width
    for number in range(grid.per_page):
        front = grid.place(number)
        through = {
            (width - 1 - x, y) if upright else (x, height - 1 - y) for x, y in cells(grid, front)
        }
        back = grid.behind(front, edge)
        assert cells(grid, back) == through
        assert grid.behind(back, edge) == front


@given(sizes, st.integers(0, 9), st.integers(0, 200), st.integers(0, 200))
def test_as_many_fit_as_can(box: Size, margin: int, more: int, higher: int) -> None:
    page = Size(2 * margin + box.width + more, 2 * margin + box.height + higher)
    grid = checked(filled(page, box, margin))
    assert min(grid.left, grid.right, grid.top, grid.bottom) >= margin
    assert grid.left == pytest.approx(grid.right)
    assert grid.top == pytest.approx(grid.bottom)
    assert grid.left + grid.right < 2 * margin + box.width
    assert grid.top + grid.bottom < 2 * margin + box.height


@given(grids())
def test_each_side_of_a_box_is_a_cut(grid: Grid) -> None:
    upright, lying = grid.cuts()
    places = [grid.place(number) for number in range(grid.per_page)]
    assert set(upright) == {p.left + side for p in places for side in (0, grid.box.width)}
    assert set(lying) == {p.top + side for p in places for side in (0, grid.box.height)}
    assert upright == sorted(set(upright))
    assert lying == sorted(set(lying))


def test_what_does_not_fit_is_told_with_figures() -> None:
    a4 = Size(210, 297)
    grid = Grid(a4, Size(70, 37), 3, 8, 0, 0.5, 70, 37)
    assert checked(grid) == grid
    for wrong, told in (
        (grid._replace(rows=9), r"9 rows need 0.5 \+ 8 x 37 \+ 37 = 333.5 mm, .* 297 mm"),
        (grid._replace(columns=1, left=150), r"1 column needs 150 \+ 70 = 220 mm, .* 210 mm"),
        (grid._replace(down=30), r"rows 30 mm apart overlap: each of them takes 37 mm"),
    ):
        with pytest.raises(GridFault, match=told):
            checked(wrong)
    with pytest.raises(GridFault, match=r"200 x 25 mm does not fit .* there are 190 x 277 mm"):
        filled(a4, Size(200, 25), 10)


@pytest.mark.parametrize(
    ("text", "width", "height"),
    [
        ("60x25mm", 60, 25), ("60mmx25", 60, 25), ("60x25", 60, 25), ("2.5inx1", 63.5, 25.4),
        ("2.5x1in", 63.5, 25.4), ("6 cm x 2", 60, 20), ("6cm x 25mm", 60, 25),
        ("60 x 2.5 cm", 600, 25),
    ],
)  # fmt: skip
def test_unit_of_one_side_counts_for_both(text: str, width: float, height: float) -> None:
    assert read_size(text) == pytest.approx((width, height))


@given(grid=grids(), count=st.integers(1, 25))
def test_part_of_a_grid_has_the_edges_of_its_boxes_only(grid: Grid, count: int) -> None:
    count = min(count, grid.per_page)
    places = [grid.place(number) for number in range(count)]
    upright, lying = grid.holding(count).cuts()
    for cuts, starts, side in (
        (upright, {place.left for place in places}, grid.box.width),
        (lying, {place.top for place in places}, grid.box.height),
    ):
        assert cuts == sorted({at for start in starts for at in (start, start + side)})
