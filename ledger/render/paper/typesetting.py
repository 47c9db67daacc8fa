"""Typesetting: a template and what is to be printed make pages. This alone imports typst."""

from __future__ import annotations

import json
import os
import re
import string
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Thread
from typing import Any, Literal, NamedTuple

import typst

from ledger.render.paper.fonts import OUR_FILES, Font, gather, lacking, texts_of
from ledger.text.words import listed

PACKAGES = Path(__file__).parent / "packages"
"""What templates import as `@besom/paper`."""
_EDGES = PACKAGES / "besom" / "paper" / "1.0.0" / "edges.typ"
PNG_PPI = 150
_ITS_OWN = "a template has the files of its folder and `@besom/paper`"
_PROXIES = ("HTTP_PROXY", "HTTPS_PROXY", "ALL_PROXY", "http_proxy", "https_proxy", "all_proxy")
_NO_PROXIES = ("NO_PROXY", "no_proxy")

_MOST_SHOWN = 60
_TEXT, _COUNT, _NUMBER, _MAYBE = (str,), (int,), (int, float), (int, float, type(None))
_UNFIT_FORMS = tuple(
    {"name": _TEXT, "width": _NUMBER, "height": _NUMBER, **more}
    for more in ({}, {"side": _TEXT, "part": _TEXT})
)
"""What our templates tell by the label <unfit>: keys with the types of their values."""
_TOLD_FORMS: tuple[Mapping[str, tuple[type, ...]], ...] = (
    {"untitled": _TEXT},
    {"pages": (int, type(None))},
    {"size": _NUMBER, "columns": _COUNT},
    {
        "name": _TEXT,
        "shown": _COUNT,
        "chores": _COUNT,
        "hidden": (list,),
        "width": _MAYBE,
        "height": _MAYBE,
    },
)
"""The same of <told>."""

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
    side: str = ""
    """Where it stands, if the thing of that name has more than one: on its `back`."""
    part: str = ""
    """The part of the text without which the rest would fit, where there is one."""


class Pages(NamedTuple):
    """Typeset pages."""

    files: tuple[bytes, ...]
    """One PDF of all pages, or a PNG a page."""
    unfit: tuple[Unfit, ...]
    """Texts that do not fit."""
    told: tuple[Mapping[str, Any], ...]
    """What else the template tells, by its label <told>."""


def typeset(
    template: Path, data: Mapping[str, Any], fonts: Sequence[Font], form: Form = "pdf"
) -> Pages:
    """Pages of a template. The same data gives the same bytes.

    `data` reaches the template as plain values, never as source: it can hold whatever text the
    book holds. A character is taken from the first of the fonts that has it. Raises PaperFault for
    characters that no font has, and for a template that fails.
    """
    _refuse_missing(data, fonts)
    # A template has the files beside it, also where a link leads to it.
    real = template.resolve()
    with TemporaryDirectory(prefix="besom-") as folder:
        found, families = _known_fonts(fonts, Path(folder))

        def compiler_of(file: Path, printed: Mapping[str, Any]) -> typst.Compiler:
            given = json.dumps({**printed, "fonts": families}, ensure_ascii=False)
            return typst.Compiler(
                input=str(file),
                root=str(file.parent),
                font_paths=found,
                ignore_system_fonts=True,
                sys_inputs={"data": given},
                package_path=str(PACKAGES),
                package_cache_path=folder,
            )

        def made() -> Pages:
            (edges,) = _values(compiler_of(_EDGES, {"words": _words_of(data)}), "edges")
            compiler = compiler_of(real, {**data, "edges": edges})
            files = compiler.compile(format=form, ppi=PNG_PPI)
            unfit, told = (_values(compiler, label) for label in ("unfit", "told"))
            files = files if isinstance(files, list) else [files or b""]
            _check_told(template, unfit, told)
            return Pages(tuple(files), tuple(Unfit(**one) for one in unfit), tuple(told))

        try:
            with _without_network():
                return _interruptible(made)
        except typst.TypstError as fault:
            raise PaperFault(_complaint(template, fault)) from fault
        except (RuntimeError, TypeError) as fault:
            raise PaperFault(f"{template}: cannot be typeset ({fault})") from fault


def _words_of(data: Mapping[str, Any]) -> str:
    """Each word that is to be printed once, and the letters that our templates print."""
    words = (word for text in texts_of(data) for word in text.split())
    return " ".join(dict.fromkeys((string.ascii_letters, string.digits, *words)))


def _values(compiler: typst.Compiler, label: str) -> list[Any]:
    """What a document tells by a label."""
    values: list[Any] = json.loads(compiler.query(f"<{label}>", field="value"))
    return values


