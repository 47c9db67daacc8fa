"""Staged and since: lint judges what git keeps by the rules that it judges the folder by."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from repositories import FAULTY, HOME, begin, git, stand_alone
from test_cli import besom, without_seconds

ON = ("--on", "2026-03-04")


@pytest.fixture
def top(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The top of a repository with one sound book; the current folder."""
    stand_alone(monkeypatch, tmp_path)
    folder = begin(tmp_path / "our höme")
    monkeypatch.chdir(folder)
    return folder


def lint(*words: str) -> tuple[int, str]:
    """How lint ends, and what it says."""
    result = besom("lint", *ON, *words)
    assert result.stderr == ""
    return result.exit_code, without_seconds(result.stdout)


def rules(*words: str) -> list[str]:
    found = json.loads(lint("--as", "json", *words)[1])["findings"]
    return [finding["rule"] for finding in found]


def stage(top: Path, text: str, then: str | None = None, name: str = "home") -> None:
    """Stage a book, and let the folder then hold another text of it."""
    book = top / f"{name}.chores"
    book.write_text(text, "utf-8")
    git(top, "add", "-A")
    book.write_text(text if then is None else then, "utf-8")


# ----------------------------------------------------------------------------------------- staged


def test_staged_error_is_found_though_the_folder_holds_it_mended(top: Path) -> None:
    stage(top, FAULTY, then=HOME)
    assert lint()[0] == 0
    code, said = lint("--staged")
    assert (code, said.startswith("home.chores:11:13: error: ")) == (1, True)


def test_error_of_the_folder_alone_is_not_found_in_what_is_staged(top: Path) -> None:
    stage(top, HOME, then=FAULTY)
    assert lint()[0] == 1
    assert lint("--staged")[0] == 0


def test_book_that_is_not_staged_is_no_part_of_the_household(top: Path) -> None:
    (top / "more.chores").write_text("every tuesday\n    hob  5 min  in kitchen\n", "utf-8")
    assert rules() == []
    (top / "home.chores").write_text(HOME.replace("area kitchen\n\n", ""), "utf-8")
    (top / "areas.chores").write_text("area kitchen\n", "utf-8")
    git(top, "add", "home.chores")
    assert rules() == []
    # The area is declared in a file of the folder that the commit would leave behind.
    assert set(rules("--staged")) == {"unknown-name"}
    git(top, "add", "areas.chores")
    assert rules("--staged") == []


def test_book_that_is_gone_from_the_folder_but_not_from_the_index_is_found(top: Path) -> None:
    stage(top, FAULTY)
    (top / "home.chores").unlink()
    assert rules("--staged") == ["unreadable-line"]
    git(top, "rm", "-q", "--cached", "home.chores")
    code, said = lint("--staged")
    assert (code, "0 files" in said) == (0, True)


