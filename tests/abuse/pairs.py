"""Each pair that must never meet, put to every face: does it say so, and does it part the two?

    python tests/abuse/pairs.py

For each two words of the table a book has two chores in one area that fall on one day, and one
with a choice of days. Prints a line for each row of the table and at the end how many of how many
said what they should; ends with 1 where one did not.
"""

from __future__ import annotations

import csv
import io
import json
import sys
from datetime import date
from itertools import product
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from click.testing import CliRunner

from ledger.cli.main import main
from ledger.household.cautions import HAZARDS
from ledger.household.dangerous_pairs import DANGERS, Danger
from ledger.household.things import LAST_WORD, danger

sys.path.insert(0, str(Path(__file__).parents[1]))
from lsp_client import Client

ON = "2026-03-01"
"""A Sunday: the last day of its week."""
FORCED = """\
since 2026-03-01
area b
every day
    one    5 min  in b  uses {one}
    other  5 min  in b  uses {other}
"""
FREE = FORCED.replace("since 2026-03-01", "since 2026-03-02").replace("every day", "every week")
MONDAY = "2026-03-02"


def said(folder: str, command: str, *words: str, on: str = ON) -> str:
    """What a command prints of the book in a folder, on one line."""
    found = CliRunner().invoke(main, [command, folder, "--on", on, *words], prog_name="besom")
    if isinstance(found.exception, Exception):
        raise found.exception
    return found.stdout


def is_told(text: str, row: Danger) -> bool:
    """True where a text says what a pair does, who says so, and what comes before it."""
    text = " ".join(text.replace("\\", "").split())
    return row.gives in text and row.source in text and LAST_WORD.rstrip(".") in text


def is_above(text: str, row: Danger) -> bool:
    """True where that stands above the lines of both chores."""
    start = text.index("Never on one day") if "Never on one day" in text else len(text)
    lines = [text.find(f"\n  {name}  ") for name in ("one", "other")]
    return is_told(text, row) and all(place < 0 or start < place for place in lines)


def forced(folder: str, row: Danger) -> dict[str, bool]:
    """What each face says where the book has both on one day."""
    due, week = (
        json.loads(said(folder, "due", "--as", "json")),
        said(folder, "week", "--as", "json"),
    )
    days: list[Any] = json.loads(week)["days"]
    rows = list(csv.DictReader(io.StringIO(said(folder, "due", "--as", "csv"))))
    weeks = list(csv.DictReader(io.StringIO(said(folder, "week", "--as", "csv"))))
    some = json.loads(said(folder, "due", "--minutes", "30", "--as", "json"))
    return {
        "due": is_above(said(folder, "due"), row),
        "due --minutes": is_above(said(folder, "due", "--minutes", "30"), row),
        "picks one": len(some["pick"]["picked"]) == 1 and len(some["apart"]) == 1,
        "week": is_above(said(folder, "week"), row),
        "due json": len(due["apart"]) == 1 and is_told(json.dumps(due["apart"]), row),
        "week json": [len(day["apart"]) for day in days] == [0] * 6 + [1],
        "due csv": all(is_told(" ".join(one.values()), row) for one in rows) and len(rows) == 2,
        "week csv": all(is_told(" ".join(one.values()), row) for one in weeks) and len(weeks) == 2,
        "markdown": is_told(said(folder, "due", "--as", "markdown"), row),
        "lint": is_told(said(folder, "lint"), row) and "error: " in said(folder, "lint"),
    }


def free(folder: str) -> dict[str, bool]:
    """Whether the two are parted where the book leaves a choice of days."""
    days = json.loads(said(folder, "week", "--as", "json", on=MONDAY))["days"]
    some = json.loads(said(folder, "due", "--minutes", "30", "--as", "json", on=MONDAY))
    return {
        "week parts": all(not day["apart"] and len(day["tasks"]) < 2 for day in days),
        "pick parts": [one["reason"] for one in some["pick"]["left"]] == ["apart"],
    }


def hovered(client: Client, path: Path, one: str, other: str) -> dict[str, bool]:
    """Whether the editor shows the caution of both words with source and last word."""
    text = path.read_text("utf-8").split("\n")
    told = []
    for line, word in ((3, one), (4, other)):
        answer = client.at("hover", path, line, text[line].index(word) + 1)
        value = " ".join(answer["contents"]["value"].replace("\\", "").split())
        hazard = HAZARDS[word]
        told.append(all(part in value for part in (hazard.caution, hazard.source, LAST_WORD)))
    return {"hover": all(told)}


def run() -> int:
    """Put every pair to every face; 1 where one did not say what it should."""
    count: dict[str, list[int]] = {}
    with TemporaryDirectory() as name:
        path = Path(name) / "home.chores"
        path.write_text(FORCED, "utf-8")
        with Client(Path(name)) as client:
            client.open(path)
            version = 1
            for row in DANGERS:
                of_row: dict[str, list[int]] = {}
                for one, other in product(sorted(row.one), sorted(row.other)):
                    if danger(one, other) is not row:
                        continue
                    answers: dict[str, bool] = {}
                    path.write_text(FREE.format(one=one, other=other), "utf-8")
                    answers |= free(name)
                    path.write_text(FORCED.format(one=one, other=other), "utf-8")
                    answers |= forced(name, row)
                    version += 1
                    client.retype(path, version, path.read_text("utf-8"))
                    answers |= hovered(client, path, one, other)
                    for face, answer in answers.items():
                        of_row.setdefault(face, [0, 0])[not answer] += 1
                        if not answer:
                            print(f"    no: {one} and {other}: {face}", flush=True)
                tell(f"{min(row.one)} / {min(row.other)}: {row.gives}", of_row)
                for face, (yes, no) in of_row.items():
                    known = count.setdefault(face, [0, 0])
                    count[face] = [known[0] + yes, known[1] + no]
    print("\nAll pairs", date.today().isoformat())
    for face, (yes, no) in count.items():
        print(f"  {face:14} yes {yes:5}  no {no}")
    return int(any(no for _, no in count.values()))


def tell(what: str, of_row: dict[str, list[int]]) -> None:
    """One line for a row of the table."""
    words = max((sum(both) for both in of_row.values()), default=0)
    bad = [face for face, (_, no) in of_row.items() if no]
    print(f"{what}: {words} pairs of words, {'all yes' if not bad else 'no: ' + ', '.join(bad)}")


if __name__ == "__main__":
    raise SystemExit(run())
