"""Quick fixes: what `lint --fix` and the editor do about a rule's bad sample, then linted again."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from books import iso, read
from lsp_client import applied
from lsprotocol import converters
from lsprotocol import types as lsp
from test_cli import besom
from test_rules import TODAY, findings, without_marks

from ledger.editor.actions import actions
from ledger.editor.allowing import allowing
from ledger.editor.edits import Abilities
from ledger.editor.folder import Folder
from ledger.editor.formatting import format_file
from ledger.editor.view import View
from ledger.lint.rule_cache import RuleCache
from ledger.lint.rules import RULES
from ledger.text.edits import edited
from ledger.text.finding import Finding
from ledger.text.formatter import format_tree
from ledger.text.source import Source
from ledger.text.tree import Tree
from ledger.text.values import DAYS
from ledger.workspace import read_sources

BOOK = "/home.chores"
OFFERED: dict[str, list[str]] = {
    "after-circle": ["Delete `after sweep`"],
    "after-other-days": ["Delete `after sweep`"],
    "away-twice": ["Write one line `away 2026-07-04 to 2026-07-20` for both"],
    "broken-order": ["Delete `after sweep`"],
    "dangerous-pair": [
        "Part them: move taps to every monday",
        "Part them: move bath to every monday",
    ],
    "days-run-out": ["Write `until 2026-02-27`"],
    "drifted-minutes": ["Write `15 min`"],
    "empty-except": ["Delete `except monday`"],
    "empty-section": ["Delete this line"],
    "falls-rarely": ["Write `every month on last`"],
    "gone-for-long": ["Add a line `2026-03-04 moved smoke-alarm to 2026-03-05`"],
    "idle-expires": ["Delete `expires`"],
    "impossible-date": ["Write `2026-02-28`"],
    "impossible-move": ["Write `2026-03-08`", "Delete this line"],
    "limited-pause": ["Write `from 2026-05-01`"],
    "line-while-away": ["Let the days away end by 2026-02-22"],
    "lone-each": ["Write `by tam`"],
    "long-paused": ["Take `paused` away"],
    "missing-area": ["Write `in kitchen`"],
    "misspelt-hazard": ["Write `bleach`"],
    "mixed-line-ends": ["Format the file"],
    "never-falls": ["Delete `during july to august`"],
    "new-without-from": ["Write `from 2026-03-04`", "Write `paused`"],
    "nobody-there": ["Write `by tam or noor`"],
    "not-formatted": ["Format the file"],
    "not-given-to": ["Write `by noor or tam`"],
    "out-of-order-line": ["Format the file"],
    "part-without-a-day": ["Write `2 times every week`"],
    "repeated-line": ["Delete this line"],
    "repeated-name": ["Delete this line"],
    "repeated-word": ["Keep the first", "Keep the last"],
    "stray-steps": ["Write `# -` for `-`"],
    "unknown-name": ["Write `kitchen`", "Add a line `area kitchin`"],
    "unreadable-line": ["Write `monday`"],
    "unstated-hazard": ["Write `bleach`", "Write `bleach` beside it", "Write `uses stepladder`"],
    "unused-allow": ["Delete the comment"],
    "unused-area": ["Delete this line"],
    "worked-when-done": ["Write `1 h` in the line of 2026-03-02 and delete this one"],
}
"""What the editor offers to do about the bad sample of a rule; nothing about any other."""
UNSOLVED = {
    "days-run-out": ["Add a line `days school YYYY-MM-DD to YYYY-MM-DD`"],
    "missing-from": ["Write `every 2 weeks from YYYY-MM-DD`"],
}
"""Fixes in which something is still to be filled in: no editor offers them."""
CERTAIN = {"idle-expires", "mixed-line-ends", "not-formatted", "repeated-line"}
MENDED = CERTAIN | {"out-of-order-line"}
"""The rules whose bad samples `besom lint --fix` makes good."""


def bad(name: str) -> str:
    """The book of a rule's bad sample."""
    lines, _ = without_marks(RULES[name].bad)
    return "\n".join(lines) + "\n"