def test_staged_books_of_a_folder_or_a_file_are_named_as_the_call_names_them(
    top: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (top / "rooms").mkdir()
    stage(top, FAULTY, then=HOME, name="rooms/attic")
    for words in (["rooms"], ["rooms/attic.chores"], [".", "rooms"]):
        assert lint("--staged", "--only", "unreadable-line", *words)[1].startswith(
            "rooms/attic.chores:11:13: "
        )
    monkeypatch.chdir(top / "rooms")
    said = lint("--staged", "--only", "unreadable-line")[1]
    assert said.startswith("attic.chores:11:13: ")
    assert lint("--staged", "attic.chores", "attic.chores", ".")[1].count("attic.chores:11:13") == 1


def test_staged_says_what_is_worth_failing_on_as_the_folder_does(top: Path) -> None:
    stage(top, HOME.replace("15 min  in", "15 min      in"))
    assert lint("--staged")[0] == 1
    assert lint("--staged", "--fail-on", "warning")[0] == 0


LINES = st.lists(
    st.sampled_from([*HOME.splitlines(), "    sink  5 mins", "2026-03-02 did oven 35 min", "x"]),
    max_size=12,
)


@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(LINES, LINES)
def test_what_is_staged_is_judged_as_the_folder_with_the_same_text(
    top: Path, first: list[str], second: list[str]
) -> None:
    for name, lines in (("home", first), ("2026", second)):
        stage(top, "".join(f"{line}\n" for line in lines), name=name)
    assert lint("--staged") == lint()
    (top / "home.chores").write_text("other\n", "utf-8")
    (top / "2026.chores").unlink()
    staged = lint("--staged")
    git(top, "checkout", "-q", "--", ".")
    assert staged == lint()


# ------------------------------------------------------------------------------------------ since


def test_since_a_revision_only_what_is_new_is_found(top: Path) -> None:
    stage(top, FAULTY)
    git(top, "commit", "-q", "-m", "An error")
    assert rules("--since", "HEAD") == []
    assert rules("--since", "HEAD~1") == ["unreadable-line"]
    (top / "home.chores").write_text("# Our home\n\n" + FAULTY + "    hob  6 mins\n", "utf-8")
    code, said = lint("--since", "HEAD")
    assert (code, said.count(": error: ")) == (1, 1)
    assert said.startswith("home.chores:14:")


def test_staged_since_the_last_commit_is_what_the_commit_brings(top: Path) -> None:
    stage(top, FAULTY, then=HOME)
    assert rules("--staged", "--since", "HEAD") == ["unreadable-line"]
    stage(top, HOME, then=FAULTY)
    assert rules("--staged", "--since", "HEAD") == []
    assert rules("--since", "HEAD") == ["unreadable-line"]


def test_book_that_moved_brings_nothing_new(top: Path) -> None:
    stage(top, FAULTY)
    git(top, "commit", "-q", "-m", "An error")
    (top / "rooms").mkdir()
    git(top, "mv", "home.chores", "rooms/home.chores")
    assert rules("--staged", "--since", "HEAD") == []


def test_since_takes_the_household_as_it_was_and_today_as_it_is(top: Path) -> None:
    late = HOME + "\n2026-03-05 did oven\n"
    stage(top, late)
    git(top, "commit", "-q", "-m", "A line of tomorrow")
    assert rules() == ["future-line"]
    assert rules("--since", "HEAD") == []
    assert rules("--since", "HEAD~1") == ["future-line"]


# ------------------------------------------------------------------------------------ wrong calls

WRONG = [
    (("--since", "yesterdya"), '"yesterdya" is no revision that git knows here'),
    (("--since", "--all"), '"--all" is no revision that git knows here'),
    (("--staged", "--fix"), "--fix changes files; what is staged is none"),
    (("--staged", "-"), "git knows nothing of standard input"),
    (("--since", "HEAD", "-"), "git knows nothing of standard input"),
]


@pytest.mark.parametrize(("words", "said"), WRONG)
def test_wrong_call_ends_with_2_and_says_what_to_do(
    top: Path, words: tuple[str, ...], said: str
) -> None:
    result = besom("lint", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert said in " ".join(result.stderr.split())


@pytest.mark.parametrize("words", [("--staged",), ("--since", "HEAD")])
def test_outside_of_a_repository_and_without_git_lint_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: tuple[str, ...]
) -> None:
    stand_alone(monkeypatch, tmp_path)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    (tmp_path / "home.chores").write_text(HOME, "utf-8")
    monkeypatch.chdir(tmp_path)
    result = besom("lint", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "begin one with `git init`" in " ".join(result.stderr.split())
    monkeypatch.setenv("PATH", "")
    result = besom("lint", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "git cannot be run here" in " ".join(result.stderr.split())


# ------------------------------------------------------------------------------------------- most


def test_most_shows_the_gravest_in_their_order_and_counts_all(top: Path) -> None:
    noted = HOME.replace("15 min  in", "15 min      in")
    stage(top, noted + "    hob  8 min\n    sink  5 mins\n    tub  6 mins\n")
    whole = lint()[1]
    heads = [line for line in whole.splitlines() if line.startswith("home.chores:")]
    errors = [line for line in heads if ": error: " in line]
    warnings = [line for line in heads if ": warning: " in line]
    assert (len(errors), len(warnings), len(heads)) == (2, len(warnings), 4 + len(warnings) - 1)
    closing = whole.splitlines()[-1]
    for count in range(1, len(heads) + 2):
        code, said = lint("--most", str(count))
        shown = [line for line in said.splitlines() if line.startswith("home.chores:")]
        gravest = (errors + warnings + [h for h in heads if ": note: " in h])[:count]
        assert (code, sorted(shown)) == (1, sorted(gravest))
        assert shown == [line for line in heads if line in shown]
        assert said.splitlines()[-1] == closing
        assert ("without --most" in said) == (count < len(heads))
    for form in ("json", "sarif"):
        assert lint("--as", form, "--most", "1") == lint("--as", form)


def test_most_changes_nothing_where_there_are_no_more(top: Path) -> None:
    stage(top, FAULTY)
    assert lint("--most", "10") == lint()
