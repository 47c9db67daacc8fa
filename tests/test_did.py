"""Did: one line more at the right place, whole, or nothing at all."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from datetime import datetime
from pathlib import Path

import pytest
from books import read
from hypothesis import example, given
from hypothesis import strategies as st
from test_cli import ROOT, besom, stop_clock

from ledger.text.source import UNSAFE
from ledger.writing import append_line

HOME = b"""\
since 2026-01-01
person noor
person tam
area kitchen
every day
    wash-up    15 min  in kitchen
    make-beds   5 min  in kitchen  by each
weekend 1
    oven       40 min  in kitchen
    sheets     20 min  in kitchen
"""


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The current folder, with a routine and no record, on Wednesday 4 March 2026."""
    (tmp_path / "home.chores").write_bytes(HOME)
    monkeypatch.chdir(tmp_path)
    stop_clock(monkeypatch, datetime(2026, 3, 4, 20))
    return tmp_path


def contents(folder: Path) -> dict[str, bytes]:
    """Every file below a folder, by its path."""
    files = (path for path in folder.rglob("*") if path.is_file())
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in files}


# -------------------------------------------------------------------------------- which file


def test_record_of_a_year_is_begun_beside_the_routine(home: Path) -> None:
    result = besom("did", "oven", "35")
    line = "2026-03-04 did oven 35 min"
    assert (result.exit_code, result.stderr) == (0, "")
    counts = "  oven counts for Sat 7 Feb to Sun 8 Feb, 24 days late\n"
    assert result.stdout == f"2026.chores: {line}\n{counts}"
    assert contents(home) == {"home.chores": HOME, "2026.chores": f"{line}\n".encode()}


def test_line_of_another_year_begins_the_record_of_that_year(home: Path) -> None:
    (home / "2026.chores").write_text("2026-03-01 did oven\n")
    assert besom("did", "oven", "--on", "2025-12-31", "--yes").exit_code == 0
    assert contents(home)["2025.chores"] == b"2025-12-31 did oven\n"
    assert contents(home)["2026.chores"] == b"2026-03-01 did oven\n"


def test_file_that_already_holds_the_record_of_the_year_is_kept_to(home: Path) -> None:
    (home / "notes").mkdir()
    (home / "notes" / "diary.chores").write_text("2025-12-31 did oven\n2026-01-02 did oven\n")
    assert besom("did", "oven").exit_code == 0
    after = contents(home)
    assert after["notes/diary.chores"].endswith(b"\n2026-01-02 did oven\n2026-03-04 did oven\n")
    assert after.keys() == {"home.chores", "notes/diary.chores"}


def test_of_two_records_of_a_year_the_one_with_the_latest_line_goes_on(home: Path) -> None:
    (home / "a.chores").write_text("2026-02-02 did oven\n")
    (home / "b.chores").write_text("2026-01-02 did oven\n2027-01-01 did oven\n")
    assert besom("did", "oven").exit_code == 0
    assert contents(home)["a.chores"] == b"2026-02-02 did oven\n2026-03-04 did oven\n"


def test_record_in_the_routine_itself_goes_on_there(home: Path) -> None:
    (home / "home.chores").write_bytes(HOME + b"2026-01-02 did oven\n")
    assert besom("did", "oven").exit_code == 0
    assert contents(home) == {"home.chores": HOME + b"2026-01-02 did oven\n2026-03-04 did oven\n"}


def test_book_option_names_a_file_or_a_folder(home: Path) -> None:
    other = home / "other"
    other.mkdir()
    (other / "home.chores").write_bytes(HOME)
    assert besom("did", "oven", "--book", "other").exit_code == 0
    assert besom("did", "sheets", "--book", "other/home.chores").exit_code == 0
    assert contents(other) == {
        "home.chores": HOME + b"2026-03-04 did sheets\n",
        "2026.chores": b"2026-03-04 did oven\n",
    }
    assert "2026.chores" not in contents(home)


# ------------------------------------------------------------------------------ line by line


