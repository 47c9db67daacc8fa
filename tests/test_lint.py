"""Lint: one run finds everything, in order; what the book allows, or cannot know yet, is quiet."""

from __future__ import annotations

import re

import pytest
from books import day
from lint_books import all_found

from ledger.lint.book import LintedBook
from ledger.lint.engine import lint
from ledger.report.due import due
from ledger.text.finding import Finding
from ledger.text.source import Source
from ledger.workspace import Workspace, read_sources

TODAY = day("2026-03-04")


def workspace(*books: str) -> Workspace:
    """The workspace of books named a.chores, b.chores and so on."""
    return read_sources(Source(f"{'abc'[n]}.chores", text) for n, text in enumerate(books))


ABOUT_TEXT = {"not-formatted", "unused-allow"}


def findings(*books: str, on: int = TODAY) -> list[Finding]:
    """All findings but of the text itself, which most books of these tests do not care for."""
    read = workspace(*books)
    found = lint(LintedBook(read.trees, read.household.on(on)), read.findings)
    return [finding for finding in found if finding.rule not in ABOUT_TEXT]


def rules(*lines: str) -> list[str]:
    """The rules of the findings of a book, in order."""
    return [finding.rule for finding in findings("\n".join(lines) + "\n")]


def only(*lines: str, on: int = TODAY) -> Finding:
    """The one finding of a book."""
    (finding,) = findings("\n".join(lines) + "\n", on=on)
    return finding


# ------------------------------------------------------------------------- all in one run

EVERY_FAULT = """\
since 2026-01-01
area kitchen
area attic
area kitchen
limit monday 20 min
every mondey
    hob  5 min  in kitchen
every 2 weeks
    oven  40 min  in kitchen
weekend 6
    bath  20 min  in kitchen
every monday
    sink  30 min  in kitchin
    shelf  in kitchen
    cups  5 min
    taps  5 min  in kitchen  6 min
    drain  5 min  in kitchen  uses blaech
every friday from 2026-02-30
    bins  5 min  in kitchen
every tuesday
every week
    sink  5 min  in kitchen
2026-03-02 did sink 30 min
2026-03-02 did sink 30 min
2025-12-15 did sink
2027-01-04 did sink
"""
PLACES = [
    (3, "attic", "unused-area"),
    (4, "kitchen", "repeated-name"),
    (5, "limit monday", "overloaded-day"),
    (6, "mondey", "unreadable-line"),
    (8, "every 2 weeks", "missing-from"),
    (10, "6", "impossible-number"),
    (13, "kitchin", "unknown-name"),
    (14, "shelf", "missing-minutes"),
    (14, "shelf", "new-without-from"),
    (15, "cups", "missing-area"),
    (16, "6 min", "repeated-word"),
    (17, "blaech", "misspelt-hazard"),
    (18, "2026-02-30", "impossible-date"),
    (20, "every tuesday", "empty-section"),
    (22, "sink", "overlap"),
    (24, "2026-03-02", "repeated-line"),
    (25, "2025-12-15", "not-in-force"),
    (25, "2025-12-15", "out-of-order-line"),
    (26, "2027-01-04", "future-line"),
]


def test_one_run_finds_a_fault_of_every_rule_each_at_its_place() -> None:
    found = [(f.place.line + 1, f.place.text, f.rule) for f in findings(EVERY_FAULT)]
    assert found == PLACES
    assert len({rule for _, _, rule in found}) == len(PLACES) >= 15


def test_what_is_sound_in_a_book_of_faults_still_comes_up() -> None:
    answer = due(workspace(EVERY_FAULT).household, day("2026-03-09"))
    assert [task.chore for task in answer.today] == ["sink", "shelf", "cups", "drain"]
    assert answer.minutes == 30 + 5 + 5


def test_findings_come_in_order_of_file_line_and_column() -> None:
    faulty = "every monday\n    b  uses blaech, lie\n    a\n2026-03-02 did b, x, y\n"
    found = findings("area k\n" + faulty, faulty.replace("b", "c"))
    places = [(f.place.source.path, f.place.line, f.place.start, f.rule) for f in found]
    assert places == sorted(places)
    assert len({path for path, *_ in places}) == 2
    assert len(places) == len(set(places)) > 10


