"""How many small faults in the code the tests notice, and which they do not.

    python tests/mutants.py ledger/text [--count 50] [--seed 1] [--seconds 60] [--tests 'test_*.py']

Each fault is put alone into a copy of the project, and the test files run that run its line.
Which lines a test file runs is found out once, by coverage, and kept in the temporary folder until
the code or that file changes. Lines that run in a process of their own are not seen.
"""

from __future__ import annotations

import argparse
import ast
import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path
from queue import SimpleQueue
from typing import NamedTuple

from coverage import CoverageData
from mutations import Site, difference, mutant, sites

ROOT = Path(__file__).resolve().parents[1]
PROCESSES = 2
PYTEST = ("-m", "pytest", "-x", "-q", "-p", "no:cacheprovider", "--hypothesis-seed=0")
MAP_LIMIT = 600
"""Seconds that a test file may take to be mapped."""


class Mapped(NamedTuple):
    """What a test file runs."""

    digest: str
    """Of the file, as it was mapped."""
    passed: bool
    seconds: float
    lines: Mapping[str, Sequence[int]]
    """Lines that it runs, by the file that has them."""


class Mutant(NamedTuple):
    """A module with a small fault."""

    module: str
    text: str
    changed: str
    site: Site


class Outcome(NamedTuple):
    """What became of a mutant."""

    mutant: Mutant
    killed: bool
    files: int
    """How many test files ran."""
    seconds: float


class Copies:
    """Copies of the project, each for one process at a time."""

    def __init__(self, folder: Path) -> None:
        self._free: SimpleQueue[Path] = SimpleQueue()
        for number in range(PROCESSES):
            copy = folder / str(number) / "project"
            left_out = shutil.ignore_patterns(".git", ".venv", "__pycache__", ".*_cache", "dist")
            shutil.copytree(ROOT, copy, ignore=left_out, symlinks=True)
            self._free.put(copy)

    @contextmanager
    def one(self) -> Iterator[Path]:
        """A copy that nobody else uses."""
        copy = self._free.get()
        try:
            yield copy
        finally:
            self._free.put(copy)


def passes(copy: Path, words: Sequence[str], limit: float) -> bool:
    """True where a Python program ends well within so many seconds, with the code of a copy."""
    # A fault may write where nothing should: not into the home folder of who looks for it.
    home = copy.parent / "home"
    home.mkdir(exist_ok=True)
    settings = {"PYTHONPATH": str(copy), "PYTHONDONTWRITEBYTECODE": "1", "HOME": str(home)}
    process = subprocess.Popen(
        [sys.executable, *words, f"--basetemp={copy.parent / 'temporary'}"],
        cwd=copy,
        env={**os.environ, **settings},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        start_new_session=True,
    )
    try:
        return process.wait(limit) == 0
    except subprocess.TimeoutExpired:
        # What a test has begun goes with it.
        os.killpg(process.pid, signal.SIGKILL)
        process.wait()
        return False


def mapped(tests: Sequence[str], copies: Copies, pool: ThreadPoolExecutor) -> dict[str, Mapped]:
    """What each test file runs; known from an earlier call where nothing has changed since."""
    kept = Path(tempfile.gettempdir()) / f"besom-lines-{digest(ROOT.glob('ledger/**/*.py'))}.json"
    known = json.loads(kept.read_text("utf-8")) if kept.exists() else {}
    found = {name: Mapped(*values) for name, values in known.items()}
    new = [
        name
        for name in tests
        if name not in found or found[name].digest != digest([ROOT / "tests" / name])
    ]
    for name, one in zip(new, pool.map(lambda name: mapping(name, copies), new), strict=True):
        found[name] = one
        print(f"mapped {name}: {one.seconds:.0f} s{'' if one.passed else ', FAILS, left out'}")
        kept.write_text(json.dumps(found), "utf-8")
    return {name: found[name] for name in tests if found[name].passed}


def mapping(name: str, copies: Copies) -> Mapped:
    """What one test file runs."""
    with copies.one() as copy:
        data = copy.parent / "coverage"
        data.unlink(missing_ok=True)
        measured = ("-m", "coverage", "run", f"--data-file={data}", "--rcfile=", "--source=ledger")
        begin = time.monotonic()
        passed = passes(copy, [*measured, *PYTEST, f"tests/{name}"], MAP_LIMIT)
        seconds = time.monotonic() - begin
        lines = {}
        if data.exists():
            read = CoverageData(str(data))
            read.read()
            for path in read.measured_files():
                lines[str(Path(path).relative_to(copy))] = sorted(read.lines(path) or ())
    return Mapped(digest([ROOT / "tests" / name]), passed, seconds, lines)


