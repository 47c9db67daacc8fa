"""Cautions: wherever one is shown, who says so and what comes before it are shown too."""

from __future__ import annotations

import csv
import io
import json
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from lsp_client import Client
from test_cli import ROOT, besom

from ledger.household.cautions import ALL, HAZARDS
from ledger.household.dangerous_pairs import DANGERS
from ledger.household.things import LAST_WORD, mind
from ledger.lint.rules import RULES

ON = "2026-03-04"
FIRST = "2026-03-01"
"""The first day of the books below, and the last of its week."""
FORMS = ("text", "json", "csv", "markdown")
# A chore for each hazard, each in an area of its own, and two that must never meet.
HOME = "\n".join(
    [
        "since 2026-03-01",
        *(f"area a{n}" for n in range(len(ALL) + 1)),
        "every day",
        *(f"    c{n}  5 min  in a{n}  uses {one.words[0]}" for n, one in enumerate(ALL)),
        f"    one    5 min  in a{len(ALL)}  uses bleach",
        f"    other  5 min  in a{len(ALL)}  uses vinegar",
        "",
    ]
)
# What lint says of each: a pair, one line with both things, a hazard in another word.
FAULTS = """\
since 2026-03-01
area b
every day
    one    5 min  in b  uses bleach
    other  5 min  in b  uses vinegar
    both   5 min  in b  uses ammonia, mildew-remover
    paint  5 min  in b  uses strong-asbestos
"""


@pytest.fixture
def home(tmp_path: Path) -> str:
    (tmp_path / "home.chores").write_text(HOME, "utf-8")
    return str(tmp_path)


def plain(text: str) -> str:
    """A text without its line breaks, and without the signs by which Markdown, JSON and CSV escape
    others."""
    return " ".join(re.sub(r"\\(.)", r"\1", text).replace('""', '"').split())


def records(value: object) -> Iterator[dict[str, object]]:
    """All objects of a JSON document."""
    if isinstance(value, dict):
        yield value
        value = list(value.values())
    for inner in value if isinstance(value, list) else ():
        yield from records(inner)


def unsupported(text: str, form: str) -> list[str]:
    """Cautions, and what pairs do, that a face shows without source or last word."""
    if form == "json":
        return [
            str(one)
            for one in records(json.loads(text))
            if {"caution", "gives"} & one.keys()
            and not (one.get("source") and one.get("last_word") == LAST_WORD)
        ]
    if form == "csv":
        return [
            str(row)
            for row in csv.DictReader(io.StringIO(text))
            if (row["caution"] and not row["source"])
            or ((row["caution"] or row.get("never on one day")) and row["last word"] != LAST_WORD)
            or (row.get("never on one day") and "[" not in row["never on one day"])
        ]
    said = plain(text)
    found = [one.caution for one in ALL if one.caution in said and one.source not in said]
    found += [row.gives for row in DANGERS if f"two {row.gives}" in said and row.source not in said]
    return found + ([] if LAST_WORD in said else ["no last word"])


# ------------------------------------------------------------------------------------- the lists


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("command", ["due", "week"])
def test_list_shows_every_caution_with_its_source_and_the_last_word(
    home: str, command: str, form: str
) -> None:
    said = besom(command, home, "--on", ON, "--as", form).stdout
    assert unsupported(said, form) == []
    assert "give off chlorine gas" in plain(said)
    if form == "text":
        # The list has the words alone; what is known of each is a page of its own.
        things = re.search(r"Mind: (.*?)\.", plain(said))
        assert things is not None
        assert {one.words[0] for one in ALL} <= set(
            re.sub(r" \([^)]*\)", "", things[1]).split(", ")
        )
        pages = {one: besom("explain", one.words[0]).stdout for one in ALL}
    else:
        pages = dict.fromkeys(ALL, said)
    for one, page in pages.items():
        assert one.caution in plain(page)
        assert one.source in plain(page)
        assert LAST_WORD in plain(page) or form in ("json", "csv")


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("number", [0, 7, len(ALL) - 1])
def test_page_of_a_chore_shows_its_caution_with_source_and_last_word(
    home: str, form: str, number: int
) -> None:
    said = besom("chore", f"c{number}", home, "--on", ON, "--as", form).stdout
    assert unsupported(said, form) == []
    assert ALL[number].caution in plain(said)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize(
    "words",
    [("--in", "a0"), ("--minutes", "5"), ("--minutes", "1"), ("--in", "a0", "--minutes", "3")],
)
def test_no_shortening_hides_what_must_never_meet(
    home: str, form: str, words: tuple[str, ...]
) -> None:
    said = besom("due", home, "--on", ON, "--as", form, *words).stdout
    assert unsupported(said, form) == []
    assert re.search(r"\bone\b.*\bother\b", plain(said))
    assert "give off chlorine gas" in plain(said)


