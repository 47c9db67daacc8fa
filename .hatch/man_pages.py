"""The pages of the manual, made from the help: one for `besom`, and one for each command below
it.

    python .hatch/man_pages.py FOLDER

writes them to a folder; a wheel carries them in its data, where `man` looks for them.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator, Mapping
from inspect import cleandoc
from pathlib import Path

import click

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from ledger import __version__  # noqa: E402 - only now it can be found
from ledger.cli.command_paths import commands_below  # noqa: E402
from ledger.cli.groups import LazyGroup  # noqa: E402
from ledger.cli.main import main  # noqa: E402

_AS_TYPED = {
    "\\": r"\e", "-": r"\-", "'": r"\(aq", "`": r"\(ga", "^": r"\(ha", "~": r"\(ti",
}  # fmt: skip
"""Characters of which roff would make others, and how it writes them."""
_OPTION = r"(?P<option>(?<![\w-])--?[a-zA-Z][\w-]*)"
_EXAMPLES = "Examples:"
_VERBATIM = "\b"


def pages() -> dict[str, str]:
    """All pages by the names of their files."""
    root = main.make_context("besom", [], resilient_parsing=True)
    return {f"{_name(ctx)}.1": _page(ctx) for ctx in (root, *commands_below(root))}


def _name(ctx: click.Context) -> str:
    return ctx.command_path.replace(" ", "-")


def _page(ctx: click.Context) -> str:
    """A page in the macros of man(7)."""
    command, above = ctx.command, ctx.parent
    if above is None:
        about = _help(command).split("\n")[0].rstrip(".")
    else:
        about = _abouts(above)[ctx.info_name or ""]
    name = _name(ctx)
    description, examples = _described(_help(command))
    lines = [
        f'.TH "{_roff(name.upper())}" 1 "" "besom {__version__}" "besom"',
        ".SH NAME",
        f"{_roff(name)} \\- {_roff(about[:1].lower() + about[1:])}",
        ".SH SYNOPSIS",
        f".B {_roff(ctx.command_path)}",
        *(_line(_call(piece)) for piece in command.collect_usage_pieces(ctx)),
        ".SH DESCRIPTION",
        *description,
        ".SH OPTIONS",
        *_options(command, ctx),
        *_commands(ctx),
    ]
    lines += [".SH EXAMPLES", *_verbatim(examples)] if examples else []
    others = list(_others(ctx))
    lines += [".SH SEE ALSO"] if others else []
    lines += [f".BR {_roff(other)} (1)" for other in others]
    return "\n".join(lines) + "\n"


def _abouts(ctx: click.Context) -> Mapping[str, str]:
    """The commands of a group, each with what it answers."""
    return ctx.command.abouts() if isinstance(ctx.command, LazyGroup) else {}


def _others(ctx: click.Context) -> Iterator[str]:
    """The pages of the groups that a command is in, and of the commands that its help names."""
    above = ctx.parent
    groups: list[str] = []
    while above is not None:
        groups.insert(0, _name(above))
        above = above.parent
    yield from groups
    for other in commands_below(ctx.find_root()):
        is_named = re.search(f"`{other.command_path}\\b", _help(ctx.command))
        if is_named and _name(other) not in (_name(ctx), *groups):
            yield _name(other)


def _described(text: str) -> tuple[list[str], list[str]]:
    """The paragraphs of a help as lines of roff, and its examples as they are."""
    described: list[str] = []
    examples: list[str] = []
    for paragraph in text.split("\n\n"):
        first, *rest = lines = paragraph.split("\n")
        if first != _VERBATIM:
            described += [".PP", _line(_marked(" ".join(lines)))]
        elif rest[0] == _EXAMPLES:
            examples = rest[1:]
        else:
            described += [".PP", *_verbatim(rest)]
    # The first paragraph begins behind its heading.
    return described[1:], examples


def _options(command: click.Command, ctx: click.Context) -> Iterator[str]:
    for option in command.get_params(ctx):
        record = option.get_help_record(ctx) if isinstance(option, click.Option) else None
        if record is not None:
            names, text = record
            yield from (".TP", _line(_call(names)), _line(_marked(" ".join(text.split()))))


def _commands(ctx: click.Context) -> Iterator[str]:
    abouts = sorted(_abouts(ctx).items())
    if abouts:
        yield ".SH COMMANDS"
    for name, about in abouts:
        yield from (".TP", f".BR {_roff(f'{_name(ctx)}-{name}')} (1)", _line(_roff(about)))


def _verbatim(lines: list[str]) -> list[str]:
    return [".nf", *(_line(_roff(line)) for line in lines), ".fi"]


def _help(command: click.Command) -> str:
    return cleandoc(command.help or "")


def _marked(text: str) -> str:
    """Running text, with what is typed in bold letters."""
    return re.sub(rf"{_OPTION}|`([^`]+)`|[^`-]+|.", _bold_if_typed, text)


def _bold_if_typed(found: re.Match[str]) -> str:
    typed = found["option"] or found[2]
    return f"\\fB{_roff(typed)}\\fR" if typed else _roff(found[0])


def _call(text: str) -> str:
    """A piece of a call: options in bold letters, and in italics what stands for something else."""
    parts = re.split(f"{_OPTION}|([A-Z]+)", text)
    return "".join(
        _roff(part or "") if n % 3 == 0 else f"\\f{'_BI'[n % 3]}{_roff(part)}\\fR"
        for n, part in enumerate(parts)
        if part
    )


def _roff(text: str) -> str:
    """Text that roff shows to the letter."""
    return "".join(_AS_TYPED.get(character, character) for character in text)


def _line(text: str) -> str:
    """A line of text that roff does not take for a call of its own."""
    return f"\\&{text}" if text.startswith(".") else text


if __name__ == "__main__":
    folder = Path(sys.argv[1])
    folder.mkdir(parents=True, exist_ok=True)
    for file, page in pages().items():
        (folder / file).write_text(page, "utf-8")
