"""What the language server answers about named days, lists of days, flags, steps and parts."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from highlighting import EVERY_CONSTRUCT
from lsp_client import Client, Message, applied

from ledger.text.builder import build
from ledger.text.classes import classes_of
from ledger.text.parser import LineFault, kind_of, parser

HOME = """\
household "🍲 Mill Cottage"
since 2026-01-05
person ana  "🧺 Ana"
person ben
person leo
person mia
area hall
area kitchen
days school         2026-09-02 to 2026-10-23, 2026-11-02 to 2026-12-18  "School days"
days bank-holidays  2026-12-25, 2026-12-28, 2027-01-01
days at-dads        every 2 weeks on friday within 3 days from 2026-09-04
limit weekday       45 min
limit ben saturday  2 h
limit leo           30 min
away 2027-02-01 to 2027-02-07  "Sea"
away at-dads by leo
rest 2026-11-24 to 2026-11-27 by ben  "Flu"

every weekday during school except bank-holidays "🍲 Out of the door"
    lunch-boxes  10 min  in kitchen  by ana or ben        vital expires
    walk-dog     20 min  in hall     by ben               vital
        - Take a bag
        # as ana says

        - Key on hook # 3 by ben
    swim-things  5 min   in hall     by each of leo, mia  expires

2 times every week
    vacuum  20 min  in hall

every week spare
    sort-photos  30 min  in hall

weekend 5
    sort-shed  1 h  in hall

14 days after done expires
    fridge  10 min  in kitchen

every month except august
    turn-mattress  15 min  in hall  by ana and ben

once from 2026-11-14 to 2026-12-20
    tax-return  4 h  in kitchen

