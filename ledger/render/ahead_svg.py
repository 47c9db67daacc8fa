"""The load ahead as a picture (SVG 1.1): a row for each month, a bar for each day.

The height of a bar shows its minutes. What is over the limit is hatched and framed, so that it can
be seen without colours: in grey, in print, or by colour-blind people.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from ledger.render.layout import long_day
from ledger.report.ahead import Ahead, AheadDay, FullSpan
from ledger.text.values import MONTHS
from ledger.text.words import counted, duration

LEFT, TOP, CELL, ROW, TALLEST = 88, 92, 22, 46, 36
"""In pixels: where the days begin, the width and height of a day, the height of the highest bar."""
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
    .weekend { fill: #ececec }
    .away { stroke: #888; stroke-width: 1.4 }
    .bar { fill: #5b6b8c }
    .beyond { fill: url(#hatch); stroke: #111; stroke-width: 1.4 }
    .hatch { stroke: #111; stroke-width: 2 }
    .gap { fill: #fff }
    .limit { stroke: #222; stroke-width: 1.4 }
    .base { stroke: #bbb }
    @media (prefers-color-scheme: dark) {
      text { fill: #eee }
      .small { fill: #bbb }
      .paper, .gap { fill: #1b1d21 }
      .weekend { fill: #2c2f36 }
      .bar { fill: #8fa3cf }
      .beyond, .hatch { stroke: #fff }
      .limit { stroke: #eee }
      .base { stroke: #555 }
    }
"""


def ahead_svg(ahead: Ahead) -> str:
    """The year as a picture, with a description for those who cannot see it."""
    high = TOP + ROW * len(ahead.months) + 76
    name = _text(ahead.household) if ahead.household else ""
    title = f"Ahead from {long_day(ahead.on)}{', ' if name else ''}{name}"
    scale = max(max(day.minutes, day.limit or 0) for day in ahead.days) or 1
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDE} {high}" width="{WIDE}"'
        f' height="{high}" role="img" aria-labelledby="title desc">',
        f'  <title id="title">{title}</title>',
        f'  <desc id="desc">{_described(ahead)}</desc>',
        f"  <style>{STYLE}  </style>",
        '  <pattern id="hatch" width="5" height="5" patternUnits="userSpaceOnUse"'
        ' patternTransform="rotate(45)">',
        '    <rect class="gap" width="5" height="5"/>',
        '    <path class="hatch" d="M1 0V5"/>',
        "  </pattern>",
        f'  <rect class="paper" width="{WIDE}" height="{high}"/>',
        f'  <text class="title" x="20" y="32">{title}</text>',
        f'  <text class="small" x="20" y="52">{_together(ahead)}</text>',
        *_ruler(),
    ]
    for row, month in enumerate(ahead.months):
        base = TOP + ROW * (row + 1)
        lines += _month(month, base)
        inside = (day for day in ahead.days if month.first <= day.day <= month.last)
        lines += (_day(day, base, scale) for day in inside)
    lines += [*_legend(TOP + ROW * len(ahead.months) + 34, ahead), "</svg>"]
    return "\n".join(lines) + "\n"


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
        yield f'  <text class="small middle" x="{x:g}" y="{TOP - 6}">{number}</text>'
    yield f'  <text class="small" x="{TOTALS}" y="{TOP - 6}">Together</text>'


def _month(month: FullSpan, base: int) -> Iterator[str]:
    name = f"{MONTHS[month.first.month - 1][:3].title()} {month.first.year}"
    yield f'  <text class="end" x="{LEFT - 10}" y="{base - 18}">{name}</text>'
    yield f'  <text x="{TOTALS}" y="{base - 18}">{duration(month.minutes)}</text>'
    if month.days_over:
        over = f"{counted(month.days_over, 'day', 'days')} over"
        yield f'  <text class="small" x="{TOTALS}" y="{base - 4}">{over}</text>'


def _day(day: AheadDay, base: int, scale: int) -> str:
    """A day's cell: a bar on a base line, a stroke at the limit, the figures as a title."""
    x = LEFT + CELL * (day.day.day - 1)
    within = (day.minutes - day.over) * TALLEST / scale
    marks = [f"<title>{_figures(day)}</title>"]
    if day.weekend:
        marks.append(_rect("weekend", x, base - ROW + 4, CELL, ROW - 4))
    marks.append(_line("base", x, base, CELL))
    if day.away is not None:
        marks.append(f'<path class="away" d="M{x + 7} {base - 4}l8 -8"/>')
    if within:
        marks.append(_rect("bar", x + 4, base - within, CELL - 8, within))
    if day.over:
        beyond = max(day.over * TALLEST / scale, 5)
        marks.append(_rect("beyond", x + 4, base - within - beyond, CELL - 8, beyond))
    if day.limit:
        marks.append(_line("limit", x + 2, base - day.limit * TALLEST / scale, CELL - 4))
    return f'  <g class="day">{"".join(marks)}</g>'


def _figures(day: AheadDay) -> str:
    fits = "" if day.limit is None else f" of {duration(day.limit)}"
    away = "" if day.away is None else ", away"
    return f"{long_day(day.day)}: {duration(day.minutes)}{fits}{away}"


def _rect(kind: str, x: float, y: float, wide: float, high: float) -> str:
    return f'<rect class="{kind}" x="{x:g}" y="{y:.4g}" width="{wide:g}" height="{high:.4g}"/>'


def _line(kind: str, x: float, y: float, wide: float) -> str:
    return f'<path class="{kind}" d="M{x:g} {y:.4g}h{wide:g}"/>'


def _legend(y: int, ahead: Ahead) -> Iterator[str]:
    """What the marks mean, if the picture has them."""
    marks = [(_rect("bar", 0, y - 12, 14, 14), "minutes of a day")]
    if any(day.limit is not None for day in ahead.days):
        marks.append((_line("limit", 0, y - 5, 18), "what fits in it"))
    if ahead.over:
        marks.append((_rect("beyond", 0, y - 12, 14, 14), "beyond that"))
    marks.append((_rect("weekend", 0, y - 14, 18, 18), "weekend"))
    if any(day.away is not None for day in ahead.days):
        marks.append((f'<path class="away" d="M2 {y - 1}l8 -8"/>', "away"))
    for place, (mark, meaning) in enumerate(marks):
        x = LEFT + 140 * place
        yield f'  <g transform="translate({x} 0)">{mark}<text x="24" y="{y}">{meaning}</text></g>'