def _check_told(template: Path, unfit: Sequence[object], told: Sequence[object]) -> None:
    """Raise PaperFault for what a template tells in another form than ours do."""
    for label, values, forms in (("unfit", unfit, _UNFIT_FORMS), ("told", told, _TOLD_FORMS)):
        for value in values:
            if not any(_has_form(value, form) for form in forms):
                raise PaperFault(
                    f"{template}: the label <{label}> is for what besom reads, and stands at "
                    f"something else ({json.dumps(value, ensure_ascii=False)[:_MOST_SHOWN]}); "
                    "use another label there"
                )


def _has_form(value: object, form: Mapping[str, tuple[type, ...]]) -> bool:
    """True for a mapping of the keys of a form to values of its types."""
    return (
        isinstance(value, dict)
        and value.keys() == form.keys()
        and all(isinstance(value[key], types) for key, types in form.items())
        and all(isinstance(text, str) for text in value.get("hidden", ()))
    )


def _known_fonts(fonts: Sequence[Font], folder: Path) -> tuple[typst.Fonts, list[str]]:
    """The fonts as typst has them, and the names that it knows them by. Raises PaperFault for one
    that it cannot use."""
    places = [folder / str(number) for number in range(len(fonts))]
    families: list[str] = []
    for font, place in zip(fonts, places, strict=True):
        place.mkdir()
        try:
            gather(font, place)
        except OSError as fault:
            reason = fault.strerror or fault
            raise PaperFault(f"{folder}: fonts cannot be copied there ({reason})") from fault
        known = _fonts_in([place]).families()
        if not known:
            raise PaperFault(f"{font.files[0]}: is a font that cannot be typeset; name another")
        families.append(font.family if font.family in known else known[0])
    return _fonts_in(places), list(dict.fromkeys(families))


def _fonts_in(places: Sequence[Path]) -> typst.Fonts:
    paths = [str(place) for place in places]
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=paths)


@contextmanager
def _without_network() -> Iterator[None]:
    """Lets typst reach no other machine, from which a template could have it load packages: what it
    asks for goes to a port that none can listen at."""
    before = dict(os.environ)
    os.environ.update(dict.fromkeys(_PROXIES, "http://127.0.0.1:0"))
    for name in _NO_PROXIES:
        os.environ.pop(name, None)
    try:
        yield
    finally:
        for name in (*_PROXIES, *_NO_PROXIES):
            os.environ.pop(name, None)
            if name in before:
                os.environ[name] = before[name]


def _interruptible(make: Callable[[], Pages]) -> Pages:
    """What a function makes, in a thread of its own: Ctrl-C could not end typst, and a template may
    run for as long as it likes."""
    results: list[Pages | BaseException] = []

    def run() -> None:
        try:
            results.append(make())
        except BaseException as fault:
            results.append(fault)

    thread = Thread(target=run, daemon=True)
    thread.start()
    thread.join()
    result = results[0]
    if isinstance(result, BaseException):
        raise result
    return result


def _refuse_missing(data: Mapping[str, Any], fonts: Sequence[Font]) -> None:
    missing = lacking(texts_of(data), fonts)
    if missing:
        names = ["our font" if font.files == OUR_FILES else font.family for font in fonts]
        lack = "lacks" if len(names) == 1 else "lack"
        signs = [f"{sign} (U+{ord(sign):04X})" for sign in missing]
        first = next(iter(missing.values()))
        raise PaperFault(
            f'{" and ".join(names)} {lack} {listed(signs)}, first in "{first}"; name a font file '
            f"that has {'it' if len(missing) == 1 else 'them'}: `--font FILE`"
        )


def _complaint(template: Path, fault: typst.TypstError) -> str:
    """What is wrong with a template, with its line where one is known. Where it fails in ours, it
    is the line that calls ours."""
    message = re.sub("^(assertion failed|panicked with): ", "", fault.message)
    if message.startswith("failed to download package"):
        message = f"there is no such package here, and none is downloaded; {_ITS_OWN}"
    if "escape the project root" in message:
        message = f"{message.partition(' would ')[0]} is outside its folder; {_ITS_OWN}"
    places = re.findall(r"┌─ (.*?):(\d+):(\d+)$", fault.diagnostic or "", re.MULTILINE)
    own = [(path, line, column) for path, line, column in places if path[:1] != "@"]
    if not own:
        return f"{template}: {message}"
    path, line, column = own[0]
    is_template = Path(path).name == template.resolve().name
    place = template if is_template else template.with_name(Path(path).name)
    hints = "".join(f"; {hint}" for hint in fault.hints or () if _ITS_OWN not in message)
    return f"{place}:{line}:{column}: {message}{hints}"
