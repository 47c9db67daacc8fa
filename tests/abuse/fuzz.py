"""Fuzzing: any bytes through the reader, the formatter, the merge and the editor's cache.

    python tests/abuse/fuzz.py TARGET [--seconds 600] [--seed 1]

Guided by coverage where atheris is installed (pip install atheris), else by chance. Starts from
the corpus of the format. Ends with the bytes that failed, if any did, and prints how many ran.
"""

from __future__ import annotations

import argparse
import random
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ledger.text.finding import Finding

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

CORPUS = ROOT / "grammar" / "conformance"
PARTED = b"\n=====\n"
"""What parts the texts of a target that takes several."""
TODAY = date(2026, 3, 4).toordinal()


def read(data: bytes) -> None:
    """Read, resolve, lint and print the findings; the same bytes come back."""
    from ledger.lint.book import LintedBook
    from ledger.lint.engine import lint
    from ledger.render.findings_text import findings_text
    from ledger.text.source import Source
    from ledger.workspace import read_sources

    source = Source.decode("a.chores", data)
    assert source.encode() == data
    workspace = read_sources([source])
    book = LintedBook(workspace.trees, workspace.household.on(TODAY))
    findings_text(lint(book, workspace.findings), 1, len(source.lines))


def form(data: bytes) -> None:
    """Format, which raises where that would change what is said or does not settle at once."""
    from ledger.text.formatter import formatted, is_formatted
    from ledger.text.reader import Reader
    from ledger.text.source import Source

    tree = Reader().read(Source.decode("a.chores", data))
    assert (formatted(tree) == tree.source.text) == is_formatted(tree) or tree.source.has_mark


def merge(data: bytes) -> None:
    """Merge three texts; without a conflict, no line that a side has added is lost."""
    from ledger.text.source import Source
    from ledger.versions.merge import merge as merged

    texts = [*data.split(PARTED), b"", b"", b""][:3]
    base, ours, theirs = (Source.decode("a.chores", text) for text in texts)
    result = merged(base, ours, theirs)
    if ours.text == theirs.text and not result.conflicts:
        assert sorted(filter(str.strip, result.source.lines)) == sorted(
            filter(str.strip, ours.lines)
        )


def keep(data: bytes) -> None:
    """Read one text after the other as an editor does; the last as if it was the first."""
    from ledger.cache import HouseholdCache
    from ledger.text.source import Source
    from ledger.workspace import read_sources

    keeper = HouseholdCache()
    for text in data.split(PARTED):
        source = Source.decode("a.chores", text)
        kept, fresh = keeper.read([source]), read_sources([source])
        assert kept.household == fresh.household
        # A line that did not change may be known from the text as it was before.
        assert list(map(told, kept.findings)) == list(map(told, fresh.findings))


def told(finding: Finding) -> tuple[object, ...]:
    """What a finding says, and of which words."""
    place = finding.place
    return place[1:], place.text, finding.rule, finding.message, finding.why, finding.fix


TARGETS: dict[str, Callable[[bytes], None]] = {
    "read": read,
    "format": form,
    "merge": merge,
    "keep": keep,
}


def seeds() -> list[bytes]:
    """The books of the corpus, and some of them behind each other."""
    books = [path.read_bytes() for path in sorted(CORPUS.rglob("*.chores"))]
    return books + [PARTED.join(books[n : n + 3]) for n in range(0, len(books), 3)]


def mangled(data: bytes, others: Sequence[bytes], dice: random.Random) -> bytes:
    """A text with a few bytes, words or lines changed, doubled, taken away or brought in."""
    for _ in range(dice.randint(1, 4)):
        cut = dice.choice([b"\n", b" ", None])
        parts = data.split(cut) if cut else [data[n : n + 1] for n in range(len(data))]
        at = dice.randrange(len(parts) + 1)
        other = dice.choice(others).split(cut or b"\n")
        new = dice.choice([[], parts[at : at + 2] * 2, [dice.choice(other)], [dice.randbytes(1)]])
        data = (cut or b"").join([*parts[:at], *new, *parts[at + dice.randint(0, 2) :]])
    return data


def by_chance(target: Callable[[bytes], None], seconds: float, seed: int) -> int:
    """Run mangled books of the corpus through a target; how many there were."""
    dice, books = random.Random(seed), seeds()
    end, runs = time.monotonic() + seconds, 0
    while time.monotonic() < end:
        data = mangled(dice.choice(books), books, dice)
        try:
            target(data)
        except Exception:
            print(f"failed after {runs} runs on {data!r}")
            raise
        runs += 1
    return runs


def by_coverage(name: str, seconds: int, seed: int) -> None:
    """Run what atheris makes of the corpus through a target; it prints how many there were."""
    import atheris

    with atheris.instrument_imports(include=["ledger"]):
        import ledger.cache
        import ledger.lint.engine
        import ledger.render.findings_text
        import ledger.text.formatter
        import ledger.versions.merge  # noqa: F401
    folder = Path(tempfile.mkdtemp(prefix="besom-fuzz-"))
    for number, book in enumerate(seeds()):
        (folder / str(number)).write_bytes(book)
    words = [f"-max_total_time={seconds}", f"-seed={seed}", "-max_len=4096", "-print_final_stats=1"]
    atheris.Setup([sys.argv[0], *words, str(folder)], TARGETS[name])
    atheris.Fuzz()


def main() -> None:
    """Fuzz one target."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("target", choices=TARGETS)
    parser.add_argument("--seconds", type=int, default=600)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--chance", action="store_true", help="by chance, atheris or not")
    given = parser.parse_args()
    try:
        if not given.chance:
            by_coverage(given.target, given.seconds, given.seed)
            return
    except ModuleNotFoundError as missing:
        if missing.name != "atheris":
            raise
    runs = by_chance(TARGETS[given.target], given.seconds, given.seed)
    print(f"{given.target}: {runs} runs in {given.seconds} s, none failed")


if __name__ == "__main__":
    main()
