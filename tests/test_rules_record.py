"""Rules about the record: lines that cannot be so, and what the record has come to know."""

from __future__ import annotations

from statistics import median

import pytest
from books import day, iso
from hypothesis import given, settings
from hypothesis import strategies as st
from lint_books import all_found, found_of, only_of, places

from ledger.text.edits import edited
from ledger.text.finding import Severity

X = "    x  5 min  in k"
CHORE = ("area k", "every monday", X)
DAILY = ("area k", "every day", "    x  10 min  in k")
PEOPLE = ("person noor", "person tam", "person edie", "area k", "every monday")


def timed(*minutes: int, first: int = 1, month: str = "2026-02") -> list[str]:
    """Lines of the record, one a day, with these minutes."""
    return [f"{month}-{first + n:02} did x {value} min" for n, value in enumerate(minutes)]


# ------------------------------------------------------------------------ out-of-order-line


def test_first_line_far_before_the_one_above_it_counts_the_others() -> None:
    record = ("2026-03-02 did x", "2026-02-09 did x", "2026-02-16 did x", "2026-01-12 did x")
    found = only_of("out-of-order-line", *CHORE, *record)
    assert found.place.line == 4
    assert found.message == (
        "Mon 9 Feb 2026 is 21 days before the line above it; 1 more line is so too"
    )
    assert [place.line for place in found.see] == [3]


@pytest.mark.parametrize(
    ("above", "below", "count"),
    [
        ("2026-03-02", "2026-02-22", 1),
        ("2026-03-02", "2026-02-23", 0),
        ("2026-03-02", "2026-03-01", 0),
        ("2026-03-02", "2026-03-02", 0),
        ("2026-02-02", "2026-03-02", 0),
        ("2027-03-02", "2026-03-02", 0),
    ],
)
def test_line_may_be_a_week_late_in_being_written(above: str, below: str, count: int) -> None:
    record = (f"{above} did x", f"{below} skipped x")
    assert len(found_of("out-of-order-line", *CHORE, *record)) == count


# ------------------------------------------------------------------------------- done-twice


def test_chore_done_twice_is_one_finding_with_its_count() -> None:
    record = (
        "2026-02-23 did x 5 min", "2026-02-23 did x 6 min",
        "2026-03-02 did x by noor", "2026-03-02 did x 5 min by noor",
    )  # fmt: skip
    found = only_of("done-twice", *PEOPLE, X, *record)
    assert found.place.line == 7
    assert found.message == '"x" is done twice on Mon 23 Feb 2026, and on 1 more line'


@pytest.mark.parametrize(
    ("one", "other", "line"),
    [
        ("did x", "did x, y", 10),
        ("did x 5 min", "did x", 10),
        ("did x by noor", "did x by tam, noor", 10),
        ("did x, y, x", "did z", 9),
        ("did z", "did x 5 min, x 6 min", 10),
        ("did x by noor", "did x by tam", None),
        ("did x by noor", "did x", None),
        ("did x", "did x", None),
        ("did x", "did x  # the same", None),
        ("did x", "skipped x", None),
        ("skipped x", "skipped x, y", None),
        ("did x", "did y", None),
        ("did x 5 min", 'did x 5 min "again, visitors"', None),
        ('did x "before noon"', "did x 5 min", None),
        ('did x, x "both ends"', "did y", None),
    ],
)
def test_twice_is_one_chore_one_day_and_one_person(one: str, other: str, line: int | None) -> None:
    book = (*PEOPLE, *(f"    {name}  5 min  in k" for name in "xyz"))
    found = found_of("done-twice", *book, f"2026-03-02 {one}", f"2026-03-02 {other}")
    assert [found_line for found_line, _ in places(found)] == ([line] if line else [])


def test_each_doing_their_own_on_one_day_is_not_twice() -> None:
    record = [f"2026-03-0{n} did x by {who}" for n in (1, 2) for who in ("noor", "tam", "edie")]
    assert found_of("done-twice", *PEOPLE, X + "  by each", *record) == []
    again = "2026-03-02 did x 5 min by tam"
    assert len(found_of("done-twice", *PEOPLE, X + "  by each", *record, again)) == 1


