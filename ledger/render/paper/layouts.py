"""Layouts: sheets of ready labels by their measures, each a small file of TOML 1.0."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Any, NamedTuple, NoReturn

from ledger.render.paper.grid import Grid, GridFault, checked
from ledger.render.paper.measures import MeasureFault, read_length, read_page, read_size
from ledger.text.near import nearest
from ledger.text.source import Source

FOLDER = Path(__file__).parent / "sheets"
"""The layouts that we bring, in files that a person may copy and change."""
_SUFFIX = ".toml"
_MOST_LABELS = 100
"""In a row, and in a column."""
_LONG_NUMBER = "a number has too many digits"
"""Python neither reads nor writes such a number, and its words for that help nobody here."""


class LayoutFault(Exception):
    """A file is no layout; the message says where, why, and what to write."""


def names() -> list[str]:
    """The layouts that we bring, by their dimensions."""
    return sorted(path.stem for path in FOLDER.glob(f"*{_SUFFIX}"))


def path_of(name: str) -> Path:
    """The file of a layout of ours."""
    return FOLDER / f"{name}{_SUFFIX}"


def _whole_number(text: str) -> int:
    if not (re.fullmatch("[0-9]{1,9}", text) and 1 <= int(text) <= _MOST_LABELS):
        raise MeasureFault(f'"{text}" is no whole number from 1 to {_MOST_LABELS}')
    return int(text)


class _Key(NamedTuple):
    """What a layout says in a line."""

    read: Callable[[str], Any]
    example: str


_READ_GAP = partial(read_length, least=0)
_KEYS = {
    "page": _Key(read_page, '"A4"'),
    "label": _Key(read_size, '"70x37mm"'),
    "columns": _Key(_whole_number, "3"),
    "rows": _Key(_whole_number, "8"),
    "margin-left": _Key(_READ_GAP, '"0mm"'),
    "margin-top": _Key(_READ_GAP, '"0.5mm"'),
    "pitch-across": _Key(read_length, '"70mm"'),
    "pitch-down": _Key(read_length, '"37mm"'),
}
_MAY_LACK = ("pitch-across", "pitch-down")
"""Without them there is no gap between the labels."""


def read_layout(source: Source) -> Grid:
    """The layout in a file. Raises LayoutFault."""
    values = _values(source)
    for key, known in _KEYS.items():
        if key not in values and key not in _MAY_LACK:
            raise LayoutFault(
                f'{source.path}: lacks "{key}"; write it as `{key} = {known.example}`'
            )
    label = values["label"]
    grid = Grid(
        page=values["page"],
        box=label,
        columns=values["columns"],
        rows=values["rows"],
        left=values["margin-left"],
        top=values["margin-top"],
        across=values.get("pitch-across", label.width),
        down=values.get("pitch-down", label.height),
    )
    try:
        return checked(grid)
    except GridFault as fault:
        raise LayoutFault(f"{source.path}: {fault}") from fault


def _values(source: Source) -> dict[str, Any]:
    """What the keys of a file mean. Raises LayoutFault for a key that there is not, and for a value
    that cannot be read."""
    values = {}
    for key, value in _parsed(source).items():
        if key not in _KEYS:
            near = nearest(key, _KEYS)
            advice = f'did you mean "{near}"?' if near else f"write {', '.join(_KEYS)}"
            _refuse(source, key, f'there is no "{key}"; {advice}')
        try:
            values[key] = _KEYS[key].read(str(value))
        except MeasureFault as fault:
            _refuse(source, key, f"{key}: {fault}")
        except ValueError:
            _refuse(source, key, f"{key}: {_LONG_NUMBER}")
    return values


def _parsed(source: Source) -> Mapping[str, Any]:
    try:
        return tomllib.loads(source.text)
    except (ValueError, RecursionError) as fault:
        said = _LONG_NUMBER if type(fault) is ValueError else str(fault)
        at = re.search(r" \(at line (\d+), column (\d+)\)$", said)
        place, what = (f":{at[1]}:{at[2]}", said[: at.start()]) if at else ("", said)
        raise LayoutFault(
            f"{source.path}{place}: cannot be read as TOML ({what}); write lines such as "
            f"`label = {_KEYS['label'].example}`"
        ) from fault


def _refuse(source: Source, key: str, fault: str) -> NoReturn:
    line = re.search(rf"""^[ \t]*\[?["']?{re.escape(key)}\b""", source.text, re.MULTILINE)
    place = f":{source.text.count(chr(10), 0, line.start()) + 1}" if line else ""
    raise LayoutFault(f"{source.path}{place}: {fault}")