2026-11-14 worked tax-return 60 min by ana "🍲 papers"
2026-11-20 did fridge
"""
LINES = HOME.split("\n")
NEWLINES = pytest.mark.parametrize("newline", ["\n", "\r\n"])


class Home:
    """A household of one file, open in an editor on Wednesday 25 November 2026."""

    def __init__(self, folder: Path) -> None:
        self.path = folder / "home.chores"
        self.path.write_text(HOME, "utf-8")
        self.client = Client(folder, on="2026-11-25")
        self.version = 1
        self.client.open(self.path)

    def type(self, text: str) -> list[Message]:
        """Let the text be this: what is found in it."""
        self.version += 1
        return self.client.retype(self.path, self.version, text)

    def at(self, method: str, line: int, column: int, **more: Any) -> Any:
        """Ask about a place of `HOME`, given in code points."""
        return self.client.at(method, self.path, line, units(LINES[line][:column]), **more)

    def about(self, method: str, words: str, shift: int = 0, **more: Any) -> Any:
        """Ask about the first place of some words in `HOME`."""
        line = next(number for number, text in enumerate(LINES) if words in text)
        return self.at(method, line, LINES[line].index(words) + shift, **more)

    def of_file(self, method: str, **more: Any) -> Any:
        """Ask about the file as a whole."""
        document = {"textDocument": {"uri": self.path.as_uri()}}
        return self.client.request(f"textDocument/{method}", document | more)

    def offered(self, line: str, text: str = HOME, newline: str = "\n") -> dict[str, str | None]:
        """What may follow the words of a last line: each with its detail."""
        whole = (text + line).replace("\n", newline)
        self.type(whole)
        found = self.client.at("completion", self.path, whole.count("\n"), units(line))
        items = sorted(found["items"], key=lambda item: str(item["sortText"]))
        return {item["label"]: item.get("detail") for item in items}


def units(text: str) -> int:
    """UTF-16 code units, as the protocol counts columns."""
    return len(text.encode("utf-16-le")) // 2


@pytest.fixture(scope="module")
def session(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Home]:
    home = Home(tmp_path_factory.mktemp("constructs"))
    with home.client:
        yield home


@pytest.fixture
def home(session: Home) -> Home:
    session.type(HOME)
    return session


# ------------------------------------------------------------------ completion

CLAUSES = ["during", "except", "within", "from", "until", "vital", "expires", "spare", "paused"]
DAYS = ["monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"]


@pytest.mark.parametrize(
    ("line", "all_of"),
    [
        ("every week vital ", [one for one in CLAUSES if one not in ("vital", "spare")]),
        ("every week spare ", [one for one in CLAUSES if one not in ("vital", "spare")]),
        ("every week paused during school ", [
            one for one in CLAUSES if one not in ("paused", "during")]),
        ("14 days after done ", [one for one in CLAUSES if one != "expires"]),
        ("every 3 weeks ", ["from", "on", *(one for one in CLAUSES if one != "from")]),
        ("every 3 weeks from 2026-11-01 ", [one for one in CLAUSES if one != "from"]),
        ("every 3 ", ["days", "weeks", "months"]),
        ("14 ", ["days", "times"]),
        ("14 days ", ["after"]),
        ("14 days after ", ["done"]),
        ("2 times ", ["every"]),
        ("2 times every 2 ", ["weeks", "months"]),
        ("weekend 1, last, ", ["2", "3", "4", "5"]),
        ("weekend is saturday, ", ["friday", "sunday"]),
        ("every week within ", ["2 days", "3 days", "7 days"]),
        ("days ", ["school", "bank-holidays", "at-dads"]),
        ("days term 2026-12-01, ", ["2026-12-02", "2026-12-03", "2026-12-07", "2026-12-14",
                                    "2026-12-28"]),
        ("limit school ", ["5 min", "10 min", "15 min", "20 min", "30 min", "45 min", "1 h"]),
        ("limit ben 1 h ", []),
        ("rest school by ben, ", ["ana", "leo", "mia"]),
        ("rest school, ", ["bank-holidays", "at-dads"]),
        ("2026-11-25 worked tax-return 5 min by ana, ", ["ben", "leo", "mia"]),
        ("2026-11-25 worked tax-return ", ["4 h", "5 min", "10 min", "15 min", "20 min", "30 min",
                                           "45 min", "1 h"]),
        ("    - by ", []),
    ],
)  # fmt: skip
def test_completion_offers_all_that_can_follow_and_nothing_else(
    home: Home, line: str, all_of: list[str]
) -> None:
    assert list(home.offered(line)) == all_of


@NEWLINES
@pytest.mark.parametrize(
    ("line", "first"),
    [
        ('every week "🍲" during ', ["school", "bank-holidays", "at-dads", "weekend", "weekday"]),
        ('every week "🍲" except weekend, school, ', ["bank-holidays", "at-dads", "weekday"]),
        ('    jars  "🍲"  by each of leo, ', ["ana", "ben", "mia"]),
        ('    jars  "🍲"  by ana and ', ["ben", "leo", "mia"]),
        ('    jars  "🍲"  during school, monday, ', ["bank-holidays", "at-dads", "weekend"]),
    ],
)
def test_completion_behind_an_emoji_and_with_other_line_ends(
    home: Home, line: str, first: list[str], newline: str
) -> None:
    assert list(home.offered(line, newline=newline))[: len(first)] == first


def test_completion_of_every_says_what_each_cadence_means(home: Home) -> None:
    offered = home.offered("every ")
    assert [word for word in offered if word in DAYS] == DAYS
    assert offered["weekend"] == "the whole weekend: what Saturday leaves, Sunday has"
    assert offered["week"] == "once a week, on any day of it"
    assert offered["2 weeks"] == "on any day of one week in 2, counted from `from`"
    assert None not in offered.values()
    assert home.offered("14 ")["times"] == "once in each of 14 parts of the month"
    assert list(home.offered("32 times every ")) == ["3 months"]
    friday = HOME.replace("person ana", "weekend is friday, saturday, sunday\nperson ana", 1)
    offered = home.offered("every ", friday)
    assert offered["weekend"] == "the whole weekend: what Friday leaves, the days after it have"


def test_what_expires_is_not_offered_to_be_moved(home: Home) -> None:
    done, moved = (set(home.offered(f"2026-11-25 {verb} ")) for verb in ("did", "moved"))
    assert done - moved == {"lunch-boxes", "swim-things"}
    assert "fridge" in moved


def test_words_of_a_declaration_are_not_explained_as_those_of_a_section(home: Home) -> None:
    assert home.offered("")["day"] == "when a day ends"
    assert home.offered("every week during ")["weekend"] == "the days of the weekend"
    assert home.offered("rest school ") == {"by": "whose days they are"}
    assert set(home.offered("days term every ").values()) == {None}


@pytest.mark.parametrize(
    ("header", "left_out"),
    [
        ("14 days after done", {"expires"}),
        ("every day vital expires", {"vital", "expires"}),
        ("every day spare", {"spare"}),
        ("every dya", set[str]()),
    ],
)
def test_flags_that_change_nothing_are_not_offered(
    home: Home, header: str, left_out: set[str]
) -> None:
    offered = home.offered("    jars ", f"{HOME}\n{header}\n")
    assert {"vital", "expires", "spare", "paused"} - set(offered) == left_out


def test_each_word_offered_begins_or_ends_a_line_that_can_be_read(home: Home) -> None:
    """Of every construct, typed up to any of its words, each offer is tried."""
    declared = [line for line in LINES if re.match("household|person|area|days", line)]
    begun = dict.fromkeys(
        line[: word.start]
        for line in EVERY_CONSTRUCT.read_text("utf-8").split("\n")
        for word in classes_of(line)[1:]
    )
    home.type("\n".join([*declared, *begun]))
    tried = 0
    for number, text in enumerate(begun, len(declared)):
        found = home.client.at("completion", home.path, number, units(text))["items"]
        labels = [item["label"] for item in found]
        assert len(set(labels)) == len(labels), text
        for label in labels:
            tried += 1
            start = kind_of(text + label)
            parser().kinds_after(f"{text}{label} ", start)
            try:
                parse_node = parser().parse(text + label, start)
            except LineFault:
                continue
            build(parse_node)
    assert tried > 2500


# ------------------------------------------------------------------ hover


def told(home: Home, words: str, shift: int = 0) -> str | None:
    found = home.about("hover", words, shift)
    return str(found["contents"]["value"]).replace("  \n", "\n") if found else None


@pytest.mark.parametrize(
    ("words", "shift", "lines"),
    [
        ("weekend 5", 8, [
            "**weekend 5**", "the fifth weekend of the month; some months have only four",
            "1 h, 1 chore, each time it comes round",
            "Next: Sat 30 Jan to Sun 31 Jan 2027; Sat 29 May to Sun 30 May 2027; "
            "Sat 31 Jul to Sun 1 Aug 2027"]),
        ("every weekday", 0, [
            "**🍲 Out of the door**: every weekday during school except bank-holidays",
            "each day outside the weekend, anew", "40 min, 3 chores, each time it comes round",
            "Next: today; Thu 26 Nov; Fri 27 Nov"]),
        ("2 times every", 3, [
            "**2 times every week**", "once in each of 2 parts of the week",
            "20 min, 1 chore, each time it comes round",
            "In this period: now, until Thu 26 Nov; Fri 27 Nov to Sun 29 Nov"]),
        ("14 days after", 5, [
            "**14 days after done expires**", "14 days after it was last done or skipped",
            "10 min, 1 chore, each time it comes round",
            "expires: not done on its days, it is missed"]),
        ("once from", 2, [
            "**once from 2026-11-14 to 2026-12-20**", "once, on any of these days",
            "4 h, 1 chore, each time it comes round", "Next: now, until Sun 20 Dec"]),
        ("every week spare", 12, ["**spare**: offered when time is left, never late"]),
        ("days after done expires", 17, [
            "**expires**: not done on its days, it is missed; it has no effect here"]),
        ("vital expires", 8, ["**expires**: not done on its days, it is missed"]),
        ("by each of", 4, ["**each**: each person does their own"]),
        ("by ana and ben", 8, ["**and**: all of them together"]),
        ("worked tax-return", 1, ["**worked**: some of it is done"]),
        ("days school", 6, ["**school**: School days", "Next: now, until Fri 18 Dec"]),
        ("except bank", 10, [
            "**bank-holidays**: bank holidays", "Next: Fri 25 Dec; Mon 28 Dec; Fri 1 Jan 2027"]),
        ("2026-12-25, 2", 3, ["Friday 25 December 2026", "bank-holidays, at-dads", "away: leo"]),
        ("person ben", 7, [
            "**ben**: ben", "at most 2 h on saturday",
            "3 chores by name: 🍲 Out of the door: lunch-boxes, 🍲 Out of the door: walk-dog, "
            "every month: turn-mattress",
            "rest now, until Fri 27 Nov: Flu", "away Mon 1 Feb to Sun 7 Feb 2027: Sea"]),
        ("limit leo", 6, [
            "**leo**: leo", "at most 30 min a day",
            "1 chore by name: 🍲 Out of the door: swim-things",
            "away Fri 27 Nov to Sun 29 Nov: at\\-dads", "away Fri 11 Dec to Sun 13 Dec: at\\-dads",
            "away Fri 25 Dec to Sun 27 Dec: at\\-dads"]),
    ],
)  # fmt: skip
def test_hover_tells(home: Home, words: str, shift: int, lines: list[str]) -> None:
    assert (told(home, words, shift) or "").split("\n") == lines


def test_hover_of_a_chore_tells_its_flags_and_steps(home: Home) -> None:
    text = told(home, "walk-dog")
    assert text is not None
    assert "every weekday during school except bank-holidays, 20 min, in hall, vital\n" in text
    assert "\nSteps: Take a bag; Key on hook \\# 3 by ben\n" in text


@pytest.mark.parametrize("shift", [0, 2, 9, 24])
def test_hover_says_nothing_of_a_step(home: Home, shift: int) -> None:
    assert told(home, "- Key on hook # 3 by ben", shift) is None


@NEWLINES
def test_hover_of_a_word_marks_it_behind_an_emoji(home: Home, newline: str) -> None:
    line = '    jars  5 min  in hall  "🍲"  vital'
    home.type((HOME + "every day\n" + line).replace("\n", newline))
    found = home.client.at("hover", home.path, HOME.count("\n") + 1, units(line) - 1)
    assert found["range"]["start"]["character"] == units(line) - len("vital")
    assert found["range"]["end"]["character"] == units(line)


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ("every week from 2026-12-01\n    x  5 min", "Next: Tue 1 Dec to Sun 6 Dec; "
         "Mon 7 Dec to Sun 13 Dec; Mon 14 Dec to Sun 20 Dec"),
        ("every week except weekend\n    x  5 min", "Next: now, until Fri 27 Nov; "
         "Mon 30 Nov to Fri 4 Dec; Mon 7 Dec to Fri 11 Dec"),
        ("every week except wednesday, thursday, friday, weekend\n    x  5 min",
         "Next: Mon 30 Nov to Tue 1 Dec; Mon 7 Dec to Tue 8 Dec; Mon 14 Dec to Tue 15 Dec"),
        ("every week during december\n    x  5 min  during weekend",
         "Next: Tue 1 Dec to Sun 6 Dec; Mon 7 Dec to Sun 13 Dec; Mon 14 Dec to Sun 20 Dec"),
        ("2 times every week from 2026-11-27\n    x  5 min",
         "In this period: Fri 27 Nov to Sun 29 Nov"),
        ("2 times every week from 2026-12-01\n    x  5 min",
         "Next: Tue 1 Dec to Thu 3 Dec; Fri 4 Dec to Sun 6 Dec; Mon 7 Dec to Thu 10 Dec"),
        ("14 times every month\n    x  5 min",
         "Next: now, until Thu 26 Nov; Fri 27 Nov to Sat 28 Nov; Sun 29 Nov to Mon 30 Nov"),
        ("every day until 2026-11-26\n    x  5 min  paused", "Next: today; Thu 26 Nov"),
        ("every day until 2026-11-20\n    x  5 min", None),
        ("every day paused\n    x  5 min", None),
        ("every day", None),
    ],
)  # fmt: skip
def test_hover_of_a_header_tells_its_windows(home: Home, lines: str, expected: str | None) -> None:
    home.type(f"{HOME}\n{lines}\n")
    found = home.client.at("hover", home.path, HOME.count("\n") + 1, 0)
    text = found["contents"]["value"].split("  \n")
    ahead = [line for line in text if line.startswith(("Next", "In this"))]
    assert ahead == ([] if expected is None else [expected])


# ------------------------------------------------------------------ names


@pytest.mark.parametrize(
    ("words", "shift"),
    [
        ("person ben", 7), ("limit ben", 6), ("27 by ben", 6), ("or ben", 3), ("and ben", 4),
    ],
)  # fmt: skip
@NEWLINES
def test_person_is_renamed_wherever_people_are_named(
    home: Home, words: str, shift: int, newline: str
) -> None:
    home.type(HOME.replace("\n", newline))
    edit = home.about("rename", words, shift, newName="bärbel")
    (changed,) = edit["documentChanges"]
    expected = re.sub(r"\bben\b", "bärbel", HOME).replace("hook # 3 by bärbel", "hook # 3 by ben")
    assert applied(HOME.replace("\n", newline), changed["edits"]) == expected.replace("\n", newline)


def test_chore_is_renamed_in_what_was_worked_behind_no_step(home: Home) -> None:
    edit = home.about("rename", "worked tax-return", 9, newName="taxes")
    (changed,) = edit["documentChanges"]
    assert applied(HOME, changed["edits"]) == HOME.replace("tax-return", "taxes")


@pytest.mark.parametrize("words", ["- Take a bag", "bag", "hook # 3 by ben", "3 by ben"])
def test_text_of_a_step_has_no_name_to_rename(home: Home, words: str) -> None:
    before = HOME[: HOME.index(words) + 2].split("\n")
    place = len(before) - 1, len(before[-1])
    assert home.at("prepareRename", *place) is None
    assert home.at("rename", *place, newName="x") is None
    assert home.at("definition", *place) == []


# ------------------------------------------------------------------ code actions


def actions(home: Home, text: str, line: int, column: int = 0) -> dict[str, str]:
    """What is offered at a place of a text: by title, what it would make of the text."""
    home.type(text)
    where = {"line": line, "character": column}
    found = home.of_file(
        "codeAction", range={"start": where, "end": where}, context={"diagnostics": []}
    )
    offered = {}
    for action in found:
        changes = action["edit"]["documentChanges"]
        edits = [one["edits"] for one in changes if one.get("kind") is None]
        of_text = changes[0].get("kind") is None
        offered[action["title"]] = applied(text, edits[0]) if of_text else text
    return offered


BUSY = """\
since 2026-01-05
person ana
area hall
limit weekday  30 min