@pytest.mark.parametrize("form", FORMS)
def test_week_of_one_area_says_what_another_must_never_do(home: str, form: str) -> None:
    said = besom("week", home, "--on", ON, "--as", form, "--in", "a9").stdout
    assert unsupported(said, form) == []
    assert "give off chlorine gas" in plain(said)


def test_comment_that_allows_a_pair_hides_it_from_lint_alone(tmp_path: Path) -> None:
    text = FAULTS.replace("uses vinegar", "uses vinegar  # allow dangerous-pair: rinsed between")
    (tmp_path / "home.chores").write_text(text, "utf-8")
    assert '"other" vinegar' not in besom("lint", str(tmp_path), "--on", ON).stdout
    for command in ("due", "week"):
        said = besom(command, str(tmp_path), "--on", FIRST).stdout
        assert said.index("Never on one day") < said.index("\n  one")
        assert "one (bleach) and other (vinegar), both in b" in plain(said)
        assert "both (ammonia and mildew-remover)" in plain(said)


# ------------------------------------------------------------------------------------- the linter


@pytest.mark.parametrize("form", ["text", "json", "sarif"])
def test_findings_of_safety_name_source_and_last_word(tmp_path: Path, form: str) -> None:
    (tmp_path / "home.chores").write_text(FAULTS, "utf-8")
    said = plain(besom("lint", str(tmp_path), "--on", ON, "--as", form).stdout)
    pairs = ("bleach and vinegar give off chlorine gas", "ammonia and mildew-remover give off")
    for start in (*pairs, f"its caution is never shown: {HAZARDS['asbestos'].caution}"):
        why = said[said.index(start) :]
        why = why[: why.index(LAST_WORD.rstrip(".")) + len(LAST_WORD)]
        assert re.search(r" \([^)]*[A-Z][^)]*", why[: len(start) + 60]), why
    assert said.count(LAST_WORD.rstrip(".")) >= 3


def test_pages_of_the_rules_about_safety_end_with_the_last_word_and_where_the_sources_are() -> None:
    safety = [name for name, rule in RULES.items() if rule.is_safety]
    assert safety == ["dangerous-pair", "misspelt-hazard", "unstated-hazard"]
    pages = plain((ROOT / "grammar" / "RULES.md").read_text("utf-8"))
    for name in safety:
        for page in (besom("explain", name).stdout, pages[pages.index(f"## {name} ") :]):
            page = plain(page).split(" Bad: ")[0]
            assert LAST_WORD in page
            assert "`besom explain cautions`" in page


@pytest.mark.parametrize("form", ["text", "markdown"])
def test_table_of_cautions_has_every_word_and_every_pair_and_says_it_is_not_all(form: str) -> None:
    said = plain(besom("explain", "cautions", "--as", form).stdout)
    for one in ALL:
        stars = (f"{word}*" if word in one.everyday else word for word in one.words)
        assert ", ".join(stars) in said
        assert one.caution in said
        assert one.source in said
    for row in DANGERS:
        assert row.gives in said
        assert row.source in said
    assert "This list is not complete" in said
    assert LAST_WORD in said


# ------------------------------------------------------------------------------------- the editor


def test_editor_shows_cautions_with_source_and_last_word(tmp_path: Path) -> None:
    path = tmp_path / "home.chores"
    path.write_text(HOME, "utf-8")
    lines = HOME.split("\n")
    with Client(tmp_path) as client:
        client.open(path)
        for number, one in list(enumerate(ALL))[::8]:
            line = next(n for n, text in enumerate(lines) if text.startswith(f"    c{number} "))
            for column in (5, len(lines[line]) - 1):
                found = client.at("hover", path, line, column)
                said = plain(found["contents"]["value"])
                assert one.caution in said
                assert unsupported(said, "text") == []
        line = next(n for n, text in enumerate(lines) if text.startswith("    c0 "))
        column = lines[line].index("uses ") + 5
        items = client.at("completion", path, line, column)["items"]
        told = {item["label"]: item for item in items if item["label"] in HAZARDS}
        assert told.keys() == HAZARDS.keys()
        for word, item in told.items():
            assert item["detail"] == HAZARDS[word].caution
            assert item["documentation"] == mind(HAZARDS[word])
            assert HAZARDS[word].source in item["documentation"]
            assert item["documentation"].endswith(LAST_WORD)