TWICE_A_WEEK = ("since 2026-01-01", "area k", "2 times every week", X)


def test_parts_of_a_period_may_be_done_on_one_day() -> None:
    first, again = "2026-02-24 did x", "2026-02-24 did x 5 min"
    assert found_of("done-twice", *TWICE_A_WEEK, first, again) == []
    third = "2026-02-24 did x 6 min"
    found = only_of("done-twice", *TWICE_A_WEEK, first, again, third)
    assert (found.place.line, "more line" in found.message) == (6, False)
    assert places(found_of("done-twice", *TWICE_A_WEEK, "2026-02-24 did x, x")) == [
        (5, "2026-02-24")
    ]


def test_working_on_a_chore_twice_a_day_is_no_fault() -> None:
    lines = ("2026-03-02 worked x 2 min", "2026-03-02 worked x 2 min", "2026-03-02 did x 3 min")
    assert all_found(*CHORE, *lines) == []


def test_second_of_two_equal_lines_is_not_deleted_unasked_where_it_may_count() -> None:
    line = "2026-02-24 did x"
    certain = only_of("repeated-line", "since 2026-01-01", *CHORE, line, line)
    assert [fix.is_certain for fix in certain.fixes] == [True]
    found = only_of("repeated-line", *TWICE_A_WEEK, line, line)
    assert [fix.is_certain for fix in found.fixes] == [False]


# ------------------------------------------------------------------------- unlikely-minutes


def test_minutes_over_five_times_the_usual_are_marked() -> None:
    found = only_of("unlikely-minutes", *DAILY, *timed(10, 9, 12, 10, 10, 51))
    assert (found.place.line, found.place.text) == (8, "51 min")
    assert found.message == '"x" took 51 min, and 10 min before'
    assert "`10 min`" in found.fix


@pytest.mark.parametrize(
    ("minutes", "count"),
    [
        ((10, 10, 10, 10, 10, 50), 0),
        ((10, 10, 10, 10, 51), 0),
        ((10, 10, 10, 10, 400), 0),
        ((480,), 0),
        ((481,), 1),
        ((2, 2, 2, 2, 2, 12), 0),
        ((2, 2, 2, 2, 2, 13), 1),
        ((10, 10, 10, 10, 10, 60, 70), 2),
        ((1, 100, 100, 100, 100, 100, 100), 0),
        ((60, 60, 60, 60, 60, 8, 8, 8, 8, 8, 8, 8, 50), 1),
        # Of the nine before the last most are 10, of eight as many are 60; of ten too.
        ((10, 10, 10, 10, 10, 60, 60, 60, 60, 55), 5),
        ((10, 10, 10, 10, 10, 60, 60, 60, 60, 60, 200), 5),
    ],
)
def test_minutes_are_unlikely_only_against_lines_before_them(
    minutes: tuple[int, ...], count: int
) -> None:
    assert len(found_of("unlikely-minutes", *DAILY, *timed(*minutes))) == count


@settings(max_examples=60)
@given(st.lists(st.sampled_from([4, 10, 21, 55, 120]), min_size=9, max_size=25))
def test_usual_minutes_are_the_median_of_the_last_nine_before_once_there_are_five(
    minutes: list[int],
) -> None:
    """Against the standard library: `statistics.median`."""
    usual = [median(minutes[max(0, n - 9) : n]) if n >= 5 else None for n in range(len(minutes))]
    wanted = [
        len(DAILY) + 1 + n
        for n, (took, before) in enumerate(zip(minutes, usual, strict=True))
        if before is not None and took > 5 * before and took > before + 10
    ]
    found = found_of("unlikely-minutes", *DAILY, *timed(*minutes))
    assert [line for line, _ in places(found)] == wanted


