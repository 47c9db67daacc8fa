"""Caches: what is read and linted again and again is what reading it all anew would give."""

from __future__ import annotations

import os
import random
import sys
from collections.abc import Callable, Hashable, Sequence
from pathlib import Path
from typing import Any

import pytest
from edits import typing

from ledger.cache import FileCache, HouseholdCache
from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.lint.rule_cache import RuleCache
from ledger.text import reader
from ledger.text.edits import edited
from ledger.text.finding import Finding
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import Line, RecordEntry, Tree
from ledger.workspace import Workspace, WorkspaceFault, read_sources

TODAY = 739945
DAY = "2026-11-24"
HOME = """\
person noor
person tam
area kitchen
area küche "🍲 Küche"
limit weekday 30 min

every day "Blue tin"
    wash-up  15 min  in kitchen  by noor then tam
    sweep    10 min  in kitchen  after wash-up

every monday, thursday
    oven  40 min  in küche  uses lye
    bins   5 min  by each
"""
RECORD = """\
2026-11-20 did wash-up 12 min by noor
2026-11-20 did oven 35 min, bins by tam
2026-11-21 did wash-up 14 min, sweep
2026-11-21 moved bins to 2026-11-22
2026-11-23 skipped oven "away"
2026-11-24 did bins by noor
"""
FULL_HOME = f"""\
limit tam school 15 min
days school 2026-11-02 to 2026-11-27
days trips every 2 weeks on saturday from 2026-11-14
away trips by tam
rest 2026-11-25 to 2026-11-26 by noor
{HOME}
2 times every week during school except wednesday
    hob  20 min  in kitchen  by noor and tam  vital
        - Soak it
"""
FULL_RECORD = f"""\
{RECORD}2026-11-24 worked hob 15 min by noor
2026-11-24 did hob 25 min
"""


def linted(workspace: Workspace, memory: RuleCache) -> list[Finding]:
    return lint(
        LintedBook(workspace.trees, workspace.household.on(TODAY), memory), workspace.findings
    )


def said(findings: list[Finding]) -> list[tuple[object, ...]]:
    """The findings, their places as people count them: a kept one may name an older source."""
    return list(map(said_of, findings))


def said_of(one: Finding) -> tuple[object, ...]:
    return (str(one.place), one.place.end, one.rule, one.severity, one.message, one.why, one.fix,
            [(str(place), place.end) for place in one.see], one.fixes)  # fmt: skip


def test_unknown_person_of_the_record_is_declared_where_the_last_one_now_stands() -> None:
    keeper, head = HouseholdCache(), ["person noor", "every day", "  oven"]
    record = Source("2026.chores", "2026-03-01 did oven by tam")
    for above in ([], ["# ours"], ["# ours", "person edie"], ["# ours", 'person edie "E"']):
        home = Source("home.chores", "\n".join([*above[:1], head[0], *above[1:], *head[1:]]))
        (found,) = keeper.read([record, home]).findings
        (mended,) = edited([record, home], found.fixes[-1].edits)
        assert mended.lines == [*above[:1], head[0], *above[1:], "person tam", *head[1:]]


@pytest.mark.parametrize("seed", range(4))
def test_household_typed_in_is_the_one_read_anew(seed: int) -> None:
    chance, keeper, memory = random.Random(seed), HouseholdCache(), RuleCache()
    texts = {"2026.chores": FULL_RECORD, "home.chores": FULL_HOME}
    sources = {path: Source(path, text) for path, text in texts.items()}
    for step in range(80):
        path = chance.choice(sorted(texts))
        # Most keys are typed away again, and a chore is often out of sorts for a few.
        text = texts[path] if step % 10 == 9 else sources[path].text
        sources[path] = Source(path, typing(chance, text).applied(text))
        kept, anew = keeper.read(sources.values()), read_sources(sources.values())
        hold_alike(kept, anew)
        assert said(linted(kept, memory)) == said(linted(anew, RuleCache()))


def hold_alike(kept: Workspace, anew: Workspace) -> None:
    """Hold what was kept to what was read anew, in all that a report or a rule can see."""
    assert kept.household == anew.household
    for one, other in zip(kept.trees, anew.trees, strict=True):
        assert one.lines == other.lines
        assert [line.number for line in one.lines] == [line.number for line in other.lines]
        assert [str(fault.place) for fault in one.faults()] == [
            str(fault.place) for fault in other.faults()
        ]
        assert one.record == other.record
        assert comments(one.record.entries) == comments(other.record.entries)
        assert one.record.kinds == dict(zip(tails(one), one.record.entries, strict=True))
    log, new = kept.household.log, anew.household.log
    assert list(log.lines) == list(new.lines)
    assert list(log.files) == list(new.files)
    assert comments(log.entries) == comments(new.entries)
    assert {name: list(lines) for name, lines in log.by_chore.items()} == new.by_chore
    assert log.moves == new.moves
    assert set(map(id, log.entries)) == log.kinds.keys()
    assert list(map(said_of, kept.findings)) == list(map(said_of, anew.findings))


