"""The pages of the manual, made from the help: one for `besom` and one for each of its commands.

    python .hatch/man_pages.py FOLDER

writes them to a folder; a wheel carries them in its data, where `man` looks for them.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Iterator
from inspect import cleandoc
from pathlib import Path

import click

ROOT = Path(__file__).parents[1]
sys.path.insert(0, str(ROOT))

from ledger import __version__  # noqa: E402 - only now it can be found
from ledger.cli.main import commands, main  # noqa: E402

_AS_TYPED = {
    "\\": r"\e", "-": r"\-", "'": r"\(aq", "`": r"\(ga", "^": r"\(ha", "~": r"\(ti",
}  # fmt: skip
"""Characters of which roff would make others, and how it writes them."""
_OPTION = r"(?P<option>(?<![\w-])--?[a-zA-Z][\w-]*)"
_EXAMPLES = "Examples:"
_VERBATIM = "\b"


def pages() -> dict[str, str]:
    """All pages by the names of their files."""
    ctx = main.make_context("besom", [], resilient_parsing=True)
    made = {"besom.1": _page(main, ctx, _help(main).split("\n")[0].rstrip("."), _commands())}
    for name, about in commands().items():
        command = main.get_command(ctx, name)
        assert command is not None
        below = click.Context(command, ctx, info_name=name)
        made[f"besom-{name}.1"] = _page(command, below, about, [])
    return made


def _page(command: click.Command, ctx: click.Context, about: str, more: list[str]) -> str:
    """A page in the macros of man(7); `more` stands behind the options."""
    name = ctx.command_path.replace(" ", "-")
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
        *more,
    ]
    lines += [".SH EXAMPLES", *_verbatim(examples)] if examples else []
    others = [
        other for other in sorted(commands()) if re.search(f"`besom {other}\\b", _help(command))
    ]
    names = [f"besom-{other}" for other in others if f"besom-{other}" != name]
    lines += [".SH SEE ALSO"] if names or name != "besom" else []
    lines += [f".BR {_roff(other)} (1)" for other in (["besom"] if name != "besom" else []) + names]
    return "\n".join(lines) + "\n"


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


def _commands() -> list[str]:
    lines = [".SH COMMANDS"]
    for name, about in sorted(commands().items()):
        lines += [".TP", f".BR {_roff(f'besom-{name}')} (1)", _line(_roff(about))]
    return lines


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
