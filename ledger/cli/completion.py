"""`besom completion`: lets a shell complete calls of besom."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING

import click

from ledger.cli.output import give
from ledger.text.shown import safe

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem

_SPECIAL = re.compile(r"[^\w\-./:,+@%=]")
_QUOTES = ("'", '"')


def _for_bash(word: CompletionItem, begun: str) -> str:
    """The word as bash takes it in place of what is begun: with the quotes that are open there, and
    without the `--option=` before a value, which is a word of its own to bash."""
    text = str(word.value)
    if begun.startswith("--") and "=" in begun:
        text = text.partition("=")[2]
    if begun[:1] == '"':
        return re.sub(r'(["\\$`])', r"\\\1", text)
    if begun[:1] == "'":
        return text.replace("'", "'\\''")
    return _SPECIAL.sub(r"\\\g<0>", text)


def _for_zsh(word: CompletionItem, _begun: str) -> str:
    text = str(word.value).replace("\\", "\\\\").replace(":", "\\:")
    return f"{text}:{safe(word.help)}" if word.help else text


def _for_fish(word: CompletionItem, _begun: str) -> str:
    return f"{word.value}\t{safe(word.help)}" if word.help else str(word.value)


_LINES: dict[str, Callable[[CompletionItem, str], str]] = {
    "bash": _for_bash,
    "zsh": _for_zsh,
    "fish": _for_fish,
}
"""For each shell, a word as a line of the answer."""


@click.command("completion")
@click.argument("shell", type=click.Choice(list(_LINES)), metavar="SHELL")
@click.argument("words", nargs=-1, metavar="[-- WORD...]")
def command(shell: str, words: tuple[str, ...]) -> None:
    """Let a shell complete calls of besom: commands, options, chores, people, areas, days.

    SHELL is bash, zsh or fish. The answer is a script that the shell runs. Type the line of your
    shell once, then open a new one:

    \b
      bash   echo 'eval "$(besom completion bash)"' >> ~/.bashrc
      zsh    echo 'eval "$(besom completion zsh)"' >> ~/.zshrc
      fish   besom completion fish > ~/.config/fish/completions/besom.fish

    The script asks in the same way, with the words of a call behind --. The answer is then what
    may stand in place of the last word, by the book that the call names or would find.

    \b
    Examples:
      besom completion bash                    the script
      besom completion fish -- due --for ''    the people of the book
    """
    if not words:
        give(Path(__file__).with_name("shells").joinpath(shell).read_text("utf-8"))
        return
    # A shell asks at a key. Whatever is wrong with the call or the book, it is told elsewhere.
    with suppress(Exception):
        _answer(shell, words)


def _answer(shell: str, words: Sequence[str]) -> None:
    from ledger.cli.next_words import FILE, next_words

    raw = _whole(words) if shell == "bash" else list(words)
    begun = raw[-1]
    if shell == "bash":
        raw = [_without_quotes(word) for word in raw]
    elif shell == "fish":
        raw[-1] = _without_quotes(begun)
    found = next_words(click.get_current_context().find_root(), raw)
    if any(word.type == FILE for word in found):
        give("files\n")
        return
    # No shell is handed what could upset its terminal.
    sound = (word for word in found if safe(word.value) == word.value)
    lines = (_LINES[shell](word, begun) for word in sound)
    give("".join(f"{line}\n" for line in ["words", *lines]))


def _whole(words: Sequence[str]) -> list[str]:
    """The words of bash, to which the `=` of `--by=tam` is a word of its own."""
    whole: list[str] = []
    for word in words:
        if whole and whole[-1].startswith("--") and (word == "=" or whole[-1].endswith("=")):
            whole[-1] += word
        else:
            whole.append(word)
    return whole


def _without_quotes(word: str) -> str:
    """A word without its quotes, of which the last may still be open."""
    from click.shell_completion import split_arg_string

    return " ".join(split_arg_string(word))
