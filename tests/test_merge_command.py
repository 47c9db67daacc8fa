"""The command `besom merge`: where the result goes, how it ends, what it says."""

from __future__ import annotations

from pathlib import Path

import pytest
from test_cli import besom

from ledger.text.formatter import FormatFault
from ledger.text.tree import Tree

BASE = "area kitchen\n\nevery day\n    wash-up  15 min  in kitchen\n\n2026-02-28 did wash-up\n"
OURS = BASE.replace("15 min", "20 min") + "2026-03-02 did wash-up\n"
THEIRS = BASE.replace("area kitchen", 'area kitchen  "Kitchen and hall"') + (
    "2026-03-01 did wash-up 12 min\n"
)
CLASH = BASE.replace("15 min", "9 min")


@pytest.fixture
def files(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Three versions of a book, and one that clashes with ours: the current folder."""
    for name, text in (("base", BASE), ("ours", OURS), ("theirs", THEIRS), ("clash", CLASH)):
        (tmp_path / name).write_text(text, "utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


MERGED = """\
area kitchen  "Kitchen and hall"

every day
    wash-up  20 min  in kitchen

2026-02-28 did wash-up
2026-03-01 did wash-up 12 min
2026-03-02 did wash-up
"""


def test_result_goes_into_ours_and_nowhere_else(files: Path) -> None:
    result = besom("merge", "base", "ours", "theirs")
    assert (result.exit_code, result.stdout, result.stderr) == (0, "", "")
    assert (files / "ours").read_text("utf-8") == MERGED
    assert (files / "base").read_text("utf-8") == BASE
    assert (files / "theirs").read_text("utf-8") == THEIRS


def test_result_is_printed_where_that_is_asked_and_ours_is_left(files: Path) -> None:
    assert besom("merge", "--print", "base", "ours", "theirs").stdout == MERGED
    assert (files / "ours").read_text("utf-8") == OURS


def test_ours_is_not_written_where_nothing_changes(
    files: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("ledger.writing._replace", None)
    assert besom("merge", "base", "ours", "base").exit_code == 0
    assert (files / "ours").read_text("utf-8") == OURS


def test_conflict_ends_with_1_and_says_where_and_what_to_do(files: Path) -> None:
    result = besom("merge", "--path", "home.chores", "--marker-size", "9", "--ours", "mine",
                   "--theirs", "yours", "base", "ours", "clash")  # fmt: skip
    assert result.exit_code == 1
    assert "home.chores: 1 conflict at line 4; keep one side" in result.stderr
    assert (files / "ours").read_text("utf-8").splitlines()[3:8] == [
        "<<<<<<<<< mine",
        "    wash-up  20 min  in kitchen",
        "=========",
        "    wash-up   9 min  in kitchen",
        ">>>>>>>>> yours",
    ]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("base", "ours", "nowhere"), "nowhere: cannot be read"),
        (("base", "ours"), "needs THEIRS, the file with their changes"),
        (("--marker-size", "none", "base", "ours", "theirs"), '"none" is no whole number'),
    ],
)
def test_wrong_call_ends_with_2_and_leaves_ours(
    files: Path, words: tuple[str, ...], said: str
) -> None:
    result = besom("merge", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in result.stderr
    assert (files / "ours").read_text("utf-8") == OURS


def test_line_ends_mark_and_odd_bytes_of_ours_are_kept(files: Path) -> None:
    odd = b"# \xff\r\n"
    for name, text in (("base", BASE), ("ours", OURS), ("theirs", THEIRS)):
        data = odd + text.replace("\n", "\r\n").encode()
        (files / name).write_bytes(b"\xef\xbb\xbf" + data)
    assert besom("merge", "base", "ours", "theirs").exit_code == 0
    merged = (files / "ours").read_bytes()
    assert merged.startswith(b"\xef\xbb\xbf" + odd)
    assert merged.count(b"\n") == merged.count(b"\r\n") == MERGED.count("\n") + 1


PLAIN = BASE.encode()
BINARY = [
    (PLAIN, b"\x00\x01ours", b"\x00\x02theirs"),
    (PLAIN, PLAIN + b"# \x00\n", PLAIN.replace(b"15", b"20")),
    (PLAIN, PLAIN.replace(b"15", b"20"), PLAIN + b"# \x00\n"),
    (PLAIN, PLAIN + b"# caf\xe9\n", b"# stra\xdfe\n" + PLAIN),
    (b"# \xe9\n", b"# \xe8\n", b"# \xea\n"),
    (b"", b"\xff\xfea\x00", b"\xff\xfeb\x00"),
]


@pytest.mark.parametrize(("base", "ours", "theirs"), BINARY)
def test_sides_that_are_no_text_are_a_conflict_and_ours_is_kept(
    files: Path, base: bytes, ours: bytes, theirs: bytes
) -> None:
    for name, data in (("base", base), ("ours", ours), ("theirs", theirs)):
        (files / name).write_bytes(data)
    result = besom("merge", "--path", "home.chores", "base", "ours", "theirs")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "home.chores: both sides hold bytes that are no text" in result.stderr
    assert (files / "ours").read_bytes() == ours
    assert besom("merge", "--binary-code", "3", "base", "ours", "theirs").exit_code == 3
    assert besom("merge", "--print", "base", "ours", "theirs").stdout_bytes == ours


@pytest.mark.parametrize("odd", [b"# \xe9\n", b"# \x00\n"])
def test_bytes_that_are_no_text_are_kept_where_one_side_alone_has_changed(
    files: Path, odd: bytes
) -> None:
    (files / "ours").write_bytes(PLAIN + odd)
    assert besom("merge", "base", "ours", "base").exit_code == 0
    assert besom("merge", "base", "ours", "ours").exit_code == 0
    assert (files / "ours").read_bytes() == PLAIN + odd
    assert besom("merge", "base", "theirs", "ours").exit_code == (1 if odd == b"# \x00\n" else 0)
    assert besom("merge", "--print", "base", "base", "ours").stdout_bytes == PLAIN + odd


def test_a_bug_of_the_formatter_leaves_ours_as_it_is(
    files: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def spoilt(tree: Tree) -> str:
        raise FormatFault(tree.source.path)

    # Both sides are in shape, and what is merged of them is not.
    shapes = iter([True, True, False])
    monkeypatch.setattr("ledger.versions.merge.is_formatted", lambda tree: next(shapes))
    monkeypatch.setattr("ledger.versions.merge.formatted", spoilt)
    result = besom("merge", "base", "ours", "theirs")
    assert (result.exit_code, result.stdout) == (1, "")
    assert result.stderr.endswith(": a bug of besom; nothing was written\n")
    assert (files / "ours").read_text("utf-8") == OURS
