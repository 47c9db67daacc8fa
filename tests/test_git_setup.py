"""Git setup: what it writes works in git, what is others' stays theirs, and undo undoes it."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from repositories import HOME, begin, git, stand_alone, tried
from test_cli import besom

from ledger.git import setup as gitsetup
from ledger.git.books import GitFault
from ledger.git.revert import revert, to_revert
from ledger.git.setup import set_up, steps_of
from ledger.git.setup_record import own_command, repository_of
from ledger.git.texts import CHECK, EXCLUDED, LINES, SETTINGS, hook_text

BLOCK = "".join(f"{line}\n" for line in LINES)
EXCLUDE = "".join(f"{line}\n" for line in EXCLUDED)


@pytest.fixture
def top(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The top of a repository with one book; the current folder."""
    stand_alone(monkeypatch, tmp_path)
    folder = begin(tmp_path / "our höme")
    monkeypatch.chdir(folder)
    return folder


def everything(folder: Path) -> dict[str, tuple[int, bytes]]:
    """All that a folder holds, git's own folder too: modes and bytes."""
    return {
        path.relative_to(folder).as_posix(): (
            path.lstat().st_mode,
            path.read_bytes() if path.is_file() else b"",
        )
        for path in folder.rglob("*")
    }


def states(folder: Path) -> dict[str, str]:
    return {step.name: step.state for step in steps_of(repository_of(folder))}


def set_up_here() -> None:
    result = besom("git-setup", "--yes")
    assert (result.exit_code, result.stderr) == (0, "")


# -------------------------------------------------------------------------------- what is written


def test_setup_writes_the_attributes_the_settings_and_the_hook(top: Path) -> None:
    set_up_here()
    assert (top / ".gitattributes").read_text("utf-8") == BLOCK
    for name, value in SETTINGS.items():
        assert git(top, "config", "--local", name) == value + "\n"
    hook = top / ".git" / "hooks" / "pre-commit"
    assert hook.read_text("utf-8") == hook_text(own_command())
    assert os.access(hook, os.X_OK)
    assert (top / ".git" / "info" / "exclude").read_text("utf-8").endswith(EXCLUDE)
    (top / ".home.chores.besom-new").write_bytes(b"area kit")
    assert ".besom-new" not in git(top, "status", "--porcelain", "--untracked-files=all")


def test_hook_with_another_path_of_besom_is_brought_up_to_date_and_taken_back(top: Path) -> None:
    before = everything(top)
    set_up_here()
    hook = top / ".git" / "hooks" / "pre-commit"
    hook.write_text(hook_text("/an older/place/besom"), "utf-8")
    assert states(top)[".git/hooks/pre-commit"] == "new"
    set_up_here()
    assert hook.read_text("utf-8") == hook_text(own_command())
    besom("git-setup", "--undo", "--yes")
    assert everything(top) == before