def test_order_does_not_hang_on_the_order_in_which_files_are_given() -> None:
    one, other = Source("a.chores", "every monday\n    x\n"), Source("b.chores", "    y\nevery d\n")

    def heads(*sources: Source) -> list[str]:
        read = read_sources(sources)
        found = lint(LintedBook(read.trees, read.household.on(TODAY)), read.findings)
        found = [finding for finding in found if finding.rule not in ABOUT_TEXT]
        return [f"{finding.place} {finding.rule}" for finding in found]

    assert heads(one, other) == heads(other, one) != []


# ------------------------------------------------------------------------------ allowing

WEEKEND = ("area k", "every weekend", "    sweep  5 min  in k", "weekend 1")
CHORE = ("area k", "every monday", "    x  5 min  in k")
SWEEP = "    sweep  5 min  in k"


def test_allow_on_the_line_itself_drops_its_finding() -> None:
    assert rules(*WEEKEND, SWEEP) == ["overlap"]
    assert rules(*WEEKEND, SWEEP + "  # allow overlap: the dog sheds") == []


def test_allow_alone_on_the_line_above_drops_the_finding() -> None:
    assert rules(*WEEKEND, "    # allow overlap: the dog sheds", SWEEP) == []
    assert rules(*WEEKEND, "# allow overlap: the dog sheds", SWEEP) == []


def test_allow_reaches_no_further_than_one_line() -> None:
    assert rules(*WEEKEND, "# allow overlap: the dog sheds", "", SWEEP) == ["overlap"]
    assert rules(*WEEKEND, SWEEP, "# allow overlap: the dog sheds") == ["overlap"]


def test_allow_behind_a_line_says_nothing_of_the_line_below() -> None:
    header = "weekend 1  # allow overlap: the dog sheds"
    assert rules(*WEEKEND[:-1], header, SWEEP) == ["overlap"]


@pytest.mark.parametrize(
    "comment",
    [
        "# allow overlap",
        "# allow overlap:",
        "# allow overlap:   ",
        "# allow overlap the dog sheds",
        "# please allow overlap: the dog sheds",
        "# allow: the dog sheds",
        "# allow over lap: the dog sheds",
    ],
)
def test_allow_without_a_reason_or_a_rule_drops_nothing(comment: str) -> None:
    assert rules(*WEEKEND, f"{SWEEP}  {comment}") == ["overlap"]


@pytest.mark.parametrize(
    "comment", ["#allow overlap:shed", "#  allow\toverlap : shed", "# allow overlap , x: shed"]
)
def test_allow_minds_no_blanks(comment: str) -> None:
    assert rules(*WEEKEND, f"{SWEEP}  {comment}") == []


@pytest.mark.parametrize("reason", ["say why", "Say why.", "say why "])
def test_allow_whose_reason_is_still_to_be_written_drops_nothing_and_is_told(reason: str) -> None:
    found = all_found(*WEEKEND, f"    # allow overlap: {reason}", SWEEP)
    assert [one.rule for one in found] == ["unused-allow", "overlap"]
    assert found[0].message == '"say why" is no reason'


def test_allow_without_a_reason_is_told_beside_one_that_holds() -> None:
    lines = ("    # allow overlap: say why", SWEEP + "  # allow overlap: the dog sheds")
    assert [one.rule for one in all_found(*WEEKEND, *lines)] == ["unused-allow"]


def test_allow_drops_only_the_rules_it_names() -> None:
    bare = "    sweep"
    assert rules(*WEEKEND, bare) == ["missing-area", "missing-minutes", "overlap"]
    assert rules(*WEEKEND, bare + "  # allow overlap: shed") == ["missing-area", "missing-minutes"]
    assert rules(*WEEKEND, bare + "  # allow missing-area, missing-minutes: shed") == ["overlap"]


def test_allow_in_one_file_says_nothing_of_another() -> None:
    book = "\n".join([*WEEKEND, SWEEP]) + "\n"
    comment = "\n" * 4 + "# allow overlap: line 5 of a book\n"
    assert [f.rule for f in findings(book, comment)] == ["overlap"]


@pytest.mark.parametrize(
    "again",
    [
        "2026-03-02 did x  # allow repeated-line: done at both ends",
        "# allow repeated-line: done at both ends\n2026-03-02 did x",
    ],
)
def test_allow_works_on_lines_of_the_record(again: str) -> None:
    book = [*CHORE, "2026-03-02 did x"]
    assert rules(*book, "2026-03-02 did x") == ["repeated-line"]
    assert rules(*book, again) == []


