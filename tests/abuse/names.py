"""Strange files and folders through every command: what is no file, and names that are no words.

    python tests/abuse/names.py [--short]

Prints a line for each kind: how commands ended, and what was wrong. By root it also tries what a
person without rights meets. All of it takes minutes; the suite runs the short form.
"""

from __future__ import annotations

import argparse
import os
import shutil
import socket
import subprocess
import tempfile
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

from calls import EXAMPLE, ON, alone
from forked import HANGS, SLOW, Outcome, call, load_all

NOBODY = 65534

COMMANDS = (
    ("areas", "{}", "--on", ON), ("chore", "oven", "{}", "--on", ON, "--as", "json"),
    ("compare", "{}", "{}"), ("compare", "HEAD", "{}"), ("compare", "{}"),
    ("did", "oven", "3", "--book", "{}", "--on", ON), ("due", "{}", "--on", ON),
    ("due", "{}", "--on", ON, "--as", "csv"), ("explain", "{}"), ("format", "{}"),
    ("format", "--check", "{}"), ("format", "--diff", "{}"), ("git-setup", "{}", "--dry-run"),
    ("git-setup", "{}", "--yes"), ("git-setup", "{}", "--undo", "--yes"),
    ("lighten", "{}", "--on", ON), ("lighten", "{}", "--on", ON, "--as", "json"), ("lint", "{}"),
    ("lint", "{}", "--as", "json"), ("lint", "{}", "--as", "sarif"), ("lint", "--fix", "{}"),
    ("lint", "--staged", "{}"), ("lint", "--since", "HEAD", "{}"), ("lint", "-", "--name", "{}"),
    ("merge", "--print", "{}", "{}", "{}"), ("merge", "{}", "{}", "{}", "--path", "{}"),
    ("ahead", "{}", "--on", ON), ("ahead", "{}", "--on", ON, "--as", "svg"),
    ("review", "{}", "--on", ON, "--as", "markdown"), ("week", "{}", "--on", ON),
    ("{}",), ("due", "--{}"), ("due", "--on", "{}"), ("due", "--as", "{}"), ("due", "--for", "{}"),
)  # fmt: skip
"""Every command, with the strange name wherever a word of a person may stand."""

NAMES = {
    "plain": "house", "mixed": "\x1b[31m\x9bm\u202e\na: error\udcff",
    "escape": "\x1b[31mred\x1b]0;x\x07", "C1": "\x9b31m\x85", "bidi": "a\u202eb\u2066c",
    "newline": "two\nhome.chores:1:1: error", "return": "a\rb", "tab": "a\tb",
    "delete": "a\x7fb", "not UTF-8": "\udcff\udc9b31m", "line separator": "a\u2028b\u2029c",
    "byte order": "\ufeffa", "marks": "o" + "\u0301" * 80, "right to left": "שלום",
    "zero width": "a\u200bb\u2060c", "tags": "a\U000e0001\U000e0041", "dash": "-x",
    "blanks": "  a  b ", "quotes": "a'b\"c`d$e\\f", "percent": "%s{0}%(x)s", "long": "n" * 200,
    "markup": "[a](b)<c>|d*", "colon": "HEAD:x", "day": "today",
}  # fmt: skip


def fill(folder: Path, name: str) -> None:
    """A repository whose folder, and a file in it, have a name; one line is new and unshaped."""
    home = folder / name
    shutil.copytree(EXAMPLE, home)
    git = ("git", "-c", "user.name=x", "-c", "user.email=x@example.org")
    for words in (("init", "-q"), ("add", "."), ("commit", "-qm", "x", "--no-verify")):
        subprocess.run([*git, *words], cwd=home, check=True)
    (home / f"{name}.chores").write_text("every monday\n  polish 5 min by nobody\n", "utf-8")
    subprocess.run([*git, "add", "."], cwd=home, check=True)