every monday
    cups  20 min  in hall
    # steps of its own
    bins  20 min  in hall
        - Blue first

        - Lid shut # well
    dust  20 min  in hall
"""


@NEWLINES
def test_chore_that_is_moved_takes_its_steps_along(home: Home, newline: str) -> None:
    text = BUSY.replace("\n", newline)
    offered = actions(home, text, BUSY.split("\n").index("    bins  20 min  in hall"), 6)
    (moved,) = (after for title, after in offered.items() if title.startswith("Move to every"))
    assert moved.replace("\r", "") == (
        BUSY.split("    # steps")[0]
        + "    dust  20 min  in hall\n\nevery tuesday\n    # steps"
        + BUSY.split("    # steps")[1].split("    dust")[0]
    )
    assert moved.count("\r") == newline.count("\r") * moved.count("\n")


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("bins  20 min  in hall", "bins  20 min  in hall  expires"),
        ("every monday", "every monday expires"),
        ("bins  20 min  in hall", "bins  20 min  in hall  spare"),
        ("every monday", "2 times every week"),
        ("bins  20 min  in hall", "bins  20 min  in hall  except june"),
    ],
)
def test_what_keeps_its_days_is_never_offered_to_be_moved(home: Home, old: str, new: str) -> None:
    text = BUSY.replace(old, new)
    offered = actions(home, text, BUSY.split("\n").index("    bins  20 min  in hall"), 6)
    assert "Mark done today" in offered
    assert not [title for title in offered if title.startswith("Move")]


PAIR = """\
since 2026-01-05
person ana
area hall

