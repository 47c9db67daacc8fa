"""Typesetting: a template and what is to be printed make pages. This alone imports typst."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, Literal, NamedTuple

import typst

from ledger.render.paper.fonts import Font, gather, lacking, texts_of
from ledger.text.words import listed

HERE = Path(__file__).parent
PACKAGES = HERE / "packages"
"""What templates import as `@besom/paper`."""
PNG_PPI = 150

Form = Literal["pdf", "png"]


class PaperFault(Exception):
    """No pages could be made; the message says why and what to do."""


class Unfit(NamedTuple):
    """A text that does not fit its place on the paper."""

    name: str
    """The text, or what it belongs to."""
    width: float
    """Of its place, in millimetres."""
    height: float
    """That it needs at that width, in its smallest type, in millimetres."""


class Pages(NamedTuple):
    """Typeset pages."""

    files: tuple[bytes, ...]
    """One PDF of all pages, or a PNG a page."""
    unfit: tuple[Unfit, ...]
    """What was cut off."""
    told: tuple[Mapping[str, Any], ...]
    """What else the template tells, by its label <told>."""


def template_of(name: str) -> Path:
    """Our own template of a paper."""
    return HERE / f"{name}.typ"


def typeset(
    template: Path, data: Mapping[str, Any], fonts: Sequence[Font], form: Form = "pdf"
) -> Pages:
    """Pages of a template. The same data gives the same bytes.

    `data` reaches the template as plain values, never as source: it can hold whatever text the
    book holds. A character is taken from the first of the fonts that has it. Raises PaperFault for
    characters that no font has, and for a template that fails.
    """
    _refuse_missing(data, fonts)
    families = [font.family for font in fonts]
    inputs = {"data": json.dumps({**data, "fonts": families}, ensure_ascii=False)}
    with TemporaryDirectory(prefix="besom-") as folder:
        gather(fonts, Path(folder))
        found = typst.Fonts(
            include_system_fonts=False, include_embedded_fonts=False, font_paths=[folder]
        )
        try:
            compiler = typst.Compiler(
                input=str(template),
                root=str(template.absolute().parent),
                font_paths=found,
                ignore_system_fonts=True,
                sys_inputs=inputs,
                package_path=str(PACKAGES),
            )
            made = compiler.compile(format=form, ppi=PNG_PPI)
            unfit, told = (
                json.loads(compiler.query(f"<{label}>", field="value"))
                for label in ("unfit", "told")
            )
        except typst.TypstError as fault:
            raise PaperFault(_complaint(template, fault)) from fault
        except RuntimeError as fault:
            raise PaperFault(f"{template}: cannot be typeset ({fault})") from fault
    files = made if isinstance(made, list) else [made or b""]
    return Pages(tuple(files), tuple(Unfit(**one) for one in unfit), tuple(told))


def _refuse_missing(data: Mapping[str, Any], fonts: Sequence[Font]) -> None:
    missing = lacking(texts_of(data), fonts)
    if missing:
        names = [f"{sign} (U+{ord(sign):04X})" for sign in missing]
        first = next(iter(missing.values()))
        raise PaperFault(
            f'no font here has {listed(names)}, first in "{first}"; name a font that has them: '
            "`--font FILE`"
        )


def _complaint(template: Path, fault: typst.TypstError) -> str:
    """What is wrong with a template, with its line where one is known."""
    at = re.search(r"┌─ (.*?):(\d+):(\d+)", fault.diagnostic or "")
    inside = at is not None and Path(at[1]).name == template.name
    place = f"{template}:{at[2]}:{at[3]}" if at and inside else f"{template}"
    hints = "".join(f"; {hint}" for hint in fault.hints or ())
    return f"{place}: {fault.message}{hints}"