def test_allow_on_one_of_two_equal_record_lines_leaves_the_finding_of_the_other() -> None:
    found = only(
        *CHORE, *["2026-03-02 did x"] * 2, "2026-03-02 did x  # allow repeated-line: thrice over"
    )
    assert (found.rule, found.place.line) == ("repeated-line", 4)


# ---------------------------------------------------------------- one fault, one finding


def test_unread_line_may_be_the_one_that_uses_an_area() -> None:
    book = ["area attic", "area k", "every monday", "    x  5 min  in k"]
    assert rules(*book) == ["unused-area"]
    assert rules(*book, "    y  5 mins  in attic") == ["unreadable-line"]
    assert rules(*book, "    y  5 mins  in cellar") == ["unused-area", "unreadable-line"]


def test_chores_below_an_unread_header_use_their_areas() -> None:
    assert rules("area k", "every mondey", "    x  5 min  in k") == ["unreadable-line"]


def test_section_whose_only_chore_is_unread_is_not_empty() -> None:
    assert rules("every monday", "    x  5 mins") == ["unreadable-line"]


def test_stray_step_fills_its_section_as_an_unread_chore_does() -> None:
    assert rules("every monday", "    - wash up") == ["unreadable-line"]


@pytest.mark.parametrize(
    "line",
    ["days school 2026-02-30", "days school every 2 weeks", "days school every mondey",
     "days school"],
)  # fmt: skip
def test_days_whose_line_is_at_fault_are_not_unknown_too(line: str) -> None:
    book = ("area k", "every monday during school", "    x  5 min  in k", "limit school 5 min")
    assert rules(*book, line) == rules(*book[:1], "every monday", book[2], line) != []
    assert len(rules(*book)) == 2


def test_name_for_days_is_still_unknown_as_a_person() -> None:
    book = ("area k", "days school 2026-03-09", "person tam", "every monday during school")
    assert rules(*book, "    x  5 min  in k  by school, tam") == ["unreadable-line"]
    assert rules(*book, "    x  5 min  in k  by school or tam") == ["unknown-name"]


@pytest.mark.parametrize(
    ("name", "told"), [("bank-holidays", True), ("holiday", True), ("school", False)]
)
def test_unknown_holidays_name_the_command_that_prints_such_a_line(name: str, told: bool) -> None:
    chore = ("area k", "every monday", "    x  5 min  in k")
    listed = only("area k", f"every monday except {name}", chore[2])
    absent = only(*chore, f"away {name}")
    call = f"for public holidays, `besom holidays COUNTRY YEAR --name {name}` prints such a line"
    assert [found.fix.endswith(call) for found in (listed, absent)] == [told, told]
    assert "holidays COUNTRY" not in only(chore[0], "every monday", f"{chore[2]}, {name}").fix


def test_section_is_empty_when_only_blanks_and_comments_follow() -> None:
    assert rules("every monday", "", "    # nothing yet") == ["empty-section"]
    assert rules("every monday", "2026-03-02 did x") == ["empty-section", "unknown-name"]


def test_empty_section_at_the_end_of_a_file_is_not_filled_by_the_next() -> None:
    found = findings("every monday\n", "area k\nevery friday\n    x  5 min  in k\n")
    assert [(f.place.source.path, f.rule) for f in found] == [("a.chores", "empty-section")]


def test_areas_are_not_asked_for_where_the_book_has_none() -> None:
    assert rules("every monday", "    x  5 min") == []


def test_unknown_area_is_not_a_missing_one_too() -> None:
    assert rules("area k", "every monday", "    y  1 min  in k", "    x  5 min  in kk") == [
        "unknown-name"
    ]


# --------------------------------------------------------------------- what findings say


def test_overloaded_days_alike_are_one_finding_at_their_limit() -> None:
    found = only("area k", "limit weekday 30 min", "every monday", "    x  40 min  in k")
    assert found.place.text == "limit weekday"
    assert found.message == (
        "Mon 9 Mar 2026 asks for 40 min, of 30 min; 51 more like it in the year ahead"
    )
    assert "10 min will be left undone" in found.why
    assert "x 40 min" in found.why


def test_overloaded_days_of_two_kinds_are_two_findings() -> None:
    book = ["area k", "limit weekday 30 min", "every monday, friday", "    x  40 min  in k"]
    found = findings("\n".join(book) + "\n")
    assert [f.message.partition(" asks")[0] for f in found] == ["Fri 6 Mar 2026", "Mon 9 Mar 2026"]


