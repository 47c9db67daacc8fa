"""How fast the book is, as ratios to yardsticks run at the same time on the same machine.

    python tests/benchmarks/run.py [--besom PATH] [--runs 15] [--readings 7]

Ratios travel from one machine to another where seconds do not. Each figure is a median; the
runs of a thing and of its yardstick take turns, so that a busy minute falls on both.
"""

import argparse
import gc
import json
import re
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from statistics import median
from typing import NamedTuple

from households import record_lines, records_as_json, span, write_household

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "quarry-lane"
EXAMPLE_DAY = "2026-11-20"
CHORES, PEOPLE = 45, 3
YEARS, MANY_YEARS = 10, 100
REPORTS = ("week", "review", "ahead", "lighten", "areas", "chore {chore}")
"""The reports besides `due`, as a person calls them."""

Timer = Callable[[], float]


class Row(NamedTuple):
    """One line of the table: what was measured, and what was wanted of it."""

    label: str
    figure: float
    unit: str
    wanted: float | None
    made_of: str


class Bench(NamedTuple):
    """What is measured, with what, and how often."""

    besom: Path
    python: Path
    runs: int
    readings: int
    folder: Path
    """Where the made-up households lie, as `years` and `many-years`."""


def read_record(paths: list[Path]) -> object:
    """The households under these paths, read from the disk and ready for questions."""
    from ledger.homes import read_household

    return read_household(paths)


# What a fresh process does, once, and prints in seconds or MiB.


def probe_reading(path: Path) -> float:
    """The seconds from a folder's bytes to a usable household."""
    # A few lines first: the package's own start-up, imports and tables, is measured with the
    # whole commands. Nothing of the household to be timed is met in them.
    with tempfile.TemporaryDirectory() as small:
        Path(small, "home.chores").write_text(
            "every day\n    rake 5 min\n\n2026-03-02 did rake\n", "utf-8"
        )
        read_record([Path(small)])
    gc.collect()
    start = time.perf_counter()
    record = read_record([path])
    taken = time.perf_counter() - start
    # Held until the clock has stopped, so that freeing it is not counted.
    del record
    return taken


def probe_json(path: Path) -> float:
    """The seconds `json.loads` takes for the text of a file, which it gets from memory."""
    text = path.read_text(encoding="utf-8")
    json.loads('[{"date":"2026-03-02"}]')
    gc.collect()
    start = time.perf_counter()
    record = json.loads(text)
    taken = time.perf_counter() - start
    del record
    return taken


def probe_memory(path: Path) -> float:
    """The most memory, in MiB, that a process had while it read a folder."""
    # A child's peak begins from its parent's size, so a process that has read nothing asks.
    probe(Path(sys.executable), "reading", path)
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss
    return peak / (2**20 if sys.platform == "darwin" else 2**10)


PROBES: Mapping[str, Callable[[Path], float]] = {
    "reading": probe_reading,
    "json": probe_json,
    "memory": probe_memory,
}


# What the run itself does: starts processes, takes medians, prints.


def probe(python: Path, name: str, path: Path) -> float:
    """The figure that one of the probes gives in a process of its own."""
    return float(output_of([str(python), __file__, "--probe", name, str(path)]))


def output_of(command: list[str], accepted: tuple[int, ...] = (0,)) -> str:
    """What a command prints; if it fails, the run ends with its complaint."""
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    # An uncaught exception also exits with 1, so the exit code alone does not tell.
    if done.returncode not in accepted or "Traceback" in done.stderr:
        raise SystemExit(f"exit {done.returncode} from {' '.join(command[1:])}\n{done.stderr}")
    return done.stdout


def whole(command: list[str], accepted: tuple[int, ...] = (0,)) -> Timer:
    """A timer of a whole command, from start to exit."""

    def timed() -> float:
        start = time.perf_counter()
        output_of(command, accepted)
        return time.perf_counter() - start

    return timed


def medians(timers: Mapping[str, Timer], runs: int) -> dict[str, float]:
    """The median of each timer, all taking turns, after one turn that does not count."""
    samples: dict[str, list[float]] = {name: [] for name in timers}
    for turn in range(runs + 1):
        # Up and down by turns, so that none always comes straight after the same other.
        for name in sorted(timers, reverse=turn % 2 == 1):
            taken = timers[name]()
            if turn:
                samples[name].append(taken)
    return {name: median(taken) for name, taken in samples.items()}


def whole_commands(bench: Bench) -> list[Row]:
    """Rows (a) and (c): what a person waits for, over a bare start of Python with click."""

    def due(folder: Path, day: str) -> Timer:
        # Exit 1 says that there is something to report, not that it failed.
        return whole([str(bench.besom), "due", "--on", day, str(folder)], accepted=(0, 1))

    last_day = span(YEARS)[1].isoformat()
    took = medians(
        {
            "click": whole([str(bench.python), "-c", "import click"]),
            "example": due(EXAMPLE, EXAMPLE_DAY),
            "years": due(bench.folder / "years", last_day),
        },
        bench.runs,
    )
    return [
        over("(a) due, quarry-lane / import click", took["example"], took["click"], 2.5),
        over("(c) due, ten years / import click", took["years"], took["click"], 5.0),
    ]