def view_of(text: str) -> View:
    """A book that is open in an editor, by itself."""
    workspace = read_sources([Source(BOOK, text)])
    return View(workspace.on(TODAY), {}, RuleCache(), Folder(None))


def about(view: View, finding: Finding) -> Iterator[lsp.CodeAction]:
    """What is offered about a finding, but for letting it be."""
    able = Abilities(lsp.ClientCapabilities())
    uri, place = view.uri(BOOK), view.range(finding.place)
    for action in actions(view, uri, place, [lsp.CodeActionKind.QuickFix], able):
        codes = [one.code for one in action.diagnostics or ()]
        if codes == [finding.rule] and not action.title.startswith("Allow "):
            yield action


def after(text: str, action: lsp.CodeAction) -> str:
    """The book with the edits of an action."""
    assert action.edit is not None
    ((_, edits),) = (action.edit.changes or {}).items()
    plain: list[dict[str, Any]] = converters.get_converter().unstructure(edits)
    return applied(text, plain)


def left(text: str, name: str) -> list[str]:
    """The rules of the findings in a book; spacing counts only for the rules about it."""
    return [finding.rule for finding in findings(text.removesuffix("\n").split("\n"), name)]


def found_in(view: View, name: str) -> list[Finding]:
    """The findings of a rule in a book."""
    return [finding for finding in view.findings if finding.rule == name]


@pytest.mark.parametrize("name", RULES)
def test_editor_offers_these_cures_for_a_bad_sample_and_no_others(name: str) -> None:
    view = view_of(bad(name))
    titles = [action.title for one in found_in(view, name) for action in about(view, one)]
    assert titles == OFFERED.get(name, [])


CURES = [(name, title) for name, titles in OFFERED.items() for title in titles]


@pytest.mark.parametrize(("name", "title"), CURES)
def test_bad_sample_has_no_finding_after_what_the_editor_offers(name: str, title: str) -> None:
    text = bad(name)
    view = view_of(text)
    offered = [action for one in found_in(view, name) for action in about(view, one)]
    text = after(text, next(action for action in offered if action.title == title))
    # A sample with two findings wants two cures.
    for _ in range(len(found_in(view, name)) - 1):
        view = view_of(text)
        text = after(text, next(about(view, found_in(view, name)[0])))
    assert left(text, name) == []


@pytest.mark.parametrize("name", RULES)
def test_line_that_means_nothing_is_never_offered_to_be_allowed(name: str) -> None:
    view = view_of(bad(name))
    nothing = {
        "impossible-date", "impossible-number", "missing-from", "repeated-word",
        "unfinished-merge", "unreadable-line", "unused-allow",
    }  # fmt: skip
    assert RULES[name].may_allow == (name not in nothing)
    offered = [allowing(view, finding) for finding in found_in(view, name)]
    is_offered = name not in nothing | {"dangerous-pair"}
    assert [cure is not None for cure in offered] == [is_offered] * len(offered)


@pytest.mark.parametrize("name", RULES)
def test_fixes_of_a_bad_sample_are_what_the_editor_offers(name: str) -> None:
    fixes = [fix for one in found_in(view_of(bad(name)), name) for fix in one.fixes]
    assert [fix.title for fix in fixes if not fix.solves] == UNSOLVED.get(name, [])
    # Where a line may stand instead is found out by the planning.
    offered = [title for title in OFFERED.get(name, []) if not title.startswith("Part them: ")]
    assert [fix.title for fix in fixes if fix.solves] == offered
    assert {fix.is_certain for fix in fixes} == ({name in CERTAIN} if fixes else set())


