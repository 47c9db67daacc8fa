"""Git: the books of a revision and of the index are those of the folder, under the same names."""

from __future__ import annotations

import os
import subprocess
from pathlib import Path

import pytest

from ledger.git.books import GitFault, homes_at, is_revision, staged_homes, top_of
from ledger.git.setup import steps_of
from ledger.git.setup_record import repository_of
from ledger.git.texts import hook_text
from ledger.homes import Home
from ledger.text.source import Source
from ledger.workspace import WorkspaceFault, find_books, load_source

BOOK = "area kitchen\n\nevery day\n    wash-up  15 min  in kitchen\n"


def git(folder: Path, *words: str) -> None:
    who = {"GIT_AUTHOR_NAME": "noor", "GIT_AUTHOR_EMAIL": "noor@example.org"}
    who |= {"GIT_COMMITTER_NAME": "noor", "GIT_COMMITTER_EMAIL": "noor@example.org"}
    environment = {**os.environ, **who, "GIT_CONFIG_GLOBAL": os.devnull}
    subprocess.run(["git", *words], cwd=folder, env=environment, check=True, capture_output=True)


@pytest.fixture
def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A repository with books of all kinds of names, committed; the current folder."""
    top = tmp_path / "our höme"
    (top / "flat" / "more").mkdir(parents=True)
    (top / "flat" / ".drafts").mkdir()
    for name in ("home.chores", "flat/a b.chores", "flat/öl.chores", "flat/more/2026.chores"):
        (top / name).write_text(f"# {name}\n{BOOK}", "utf-8")
    (top / "flat" / "[x]*.chores").write_bytes(b"\xef\xbb\xbfarea kitchen\r\n# \xff\n")
    (top / "flat" / "notes.txt").write_text("no book", "utf-8")
    (top / "flat" / ".drafts" / "old.chores").write_text(BOOK, "utf-8")
    (top / "flat" / "link.chores").symlink_to("öl.chores")
    git(top, "init", "-q", "-b", "main")
    git(top, "add", "-A")
    git(top, "commit", "-q", "-m", "Begin")
    monkeypatch.chdir(top)
    return top


def sources_at(revision: str, path: Path) -> list[Source]:
    """The books that a path asks for, as of a revision."""
    return asked(homes_at(revision, [path]))


def staged_sources(path: Path) -> list[Source]:
    """The books that a path asks for, as they are staged."""
    return asked(staged_homes([path]))


def asked(homes: list[Home]) -> list[Source]:
    return [source for home in homes for source in home.asked_sources()]


def in_folder(path: Path) -> list[Source]:
    """The books of a folder as commands read them, less links, which git does not follow."""
    return [load_source(book) for book in find_books([path]) if not book.is_symlink()]


@pytest.mark.parametrize("name", [".", "flat", "flat/more", "flat/../flat", "flat/a b.chores"])
def test_books_of_the_last_commit_and_of_the_index_are_those_of_the_folder(
    repository: Path, name: str
) -> None:
    (repository / "flat" / "link.chores").unlink()
    wanted = in_folder(Path(name))
    assert wanted
    assert sources_at("HEAD", Path(name)) == staged_sources(Path(name)) == wanted
    absolute = sources_at("main", repository / name)
    assert [source.text for source in absolute] == [source.text for source in wanted]


def test_a_name_is_no_pattern(repository: Path) -> None:
    (found,) = sources_at("HEAD", Path("flat/[x]*.chores"))
    assert found == load_source(Path("flat/[x]*.chores"))


def test_paths_count_from_the_current_folder(
    repository: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(repository / "flat" / "more")
    assert [source.path for source in sources_at("HEAD", Path())] == ["2026.chores"]
    assert [source.path for source in sources_at("HEAD", Path(".."))][:1] == ["../[x]*.chores"]
    assert top_of(Path()) == repository


def test_the_index_is_neither_the_folder_nor_the_last_commit(repository: Path) -> None:
    book = Path("home.chores")
    book.write_text("staged\n", "utf-8")
    git(repository, "add", "home.chores")
    book.write_text("in the folder\n", "utf-8")
    (staged,), (committed,) = staged_sources(book), sources_at("HEAD", book)
    assert staged.text == "staged\n"
    assert committed.text.startswith("# home.chores\n")


def test_a_folder_that_is_gone_is_read_as_it_was(repository: Path) -> None:
    before = sources_at("HEAD", Path("flat/more"))
    git(repository, "rm", "-r", "-q", "flat/more")
    git(repository, "commit", "-q", "-m", "Tidy")
    assert sources_at("HEAD~1", Path("flat/more")) == before
    assert sources_at("HEAD", Path("flat/more")) == staged_sources(Path("flat/more")) == []


def test_a_book_of_an_unfinished_merge_is_not_staged(repository: Path) -> None:
    for branch, text in (("other", "theirs\n"), ("main", "ours\n")):
        git(repository, "checkout", "-q", *(["-b"] if branch == "other" else []), branch)
        Path("home.chores").write_text(text, "utf-8")
        git(repository, "commit", "-q", "-a", "-m", text.strip())
    with pytest.raises(subprocess.CalledProcessError):
        git(repository, "merge", "-q", "other")
    assert staged_sources(Path("home.chores")) == []
    assert len(staged_sources(Path())) == 4


@pytest.mark.parametrize("name", ["HEAD", "main", "HEAD^{tree}"])
def test_what_git_knows_is_a_revision(repository: Path, name: str) -> None:
    assert is_revision(name, Path())


@pytest.mark.parametrize("name", ["mian", "HEAD~9", "--all", "-h", "", "home.chores", "HEAD:home"])
def test_what_git_does_not_know_is_none(repository: Path, name: str) -> None:
    assert not is_revision(name, Path())
    with pytest.raises(GitFault, match="is no revision that git knows here"):
        sources_at(name, Path())


def test_outside_of_a_repository_the_fault_says_so(tmp_path: Path) -> None:
    with pytest.raises(WorkspaceFault, match="in no git repository"):
        sources_at("HEAD", tmp_path)
    assert not is_revision("HEAD", tmp_path)


def test_without_git_the_fault_says_what_to_do(
    repository: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PATH", "")
    with pytest.raises(GitFault, match="install git, or give folders and files"):
        staged_sources(Path())
    with pytest.raises(GitFault, match="git cannot be run here"):
        sources_at("HEAD", Path())


# ----------------------------------------------------------------- a repository from somebody else


@pytest.fixture
def ran(repository: Path, tmp_path: Path) -> Path:
    """What is there once a program has run that the repository's settings name."""
    ran, program = tmp_path / "ran", tmp_path / "program"
    program.write_text(f"#!/bin/sh\necho \"$0 $*\" >> '{ran}'\nexit 1\n", "utf-8")
    program.chmod(0o755)
    with (repository / ".gitattributes").open("w", encoding="utf-8") as file:
        file.write("*.chores diff=x filter=x merge=x\n")
    for name in (
        "core.fsmonitor", "core.sshCommand", "core.pager", "core.editor", "core.askPass",
        "core.alternateRefsCommand", "credential.helper", "gpg.program", "diff.external",
        "diff.x.command", "diff.x.textconv", "filter.x.clean", "filter.x.smudge",
        "filter.x.process", "merge.x.driver", "remote.origin.uploadpack",
    ):  # fmt: skip
        git(repository, "config", name, str(program))
    return ran