def test_usual_minutes_go_by_date_and_by_chore() -> None:
    lines = timed(10, 10, 10, 10, 10)
    book = (*DAILY, "    y  60 min  in k", "2026-01-15 did x 80 min, y 60 min")
    assert found_of("unlikely-minutes", *book, *lines) == []
    later = "2026-02-20 did y 70 min, x 80 min"
    assert places(found_of("unlikely-minutes", *book, *lines, later)) == [(11, "80 min")]


def test_usual_minutes_are_with_those_worked_before() -> None:
    """Each doing takes 60 minutes, of which 50 were worked on the two days before."""
    book = ("since 2026-01-01", "area k", "every week", "    x  60 min  in k")
    doings = [
        line
        for monday in (5, 12, 19, 26)
        for line in (
            f"2026-01-{monday:02} worked x 25 min",
            f"2026-01-{monday + 1:02} worked x 25 min",
            f"2026-01-{monday + 2:02} did x 10 min",
        )
    ]
    fifth = ("2026-02-02 worked x 50 min", "2026-02-03 did x 10 min")
    late = "2026-02-09 did x 290 min"
    assert found_of("unlikely-minutes", *book, *doings, *fifth, late) == []
    found = only_of("unlikely-minutes", *book, *doings, *fifth, late.replace("290", "301"))
    assert found.message == '"x" took 5 h 1 min, and 1 h before'
    worked = only_of("unlikely-minutes", *book, *doings, *fifth, "2026-02-09 worked x 301 min")
    assert worked.place.text == "301 min"


# -------------------------------------------------------------------------- line-while-away


def test_doing_while_everyone_is_away_counts_lines_of_the_span() -> None:
    away = 'away 2026-02-20 to 2026-02-25 "By the sea"'
    record = ("2026-02-19 did x", "2026-02-23 did x", "2026-02-24 did x", "2026-02-26 did x")
    found = only_of("line-while-away", *CHORE, away, *record)
    assert (found.severity, found.place.line) == (Severity.NOTE, 5)
    assert found.message == (
        '"x" is done on Mon 23 Feb 2026, when everyone is away; 1 more line is so too'
    )
    assert '"By the sea"' in found.why
    assert "end by 2026-02-22" in found.fix
    assert [edit.new for fix in found.fixes for edit in fix.edits] == ["2026-02-22"]


@pytest.mark.parametrize(
    ("away", "line", "count"),
    [
        ("away 2026-02-23", "did x by tam", 1),
        ("away 2026-02-23", "skipped x", 0),
        ("away 2026-02-23", "moved x to 2026-02-26", 0),
        ("away 2026-02-23 by tam", "did x by tam", 1),
        ("away 2026-02-23 by tam", "did x by noor, tam", 1),
        ("away 2026-02-23 by tam", "did x by noor", 0),
        ("away 2026-02-23 by tam", "did x", 0),
        ("away 2026-02-22 by tam", "did x by tam", 0),
        ("away 2026-02-23", "worked x 5 min", 1),
        ("rest 2026-02-23", "did x", 0),
        ("rest 2026-02-23 by tam", "did x by tam", 0),
        ("away from 2026-02-20 by tam", "did x by tam", 1),
        ("away 2026-02-01 to 2026-02-03, 2026-02-23", "did x", 1),
        ("away 2026-02-01 to 2026-02-03, 2026-02-25", "did x", 0),
        ("away 2026-02-24", "did x", 0),
        # A shift, before which a chore may be done.
        ("away shift by tam", "did x by tam", 0),
        ("away shift", "did x by tam", 1),
    ],
)
def test_only_those_away_can_do_nothing(away: str, line: str, count: int) -> None:
    shift = "days shift every monday"
    book = (*PEOPLE, X, shift, away, f"2026-02-23 {line}")
    assert len(found_of("line-while-away", *book)) == count


