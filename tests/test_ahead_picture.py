"""The load ahead as a picture: read back from its XML, and held to the figures it draws."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from xml.etree import ElementTree

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from test_ahead import books, days_on, report

from ledger.household.model import Household
from ledger.render.ahead_svg import STYLE, ahead_svg
from ledger.report.ahead import Ahead, ahead

SVG = "{http://www.w3.org/2000/svg}"


def picture(found: Ahead) -> ElementTree.Element:
    return ElementTree.fromstring(ahead_svg(found))


def marked(day_cell: ElementTree.Element) -> list[str]:
    return [part.get("class", "") for part in day_cell if part.tag != f"{SVG}title"]


def cells(root: ElementTree.Element) -> list[ElementTree.Element]:
    return [group for group in root.iter(f"{SVG}g") if group.get("class") == "day"]


def test_picture_has_words_for_whoever_cannot_see_it() -> None:
    found = report('household "<Rose> & \\"Co\\""', "every monday", "  x  35 min")
    root = picture(found)
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "title desc"
    title, desc = root.find(f"{SVG}title"), root.find(f"{SVG}desc")
    assert title is not None
    assert title.text == 'Ahead from Monday 2 March 2026, <Rose> & "Co"'
    assert desc is not None
    assert "The heaviest days: Monday 2 March 2026, 35 min;" in (desc.text or "")
    assert "<script" not in ahead_svg(found)


def test_every_day_has_its_mark_and_says_its_figures() -> None:
    found = report("limit monday 20 min", "away 2026-03-10 to 2026-03-11", "every monday",
                   "  x  35 min", "every tuesday", "  y  10 min")  # fmt: skip
    titles = [cell.findtext(f"{SVG}title") for cell in cells(picture(found))]
    assert len(titles) == len(found.days) == 365
    assert titles[:2] == [
        "Monday 2 March 2026: 35 min of 20 min", "Tuesday 3 March 2026: 10 min",
    ]  # fmt: skip
    assert titles[8] == "Tuesday 10 March 2026: 0 min of 0 min, away"
    assert {title.split(":")[0] for title in titles if title} == {
        f"{one.day:%A} {one.day.day} {one.day:%B %Y}" for one in found.days
    }


@settings(max_examples=25, deadline=None)
@given(books, days_on)
def test_days_over_their_limit_and_no_others_are_hatched(household: Household, on: int) -> None:
    household = household.on(on)
    found = ahead(household, on, 1)
    drawn = [marked(cell) for cell in cells(picture(found))]
    assert [("beyond" in marks) for marks in drawn] == [one.over > 0 for one in found.days]
    assert [("over" in marks) for marks in drawn] == [one.over > 0 for one in found.days]
    assert [("away" in marks) for marks in drawn] == [one.away is not None for one in found.days]
    assert [("weekend" in marks) for marks in drawn] == [one.weekend for one in found.days]
    assert [("limit" in marks) for marks in drawn] == [bool(one.limit) for one in found.days]


def test_bar_is_as_high_as_its_minutes_and_lies_inside_the_picture() -> None:
    root = picture(report("limit monday 20 min", "every monday", "  x  40 min",
                          "every tuesday", "  y  10 min"))  # fmt: skip
    first, second = cells(root)[:2]
    high = {part.get("class"): float(part.get("height", 0)) for part in (*first, *second)}
    monday = {part.get("class"): float(part.get("height", 0)) for part in first}
    assert monday["bar"] == monday["beyond"] == 2 * high["bar"]
    for shape in root.iter(f"{SVG}rect"):
        for start, length in (("x", "width"), ("y", "height")):
            end = float(shape.get(start, 0)) + float(shape.get(length, 0))
            assert end <= float(root.get(length, 0))


def in_minutes(words: str) -> int:
    hours, minutes = re.fullmatch(r"(?:(\d+) h)? ?(?:(\d+) min)?", words).groups()  # type: ignore[union-attr]
    return 60 * int(hours or 0) + int(minutes or 0)


def height_on(path: ElementTree.Element) -> float:
    """How far down a path begins."""
    return float(path.get("d", "").split()[1].partition("h")[0].partition("l")[0])


def base_lines(root: ElementTree.Element) -> set[float]:
    """How far down the rows stand."""
    return {height_on(part) for part in root.iter() if part.get("class") == "base"}


def scales(root: ElementTree.Element) -> Iterator[list[tuple[int, float]]]:
    """For each row, from above: the minutes of its lines, and how far down each line is."""
    row: list[tuple[int, float]] = []
    parts = list(root)
    for label, line in pairwise(parts):
        if line.get("class") == "scale":
            row.append((in_minutes(label.text or ""), height_on(line)))
        elif line.tag == f"{SVG}g" and line.get("class") == "day" and row:
            yield row
            row = []


@settings(max_examples=60, deadline=None)
@given(st.integers(1, 300), st.lists(st.integers(0, 900), min_size=1, max_size=7))
@example(60, [61, 240, 65])
@example(1, [2])
@example(300, [0])
def test_everything_is_true_to_the_scale_to_a_tenth_of_a_pixel(
    limit: int, loads: list[int]
) -> None:
    lines = [f"limit weekday {limit} min"]
    for place, load in enumerate(loads):
        lines += [f"every month on {place + 1}", f"  x{place}  {load} min"] if load else []
    found = report(*lines)
    root = picture(found)
    rows = list(scales(root))
    assert len(rows) == len(found.months) == 13
    step, at_step = rows[0][0]
    bases = base_lines(root)
    assert len(bases) == 13
    pixel = (min(bases) - at_step) / step
    for row, base in zip(rows, sorted(bases), strict=True):
        assert [minutes for minutes, _ in row] == [step * (n + 1) for n in range(len(row))]
        for minutes, y in row:
            assert y == pytest.approx(base - minutes * pixel, abs=0.1)
    for cell, one in zip(cells(root), found.days, strict=True):
        parts = {part.get("class"): part for part in cell}
        base = height_on(parts["base"])
        high = {kind: float(part.get("height", 0)) for kind, part in parts.items()}
        assert high.get("bar", 0) == pytest.approx((one.minutes - one.over) * pixel, abs=0.1)
        assert high.get("beyond", 0) == pytest.approx(one.over * pixel, abs=0.1)
        if one.limit:
            assert height_on(parts["limit"]) == pytest.approx(base - one.limit * pixel, abs=0.1)
        if one.over:
            tip, shape = re.fullmatch(r"M\S+ ([\d.]+)(l.*)", parts["over"].get("d", "")).groups()  # type: ignore[union-attr]
            assert shape == "l-4 -6h8z"
            assert float(tip) == pytest.approx(base - one.minutes * pixel - 2, abs=0.1)
    assert pixel * 5 >= 2.4
    assert step * pixel >= 20


def test_rows_are_as_high_as_they_need_and_lie_below_one_another() -> None:
    root = picture(report("limit weekday 1 h", "every day", "  x  30 min",
                          "once from 2026-04-08 to 2026-04-08", "  y  3 h 30 min"))  # fmt: skip
    rows = list(scales(root))
    assert [[minutes for minutes, _ in row] for row in rows[:3]] == [
        [60], [60, 120, 180, 240], [60],
    ]  # fmt: skip
    tops = [row[-1][1] for row in rows]
    bases = sorted(base_lines(root))
    assert all(top - 8 > base for top, base in zip(tops[1:], bases, strict=False))


def test_no_day_is_higher_than_a_page() -> None:
    root = picture(report("every monday", "  x  30 h"))
    bars = [part for part in root.iter(f"{SVG}rect") if part.get("class") == "bar"]
    assert max(float(bar.get("height", 0)) for bar in bars) == 480
    assert [minutes for minutes, _ in next(scales(root))] == [120 * n for n in range(1, 16)]


def light(colour: str) -> float:
    """The relative luminance of a colour as WCAG 2 defines it."""
    full = colour if len(colour) == 6 else "".join(digit * 2 for digit in colour)
    parts = [int(full[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def test_marks_and_words_stand_out_in_both_colour_schemes() -> None:
    plain, dark = STYLE.split("@media (prefers-color-scheme: dark)")
    found = dict.fromkeys(("text", "small", "paper", "bar", "ink", "over", "hatch", "limit"), "")
    for scheme in (plain, dark):
        for names, words in re.findall(r"([^{}]+){([^{}]*)}", scheme):
            for colour in re.findall(r"(?:fill|stroke): #(\w+)", words):
                found |= {name.strip(" .\n"): colour for name in names.split(",")}
        for front, back, least in (
            ("text", "paper", 4.5), ("small", "paper", 4.5), ("bar", "paper", 3), ("ink", "bar", 3),
            ("hatch", "ink", 3), ("over", "paper", 3), ("limit", "paper", 3),
        ):  # fmt: skip
            dim, bright = sorted((light(found[front]), light(found[back])))
            assert (bright + 0.05) / (dim + 0.05) >= least, (front, back)


def test_what_no_xml_may_hold_is_not_in_the_picture() -> None:
    found = report("every monday", "  x  5 min")._replace(household="a\x00b\ufffe\ud800")
    assert "a\ufffdb\ufffd\ufffd" in ahead_svg(found)
    assert len(cells(picture(found))) == 365


def test_legend_explains_the_marks_that_are_there() -> None:
    plain = ahead_svg(report("every monday", "  x  5 min"))
    assert "weekend</text>" in plain
    words = (">away<", ">beyond that<", ">day over its limit<", ">what fits in it<")
    assert not any(word in plain for word in words)
    full = ahead_svg(report("limit monday 1 min", "away 2026-03-10 to 2026-03-11",
                              "every monday", "  x  5 min"))  # fmt: skip
    assert all(word in full for word in words)