def tails(tree: Tree) -> list[str]:
    return [tree.source.lines[number][10:] for number in tree.record.numbers]


def comments(entries: Sequence[RecordEntry]) -> list[str | None]:
    """What equality leaves out of entries."""
    return [entry.comment.value if entry.comment else None for entry in entries]


DAYS = ("2026-11-19", "2026-11-20", "2026-11-20", "2026-11-21", "2026-11-24", "2026-12-02")
TAILS = (
    " did oven", " did oven", " did  oven", " did oven # why", " did wash-up 12 min by noor",
    " did wash-up 300 min", " did sweep, oven, sweep", " did bins by tam", " did stove",
    " did stove, oven", " did oven by tamm", " moved bins to 2026-11-22",
    " moved oven to 2026-11-20",
    " did hob 5 min", " worked hob 30 min", " moved hob to 2026-11-27",
    " skipped sweep", " did ", "", " did wash-up 12 min by noor  # allow done-twice: it was",
)  # fmt: skip


def recorded(chance: random.Random, lines: list[str]) -> list[str]:
    """The lines of a record after some were written, struck out or put elsewhere."""
    lines = list(lines)
    at = chance.randrange(len(lines) + 1)
    kind = chance.randrange(8)
    if kind == 0:
        del lines[at : at + chance.choice((1, 1, 2, 90))]
    elif kind == 1 and lines:
        lines.insert(at, lines.pop(chance.randrange(len(lines))))
    elif kind == 2:
        lines[at : at + 1] = []
        lines.insert(at, "")
    else:
        new = [chance.choice(DAYS) + chance.choice(TAILS) for _ in range(chance.choice((1, 1, 3)))]
        lines[at : at + chance.randrange(2)] = new
    return lines


@pytest.mark.parametrize("seed", range(4))
def test_record_typed_in_is_the_one_read_anew(seed: int) -> None:
    """Three record files at once, of which one changes at a time, and now and then the routine."""
    chance, keeper, memory = random.Random(seed), HouseholdCache(), RuleCache()
    texts = {path: FULL_RECORD.splitlines() for path in ("1.chores", "2.chores", "3.chores")}
    homes = (
        FULL_HOME,
        FULL_HOME.replace("oven  40 min  in", "oven  40 mi in"),
        FULL_HOME.replace("sweep  ", "x "),
        FULL_HOME.replace("rest 2026", "# rest 2026"),
    )
    sources = {path: Source(path, "\n".join(lines)) for path, lines in texts.items()}
    for step in range(150):
        path = chance.choice(sorted(texts))
        texts[path] = recorded(chance, texts[path] if step % 40 < 39 else [])
        sources[path] = Source(path, "\n".join(texts[path]) + "\n" * chance.randrange(2))
        if step % 7 == 0:
            sources["home.chores"] = Source("home.chores", chance.choice(homes))
        kept, anew = keeper.read(sources.values()), read_sources(sources.values())
        hold_alike(kept, anew)
        assert said(linted(kept, memory)) == said(linted(anew, RuleCache()))


def test_of_a_record_only_new_lines_are_read(monkeypatch: pytest.MonkeyPatch) -> None:
    read: list[str] = []
    by_grammar, by_tail = Reader._line, reader._entry

    def line(self: Reader, source: Source, number: int, text: str) -> Line:
        read.append(text)
        return by_grammar(self, source, number, text)

    def entry(tail: str) -> RecordEntry | None:
        read.append(DAY + tail)
        return by_tail(tail)

    keeper, home = HouseholdCache(), Source("home.chores", HOME)
    keeper.read([Source("2026.chores", RECORD * 50), home])
    monkeypatch.setattr(Reader, "_line", line)
    monkeypatch.setattr(reader, "_entry", entry)
    for typed in (f"{DAY} di", f"{DAY} did", f"{DAY} did oven 3 min"):
        lines = [*(RECORD * 50).splitlines()[:100], typed, *(RECORD * 50).splitlines()[100:]]
        keeper.read([Source("2026.chores", "\n".join(lines)), home])
        assert set(read) == {typed}
        read.clear()


