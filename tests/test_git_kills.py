"""Git setup that is killed: whatever stands then, setting up again mends and undo takes it back."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from kills import killed_at
from repositories import begin, stand_alone
from test_cli import besom
from test_git_setup import BEGINNINGS, EXCLUDE, everything, set_up_here, states

from ledger.git.revert import revert, to_revert
from ledger.git.setup import set_up, steps_of
from ledger.git.setup_record import Repository, own_command, repository_of
from ledger.git.texts import hook_text

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="needs processes that fork")

MOST = 100
NOTE = Path(".git", "besom-setup.json")


@pytest.fixture
def top(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The top of a repository with one book; the current folder."""
    stand_alone(monkeypatch, tmp_path)
    folder = begin(tmp_path / "home")
    shutil.rmtree(folder / ".git" / "hooks")
    monkeypatch.chdir(folder)
    return folder


def setting_up(repository: Repository) -> None:
    set_up(repository, steps_of(repository))


def taking_back(repository: Repository) -> None:
    revert(repository)


def undo_here() -> None:
    result = besom("git-setup", "--undo", "--yes")
    assert (result.exit_code, result.stderr) == (0, "")
    assert "left" not in result.stdout


def restore(folder: Path, copy: Path) -> None:
    shutil.rmtree(folder)
    shutil.copytree(copy, folder, symlinks=True)
    os.chdir(folder)


def every_moment(top: Path, call: Callable[[Repository], None]) -> Iterator[int]:
    """The repository as each kill of a call leaves it, one after the other."""
    copy = top.with_name("as it was")
    shutil.copytree(top, copy, symlinks=True)
    for moment in range(MOST):
        if not killed_at(moment, lambda: call(repository_of(top))):
            return
        yield moment
        restore(top, copy)
    pytest.fail(f"more than {MOST} moments")


def test_undo_of_a_setup_that_was_killed_leaves_not_a_byte(top: Path) -> None:
    BEGINNINGS["with attributes of CRLF whose last line is open"](top)
    before = everything(top)
    moments = 0
    for moment in every_moment(top, setting_up):
        undo_here()
        assert everything(top) == before, moment
        moments += 1
    assert moments > 20


def test_setup_that_was_killed_is_made_whole_by_running_it_again(top: Path) -> None:
    before = everything(top)
    set_up_here()
    whole = everything(top)
    undo_here()
    for moment in every_moment(top, setting_up):
        set_up_here()
        after = everything(top)
        assert set(states(top).values()) == {"there"}
        assert {p: a for p, a in after.items() if p != str(NOTE)} == {
            p: w for p, w in whole.items() if p != str(NOTE)
        }, moment
        undo_here()
        assert everything(top) == before, moment


def test_undo_that_was_killed_is_finished_by_undo_and_set_right_by_setup(top: Path) -> None:
    before = everything(top)
    set_up_here()
    for moment in every_moment(top, taking_back):
        if moment % 2:
            set_up_here()
            assert set(states(top).values()) == {"there"}, moment
        undo_here()
        assert everything(top) == before, moment


# ------------------------------------------------------------------------- files that are cut off


def test_note_that_is_cut_off_anywhere_stops_neither_setup_nor_undo(top: Path) -> None:
    before = everything(top)
    set_up_here()
    whole = NOTE.read_bytes()
    for size in [0, 1, 2, *range(3, len(whole) - 2, 211), len(whole) - 2]:
        NOTE.write_bytes(whole[:size])
        shown = {one.name for one in to_revert(repository_of(top)) if not one.left}
        assert len(shown) == 7, size
        assert besom("git-setup").exit_code == 0
        assert {one.name for one in to_revert(repository_of(top))} == shown
        undo_here()
        # Whose folder it was may be among what was cut off; it is empty then.
        if (top / ".git" / "hooks").exists():
            (top / ".git" / "hooks").rmdir()
        assert everything(top) == before
        set_up_here()


def test_note_of_zero_bytes_is_one_that_was_cut_off(top: Path) -> None:
    set_up_here()
    NOTE.write_bytes(bytes(len(NOTE.read_bytes())))
    assert besom("git-setup").exit_code == 0
    assert NOTE.read_bytes().startswith(b"[")
    undo_here()
    assert not NOTE.exists()


def test_hook_of_ours_that_git_does_not_run_is_mended(top: Path) -> None:
    before = everything(top)
    set_up_here()
    whole = everything(top)
    hook = top / ".git" / "hooks" / "pre-commit"
    hook.chmod(0o644)
    assert "; ours, and not run by git\n" in besom("git-setup", "--dry-run").stdout
    set_up_here()
    assert everything(top) == whole
    undo_here()
    assert everything(top) == before


@pytest.mark.parametrize("size", [0, 9, 60, -1])
@pytest.mark.parametrize("again", [True, False])
def test_hook_of_ours_that_is_cut_off_is_mended_or_taken_back(
    top: Path, size: int, again: bool
) -> None:
    before = everything(top)
    set_up_here()
    whole = everything(top)
    hook = top / ".git" / "hooks" / "pre-commit"
    hook.write_text(hook_text(own_command())[:size], "utf-8")
    if again:
        assert "; ours, and cut off\n" in besom("git-setup", "--dry-run").stdout
        set_up_here()
        assert everything(top) == whole
    undo_here()
    assert everything(top) == before


