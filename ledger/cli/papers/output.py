"""What all papers share: their options, and where their pages go."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, TypeVar

import click

from ledger.cli.common import PATH
from ledger.cli.extras import needing
from ledger.cli.output import give, is_shown, say
from ledger.cli.targets import STANDARD_OUTPUT, check_target
from ledger.text.words import counted, listed
from ledger.workspace import SUFFIX, is_folder, is_there

if TYPE_CHECKING:
    from ledger.render.paper.typesetting import Pages, Unfit

F = TypeVar("F", bound=Callable[..., None])

PACKAGES = ("typst", "fontTools", "font_source_sans_pro")
FORMS = ("pdf", "png")
_MOST_NAMED = 10


class Output(NamedTuple):
    """Where the pages go, and how they are set."""

    file: Path | None
    form: Literal["pdf", "png"]
    force: bool
    fonts: tuple[Path, ...]
    template: Path | None
    show_template: bool


def output_options(command: F) -> F:
    """`-o`, `--as`, `--force`, `--font`, `--template` and `--show-template`, as one `output`."""

    def gathered(**given: Any) -> None:
        if given["file"] == STANDARD_OUTPUT:
            given["file"] = None
        given["form"] = given["form"] or _form_of(given["file"])
        output = Output(**{name: given.pop(name) for name in Output._fields})
        command(output=output, **given)

    gathered.__doc__ = command.__doc__
    for option in (
        click.option("--show-template", is_flag=True, help="Print our template, to change a copy."),
        click.option("--template", type=PATH, metavar="FILE", help="Set it by your own template."),
        click.option(
            "--font", "fonts", type=PATH, multiple=True, metavar="FILE",
            help="Another font, used for all letters that it has; may be given again. One without "
            "a to z, as of emoji, is used only for what ours lacks.",
        ),
        click.option("--force", is_flag=True, help="Replace FILE if it is there."),
        click.option(
            "--as", "form", type=click.Choice(FORMS),
            help="PDF, unless FILE ends in .png: that is to look at, a file a page.",
        ),
        click.option(
            "-o", "--output", "file", type=PATH, metavar="FILE",
            help="Where to write; - is standard output.",
        ),
    ):  # fmt: skip
        gathered = option(gathered)
    return gathered  # type: ignore[return-value]


def _form_of(file: Path | None) -> str:
    """The form that the name of a file asks for."""
    ending = "" if file is None else file.suffix.lower().removeprefix(".")
    if ending in ("", SUFFIX.removeprefix(".")):
        return FORMS[0]
    if ending not in FORMS:
        raise click.UsageError(
            f"{file}: a paper is a .pdf or .png file; name one, or say which by `--as`"
        )
    return ending


def print_paper(
    name: str,
    output: Output,
    data: Callable[[], dict[str, Any]],
    judge: Callable[[Pages], None] = lambda _pages: None,
) -> Pages | None:
    """Typeset a paper and write it. Ends with exit 2 where that cannot be; nothing is written then.

    `data` gives what its template prints; `judge` looks at the pages before they are written.
    Returns the pages that are written; none where the template is shown instead.
    """
    with needing("paper", "paper needs", *PACKAGES):
        from ledger.render.paper import fonts, typesetting
    if output.show_template:
        give(typesetting.template_of(name).read_text("utf-8"))
        return None
    _refuse_place(output)
    template = output.template or typesetting.template_of(name)
    _refuse_template(template)
    try:
        chosen = fonts.chosen_fonts(output.fonts)
        for family in fonts.only_bold(chosen):
            say(
                f"besom: {family} is given in bold only, so all is bold; give its plain file too, "
                "by another `--font`",
                err=True,
            )
        pages = typesetting.typeset(template, data(), chosen, output.form)
    except (fonts.FontFault, typesetting.PaperFault) as fault:
        raise click.UsageError(str(fault)) from fault
    _refuse_unfit(pages)
    judge(pages)
    _write(pages, output)
    return pages


def _refuse_template(template: Path) -> None:
    """End with exit 2 for a template that is no file of text."""
    if is_folder(template):
        raise click.UsageError(f"{template}: is a folder; name a template in it, a .typ file")
    if not is_there(template):
        raise click.UsageError(f"{template}: there is no such file")
    if not template.is_file():
        raise click.UsageError(f"{template}: is no file; name a template, a .typ file")


def _refuse_place(output: Output) -> None:
    """End with exit 2 where the pages cannot go, before anything is typeset."""
    if output.file is not None:
        check_target(output.file, f"paper.{output.form}")
    elif is_shown():
        raise click.UsageError(f"name a file: `-o FILE.{output.form}`")


def _refuse_unfit(pages: Pages) -> None:
    """End with exit 2 if a text does not fit its place; what does not is named, with the size of a
    place that holds all."""
    if not pages.unfit:
        return
    named = _named(pages.unfit)
    said = named[:_MOST_NAMED]
    if rest := len(named) - len(said):
        said.append(f"and {counted(rest, 'text', 'texts')} more")
    width, height = (
        _tenths(max(sides))
        for sides in zip(*((one.width, one.height) for one in pages.unfit), strict=True)
    )
    size = f"{width} x {height} mm"
    needed = f" needs {size}" if len(named) == 1 else f"; {size} holds all"
    raise click.UsageError(
        f"too long for its place, even in the smallest type: {'; '.join(said)}{needed}. Choose a "
        "larger size, or fewer words"
    )


def _named(unfit: Sequence[Unfit]) -> list[str]:
    """The texts that do not fit; a part that is known to be too long once, with all it is of."""
    wholes: dict[str, list[str]] = {}
    for one in unfit:
        name = f'"{one.name}" ({one.side})' if one.side else f'"{one.name}"'
        if one.part in ("", one.name):
            wholes.setdefault(name, [])
        else:
            wholes.setdefault(f'"{one.part}"', []).append(name)
    return [
        f"{text} of {listed(names, _MOST_NAMED)}" if names else text
        for text, names in wholes.items()
    ]


def _tenths(millimetres: float) -> str:
    """So many millimetres with one decimal, never fewer than there are."""
    return f"{ceil(millimetres * 10 - 1e-6) / 10:g}"


def _write(pages: Pages, output: Output) -> None:
    if output.file is None:
        if len(pages.files) > 1:
            raise click.UsageError(
                f"there are {len(pages.files)} pages, a file each: name them by `-o FILE.png`"
            )
        give(pages.files[0])
        return
    targets = _targets(output.file, len(pages.files))
    for path in filter(is_there, targets):
        check_target(path, path.name)
        if not output.force:
            raise click.UsageError(f"{path}: is there already; `--force` replaces it")
    from ledger.writing import WriteFault, create, write_whole

    for path, page in zip(targets, pages.files, strict=True):
        try:
            if output.force:
                write_whole(path, page)
            else:
                create(path, page)
        except WriteFault as fault:
            raise click.UsageError(str(fault)) from fault
        except OSError as fault:
            reason = fault.strerror or fault
            raise click.UsageError(f"{path}: cannot be written ({reason})") from fault
    say(f"{targets[0]}" if len(targets) == 1 else f"{targets[0]} to {targets[-1].name}")


def _targets(file: Path, count: int) -> Sequence[Path]:
    """The files of so many pages: the one named, or numbered ones."""
    if count == 1:
        return [file]
    width = len(str(count))
    return [file.with_stem(f"{file.stem}-{number:0{width}}") for number in range(1, count + 1)]
