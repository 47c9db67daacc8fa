"""Keepers: what is read and linted again and again is what reading it all anew would give."""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from edits import typing

from ledger.keepers import FileKeeper, HouseholdKeeper
from ledger.lint.book import Book
from ledger.lint.engine import lint
from ledger.lint.memory import Memory
from ledger.text.finding import Finding
from ledger.text.source import Source
from ledger.workspace import Workspace, WorkspaceFault, read_sources

TODAY = 739945
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


def linted(workspace: Workspace, memory: Memory) -> list[Finding]:
    return lint(Book(workspace.trees, workspace.household, TODAY, memory), workspace.findings)


def said(findings: list[Finding]) -> list[tuple[object, ...]]:
    """The findings, their places as people count them: a kept one may name an older source."""
    return [
        (str(one.place), one.place.end, one.rule, one.severity, one.message, one.why, one.fix,
         [(str(place), place.end) for place in one.see])
        for one in findings
    ]  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_household_typed_in_is_the_one_read_anew(seed: int) -> None:
    chance, keeper, memory = random.Random(seed), HouseholdKeeper(), Memory()
    texts = {"2026.chores": RECORD, "home.chores": HOME}
    sources = {path: Source(path, text) for path, text in texts.items()}
    for step in range(80):
        path = chance.choice(sorted(texts))
        # Most keys are typed away again, and a chore is often out of sorts for a few.
        text = texts[path] if step % 10 == 9 else sources[path].text
        sources[path] = Source(path, typing(chance, text).applied(text))
        kept, anew = keeper.read(sources.values()), read_sources(sources.values())
        assert kept.household == anew.household
        assert [tree.lines for tree in kept.trees] == [tree.lines for tree in anew.trees]
        assert list(kept.household.log.lines) == list(anew.household.log.lines)
        assert dict(kept.household.log.by_chore) == dict(anew.household.log.by_chore)
        assert said(linted(kept, memory)) == said(linted(anew, Memory()))


def test_text_that_did_not_change_is_not_read_again() -> None:
    keeper = HouseholdKeeper()
    record, home = Source("2026.chores", RECORD), Source("home.chores", HOME)
    first = keeper.read([record, home])
    second = keeper.read([record, Source("home.chores", HOME + "    hob  5 min\n")])
    assert second.trees[0] is first.trees[0]
    assert second.household.log is first.household.log
    assert second.household.chores["oven"] is first.household.chores["oven"]
    assert "hob" in second.household.chores


def test_chore_that_is_half_typed_leaves_the_record_as_it_is() -> None:
    keeper, record = HouseholdKeeper(), Source("2026.chores", RECORD)
    whole = keeper.read([record, Source("home.chores", HOME)]).household.log
    for words in ("40 min i", "40 min in", "40 min in "):
        home = Source("home.chores", HOME.replace("40 min  in küche", words))
        half = keeper.read([record, home]).household.log
        assert "oven" not in half.by_chore
        assert half.by_chore["bins"] == whole.by_chore["bins"]
    assert keeper.read([record, Source("home.chores", HOME)]).household.log is whole


def test_chore_that_moves_down_a_line_is_another() -> None:
    keeper = HouseholdKeeper()
    first = keeper.read([Source("home.chores", HOME)]).household.chores["oven"]
    second = keeper.read([Source("home.chores", "\n" + HOME)]).household.chores["oven"]
    assert second == first
    assert second.routines[0].place.line == first.routines[0].place.line + 1


def test_reader_forgets_lines_that_were_typed_over(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("ledger.keepers._LINES_TYPED", 50)
    keeper = HouseholdKeeper()
    for number in range(300):
        keeper.read([Source("home.chores", HOME + f"    chore-{number}  5 min\n")])
    assert keeper._reader.lines_in_mind < 100


def test_file_is_read_once_until_it_changes(tmp_path: Path) -> None:
    keeper, path = FileKeeper(), tmp_path / "home.chores"
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


def test_memory_asks_again_only_where_something_is_another() -> None:
    memory, asked = Memory(), list[None]()

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