def fetching_from(repository: Path, url: str) -> None:
    """Let the repository be a partial clone that lacks what `home.chores` was at first."""
    for name, value in {
        "core.repositoryFormatVersion": "1",
        "extensions.partialClone": "origin",
        "remote.origin.promisor": "true",
        "remote.origin.url": url,
        "protocol.allow": "always",
        "protocol.ext.allow": "always",
    }.items():
        git(repository, "config", name, value)


def test_looking_at_what_git_has_runs_no_program_of_the_repository(
    repository: Path, ran: Path
) -> None:
    assert staged_sources(Path()) == sources_at("HEAD", Path())
    assert is_revision("HEAD", Path())
    assert len(steps_of(repository_of(Path()))) == 7
    assert not ran.exists()
    # Git by itself asks the program that is to watch the files.
    subprocess.run(["git", "ls-files"], cwd=repository, capture_output=True, check=False)
    assert ran.exists()


def test_committing_runs_no_watcher_of_the_repository_by_our_hook(
    repository: Path, ran: Path
) -> None:
    (call,) = (line for line in hook_text("besom").splitlines() if line.startswith("git -c "))
    attributes = Path(".gitattributes").read_bytes()
    # A filter of contents would be run here, by git's own `rm` and not by ours.
    Path(".gitattributes").unlink()
    git(repository, "-c", "core.fsmonitor=false", "rm", "-q", "--cached", "home.chores")
    Path(".gitattributes").write_bytes(attributes)
    call = call.removesuffix(" &&")
    done = subprocess.run(["sh", "-c", call], cwd=repository, capture_output=True, check=False)
    assert (done.returncode, ran.exists()) == (1, False)
    unguarded = call.replace("-c core.fsmonitor=false ", "")
    subprocess.run(["sh", "-c", unguarded], cwd=repository, capture_output=True, check=False)
    assert ran.exists()


@pytest.mark.parametrize("url", ["ext::PROGRAM x", "ssh://example.invalid/x", "/nowhere/home"])
def test_text_that_a_partial_clone_lacks_is_not_fetched_but_told(
    repository: Path, ran: Path, url: str
) -> None:
    name = subprocess.run(
        ["git", "-c", "core.fsmonitor=false", "rev-parse", "HEAD:home.chores"],
        cwd=repository, capture_output=True, check=True, encoding="ascii",
    ).stdout.strip()  # fmt: skip
    fetching_from(repository, url.replace("PROGRAM", str(ran.with_name("program"))))
    (repository / ".git" / "objects" / name[:2] / name[2:]).unlink()
    with pytest.raises(GitFault, match=f"^home.chores: git does not have its text here.*{name}"):
        sources_at("HEAD", Path())
    assert not ran.exists()
    if "nowhere" not in url:
        subprocess.run(["git", "cat-file", "-p", name], capture_output=True, check=False)
        assert ran.exists()


def test_path_may_end_in_a_line_feed(tmp_path: Path) -> None:
    top = tmp_path / "home\n"
    top.mkdir()
    git(top, "init", "-q")
    (top / "home.chores").write_text(BOOK, "utf-8")
    git(top, "add", "-A")
    assert top_of(top) == top
    assert [source.text for source in staged_sources(top)] == [BOOK]
    assert repository_of(top).note == top / ".git" / "besom-setup.json"
