"""Calls of all commands with their words cut, doubled, swapped and made strange.

    python tests/abuse/calls.py [--runs 17000] [--seed 1]

Each runs in a forked child over a scratch copy of the example. Prints how they ended, and every
call that left a traceback or a raw control, waited or took long, and every wrong call that was
told more than 80 columns in a line. Run by hand: it takes half an hour. The suite makes a few.
"""

from __future__ import annotations

import argparse
import os
import random
import shlex
import shutil
import subprocess
import tempfile
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from forked import Outcome, call, load_all

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "quarry-lane"
ON = "2026-11-25"
ANEW = 200
"""Calls until the scratch copy is made anew: some calls write in it."""

SOUND = """\
areas home --on sunday --as csv
chore oven home --on 2026-03-04 --as json
compare HEAD home --as markdown
compare home/home.chores home/2026.chores --on 2026-11-25 --as json
did oven 35 --book home --by noor --note clean
did wash-up 12 make-beds --by edie --book home/2026.chores --on yesterday --as json
due home --on friday --in kitchen --for tam --minutes 30 --as csv
explain overlap --as markdown
format home --check
format --diff home/home.chores
format - --name home
git-setup home --dry-run
git-setup home --undo --yes
holidays GB-ENG 2026 2027 --name bank-days
holidays united kingdom england
language-server --on today
lighten home --moves 3 --on 2026-11-25 --as diff
lint home --only overlap --without missing-area --fail-on error --as sarif
lint --fix drift home/home.chores
lint home --staged --since HEAD --as json
merge --print home/home.chores home/home.chores home/2026.chores --ours a --theirs b
merge home/home.chores home/home.chores home/home.chores --marker-size 9 --path x
ahead home --weeks 8 --as svg
paper week home --on friday --for tam --page A5 --as pdf -o week.pdf
paper week home --each person --large --steps --font home --template home/home.chores -o week.png
round --book home
review home --weeks 4 --on yesterday --as markdown
week home --on monday --for tam --in kitchen --as json"""

CONTROLS = (
    "\x1b[31mred", "\x1b]0;title\x07", "\x9b31m", "a\u202eb", "\u2066x", "two\nlines", "a\rb",
    "\x7f", "\udcff\udcfe", "\ufeffoven", "a\u2028b", "\x85",
    "o\u0301\u0301\u0301\u0301\u0301\u0301\u0301",
)  # fmt: skip
PATHS = (
    "", ".", "home", "nowhere", "home/home.chores/x", "./home//.", "/dev/null", "/dev/zero",
    "/dev/full", "/dev/stdin", "-", "--", "/proc/self/mem", "pipe.chores", "gone.chores",
    "round.chores", "x" * 300, "x/" * 3000, "-home", "home\\home.chores", "~", "*.chores",
    "HEAD:home", ":home", "HEAD~9", "@{-1}", "file:///home", "home/", "empty",
)  # fmt: skip
DAYS = (
    "today", "tomorrow", "0000-00-00", "0001-01-01", "9999-12-31", "10000-01-01", "2026-02-29",
    "2026-2-3", "friday", "fri", "FRIDAY", "-1", "2026-W10", "٢٠٢٦-٠٣-٠٤", "20260304", "now",
    " 2026-03-04 ",
)  # fmt: skip
NUMBERS = (
    "0", "1", "-1", "99999999999999999999", "1e9", "0x10", "１２", "٣", "½", "nan", "1.5", "520",
    "521", "1440", " 7 ", "min", "35min", "2h",
)  # fmt: skip
NAMES = (
    "oven", "ovne", "OVEN", "печь", "窓", "مطبخ", "שלום", "🧹", "zo\u0308e", "a" * 20_000, "'",
    '"', "`", "%s", "{0}", "\\", "#", ",", "by", "$(id)", "noor", "kitchen", "and, by", "to",
    "—",
)  # fmt: skip
OPTIONS = (
    "--on", "--as", "--for", "--in", "--by", "--note", "--book", "--weeks", "--moves",
    "--minutes", "--only", "--without", "--fail-on", "--fix", "--staged", "--since", "--name",
    "--check", "--diff", "--print", "--path", "--marker-size", "--ours", "--theirs", "--help",
    "-h", "--version", "--on=", "--as=xml", "-x", "--o", "--helpp", "---", "--undo",
    "--dry-run", "--\x1b[31m", "--\u202eno",
)  # fmt: skip
STRANGE = (CONTROLS, PATHS, DAYS, NUMBERS, NAMES, OPTIONS)
TAKES = {
    "--on": DAYS, "--weeks": NUMBERS, "--moves": NUMBERS, "--minutes": NUMBERS, "--for": NAMES,
    "--in": NAMES, "--by": NAMES, "--note": NAMES + CONTROLS, "--book": PATHS, "--since": PATHS,
    "--marker-size": NUMBERS, "--name": CONTROLS, "--path": CONTROLS, "--ours": CONTROLS,
}  # fmt: skip
"""The strange values that come near to what an option takes."""