def test_each_limit_has_a_finding_of_its_own_days() -> None:
    book = ["area k", "limit weekday 30 min", "limit monday 20 min", "every monday, friday"]
    found = findings("\n".join([*book, "    x  40 min  in k"]) + "\n")
    assert [(f.place.text, f.message.partition(";")[0]) for f in found] == [
        ("limit weekday", "Fri 6 Mar 2026 asks for 40 min, of 30 min"),
        ("limit monday", "Mon 9 Mar 2026 asks for 40 min, of 20 min"),
    ]


def test_message_reason_and_fix_speak_of_the_worst_day() -> None:
    found = only(
        "area k", "limit weekday 30 min", "every monday", "    x  40 min  in k",
        "once from 2026-04-06 to 2026-04-06", "    y  65 min  in k",
    )  # fmt: skip
    assert found.message == (
        "Mon 6 Apr 2026 asks for 1 h 45 min, of 30 min; 51 more like it in the year ahead"
    )
    assert found.why == "1 h 15 min will be left undone; the longest are y 1 h 5 min, x 40 min"
    assert found.fix.startswith("move 1 h 15 min to other days")


def test_span_of_days_is_judged_by_its_limits_together() -> None:
    book = ["area k", "limit weekend 30 min", "every weekend", "    x  30 min  in k"]
    assert rules(*book, "    y  30 min  in k") == []
    found = only(*book, "    y  31 min  in k")
    assert found.message.startswith("Sat 7 Mar 2026 to Sun 8 Mar 2026 ask for 1 h 1 min, of 1 h")


def test_limit_of_a_person_judges_no_day() -> None:
    people = ["person edie", "person noor"]
    book = ["area k", *people, "limit edie 5 min", "every monday", "    y  1 min  in k  by noor"]
    assert rules(*book, "    x  40 min  in k  by edie") == ["overloaded-person"]
    assert rules(*book, "    x  40 min  in k") == []


def test_overlap_names_the_first_days_on_which_lines_meet_and_how_often() -> None:
    found = only(*WEEKEND, SWEEP)
    assert found.message == '"sweep" stands under `every weekend` and `weekend 1`, which meet'
    assert "12 times in the year ahead, first on Sat 7 Mar 2026 to Sun 8 Mar 2026" in found.why
    assert [place.line for place in found.see] == [2]


def test_overlap_that_comes_once_is_counted_once() -> None:
    once = "once from 2026-06-06 to 2026-06-10"
    found = only("area k", "every weekend", SWEEP, once, SWEEP)
    assert (
        "they meet once in the year ahead, first on Sat 6 Jun 2026 to Sun 7 Jun 2026" in found.why
    )


def test_lines_parted_by_until_and_from_do_not_overlap() -> None:
    header = "every weekend until 2026-08-31"
    assert rules("area k", header, SWEEP, "weekend 1 from 2026-09-01", SWEEP) == []
    assert rules("area k", header, SWEEP, "weekend 1 from 2026-08-01", SWEEP) == ["overlap"]


def test_each_pair_of_lines_that_meet_is_found() -> None:
    found = findings(
        f"area k\nevery month on 1 within 20 days\n{SWEEP}\n"
        f"every month on 2\n{SWEEP}\nevery month on 10\n{SWEEP}\n"
    )
    assert [(f.rule, f.place.line) for f in found] == [("overlap", 4), ("overlap", 6)]


def test_today_is_not_the_future_and_tomorrow_is() -> None:
    assert rules(*CHORE, "2026-03-04 did x") == []
    found = only(*CHORE, "2026-03-05 did x")
    assert found.message == "Thu 5 Mar 2026 is 1 day after today"
    assert "2026-03-04" in found.fix


def test_lines_of_the_future_are_counted_at_the_first_of_them() -> None:
    found = only(*CHORE, "2026-03-16 did x", "2026-03-02 did x", "2026-03-09 did x")
    assert (found.rule, found.place.line) == ("future-line", 5)
    assert found.message.startswith("Mon 9 Mar 2026 is 5 days after today; 1 more line ")