def digest(paths: Iterable[Path]) -> str:
    """A short text that stands for the names and contents of some files."""
    found = hashlib.sha256()
    for path in sorted(paths):
        found.update(str(path.relative_to(ROOT)).encode() + b"\0" + path.read_bytes() + b"\0")
    return found.hexdigest()[:16]


def drawn(target: Path, count: int, seed: int) -> tuple[list[Mutant], int]:
    """So many mutants of the modules at or below a path, and how many places there are."""
    modules = [target] if target.is_file() else sorted(target.rglob("*.py"))
    texts = {str(path.relative_to(ROOT)): path.read_text("utf-8") for path in modules}
    places = [(name, site) for name, text in texts.items() for site in sites(ast.parse(text))]
    random.Random(seed).shuffle(places)
    found: list[Mutant] = []
    for name, site in places:
        changed = mutant(texts[name], site)
        if changed is not None and len(found) < count:
            found.append(Mutant(name, texts[name], changed, site))
    return found, len(places)


def concerned(one: Mutant, known: Mapping[str, Mapped], seconds: float) -> list[str]:
    """The test files that run the line of a mutant. Those that run most of its module are taken
    until the seconds are spent, and the quickest of these is the first."""
    lines = {name: set(it.lines.get(one.module, ())) for name, it in known.items()}
    running = [name for name in known if not lines[name].isdisjoint(one.site.lines)]
    taken: list[str] = []
    for name in sorted(running, key=lambda name: (-len(lines[name]), known[name].seconds)):
        if not taken or sum(known[it].seconds for it in taken) + known[name].seconds <= seconds:
            taken.append(name)
    return sorted(taken, key=lambda name: known[name].seconds)


def tried(one: Mutant, known: Mapping[str, Mapped], copies: Copies, seconds: float) -> Outcome:
    """What becomes of a mutant. One that makes the tests take three times as long is killed."""
    files = concerned(one, known, seconds)
    begin = time.monotonic()
    killed = False
    if files:
        limit = 30 + 3 * sum(known[name].seconds for name in files)
        with copies.one() as copy:
            (copy / one.module).write_text(one.changed, "utf-8")
            killed = not passes(copy, [*PYTEST, *(f"tests/{name}" for name in files)], limit)
            (copy / one.module).write_text(one.text, "utf-8")
    return Outcome(one, killed, len(files), time.monotonic() - begin)


def report(outcomes: Sequence[Outcome]) -> None:
    """Print the share of mutants that were killed, and each that was not."""
    killed = sum(one.killed for one in outcomes)
    seconds = sum(one.seconds for one in outcomes) / max(1, len(outcomes))
    for one in outcomes:
        if not one.killed:
            line = one.mutant.site.node.lineno
            ran = f"{one.files} test files noticed nothing" if one.files else "no test runs it"
            print(f"\n{one.mutant.module}:{line}: {ran}")
            print("\n".join(difference(one.mutant.text, one.mutant.changed)))
    print(f"\nkilled {killed} of {len(outcomes)}, {seconds:.1f} s a mutant")


def main() -> None:
    """Draw mutants, try them and report."""
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawTextHelpFormatter
    )
    parser.add_argument("target", type=Path, help="a folder or a file below ledger/")
    parser.add_argument("--count", type=int, default=50, help="how many mutants to draw")
    parser.add_argument("--seed", type=int, default=1, help="which mutants to draw")
    parser.add_argument("--tests", default="test_*.py", help="the test files that may run")
    parser.add_argument("--seconds", type=float, default=60, help="of tests, at most, for a mutant")
    words = parser.parse_args()
    target: Path = words.target.resolve()
    if not (target.is_relative_to(ROOT / "ledger") and target.exists()):
        parser.error(f"{words.target}: is no folder or file below {ROOT / 'ledger'}")
    tests = sorted(path.name for path in (ROOT / "tests").glob(words.tests) if path.is_file())
    if not tests:
        parser.error(f"--tests {words.tests}: no file in {ROOT / 'tests'} is called so")
    mutants, places = drawn(target, words.count, words.seed)
    print(f"{len(mutants)} mutants, drawn from {places} places with seed {words.seed}")
    with tempfile.TemporaryDirectory(prefix="besom-mutants-") as folder:
        copies = Copies(Path(folder))
        with ThreadPoolExecutor(PROCESSES) as pool:
            known = mapped(tests, copies, pool)
            report([*pool.map(lambda one: tried(one, known, copies, words.seconds), mutants)])


if __name__ == "__main__":
    main()