def reports(bench: Bench) -> list[Row]:
    """Row (f), one a report, and (g) lint: whole commands on ten years, over the bare start."""
    last_day, folder = span(YEARS)[1].isoformat(), bench.folder / "years"
    chore = min(re.findall(r"did ([^ ,]+)", next(iter(record_lines(folder)))))
    calls = {call.split()[0]: call.format(chore=chore).split() for call in (*REPORTS, "lint")}
    took = medians(
        {
            "click": whole([str(bench.python), "-c", "import click"]),
            **{
                name: whole([str(bench.besom), *words, str(folder), "--on", last_day], (0, 1))
                for name, words in calls.items()
            },
        },
        bench.runs,
    )
    rows = [
        over(f"(f) {name}, ten years / import click", took[name], took["click"], 8.0)
        for name in calls
        if name != "lint"
    ]
    return [*rows, over("(g) lint, ten years / import click", took["lint"], took["click"], 10.0)]


def readings(bench: Bench) -> list[Row]:
    """Rows (b), (d) and (e): reading alone, its growth with the record, and its memory."""
    years, many = bench.folder / "years", bench.folder / "many-years"
    text = bench.folder / "years.json"
    text.write_text(records_as_json(years), encoding="utf-8")
    took = medians(
        {
            "json": lambda: probe(bench.python, "json", text),
            "years": lambda: probe(bench.python, "reading", years),
            "many": lambda: probe(bench.python, "reading", many),
        },
        bench.readings,
    )
    peak = probe(bench.python, "memory", many)
    return [
        over("(b) reading ten years / json.loads", took["years"], took["json"], 2.0),
        over("(d) reading 750,000 / 75,000 lines", took["many"], took["years"], 11.0),
        Row("(e) peak memory, 750,000 lines", peak, " MiB", None, ""),
    ]


def over(label: str, taken: float, yardstick: float, wanted: float) -> Row:
    """The row of a ratio of two times."""
    made_of = f"{taken * 1000:.1f} ms / {yardstick * 1000:.1f} ms"
    return Row(label, taken / yardstick, "", wanted, made_of)


def table(rows: list[Row]) -> str:
    """The rows as aligned text, in order of their letters."""
    lines = [f"{'':<38}{'measured':>12}{'wanted':>10}  {'':<12}  medians"]
    for row in sorted(rows):
        verdict = wanted = ""
        if row.wanted is not None:
            verdict = "reached" if row.figure <= row.wanted else "not reached"
            wanted = f"<= {row.wanted:g}"
        figure = f"{row.figure:.{0 if row.unit else 2}f}{row.unit}"
        lines.append(f"{row.label:<38}{figure:>12}{wanted:>10}  {verdict:<12}  {row.made_of}")
    return "\n".join(line.rstrip() for line in lines)


def odd(text: str) -> int:
    """An odd number from the command line, so that a median is one of the runs."""
    number = int(text)
    if number < 1 or number % 2 == 0:
        raise argparse.ArgumentTypeError("give an odd number, so that one run is the median")
    return number


def measure(besom: Path, runs: int, few_runs: int) -> None:
    """Make the households, measure, and print the table."""
    with tempfile.TemporaryDirectory() as made:
        bench = Bench(besom, besom.with_name("python"), runs, few_runs, Path(made))
        for name, years in (("years", YEARS), ("many-years", MANY_YEARS)):
            folder = bench.folder / name
            write_household(folder, chores=CHORES, years=years, people=PEOPLE)
            print(f"{years} years: {sum(1 for _ in record_lines(folder)):,} lines of record")
        print(f"Python {sys.version.split()[0]}, {runs} runs of commands, {few_runs} of readings\n")
        print(table([*whole_commands(bench), *reports(bench), *readings(bench)]))


def main() -> None:
    """Measure everything, or be one of the processes that are measured."""
    parser = argparse.ArgumentParser(description="Measure besom against yardsticks.")
    # Not resolved: in a virtual environment python is a link, and must be called by it.
    beside = Path(sys.executable).with_name("besom")
    parser.add_argument("--besom", type=Path, default=beside, help="the command to measure")
    parser.add_argument("--runs", type=odd, default=15, help="runs of whole commands")
    parser.add_argument("--readings", type=odd, default=7, help="runs of reading alone")
    parser.add_argument("--probe", nargs=2, metavar=("NAME", "PATH"), help=argparse.SUPPRESS)
    asked = parser.parse_args()
    if asked.probe:
        name, path = asked.probe
        print(PROBES[name](Path(path)))
    elif not asked.besom.is_file() or not asked.besom.with_name("python").is_file():
        parser.error("--besom needs a command that has its python beside it")
    else:
        measure(asked.besom.absolute(), asked.runs, asked.readings)


if __name__ == "__main__":
    main()
