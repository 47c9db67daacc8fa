"""The load ahead as a picture (SVG 1.1): a row for each month, a bar for each day.

The height of a bar shows its minutes. All rows have the same scale, and are as high as they need.
What is over the limit is hatched. A mark of one size stands above it, so that even a minute over
can be seen without colours: in grey, in print, or by colour-blind people.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from itertools import chain, count
from typing import NamedTuple

from ledger.render.layout import long_day
from ledger.report.ahead import Ahead, AheadDay, FullSpan
from ledger.text.values import MONTHS
from ledger.text.words import counted, duration

LEFT, TOP, CELL, BETWEEN = 88, 102, 22, 24
"""In pixels: where the days begin, the width of a day, the room between two rows."""
MINUTE = 0.5
"""Pixels of a minute, if the highest bar is then neither below LOWEST nor above TALLEST."""
LOWEST, TALLEST = 72, 480
"""In pixels: between them is the height of the highest bar."""
STEPS = (1, 2, 5, 10, 15, 30)
"""Minutes from one line of a scale to the next; the other steps are 1 h, 2 h, 4 h, and so on."""
STEP = 20
"""The least pixels from one line of a scale to the next."""
TOTALS = LEFT + 31 * CELL + 14
WIDE = TOTALS + 128
_NOT_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""Characters that no XML text may hold (XML 1.0, 2.2)."""

STYLE = """
    text { font: 12px system-ui, sans-serif; fill: #222 }
    .title { font-size: 17px; font-weight: 600 }
    .small { font-size: 11px; fill: #555 }
    .end { text-anchor: end }
    .middle { text-anchor: middle }
    .paper { fill: #fff }
    .weekend { fill: #000; fill-opacity: .08 }
    .scale { stroke: #d2d2d2 }
    .away { stroke: #888; stroke-width: 1.4 }
    .bar { fill: #5b6b8c }
    .beyond { fill: url(#hatch) }
    .ink, .over { fill: #111 }
    .hatch { stroke: #c3cde6; stroke-width: 1.2 }
    .limit { stroke: #222; stroke-width: 1.4 }
    .base { stroke: #bbb }
    @media (prefers-color-scheme: dark) {
      text { fill: #eee }
      .small { fill: #bbb }
      .paper { fill: #1b1d21 }
      .weekend { fill: #fff }
      .scale { stroke: #41454e }
      .bar { fill: #7088bf }
      .ink, .over { fill: #fff }
      .hatch { stroke: #39466b }
      .limit { stroke: #eee }
      .base { stroke: #555 }
    }
"""


class _Scale(NamedTuple):
    """How high minutes are drawn, in all rows alike."""

    minute: float
    """Pixels of a minute."""
    step: int
    """Minutes from one line to the next."""

    def high(self, minutes: int) -> float:
        """The height of minutes in pixels."""
        return minutes * self.minute


class _Row(NamedTuple):
    """A month in the picture."""

    month: FullSpan
    days: Sequence[AheadDay]
    highest: int
    """Minutes that it has room for."""
    top: float
    base: float


def ahead_svg(ahead: Ahead) -> str:
    """The year as a picture, with a description for those who cannot see it."""
    scale = _scale(_highest(ahead.days))
    rows = list(_rows(ahead, scale))
    high = round(rows[-1].base) + 72
    name = _text(ahead.household) if ahead.household else ""
    title = f"Ahead from {long_day(ahead.on)}{', ' if name else ''}{name}"
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {high}" width="{WIDE}"'
        f' height="{high}" role="img" aria-labelledby="title desc">',
        f'  <title id="title">{title}</title>',
        f'  <desc id="desc">{_described(ahead)}</desc>',
        f"  <style>{STYLE}  </style>",
        '  <pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse"'
        ' patternTransform="rotate(45)">',
        '    <rect class="ink" width="5" height="5"/>',
        '    <path class="hatch" d="M1 0V5"/>',
        "  </pattern>",
        f'  <rect class="paper" width="{WIDE}" height="{high}"/>',
        f'  <text class="title" x="20" y="32">{title}</text>',
        f'  <text class="small" x="20" y="52">{_together(ahead)}</text>',
        *_ruler(),
    ]
    for row in rows:
        lines += chain(_month(row), _lines(row, scale), (_day(day, row, scale) for day in row.days))
    lines += [*_legend(high - 34, ahead), "</svg>"]
    return "\n".join(lines) + "\n"


def _highest(days: Sequence[AheadDay]) -> int:
    """The minutes of the highest bar or limit."""
    return max(max(day.minutes, day.limit or 0) for day in days)


def _scale(highest: int) -> _Scale:
    """A scale on which a few minutes can be seen, with lines far enough apart to be labelled."""
    minute = min(max(highest * MINUTE, LOWEST), TALLEST) / (highest or 1)
    steps = chain(STEPS, (60 << doubled for doubled in count()))
    return _Scale(minute, next(step for step in steps if step * minute >= STEP))


def _rows(ahead: Ahead, scale: _Scale) -> Iterator[_Row]:
    """The months from above, each with room for a line of the scale at least."""
    base: float = TOP - BETWEEN
    for month in ahead.months:
        days = [day for day in ahead.days if month.first <= day.day <= month.last]
        highest = max(_highest(days), scale.step)
        top = base + BETWEEN
        base = top + scale.high(highest)
        yield _Row(month, days, highest, top, base)


