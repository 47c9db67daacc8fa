"""Rename: a chore, an area, a person, a thing or named days get another name everywhere."""

from __future__ import annotations

import unicodedata

from lsprotocol import types as lsp

from ledger.editor.names import (
    AREA,
    CHORE,
    NAMED_DAYS,
    PERSON,
    NameUse,
    cursor_position,
    name_at,
    places_of,
)
from ledger.editor.view import View
from ledger.text.classes import is_name
from ledger.text.record_line import NOT_PEOPLE
from ledger.text.source import TextRange
from ledger.text.values import MONTH_NUMBERS


class RenameRefused(Exception):
    """A name that cannot be given; the message says why."""


def prepare(view: View, uri: str, position: lsp.Position) -> lsp.PrepareRenamePlaceholder | None:
    """The name at a position with its range; None if there is no name."""
    where = cursor_position(view, uri, position)
    named = name_at(view, where)
    if named is None:
        return None
    range_ = view.positions(where.path).range(where.line, named.name.start, named.name.end)
    return lsp.PrepareRenamePlaceholder(range_, named.name.value)


def rename(
    view: View, uri: str, position: lsp.Position, new: str
) -> dict[str, list[lsp.TextEdit]] | None:
    """The edits, by path, that rename the name at a position in all files.

    None if there is no name. Raises RenameRefused for what cannot be a name, and for a name that
    another of its kind has.
    """
    named = name_at(view, cursor_position(view, uri, position))
    if named is None:
        return None
    name = unicodedata.normalize("NFC", new.strip())
    _refuse(view, named, name)
    edits: dict[str, list[lsp.TextEdit]] = {}
    for place in places_of(view, named.kind, named.name.value):
        edits.setdefault(place.source.path, []).append(lsp.TextEdit(view.range(place), name))
    return edits


def _refuse(view: View, named: NameUse, name: str) -> None:
    if not is_name(name):
        raise RenameRefused(
            f"{name!r} cannot be a name: write a letter, then letters, digits and hyphens"
        )
    if named.kind == PERSON and name in NOT_PEOPLE:
        raise RenameRefused(f"nobody can be called {name!r}: `by` and `limit` say it of days")
    if named.kind == NAMED_DAYS and (name in NOT_PEOPLE or name in MONTH_NUMBERS):
        raise RenameRefused(f"no days can be called {name!r}: a book says that of other days")
    taken = _taken(view, named, name) if name != named.name.value else None
    if taken is not None:
        raise RenameRefused(f"{name!r} is {_what_has(view, named.kind, name)}, at {taken}")


def _what_has(view: View, kind: str, name: str) -> str:
    """What has a name that something else of the same kind, or of a near one, cannot have too."""
    is_person = name in view.household.people
    if kind == NAMED_DAYS:
        return "a person" if is_person else "another name for days"
    if kind == PERSON and not is_person and name in view.household.named_days:
        return "a name for days"
    return f"another {kind}"


def _taken(view: View, named: NameUse, name: str) -> TextRange | None:
    """The place of another thing of the same kind that has a name; None if there is none."""
    household = view.household
    if named.kind == CHORE and name in household.chores:
        return household.chores[name].routines[0].name_place
    if named.kind == AREA and name in household.areas:
        return household.areas[name].place
    if named.kind in (PERSON, NAMED_DAYS):
        # One name cannot be both: `limit` and `rest` would say two things.
        other = household.people.get(name) or household.named_days.get(name)
        if other is not None:
            return other.place
    # A name that is used and never declared would be mixed with the renamed one.
    return next(places_of(view, named.kind, name), None)