@pytest.mark.parametrize(
    ("before", "after"),
    [
        (b"", b"NEW\n"),
        (b"a\n", b"a\nNEW\n"),
        (b"a", b"a\nNEW\n"),
        (b"a\r\nb\r\n", b"a\r\nb\r\nNEW\r\n"),
        (b"a\r\nb", b"a\r\nb\r\nNEW\r\n"),
        (b"a\n\n\n", b"a\n\n\nNEW\n"),
        (b"a\n# \xff", b"a\n# \xff\nNEW\n"),
        (b"\xef\xbb\xbfa\n", b"\xef\xbb\xbfa\nNEW\n"),
    ],
)
def test_line_ends_stay_what_they_are_and_the_last_is_closed_first(
    tmp_path: Path, before: bytes, after: bytes
) -> None:
    path = tmp_path / "2026.chores"
    path.write_bytes(before)
    append_line(path, "NEW")
    assert path.read_bytes() == after


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["oven"], "oven"),
        (["oven", "35"], "oven 35 min"),
        (["oven", "35min", "sheets", "1h", "5min"], "oven 35 min, sheets 1 h 5 min"),
        (["oven", "35", "sheets", "1", "h", "5", "min"], "oven 35 min, sheets 1 h 5 min"),
        (["oven", "2", "h", "sheets"], "oven 2 h, sheets"),
        (["oven", "1", "h", "5", "sheets", "7"], "oven 1 h 5 min, sheets 7 min"),
        (["oven 35 min", "sheets"], "oven 35 min, sheets"),
        (["oven,", "sheets,20,wash-up"], "oven, sheets 20 min, wash-up"),
        (["wash-up", "--by", "noor", "--by", "tam"], "wash-up by noor, tam"),
        (["oven", "--note", "door off"], 'oven "door off"'),
        (["oven", "5", "--by", "tam", "--note", r'a "b" \ c'], r'oven 5 min by tam "a \"b\" \\ c"'),
        (["oven", "--note", "# no, comment"], 'oven "# no, comment"'),
        (["oven", "--note", ""], "oven"),
        (["oven", "35m"], "oven 35 min"),
        (["oven", "35", "mins", "sheets", "1h"], "oven 35 min, sheets 1 h"),
        (["oven", "1h30"], "oven 1 h 30 min"),
        (["oven", "1h", "30m"], "oven 1 h 30 min"),
        (["oven", "1", "hour", "5", "minutes"], "oven 1 h 5 min"),
        (["Oven", "SHEETS", "7"], "oven, sheets 7 min"),
        (["ov", "sh", "w"], "oven, sheets, wash-up"),
        (["up", "wash", "12", "beds"], "wash-up 12 min, make-beds"),
        (["make beds", "wash", "up"], "make-beds, wash-up"),
        (["wash-up", "--by", "NOOR,t"], "wash-up by noor, tam"),
        (["wash-up", "--by", "noor", "--by", "noor"], "wash-up by noor"),
    ],
)
def test_words_of_the_call_become_the_words_of_the_line(
    home: Path, words: list[str], said: str
) -> None:
    assert besom("did", *words).exit_code == 0
    assert contents(home)["2026.chores"].decode() == f"2026-03-04 did {said}\n"


@pytest.mark.parametrize(
    ("on", "day"),
    [("today", "03-04"), ("yesterday", "03-03"), ("wed", "03-04"), ("2026-02-28", "02-28")],
)
def test_day_of_the_line_is_the_one_named(home: Path, on: str, day: str) -> None:
    assert besom("did", "oven", "--on", on).exit_code == 0
    assert contents(home)["2026.chores"].decode() == f"2026-{day} did oven\n"


@given(st.text(st.characters(exclude_categories=[]), max_size=20))
@example('"')
@example("\\")
@example("a\n2026-01-01 did oven")
@example("\udcff")
@example("\u202e")
@example("\t")
def test_note_is_kept_to_the_letter_or_refused(note: str) -> None:
    with tempfile.TemporaryDirectory() as folder:
        book = Path(folder) / "home.chores"
        book.write_bytes(HOME)
        result = besom("did", "oven", "--on", "2026-03-04", "--note", note, "--book", str(book))
        record = read(book.read_bytes().decode()).record
        if UNSAFE.search(note):
            assert result.exit_code == 1
            assert book.read_bytes() == HOME
        else:
            assert result.exit_code == 0
            (entry,) = record.entries
            assert (entry.note.value if entry.note else "") == note


