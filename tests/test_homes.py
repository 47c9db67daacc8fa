"""Homes: which books are one household's, and what commands do among several."""

from __future__ import annotations

import json
import os
import subprocess
from datetime import date
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from lsprotocol import types as lsp

from ledger import load
from ledger.cli.main import main
from ledger.editor.session import Session
from ledger.git.books import homes_at, staged_homes
from ledger.homes import Home, SeveralHomes, find_homes, home_around
from ledger.workspace import WorkspaceFault

HOME = (
    'household "Here"\nsince 2026-01-01\n\narea kitchen\n\nevery day\n    cups  5 min  in kitchen\n'
)
RECORD = "2026-03-03 did cups\n"
REPORTS = ("due", "week", "review", "ahead", "areas", "lighten")


@pytest.fixture(autouse=True)
def top(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty folder to work in."""
    folder = tmp_path / "top"
    folder.mkdir()
    monkeypatch.chdir(folder)
    monkeypatch.delenv("BESOM_BOOK", raising=False)
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", os.devnull)
    return folder


def write(name: str, text: str) -> Path:
    path = Path(name)
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, "utf-8")
    return path


def besom(*words: str, given: str = "") -> Result:
    return CliRunner().invoke(main, words, input=given, prog_name="besom")


def found(*paths: str) -> list[tuple[str, list[str], list[str]]]:
    """The homes that paths ask for: folder, books, and those that findings are told of."""
    return listed(find_homes([Path(path) for path in paths]))


def listed(homes: list[Home]) -> list[tuple[str, list[str], list[str]]]:
    return [
        (
            home.folder.as_posix() if home.is_declared else "-",
            sorted(Path(source.path).as_posix() for source in home.sources),
            sorted(Path(path).as_posix() for path in home.asked),
        )
        for home in homes
    ]


def texts() -> dict[str, str]:
    """All that is in the folder."""
    return {str(p): p.read_text("utf-8") for p in sorted(Path().rglob("*")) if p.is_file()}


# ------------------------------------------------------------------------------ what a home is


def test_home_is_its_folder_and_all_below_it_but_homes_and_hidden_folders() -> None:
    write("home.chores", HOME)
    for name in ("2026.chores", "record/old/2025.chores", "guest/2026.chores", ".old/x.chores"):
        write(name, RECORD)
    write("guest/room.chores", HOME)
    mine = ["2026.chores", "home.chores", "record/old/2025.chores"]
    assert found(".") == [(".", mine, mine)]
    assert found("guest") == [("guest", *[["guest/2026.chores", "guest/room.chores"]] * 2)]


@pytest.mark.parametrize(
    ("line", "is_one"),
    [
        ("household", True),
        ('household\t"x"', True),
        ('household"x"', True),
        ("household# x", True),
        ("\ufeffhousehold x", True),
        ("area a\r\nhousehold x\r\n", True),
        (" household x", False),
        ("households x", False),
        ("household-x", False),
        ("# household x", False),
        ("area a\rhousehold x", False),
    ],
)
def test_household_is_a_word_at_the_margin(line: str, is_one: bool) -> None:
    write("here/x.chores", line)
    assert (home_around(Path("here")) == Path("here")) is is_one


@pytest.mark.parametrize("asked", ["home/garden/shed", "home/garden", "home/none"])
def test_folder_in_a_home_asks_for_that_home(asked: str) -> None:
    write("home/home.chores", HOME)
    write("home/garden/shed/x.chores", "area shed\n")
    Path("home/none").mkdir()
    books = ["home/garden/shed/x.chores", "home/home.chores"]
    assert found(asked) == [("home", books, books)]


def test_home_above_the_current_folder_is_found_and_called_from_there(
    top: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write("home.chores", HOME)
    write("a/b/x.chores", "area attic\n")
    monkeypatch.chdir(top / "a" / "b")
    books = ["../../a/b/x.chores", "../../home.chores"]
    assert found(".") == [("../..", books, books)]
    assert found(str(top / "a"))[0][0] == top.as_posix()


@pytest.mark.parametrize("border", ["repository", "worktree", "person", "hidden", "shared"])
def test_home_is_not_looked_for_beyond_a_border(
    top: Path, monkeypatch: pytest.MonkeyPatch, border: str
) -> None:
    write("home.chores", HOME)
    below = "in/.in/here" if border == "hidden" else "in/here"
    book = write(f"{below}/x.chores", RECORD)
    assert (found(below)[0][0] == ".") is (border != "hidden")
    if border == "repository":
        Path("in/.git").mkdir()
    elif border == "worktree":
        write("in/.git", "gitdir: elsewhere\n")
    elif border == "person":
        monkeypatch.setenv("HOME", str(top / "in"))
    elif border == "shared":
        top.chmod(0o1777)
    assert found(below) == found(str(book)) == [("-", [book.as_posix()], [book.as_posix()])]


@pytest.mark.parametrize("border", ["repository", "person"])
def test_border_itself_may_be_a_home(
    top: Path, monkeypatch: pytest.MonkeyPatch, border: str
) -> None:
    write("home.chores", HOME)
    Path("in").mkdir()
    if border == "person":
        monkeypatch.setenv("HOME", str(top))
    else:
        Path(".git").mkdir()
    assert found("in") == [(".", ["home.chores"], ["home.chores"])]


def test_shared_folder_may_be_asked_for_by_name(top: Path) -> None:
    write("home.chores", HOME)
    top.chmod(0o1777)
    assert found(".") == [(".", ["home.chores"], ["home.chores"])]


def test_file_asks_for_its_home_and_findings_are_told_of_it_alone() -> None:
    write("home/home.chores", HOME)
    write("home/2026.chores", RECORD)
    books = ["home/2026.chores", "home/home.chores"]
    assert found("home/2026.chores") == [("home", books, ["home/2026.chores"])]
    assert found("home/2026.chores", "home/home.chores") == found("home")
    assert found("home/2026.chores", "home") == found("home")


def test_file_is_called_as_the_call_calls_it() -> None:
    write("home/home.chores", HOME)
    write("home/in/x.chores", RECORD)
    assert found("home/in/../home.chores", "home/in/x.chores")[0][2] == [
        "home/in/../home.chores",
        "home/in/x.chores",
    ]


def test_file_of_no_home_is_by_itself_and_several_are_one() -> None:
    for name in ("a/x.chores", "a/y.chores", "b/z.chores"):
        write(name, RECORD)
    assert found("a/x.chores") == [("-", ["a/x.chores"], ["a/x.chores"])]
    both = ["a/x.chores", "b/z.chores"]
    assert found("a/x.chores", "b") == [("-", both, both)]


@pytest.mark.parametrize("name", [".home.chores", "home.txt", ".old/2025.chores"])
def test_file_that_is_no_book_of_the_home_is_by_itself(name: str) -> None:
    write("home.chores", HOME)
    write(name, RECORD)
    assert found(name) == [("-", [name], [name])]


def test_loose_books_beside_homes_are_a_home_of_their_own() -> None:
    write("2026.chores", RECORD)
    write("loose/x.chores", RECORD)
    write("in/home/home.chores", HOME)
    loose = ["2026.chores", "loose/x.chores"]
    assert sorted(found(".")) == [
        ("-", loose, loose),
        ("in/home", ["in/home/home.chores"], ["in/home/home.chores"]),
    ]


def test_one_home_below_and_nothing_loose_is_that_one() -> None:
    write("in/home/home.chores", HOME)
    assert found(".") == [("in/home", ["in/home/home.chores"], ["in/home/home.chores"])]
    assert besom("due", "--on", "2026-03-04").exit_code == 0


def test_links_to_folders_are_not_followed_and_a_file_counts_once() -> None:
    write("home/home.chores", HOME)
    write("other/home.chores", HOME)
    Path("home/link").symlink_to("../other")
    Path("home/again.chores").symlink_to("home.chores")
    (home,) = find_homes([Path("home")])
    assert len(home.sources) == 1
    # A link that is asked for by name is the folder it leads to.
    assert found("home/link")[0][1] == ["home/link/home.chores"]


def test_folder_below_that_cannot_be_read_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    write("home.chores", HOME)
    write("shut/x.chores", RECORD)
    scandir = os.scandir

    def refused(path: str | Path) -> object:
        if Path(path).name == "shut":
            raise PermissionError(13, "Permission denied")
        return scandir(path)

    monkeypatch.setattr("ledger.workspace.os.scandir", refused)
    with pytest.raises(WorkspaceFault, match=r"^shut: this folder cannot be looked into"):
        find_homes([Path()])
    assert besom("did", "cups").exit_code == 2


# ------------------------------------------------------------------------ commands among homes


@pytest.fixture
def three() -> None:
    """Three homes, and a book of none."""
    for name in ("a", "b/c", "d"):
        write(f"{name}/home.chores", HOME + RECORD)
    write("d/2025.chores", "area nowhere\n")
    write("e/loose.chores", RECORD)


@pytest.mark.usefixtures("three")
@pytest.mark.parametrize("words", [*[(name,) for name in REPORTS], ("chore", "cups"), ("did", "x")])
def test_what_answers_for_one_home_refuses_several_in_two_lines(words: tuple[str, ...]) -> None:
    before = texts()
    result = besom(*words)
    assert result.exit_code == 2
    assert texts() == before
    assert result.stdout == ""
    names, advice = result.stderr.splitlines()
    assert names == "besom: here are 3 homes: a, b/c, d"
    call = advice.split("`")[1].split()
    assert call[: len(words) + 1] == ["besom", *words]
    # The call that is advised asks for one home.
    assert "homes" not in besom(*call[1:]).output
    assert texts() == before


def test_names_that_do_not_fit_in_a_line_are_counted() -> None:
    for number in range(50):
        write(f"home-{number:02}/x.chores", HOME)
    line = besom("due").stderr.splitlines()[0]
    names = line.removeprefix("besom: here are 50 homes: ").split(" and ")[0].split(", ")
    assert len(line) <= 80
    assert names[0] == "home-00"
    assert line.endswith(f" and {50 - len(names)} more")


def test_one_home_and_loose_books_are_told_apart() -> None:
    write("in/home.chores", HOME)
    write("x.chores", RECORD)
    assert "here is 1 home, and 1 book of none: in\n" in besom("due").stderr


@pytest.mark.usefixtures("three")
def test_lint_and_format_take_each_home_by_itself() -> None:
    found_in = {
        finding["file"]: finding["rule"]
        for finding in json.loads(besom("lint", "--as", "json", "--on", "2026-03-04").stdout)[
            "findings"
        ]
        if finding["rule"] in ("unused-area", "unknown-name")
    }
    assert found_in == {"d/2025.chores": "unused-area", "e/loose.chores": "unknown-name"}
    write("a/home.chores", HOME.replace("    cups", "  cups"))
    write("d/home.chores", HOME.replace("    cups", "  cups"))
    besom("format")
    assert "    cups" in texts()["a/home.chores"]
    assert "    cups" in texts()["d/home.chores"]


def test_lint_and_format_keep_to_the_file_that_is_named() -> None:
    write("home.chores", HOME.replace("    cups", "  cups"))
    write("2026.chores", "2026-03-03   did   cups\n2026-03-03 did cupz\n")
    data = json.loads(besom("lint", "2026.chores", "--as", "json", "--on", "2026-03-04").stdout)
    assert data["files"] == 1
    assert {finding["file"] for finding in data["findings"]} == {"2026.chores"}
    # The chore is known from the other file.
    assert [f["line"] for f in data["findings"] if f["rule"] == "unknown-name"] == [2]
    assert [f.place.source.path for f in load("2026.chores").findings()] == ["2026.chores"] * len(
        data["findings"]
    )
    before = texts()["home.chores"]
    besom("format", "2026.chores")
    besom("lint", "--fix", "2026.chores")
    assert texts()["home.chores"] == before
    assert texts()["2026.chores"].startswith("2026-03-03 did cups\n")


def test_did_from_a_folder_in_a_home_writes_into_the_record_of_the_home(
    top: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write("home.chores", HOME)
    Path("garden").mkdir()
    monkeypatch.chdir(top / "garden")
    result = besom("did", "cups", "--on", "yesterday")
    assert result.exit_code == 0
    (record,) = (path for path in top.rglob("*.chores") if path.name != "home.chores")
    assert record.parent == top


def test_did_never_writes_where_the_chore_is_not_known() -> None:
    write("home/home.chores", HOME)
    write("2026.chores", "area attic\n")
    before = texts()
    assert besom("did", "cups").exit_code == 2
    assert besom("did", "cups", "--book", "2026.chores").exit_code == 2
    assert texts() == before


def test_library_refuses_several_homes_and_names_them() -> None:
    for name in ("a", "b"):
        write(f"{name}/home.chores", HOME)
    with pytest.raises(SeveralHomes, match=r"a, b") as fault:
        load(".")
    assert fault.value.names == ["a", "b"]
    assert load("a").household.chores.keys() == {"cups"}


# ---------------------------------------------------------------------------------- BESOM_BOOK


def test_book_of_the_environment_is_used_where_no_book_is_named(
    top: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write("home/home.chores", HOME)
    write("other/other.chores", HOME.replace("cups", "pans"))
    monkeypatch.setenv("BESOM_BOOK", str(top / "home"))
    assert "cups" in besom("due", "--on", "2026-03-04").stdout
    assert "pans" in besom("due", "other", "--on", "2026-03-04").stdout
    assert besom("did", "cups", "--on", "yesterday").exit_code == 0
    assert len(list(Path("home").iterdir())) == 2
    monkeypatch.setenv("BESOM_BOOK", "home/home.chores")
    assert "cups" in besom("due", "--on", "2026-03-04").stdout


def test_file_of_the_environment_keeps_the_record_of_its_home_where_it_is(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    write("home/home.chores", HOME)
    write("home/2026.chores", RECORD)
    write("alone/x.chores", HOME.replace("household", "# household"))
    for book, record in (
        ("home/home.chores", "home/2026.chores"),
        ("alone/x.chores", "alone/x.chores"),
    ):
        monkeypatch.setenv("BESOM_BOOK", book)
        said = besom("did", "cups", "--on", "2026-03-04").stdout
        assert said.startswith(f"{record}: 2026-03-04 did cups")


@pytest.mark.parametrize("call", ["due", "lint", "format", "did x", "compare HEAD"])
def test_wrong_book_of_the_environment_is_told_with_its_name(
    call: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    write("home.chores", HOME)
    monkeypatch.setenv("BESOM_BOOK", "nowhere")
    result = besom(*call.split())
    assert result.exit_code == 2
    assert "BESOM_BOOK names nowhere: there is no such file or folder" in result.stderr


def test_folder_of_the_environment_without_a_book_is_told_with_its_name(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    Path("empty").mkdir()
    monkeypatch.setenv("BESOM_BOOK", "empty")
    assert "BESOM_BOOK names empty: no .chores file" in besom("due").stderr


# ------------------------------------------------------------------------------ standard input


@pytest.mark.parametrize("name", [*REPORTS, "chore"])
def test_reports_read_standard_input(name: str) -> None:
    write("home.chores", HOME)
    words = (name, *(["cups"] if name == "chore" else []))
    piped = besom(*words, "-", "--on", "2026-03-04", given=HOME)
    assert (piped.exit_code, piped.stderr) == (0, "")
    in_file = besom(*words, "home.chores", "--on", "2026-03-04").stdout
    assert piped.stdout == in_file.replace("home.chores", "standard input")


def test_did_cannot_write_to_standard_input() -> None:
    result = besom("did", "cups", "--book", "-", given=HOME)
    assert result.exit_code == 2
    assert "standard input is no book to write to" in result.stderr


# ----------------------------------------------------------------------------------------- git


def git(*words: str) -> str:
    names = ("AUTHOR_NAME", "AUTHOR_EMAIL", "COMMITTER_NAME", "COMMITTER_EMAIL")
    who = {f"GIT_{name}": "x@x" for name in names}
    done = subprocess.run(
        ["git", *words], env={**os.environ, **who}, check=True, capture_output=True, text=True
    )
    return done.stdout


@pytest.mark.usefixtures("three")
@pytest.mark.parametrize(
    "asked", [".", "a", "b", "d", "d/2025.chores", "e", "e/loose.chores", "b/c/home.chores"]
)
def test_git_has_the_homes_that_the_files_have(asked: str) -> None:
    git("init", "-q")
    git("add", "-A")
    git("commit", "-q", "-m", "Begin")
    in_files = sorted(found(asked))
    assert sorted(listed(homes_at("HEAD", [Path(asked)]))) == in_files
    assert sorted(listed(staged_homes([Path(asked)]))) == in_files


def test_homes_in_a_home_are_checked_with_what_is_staged_and_only_then() -> None:
    write("home.chores", HOME)
    write("guest/home.chores", HOME)
    git("init", "-q")
    git("add", "-A")
    assert [home.folder for home in find_homes([Path()])] == [Path()]
    assert {home.folder for home in staged_homes([Path()])} == {Path(), Path("guest")}


@pytest.mark.usefixtures("three")
def test_staged_homes_are_linted_each_by_itself() -> None:
    git("init", "-q")
    git("add", "-A")
    git("commit", "-q", "-m", "Begin")
    write("a/home.chores", HOME + RECORD + "2026-03-03 did pans\n")
    write("d/home.chores", HOME.replace("cups", "pans"))
    git("add", "-A")
    result = besom("lint", "--staged", "--since", "HEAD", "--only", "unknown-name")
    assert result.exit_code == 1
    # `pans` of one home are unknown in the other.
    assert "a/home.chores:9" in result.stdout
    assert "d/home.chores" not in result.stdout


@pytest.mark.usefixtures("three")
def test_compare_takes_each_home_by_itself() -> None:
    git("init", "-q")
    git("add", "-A")
    git("commit", "-q", "-m", "Begin")
    write("a/home.chores", HOME.replace("5 min", "6 min") + RECORD)
    write("new/home.chores", HOME)
    result = besom("compare", "HEAD")
    assert result.exit_code == 1
    headings = [line for line in result.stdout.splitlines() if line.startswith("From ")]
    assert headings == ["From HEAD:a to a", "From HEAD:new to new"]
    assert besom("compare", "HEAD", "--as", "json").exit_code == 2
    assert besom("compare", "HEAD", "a", "--as", "json").exit_code == 1


def test_compare_of_two_files_of_one_home_is_of_these_files() -> None:
    write("home.chores", HOME)
    write("new.chores", HOME.replace("5 min", "6 min"))
    assert "5 min" in besom("compare", "home.chores", "new.chores").stdout


# ----------------------------------------------------------------------------------- an editor


def session_with(root: Path, *names: str) -> Session:
    """A session that works in a folder, with some of its files open."""
    session = Session(lambda _: date(2026, 3, 4))
    session.set_roots([root.as_uri()])
    for name in names:
        path = root / name
        session.open(lsp.TextDocumentItem(path.as_uri(), "chores", 1, path.read_text("utf-8")))
    return session


def seen(session: Session, path: Path) -> list[str]:
    """The books of the household that an editor sees around a file."""
    return sorted(
        Path(tree).relative_to(Path.cwd()).as_posix() for tree in session.view(path.as_uri()).trees
    )


@pytest.mark.usefixtures("three")
def test_editor_keeps_homes_apart(top: Path) -> None:
    session = session_with(top, "a/home.chores", "d/2025.chores", "e/loose.chores")
    assert seen(session, top / "a/home.chores") == ["a/home.chores"]
    assert seen(session, top / "d/2025.chores") == ["d/2025.chores", "d/home.chores"]
    assert seen(session, top / "e/loose.chores") == ["e/loose.chores"]


def test_editor_that_works_in_a_part_of_a_home_sees_all_of_it(top: Path) -> None:
    write("home.chores", HOME)
    write("garden/x.chores", "area attic\n")
    session = session_with(top / "garden", "x.chores")
    assert seen(session, top / "garden/x.chores") == ["garden/x.chores", "home.chores"]


def test_household_line_that_is_typed_makes_a_home(top: Path) -> None:
    write("home.chores", HOME)
    write("guest/x.chores", "# guest\n")
    session = session_with(top, "guest/x.chores")
    guest = top / "guest/x.chores"
    assert seen(session, guest) == ["guest/x.chores", "home.chores"]
    for text, books in (
        ("household x\n", ["guest/x.chores"]),
        ("# guest\n", ["guest/x.chores", "home.chores"]),
    ):
        which = lsp.VersionedTextDocumentIdentifier(version=2, uri=guest.as_uri())
        whole = lsp.TextDocumentContentChangeWholeDocument(text=text)
        session.change(lsp.DidChangeTextDocumentParams(which, [whole]))
        assert seen(session, guest) == books


# -------------------------------------------------------------------------------------- growth


def test_each_book_is_read_once_however_many_homes(monkeypatch: pytest.MonkeyPatch) -> None:
    reads: list[int] = []
    fdopen = os.fdopen

    def counting(handle: int, mode: str) -> object:
        reads[-1] += 1
        return fdopen(handle, mode)

    monkeypatch.setattr("ledger.workspace.os.fdopen", counting)
    for count in (20, 40):
        for number in range(count):
            write(f"{count}/{number}/home.chores", HOME)
        reads.append(0)
        assert len(find_homes([Path(str(count))])) == count
    assert reads == [20, 40]