def sock(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(str(path))


def sparse(path: Path) -> None:
    path.touch()
    os.truncate(path, 5 * 2**30)


def link_to_pipe(path: Path) -> None:
    os.mkfifo(path.with_name("pipe"))
    path.symlink_to("pipe")


def shut(path: Path) -> None:
    path.write_text("every day\n  cups 5 min\n", "utf-8")
    path.chmod(0)


def shut_folder(path: Path) -> None:
    path.mkdir()
    (path / "home.chores").touch()
    path.chmod(0)


def deep(path: Path) -> None:
    """Folders in folders, deeper than any path can say."""
    here = os.open(path.parent, os.O_RDONLY)
    for name in (path.name, *["d" * 20] * 1200):
        os.mkdir(name, dir_fd=here)
        below = os.open(name, os.O_RDONLY, dir_fd=here)
        os.close(here)
        here = below
    os.close(here)


KINDS: dict[str, Callable[[Path], None]] = {
    "pipe": os.mkfifo, "socket": sock, "sparse file of 5 GiB": sparse, "file shut": shut,
    "folder shut": shut_folder, "folder": Path.mkdir, "folders without end": deep,
    "link to nothing": lambda path: path.symlink_to("nothing"),
    "link to itself": lambda path: path.symlink_to(path.name),
    "link to a pipe": link_to_pipe,
    **{
        f"link to {device}": lambda path, to=device: path.symlink_to(to)  # type: ignore[misc]
        for device in ("/dev/zero", "/dev/full", "/dev/null", "/dev/stdin", "/proc/self/mem")
    },
}  # fmt: skip
"""What lies where a book should, made at a path."""

WORDS = (
    "/dev/zero", "/dev/full", "/dev/null", "/dev/stdin", "/dev/fd/0", "/dev/tty", "/proc/self/mem",
    "/proc/kmsg", "home/home.chores/x", "x" * 300, "x/" * 2500, "a\0b", "\ud800", "", "-", "--",
)  # fmt: skip
"""Paths to what is there already, or to nothing."""


def through(
    folder: Path, word: str, terminal: bool = False, commands: Sequence[Sequence[str]] = COMMANDS
) -> Iterator[Outcome]:
    """Every command, or some, with a strange word in its place."""
    for command in commands:
        words = [part.replace("{}", word) for part in command]
        yield call(words, folder, b"every day\n  cups 5 min\n", terminal, NOBODY)


Case = Callable[[Path], Iterator[Outcome]]


def short_cases() -> Iterator[tuple[str, Case]]:
    """One name of many faults on a terminal, and each kind of file before a few commands."""

    def named(folder: Path) -> Iterator[Outcome]:
        fill(folder, NAMES["mixed"])
        own(folder)
        yield from through(folder, f"./{NAMES['mixed']}", terminal=True)

    yield "name: mixed", named
    few = [command for command in COMMANDS if command[0] in ("did", "due", "merge")][:4]
    for said, make in KINDS.items():

        def there(folder: Path, make: Callable[[Path], None] = make) -> Iterator[Outcome]:
            fill(folder, "home")
            own(folder)
            make(folder / "home" / "x.chores")
            for word in ("home/x.chores", "home"):
                yield from through(folder, word, commands=few)

        yield f"file: {said}", there


def cases() -> Iterator[tuple[str, Case]]:
    """Each strange thing by a name, and what tries it in a folder that is new."""
    for said, name in NAMES.items():

        def named(folder: Path, name: str = name) -> Iterator[Outcome]:
            fill(folder, name)
            own(folder)
            for word in (name, f"{name}/{name}.chores", f"./{name}"):
                yield from through(folder, word)
            yield from through(folder, f"./{name}", terminal=True)
            yield from through(folder / name, f"./{name}.chores")

        yield f"name: {said}", named
    for said, make in KINDS.items():

        def there(folder: Path, make: Callable[[Path], None] = make) -> Iterator[Outcome]:
            fill(folder, "home")
            own(folder)
            make(folder / "home" / "x.chores")
            for word in ("home/x.chores", "home"):
                yield from through(folder, word)

        yield f"file: {said}", there
    for word in WORDS:

        def said_only(folder: Path, word: str = word) -> Iterator[Outcome]:
            fill(folder, "home")
            own(folder)
            yield from through(folder, word)

        yield f"word: {word!r:.24}", said_only


def own(folder: Path) -> None:
    """Give all of a folder to who will work in it; nobody may read a file that root has shut."""
    if os.geteuid() == 0:
        for path in (folder, *folder.rglob("*")):
            os.chown(path, NOBODY, NOBODY)


def tried(case: Case) -> list[Outcome]:
    """What came of a case, in a folder of its own that is gone afterwards."""
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as name:
        folder = Path(name)
        folder.chmod(0o755)
        try:
            return list(case(folder))
        finally:
            subprocess.run(["rm", "-rf", *map(str, folder.iterdir())], check=False)


def main() -> None:
    """Try all there is, and print a line for each. Ends with 1 for a fault, but for slowness: a
    machine may be busy."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--short", action="store_true")
    options = parser.parse_args()
    alone()
    load_all()
    faults: Counter[str] = Counter()
    calls = 0
    for name, case in short_cases() if options.short else cases():
        found = tried(case)
        calls += len(found)
        codes = Counter(one.code for one in found)
        wrong = Counter(fault for one in found for fault in one.faults)
        faults += wrong
        ended = "  ".join(f"{code}: {codes[code]:>3}" for code in (0, 1, 2))
        print(f"{name:<34}{ended}  {dict(wrong) or ''}", flush=True)
        for one in [one for one in found if one.faults][:3]:
            print(f"    {one.words!r:.200} {one.seconds:.1f} s, {one.code}, {one.raw!r:.60}")
            print("    ", one.err.decode("utf-8", "replace").splitlines()[-2:])
    print(f"{calls:,} calls, {dict(faults) or 'nothing wrong'} ({SLOW} s is slow, {HANGS} s hangs)")
    raise SystemExit(bool(faults.keys() - {"slow"}))


if __name__ == "__main__":
    main()