@pytest.mark.parametrize(
    ("away", "days", "edit"),
    [
        ("away 2026-02-01 to 2026-02-02, 2026-02-20 to 2026-02-24", "Fri 20 Feb 2026 to Tue 24 Feb",
         "away 2026-02-01 to 2026-02-02, 2026-02-20 to 2026-02-22"),
        ("away from 2026-02-20", "from Fri 20 Feb 2026", "away 2026-02-20 to 2026-02-22"),
        ("away trips", "trips", None),
    ],
)  # fmt: skip
def test_span_of_the_line_is_named_and_mended(away: str, days: str, edit: str | None) -> None:
    trips = "days trips every 2 weeks on monday from 2026-02-09"
    found = only_of("line-while-away", *CHORE, trips, away, "2026-02-23 did x")
    assert found.why.startswith(f"away {days}")
    text = found.place.source
    assert [edited([text], fix.edits)[0].lines[4] for fix in found.fixes] == [edit] * bool(edit)
    assert ("the days of `trips`" in found.fix) == (edit is None)


def test_work_begun_while_away_is_told_as_some_of_it() -> None:
    found = only_of("line-while-away", *CHORE, "away 2026-02-23", "2026-02-23 worked x 2 min")
    assert found.message.startswith('some of "x" is done on Mon 23 Feb 2026, when everyone is away')


def test_person_away_is_named() -> None:
    away = "away 2026-02-23 to 2026-02-24 by tam"
    found = only_of("line-while-away", *PEOPLE, X, away, "2026-02-23 did x by noor, tam")
    assert "when tam is away" in found.message
    assert "begin later than 2026-02-23" in found.fix


def test_line_left_without_a_chore_that_the_household_has_is_one_while_away() -> None:
    away = "away 2026-02-23 to 2026-02-24"
    found = all_found(*CHORE, away, "2026-02-23 did z")
    assert [one.rule for one in found if one.place.line == 4] == ["line-while-away", "unknown-name"]
    assert found[0].message == '"something" is done on Mon 23 Feb 2026, when everyone is away'


# -------------------------------------------------------------------------- impossible-move

MOVED = ("since 2026-01-01", *CHORE)


@pytest.mark.parametrize(
    ("record", "why"),
    [
        (["2026-03-02 moved x to 2026-03-09"], "Mon 9 Mar 2026 has it already"),
        (["2026-02-16 moved x to 2026-03-04"], "Mon 23 Feb 2026 comes first"),
        (["2026-03-02 moved x to 2026-02-27"], "the line is of Mon 2 Mar 2026"),
        (["2026-03-02 did x", "2026-03-02 moved x to 2026-03-04"], "stood open"),
    ],
)
def test_move_that_moves_nothing_says_what_stands_against_it(record: list[str], why: str) -> None:
    found = only_of("impossible-move", *MOVED, *record)
    assert found.place.text == record[-1].split()[-1]
    assert why in found.why


@pytest.mark.parametrize(
    "record",
    [
        ["2026-03-02 moved x to 2026-03-08"],
        ["2026-03-02 moved x to 2026-03-02"],
        ["2026-03-02 did x", "2026-03-03 moved x to 2026-03-10"],
        ["2026-03-02 moved x to 2026-03-03", "2026-03-03 moved x to 2026-03-04"],
        ["2026-03-02 moved x to 2026-03-03", "2026-03-03 did x"],
        ["2025-02-24 moved x to 2025-03-03"],
        # Away on the 9th: that window is passed, and gone.
        ["2026-03-02 moved x to 2026-03-12"],
    ],
)
def test_move_between_its_neighbours_holds(record: list[str]) -> None:
    away = "away 2026-03-09 to 2026-03-11"
    assert found_of("impossible-move", away, *MOVED, *record) == []


def test_move_past_a_window_that_is_asked_is_refused_by_it() -> None:
    record = "2026-03-02 moved x to 2026-03-12"
    assert "Mon 9 Mar 2026 comes first" in only_of("impossible-move", *MOVED, record).why
    weekly = ("since 2026-01-01", "area k", "every week except wednesday", X)
    assert found_of("impossible-move", *weekly, "2026-03-02 moved x to 2026-03-04") == []
    found = only_of("impossible-move", *weekly, "2026-03-02 moved x to 2026-03-09")
    assert "Mon 9 Mar 2026 to Sun 15 Mar 2026 has it already" in found.why