@pytest.mark.parametrize("name", RULES)
def test_bad_sample_has_no_finding_of_its_rule_after_a_fix(name: str) -> None:
    view = view_of(bad(name))
    found = found_in(view, name)
    source = view.trees[BOOK].source
    # A sample with two findings is mended by the editor, one after the other.
    for fix in found[0].fixes if len(found) == 1 else ():
        (mended,) = edited([source], fix.edits)
        assert mended.text != source.text
        assert (left(mended.text, name) == []) == fix.solves


@pytest.mark.parametrize("name", RULES)
def test_text_to_type_stands_in_the_fix_that_people_read(name: str) -> None:
    for finding in found_in(view_of(bad(name)), name):
        for fix in finding.fixes:
            for typed in re.findall("`([^`]+)`", fix.title):
                assert f"`{typed}`" in finding.fix or name == "never-falls"


TYPED: dict[str, list[tuple[str, str]]] = {
    "after-other-days": [("every tuesday", "every monday, tuesday")],
    "broken-order": [("every sunday", "every weekend")],
    "dangerous-pair": [("uses vinegar", "uses soap")],
    "done-twice": [("did oven 40 min", 'did oven 40 min "again"')],
    "from-after-until": [
        ("until 2026-05-01", "until 2026-06-01"),
        ("from 2026-06-01", "from 2026-05-01"),
    ],
    "future-line": [("2026-03-09", "2026-03-04")],
    "gone-for-long": [
        (
            "2026-02-07 did smoke-alarm",
            "2026-02-07 did smoke-alarm\n2026-03-04 moved smoke-alarm to 2026-03-16",
        )
    ],
    "idle-person": [
        ("by noor", "by noor or tam"),
        ("by noor", "by noor then tam"),
        ("by noor", "by each"),
    ],
    "missing-from": [("every 2 weeks", "every 2 weeks from 2026-03-02")],
    "missing-minutes": [("oven  in", "oven  10 min  in")],
    "neglected-area": [
        ("2026-03-02 did sink", "2026-03-02 did sink\n2026-03-04 did bath"),
        ("in bathroom", "in bathroom  paused"),
    ],
    "not-in-force": [("2026-02-16", "2026-03-02"), ("from 2026-03-01", "from 2026-02-01")],
    "overlap": [
        (
            "weekend\n    oven  40 min  in kitchen\nweekend 1",
            "weekend until 2026-04-30\n    oven  40 min  in kitchen\nweekend 1 from 2026-05-01",
        )
    ],
    "overloaded-day": [("every monday", "every monday within 7 days"), ("30 min", "40 min")],
    "overloaded-person": [
        ("by edie", "by edie or noor"),
        ("limit edie 15 min", "limit edie 40 min"),
    ],
    "unlikely-minutes": [("100 min", "10 min")],
    "unused-area": [("in kitchen", "in kitchen, attic")],
    "worked-when-done": [("2026-03-03 worked", "2026-03-09 worked")],
}
"""What else the fix of a rule's bad sample tells to type: words of the sample, and what is typed
for them."""


@pytest.mark.parametrize(
    ("name", "old", "new"), [(name, *change) for name in TYPED for change in TYPED[name]]
)
def test_what_is_typed_as_told_ends_the_finding(name: str, old: str, new: str) -> None:
    text = bad(name)
    assert old in text
    assert name in left(text, name)
    assert name not in left(new.join(text.rsplit(old, 1)), name)


def test_every_fix_with_a_text_to_type_is_tried() -> None:
    """All but those that tell to type a command, or whose text is only where to look."""
    with_text = {
        finding.rule
        for name in RULES
        for finding in found_in(view_of(bad(name)), name)
        if "`" in finding.fix
    }
    assert with_text <= OFFERED.keys() | TYPED.keys()