def test_json_says_the_file_and_the_line(home: Path) -> None:
    result = besom("did", "oven", "35", "--note", "Ö", "--as", "json")
    line = '2026-03-04 did oven 35 min "Ö"'
    assert json.loads(result.stdout) == {"file": "2026.chores", "line": line}
    assert contents(home)["2026.chores"].decode() == f"{line}\n"


@pytest.mark.parametrize("form", ["text", "json"])
def test_file_whose_name_is_no_text_is_named_as_well_as_can_be(home: Path, form: str) -> None:
    folder = os.fsdecode(b"home-\xff")
    try:
        Path(folder).mkdir()
    except OSError:
        pytest.skip("this file system takes text alone")
    (Path(folder) / "home.chores").write_bytes(HOME)
    result = besom("did", "oven", "--book", folder, "--as", form)
    assert result.exit_code == 0
    assert "2026-03-04 did oven" in result.stdout


def test_book_with_a_faulty_line_takes_a_line_and_says_so(home: Path) -> None:
    (home / "home.chores").write_bytes(HOME + b"every mondey\n")
    result = besom("did", "oven")
    assert result.exit_code == 0
    assert result.stdout.startswith("2026.chores: 2026-03-04 did oven\n")
    assert "1 line could not be used" in result.stderr
    assert contents(home)["2026.chores"] == b"2026-03-04 did oven\n"


# ---------------------------------------------------------------------------- what is refused

REFUSED = [
    (["ovn"], 2, 'there is no chore "ovn"; did you mean `oven`?'),
    (["oven", "swim"], 2, 'there is no chore "swim"; there are wash-up, make-beds, oven, sheets'),
    (["oven", "swim", "lessons"], 2, 'there is no chore "swim lessons"'),
    (["oven", "--by", "moor"], 2, 'there is no person "moor"; did you mean `noor`?'),
    (["oven", "--by", "each"], 2, 'there is no person "each"; there are noor, tam'),
    (["oven", "0"], 1, "write a number from 1"),
    (["oven", "1", "h", "75"], 1, "write a number from 0 to 59"),
    (["oven", "1h75"], 1, "write a number from 0 to 59"),
    (["oven", "12", "5"], 2, '"12 5" is no clear time; write minutes such as 12 or 15min'),
    (["oven", "1:30"], 2, '"1:30" is no clear time'),
    (["oven", "1.5h"], 2, '"1.5h" is no clear time'),
    (["oven", "12x"], 2, '"12x" is no clear time'),
    (["oven", "12", ",", "5"], 2, '"oven 12 min 5" gives two times for one chore; write one'),
    (["35"], 2, "name the chore first"),
    ([""], 2, "a word of the call is empty"),
    ([","], 2, "name what was done"),
]


@pytest.mark.parametrize(("words", "code", "said"), REFUSED)
def test_what_the_household_does_not_know_is_refused_and_nothing_written(
    home: Path, words: list[str], code: int, said: str
) -> None:
    (home / "2026.chores").write_bytes(b"2026-03-01 did oven")
    before = contents(home)
    result = besom("did", *words)
    assert (result.exit_code, result.stdout) == (code, "")
    assert contents(home) == before
    assert said in " ".join(result.stderr.split())


def test_refused_line_begins_no_file(home: Path) -> None:
    assert besom("did", "ovn").exit_code == 2
    assert contents(home) == {"home.chores": HOME}


@pytest.mark.parametrize("person", ["noor\n2026-03-01 did oven", "noor # tam", 'noor "done"'])
def test_name_of_a_person_says_nothing_but_a_name(home: Path, person: str) -> None:
    result = besom("did", "oven", "--by", person)
    assert contents(home) == {"home.chores": HOME}
    assert result.exit_code in (1, 2)


@pytest.mark.parametrize("chore", ["oven#sheets", 'oven"done"'])
def test_name_of_a_chore_says_nothing_but_a_name(home: Path, chore: str) -> None:
    result = besom("did", chore, "--by", "noor")
    assert contents(home) == {"home.chores": HOME}
    assert result.exit_code in (1, 2)


