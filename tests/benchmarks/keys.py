"""How long an editor waits for the language server, in a household of ten years.

    python tests/benchmarks/keys.py [--keys 200] [--hour]

Each figure is of one session over the wire: from a key typed in the routine to what is found,
and to a completion. The yardstick is one reading and linting of it all in the same run. With
`--hour`, memory after a minute's worth of keys and after an hour's, at five keys a second.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median

from households import span, write_household

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from lsp_client import Client, InProcess

YEARS, CHORES, PEOPLE = 10, 45, 3
KEYS_A_SECOND = 5
TYPED = ("  # tidy as you go", "  uses broom", "  in kitchen", "  by noor")


class Hand:
    """A hand that types behind the chores of a routine, one after the other, and clears up."""

    def __init__(self, client: Client, path: Path) -> None:
        self.client, self.path = client, path
        self.text = path.read_text("utf-8")
        self.lines = self.text.split("\n")
        self.rows = [n for n, line in enumerate(self.lines) if line.startswith("    ")]
        self.version = 1

    def keys(self) -> Iterator[tuple[int, int, str]]:
        """Line, column and letter of each key, for ever."""
        while True:
            for row in self.rows:
                for words in TYPED:
                    for place, letter in enumerate(words):
                        yield row, len(self.lines[row]) + place, letter
                    self.clear()

    def clear(self) -> None:
        """Put back what was there before."""
        self.version += 1
        self.client.retype(self.path, self.version, self.text)

    def press(self, row: int, column: int, letter: str) -> None:
        """Type one letter."""
        self.version += 1
        where = {"line": row, "character": column}
        change = {"range": {"start": where, "end": where}, "text": letter}
        self.client.change(self.path, self.version, change)

    def wait(self) -> None:
        """Wait until it is told what is found in the text as it is now."""
        self.client.found(self.path, self.version)


def milliseconds(done: Callable[[], object]) -> float:
    """How long something takes."""
    begun = time.perf_counter()
    done()
    return (time.perf_counter() - begun) * 1000


def whole(folder: Path, day: int) -> object:
    """The household read and linted from nothing."""
    from ledger.lint.book import Book
    from ledger.lint.engine import lint
    from ledger.workspace import read_household

    workspace = read_household([folder])
    return lint(Book(workspace.trees, workspace.household, day), workspace.findings)


def resident(client: Client) -> float:
    """Megabytes of memory that the server holds (Linux only)."""
    assert isinstance(client.server, InProcess)
    pages = Path(f"/proc/{client.server.process.pid}/statm").read_text("utf-8").split()[1]
    return int(pages) * 4096 / 1e6


def report(label: str, times: list[float], yardstick: float) -> None:
    """Print a row: median, worst, and the median as a part of the yardstick."""
    part = median(times) / yardstick
    print(f"{label:<34}{median(times):>8.1f} ms{max(times):>9.1f} ms{part:>8.3f}")


def waits(hand: Hand, count: int, yardstick: float) -> None:
    """Time keys until what is found is told, then keys until a completion is."""
    to_findings, to_completion = list[float](), list[float]()
    for key, _ in zip(hand.keys(), range(count), strict=False):

        def typed(key: tuple[int, int, str] = key) -> None:
            hand.press(*key)
            hand.wait()

        to_findings.append(milliseconds(typed))
    hand.clear()
    for (row, column, letter), _ in zip(hand.keys(), range(count), strict=False):

        def asked(row: int = row, column: int = column, letter: str = letter) -> None:
            hand.press(row, column, letter)
            hand.client.at("completion", hand.path, row, column + 1)

        to_completion.append(milliseconds(asked))
        hand.wait()
    hand.clear()
    report("key to findings", to_findings, yardstick)
    report("key to completion", to_completion, yardstick)


def memory(hand: Hand) -> None:
    """Print what the server holds after a minute's worth of keys and after an hour's."""
    minute, hour = 60 * KEYS_A_SECOND, 3600 * KEYS_A_SECOND
    held = dict.fromkeys((0, minute, hour), 0.0)
    held[0] = resident(hand.client)
    for number, key in zip(range(1, hour + 1), hand.keys(), strict=False):
        hand.press(*key)
        hand.wait()
        if number in held:
            held[number] = resident(hand.client)
    growth = held[hour] / held[minute]
    print(
        f"memory: {held[0]:.0f} MB at first, {held[minute]:.0f} MB after {minute} keys, "
        f"{held[hour]:.0f} MB after {hour}: {growth:.2f} times"
    )


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else None)
    options.add_argument("--keys", type=int, default=200)
    options.add_argument("--hour", action="store_true")
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "home"
        write_household(folder, chores=CHORES, years=YEARS, people=PEOPLE)
        last = span(YEARS)[1]
        yardstick = median(milliseconds(lambda: whole(folder, last.toordinal())) for _ in range(5))
        print(f"read and linted from nothing: {yardstick:.0f} ms, the yardstick")
        with Client(folder, str(last), InProcess) as client:
            hand = Hand(client, folder / "home.chores")
            client.open(hand.path)
            hand.clear()
            waits(hand, given.keys, yardstick)
            if given.hour:
                memory(hand)


if __name__ == "__main__":
    main()
