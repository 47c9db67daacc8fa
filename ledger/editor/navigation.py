"""Definition and references: from a name to its declaration, and to all its places."""

from __future__ import annotations

from lsprotocol import types as lsp

from ledger.editor.names import cursor_position, name_at, places_of
from ledger.editor.view import View


def definition(view: View, uri: str, position: lsp.Position) -> list[lsp.Location]:
    """Where the name at a position is declared: an area, a person, each line of a chore."""
    named = name_at(view, cursor_position(view, uri, position))
    if named is None:
        return []
    places = places_of(view, named.kind, named.name.value, declared_only=True)
    return [view.location(place) for place in places]


def references(
    view: View, uri: str, position: lsp.Position, with_declaration: bool
) -> list[lsp.Location]:
    """All places of the name at a position, in all files of the household."""
    named = name_at(view, cursor_position(view, uri, position))
    if named is None:
        return []
    name = named.kind, named.name.value
    left_out = set() if with_declaration else set(places_of(view, *name, declared_only=True))
    return [view.location(place) for place in places_of(view, *name) if place not in left_out]