@pytest.mark.parametrize(
    ("other", "repeats"),
    [
        ("2026-03-02  did  x 5 min  # again", True),
        ("2026-03-02 did x 5 min by noor", False),
        ("2026-03-02 did x 6 min", False),
        ("2026-03-02 did x", False),
        ('2026-03-02 did x 5 min "once more"', False),
        ("2026-03-03 did x 5 min", False),
        ("2026-03-02 skipped x", False),
    ],
)
def test_line_is_repeated_where_it_says_the_same_of_the_same_day(other: str, repeats: bool) -> None:
    first = "2026-03-02 did x 5 min"
    assert ("repeated-line" in rules("person noor", *CHORE, first, other)) is repeats


def test_repeated_line_in_another_file_shows_where_the_first_stands() -> None:
    record = "2026-03-02 did x\n"
    (found,) = findings("\n".join(CHORE) + "\n" + record, record)
    assert (found.place.source.path, found.place.line) == ("b.chores", 0)
    assert [(place.source.path, place.line) for place in found.see] == [("a.chores", 3)]


def test_line_outside_the_dates_of_its_chore_names_those_dates() -> None:
    lines = ("area k", "every monday from 2026-02-01 until 2026-02-28", "    x  5 min  in k")
    assert rules(*lines, "2026-02-02 did x", "2026-02-23 did x") == []
    found = only(*lines, "2026-01-19 did x", "2026-02-23 did x", "2026-03-02 did x")
    assert (found.rule, found.place.line) == ("not-in-force", 3)
    assert re.match('"x" is not in force on Mon 19 Jan 2026, and 1 more line\\b', found.message)
    assert "Sun 1 Feb 2026 to Sat 28 Feb 2026" in found.why


def test_line_before_the_book_begins_is_not_in_force() -> None:
    lines = ("since 2026-03-01", *CHORE)
    assert rules(*lines, "2026-03-02 did x") == []
    assert rules(*lines, "2026-02-22 did x") == ["not-in-force"]


@pytest.mark.parametrize(
    ("line", "is_told"),
    [
        ("2026-01-25 did x", True),
        ("2026-01-26 did x", False),
        ("2026-01-01 skipped x", False),
        ("2026-01-01 moved x to 2026-02-01", False),
        ("2026-01-01 moved x to 2026-02-09", True),
        ("2026-01-01 worked x 5 min", False),
        ("2026-03-02 did x", False),
        ("2026-03-02 skipped x", True),
        ("2026-03-02 worked x 5 min", True),
    ],
)
def test_line_outside_the_dates_is_told_where_it_finds_no_window(line: str, is_told: bool) -> None:
    """Windows on the Mondays of February: the 2nd to the 23rd."""
    book = ("since 2026-01-01", "area k", "every monday", "    x  5 min  in k")
    dates = "  from 2026-02-01 until 2026-02-28"
    assert ("not-in-force" in rules(*book[:3], book[3] + dates, line)) is is_told
    assert "not-in-force" not in rules(*book, line)


def test_line_for_several_people_is_told_where_it_finds_no_window_of_any() -> None:
    section = ("every monday from 2026-02-01", "    x  5 min  in k  by each")
    book = ("since 2026-01-01", "person noor", "person tam", "area k", *section)
    for_one = ("2026-01-30 did x by noor", "2026-01-31 did x")
    assert "not-in-force" not in rules(*book, *for_one)
    assert "not-in-force" in rules(*book, *for_one, "2026-01-31 did x by noor")


@pytest.mark.parametrize("thing", ["blaech", "bleech", "blech", "bleachs", "laddder"])
def test_thing_one_slip_away_from_a_hazard_is_found(thing: str) -> None:
    assert rules(*CHORE[:2], f"    x  5 min  in k  uses {thing}") == ["misspelt-hazard"]


@pytest.mark.parametrize(
    "thing", ["bleach", "towel", "nails", "ladle", "cloth", "bucket", "gloves", "brush", "glass"]
)
def test_thing_that_is_no_misspelt_hazard_is_the_households_own_word(thing: str) -> None:
    assert rules(*CHORE[:2], f"    x  5 min  in k  uses {thing}") == []


def test_missing_minutes_are_proposed_from_timed_lines() -> None:
    timed = [f"2026-02-{n:02} did x {n} min" for n in range(10, 15)]
    found = only("area k", "every week", "    x  in k", *timed)
    assert found.fix.endswith("such as `12 min`")
    assert "timed, it took 12 min" in found.why


def test_misspelt_day_of_a_limit_is_told_the_day() -> None:
    assert "write `monday`, the closest" in only("person noor", "limit moday 45 min").fix
