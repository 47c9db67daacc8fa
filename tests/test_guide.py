"""The guide: its books lint clean, its lists are what the commands print, its dates are right.

The oracle of its dates is python-dateutil's `rrule`, which follows RFC 5545.
"""

from __future__ import annotations

import re
import shlex
from collections.abc import Iterator
from datetime import date, datetime, time
from pathlib import Path
from typing import Any, NamedTuple, get_args

import click
import pytest
from click.testing import Result
from dateutil.rrule import rrulestr
from lark import Lark, Tree
from test_cli import besom, stop_clock, without_seconds

from ledger.calendar.windows import Timeline
from ledger.cli.main import main
from ledger.text.clauses import CLAUSES, ChoreLine, NamedDays, SectionHeader, clause_values
from ledger.text.grammar import STARTS, grammar_text
from ledger.text.parts import CadenceKind
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import Step
from ledger.workspace import read_sources

ROOT = Path(__file__).parents[1]
GUIDE = (ROOT / "grammar" / "GUIDE.md").read_text("utf-8")
TODAY = date(2026, 9, 14)
BLOCKS = re.findall(r"^```(chores)?\n(.*?)^```$", GUIDE, re.DOTALL | re.MULTILINE)
BOOKS = [text for kind, text in BLOCKS if kind]
PROSE = re.sub(r"\s+", " ", re.sub(r"^```.*?^```$", "", GUIDE, flags=re.DOTALL | re.MULTILINE))
DATE = r"[A-Z][a-z]+day \d{1,2} [A-Z][a-z]+ \d{4}"

# ------------------------------------------------------------------------- the running book


class Shown(NamedTuple):
    """What the guide shows of a command, and what the command said."""

    command: str
    shown: str
    said: Result


class Walk(NamedTuple):
    """The guide read from its beginning to its end."""

    lints: list[tuple[str, Result]]
    """Each addition to the book, with what lint says once it is there."""
    outputs: list[Shown]


def day_of(spelt_date: str) -> date:
    """The date of `Monday 14 September 2026`."""
    return datetime.strptime(spelt_date, "%A %d %B %Y").date()


@pytest.fixture(scope="module")
def walk(tmp_path_factory: pytest.TempPathFactory) -> Walk:
    done = Walk([], [])
    with pytest.MonkeyPatch.context() as patch:
        stop_clock(patch, datetime.combine(TODAY, time(20)))
        for kind, text in BLOCKS:
            if text.startswith("household "):
                patch.chdir(tmp_path_factory.mktemp("home"))
                Path("home.chores").write_text(text, "utf-8")
            elif kind:
                with Path("home.chores").open("a", encoding="utf-8") as book:
                    book.write(f"\n{text}")
            if kind:
                done.lints.append((text, besom("lint")))
            else:
                command, _, shown = text.partition("\n")
                words = shlex.split(command.removeprefix("$ besom "))
                # A list without `--on` is of the day that it shows.
                heading = re.match(DATE, shown)
                on = TODAY if heading is None or "--on" in words else day_of(heading[0])
                stop_clock(patch, datetime.combine(on, time(20)))
                done.outputs.append(Shown(command, shown, besom(*words)))
    return done


def test_every_book_lints_without_a_finding(walk: Walk) -> None:
    assert len(walk.lints) == len(BOOKS) >= 14
    for text, said in walk.lints:
        assert (said.exit_code, said.stderr) == (0, ""), text + said.stdout


def test_every_list_is_what_the_command_prints(walk: Walk) -> None:
    assert len(walk.outputs) >= 10
    for command, shown, said in walk.outputs:
        assert (said.exit_code, said.stderr) == (0, ""), command
        pieces = re.split(r"^\.\.\.\n", without_seconds(shown), flags=re.MULTILINE)
        printed = re.fullmatch("(?s:.*)".join(map(re.escape, pieces)), without_seconds(said.stdout))
        assert printed is not None, f"{command}\n{said.stdout}"
        assert len(shown.split("\n")) > 1


def test_a_part_is_at_most_one_screen() -> None:
    parts = re.split(r"^## ", GUIDE, flags=re.MULTILINE)
    assert len(parts) > 12
    for part in parts:
        assert part.count("\n") <= 40, part.partition("\n")[0]
    assert max(map(len, GUIDE.splitlines())) <= 112


def test_today_is_the_day_that_the_guide_says() -> None:
    assert f"today is {spelt(TODAY)}" in PROSE


def test_book_that_stands_in_the_guide_ends_lint_as_it_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("home.chores").write_text(BOOKS[0], "utf-8")
    assert besom("lint", "--on", str(TODAY)).exit_code == 0
    Path("home.chores").write_text(f"{BOOKS[0]}\nevery mondey\n", "utf-8")
    assert besom("lint", "--on", str(TODAY)).exit_code == 1
    assert besom("lint", "nowhere").exit_code == 2
    assert "ends with 0 if all is well, with 1 if it found something, and with 2 if" in PROSE


def test_every_call_in_the_text_is_one_that_the_command_takes() -> None:
    calls = set(re.findall(r"`besom ([a-z][^`]*)`", PROSE))
    assert len(calls) >= 10
    for call in calls:
        name, *words = call.split()
        command = main.get_command(click.Context(main), name)
        assert command is not None, call
        if words:
            assert command.make_context(name, words, resilient_parsing=False)


