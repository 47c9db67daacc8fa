"""Recording: each command adds one line, says what it settles, and asks about what looks wrong."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import pytest
from test_cli import besom, stop_clock
from test_did import contents

HOME = """\
since 2025-01-01
person noor
person tam
person edie  "Edie, 10"
every day "Morning tin"
    cups   5 min
    beds   5 min  by each of noor, tam
every week
    mop   30 min  "The kitchen floor"
every monday
    bins   4 min
every 2 weeks on wednesday from 2026-03-04
    paper  4 min
every wednesday
    tax   1 h
2 times every week
    wash  10 min
once from 2026-01-01 to 2026-01-31
    gate   1 h
every month until 2025-12-31
    old    5 min
"""


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A household in the current folder, on Wednesday 4 March 2026 at eight in the evening."""
    (tmp_path / "home.chores").write_text(HOME, "utf-8")
    (tmp_path / "2026.chores").write_text("2026-03-02 did bins\n", "utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "state"))
    monkeypatch.delenv("BESOM_ME", raising=False)
    stop_clock(monkeypatch, datetime(2026, 3, 4, 20))
    return tmp_path


def record(home: Path) -> list[str]:
    """The lines that were added."""
    return (home / "2026.chores").read_text("utf-8").splitlines()[1:]


# ------------------------------------------------------------------ one line, and what it settles

SAID = [
    ("skipped mop", "2026-03-04 skipped mop", ["mop is excused for Mon 2 Mar to Sun 8 Mar"]),
    ("skipped kitchen floor", "2026-03-04 skipped mop",
     ["mop is excused for Mon 2 Mar to Sun 8 Mar"]),
    ("skipped old", "2026-03-04 skipped old",
     ["old is settled already, is paused or comes round no more: this excuses nothing"]),
    ("skipped beds", "2026-03-04 skipped beds", ["beds is excused for Wed 4 Mar"]),
    ("moved paper friday", "2026-03-04 moved paper to 2026-03-06", ["paper is next on Fri 6 Mar"]),
    ("moved paper to 9.3.2026", "2026-03-04 moved paper to 2026-03-09",
     ["paper is next on Mon 9 Mar"]),
    ("moved kitchen in 2 weeks --on yesterday", "", None),
    ("moved bins in 4 days", "2026-03-04 moved bins to 2026-03-08", ["bins is next on Sun 8 Mar"]),
    ("worked tax 25", "2026-03-04 worked tax 25 min",
     ["tax has 25 min of 1 h worked, 35 min left"]),
    ("worked tax 1h10 --by no", "2026-03-04 worked tax 1 h 10 min by noor",
     ["tax has 1 h 10 min of 1 h worked; if it is done, `besom did tax` says so"]),
    ("did tax 50", "2026-03-04 did tax 50 min", []),
    ("did gate", "2026-03-04 did gate",
     ["gate counts for Thu 1 Jan to Sat 31 Jan, 32 days late"]),
]  # fmt: skip


@pytest.mark.parametrize(("call", "line", "settles"), SAID)
def test_one_line_is_added_and_what_it_settles_is_said(
    home: Path, call: str, line: str, settles: list[str] | None
) -> None:
    result = besom(*call.split())
    if settles is None:
        assert (result.exit_code, record(home)) == (2, [])
        return
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout.splitlines() == [
        f"2026.chores: {line}",
        *(f"  {settled}" for settled in settles),
    ]
    assert record(home) == [line]


def test_minutes_worked_before_are_summed_when_it_is_done(home: Path) -> None:
    besom("worked", "tax", "25")
    said = besom("worked", "tax", "20").stdout.splitlines()
    assert said[1:] == ["  tax has 45 min of 1 h worked, 15 min left"]
    said = besom("did", "tax", "10").stdout.splitlines()
    assert said[1:] == ["  tax took 55 min in all, 45 min of it before"]


# ------------------------------------------------------------------------------ what is refused

REFUSED = [
    ("moved cups tomorrow", "cups cannot be moved to Thu 5 Mar: it comes round on Thu 5 Mar "
     "anyway. To leave this one out, write `besom skipped cups`"),
    ("moved mop 2026-03-20", "it comes round on Mon 9 Mar to Sun 15 Mar anyway"),
    ("moved bins 2026-03-09", None),
    ("moved old friday", "old comes round no more: there is nothing to move"),
    ("moved paper yesterday", "2026-03-03 is over; a chore is moved to a day that comes"),
    ("moved paper 3/4", "may be 3 April or 4 March; write 2026-04-03 or 2026-03-04"),
    ("moved paper soon", '"soon" is no day'),
    ("moved paper", "name the day behind the chore"),
    ("moved paper tax friday", "one chore is moved at a time"),
    ("moved paper 5 friday", "one chore is moved at a time"),
    ("skipped cups 5", "some of it done is `besom worked cups 5 min`"),
    ("worked tax", "Write the minutes behind each chore: `tax 20`"),
    ("worked tax 20 mop", "Write the minutes behind each chore: `mop 20`"),
    ("did cups --on friday --by zoe", 'there is no person "zoe"'),
    ("did cups --on tomorrow", "is still to come"),
    ("did cups last sunday", "the day goes after --on: `--on 'last sunday'`"),
    ("did cups on sunday", "the day goes after --on: `--on sunday`"),
    ("did cups by tam", "who did it goes after --by: `--by NAME`"),
    ("did cups --by noor Tam", "who did it goes after --by: `--by tam`"),
    ("did cups for 4 minutes", 'there is no chore "for"'),
    ("did morning tin but beds", "what was not done of a container goes after --but"),
    ("did cups sunday", "the day goes after --on: `--on sunday`"),
    ("did cups 3.3.2026", "the day goes after --on: `--on 3.3.2026`"),
]  # fmt: skip


@pytest.mark.parametrize(("call", "said"), REFUSED)
def test_what_cannot_be_meant_is_refused_with_what_to_write(
    home: Path, call: str, said: str | None
) -> None:
    before = contents(home)
    result = besom(*call.split())
    if said is None:
        assert result.exit_code == 0
        return
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in " ".join(result.stderr.split())
    assert contents(home) == before


def test_names_that_fit_several_are_listed_and_nothing_is_written(home: Path) -> None:
    with (home / "home.chores").open("a") as book:
        book.write('every week\n    mop-hall  5 min\n    mop-bath  5 min  "Bathroom"\n')
    before = contents(home)
    result = besom("did", "mop-", "5")
    assert result.exit_code == 2
    assert '"mop-" may be `mop-hall`, `mop-bath` (Bathroom); write one' in result.stderr
    assert besom("chore", "mop-").exit_code == 2
    assert contents(home) == before
    assert besom("did", "mop").exit_code == 0


# --------------------------------------------------------------------------------------- who I am


@pytest.mark.parametrize(("me", "by"), [("noor", "noor"), ("NO", "noor"), (" edie, 10", "edie")])
def test_me_is_who_did_it(home: Path, monkeypatch: pytest.MonkeyPatch, me: str, by: str) -> None:
    monkeypatch.setenv("BESOM_ME", me)
    besom("did", "cups")
    besom("worked", "tax", "5", "--by", "tam")
    assert record(home) == [f"2026-03-04 did cups by {by}", "2026-03-04 worked tax 5 min by tam"]


def test_me_that_nobody_is_is_told_with_the_names(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("BESOM_ME", "root")
    result = besom("did", "cups")
    assert result.exit_code == 2
    assert 'BESOM_ME: there is no person "root"; there are noor, tam, edie' in result.stderr
    assert besom("did", "cups", "--by", "tam").exit_code == 0
    (home / "home.chores").write_text("every day\n  cups\n", "utf-8")
    (home / "2026.chores").write_text("", "utf-8")
    assert besom("did", "cups").exit_code == 0


# ------------------------------------------------------------------------------ what is asked about

SLIPS = [
    ("did cups", "did cups", "cups is in the record of 2026-03-04 already"),
    ("did cups --by noor", "did cups --by tam", "cups is in the record of 2026-03-04 already"),
    ("did cups --by noor", "did cups --by noor", "cups is in the record"),
    ("did beds --by noor", "did beds --by noor", "beds is in the record"),
    ("did beds --by noor", "did beds --by tam", None),
    ("did beds --by noor", "did beds", None),
    ("did wash", "did wash", None),
    ("skipped cups", "skipped cups", "cups is in the record"),
    ("did mop --on yesterday", "did mop", None),
    ("worked tax 9", "worked tax 9", None),
    ("did tax 50", "worked tax 9", None),
    ("", "did cups 26", "cups: 26 min is 5 times the usual 5 min"),
    ("", "did cups 25", None),
    ("", "worked tax 10h", "tax: 10 h is 10 times the usual 1 h"),
    ("", "did old 4 cups 4 cups 4", "cups is named twice in this line, which counts once"),
    ("", "did beds --by edie", "beds is done by each of noor, tam; nobody named here has a share"),
    ("", "did cups --on 2024-12-31", "2024-12-31 is 1 day before the book begins (2025-01-01)"),
    ("", "did cups --on 2025-03-01", "2025-03-01 is 368 days ago, more than a year"),
    ("", "did cups --on 2025-03-05", None),
]


@pytest.mark.parametrize(("before", "call", "odd"), SLIPS)
def test_what_looks_like_a_slip_is_refused_without_a_terminal_unless_yes(
    home: Path, before: str, call: str, odd: str | None
) -> None:
    if before:
        assert besom(*before.split()).exit_code == 0
    there = contents(home)
    result = besom(*call.split())
    if odd is None:
        assert (result.exit_code, result.stderr) == (0, "")
        return
    assert (result.exit_code, result.stdout) == (2, "")
    assert odd in result.stderr
    assert result.stderr.endswith("besom: nothing was recorded; if it is right, add --yes\n")
    assert contents(home) == there
    assert besom(*call.split(), "--yes").exit_code == 0
    assert contents(home) != there


def test_learned_minutes_are_the_usual_ones(home: Path) -> None:
    lines = "".join(f"2026-02-0{day} did cups 20 min\n" for day in range(1, 6))
    (home / "2026.chores").write_text(lines, "utf-8")
    assert besom("did", "cups", "90").exit_code == 0
    result = besom("did", "cups", "101", "--on", "yesterday")
    assert "cups: 1 h 41 min is 5 times the usual 20 min" in result.stderr


@pytest.mark.parametrize(("answer", "written"), [(True, 2), (False, 1)])
def test_on_a_terminal_a_person_is_asked(
    home: Path, monkeypatch: pytest.MonkeyPatch, answer: bool, written: int
) -> None:
    besom("did", "cups")
    monkeypatch.setattr("ledger.cli.recording.can_ask", lambda: True)
    monkeypatch.setattr("ledger.cli.recording.confirmed", lambda question: answer)
    result = besom("did", "cups")
    assert result.exit_code == (0 if answer else 2)
    assert len(record(home)) == written


# ------------------------------------------------------------------------------------- for programs


@pytest.mark.parametrize("call", ["skipped cups", "moved paper friday", "worked tax 5"])
def test_json_says_the_file_and_the_line(home: Path, call: str) -> None:
    said = json.loads(besom(*call.split(), "--as", "json").stdout)
    assert said == {"file": "2026.chores", "line": record(home)[0]}


# ------------------------------------------------------------------------------------ a container


@pytest.mark.parametrize(
    ("call", "line"),
    [
        (["Morning tin"], "did cups, beds"),
        (["morning", "tin"], "did cups, beds"),
        (["morn", "--by", "tam"], "did cups, beds by tam"),
        (["Morning tin", "--by", "edie"], "did cups by edie"),
        (["Morning tin", "--but", "be"], "did cups"),
        (["Morning tin", "cups", "7"], "did beds, cups 7 min"),
        (["tax", "50", "Morning tin", "--but", "cups,beds", "wash"], None),
        (["2 times every week", "tax", "50"], "did wash, tax 50 min"),
        (["every monday", "cups"], None),
    ],
)
def test_container_stands_for_all_that_is_still_to_be_done_of_it(
    home: Path, call: list[str], line: str | None
) -> None:
    result = besom("did", *call)
    if line is None:
        assert (result.exit_code, record(home)) == (2, [])
        assert "is left to do on 2026-03-04" in result.stderr
    else:
        assert (result.exit_code, record(home)) == (0, [f"2026-03-04 {line}"])


def test_what_a_container_leaves_out_as_done_is_said(home: Path) -> None:
    besom("did", "cups")
    said = besom("did", "Morning tin", "--by", "noor").stdout.splitlines()
    assert said == [
        "2026.chores: 2026-03-04 did beds by noor",
        "  left out, as done already: cups",
    ]
    said = besom("did", "Morning tin", "--by", "tam").stdout.splitlines()
    assert said[0].endswith("did beds by tam")
    result = besom("did", "Morning tin")
    assert result.exit_code == 2
    assert 'nothing of "Morning tin" is left to do on 2026-03-04' in result.stderr


def test_container_leaves_spare_chores_out_unless_named(home: Path) -> None:
    with (home / "home.chores").open("a") as book:
        book.write('every day "Evening"\n    read  5 min  spare\n    lamp\n')
    besom("did", "Evening")
    besom("did", "Evening", "read", "--on", "yesterday")
    assert record(home) == ["2026-03-04 did lamp", "2026-03-03 did lamp, read"]


def test_words_that_fit_a_chore_and_a_container_are_refused_with_both(home: Path) -> None:
    with (home / "home.chores").open("a") as book:
        book.write('every day "School tin"\n    lunch\nevery week\n    post  "Bills and school"\n')
    result = besom("did", "school")
    assert (result.exit_code, record(home)) == (2, [])
    assert '"school" may be `post` (Bills and school), `School tin`; write one' in result.stderr
    assert besom("did", "school", "tin").exit_code == 0
    assert record(home) == ["2026-03-04 did lunch"]


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (["cups", "--but", "beds"], "--but goes with a container"),
        (["Morning tin", "12"], "minutes belong to one chore"),
        (["Morning tin", "--but", "tax"], 'there is no chore "tax"; there are cups, beds'),
        (["every", "--but", "cups"], 'there is no chore "every"'),
    ],
)
def test_container_that_is_not_clear_is_refused(home: Path, call: list[str], said: str) -> None:
    result = besom("did", *call)
    assert (result.exit_code, record(home)) == (2, [])
    assert said in " ".join(result.stderr.split())


def test_other_commands_take_no_container(home: Path) -> None:
    result = besom("skipped", "Morning tin")
    assert 'there is no chore "Morning tin"' in result.stderr