@pytest.mark.parametrize(
    ("text", "title"),
    [
        ("area kitchen\nevery day\n  a 5 min in kitchen, kitchin\n", "Delete `kitchin`"),
        ("area kitchen\nevery day\n  kitchen 5 min in kitchin\n", "Write `kitchen`"),
        ("person noor\nevery day\n  a 5 min by nor then noor\n", "Delete `nor`"),
        ("every day\n  a 5 min uses bleach, blaech\n", "Delete `blaech`"),
        ("every day\n  ab 5 min\n  c 5 min after ab, abb\n", "Delete `abb`"),
        ("days school every monday\nevery day during school, skool\n  a 5 min\n", "Delete `skool`"),
    ],
)
def test_name_that_stands_in_the_list_already_is_not_told_to_be_written(
    text: str, title: str
) -> None:
    view = view_of(text)
    rules = ("unknown-name", "misspelt-hazard")
    found = next(one for one in view.findings if one.rule in rules)
    assert found.fixes[0].title == title
    (mended,) = edited([view.trees[BOOK].source], found.fixes[0].edits)
    assert found.rule not in left(mended.text, found.rule)
    assert "repeated-name" not in left(mended.text, found.rule)


@pytest.mark.parametrize(
    ("text", "name", "says"),
    [
        (
            "limit edie 5 min\nevery monday\n  a 9 min by edie\n",
            "overloaded-person",
            "`or` or `then`",
        ),
        (
            "limit edie 5 min\nevery monday\n  a 9 min by edie then noor\n",
            "overloaded-person",
            "with `or`,",
        ),
        (
            "limit edie 5 min\nevery monday\n  a 9 min by edie and noor\n",
            "overloaded-person",
            "with `or`,",
        ),
        (
            "limit edie 5 min\nevery monday\n  a 9 min by each\n",
            "overloaded-person",
            "move 4 min to",
        ),
        ("limit monday 5 min\nevery monday\n  a 9 min\n", "overloaded-day", "`within 7 days`"),
        (
            "limit weekday 1 min\nlimit weekend 1 min\nevery monday within 7 days\n  a 9 min\n",
            "overloaded-day",
            "days, or raise",
        ),
        (
            "limit weekday 1 min\nlimit weekend 1 min\nevery week\n  a 9 min\n",
            "overloaded-day",
            "days, or raise",
        ),
        ("limit monday 5 min\nevery day\n  a 9 min\n", "overloaded-day", "days, or raise"),
    ],
)
def test_what_a_chore_says_already_is_not_told_to_be_typed(text: str, name: str, says: str) -> None:
    view = view_of("person edie\nperson noor\n" + text)
    found, *_ = found_in(view, name)
    assert says in found.fix


