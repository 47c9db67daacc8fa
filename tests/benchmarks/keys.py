"""How long an editor waits for the language server, in a household of ten years.

    python tests/benchmarks/keys.py [--keys 200] [--times 4] [--hour] [--memory 20000]

Each figure is of one session over the wire: from a key typed to what is found, to a completion,
and to what is told of a chore and of a header. Keys are typed in the routine and in the record,
there at the end, in the middle and at the start of the file, those after which the line can be
read apart from those after which it is half typed. `--times N` puts so many years into the record
file that is open. The yardstick is one reading and linting of it all in the same run. With
`--hour`, memory after a minute's worth of keys and after an hour's, at five keys a second; with
`--memory N`, after N keys in the record.
"""

import argparse
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from statistics import median

from households import span, write_household

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from lsp_client import Client, InProcess

YEARS, CHORES, PEOPLE = 10, 45, 3
KEYS_A_SECOND = 5
FIRST_KEYS = 300
TYPED = ("  # tidy as you go", "  uses broom", "  in kitchen", "  by noor")
RECORDED = ("did wash-up 12 min by noor", 'did bins, sweep "late"', "skipped sheets # ill")
Key = tuple[int, int, str]
"""Line, column and letter of a key."""


class Hand:
    """A hand that types in one text of an editor, and clears up."""

    def __init__(self, client: Client, path: Path) -> None:
        self.client, self.path = client, path
        self.text = path.read_text("utf-8")
        self.lines = self.text.split("\n")
        self.version = 1
        client.open(path)
        # Not the first that is told of the text, which is read from nothing.
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

    def pressed(self, row: int, column: int, letter: str) -> float:
        """How long a letter takes until it is told what is found."""

        def typed() -> None:
            self.press(row, column, letter)
            self.wait()

        return milliseconds(typed)


def routine_keys(hand: Hand) -> Iterator[Key]:
    """Keys behind the chores of a routine, one chore after the other, for ever."""
    rows = [n for n, line in enumerate(hand.lines) if line.startswith("    ")]
    while True:
        for row in rows:
            for words in TYPED:
                for place, letter in enumerate(words):
                    yield row, len(hand.lines[row]) + place, letter
                hand.clear()


def record_keys(hand: Hand, row: int) -> Iterator[Key]:
    """Keys of new lines of the record below a line, each typed from its date on, for ever."""
    date = hand.lines[row][:10]
    while True:
        for words in RECORDED:
            yield row, len(hand.lines[row]), "\n"
            for place, letter in enumerate(f"{date} {words}"):
                yield row + 1, place, letter
            hand.clear()


def milliseconds(done: Callable[[], object]) -> float:
    """How long something takes."""
    begun = time.perf_counter()
    done()
    return (time.perf_counter() - begun) * 1000


def whole(folder: Path, day: int) -> object:
    """The household read and linted from nothing."""
    from ledger.homes import read_household
    from ledger.lint.book import LintedBook
    from ledger.lint.engine import lint

    workspace = read_household([folder])
    return lint(LintedBook(workspace.trees, workspace.household.on(day)), workspace.findings)


def resident(client: Client) -> float:
    """Megabytes of memory that the server holds (Linux only)."""
    assert isinstance(client.server, InProcess)
    pages = Path(f"/proc/{client.server.process.pid}/statm").read_text("utf-8").split()[1]
    return int(pages) * 4096 / 1e6


def report(label: str, times: list[float], yardstick: float) -> None:
    """Print a row: median, worst, and the median as a part of the yardstick."""
    part = median(times) / yardstick
    print(f"{label:<34}{median(times):>8.1f} ms{max(times):>9.1f} ms{part:>8.3f}")


def routine(hand: Hand, count: int, yardstick: float) -> None:
    """Time keys in the routine until what is found is told, then until a question is answered."""
    keys = routine_keys(hand)
    found = [hand.pressed(*key) for key, _ in zip(keys, range(count), strict=False)]
    hand.clear()
    report("routine: key to findings", found, yardstick)
    headers = {n: header for header, n in below_headers(hand)}
    for what, method, place in (
        ("completion", "completion", lambda row, column: (row, column + 1)),
        ("hover on the chore", "hover", lambda row, _: (row, 4)),
        ("hover on the header", "hover", lambda row, _: (headers[row], 0)),
    ):
        answered = list[float]()
        for (row, column, letter), _ in zip(keys, range(count), strict=False):

            def asked(row: int = row, column: int = column, letter: str = letter) -> None:
                hand.press(row, column, letter)
                hand.client.at(method, hand.path, *place(row, column))  # noqa: B023

            answered.append(milliseconds(asked))
            hand.wait()
        hand.clear()
        report(f"routine: key to {what}", answered, yardstick)
    report("routine: chore made unreadable", list(unreadable(hand)), yardstick)


