"""Round: keys tick, time and skip; what was said is what is written, and nothing of it is lost."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from random_homes import live, random_home
from rounds import (
    BEGAN,
    BOOK,
    PRESSES,
    at,
    gone_through,
    listed,
    pressed,
    start,
    workspace,
)

from ledger.evening.clock import bar, beaten, count_text, whole_minutes
from ledger.evening.keep import _from_json, _to_json, find, read
from ledger.evening.progress import gone, lines
from ledger.evening.rows import Key, Row
from ledger.evening.state import MOVES, State, minutes_typed, press, seen
from ledger.evening.view import screen_lines
from ledger.household.model import Household
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import RecordEntry
from ledger.text.width import width

HOME = workspace().household


def entries(texts: list[str]) -> list[RecordEntry]:
    tree = Reader().read(Source("record", "\n".join(texts)))
    assert tree.faults() == []
    return tree.record.entries


def written(state: State) -> list[str]:
    return lines(state.progress, state.list.rows)


def ticked(state: State) -> set[Key]:
    return {row.key for row in state.list.rows if state.progress.is_ticked(row.key)}


# -------------------------------------------------------------------------------- laws of any keys


@settings(deadline=None)
@given(PRESSES)
def test_a_tick_goes_only_where_its_own_row_is_asked_for(presses: list[tuple[str, float]]) -> None:
    """A row is ticked or unticked by a key of its own row, or the answer to a question about it:
    whatever is typed, all others stay ticked."""
    state, now, asked = start(HOME), BEGAN, None
    for key, seconds in presses:
        now += seconds
        before = state
        state = press(state, key, now)
        asked = before.row.key if before.asking is None else asked
        assert ticked(state) ^ ticked(before) <= {asked}
        if key in MOVES and before.asking is None:
            assert state.progress == before.progress


@settings(deadline=None)
@given(PRESSES)
def test_lines_read_back_as_what_was_ticked_timed_and_skipped(
    presses: list[tuple[str, float]],
) -> None:
    state, now = gone_through(start(HOME), presses)
    state = press(state, "interrupt", now)
    found = entries(written(state))
    done: Counter[tuple[str, str, int | None]] = Counter()
    for entry in found:
        people = [name.value for name in entry.people] or [""]
        for item in entry.items:
            minutes = item.minutes.value if item.minutes else None
            done.update((entry.verb, item.name.value, minutes) for _ in people[:1])
    expected: Counter[tuple[str, str, int | None]] = Counter()
    for row in state.list.rows:
        mark = state.progress.mark(row.key)
        if mark.ticked:
            expected["did", row.key.chore, mark.minutes] += 1
        elif mark.worked:
            expected["worked", row.key.chore, mark.worked] += 1
    for chore in {r.key.chore for r in state.list.rows if state.progress.is_skipped(r)}:
        expected["skipped", chore, None] += 1
    assert done == expected


@settings(deadline=None)
@given(PRESSES)
def test_what_is_written_is_no_longer_asked_and_all_else_is(
    presses: list[tuple[str, float]],
) -> None:
    state, now = gone_through(start(HOME), presses)
    state = press(state, "interrupt", now)
    after = workspace(BOOK + "\n".join(written(state)) + "\n").household
    settled = {
        row.key
        for row in state.list.rows
        if state.progress.is_ticked(row.key) or state.progress.is_skipped(row)
    }
    assert {row.key for row in listed(after).rows} == {
        row.key for row in listed(HOME).rows
    } - settled
    # The same round again finds nothing of it to write, but minutes worked.
    assert not {e.verb for e in entries(lines(state.progress, listed(after).rows))} - {"worked"}
    if settled:
        assert gone(state.progress, listed(after).rows)


@settings(deadline=None)
@given(PRESSES, st.integers(1, 200), st.integers(1, 60))
def test_screen_fits_and_shows_the_pointer(
    presses: list[tuple[str, float]], columns: int, height: int
) -> None:
    state, now = gone_through(start(HOME), presses)
    shown = screen_lines(state, now + 5, columns, height)
    assert len(shown) <= height
    assert all(width(line.text) <= columns for line in shown)
    if height >= 15 and columns >= 40:
        assert any(line.text.startswith("> [") for line in shown)
        assert state.asking is not None or shown[-1].text.endswith("Esc leave")


ALL_KINDS = "space m 7 enter down s a enter end up up space up space y home t"


@settings(deadline=None)
@example([(key, 60.0) for key in ALL_KINDS.split()])
@given(PRESSES)
def test_a_round_is_kept_and_read_back_whole(presses: list[tuple[str, float]]) -> None:
    progress = gone_through(start(HOME), presses)[0].progress
    assert _from_json(json.loads(json.dumps(_to_json(progress)))) == progress


@settings(max_examples=15, deadline=None)
@given(st.integers(0, 9999), PRESSES)
def test_laws_hold_in_random_homes(seed: int, presses: list[tuple[str, float]]) -> None:
    home = random_home(seed)
    text = home.text(live(home, lambda _text, _day: [], seed, days=9))
    household = workspace(text).on(home.first + 9).household
    if not listed(household).rows:
        return
    state, now = gone_through(start(household, None), presses)
    state = press(state, "interrupt", now)
    done = [
        (item.name.value) for e in entries(written(state)) if e.verb == "did" for item in e.items
    ]
    assert sorted(done) == sorted(key.chore for key in ticked(state))
    assert all(width(line.text) <= 40 for line in screen_lines(state, now, 40, 15))


# --------------------------------------------------------------------------------------- the list


def test_list_is_that_of_the_day_with_a_row_a_person_and_what_may_wait_below() -> None:
    keys = [row.key for row in start(HOME, "tam").list.rows]
    assert keys[:3] == [("beds", "tam"), ("beds", "noor"), ("cups", "")]
    assert [r.key.chore for r in start(HOME).list.rows if r.is_later] == ["mop", "photos"]


def test_pointer_and_its_steps_are_in_sight_where_the_screen_is_too_small() -> None:
    state = pressed(start(HOME), "end")
    shown = [line.text for line in screen_lines(state, BEGAN, 40, 15)]
    assert any(line.startswith("> [ ] photos") for line in shown)
    assert shown[1].endswith("; more above")
    steps = [line.text for line in screen_lines(at(state, "cups"), BEGAN, 40, 8)]
    assert steps[2].startswith("> [ ] cups")
    assert steps[3:5] == ["        - Rinse them first", "        - Handles to the right"]


def test_what_the_clock_says_is_whole_on_a_narrow_screen() -> None:
    state = pressed(at(start(HOME), "sink"), "m 1 2 enter")
    shown = [line.text for line in screen_lines(state, BEGAN, 40, 15)]
    assert any(line.startswith("> [x] The") and line.endswith("…  12 of 15 min") for line in shown)
    state = press(start(HOME), "t", BEGAN)
    shown = [line.text for line in screen_lines(state, BEGAN + 60, 40, 15)]
    assert any(line.startswith("> [ ] beds (noor)") and "4:00 left" in line for line in shown)


def test_what_is_done_already_is_no_row() -> None:
    household = workspace(BOOK + "2026-03-04 did cups\n2026-03-04 did beds by noor\n").household
    assert [row.key for row in start(household).list.rows][:2] == [("beds", "tam"), ("sink", "")]


# ----------------------------------------------------------------------------------------- ticks


def test_one_line_a_container_and_person() -> None:
    state = pressed(start(HOME), "space down space down space")
    state = pressed(at(state, "sink"), "m 1 2 enter")
    state = pressed(at(state, "table"), "space")
    assert written(state) == [
        "2026-03-04 did beds, cups by noor",
        "2026-03-04 did beds by tam",
        "2026-03-04 did sink 12 min by noor",
        "2026-03-04 did table by noor, tam",
    ]


def test_ticked_row_shows_who_will_have_done_it() -> None:
    state = pressed(at(start(HOME), "sink"), "space")
    shown = [line.text for line in screen_lines(state, BEGAN, 80, 24)]
    assert "> [x] The sink and the counters      15 min  noor" in shown


def test_tick_is_taken_back() -> None:
    assert written(pressed(start(HOME), "space space")) == []


@pytest.mark.parametrize(
    ("typed", "minutes"),
    [("12", 12), ("1h30", 90), ("2h", 120), ("0", None), ("x", None), ("1h75", None),
     ("99999", None), ("", None)],
)  # fmt: skip
def test_minutes_are_those_that_a_record_can_say(typed: str, minutes: int | None) -> None:
    assert minutes_typed(typed) == minutes


def test_minutes_that_are_none_are_asked_again() -> None:
    state = pressed(start(HOME), ["m", "x", "enter"])
    assert state.asking is not None
    assert "no clear time" in state.asking.words
    assert written(pressed(state, "7 enter")) == ["2026-03-04 did beds 7 min by noor"]


def test_many_minutes_are_asked_about_and_left_out_where_they_are_a_slip() -> None:
    state = pressed(start(HOME), "m 9 0 enter")
    assert state.asking is not None
    assert "1 h 30 min, where 5 min is usual" in state.asking.words
    assert written(pressed(state, "y")) == ["2026-03-04 did beds 1 h 30 min by noor"]
    assert written(pressed(state, "n")) == ["2026-03-04 did beds by noor"]


def test_skips_have_a_reason_and_speak_for_all_who_have_not_ticked() -> None:
    state = pressed(start(HOME), ["space", "down", "s", *"at", "space", *'a "gran"', "enter"])
    assert "Left out for all" in state.message
    state = pressed(at(state, "cups"), "s enter")
    assert written(state) == [
        "2026-03-04 did beds by noor",
        '2026-03-04 skipped beds "at a \\"gran\\""',
        "2026-03-04 skipped cups",
    ]
    assert written(pressed(state, "s")) == written(state)[:2]
    assert written(pressed(state, "space"))[0] == "2026-03-04 did beds, cups by noor"


@settings(deadline=None)
@given(st.text(max_size=30))
def test_any_reason_that_can_be_typed_reads_back(reason: str) -> None:
    state = pressed(start(HOME), ["s", *reason, "enter"])
    (entry,) = entries(written(state))
    said = entry.note.value if entry.note else ""
    assert said == state.progress.skips["beds"]
    if reason.isascii() and reason.isprintable():
        assert said == reason.strip()


def test_tick_takes_a_skip_back_but_for_others_who_have_a_share() -> None:
    state = pressed(at(start(HOME), "cups"), "s enter space")
    assert state.progress.told == "1 ticked"
    assert written(pressed(state, "space")) == []
    state = pressed(start(HOME), "s enter space")
    assert written(state) == ["2026-03-04 did beds by noor", "2026-03-04 skipped beds"]
    assert written(pressed(state, "down space")) == [
        "2026-03-04 did beds by noor",
        "2026-03-04 did beds by tam",
    ]


# ----------------------------------------------------------------------------------------- clocks


@pytest.mark.parametrize(
    ("seconds", "minutes"), [(0, None), (29, None), (30, 1), (89, 1), (90, 2), (3600, 60)]
)
def test_seconds_are_rounded_to_the_nearer_minute(seconds: float, minutes: int | None) -> None:
    assert whole_minutes(seconds) == minutes


def test_interrupt_stops_the_clock() -> None:
    state = press(press(at(start(HOME), "sink"), "t", BEGAN), "interrupt", BEGAN + 300)
    assert (state.end, state.progress.told) == ("keep", "1 timed")
    assert written(state) == ["2026-03-04 worked sink 5 min by noor"]


def test_clock_counts_its_minutes_and_stops_with_the_tick() -> None:
    state = press(at(start(HOME), "sink"), "t", BEGAN)
    assert count_text(state.row, state.progress.seconds(state.row.key, BEGAN + 125)) == "12:55 left"
    state = press(state, "space", BEGAN + 12 * 60)
    assert state.message == "The sink and the counters: 12 of 15 min"
    assert written(state) == ["2026-03-04 did sink 12 min by noor"]


def test_stopped_clock_without_a_tick_is_work() -> None:
    state = press(at(start(HOME), "sink"), "t", BEGAN)
    state = press(state, "t", BEGAN + 300)
    state = press(press(state, "t", BEGAN + 900), "enter", BEGAN + 1080)
    assert state.end == "write"
    assert written(state) == ["2026-03-04 worked sink 8 min by noor"]


def test_one_clock_runs_at_a_time() -> None:
    state = press(at(start(HOME), "sink"), "t", BEGAN)
    state = press(at(state, "cups"), "t", BEGAN + 120)
    state = press(state, "space", BEGAN + 300)
    assert state.progress.counting is None
    assert written(state) == [
        "2026-03-04 did cups 3 min by noor",
        "2026-03-04 worked sink 2 min by noor",
    ]


def test_less_than_half_a_minute_is_no_work() -> None:
    state = press(press(start(HOME), "t", BEGAN), "t", BEGAN + 20)
    assert (written(state), state.progress.told) == ([], "")


def test_forgotten_clock_is_asked_about() -> None:
    state = press(press(start(HOME), "t", BEGAN), "enter", BEGAN + 9 * 3600)
    assert state.end is None
    assert state.asking is not None
    assert written(pressed(state, "n")) == []


def test_clock_of_a_killed_round_counts_until_it_was_seen_last() -> None:
    state = seen(press(at(start(HOME), "sink"), "t", BEGAN), BEGAN + 180)
    counting = state.progress.counting
    assert counting is not None
    assert state.progress.stopped(counting.seen).mark(state.row.key).worked == 3


def test_clock_that_is_set_back_takes_nothing_away() -> None:
    state = press(at(start(HOME), "sink"), "t", BEGAN)
    assert press(state, "t", BEGAN - 3600).progress.mark(Key("sink")).seconds == 0


def row_of(minutes: str, usual: float | None, worked: int = 0) -> Row:
    record = f"2026-03-04 worked x {worked} min\n" if worked else ""
    household = workspace(f"since 2026-03-04\nevery day\n    x {minutes}\n{record}").household
    (row,) = listed(household).rows
    return row._replace(usual=usual)


@pytest.mark.parametrize(
    ("minutes", "usual", "worked", "seconds", "counted", "shown", "told"),
    [
        ("15 min", 14, 0, 0, "15:00 left", "[-----------|-]", "12 of 15 min; usual 14"),
        ("15 min", None, 0, 899.5, "0:01 left", "[###########-]", "12 of 15 min"),
        ("15 min", 20, 0, 900, "0:00 over", "[#########---|]", "12 of 15 min; usual 20"),
        ("15 min", 10, 5, 660, "1:00 over", "[######|######]", "17 of 15 min; usual 10"),
        ("2 h", None, 0, 60, "1:59:00 left", "[------------]", "12 min of 2 h"),
        ("", None, 0, 75, "1:15", "", "12 min"),
    ],
)
def test_clock_shows_what_is_left_and_what_is_usual(
    minutes: str, usual: float | None, worked: int, seconds: float, counted: str, shown: str,
    told: str,
) -> None:  # fmt: skip
    row = row_of(minutes, usual, worked)
    assert (count_text(row, seconds), bar(row, seconds), beaten(row, 12)) == (counted, shown, told)


# ------------------------------------------------------------------------- what must never meet


@pytest.mark.parametrize("key", ["space", "t", "m"])
def test_second_of_two_that_must_never_meet_is_asked_about_once(key: str) -> None:
    state = at(pressed(at(start(HOME), "oven"), "space"), "lime")
    typed = [key, "9", "enter"] if key == "m" else [key]
    asked = pressed(state, typed)
    assert asked.asking is not None
    assert "chlorine gas [Children's Hospital" in asked.asking.words
    refused = pressed(asked, "n")
    assert not refused.progress.is_touched(Key("lime"))
    accepted = pressed(asked, "y")
    assert accepted.progress.is_touched(Key("lime"))
    again = pressed(accepted, "space space space")
    assert again.asking is None


def test_first_of_them_may_be_done_already() -> None:
    household = workspace(BOOK + "2026-03-04 did oven\n").household
    assert pressed(at(start(household), "lime"), "space").asking is not None


def test_one_that_uses_both_is_asked_about_at_once() -> None:
    text = "since 2026-03-04\nevery day\n    x  5 min  uses bleach, vinegar\n"
    assert pressed(start(workspace(text).household), "space").asking is not None


# ----------------------------------------------------------------------------------- who, and ends


def asked(household: Household, keys: str) -> State:
    return pressed(start(household, None), keys)


def test_who_goes_the_round_is_asked_where_people_differ() -> None:
    assert asked(HOME, "2 enter").progress.who == "tam"
    assert asked(HOME, "t enter").list.rows[0].key == ("beds", "tam")
    assert asked(HOME, "enter").progress.who is None
    again = asked(HOME, "x enter")
    assert again.asking is not None
    assert "nobody's name" in again.asking.words
    anyones = workspace("since 2026-03-04\nperson noor\nperson tam\nevery day\n    x 5 min\n")
    assert asked(anyones.household, "").asking is not None
    alone = workspace("since 2026-03-04\nperson noor\nevery day\n    x 5 min\n")
    assert asked(alone.household, "").asking is None


def test_nobody_in_particular_has_no_name_in_the_record() -> None:
    state = asked(HOME, "enter space down down space")
    assert written(state) == ["2026-03-04 did beds by noor", "2026-03-04 did cups"]


def test_leaving_asks_only_where_something_would_be_lost() -> None:
    assert pressed(start(HOME), "escape").end == "leave"
    state = pressed(start(HOME), "space escape")
    assert state.asking is not None
    assert "1 ticked" in state.asking.words
    assert pressed(state, "n").end is None
    assert pressed(state, "y").end == "leave"


def test_nothing_is_written_of_nothing_and_a_key_after_the_end_does_nothing() -> None:
    state = pressed(start(HOME), "enter")
    assert (state.end, state.message) == (None, "Nothing is ticked yet; Esc leaves")
    ended = pressed(state, "space enter")
    assert pressed(ended, "space interrupt") is ended


# ----------------------------------------------------------------------------------- what is kept


@pytest.fixture
def kept_in(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    return tmp_path


def test_round_that_came_to_a_sudden_end_is_found_again(kept_in: Path) -> None:
    first = find(kept_in)
    assert (first.progress, first.goes_elsewhere) == (None, False)
    progress = pressed(start(HOME), "space").progress
    first.kept.save(progress)
    second = find(kept_in)
    assert (second.progress, second.goes_elsewhere) == (None, True)
    other = replace(progress, who="tam")
    second.kept.save(other)
    first.kept.close()
    second.kept.close()
    one = find(kept_in)
    assert (one.progress, one.goes_elsewhere) == (progress, False)
    two = find(kept_in)
    assert (two.progress, two.goes_elsewhere) == (other, True)
    one.kept.forget()
    one.kept.close()
    two.kept.close()
    assert find(kept_in).progress == other


@pytest.mark.parametrize("data", [b"", b"[]", b'{"day": 1}', b"\xff", b'{"marks": 3}', b"null"])
def test_file_that_holds_no_round_is_none(tmp_path: Path, data: bytes) -> None:
    (tmp_path / "x").write_bytes(data)
    assert read(tmp_path / "x") is None