@pytest.mark.parametrize(
    ("text", "title", "mended"),
    [
        ("every monday, monday\n", "Leave this one out", "every monday\n"),
        ("every april , may, april on 1\n", "Leave this one out", "every april , may on 1\n"),
        ("weekend 1, 2, 1\n", "Leave this one out", "weekend 1, 2\n"),
        ("every month on 1, last,1\n", "Leave this one out", "every month on 1, last\n"),
        (
            "every day\n  a 5 min  in b  5 min # c\n",
            "Keep the first",
            "every day\n  a 5 min  in b # c\n",
        ),
        ("every day\n  a 5 min  in b  6 min\n", "Keep the last", "every day\n  a in b  6 min\n"),
        ("every day\n  a paused paused\n", "Keep the first", "every day\n  a paused\n"),
        (
            "every day from 2026-01-01 until 2026-02-01 from 2026-01-02\n",
            "Keep the last",
            "every day until 2026-02-01 from 2026-01-02\n",
        ),
        ('area caf’e "b"\n', "Write `cafe`", 'area cafe "b"\n'),
        ("since 2026-06-31 # b\n", "Write `2026-06-30`", "since 2026-06-30 # b\n"),
        (
            "away 2026-02-05 to 2026-02-01 by a\n",
            "Write the earlier date first",
            "away 2026-02-01 to 2026-02-05 by a\n",
        ),
        ("every february on 30\n", "Write `every february on last`", "every february on last\n"),
        ("every day\n  a in b, b\n", "Delete `b`", "every day\n  a in b\n"),
        ("person a\nevery day\n  b by a or a\n", "Delete `a`", "person a\nevery day\n  b by a\n"),
        ("since 2026-01-01\nsince 2026-01-01\n", "Delete this line", "since 2026-01-01\n"),
        ("limit monday 5 min\nlimit mon 6 min\n", "Delete this line", "limit monday 5 min\n"),
        ("every day\n  a 5 min\n  a 6 min\n", "Delete this line", "every day\n  a 5 min\n"),
        (
            "person noor\nevery day\n  a by nor\n",
            "Write `noor`",
            "person noor\nevery day\n  a by noor\n",
        ),
        (
            "limit weekday 5 min\n" + "".join(f"limit {day} 6 min\n" for day in DAYS[:5]),
            "Delete this line",
            "".join(f"limit {day} 6 min\n" for day in DAYS[:5]),
        ),
        (
            "every day\n  a 5 min  uses glue, strong-bleach\n",
            "Write `bleach` beside it",
            "every day\n  a 5 min  uses glue, strong-bleach, bleach\n",
        ),
        (
            'every day\n  bleach-sink  uses glue  "x"\n',
            "Write `uses bleach`",
            'every day\n  bleach-sink  uses glue, bleach  "x"\n',
        ),
        (
            "every day\n  a  # allow overlap, missing-minutes, idle-person : b\n",
            "Delete `overlap`",
            "every day\n  a  # allow missing-minutes, idle-person : b\n",
        ),
        (
            "every day\n  a  # allow missing-minutes, idle-person: b\n",
            "Delete `idle-person`",
            "every day\n  a  # allow missing-minutes: b\n",
        ),
        (
            "every day\n  a  # allow mising-minutes: b\n",
            "Write `missing-minutes`",
            "every day\n  a  # allow missing-minutes: b\n",
        ),
        (
            "every day\n  a 5 min # allow overlap: say why\n",
            "Delete the comment",
            "every day\n  a 5 min\n",
        ),
        (
            "every day\n  a\n2026-03-01 did a 9 h, a\n",
            "Delete `9 h`",
            "every day\n  a\n2026-03-01 did a, a\n",
        ),
        (
            "since 2024-01-01\nevery day paused\n  paused-a 5 min\n",
            "Take `paused` away",
            "since 2024-01-01\nevery day\n  paused-a 5 min\n",
        ),
        (
            "once from 2026-04-01 to 2026-04-02 from 2026-05-01\n  a 5 min\n",
            "Delete `from 2026-05-01`",
            "once from 2026-04-01 to 2026-04-02\n  a 5 min\n",
        ),
        (
            "every day\n  a\n" + "".join(f"2026-02-{n:02} did a 7 min\n" for n in range(1, 7)),
            "Write `7 min`",
            "every day\n  a  7 min\n"
            + "".join(f"2026-02-{n:02} did a 7 min\n" for n in range(1, 7)),
        ),
    ],
)
def test_fix_changes_just_what_it_says(text: str, title: str, mended: str) -> None:
    view = view_of(text)
    source = view.trees[BOOK].source
    fixes = {fix.title: fix for finding in view.findings for fix in finding.fixes}
    assert [one.text for one in edited([source], fixes[title].edits)] == [mended]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        # The dates of one are not for all of the other.
        (
            "person a\nperson b\naway 2026-07-04 to 2026-07-18 by a, b\n"
            "away 2026-07-18 to 2026-07-20 by a\n",
            "away-twice",
        ),
        # Of two lines nobody can tell which is to name the person too.
        (
            "person a\nperson b\nevery monday\n  c by a\nevery tuesday\n  c by a\n"
            "2026-03-02 did c by b\n2026-03-03 did c by b\n",
            "not-given-to",
        ),
        # Nobody knows how long it takes.
        ("every day\n  a\n", "missing-minutes"),
        (
            "every day\n  a\n" + "2026-03-01 did a 5 min\n" * 5 + "2026-03-02 did a 50 min\n",
            "unlikely-minutes",
        ),
        # On which day they begin instead is not said.
        ("every day\n  a\naway 2026-03-01 to 2026-03-03\n2026-03-01 did a\n", "line-while-away"),
    ],
)
def test_what_is_not_said_to_the_letter_has_no_fix(text: str, name: str) -> None:
    found = found_in(view_of(text), name)
    assert found
    assert [finding.fixes for finding in found] == [()] * len(found)


