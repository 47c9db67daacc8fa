"""Wrong calls: what is wrong with a call, and the nearest right one as a line to type.

Imported only where a call is wrong.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Sequence
from typing import NamedTuple

import click
from click.exceptions import NoArgsIsHelpError

from ledger.cli import other_words
from ledger.cli.call_text import shown, typed_line, with_last, wrapped
from ledger.cli.command_paths import commands_below, path_of
from ledger.cli.days import DAY_WORDS
from ledger.cli.faults import WrongCall, is_day, options_of, replacing
from ledger.text.near import nearest

_ROUNDS = 5
"""How many faults of one call are set right, one after the other."""
_FEW = 4
_RECORDING = frozenset({"did", "skipped", "moved", "worked"})
"""Commands that each record another thing: one is never offered for another."""
_DASH = re.compile("[\u2010-\u2015\u2212]+(?=[a-z])")
"""Dashes that a keyboard makes of hyphens."""
_EXTRA = re.compile(r"^Got unexpected extra arguments? \((.*)\)$", re.DOTALL)
_MEANINGS = {
    "CHORE": "the name of a chore",
    "NAME": "the name of a chore",
    "MINUTES": "a number of minutes",
    "DAY": "a day",
    "OLD": "the older version: a folder, a file or a revision of git",
    "BASE": "the version that both others come from",
    "OURS": "the file with our changes",
    "THEIRS": "the file with their changes",
}


class Correction(NamedTuple):
    """What is wrong with a call, and the call without that fault; there may be others in it."""

    message: str
    words: list[str] | None = None
    """None where no right call is near."""


def told(fault: click.ClickException, words: Sequence[str]) -> str:
    """What the person who typed these words is told; each line ends with a line feed."""
    if isinstance(fault, NoArgsIsHelpError) and not words:
        return f"{fault.message}\n"
    words = list(words)
    text = wrapped(f"Error: {_correction(fault, words).message}")
    return f"{text}\n{typed_line(_right_words(fault, words))}"


def _right_words(fault: click.ClickException, words: Sequence[str]) -> list[str] | None:
    """The call with its faults set right one by one; None if one of them cannot be."""
    if not isinstance(fault, click.UsageError) or fault.ctx is None:
        return None
    group = fault.ctx.find_root()
    found: click.UsageError | None = fault
    for _ in range(_ROUNDS):
        if found is None:
            break
        right = _correction(found, words).words
        if right is None or right == words:
            return None
        words = right
        if any(word in group.help_option_names for word in words):
            return [*_command_words(group, words), "--help"]
        found = _fault_of(group, words)
    return list(words) if found is None else None


def _command_words(ctx: click.Context, words: Sequence[str]) -> list[str]:
    """The words at the beginning of a call that name its command."""
    named: list[str] = []
    for word in words:
        found = ctx.command.get_command(ctx, word) if isinstance(ctx.command, click.Group) else None
        if found is None:
            break
        named.append(word)
        ctx = click.Context(found, ctx, word)
    return named


def _fault_of(ctx: click.Context, words: list[str]) -> click.UsageError | None:
    """What is wrong with the words of a call, as far as they tell without a book."""
    if words in ([], ["--version"]):
        return None
    try:
        while isinstance(ctx.command, click.Group):
            name, command, words = ctx.command.resolve_command(ctx, words)
            assert command is not None
            ctx = command.make_context(name, list(words), parent=ctx)
    except click.UsageError as fault:
        return fault
    return None


def _correction(fault: click.ClickException, words: Sequence[str]) -> Correction:
    """What is wrong, and the call without it."""
    dashed = next((word for word in words if _DASH.match(word)), None)
    if dashed is not None and isinstance(fault, click.UsageError):
        right = _DASH.sub("--", dashed, count=1)
        message = f"{shown(dashed)} begins with a dash; an option begins with two hyphens"
        return Correction(message, replacing(dashed, right)(words))
    match fault:
        case WrongCall():
            return Correction(fault.message, fault.right(words))
        case NoArgsIsHelpError(ctx=click.Context() as ctx):
            return _no_command(ctx)
        case click.NoSuchOption(ctx=click.Context() as ctx):
            return _no_such_option(ctx, fault.option_name, words)
        case click.MissingParameter(ctx=click.Context() as ctx, param=click.Argument() as argument):
            return _missing(ctx, argument)
        case click.BadOptionUsage(ctx=click.Context() as ctx):
            return _bad_use(ctx, fault.option_name, words)
        case click.BadParameter():
            return _bad_value(fault, words)
        case click.UsageError(ctx=click.Context() as ctx) if extra := _EXTRA.match(fault.message):
            return _too_many(ctx, extra[1], words)
    return Correction(fault.message)


# ------------------------------------------------------------------------------------ commands


def no_such_command(ctx: click.Context, words: Sequence[str], known: Sequence[str]) -> WrongCall:
    """The fault of a call that begins with no command of a group, with the one it probably
    meant."""
    word, path = words[0], path_of(ctx)
    above = "".join(f"{name} " for name in path)
    others = {
        own.removeprefix(above): theirs
        for own, theirs in other_words.COMMANDS.items()
        if own.startswith(above)
    }
    said = f'there is no command "{shown(" ".join([*path, word]))}"'
    if word == "help":
        right = [*path, *words[1:2], "--help"]
        return WrongCall(f"{said}; did you mean `besom {shown(' '.join(right))}`?",
                         lambda _: right, ctx)  # fmt: skip
    folded = word.casefold()
    begun = [name for name in known if len(folded) > 1 and name.startswith(folded)]
    near = (
        other_words.ours(folded, others, [*known, *options_of(ctx, ctx.command)])
        or (f"due --on {folded}" if "due" in known and is_day(folded) else None)
        or (begun[0] if len(begun) == 1 else nearest(word, known))
    )
    if near is None:
        return WrongCall(f"{said}; `{ctx.command_path} --help` lists them all",
                         lambda _: None, ctx)  # fmt: skip
    meant = " ".join([*path, near])
    return WrongCall(f"{said}; did you mean `{meant}`?", replacing(word, *near.split()), ctx)


def _no_command(ctx: click.Context) -> Correction:
    """A group that is called without one of its commands."""
    assert isinstance(ctx.command, click.Group)
    known = [f"`{name}`" for name in ctx.command.list_commands(ctx)]
    said = f"`{ctx.command_path}` needs one of its commands: {with_last(known, 'or')}"
    return Correction(f"{said}; for example:", next(iter(_examples(ctx.command)), None))


# ------------------------------------------------------------------------------------- options


def _typed(words: Sequence[str], option: str) -> str:
    """The word of a call that Click took for an option: `-on` is `-o` to it."""
    for word in words:
        if word.partition("=")[0] == option or (word.startswith(option) and option[1:2] != "-"):
            return word
    return option


def _no_such_option(ctx: click.Context, option: str, words: Sequence[str]) -> Correction:
    typed = _typed(words, option)
    name, glued, value = typed.partition("=")
    said = f"`{ctx.command_path}` has no option {shown(name)}"
    right = _option_for(ctx, ctx.command, name)
    if right is None and isinstance(ctx.command, click.Group):
        return _before_command(ctx, ctx.command, name, words)
    if right is None:
        return _of_another(ctx, name, words) or Correction(
            f"{said}; `{ctx.command_path} --help` lists what it has"
        )
    said += f"; did you mean `{' '.join(right)}`?" if right else "; write its value alone"
    if not right and words[1:2] == [name]:
        # `did --minutes 35 oven`: minutes follow a chore.
        return Correction(said, [*words[:1], *words[3:], *words[2:3]])
    if glued:
        right = [*right[:-1], f"{right[-1]}={value}"] if right else [value]
    return Correction(said, replacing(typed, *right)(words))


def _option_for(ctx: click.Context, command: click.Command, name: str) -> list[str] | None:
    """The words for an option that a command does not have; none where its value stands alone."""
    options = options_of(ctx, command)
    bare = name.lstrip("-").replace("_", "-").casefold()
    if (own := f"--{bare}") in options:
        return [own]
    form = options.get("--as")
    if form is not None and isinstance(form.type, click.Choice):
        choices = [str(choice) for choice in form.type.choices]
        value = bare if bare in choices else other_words.ours(bare, other_words.VALUES, choices)
        if value is not None:
            return ["--as", value]
    if (other := other_words.ours(bare, other_words.OPTIONS, options)) is not None:
        return [other]
    if other_words.ours(bare, other_words.ARGUMENTS, _arguments(command)) is not None:
        return []
    begun = [own for own in options if own.startswith(f"--{bare}") and bare]
    if len(begun) == 1:
        return begun
    near = nearest(bare, [own.lstrip("-") for own in options])
    # One slip makes any two letters of any others.
    return [f"--{near}"] if near and (len(bare) > 2 or near[0] == bare[:1]) else None


def _arguments(command: click.Command) -> list[str]:
    """The names of the arguments of a command, as its help shows them."""
    return [
        name
        for parameter in command.params
        if isinstance(parameter, click.Argument)
        for name in _names(parameter)
    ]


def _names(argument: click.Parameter) -> list[str]:
    return re.findall("[A-Z]+", argument.metavar or (argument.name or "").upper())


def _before_command(
    ctx: click.Context, group: click.Group, name: str, words: Sequence[str]
) -> Correction:
    """An option before the command goes after it."""
    path = path_of(ctx)
    known = group.list_commands(ctx)
    rest = list(words[len(path) :])
    usual = "due" if "due" in known else ""
    command = next((word for word in rest if word in known), usual)
    found = group.get_command(ctx, command)
    if found is None or _option_for(ctx, found, name) is None:
        called = ctx.command_path
        shown_call = f"`{called}`" if path else called
        return Correction(
            f"{shown_call} has no option {shown(name)}; `{called} --help` lists what it has"
        )
    if command in rest:
        rest.remove(command)
    right = [*path, command, *rest]
    return Correction(f"an option such as {shown(name)} goes after a command", right)


def _of_another(ctx: click.Context, name: str, words: Sequence[str]) -> Correction | None:
    """The same call of a command that has the option; an option of many commands says little.
    Where the call would record one thing and the other command another, no call is offered."""
    having = [
        other
        for other in commands_below(ctx.find_root())
        if not isinstance(other.command, click.Group) and name in options_of(other, other.command)
    ]
    if not 0 < len(having) <= _FEW:
        return None
    said = f"`{ctx.command_path}` has no option {shown(name)}; "
    said += with_last([f"`{other.command_path}`" for other in having], "and")
    said += " has" if len(having) == 1 else " have"
    if {ctx.command.name, having[0].command.name} <= _RECORDING:
        return Correction(f"{said}; `{ctx.command_path} --help` lists what it has")
    return Correction(said, [*path_of(having[0]), *words[len(path_of(ctx)) :]])


# ------------------------------------------------------------------------------ values of options


def _bad_use(ctx: click.Context, name: str, words: Sequence[str]) -> Correction:
    """An option without its value, or a flag with one."""
    option = options_of(ctx, ctx.command)[name]
    if option.is_flag:
        return Correction(f"{name} takes no value", replacing(_typed(words, name), name)(words))
    at = [*words, name].index(name) + 1
    value = _example_value(ctx.command, option)
    right = [*words[:at], value, *words[at:]] if value else None
    behind = f", and {words[at]} is an option" if at < len(words) else ""
    what = option.make_metavar(ctx)
    if isinstance(option.type, click.Choice):
        what = with_last([str(choice) for choice in option.type.choices], "or")
    return Correction(f"{name} needs a value: {what}{behind}", right)


def _bad_value(fault: click.BadParameter, words: Sequence[str]) -> Correction:
    option, hint = fault.param, fault.param_hint
    if hint is None and option is not None:
        hint = option.opts[0] if isinstance(option, click.Option) else _names(option)[0]
    name = str(hint)
    value = _value(words, name)
    message = f"{name}: {fault.message}"
    kind = option.type if option is not None else None
    choices = [str(choice) for choice in kind.choices] if isinstance(kind, click.Choice) else []
    if choices:
        message = f"{name} takes {with_last(choices, 'or')}"
    if value is None:
        return Correction(message)
    near: str | None = None
    if choices:
        message += f', not "{shown(value)}"'
        near = other_words.ours(value.casefold(), other_words.VALUES, choices)
        near = near or nearest(value, choices)
    elif name == "--on":
        near = nearest(value.strip(), DAY_WORDS)
    elif fault.ctx is not None and isinstance(option, click.Option) and option.metavar == "N":
        number = re.match("[1-9][0-9]{0,3}(?![0-9.,])", value)
        near = number[0] if number else _example_value(fault.ctx.command, option)
    return Correction(message, _with_value(words, name, near) if near else None)


def _value(words: Sequence[str], name: str) -> str | None:
    """The last value of an option in a call."""
    values = [words[at] for at in range(1, len(words)) if words[at - 1] == name]
    values += [word.partition("=")[2] for word in words if word.startswith(f"{name}=")]
    return values[-1] if values else None


def _with_value(words: Sequence[str], name: str, value: str) -> list[str]:
    """The call with another value of an option."""
    return [
        value if at and words[at - 1] == name
        else f"{name}={value}" if word.startswith(f"{name}=")
        else word
        for at, word in enumerate(words)
    ]  # fmt: skip


def _example_value(command: click.Command, option: click.Option) -> str | None:
    """A value that the option may have: one of an example of the help, a choice or a number."""
    values = [_value(example, option.opts[0]) for example in _examples(command)]
    usual = {"DAY": "tomorrow", "N": "10"}.get(option.metavar or "")
    if isinstance(option.type, click.Choice):
        usual = str(option.type.choices[0])
    return next((value for value in values if value), usual)


def _examples(command: click.Command) -> list[list[str]]:
    """The calls that the help of a command shows, without `besom`."""
    lines = re.findall(r"^ *besom (.*?)(?:   .*)?$", command.help or "", re.MULTILINE)
    return [shlex.split(line) for line in lines]


# ----------------------------------------------------------------------------------- arguments


def _missing(ctx: click.Context, argument: click.Argument) -> Correction:
    name = _names(argument)[0]
    what = f"{name}, {_MEANINGS[name]}" if name in _MEANINGS else name
    path = path_of(ctx)
    examples = [words for words in _examples(ctx.command) if words[: len(path)] == path]
    return Correction(f"`{ctx.command_path}` needs {what}; for example:", examples[0])


def _too_many(ctx: click.Context, extra: str, words: Sequence[str]) -> Correction:
    """A word more than the command takes; if it is a day, it goes behind `--on`."""
    options = options_of(ctx, ctx.command)
    given = [extra] if extra in words else extra.split(" ")
    many = "is one word" if len(given) == 1 else f"are {len(given)} words"
    said = f'"{shown(extra)}" {many} too many for `{ctx.command_path}`'
    right = list(words)
    for word in reversed(given):
        if word not in right:
            return Correction(said)
        at = len(right) - 1 - right[::-1].index(word)
        right[at : at + 1] = ["--on", word] if "--on" in options and is_day(word) else []
    if "--on" in right and "--on" not in words:
        return Correction("the day goes after --on", right)
    return Correction(said, right)