every saturday
    bath  20 min  in hall  uses bleach
    taps  10 min  in hall  uses vinegar
        - Rinse
"""


def test_of_a_pair_to_be_parted_only_what_does_not_expire_is_moved(home: Home) -> None:
    for name in ("bath", "taps"):
        text = re.sub(rf"({name} .*)", r"\1  expires", PAIR)
        offered = actions(home, text, PAIR.split("\n").index(PAIR.split("\n")[6]), 32)
        parted = [title.split()[3] for title in offered if title.startswith("Part them: move ")]
        assert parted == [{"bath": "taps", "taps": "bath"}[name]]


@pytest.mark.parametrize(
    ("line", "column", "title", "mended"),
    [
        ("every week during schol", 20, "Write `school`", "every week during school"),
        ("every week expirse", 12, "Write `expires`", "every week expires"),
        ("every week on friday", 12, "Write `every friday`", "every friday"),
        ("every week vital spare", 18, "Leave this one out", "every week vital"),
        ("every week spare spare", 18, "Keep the first", "every week spare"),
        ("rest schol by ben", 6, "Write `school`", "rest school by ben"),
        ("limit schol 5 min", 6, "Write `school`", "limit school 5 min"),
        ("    jars  5 min  by each of leo, miaa", 34, "Write `mia`",
         "    jars  5 min  by each of leo, mia"),
        ("    jars  5 min  by ana and bne", 29, "Write `ben`", "    jars  5 min  by ana and ben"),
        ("    jars  5 min  during schol, school, school", 40, "Leave this one out",
         "    jars  5 min  during schol, school"),
        ("2026-11-20 worked fridge 5 min by bne", 35, "Write `ben`",
         "2026-11-20 worked fridge 5 min by ben"),
    ],
)  # fmt: skip
def test_fix_of_a_finding_is_offered_and_mends_the_line(
    home: Home, line: str, column: int, title: str, mended: str
) -> None:
    head = HOME if not line.startswith(" ") else f"{HOME}every day\n"
    offered = actions(home, f"{head}{line}\n", head.count("\n"), column)
    assert offered[title] == f"{head}{mended}\n"


@NEWLINES
def test_chore_that_is_deleted_takes_its_steps_with_it(home: Home, newline: str) -> None:
    twice = (
        "    fridge  5 min  in kitchen\n        - Empty it\n\n        # cold\n        - Wipe it\n"
    )
    rest = "\n    # of the next\n    oven  5 min  in kitchen\n        - Cold first\n"
    head = (
        HOME.replace("2026-11-20 did fridge\n", "").replace(
            "14 days after done expires",
            "\
every sunday",
        )
        + "every sunday\n"
    )
    offered = actions(home, (head + twice + rest).replace("\n", newline), head.count("\n"), 6)
    assert offered["Delete this line"] == (head + rest).replace("\n", newline)


# ------------------------------------------------------------------ the file as a whole


@NEWLINES
@pytest.mark.parametrize("below", ["", "        - Towel\n", "# of next year\n"])
def test_folds_hold_a_section_with_all_of_its_chores_and_steps(
    home: Home, below: str, newline: str
) -> None:
    text = HOME.replace("swim-things  5 min ", "swim-things  5 mni ")
    text = text.replace("expires\n\n2 times", f"expires\n{below}\n2 times")
    home.type(text.replace("\n", newline))
    lines = text.split("\n")
    first, walk, swim = (
        next(number for number, line in enumerate(lines) if words in line)
        for words in ("Out of", "walk-dog", "swim-things")
    )
    spans = [(fold["startLine"], fold["endLine"]) for fold in home.of_file("foldingRange")]
    assert [span for span in spans if first <= span[0] <= swim] == [
        (first, swim + ("-" in below)),
        (walk, lines.index("        - Key on hook # 3 by ben")),
    ]


def test_outline_names_days_headers_and_how_many_steps(home: Home) -> None:
    found = {one["name"]: one for one in home.of_file("documentSymbol")}
    days = [(one["name"], one["detail"]) for one in found["Days"]["children"]]
    assert days == [
        ("school", '2026-09-02 to 2026-10-23, 2026-11-02 to 2026-12-18 "School days"'),
        ("bank-holidays", "2026-12-25, 2026-12-28, 2027-01-01"),
        ("at-dads", "every 2 weeks on friday within 3 days from 2026-09-04"),
    ]
    door = found["🍲 Out of the door"]
    assert door["detail"] == "every weekday during school except bank-holidays"
    assert [one["detail"] for one in door["children"]] == ["10 min", "20 min, 2 steps", "5 min"]
    assert found["every week"]["detail"] == "spare"
    selected = door["children"][1]["selectionRange"]
    line = LINES[selected["start"]["line"]]
    assert line[selected["start"]["character"] : selected["end"]["character"]] == "walk-dog"


def grown(selection: Message | None) -> Iterator[tuple[tuple[int, int], tuple[int, int]]]:
    while selection is not None:
        start, end = selection["range"]["start"], selection["range"]["end"]
        yield (start["line"], start["character"]), (end["line"], end["character"])
        selection = selection.get("parent")


@NEWLINES
def test_selection_grows_from_a_word_to_the_file(home: Home, newline: str) -> None:
    home.type(HOME.replace("\n", newline))
    first = next(number for number, line in enumerate(LINES) if "Out of" in line)
    step, last = LINES.index("        - Take a bag"), first + 7
    (selection,) = home.of_file("selectionRange", positions=[{"line": step, "character": 13}])
    key = len(LINES[step + 3])
    assert list(grown(selection)) == [
        ((step, 10), (step, 20)),
        ((step, 8), (step, 20)),
        ((step - 1, 0), (step + 3, key)),
        ((first, 0), (last, len(LINES[last]))),
        ((0, 0), (len(LINES) - 1, 0)),
    ]
    title = units(LINES[first])
    (selection,) = home.of_file("selectionRange", positions=[{"line": first, "character": title}])
    assert next(grown(selection))[0] == (first, LINES[first].index('"'))


@NEWLINES
def test_each_range_of_a_selection_holds_the_one_before(home: Home, newline: str) -> None:
    home.type(HOME.replace("\n", newline))
    places = [
        {"line": number, "character": column}
        for number, line in enumerate(LINES)
        for column in range(0, units(line) + 1, 3)
    ]
    for place, selection in zip(
        places, home.of_file("selectionRange", positions=places), strict=True
    ):
        spans = list(grown(selection))
        assert all(wide[0] <= small[0] <= small[1] <= wide[1] for small, wide in pairwise(spans))
        assert len(set(spans)) == len(spans)
        assert spans[0][0] <= (place["line"], place["character"]) <= spans[0][1]


def test_step_is_a_sign_and_a_text_to_the_colours(home: Home) -> None:
    line = LINES.index("        - Key on hook # 3 by ben")
    span = {"start": {"line": line, "character": 0}, "end": {"line": line, "character": 9}}
    data = home.of_file("semanticTokens/range", range=span)["data"]
    legend = home.client.answer["capabilities"]["semanticTokensProvider"]["legend"]["tokenTypes"]
    assert data[:3] == [line, 8, 1]
    assert data[5:8] == [0, 2, len("Key on hook # 3 by ben")]
    assert [legend[data[3]], legend[data[8]]] == ["keyword", "string"]
