"""`besom lint --fix` and `besom format`: what they change, and what they never touch."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from lint_books import mended
from strategies import lines as sound_lines
from strategies import mutated
from test_cli import besom

from ledger.text.formatter import format_tree
from ledger.text.reader import Reader
from ledger.text.source import Source

ROUGH = """\
area kitchen
every monday
  oven 40 min in kitchen
2026-03-09 did oven 60 min
2026-03-02 did oven 61 min
2026-03-09 did oven 60 min
"""
SHAPED = """\
area kitchen

every monday
    oven  40 min  in kitchen

2026-03-02 did oven 1 h 1 min
2026-03-09 did oven 1 h
"""
DRIFTED = "".join(f"2026-0{month}-02 did oven {60 + month} min\n" for month in range(1, 8))


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    path = tmp_path / "home.chores"
    path.write_text(ROUGH, "utf-8")
    return path


def test_fix_mends_shape_order_and_repeats_and_shows_each_change(book: Path) -> None:
    result = besom("lint", "--fix", "--on", "2026-03-10", "--only", "not-formatted")
    assert book.read_text("utf-8") == SHAPED
    assert "\n-  oven 40 min in kitchen\n" in result.stderr
    assert "+    oven  40 min  in kitchen" in result.stderr
    assert result.exit_code == 0


def test_fix_twice_changes_nothing_the_second_time(book: Path) -> None:
    besom("lint", "--fix", "--on", "2026-03-10")
    once = book.read_bytes()
    result = besom("lint", "--fix", "--on", "2026-03-10")
    assert (book.read_bytes(), result.stderr) == (once, "")


def test_drifted_minutes_are_written_only_when_asked_for(book: Path) -> None:
    book.write_text(SHAPED.partition("\n2026")[0] + "\n" + DRIFTED, "utf-8")
    besom("lint", "--fix", "--on", "2026-08-01")
    assert "    oven  40 min  in kitchen\n" in book.read_text("utf-8")
    besom("lint", "--fix", "drift", "--on", "2026-08-01")
    assert "    oven  1 h 4 min  in kitchen\n" in book.read_text("utf-8")


def test_a_repeat_that_is_allowed_or_says_more_stays(book: Path) -> None:
    text = (
        "every monday\n    oven  40 min\n\n"
        "2026-03-02 did oven 35 min\n"
        "2026-03-02 did oven 35 min  # allow repeated-line: twice, it boiled over\n"
        "2026-03-02 did oven 35 min  # it boiled over again\n"
        '2026-03-02 did oven 35 min "again"\n'
    )
    assert mended(text) == text


def test_a_repeat_in_another_file_stays(book: Path) -> None:
    line = "2026-03-02 did oven 35 min\n"
    book.write_text("every monday\n    oven  40 min\n\n" + line, "utf-8")
    other = book.with_name("2026.chores")
    other.write_text(line, "utf-8")
    result = besom("lint", "--fix", "--on", "2026-03-10")
    assert "[repeated-line]" in result.stdout
    assert (other.read_text("utf-8"), result.stderr) == (line, "")


def test_every_copy_of_a_line_of_its_file_goes_whatever_stands_between(book: Path) -> None:
    line = "2026-03-02 did oven 35 min"
    text = f"every monday\n    oven  40 min\n\n{line}\n{line}  # one\n{line}  # two\n"
    assert mended(f"{text}{line}  # one\n") == text
    book.write_text(f"every monday\n    oven  40 min\n\n{line}\n", "utf-8")
    other = book.with_name("later.chores")
    other.write_text(f"{line}\n{line}\n", "utf-8")
    besom("lint", "--fix", "--on", "2026-03-10")
    assert other.read_text("utf-8") == f"{line}\n"


def test_file_with_two_byte_order_marks_is_formatted_and_then_left(book: Path) -> None:
    book.write_bytes(
        b"\xef\xbb\xbf\xef\xbb\xbfarea   kitchen\nevery day\n  hob 10 min in kitchen\n"
    )
    for _ in range(2):
        result = besom("lint", "--fix", "--on", "2026-03-10")
        assert "not-formatted" not in result.stdout + result.stderr
        assert "bug" not in result.stderr
    assert book.read_text("utf-8").endswith("every day\n    hob  10 min  in kitchen\n")


def test_a_file_that_is_allowed_its_shape_is_not_formatted_for_a_date_that_goes_back(
    book: Path,
) -> None:
    text = (
        "area kitchen\n\nevery monday\n  oven 40 min  # allow not-formatted: kept by hand\n"
        "2026-03-02 did oven 60 min\n2026-02-02 did oven 61 min\n"
    )
    book.write_text(text, "utf-8")
    result = besom("lint", "--fix", "--on", "2026-03-10")
    assert "[out-of-order-line]" in result.stdout
    assert book.read_text("utf-8") == text


def test_what_a_comment_allows_is_not_mended(book: Path) -> None:
    allowed = "kitchen  # allow drifted-minutes: a new oven comes\n\n2"
    text = SHAPED.replace("kitchen\n\n2", allowed).partition("\n2026")[0] + "\n" + DRIFTED
    book.write_text(text, "utf-8")
    besom("lint", "--fix", "drift", "--on", "2026-08-01")
    assert "    oven  40 min  in kitchen  # allow drifted-minutes" in book.read_text("utf-8")
    text = "area kitchen\n\n# allow not-formatted: as on the fridge\nevery  monday\n oven\n"
    book.write_text(text, "utf-8")
    besom("lint", "--fix", "--on", "2026-08-01")
    assert book.read_text("utf-8") == text


@given(st.lists(st.one_of(sound_lines, mutated(sound_lines)).filter(lambda s: "\n" not in s)))
@settings(max_examples=50)
def test_fix_never_removes_a_fact_and_settles_at_once(parts: list[str]) -> None:
    tree = Reader().read(Source("a", "".join(f"{part}\n" for part in parts)))
    once = Reader().read(Source("a", mended(tree.source.text)))
    said = {(line.node, line.comment) for line in tree.all_lines() if line.fault is None}
    kept = {(line.node, line.comment) for line in once.all_lines() if line.fault is None}
    assert said - {(None, None)} == kept - {(None, None)}
    assert [f.place.text for f in tree.faults()] == [f.place.text for f in once.faults()]
    assert mended(once.source.text) == once.source.text


def test_a_file_that_cannot_be_written_is_left_as_it_was(
    book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    result = besom("format")
    assert result.exit_code == 2
    assert "home.chores: cannot be written (No space left on device)" in result.stderr
    assert book.read_text("utf-8") == ROUGH
    assert [path.name for path in book.parent.iterdir()] == ["home.chores"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("format",), "home.chores: formatting would change what this file says. {}"),
        (("format", "--check"), "home.chores: formatting would change what this file says. {}"),
        (("format", "--diff"), "home.chores: formatting would change what this file says. {}"),
        (("lint", "--fix"), "home.chores: a bug of besom; nothing was written"),
        (("lint", "--fix", "drift"), "home.chores: a bug of besom; nothing was written"),
    ],
)
def test_fault_of_the_formatter_is_told_and_nothing_is_written(
    words: tuple[str, ...], said: str, book: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # This one is read, and would be written, before the one that the fault is in.
    other = book.with_name("a.chores")
    other.write_text("person   noor\n", "utf-8")
    before = {path.name: path.read_bytes() for path in book.parent.iterdir()}
    monkeypatch.setattr(
        "ledger.text.formatter.format_tree",
        lambda tree: format_tree(tree).replace("    oven  40 min  in kitchen\n", ""),
    )
    result = besom(*words)
    bug = "This is a bug of besom; the file was not touched"
    assert " ".join(result.stderr.split()) == f"Error: {said.format(bug)}"
    assert (result.exit_code, result.stdout) == (1, "")
    assert {path.name: path.read_bytes() for path in book.parent.iterdir()} == before


def test_format_keeps_permissions_and_a_link_stays_a_link(book: Path) -> None:
    book.chmod(0o640)
    link = book.with_name("other.chores")
    link.symlink_to(book)
    assert besom("format", "other.chores").exit_code == 0
    assert link.is_symlink()
    assert book.read_text("utf-8").startswith("area kitchen\n\nevery monday\n")
    assert book.stat().st_mode & 0o777 == 0o640


def test_check_and_diff_change_nothing(book: Path) -> None:
    check, diff = besom("format", "--check"), besom("format", "--diff")
    assert (check.exit_code, diff.exit_code) == (1, 1)
    assert check.stdout == "home.chores: would be formatted\n"
    assert diff.stdout.startswith("--- a/home.chores\n+++ b/home.chores\n@@")
    assert book.read_text("utf-8") == ROUGH
    assert besom("format").stdout == "home.chores: formatted\n"
    assert (besom("format", "--check").stdout, besom("format", "--check").exit_code) == ("", 0)
    assert (besom("format", "--diff").stdout, besom("format").stdout) == ("", "")
