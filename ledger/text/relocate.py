"""Relocating: puts chore lines under other headers and changes nothing else in a file."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from typing import NamedTuple

from ledger.text.clauses import SectionHeader
from ledger.text.source import Source
from ledger.text.tree import Tree


class Destination(NamedTuple):
    """A line: the path of its file, and its number, counted from 0."""

    path: str
    line: int


class Relocation(NamedTuple):
    """A chore line, and where it goes."""

    line: Destination
    header: Destination
    """The header to put it under. For a new header, the one whose section it follows."""
    new: str | None = None
    """The text of a new header; lines with the same text and place share it."""


class _Page:
    """One file while lines leave it and arrive."""

    def __init__(self, tree: Tree) -> None:
        self.tree = tree
        self.newline = tree.source.newline
        self.ends_open = bool(tree.source.text) and not tree.source.text.endswith("\n")
        texts = tree.source.text.split("\n")
        last = texts.pop()
        self.texts = [text + "\n" for text in texts] + [last + self.newline] * self.ends_open
        # Record lines are left out: no section ends at one.
        self.lines = {line.number: line for line in tree.lines}
        self.leaving: set[int] = set()
        self.arriving: dict[int, list[str]] = {}
        """Lines to insert, by the line that they follow."""
        self.opening: dict[tuple[int, str], list[str]] = {}
        """Lines of a new section, by the line that it follows and its header."""

    def taken(self, number: int) -> list[str]:
        """Take out a chore line with the comments right above it and its steps."""
        first = number
        while self._is_comment(first - 1):
            first -= 1
        # The marks of an unfinished merge stay where they are.
        going = [n for n in range(first, self._last_step(number) + 1) if not self._is_mark(n)]
        self.leaving.update(going)
        return [self.texts[n] for n in going]

    def put(self, header: int, texts: Sequence[str]) -> None:
        """Write lines at the end of a section."""
        place = max(self._below(header), default=header)
        self.arriving.setdefault(place, []).extend(texts)

    def put_new(self, header: int, new: str, texts: Sequence[str]) -> None:
        """Write lines under a new header, after a section and the comments at its end."""
        place = max(self._below(header), default=header)
        while self._is_comment(place + 1) and self.texts[place + 1][:1] in (" ", "\t"):
            place += 1
        self.opening.setdefault((place, new), []).extend(texts)

    def ended(self, texts: Sequence[str]) -> list[str]:
        """Lines of another file with the line end of this file."""
        return [text.removesuffix("\n").removesuffix("\r") + self.newline for text in texts]

    def _is_comment(self, number: int) -> bool:
        line = self.lines.get(number)
        return line is not None and line.is_comment

    def _is_mark(self, number: int) -> bool:
        return self.lines[number].taken_for == "mark"

    def _last_step(self, chore: int) -> int:
        """The line of a chore's last step; its own line where it has none."""
        last = number = chore
        while (line := self.lines.get(number + 1)) and (line.is_step or line.says_nothing):
            number += 1
            if line.is_step:
                last = number
        return last

    def _below(self, header: int) -> Iterator[int]:
        """The line numbers of a section's chores and steps, unreadable ones included."""
        for number, line in self.lines.items():
            if number > header:
                if line.opens:
                    return
                if line.is_chore or line.is_step:
                    yield number

    def written(self) -> Source:
        """The file with its lines in their new places."""
        empty = {number for number in self._headers() if self._is_emptied(number)}
        texts: list[str] = []
        for number, text in enumerate(self.texts):
            if number in empty:
                comment = self.lines[number].comment
                if comment is not None:
                    texts.append(comment.value + self.newline)
                elif texts and _is_blank(texts[-1]) and _is_blank(self._next_remaining(number)):
                    texts.pop()
            elif number not in self.leaving:
                texts.append(text)
            texts += self.arriving.get(number, [])
            for (place, new), lines in self.opening.items():
                if place == number:
                    texts += [self.newline, new + self.newline, *lines]
        text = "".join(texts)
        if self.ends_open:
            text = text.removesuffix("\n").removesuffix("\r")
        return replace(self.tree.source, text=text)

    def _headers(self) -> Iterator[int]:
        for number, line in self.lines.items():
            if isinstance(line.node, SectionHeader):
                yield number

    def _is_emptied(self, header: int) -> bool:
        """True for a header whose chores have all left and where none arrived."""
        below = set(self._below(header))
        remaining = below - self.leaving or self.arriving.keys() & {header, *below}
        return bool(below) and not remaining

    def _next_remaining(self, number: int) -> str:
        """The next line that stays; an empty text at the end of the file."""
        numbers = range(number + 1, len(self.texts))
        return next((self.texts[n] for n in numbers if n not in self.leaving), "")


def relocate(trees: Iterable[Tree], moves: Sequence[Relocation]) -> dict[str, Source]:
    """The files that change, by path, with the lines in their new places.

    A line goes after the last chore of its new section, with the comments right above it and with
    its steps. A section
    left without chores loses its header but keeps the header's comment. Line ends stay, and a file
    that was formatted is formatted again. Raises FormatFault where formatting would change what it
    says.
    """
    touched = {line.path for move in moves for line in move[:2]}
    pages = {tree.source.path: _Page(tree) for tree in trees if tree.source.path in touched}
    for move in moves:
        texts, page = pages[move.line.path].taken(move.line.line), pages[move.header.path]
        if move.line.path != move.header.path:
            texts = page.ended(texts)
        if move.new is None:
            page.put(move.header.line, texts)
        else:
            page.put_new(move.header.line, move.new, texts)
    return {path: _in_shape(page) for path, page in pages.items()}


def _in_shape(page: _Page) -> Source:
    # Imported late: this module is loaded before it is known whether anything moves.
    from ledger.text.formatter import formatted, is_formatted
    from ledger.text.reader import Reader

    source = page.written()
    if not is_formatted(page.tree):
        return source
    text = formatted(Reader().read(source))
    return Source.decode(source.path, text.encode("utf-8", "surrogateescape"))


def _is_blank(text: str) -> bool:
    return not text.strip()