@pytest.mark.parametrize(
    ("cadence", "record", "latest"),
    [
        ("every monday", ["2026-03-02 moved x to 2026-03-09"], "2026-03-08"),
        ("every monday", ["2026-02-16 moved x to 2026-03-04"], "2026-02-22"),
        ("every monday", ["2026-02-23 did x", "2026-02-24 moved x to 2026-03-16"], "2026-03-08"),
        ("every week", ["2026-02-17 moved x to 2026-03-02"], "2026-02-22"),
        ("every month on 1", ["2026-02-02 moved x to 2026-03-03"], "2026-02-28"),
    ],
)
def test_last_day_to_which_it_can_be_moved_is_named_and_will_do(
    cadence: str, record: list[str], latest: str
) -> None:
    book = ("since 2026-01-01", "area k", cadence, X)
    found = only_of("impossible-move", *book, *record)
    assert found.fix.startswith(f"write `{latest}`, the last day that will do, ")
    moved, to = record[-1].rsplit(" ", 1)
    assert to > latest
    for days, refused in ((0, 0), (1, 1)):
        again = iso(day(latest) + days)
        lines = (*book, *record[:-1], f"{moved} {again}")
        assert len(found_of("impossible-move", *lines)) == refused


def test_move_that_no_day_would_make_good_names_none() -> None:
    for record in (["2026-03-02 moved x to 2026-02-27"],
                   ["2026-03-02 did x", "2026-03-02 moved x to 2026-03-04"]):  # fmt: skip
        assert only_of("impossible-move", *MOVED, *record).fix == "delete the line"


def test_move_that_holds_for_one_of_all_whom_it_is_for_is_no_fault() -> None:
    """Noor is away when the next window comes round, so hers may be moved past it."""
    book = ("since 2026-01-01", *PEOPLE, X + "  by each of noor, tam")
    record = "2026-03-02 moved x to 2026-03-12"
    assert len(found_of("impossible-move", *book, record)) == 1
    assert found_of("impossible-move", "away 2026-03-09 by noor", *book, record) == []


def test_move_refused_for_the_only_one_who_has_it_to_do_is_found() -> None:
    book = ("since 2026-01-01", *PEOPLE, X + "  by each of noor, tam", "2026-03-02 did x by noor")
    found = only_of("impossible-move", *book, "2026-03-02 moved x to 2026-03-09")
    assert "has it already" in found.why


def test_move_of_a_chore_after_done_or_paused_is_left_alone() -> None:
    after = ("since 2026-01-01", "area k", "14 days after done", X)
    assert found_of("impossible-move", *after, "2026-03-02 moved x to 2026-05-01") == []
    paused = ("since 2026-01-01", "area k", "every monday paused", X)
    assert found_of("impossible-move", *paused, "2026-03-02 moved x to 2026-03-09") == []


def test_move_that_holds_for_one_share_is_no_fault() -> None:
    book = ("since 2026-01-01", *PEOPLE, X + "  by each")
    done = "2026-03-02 did x by noor"
    assert found_of("impossible-move", *book, done, "2026-03-02 moved x to 2026-03-04") == []
    assert len(found_of("impossible-move", *book, "2026-03-02 moved x to 2026-03-09")) == 1


def test_move_of_an_unknown_chore_is_only_an_unknown_name() -> None:
    found = all_found(*MOVED, "2026-02-23 did x", "2026-03-02 moved z to 2026-03-09")
    assert [one.rule for one in found] == ["unknown-name"]


def test_later_lines_do_not_spoil_a_move_that_held() -> None:
    record = ("2026-02-16 moved x to 2026-02-20", "2026-02-20 did x", "2026-02-23 did x")
    assert found_of("impossible-move", *MOVED, *record) == []


# ----------------------------------------------------------------------------- not-given-to