def test_hook_that_is_cut_off_and_says_whose_it_is_needs_no_note(top: Path) -> None:
    set_up_here()
    hook = top / ".git" / "hooks" / "pre-commit"
    for size, state in ((60, "new"), (10, "theirs"), (0, "theirs")):
        NOTE.unlink(missing_ok=True)
        hook.write_text(hook_text(own_command())[:size], "utf-8")
        assert states(top)[".git/hooks/pre-commit"] == state


@pytest.mark.parametrize("again", [True, False])
@pytest.mark.parametrize("name", [".gitattributes", ".git/info/exclude"])
def test_lines_of_ours_that_are_cut_off_are_mended_or_taken_back(
    top: Path, name: str, again: bool
) -> None:
    (top / ".gitattributes").write_text("*.png binary\n", "utf-8")
    before = everything(top)
    set_up_here()
    whole = everything(top)
    data = (top / name).read_bytes()
    for cut in (5, 40):
        (top / name).write_bytes(data[:-cut])
        if again:
            set_up_here()
            assert everything(top)[name] == whole[name]
    undo_here()
    assert everything(top) == before


# ------------------------------------------------------------------------------- what is others'


def test_hook_that_somebody_wrote_since_a_setup_was_killed_is_left(top: Path) -> None:
    for _ in every_moment(top, setting_up):
        hook = top / ".git" / "hooks" / "pre-commit"
        if NOTE.exists() and not hook.exists():
            hook.parent.mkdir(exist_ok=True)
            hook.write_text("#!/bin/sh\nexit 1\n", "utf-8")
            undo_here()
            assert hook.read_text("utf-8") == "#!/bin/sh\nexit 1\n"


def test_lock_of_another_git_is_not_taken_for_one_of_ours(top: Path) -> None:
    lock = top / ".git" / "config.lock"
    lock.write_bytes((top / ".git" / "config").read_bytes())
    result = besom("git-setup", "--yes")
    assert (result.exit_code, "could not lock config file" in result.stderr) == (2, True)
    lock.unlink()
    set_up_here()
    lock.write_bytes((top / ".git" / "config").read_bytes())
    result = besom("git-setup", "--undo", "--yes")
    assert (result.exit_code, lock.exists()) == (2, True)
    lock.unlink()
    undo_here()


def test_system_without_second_names_of_files_is_set_up_too(
    top: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(1, "not here")

    before = everything(top)
    monkeypatch.setattr(os, "link", refuse)
    set_up_here()
    undo_here()
    assert everything(top) == before


# --------------------------------------------------------------------------- several work trees


def test_setup_and_undo_see_the_same_from_every_work_tree(
    top: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from repositories import git

    other = tmp_path / "beside"
    git(top, "worktree", "add", "-q", str(other))
    before = everything(top), everything(other)
    for first, second in ((top, other), (other, top)):
        monkeypatch.chdir(first)
        set_up_here()
        new = {name for name, state in states(second).items() if state == "new"}
        assert new == {".gitattributes"}
        monkeypatch.chdir(second)
        set_up_here()
        (first / "rooms").mkdir()
        monkeypatch.chdir(first / "rooms")
        undo_here()
        (first / "rooms").rmdir()
        assert (everything(top), everything(other)) == before
    monkeypatch.chdir(other)
    set_up_here()
    assert (other / ".gitattributes").is_file()
    monkeypatch.chdir(top)
    git(top, "worktree", "move", str(other), str(tmp_path / "moved"))
    undo_here()
    assert everything(tmp_path / "moved") == before[1] | {
        ".git": everything(tmp_path / "moved")[".git"]
    }


def test_line_that_excludes_is_shown_once_and_nothing_is_added_where_it_stands(top: Path) -> None:
    exclude = top / ".git" / "info" / "exclude"
    exclude.write_text("# ours\n.*.besom-new\n", "utf-8")
    assert states(top)[".git/info/exclude"] == "there"
    set_up_here()
    undo_here()
    assert exclude.read_text("utf-8") == "# ours\n.*.besom-new\n"
    shutil.rmtree(exclude.parent)
    before = everything(top)
    set_up_here()
    assert exclude.read_text("utf-8") == EXCLUDE
    undo_here()
    assert everything(top) == before


def test_file_of_what_is_excluded_that_others_share_is_left(top: Path, tmp_path: Path) -> None:
    exclude = top / ".git" / "info" / "exclude"
    exclude.unlink()
    (tmp_path / "shared").write_bytes(b"*.bak\n")
    exclude.symlink_to(tmp_path / "shared")
    result = besom("git-setup", "--yes")
    assert (
        result.exit_code,
        "add this line to it:\n          .*.besom-new\n" in result.stdout,
    ) == (
        1,
        True,
    )
    assert (tmp_path / "shared").read_bytes() == b"*.bak\n"