@pytest.mark.parametrize("on", ["tomorrow", "2026-03-05", "in 2 days", "9999-12-31"])
def test_day_to_come_is_refused(home: Path, on: str) -> None:
    result = besom("did", "oven", "--on", on)
    assert result.exit_code == 2
    assert "is still to come; a record says what was done" in " ".join(result.stderr.split())
    assert contents(home) == {"home.chores": HOME}


# ---------------------------------------------------------------------- whole, or nothing at all


def test_line_that_cannot_be_made_safe_is_taken_back(
    home: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (home / "2026.chores").write_bytes(b"2026-03-01 did oven")

    def fail(descriptor: int) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(os, "fsync", fail)
    result = besom("did", "oven")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "2026.chores: cannot be written (Input/output error)" in result.stderr
    assert contents(home)["2026.chores"] == b"2026-03-01 did oven"


def test_file_that_cannot_be_opened_is_named(home: Path) -> None:
    (home / "2026.chores").mkdir()
    result = besom("did", "oven")
    assert result.exit_code == 2
    assert "2026.chores: cannot be written (Is a directory)" in result.stderr


def test_line_that_fits_only_in_part_leaves_no_part_of_it(home: Path) -> None:
    resource = pytest.importorskip("resource", reason="only Unix can limit the size of a file")
    before = b"2026-03-01 did oven\n"
    (home / "2026.chores").write_bytes(before)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (len(before) + 7, hard))
    try:
        result = besom("did", "oven", "--note", "together")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
    assert result.exit_code == 2
    assert "2026.chores: cannot be written (File too large)" in result.stderr
    assert contents(home)["2026.chores"] == before


PROCESSES, LINES = 8, 25
WRITER = f"""
import sys
from click.testing import CliRunner
from ledger.cli.main import main
for n in range({LINES}):
    words = ["did", "oven", "--on", "yesterday", "--yes", "--note", f"{{sys.argv[1]}}-{{n}}"]
    result = CliRunner().invoke(main, [*words, "--book", sys.argv[2]])
    assert result.exit_code == 0, result.output
"""


def test_lines_of_many_processes_at_once_are_all_there_once_and_whole(home: Path) -> None:
    book = home / "home.chores"
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", WRITER, str(number), str(book)],
            cwd=ROOT,
            stderr=subprocess.PIPE,
        )
        for number in range(PROCESSES)
    ]
    assert [run.communicate()[1] for run in runs] == [b""] * PROCESSES
    text = book.read_bytes().decode()
    record = read(text).record
    notes = [entry.note.value for entry in record.entries if entry.note]
    assert len(record.entries) == PROCESSES * LINES
    assert len(text.splitlines()) == len(HOME.splitlines()) + PROCESSES * LINES
    assert set(notes) == {f"{p}-{n}" for p in range(PROCESSES) for n in range(LINES)}


@pytest.mark.parametrize(
    ("words", "option"),
    [
        (["oven", "by", "noor"], "`--by NAME`"),
        (["oven", "yesterday"], "`--on yesterday`"),
        (["oven", "2026-03-01"], "`--on 2026-03-01`"),
    ],
)
def test_words_of_an_option_are_told_its_name(home: Path, words: list[str], option: str) -> None:
    before = contents(home)
    result = besom("did", *words)
    assert result.exit_code == 2
    assert option in result.stderr
    assert contents(home) == before


def test_what_a_line_counts_for_is_said_where_it_is_not_plain(home: Path) -> None:
    book = ("since 2026-02-23\nevery monday\n  vacuum  9 min\nevery friday\n  bins  4 min\n"
            "every day\n  cups  5 min\n")  # fmt: skip
    (home / "home.chores").write_text(book, "utf-8")
    (home / "2026.chores").write_text("2026-03-02 did bins\n", "utf-8")
    said = besom("did", "vacuum", "cups", "bins").stdout.splitlines()
    assert said[1:] == [
        "  vacuum counts for Mon 2 Mar, 2 days late",
        "  bins counts for Fri 6 Mar, 2 days early",
    ]
    again = besom("did", "cups", "bins", "--yes").stdout.splitlines()
    assert again[1:] == [
        "  cups was done already, is paused or comes round no more: this settles nothing further",
        "  bins was done already, is paused or comes round no more: this settles nothing further",
    ]