def test_setup_says_where_besom_is_not_on_the_path(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert "not on the PATH" not in besom("git-setup", "--dry-run").stdout
    stand_alone(monkeypatch, tmp_path, with_besom=False)
    said = besom("git-setup", "--dry-run").stdout
    assert "besom is not on the PATH of this shell." in said


def test_setup_run_twice_changes_nothing(top: Path) -> None:
    set_up_here()
    before = everything(top)
    result = besom("git-setup")
    assert (result.exit_code, result.stdout.splitlines()[-1]) == (0, "All is set up already.")
    assert everything(top) == before


def test_dry_run_shows_each_thing_before_and_after_and_writes_none(top: Path) -> None:
    before = everything(top)
    said = besom("git-setup", "--dry-run").stdout
    assert everything(top) == before
    for name in (".gitattributes", ".git/info/exclude", *SETTINGS, ".git/hooks/pre-commit"):
        block = said[said.index(f"\n{name}: ") :].strip().split("\n\n")[0]
        # Git itself begins the file of what is excluded.
        assert ("    now   no" in block) == (name != ".git/info/exclude")
        assert "    new   " in block
    assert max(map(len, said.splitlines()[2:])) <= 80


@pytest.mark.parametrize(("answer", "code"), [("y\n", 0), ("n\n", 1), ("", 1)])
def test_setup_asks_and_does_nothing_without_a_yes(top: Path, answer: str, code: int) -> None:
    from click.testing import CliRunner

    from ledger.cli.main import main

    before = everything(top)
    result = CliRunner().invoke(main, ["git-setup"], input=answer)
    assert "Write this?" in result.stdout
    assert result.exit_code == code
    assert (everything(top) == before) == (code == 1)
    set_up_here()
    done = everything(top)
    result = CliRunner().invoke(main, ["git-setup", "--undo"], input=answer)
    assert "Take this back?" in result.stdout
    assert result.exit_code == code
    assert everything(top) == (done if code else before)


@pytest.mark.parametrize("name", ["rooms", ".", str(Path("rooms") / "attic")])
def test_setup_from_any_folder_is_that_of_the_whole_repository(top: Path, name: str) -> None:
    (top / "rooms" / "attic").mkdir(parents=True)
    assert besom("git-setup", "--yes", name).exit_code == 0
    assert set(states(top).values()) == {"there"}
    assert (top / ".gitattributes").is_file()
    assert not (top / name / ".gitattributes").exists() or name == "."


def test_lines_end_as_those_of_the_file_do(top: Path) -> None:
    (top / ".gitattributes").write_bytes(b"*.png binary\r\n*.txt text")
    set_up_here()
    data = (top / ".gitattributes").read_bytes()
    assert data == b"*.png binary\r\n*.txt text\r\n" + BLOCK.replace("\n", "\r\n").encode()
    assert "home.chores: merge: chores\n" in git(top, "check-attr", "merge", "home.chores")
    assert "now   2 lines" not in besom("git-setup").stdout


# ------------------------------------------------------------------------------------------ undo


def nothing(top: Path) -> None:
    """Leave the repository as git begins it."""


def attributes(data: bytes) -> Callable[[Path], None]:
    def write(top: Path) -> None:
        (top / ".gitattributes").write_bytes(data)

    return write


def settings(more: bytes, cut: bool = False) -> Callable[[Path], None]:
    def write(top: Path) -> None:
        path = top / ".git" / "config"
        data = path.read_bytes() + more
        path.write_bytes(data.removesuffix(b"\n") if cut else data)

    return write


def no_hooks(top: Path) -> None:
    shutil.rmtree(top / ".git" / "hooks")


BEGINNINGS = {
    "as git begins": nothing,
    "with no folder of hooks": no_hooks,
    "with an empty file of attributes": attributes(b""),
    "with attributes": attributes(b"*.png binary\n"),
    "with attributes whose last line is open": attributes(b"*.png binary\n*.txt text"),
    "with attributes of CRLF": attributes(b"*.png binary\r\n"),
    "with attributes of CRLF whose last line is open": attributes(b"*.png -text\r\n*.txt text"),
    "with attributes of no known encoding": attributes(b"# \xff\xfe\n\n\n"),
    "with blank lines at the end": attributes(b"*.png binary\n\n\n"),
    "with settings whose last line is open": settings(b'[user]\n\tname = "t #"\n', cut=True),
    "with settings of CRLF": settings(b"[user]\r\n\tname = tam\r\n"),
    "with an empty section of ours": settings(b'[diff "chores"]\n[user]\n\tname = tam\n'),
    "with more in our sections": settings(
        b'[merge "chores"]\n\trecursive = binary # so\n[user]\n\tname=t\n[diff "chores"]\n\tcommand'
    ),
}


@pytest.mark.parametrize("beginning", BEGINNINGS)
def test_setup_and_undo_leave_every_byte_as_it_was(top: Path, beginning: str) -> None:
    BEGINNINGS[beginning](top)
    before = everything(top)
    set_up_here()
    assert everything(top) != before
    result = besom("git-setup", "--undo", "--yes")
    assert (result.exit_code, result.stdout.splitlines()[-1]) == (0, "Taken back.")
    assert everything(top) == before


def test_undo_without_a_setup_has_nothing_to_take_back(top: Path) -> None:
    before = everything(top)
    for words in (["--undo"], ["--undo", "--dry-run"]):
        result = besom("git-setup", *words)
        assert result.exit_code == 0
        assert "There is nothing that git-setup wrote here" in result.stdout
    assert everything(top) == before


def test_dry_run_of_undo_names_each_thing_and_takes_none_back(top: Path) -> None:
    set_up_here()
    before = everything(top)
    result = besom("git-setup", "--undo", "--dry-run")
    assert (result.exit_code, everything(top)) == (0, before)
    said = {tuple(line.rsplit(maxsplit=1)) for line in result.stdout.splitlines() if line}
    for name in (".gitattributes", ".git/info/exclude", *SETTINGS, ".git/hooks/pre-commit"):
        assert ("  to take back", name) in said


def test_undo_keeps_what_came_to_the_same_files_since(top: Path) -> None:
    (top / ".gitattributes").write_bytes(b"*.png binary")
    set_up_here()
    with (top / ".gitattributes").open("ab") as file:
        file.write(b"*.txt text\n")
    git(top, "config", "core.abbrev", "12")
    assert besom("git-setup", "--undo", "--yes").exit_code == 0
    assert (top / ".gitattributes").read_bytes() == b"*.png binary\n*.txt text\n"
    assert git(top, "config", "core.abbrev") == "12\n"
    assert "chores" not in (top / ".git" / "config").read_text("utf-8")


def test_undo_leaves_and_names_what_was_changed_since(top: Path) -> None:
    set_up_here()
    hook = top / ".git" / "hooks" / "pre-commit"
    hook.write_text(hook_text(own_command()) + "# ours too\n", "utf-8")
    git(top, "config", "merge.chores.name", "a name of our own")
    (top / ".gitattributes").write_text(BLOCK.replace(" merge=chores", ""), "utf-8")
    result = besom("git-setup", "--undo", "--yes")
    assert result.exit_code == 1
    left = {line.split()[-1] for line in result.stdout.splitlines() if "changed since" in line}
    assert left == {".gitattributes", "merge.chores.name", ".git/hooks/pre-commit"}
    assert hook.read_text("utf-8").endswith("# ours too\n")
    assert git(top, "config", "merge.chores.name") == "a name of our own\n"
    assert (top / ".gitattributes").read_text("utf-8").endswith("diff=chores\n")
    assert not (top / ".git" / "besom-setup.json").exists()
    for name in SETTINGS.keys() - {"merge.chores.name"}:
        assert tried(top, "config", name).returncode == 1


def test_undo_passes_over_what_is_gone_already(top: Path) -> None:
    exclude = top / ".git" / "info" / "exclude"
    excluded = exclude.read_bytes()
    set_up_here()
    exclude.write_bytes(excluded)
    (top / ".gitattributes").unlink()
    (top / ".git" / "hooks" / "pre-commit").unlink()
    for section in ("diff.chores", "merge.chores"):
        git(top, "config", "--remove-section", section)
    before = everything(top)
    result = besom("git-setup", "--undo")
    assert (result.exit_code, "nothing that" in result.stdout) == (0, True)
    del before[".git/besom-setup.json"]
    assert everything(top) == before


def test_undo_takes_nothing_that_was_there_before_the_setup(top: Path) -> None:
    (top / ".gitattributes").write_text("*.chores diff=chores merge=chores\n", "utf-8")
    git(top, "config", "diff.chores.wordRegex", SETTINGS["diff.chores.wordRegex"])
    before = everything(top)
    set_up_here()
    assert {one.name for one in to_revert(repository_of(top))} == {
        "diff.chores.xfuncname", "merge.chores.name", "merge.chores.driver",
        ".git/info/exclude", ".git/hooks/pre-commit",
    }  # fmt: skip
    besom("git-setup", "--undo", "--yes")
    assert everything(top) == before


def test_setup_that_stops_halfway_notes_what_it_wrote(top: Path) -> None:
    before = everything(top)
    hooks = top / ".git" / "hooks"
    hooks.rename(hooks.with_name("aside"))
    hooks.write_text("no folder", "utf-8")
    result = besom("git-setup", "--yes")
    assert (result.exit_code, "cannot be written" in result.stderr) == (2, True)
    assert git(top, "config", "merge.chores.name")
    hooks.unlink()
    hooks.with_name("aside").rename(hooks)
    assert besom("git-setup", "--undo", "--yes").exit_code == 0
    assert everything(top) == before


def test_what_an_older_besom_wrote_is_brought_up_to_date_and_taken_back(
    top: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = everything(top)
    with monkeypatch.context() as older:
        older.setattr(gitsetup, "hook_text", lambda _: "#!/bin/sh\nbesom lint --staged\n")
        older.setitem(SETTINGS, "merge.chores.name", "an older name")
        repository = repository_of(top)
        set_up(repository, steps_of(repository))
        assert set(states(top).values()) == {"there"}
    new = {name for name, state in states(top).items() if state == "new"}
    assert new == {"merge.chores.name", ".git/hooks/pre-commit"}
    assert "    now   an older name\n" in besom("git-setup", "--dry-run").stdout
    set_up_here()
    assert set(states(top).values()) == {"there"}
    assert [one for one in revert(repository_of(top)) if one.left] == []
    assert everything(top) == before


# ----------------------------------------------------------------------------- what is others'


def test_hook_of_somebody_else_is_left_and_the_rest_is_done(top: Path) -> None:
    hook = top / ".git" / "hooks" / "pre-commit"
    hook.write_text(f"#!/bin/sh\n# no {CHECK}\nexit 0\n", "utf-8")
    before = hook.read_bytes()
    for words in (["--dry-run"], ["--yes"], []):
        result = besom("git-setup", *words)
        assert result.exit_code == 1
        assert f"add this line to it:\n          {CHECK} || exit 1\n" in result.stdout
    assert hook.read_bytes() == before
    assert states(top).pop(".git/hooks/pre-commit") == "theirs"
    assert list(states(top).values()).count("there") == 6
    hook.write_text(f"#!/bin/sh\n{CHECK} || exit 1\n", "utf-8")
    # Git passes over a hook that may not be run.
    result = besom("git-setup")
    assert (result.exit_code, "chmod +x " in result.stdout) == (1, True)
    hook.chmod(0o755)
    assert besom("git-setup").exit_code == 0
    besom("git-setup", "--undo", "--yes")
    assert hook.read_text("utf-8") == f"#!/bin/sh\n{CHECK} || exit 1\n"


def test_hook_that_leads_nowhere_is_not_written_through(top: Path, tmp_path: Path) -> None:
    (top / ".git" / "hooks" / "pre-commit").symlink_to(tmp_path / "gone")
    assert besom("git-setup", "--yes").exit_code == 1
    assert not (tmp_path / "gone").exists()


@pytest.mark.parametrize("scope", ["--local", "--global"])
def test_setting_of_somebody_else_is_left_and_named(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, scope: str
) -> None:
    monkeypatch.setenv("GIT_CONFIG_GLOBAL", str(tmp_path / "everywhere"))
    git(top, "config", scope, "merge.chores.driver", "union %O %A %B")
    result = besom("git-setup", "--yes")
    assert result.exit_code == 1
    assert "now   union %O %A %B" in result.stdout
    assert "git config --unset-all merge.chores.driver" in result.stdout
    assert git(top, "config", "merge.chores.driver") == "union %O %A %B\n"
    besom("git-setup", "--undo", "--yes")
    assert git(top, "config", "merge.chores.driver") == "union %O %A %B\n"


@pytest.mark.parametrize("line", ["*.chores binary", "*.chores merge=ours", "*.chores -diff"])
@pytest.mark.parametrize("name", [".gitattributes", ".git/info/attributes"])
def test_attributes_of_somebody_else_are_left_and_named(top: Path, name: str, line: str) -> None:
    (top / name).write_text(f"{line}\n", "utf-8")
    result = besom("git-setup", "--yes")
    assert (result.exit_code, LINES[-1] in result.stdout) == (1, True)
    assert (top / name).read_text("utf-8") == f"{line}\n"
    assert (top / ".gitattributes").exists() == (name == ".gitattributes")


def test_attributes_behind_a_link_are_left_as_git_does_not_read_them(
    top: Path, tmp_path: Path
) -> None:
    (tmp_path / "shared").write_bytes(b"*.png binary\n")
    (top / ".gitattributes").symlink_to(tmp_path / "shared")
    assert besom("git-setup", "--yes").exit_code == 1
    assert (tmp_path / "shared").read_bytes() == b"*.png binary\n"


@pytest.mark.parametrize("where", ["outside", "tracked"])
def test_hooks_that_are_not_the_repositorys_alone_are_left(
    top: Path, tmp_path: Path, where: str
) -> None:
    hooks = tmp_path / "hooks" if where == "outside" else top / "hooks"
    hooks.mkdir()
    git(top, "config", "core.hooksPath", str(hooks) if where == "outside" else "hooks")
    result = besom("git-setup", "--yes")
    assert result.exit_code == 1
    assert "not this repository's alone" in " ".join(result.stdout.split())
    assert list(hooks.iterdir()) == []
    (hooks / "pre-commit").write_text(f"#!/bin/sh\n{CHECK}\n", "utf-8")
    (hooks / "pre-commit").chmod(0o755)
    assert besom("git-setup").exit_code == 0


def test_hooks_moved_within_gits_own_folder_are_written_and_taken_back(top: Path) -> None:
    git(top, "config", "core.hooksPath", ".git/checks")
    before = everything(top)
    set_up_here()
    assert (top / ".git" / "checks" / "pre-commit").is_file()
    besom("git-setup", "--undo", "--yes")
    assert everything(top) == before


# --------------------------------------------------------------------------------- wrong places


def test_setup_outside_of_a_repository_ends_with_2_and_advice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stand_alone(monkeypatch, tmp_path)
    monkeypatch.setenv("GIT_CEILING_DIRECTORIES", str(tmp_path.parent))
    result = besom("git-setup", str(tmp_path))
    assert (result.exit_code, result.stdout) == (2, "")
    assert "in no git repository; begin one with `git init`" in " ".join(result.stderr.split())


def test_setup_without_git_ends_with_2_and_advice(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    result = besom("git-setup")
    assert (result.exit_code, result.stdout) == (2, "")
    assert "git cannot be run here; install git" in " ".join(result.stderr.split())


def test_setup_of_a_repository_without_a_work_tree_ends_with_2(top: Path) -> None:
    result = besom("git-setup", ".git")
    assert (result.exit_code, "work tree" in result.stderr) == (2, True)


@pytest.mark.parametrize("data", [b"\xff", b"[1]", b'[{"kind": "hook"}]', b'{"a": 1}'])
def test_note_that_is_not_ours_ends_with_2_and_nothing_is_done(top: Path, data: bytes) -> None:
    (top / ".git" / "besom-setup.json").write_bytes(data)
    before = everything(top)
    for words in (["--yes"], ["--undo", "--yes"]):
        result = besom("git-setup", *words)
        assert (result.exit_code, "delete it to begin anew" in " ".join(result.stderr.split())) == (
            2,
            True,
        )
    assert everything(top) == before


def test_settings_that_git_may_not_write_end_with_2(top: Path) -> None:
    (top / ".git" / "config.lock").write_bytes(b"")
    repository = repository_of(top)
    with pytest.raises(GitFault, match="could not lock config"):
        set_up(repository, steps_of(repository))


# -------------------------------------------------------------------------------- what git does


def changed(top: Path, before: str, after: str) -> None:
    book = top / "home.chores"
    text = book.read_text("utf-8")
    assert before in text
    book.write_text(text.replace(before, after), "utf-8")


def headers(top: Path) -> list[str]:
    lines = git(top, "diff", "-U0").splitlines()
    return [line.split(" @@")[1].strip() for line in lines if line.startswith("@@")]


SECTIONS = [
    "every day", "every weekday", "weekend 1, 3", "weekend last", "weekend 5 paused",
    'every 2 weeks on thursday from 2026-01-08 "Paper # and glass"', "14 days after done",
    "1 day after done within 2 days", "once from 2026-12-01 to 2026-12-20",
    "every april, october paused", "every\tmonday", "weekend  4", "2 times every 2 weeks",
]  # fmt: skip


@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_change_names_the_section_that_it_stands_in(top: Path, end: str) -> None:
    book = top / "home.chores"
    chores = [f"    chore-{letter}  5 min{end}" for letter in "abcdefghijklm"]
    pairs = zip(SECTIONS, chores, strict=True)
    text = "".join(f"{section}{end}    # a tag{end}{chore}{end}" for section, chore in pairs)
    book.write_bytes(text.encode())
    git(top, "commit", "-q", "-a", "-m", "All kinds of sections")
    set_up_here()
    book.write_bytes(text.replace("5 min", "6 min").encode())
    assert headers(top) == SECTIONS


def test_change_below_a_setting_a_name_or_a_record_names_none_of_these(top: Path) -> None:
    lines = [
        "weekend is saturday, sunday", "week starts monday", "person noor", "limit weekday 1 h",
        "days school every friday", "rest 2026-03-02", "2026-03-02 did oven", "2026 days",
        "    every-day  5 min", "# every day", "everyday",
    ]  # fmt: skip
    book = top / "home.chores"
    book.write_text("".join(f"{line}\n\nx\n" for line in lines), "utf-8")
    git(top, "commit", "-q", "-a", "-m", "No sections")
    set_up_here()
    book.write_text("".join(f"{line}\n\ny\n" for line in lines), "utf-8")
    named = headers(top)
    # `2026 days` is no line of a book either; the others begin no section.
    assert set(named) == {"", "2026 days"}
    assert named[:7] == [""] * 7


WORDS = [
    ("oven  40 min", "oven  45 min", "[-40-]{+45+}"),
    ("oven  40 min", "oven  1 h 40 min", "{+1 h+}"),
    ("oven  40", "hob-and-oven  40", "[-oven-]{+hob-and-oven+}"),
    ('"Oven, hob and hood"', '"Oven, hob and hearth"', "[-hood-]{+hearth+}"),
    ('"Oven, hob', '"Öfen, hob', "[-Oven-]{+Öfen+}"),
    ("in kitchen  ", "in kitchen, living  ", "{+, living+}"),
]


@pytest.mark.parametrize(("before", "after", "marked"), WORDS)
def test_difference_by_words_marks_the_least_that_reads_well(
    top: Path, before: str, after: str, marked: str
) -> None:
    set_up_here()
    changed(top, before, after)
    (line,) = (
        line for line in git(top, "diff", "--word-diff", "-U0").splitlines() if marked in line
    )
    assert line.count("[-") + line.count("{+") == marked.count("[-") + marked.count("{+")


def two_changes(top: Path, here: tuple[str, str], there: tuple[str, str]) -> None:
    """The repository as two people leave it: each with a change of their own."""
    git(top, "add", "-A")
    git(top, "commit", "-q", "--no-verify", "--allow-empty", "-m", "Set up")
    git(top, "checkout", "-q", "-b", "theirs")
    changed(top, *there)
    git(top, "commit", "-q", "--no-verify", "-a", "-m", "Theirs")
    git(top, "checkout", "-q", "main")
    changed(top, *here)
    git(top, "commit", "-q", "--no-verify", "-a", "-m", "Ours")


def test_conflict_that_besom_marks_stays_as_besom_marked_it(top: Path) -> None:
    set_up_here()
    two_changes(top, ("oven  40 min", "oven  45 min"), ("oven  40 min", "oven  35 min"))
    done = tried(top, "merge", "-q", "theirs")
    assert (done.returncode, "besom: home.chores: 1 conflict at line" in done.stderr) == (1, True)
    assert (top / "home.chores").read_text("utf-8").count("<<<<<<<") == 1


def test_merge_of_two_changes_to_one_line_is_besoms(top: Path) -> None:
    set_up_here()
    two_changes(
        top, ("oven  40 min", "oven  45 min"), ('in kitchen  "Oven', 'in kitchen  by noor  "Oven')
    )
    git(top, "merge", "-q", "theirs")
    merged = (top / "home.chores").read_text("utf-8")
    assert '    oven  45 min  in kitchen  by noor  "Oven, hob and hood"\n' in merged


@pytest.mark.parametrize("script", [None, "exit 1", "exit 2", "kill -9 $$"])
def test_merge_that_besom_cannot_make_is_gits_with_marks_and_loses_nothing(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, script: str | None
) -> None:
    set_up_here()
    two_changes(top, ("oven  40 min", "oven  45 min"), ("oven  40 min", "oven  35 min"))
    if script is None:
        stand_alone(monkeypatch, tmp_path, with_besom=False)
    else:
        (tmp_path / "programs" / "besom").write_text(f"#!/bin/sh\n{script}\n", "utf-8")
    assert tried(top, "merge", "-q", "theirs").returncode == 1
    merged = (top / "home.chores").read_text("utf-8")
    assert "<<<<<<< ours\n    oven  45 min" in merged
    assert merged.count("=======\n    oven  35 min") == 1
    assert HOME.splitlines()[0] in merged


@pytest.mark.parametrize("with_besom", [True, False])
@pytest.mark.parametrize("size", [3, 7, 12])
def test_marks_of_any_size_that_an_attribute_asks_for_are_known_again(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, size: int, with_besom: bool
) -> None:
    set_up_here()
    with (top / ".gitattributes").open("a", encoding="utf-8") as file:
        file.write(f"*.chores conflict-marker-size={size}\n")
    two_changes(top, ("oven  40 min", "oven  45 min"), ("oven  40 min", "oven  35 min"))
    if not with_besom:
        stand_alone(monkeypatch, tmp_path, with_besom=False)
    assert tried(top, "merge", "-q", "theirs").returncode == 1
    marks = [line for line in (top / "home.chores").read_text("utf-8").splitlines()
             if line[:3] in ("<<<", "===", ">>>")]  # fmt: skip
    assert [len(line.split()[0]) for line in marks] == [max(size, 7)] * 3
    said = besom("lint", "--only", "unfinished-merge").stdout
    assert said.count("[unfinished-merge]") == 1


@pytest.mark.parametrize("odd", [b"# \x00 %d\n", b"# \xe9 %d\n"])
@pytest.mark.parametrize("with_besom", [True, False])
def test_sides_that_are_no_text_are_a_conflict_for_git_and_ours_is_kept(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, odd: bytes, with_besom: bool
) -> None:
    set_up_here()
    book = top / "home.chores"
    git(top, "add", "-A")
    git(top, "commit", "-q", "--no-verify", "-m", "Set up")
    git(top, "checkout", "-q", "-b", "theirs")
    book.write_bytes(HOME.encode() + odd % 1)
    git(top, "commit", "-q", "--no-verify", "-a", "-m", "Theirs")
    git(top, "checkout", "-q", "main")
    book.write_bytes(odd % 2 + HOME.encode())
    git(top, "commit", "-q", "--no-verify", "-a", "-m", "Ours")
    if not with_besom:
        stand_alone(monkeypatch, tmp_path, with_besom=False)
    done = tried(top, "merge", "-q", "theirs")
    if with_besom or b"\x00" in odd:
        assert done.returncode == 1
        assert book.read_bytes() == odd % 2 + HOME.encode()
        assert "UU home.chores" in git(top, "status", "--porcelain")
    else:
        # Git itself takes what has no zero byte for text.
        assert book.read_bytes() == odd % 2 + HOME.encode() + odd % 1