def below_headers(hand: Hand) -> Iterator[tuple[int, int]]:
    """The header of each line of a routine, and the line."""
    header = 0
    for number, line in enumerate(hand.lines):
        header = header if line.startswith(" ") else number
        yield header, number


def unreadable(hand: Hand) -> Iterator[float]:
    """Time the key that makes a chore unreadable, for each chore."""
    for row, line in enumerate(hand.lines):
        if line.startswith("    "):
            hand.pressed(row, len(line), " ")
            yield hand.pressed(row, len(line) + 1, "?")
            hand.clear()


def record(hand: Hand, count: int, yardstick: float) -> None:
    """Time keys in the record, at its end, in its middle and at its start."""
    rows = [n for n, line in enumerate(hand.lines) if line[:1].isdigit()]
    for where, row in (("end", rows[-1]), ("middle", rows[len(rows) // 2]), ("start", rows[0])):
        half, read = list[float](), list[float]()
        typed = ""
        for key, _ in zip(record_keys(hand, row), range(count), strict=False):
            typed = "" if key[2] == "\n" else typed + key[2]
            times = read if not typed or is_read(typed) else half
            times.append(hand.pressed(*key))
        hand.clear()
        report(f"record, {where}: half typed", half, yardstick)
        report(f"record, {where}: can be read", read, yardstick)


def is_read(line: str) -> bool:
    """True for a line of the record that can be read."""
    from ledger.text.reader import Reader
    from ledger.text.source import Source

    return bool(Reader().read(Source("", line)).record.numbers)


def memory(hand: Hand, keys: Iterator[Key], counts: Sequence[int]) -> None:
    """Print what the server holds after some counts of keys."""
    held = {0: resident(hand.client)}
    for number, key in zip(range(1, counts[-1] + 1), keys, strict=False):
        hand.pressed(*key)
        if number in counts:
            held[number] = resident(hand.client)
    hand.clear()
    told = ", ".join(f"{size:.0f} MB after {count} keys" for count, size in held.items())
    print(f"memory: {told}: {held[counts[-1]] / held[counts[0]]:.2f} times")


def joined(folder: Path, times: int) -> Path:
    """The record file of the last year, with those of the years before it put into it."""
    *_, last = years = sorted(folder.glob("2*.chores"))[-times:]
    text = "".join(path.read_text("utf-8") for path in years)
    for path in years:
        path.unlink()
    last.write_text(text, "utf-8")
    return last


def main() -> None:
    """Measure and print."""
    options = argparse.ArgumentParser(description=__doc__.split("\n")[0] if __doc__ else None)
    options.add_argument("--keys", type=int, default=200)
    options.add_argument("--times", type=int, default=1)
    options.add_argument("--hour", action="store_true")
    options.add_argument("--memory", type=int, metavar="KEYS")
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as scratch:
        folder = Path(scratch) / "home"
        write_household(folder, chores=CHORES, years=YEARS, people=PEOPLE)
        file = joined(folder, given.times)
        last = span(YEARS)[1]
        yardstick = median(milliseconds(lambda: whole(folder, last.toordinal())) for _ in range(5))
        print(f"read and linted from nothing: {yardstick:.0f} ms, the yardstick")
        with Client(folder, str(last), InProcess) as client:
            hand = Hand(client, folder / "home.chores")
            routine(hand, given.keys, yardstick)
            if given.hour:
                minute = 60 * KEYS_A_SECOND
                memory(hand, routine_keys(hand), (minute, 60 * minute))
            hand = Hand(client, file)
            print(f"{file.name}: {len(hand.lines)} lines")
            record(hand, given.keys, yardstick)
            if given.memory:
                row = max(n for n, line in enumerate(hand.lines) if line)
                memory(hand, record_keys(hand, row), (FIRST_KEYS, given.memory))


if __name__ == "__main__":
    main()