def test_chore_done_by_others_is_folded_by_person() -> None:
    record = [f"2026-{day} did x by {who}" for day, who in (
        ("02-09", "edie"), ("02-16", "tam"), ("02-23", "tam"), ("03-02", "edie"),
    )]  # fmt: skip
    found = found_of("not-given-to", *PEOPLE, X + "  by noor", *record)
    assert [one.message for one in found] == [
        '"x" is given to noor, and edie did it on Mon 9 Feb 2026',
        '"x" is given to noor, and tam did it on Mon 16 Feb 2026',
    ]
    assert "that was so 2 times, last on Mon 23 Feb 2026" in found[1].why
    assert "`by noor or tam`" in found[1].fix
    assert found[0].severity is Severity.NOTE


@pytest.mark.parametrize(
    ("given", "line", "count"),
    [
        ("by noor then tam", "did x by edie", 1),
        ("by noor or tam", "did x by edie", 1),
        ("by noor then tam", "did x by tam", 0),
        ("by noor", "did x by noor, edie", 0),
        ("by noor", "did x by edie, tam", 2),
        ("by noor", "did x", 0),
        ("by noor", "skipped x", 0),
        ("", "did x by edie", 0),
        ("by each", "did x by edie", 0),
        ("by noor  paused", "did x by edie", 0),
        ("by noor and tam", "did x by edie", 1),
        ("by noor and tam", "did x by tam", 0),
        ("by each of noor, tam", "did x by edie", 1),
        ("by noor", "worked x 5 min by edie", 0),
        ("by noor  from 2026-03-04", "did x by edie", 0),
        ("by noor", "did x by someone", 0),
    ],
)
def test_chore_is_given_by_its_line_in_force(given: str, line: str, count: int) -> None:
    book = ("since 2026-01-01", *PEOPLE, f"{X}  {given}", f"2026-03-02 {line}")
    assert found_of("not-given-to", *book) == []
    assert len(found_of("not-given-to", *book, f"2026-03-03 {line}")) == count


@pytest.mark.parametrize(
    ("absence", "given", "count"),
    [
        ("away 2026-03-02 by noor", "by noor", 0),
        ("rest 2026-03-02 by noor", "by noor", 0),
        ("rest 2026-03-02 by noor", "by noor  vital", 1),
        ("away 2026-03-02 by noor", "by noor  vital", 0),
        ("away 2026-03-02 by noor", "by noor or tam", 1),
        ("away 2026-03-02 by noor, tam", "by noor or tam", 0),
        ("away 2026-03-02 by noor", "by noor and tam", 0),
        ("away 2026-03-01 by noor", "by noor", 1),
        ("away 2026-03-02 by edie", "by noor", 1),
    ],
)
def test_help_on_a_day_on_which_nobody_could_do_it_is_no_fault(
    absence: str, given: str, count: int
) -> None:
    book = ("since 2026-01-01", *PEOPLE, f"{X}  {given}", absence)
    record = ("2026-03-02 did x by edie", "2026-03-03 did x by edie")
    assert len(found_of("not-given-to", *book, *record)) == count


@pytest.mark.parametrize(
    ("given", "with_edie"),
    [
        ("noor and tam", "noor and tam and edie"),
        ("each of noor, tam", "each of noor, tam, edie"),
        ("noor then tam", "noor then tam then edie"),
        ("noor or tam", "noor or tam or edie"),
    ],
)
def test_person_is_added_in_the_form_of_the_line(given: str, with_edie: str) -> None:
    record = ("2026-02-23 did x by edie", "2026-03-02 did x by edie")
    found = only_of("not-given-to", *PEOPLE, f"{X}  by {given}", *record)
    text = found.place.source
    assert edited([text], found.fixes[0].edits)[0].lines[5] == f"{X}  by {with_edie}"


def test_place_to_add_a_person_is_offered_where_one_line_gives_the_chore() -> None:
    book = (*PEOPLE, X + "  by noor", "every week", X + "  by noor")
    record = ("2026-02-23 did x by tam", "2026-03-02 did x by tam")
    assert [len(only_of("not-given-to", *book[:n], *record).fixes) for n in (6, 8)] == [1, 0]


