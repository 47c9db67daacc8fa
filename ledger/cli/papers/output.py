"""What all papers share: their options, and where their pages go."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from math import ceil
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, NamedTuple, TypeVar

import click

from ledger.cli.common import PATH
from ledger.cli.extras import needing
from ledger.cli.output import give, is_shown, say
from ledger.cli.targets import STANDARD_OUTPUT, check_given, check_target
from ledger.render.paper.templates import template_of
from ledger.text.words import counted, listed
from ledger.workspace import SUFFIX, is_there

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


class Printed(NamedTuple):
    """What was printed, and the pages that it made."""

    data: Mapping[str, Any]
    pages: Pages


def output_options(command: F) -> F:
    """`-o`, `--as`, `--force`, `--font`, `--template` and `--show-template`, as one `output`."""

    def gathered(**given: Any) -> None:
        if given["file"] == STANDARD_OUTPUT:
            given["file"] = None
        given["form"] = _form_of(given["file"], given["form"])
        output = Output(**{name: given.pop(name) for name in Output._fields})
        command(output=output, **given)

    gathered.__doc__ = command.__doc__
    for option in (
        click.option(
            "--show-template", is_flag=True, is_eager=True, expose_value=False,
            callback=_show_template, help="Print our template, to change a copy.",
        ),
        click.option("--template", type=PATH, metavar="FILE", help="Use your own template."),
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


def _show_template(context: click.Context, _option: click.Parameter, is_asked: bool) -> None:
    """Print the template of the paper of this command, and end; nothing else is needed for that."""
    if is_asked and not context.resilient_parsing:
        give(template_of(context.command.name or "").read_text("utf-8"))
        context.exit()


def _form_of(file: Path | None, form: str | None) -> str:
    """The form that a call names, else the one that the name of its file asks for. Ends with exit 2
    where they differ, and where neither says one."""
    ending = "" if file is None else file.suffix.lower().removeprefix(".")
    if form is not None:
        if ending in FORMS and ending != form:
            raise click.UsageError(
                f"{file}: ends in .{ending}, but `--as {form}` is another form; leave out `--as`, "
                f"or name a .{form} file"
            )
        return form
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
    reads: Iterable[Path],
    data: Callable[[], Mapping[str, Any] | None],
    judge: Callable[[Pages], None] = lambda _pages: None,
) -> Printed | None:
    """Typeset a paper and write it. Ends with exit 2 where that cannot be; of several files the
    first may be written then.

    `reads` are the files that the call has read; they are never replaced. `data` gives what the
    template prints, or None where there is nothing to print; `judge` looks at the pages before they
    are written.
    """
    with needing("paper", "paper needs", *PACKAGES):
        from ledger.render.paper import fonts, typesetting
    template = output.template or template_of(name)
    check_given(template, "template", "a .typ file")
    for font in output.fonts:
        check_given(font, "font file", "a .ttf, .otf or .ttc file")
    sources = (*reads, template, *output.fonts)
    _refuse_place(output, sources)
    try:
        chosen = fonts.chosen_fonts(output.fonts)
        for family in fonts.only_bold(chosen):
            say(
                f"besom: {family} is given in bold only, so all is bold; give its plain file too, "
                "by another `--font`",
                err=True,
            )
        asked = data()
        if asked is None:
            return None
        pages = typesetting.typeset(template, asked, chosen, output.form)
    except (fonts.FontFault, typesetting.PaperFault) as fault:
        raise click.UsageError(str(fault)) from fault
    _refuse_unfit(pages)
    judge(pages)
    _write(pages, output, sources)
    return Printed(asked, pages)


def _refuse_place(output: Output, sources: Sequence[Path]) -> None:
    """End with exit 2 where the pages cannot go, before anything is typeset."""
    if output.file is not None:
        check_target(output.file, f"paper.{output.form}", sources)
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


def _write(pages: Pages, output: Output, sources: Sequence[Path]) -> None:
    if output.file is None:
        if len(pages.files) > 1:
            raise click.UsageError(
                f"there are {len(pages.files)} pages, a file each: name them by `-o FILE.png`"
            )
        give(pages.files[0])
        return
    targets = _targets(output.file, len(pages.files))
    for path in filter(is_there, targets):
        check_target(path, path.name, sources)
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