def make_scratch(folder: Path) -> None:
    """A repository with a copy of the example in `home`, and strange files beside it."""
    shutil.copytree(EXAMPLE, folder / "home")
    (folder / "empty").mkdir()
    os.mkfifo(folder / "pipe.chores")
    (folder / "gone.chores").symlink_to("nothing")
    (folder / "round.chores").symlink_to("round.chores")
    git = ("git", "-c", "user.name=x", "-c", "user.email=x@example.org")
    for words in (("init", "-q"), ("add", "home"), ("commit", "-qm", "x", "--no-verify")):
        subprocess.run([*git, *words], cwd=folder, check=True)


def mangled(chance: random.Random) -> list[str]:
    """A call with a strange value, or up to six of its words cut, doubled, swapped or glued."""
    words = shlex.split(chance.choice(SOUND.splitlines()))
    valued = [at for at, word in enumerate(words[:-1]) if word in TAKES]
    if valued and chance.random() < 0.6:
        at = chance.choice(valued)
        words[at + 1] = chance.choice(TAKES[words[at]])
        if chance.random() < 0.6:
            return words
    for _ in range(chance.choice((1, 1, 1, 2, 3, 6))):
        at = chance.randrange(len(words))
        match chance.randrange(7):
            case 0 if len(words) > 1:
                del words[at]
            case 1:
                words.insert(at, words[at])
            case 2:
                other = chance.randrange(len(words))
                words[at], words[other] = words[other], words[at]
            case 3:
                words[at] += chance.choice(chance.choice(STRANGE))
            case 4:
                words.insert(at, chance.choice(chance.choice(STRANGE)))
            case _:
                # The command itself is spared more often than not, or little else is tried.
                words[at or -1] = chance.choice(chance.choice(STRANGE))
    return [word.replace("\0", "") for word in words]


def outcomes(runs: int, seed: int) -> Iterator[Outcome]:
    """What came of so many calls; the same seed gives the same calls."""
    chance = random.Random(seed)
    load_all()
    given = (EXAMPLE / "home.chores").read_bytes()
    for first in range(0, runs, ANEW):
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            make_scratch(folder)
            for _ in range(min(ANEW, runs - first)):
                terminal = chance.random() < 0.3
                yield call(mangled(chance), folder, given, terminal)


def alone() -> None:
    """Let git know of nothing but the scratch folder. Colours, which are controls of our own, have
    tests of their own."""
    os.environ |= {"NO_COLOR": "1", "HOME": tempfile.gettempdir(), "GIT_CONFIG_NOSYSTEM": "1"}
    os.environ |= {"GIT_CEILING_DIRECTORIES": tempfile.gettempdir()}


def tell(found: Iterator[Outcome], shown: int = 20) -> bool:
    """Print how calls ended, and the first of those with a fault. True where any has one but for
    slowness: a machine may be busy."""
    codes: Counter[int] = Counter()
    faults: Counter[str] = Counter()
    worst = 0.0
    for one in found:
        codes[one.code] += 1
        worst = max(worst, one.seconds)
        for fault in one.faults:
            faults[fault] += 1
            if faults[fault] <= shown:
                print(f"{fault}: {one.words!r:.300} {one.seconds:.1f} s")
                print(*one.err.decode("utf-8", "replace").splitlines()[-3:], sep="\n", end="\n\n")
    ended = ", ".join(f"{count:,} with {code}" for code, count in sorted(codes.items()))
    print(f"{codes.total():,} calls: {ended}; the slowest took {worst:.1f} s")
    for fault in ("traceback", "raw controls", "wide lines", "hangs", "takes all memory", "slow"):
        print(f"{fault:<18}{faults[fault]:>7,}")
    return bool(faults.keys() - {"slow"})


def main() -> None:
    """Run as often as asked, and print what came of it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--runs", type=int, default=17_000)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    alone()
    raise SystemExit(tell(outcomes(options.runs, options.seed)))


if __name__ == "__main__":
    main()
