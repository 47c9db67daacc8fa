"""A calendar that files are imported into, as two standards have it: RFC 5545 (iCalendar,
September 2009), 3.8.4.7 and 3.8.7.4, and RFC 5546 (iTIP, December 2009), 2.1.5."""

from __future__ import annotations

from typing import NamedTuple

from calendar_rules import Component, components, unfolded


class Identity(NamedTuple):
    """What an entry is known by: two of one identity are two revisions of one entry."""

    uid: str
    day: str
    """Which one of its row, where it is about one alone (RECURRENCE-ID)."""


class Revision(NamedTuple):
    """Which of two revisions is newer: by SEQUENCE, and where these are equal by DTSTAMP."""

    sequence: int
    stamp: str


Entries = dict[Identity, Component]


def entries_of(calendar: bytes) -> Entries:
    """The events and to-dos of a calendar, each by its identity."""
    (root,), _ = components(unfolded(calendar)[0])
    return {Identity(one.value("UID"), one.value("RECURRENCE-ID")): one for one in root.parts}


def revision(entry: Component) -> Revision:
    """The revision of an entry."""
    return Revision(int(entry.value("SEQUENCE") or 0), entry.value("DTSTAMP"))


class Store:
    """Entries that stay until a newer revision of them comes. Nothing is ever taken away."""

    def __init__(self) -> None:
        self.entries: Entries = {}

    def take(self, calendar: bytes) -> None:
        """Import a file."""
        for identity, entry in entries_of(calendar).items():
            before = self.entries.get(identity)
            if before is None or revision(entry) > revision(before):
                self.entries[identity] = entry

    def of(self, uids: set[str]) -> Entries:
        """The entries of some UIDs."""
        return {one: entry for one, entry in self.entries.items() if one.uid in uids}

    @property
    def uids(self) -> set[str]:
        """The UIDs of all entries."""
        return {one.uid for one in self.entries}