# ------------------------------------------------------------------------ each construct is there

EVERY_CONSTRUCT = Path(__file__).with_name("every-construct.chores").read_text("utf-8")
# Any: Lark types neither its rules nor its terminals.
LARK: Any = Lark(
    grammar_text(), parser="lalr", start=list(STARTS), keep_all_tokens=True,
    maybe_placeholders=False, lexer="basic",
)  # fmt: skip


def constructs(text: str) -> set[str]:
    """The rules and the terminals of the grammar that the lines of a book make use of."""
    return {
        name
        for line in text.splitlines()
        if line.strip() and line.lstrip()[0] not in "#-"
        for name in _of_line(line)
    }


def _of_line(line: str) -> Iterator[str]:
    start = "chore_line" if line[0] in " \t" else "declaration_line"
    start = "record_line" if re.match(r"\d+-", line) else start
    tree: Tree[Any] = LARK.parse(line, start=start)
    for branch in tree.iter_subtrees():
        yield str(branch.data)
        yield from (leaf.type for leaf in branch.children if not isinstance(leaf, Tree))


TEXTS = ["\n".join(BOOKS), EVERY_CONSTRUCT]


@pytest.mark.parametrize("text", TEXTS, ids=["guide", "sample"])
def test_each_rule_and_each_word_of_the_grammar_occurs(text: str) -> None:
    rules = {
        str(rule.alias or rule.origin.name)
        for rule in LARK.rules
        if not rule.origin.name.startswith("_") and not rule.options.expand1
    }
    words = {terminal.name for terminal in LARK.terminals} - set(LARK.ignore_tokens)
    assert len(rules) > 60
    assert len(words) > 50
    assert rules | words <= constructs(text)


@pytest.mark.parametrize("text", TEXTS, ids=["guide", "sample"])
def test_each_clause_and_each_cadence_occurs_and_a_step(text: str) -> None:
    nodes = [line.node for line in Reader().read(Source("home.chores", text)).all_lines()]
    lines = [node for node in nodes if isinstance(node, (SectionHeader, ChoreLine, NamedDays))]
    said = {clause for node in lines for clause, _ in clause_values(node)}
    assert {clause for clauses in CLAUSES.values() for clause in clauses} == said
    kinds = {node.cadence.value.kind for node in nodes if isinstance(node, SectionHeader)}
    assert kinds == set(get_args(CadenceKind))
    assert any(isinstance(node, Step) for node in nodes)


# ---------------------------------------------------------------------------------------- dates

RULES = {
    "weekend 1": "FREQ=MONTHLY;BYDAY=1SA",
    "weekend 5": "FREQ=MONTHLY;BYDAY=5SA",
    "weekend last": "FREQ=MONTHLY;BYDAY=-1SA",
    "every 3 days from 2026-09-14": "FREQ=DAILY;INTERVAL=3",
    "every month on last": "FREQ=MONTHLY;BYMONTHDAY=-1",
    "every january on 15": "FREQ=YEARLY;BYMONTH=1;BYMONTHDAY=15",
    "every month on first saturday": "FREQ=MONTHLY;BYDAY=1SA",
    "every 2 weeks on thursday from 2026-09-17": "FREQ=WEEKLY;INTERVAL=2;BYDAY=TH",
    "every 2 weeks on saturday from 2026-09-26": "FREQ=WEEKLY;INTERVAL=2;BYDAY=SA",
    "every 4 weeks on monday from 2026-10-12": "FREQ=WEEKLY;INTERVAL=4;BYDAY=MO",
    "every 4 weeks on friday from 2026-10-02": "FREQ=WEEKLY;INTERVAL=4;BYDAY=FR",
}
SENTENCES = re.findall(rf"`([^`]+)` comes next on ({DATE}(?:, and then on {DATE})*)", PROSE)


def spelt(day: date) -> str:
    return f"{day:%A} {day.day} {day:%B %Y}"


def test_every_sentence_of_dates_has_its_rule() -> None:
    assert {cadence for cadence, _ in SENTENCES} == RULES.keys()
    assert len(SENTENCES) == len(RULES)
    assert PROSE.count(" next on ") == len(SENTENCES)


@pytest.mark.parametrize(("cadence", "dates"), SENTENCES)
def test_dates_are_those_of_rrule_and_of_the_book(cadence: str, dates: str) -> None:
    told = dates.split(", and then on ")
    begins = cadence.partition(" from ")[2] or TODAY.isoformat()
    rule = rrulestr(RULES[cadence], dtstart=datetime.fromisoformat(begins))
    following = rule.xafter(datetime.combine(TODAY, time()), count=len(told))
    assert told == [spelt(day) for day in following]
    book = Source("home.chores", f"since {TODAY}\n{cadence}\n    x  5 min\n")
    household = read_sources([book]).household
    windows = Timeline(household, household.chores["x"]).following(TODAY.toordinal())
    assert told == [spelt(date.fromordinal(one.first)) for one, _ in zip(windows, told)]  # noqa: B905


def test_every_date_falls_on_the_day_of_the_week_that_it_names() -> None:
    found = re.findall(DATE, re.sub(r"\s+", " ", GUIDE))
    assert len(found) > len(SENTENCES)
    for text in found:
        assert spelt(datetime.strptime(text, "%A %d %B %Y").date()) == text
