"""Merging by real git: two clones of one home, changed apart and brought together."""

from __future__ import annotations

import os
import re
import shlex
import subprocess
from collections import Counter
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path

import pytest
from repositories import git, stand_alone, tried
from test_cli import EXAMPLE, ROOT, besom

from ledger.git.texts import SETTINGS
from ledger.homes import read_household
from ledger.household.model import Household

ROUTINE = (ROOT / EXAMPLE / "home.chores").read_text("utf-8")
RECORD = (ROOT / EXAMPLE / "2026.chores").read_text("utf-8")
CHORES = ("wash-up 12 min by noor", "bins", "sheets 15 min by tam", "toilets", "mow")


@pytest.fixture
def clones(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> tuple[Path, Path]:
    """Two clones of the example's repository, each set up for besom to merge in."""
    stand_alone(monkeypatch, tmp_path)
    first = tmp_path / "noor's"
    first.mkdir()
    git(first, "init", "-q", "-b", "main")
    (first / "home.chores").write_text(ROUTINE, "utf-8")
    (first / "2026.chores").write_text(RECORD, "utf-8")
    assert besom("git-setup", "--yes", str(first)).exit_code == 0
    git(first, "add", "-A")
    git(first, "commit", "-q", "--no-verify", "-m", "Begin")
    second = tmp_path / "tam's"
    git(tmp_path, "clone", "-q", str(first), str(second))
    assert besom("git-setup", "--yes", str(second)).exit_code == 0
    return first, second


def commit(folder: Path, message: str) -> None:
    git(folder, "commit", "-q", "-a", "--no-verify", "-m", message)


def append(folder: Path, first: date, number: int, offset: int) -> list[str]:
    """Lines of the record that a person adds day by day."""
    lines = [
        f"{first + timedelta(days=n // 5)} did {CHORES[(n + offset) % len(CHORES)]}"
        for n in range(number)
    ]
    with (folder / "2026.chores").open("a", encoding="utf-8") as record:
        record.write("".join(f"{line}\n" for line in lines))
    return lines


def replace(folder: Path, *pairs: tuple[str, str]) -> None:
    path = folder / "home.chores"
    text = path.read_text("utf-8")
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    path.write_text(text, "utf-8")


def meaning(folder: Path) -> tuple[object, ...]:
    """All that a home says, whatever the order of its sections."""
    home: Household = read_household([folder]).household
    chores = {name: Counter(chore.routines) for name, chore in home.chores.items()}
    record = list(zip(home.log.dates, home.log.entries, strict=True))
    return home.limits, home.people, home.areas, frozenset(home.sections), chores, record


def record_of(folder: Path) -> list[str]:
    text = (folder / "2026.chores").read_text("utf-8")
    return [line for line in text.splitlines() if line[:1].isdigit()]


def test_moves_minutes_and_four_hundred_lines_of_two_clones_come_together_both_ways(
    clones: tuple[Path, Path],
) -> None:
    mine, yours = clones
    day = date(2026, 11, 23)
    added = Counter(append(mine, day, 200, 0)) | Counter(append(yours, day, 200, 2))
    stairs = "    vacuum-stairs  10 min  in living  by tam or noor\n"
    basin = '    wipe-basin  5 min  in bathroom  by tam  uses cloth  "Basin, taps and mirror"\n'
    plants = "    water-plants  5 min  in living  by edie\n"
    replace(
        mine,
        (stairs, plants),
        (plants + "    dust", f"{basin}    dust"),
        (basin + "\n", f"{stairs}\n"),
    )
    replace(
        yours,
        ("toilets  6 min", "toilets  9 min"),
        ("vacuum-stairs  10 min", "vacuum-stairs  14 min"),
    )
    commit(mine, "Move three chores")
    commit(yours, "Two chores take longer")
    git(mine, "fetch", "-q", str(yours), "main:theirs")
    git(yours, "fetch", "-q", str(mine), "main:theirs")
    for folder in clones:
        git(folder, "merge", "-q", "--no-edit", "theirs")
    assert meaning(mine) == meaning(yours)
    merged = record_of(mine)
    base = [line for line in RECORD.splitlines() if line[:1].isdigit()]
    assert Counter(merged) == Counter(base) + added
    assert merged == sorted(merged, key=lambda line: line[:10])
    chores = read_household([mine]).household.chores
    assert [chores[name].routines[0].minutes for name in ("vacuum-stairs", "toilets")] == [14, 9]
    days = [
        chores[name].routines[0].section.cadence.days
        for name in ("vacuum-stairs", "wipe-basin", "water-plants")
    ]
    assert days == [(1,), (2,), (0,)]


def test_minutes_changed_by_both_are_one_conflict_of_one_line_that_lint_names(
    clones: tuple[Path, Path], monkeypatch: pytest.MonkeyPatch
) -> None:
    mine, yours = clones
    replace(mine, ("toilets  6 min", "toilets  9 min"))
    replace(yours, ("toilets  6 min", "toilets  4 min"))
    commit(mine, "Longer")
    commit(yours, "Shorter")
    git(mine, "fetch", "-q", str(yours), "main:theirs")
    assert tried(mine, "merge", "theirs").returncode == 1
    lines = (mine / "home.chores").read_text("utf-8").splitlines()
    at = next(n for n, line in enumerate(lines) if line.startswith("<<<<<<<"))
    rest = '  in bathroom  by noor then tam  uses brush, gloves  "Both toilets"'
    assert lines[at + 1 : at + 4] == [
        f"    toilets  9 min{rest}",
        "=======",
        f"    toilets  4 min{rest}",
    ]
    assert lines[at + 4].startswith(">>>>>>>")
    unmarked = [line for line in lines if line[:7] not in ("<" * 7, "=" * 7, ">" * 7)]
    unmarked.remove(f"    toilets  4 min{rest}")
    assert "\n".join(unmarked) + "\n" == ROUTINE.replace("toilets  6 min", "toilets  9 min")
    monkeypatch.chdir(mine)
    said = besom("lint", "--on", "2026-11-25", "--only", "unfinished-merge")
    assert said.exit_code == 1
    assert said.stdout.count("[unfinished-merge]") == 1
    assert f"home.chores:{at + 1}:1: error:" in said.stdout


def test_twenty_commits_of_a_line_are_rebased_over_twenty_others(
    clones: tuple[Path, Path],
) -> None:
    mine, yours = clones
    for folder, who in ((mine, "noor"), (yours, "tam")):
        for n in range(20):
            with (folder / "2026.chores").open("a", encoding="utf-8") as record:
                record.write(f'2026-11-{23 + n // 4} did bins by {who} "no. {n}"\n')
            commit(folder, f"Line {n} of {who}")
    git(yours, "fetch", "-q", str(mine), "main:theirs")
    git(yours, "rebase", "-q", "theirs")
    assert git(yours, "rev-list", "--count", "theirs..main").strip() == "20"
    assert git(yours, "status", "--porcelain") == ""
    base = [line for line in RECORD.splitlines() if line[:1].isdigit()]
    added = record_of(yours)[len(base) :]
    assert record_of(yours)[: len(base)] == base
    assert len(added) == len(set(added)) == 40
    assert added == sorted(added, key=lambda line: line[:10])


BASIN = '    wipe-basin  5 min  in bathroom  by tam  uses cloth  "Basin, taps and mirror"\n'
STEPS = "        - Taps first\n        - Then the mirror\n"
CHOIR = "days choir  2026-09-02 to 2026-10-23\n"
WITH_STEPS = BASIN.replace("by tam", "by each of tam").replace('  "', '  except friday  "') + STEPS


def test_steps_days_off_and_people_of_one_chore_come_together_both_ways(
    clones: tuple[Path, Path],
) -> None:
    mine, yours = clones
    replace(mine, (BASIN, WITH_STEPS), ("# Every day\n", f"{CHOIR}\n# Every day\n"))
    commit(mine, "Say how the basin is wiped")
    git(yours, "pull", "-q", str(mine), "main")
    autumn, winter = "2026-11-02 to 2026-12-18", "2027-01-05 to 2027-02-12"
    replace(
        mine,
        ("each of tam", "each of tam, noor"),
        ("except friday", "except friday, choir"),
        ("- Taps first", "- The taps first, with the old cloth"),
        (CHOIR, CHOIR.replace("\n", f", {autumn}\n")),
    )
    # The whole chore goes to another section, with its steps.
    moved = WITH_STEPS.replace("tam  uses", "tam, edie  uses").replace("friday", "august, friday")
    replace(
        yours,
        ("every tuesday\n" + WITH_STEPS + "\n", ""),
        ("every wednesday\n", f"every wednesday\n{moved}        - Hang the cloth up # to dry\n"),
        (CHOIR, CHOIR.replace("\n", f", {winter}\n")),
    )
    for folder in clones:
        assert besom("format", str(folder)).exit_code == 0
    commit(mine, "Noor wipes too, not on days of choir")
    commit(yours, "On Wednesdays, and Edie wipes too")
    git(mine, "fetch", "-q", str(yours), "main:theirs")
    git(yours, "fetch", "-q", str(mine), "main:theirs")
    for folder in clones:
        git(folder, "merge", "-q", "--no-edit", "theirs")
        assert besom("format", "--check", str(folder)).exit_code == 0
    assert meaning(mine) == meaning(yours)
    home = read_household([mine]).household
    line = home.chores["wipe-basin"].routines[0]
    assert line.section.cadence.days == (2,)
    assert line.assignment == ("each", ("tam", "edie", "noor"))
    assert line.steps == (
        "The taps first, with the old cloth",
        "Then the mirror",
        "Hang the cloth up # to dry",
    )
    assert {item.name or item.first for item in line.excepted} == {"choir", 8, 4}
    assert [date.fromordinal(first).month for first, _ in home.named_days["choir"].spans] == [
        9, 11, 1,
    ]  # fmt: skip


def newer(command: str, path: Path) -> str:
    """What git from version 2.44 on makes of a driver: it knows what to call both sides."""
    words = {"L": "7", "O": "base", "A": "ours", "B": "theirs", "P": shlex.quote(str(path))}
    words |= {"S": "'base'", "X": "'main'", "Y": "'tam'\\''s \"tins\"'"}
    return re.sub(r"%([LOABPSXY])", lambda match: words[match[1]], command)


def older(command: str, path: Path) -> str:
    """What an older git makes of a driver: it leaves what it does not know."""
    words = {"L": "7", "O": "base", "A": "ours", "B": "theirs", "P": shlex.quote(str(path))}
    return re.sub(r"%([LOABP])", lambda match: words[match[1]], command)


@pytest.mark.parametrize("with_besom", [True, False])
@pytest.mark.parametrize(
    ("made_by", "names"), [(newer, ("main", 'tam\'s "tins"')), (older, ("ours", "theirs"))]
)
def test_marks_carry_the_names_that_git_gives_to_both_sides(
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    with_besom: bool,
    made_by: Callable[[str, Path], str],
    names: tuple[str, str],
) -> None:
    path = os.environ["PATH"]
    stand_alone(monkeypatch, tmp_path, with_besom)
    if not with_besom:
        others = [one for one in path.split(os.pathsep) if not Path(one, "besom").exists()]
        monkeypatch.setenv("PATH", os.pathsep.join(others))
    for name, minutes in (("base", 5), ("ours", 6), ("theirs", 7)):
        (tmp_path / name).write_text(f"every day\n    cups  {minutes} min\n", "utf-8")
    command = made_by(SETTINGS["merge.chores.driver"], tmp_path / "home.chores")
    done = subprocess.run(["sh", "-c", command], cwd=tmp_path, check=False, capture_output=True)
    assert done.returncode == 1
    lines = (tmp_path / "ours").read_text("utf-8").splitlines()
    assert f"<<<<<<< {names[0]}" in lines
    assert f">>>>>>> {names[1]}" in lines


def test_marks_of_a_real_merge_carry_the_names_where_git_gives_them(
    clones: tuple[Path, Path],
) -> None:
    mine, _ = clones
    git(mine, "checkout", "-q", "-b", "tams-week")
    replace(mine, ("wash-up      12 min", "wash-up      25 min"))
    commit(mine, "More")
    git(mine, "checkout", "-q", "main")
    replace(mine, ("wash-up      12 min", "wash-up      20 min"))
    commit(mine, "Other")
    assert tried(mine, "merge", "tams-week").returncode == 1
    version = tuple(map(int, re.findall(r"[0-9]+", git(mine, "version"))[:2]))
    ours, theirs = ("HEAD", "tams-week") if version >= (2, 44) else ("ours", "theirs")
    lines = (mine / "home.chores").read_text("utf-8").splitlines()
    assert f"<<<<<<< {ours}" in lines
    assert f">>>>>>> {theirs}" in lines