def test_line_of_another_time_gives_it_to_another() -> None:
    book = (
        "since 2026-01-01", *PEOPLE,
        X + "  by tam  until 2026-02-28", "every friday from 2026-03-01", X + "  by noor",
    )  # fmt: skip
    record = ("2026-02-23 did x by tam", "2026-03-02 did x by tam", "2026-03-03 did x by tam")
    found = only_of("not-given-to", *book, *record)
    assert "Mon 2 Mar 2026" in found.message
    assert "2 times, last on Tue 3 Mar 2026" in found.why


@pytest.mark.parametrize(("now", "count"), [("noor or tam", 0), ("tam", 0), ("noor", 1)])
def test_nothing_is_said_of_one_to_whom_it_is_given_by_now(now: str, count: int) -> None:
    book = (
        "since 2026-01-01", *PEOPLE,
        X + "  by noor  until 2026-02-28", "every monday from 2026-03-01", X + f"  by {now}",
    )  # fmt: skip
    record = ("2026-02-16 did x by tam", "2026-02-23 did x by tam")
    assert len(found_of("not-given-to", *book, *record)) == count


def test_only_the_last_366_days_are_looked_at() -> None:
    book = ("since 2024-01-01", *PEOPLE, X + "  by noor")
    once = "2026-03-02 did x by tam"
    assert found_of("not-given-to", *book, "2025-03-03 did x by tam", once) == []
    assert len(found_of("not-given-to", *book, "2025-03-04 did x by tam", once)) == 1
    assert found_of("not-given-to", *book, once, "2026-03-09 did x by tam") == []


# -------------------------------------------------------------------------- drifted-minutes


@pytest.mark.parametrize(
    ("minutes", "write"),
    [
        ((15,) * 5, "15 min"),
        ((13,) * 5, "13 min"),
        ((12,) * 5, None),
        ((15,) * 4, None),
        ((7,) * 5, "7 min"),
        ((8,) * 5, None),
        ((30,) * 9 + (10,) * 9, None),
        ((10,) * 9 + (13, 13, 13, 14, 14), "13 min"),
    ],
)
def test_minutes_have_drifted_by_a_quarter_and_two_minutes(
    minutes: tuple[int, ...], write: str | None
) -> None:
    found = found_of("drifted-minutes", *DAILY, *timed(*minutes))
    assert [(one.place.text, one.fix) for one in found] == (
        [("10 min", f"write `{write}`")] if write else []
    )


def test_drift_says_how_far_the_total_is_off() -> None:
    found = only_of("drifted-minutes", *DAILY, *timed(*(15,) * 6))
    assert found.message == '"x" is 10 min here, and lately takes 15 min'
    assert "last 6 timed lines; the total of its days is 5 min too low" in found.why


def test_drift_is_told_at_the_line_in_force() -> None:
    book = (
        "since 2026-01-01", "area k", "every monday until 2026-02-28", "    x  10 min  in k",
        "every friday from 2026-03-01", "    x  11 min  in k",
    )  # fmt: skip
    assert places(found_of("drifted-minutes", *book, *timed(*(20,) * 5))) == [(6, "11 min")]
    paused = ("since 2026-01-01", "area k", "every monday paused", "    x  10 min  in k")
    assert found_of("drifted-minutes", *paused, *timed(*(20,) * 5)) == []


def test_drift_counts_what_was_worked_before_with_the_doing() -> None:
    book = ("since 2026-01-01", "area k", "every day", "    x  10 min  in k")
    doings = [f"2026-02-{n:02} did x 10 min" for n in range(20, 25)]
    assert found_of("drifted-minutes", *book, *doings) == []
    worked = [f"2026-02-{n:02} worked x 8 min" for n in range(20, 25)]
    lines = [line for pair in zip(worked, doings, strict=True) for line in pair]
    assert "lately takes 18 min" in only_of("drifted-minutes", *book, *lines).message


def test_missing_minutes_have_not_drifted() -> None:
    found = all_found("area k", "every week", "    x  in k", *timed(20, 20, 20, 20, 20, first=20))
    assert [one.rule for one in found] == ["missing-minutes"]