def _text(text: str) -> str:
    """A text escaped for XML."""
    clean = _NOT_XML.sub("\ufffd", text)
    return clean.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _described(ahead: Ahead) -> str:
    """What the picture shows, in words."""
    heaviest = (f"{long_day(day.day)}, {duration(day.minutes)}" for day in ahead.heaviest)
    days = "; ".join(heaviest) or "none has any minutes"
    return (
        f"A row for each month until {long_day(ahead.until)}, a bar for each day, as high as "
        f"its minutes. {_together(ahead)}. The heaviest days: {days}."
    )


def _together(ahead: Ahead) -> str:
    whole = f"{duration(ahead.minutes)} in {counted(len(ahead.days), 'day', 'days')}"
    over = counted(sum(day.over > 0 for day in ahead.days), "day", "days")
    return f"{whole}, {duration(ahead.over)} over the limit on {over}" if ahead.over else whole


def _ruler() -> Iterator[str]:
    for number in range(1, 32):
        x = LEFT + CELL * number - CELL / 2
        yield f'  <text class="small middle" x="{x:g}" y="{TOP - 20}">{number}</text>'
    yield f'  <text class="small" x="{TOTALS}" y="{TOP - 20}">Together</text>'


def _month(row: _Row) -> Iterator[str]:
    """The name of a month, and its minutes together."""
    month, base = row.month, _pixels(row.base)
    name = f"{MONTHS[month.first.month - 1][:3].title()} {month.first.year}"
    yield f'  <text class="end" x="{LEFT - 10}" y="{base}">{name}</text>'
    yield f'  <text x="{TOTALS}" y="{base}">{duration(month.minutes)}</text>'
    if month.days_over:
        over = f"{counted(month.days_over, 'day', 'days')} over"
        yield f'  <text class="small" x="{TOTALS}" y="{_pixels(row.base + 13)}">{over}</text>'


def _lines(row: _Row, scale: _Scale) -> Iterator[str]:
    """The lines of the scale that a row has room for, each with its minutes."""
    for minutes in range(scale.step, row.highest + 1, scale.step):
        y = row.base - scale.high(minutes)
        yield (
            f'  <text class="small end" x="{LEFT - 10}" y="{_pixels(y + 4)}">'
            f"{duration(minutes)}</text>{_line('scale', LEFT - 6, y, 31 * CELL + 6)}"
        )


def _day(day: AheadDay, row: _Row, scale: _Scale) -> str:
    """A day's cell: a bar on a base line, a stroke at the limit, the figures as a title."""
    x, base = LEFT + CELL * (day.day.day - 1), row.base
    within = scale.high(day.minutes - day.over)
    beyond = scale.high(day.over)
    marks = [f"<title>{_figures(day)}</title>"]
    if day.weekend:
        marks.append(_rect("weekend", x, row.top - 10, CELL, base - row.top + 10))
    marks.append(_line("base", x, base, CELL))
    if day.away is not None:
        marks.append(f'<path class="away" d="M{x + 7} {_pixels(base - 4)}l8 -8"/>')
    limit = [_line("limit", x + 2, base - scale.high(day.limit), CELL - 4)] if day.limit else []
    if day.over:
        # The bar covers the stroke, so that all that is over can be seen, however little it is.
        marks += limit
    if within:
        marks.append(_rect("bar", x + 5, base - within, CELL - 10, within))
    if day.over:
        marks.append(_rect("beyond", x + 5, base - within - beyond, CELL - 10, beyond))
        marks.append(_over(x + CELL / 2, base - within - beyond - 2))
    else:
        marks += limit
    return f'  <g class="day">{"".join(marks)}</g>'


def _figures(day: AheadDay) -> str:
    fits = "" if day.limit is None else f" of {duration(day.limit)}"
    away = "" if day.away is None else ", away"
    return f"{long_day(day.day)}: {duration(day.minutes)}{fits}{away}"


def _pixels(value: float) -> str:
    return f"{round(value, 2):g}"


def _rect(kind: str, x: float, y: float, wide: float, high: float) -> str:
    place = f'x="{_pixels(x)}" y="{_pixels(y)}" width="{_pixels(wide)}" height="{_pixels(high)}"'
    return f'<rect class="{kind}" {place}/>'


def _line(kind: str, x: float, y: float, wide: float) -> str:
    return f'<path class="{kind}" d="M{_pixels(x)} {_pixels(y)}h{_pixels(wide)}"/>'


def _over(x: float, y: float) -> str:
    """The mark of a day over its limit, with its tip at a point. Its size says nothing."""
    return f'<path class="over" d="M{_pixels(x)} {_pixels(y)}l-4 -6h8z"/>'


def _legend(y: int, ahead: Ahead) -> Iterator[str]:
    """What the marks mean, if the picture has them."""
    marks = [(_rect("bar", 0, y - 12, 14, 14), "minutes of a day")]
    if any(day.limit is not None for day in ahead.days):
        marks.append((_line("limit", 0, y - 5, 18), "what fits in it"))
    if ahead.over:
        marks.append((_rect("beyond", 0, y - 12, 14, 14), "beyond that"))
        marks.append((_over(7, y - 2), "day over its limit"))
    marks.append((_rect("weekend", 0, y - 14, 18, 18), "weekend"))
    if any(day.away is not None for day in ahead.days):
        marks.append((f'<path class="away" d="M2 {y - 1}l8 -8"/>', "away"))
    for place, (mark, meaning) in enumerate(marks):
        x = LEFT + 148 * place
        yield f'  <g transform="translate({x} 0)">{mark}<text x="24" y="{y}">{meaning}</text></g>'