def test_rules_look_again_only_at_chores_whose_lines_changed(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    asked: list[Hashable] = []

    class Asked(RuleCache):
        def once(self, label: Hashable, make: Callable[[], Any], *made_from: object) -> Any:
            def made() -> Any:
                asked.append(label)
                return make()

            return super().once(label, made, *made_from)

    keeper, memory, home = HouseholdCache(), Asked(), Source("home.chores", HOME)
    linted(keeper.read([Source("2026.chores", RECORD), home]), memory)
    asked.clear()
    linted(
        keeper.read([Source("2026.chores", "\n" + RECORD + "2026-11-24 did sweep\n"), home]), memory
    )
    names = {label[1] for label in asked if isinstance(label, tuple)}
    assert names == {"sweep", "2026.chores"}
    # A chore that is half typed takes nothing from those that no line of its names.
    asked.clear()
    half = Source("home.chores", HOME.replace("sweep    10 min", "sweep    10 mi"))
    linted(keeper.read([Source("2026.chores", "\n" + RECORD), half]), memory)
    names = {label[1] for label in asked if isinstance(label, tuple) and "minutes" in str(label[0])}
    assert names <= {"sweep"}


def test_text_that_did_not_change_is_not_read_again() -> None:
    keeper = HouseholdCache()
    record, home = Source("2026.chores", RECORD), Source("home.chores", HOME)
    first = keeper.read([record, home])
    second = keeper.read([record, Source("home.chores", HOME + "    hob  5 min\n")])
    assert second.trees[0] is first.trees[0]
    assert second.household.log is first.household.log
    assert second.household.chores["oven"] is first.household.chores["oven"]
    assert "hob" in second.household.chores


def test_chore_that_is_half_typed_leaves_the_record_as_it_is() -> None:
    keeper, record = HouseholdCache(), Source("2026.chores", RECORD)
    whole = keeper.read([record, Source("home.chores", HOME)]).household.log
    for words in ("40 min i", "40 min in", "40 min in "):
        home = Source("home.chores", HOME.replace("40 min  in küche", words))
        half = keeper.read([record, home]).household.log
        assert "oven" not in half.by_chore
        assert half.by_chore["bins"] == whole.by_chore["bins"]
    assert keeper.read([record, Source("home.chores", HOME)]).household.log is whole


def test_chore_that_moves_down_a_line_is_another() -> None:
    keeper = HouseholdCache()
    first = keeper.read([Source("home.chores", HOME)]).household.chores["oven"]
    second = keeper.read([Source("home.chores", "\n" + HOME)]).household.chores["oven"]
    assert second == first
    assert second.routines[0].place.line == first.routines[0].place.line + 1


def test_reader_forgets_lines_that_were_typed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ledger.cache._LINES_TYPED", 50)
    keeper = HouseholdCache()
    for number in range(300):
        keeper.read([Source("home.chores", HOME + f"    chore-{number}  5 min\n")])
    assert keeper._reader.lines_in_mind < 100


def test_file_is_read_once_until_it_changes(tmp_path: Path) -> None:
    keeper, path = FileCache(), tmp_path / "home.chores"
    path.write_text(HOME)
    first = keeper.source(path)
    assert keeper.source(path) is first
    assert keeper.readings == 1
    path.write_text(HOME + "\n")
    assert keeper.source(path).text == HOME + "\n"
    assert keeper.readings == 2
    other = tmp_path / "other"
    other.write_text(HOME + "#")
    other.replace(path)
    assert keeper.source(path).text == HOME + "#"
    path.unlink()
    with pytest.raises(WorkspaceFault, match="cannot be read"):
        keeper.source(path)


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such files")
def test_file_that_may_never_end_is_not_read(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.chores")
    (tmp_path / "zero.chores").symlink_to("/dev/zero")
    (tmp_path / "folder.chores").mkdir()
    for path in tmp_path.iterdir():
        with pytest.raises(WorkspaceFault, match="cannot be read"):
            FileCache().source(path)


def test_memory_asks_again_only_where_something_is_another() -> None:
    memory, asked = RuleCache(), list[None]()

    def make() -> int:
        asked.append(None)
        return len(asked)

    thing, other = object(), object()
    assert [memory.once("label", make, thing, [1]) for _ in range(3)] == [1, 1, 1]
    assert memory.once("label", make, thing, [2]) == 2
    assert memory.once("label", make, other, [1]) == 3
    # The latest two are known: a word half typed and what it was before.
    assert memory.once("label", make, thing, [2]) == 2
    assert memory.once("label", make, thing, [1]) == 4
    memory.settle()
    memory.settle()
    assert memory.once("label", make, thing, [1]) == 5