def test_fix_of_two_files_is_offered_as_one_change_of_both() -> None:
    home = Source("/home.chores", "person noor\narea kitchen\naway 2026-07-04 to 2026-07-18 # a\n")
    year = Source("/2026.chores", "away 2026-07-18 to 2026-07-20")
    view = View(read_sources([home, year]).on(TODAY), {}, RuleCache(), Folder(None))
    (finding,) = found_in(view, "away-twice")
    able = Abilities(lsp.ClientCapabilities())
    uri, place = view.uri(year.path), view.range(finding.place)
    action = actions(view, uri, place, [lsp.CodeActionKind.QuickFix], able)[0]
    assert action.title == "Write one line `away 2026-07-04 to 2026-07-20` for both"
    assert action.edit is not None
    texts = {home.path: home.text, year.path: year.text}
    for path, text in texts.items():
        edits = (action.edit.changes or {})[view.uri(path)]
        plain: list[dict[str, Any]] = converters.get_converter().unstructure(edits)
        texts[path] = applied(text, plain)
    assert texts == {
        home.path: "person noor\narea kitchen\naway 2026-07-04 to 2026-07-20 # a\n",
        year.path: "",
    }


def test_unknown_person_is_declared_below_the_last_one_in_whatever_file() -> None:
    home = Source("/home.chores", "person noor\nperson tam\nevery day\n    oven\n")
    year = Source("/2026.chores", "2026-03-01 did oven by edie")
    (found,) = read_sources([year, home]).findings
    fix = found.fixes[-1]
    (mended,) = edited([year, home], fix.edits)
    assert fix.title == "Add a line `person edie`"
    assert mended.text == "person noor\nperson tam\nperson edie\nevery day\n    oven\n"
    assert read_sources([year, mended]).findings == ()


@pytest.mark.parametrize("name", RULES)
def test_fix_makes_these_bad_samples_good_and_leaves_what_others_say(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = fixed(bad(name), tmp_path, monkeypatch)
    expected = RULES[name].good if name in MENDED else bad(name)
    assert text == format_tree(read(expected))
    assert (name in left(text, name)) == (name not in MENDED)


def test_fix_of_drift_mends_the_bad_sample_of_drifted_minutes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    text = fixed(bad("drifted-minutes"), tmp_path, monkeypatch, "drift")
    assert "    hob  15 min  in kitchen\n" in text
    assert left(text, "drifted-minutes") == []


def fixed(text: str, folder: Path, monkeypatch: pytest.MonkeyPatch, *words: str) -> str:
    """A book after `besom lint --fix`."""
    monkeypatch.chdir(folder)
    path = folder / "home.chores"
    path.write_bytes(text.encode())
    besom("lint", "--fix", *words, "--on", iso(TODAY))
    return path.read_bytes().decode()


def test_editor_offers_no_shape_in_which_a_book_says_something_else(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def dropping(tree: Tree) -> str:
        return format_tree(tree).replace("    oven  40 min  in kitchen\n", "")

    view = view_of(bad("not-formatted"))
    assert format_file(view, BOOK)
    monkeypatch.setattr("ledger.text.formatter.format_tree", dropping)
    (finding,) = found_in(view, "not-formatted")
    assert format_file(view, BOOK) == []
    assert list(about(view, finding)) == []
