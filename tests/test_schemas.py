"""Schemas: what commands print as JSON is what `grammar/*.schema.json` promises, and no more."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from datetime import date, datetime
from pathlib import Path
from typing import Annotated, NamedTuple

import pytest
from jsonschema import Draft202012Validator
from test_cli import DAY, ROOT, besom, stop_clock
from test_screens import HOME, RECORD, THURSDAY, TUESDAY, WEDNESDAY

from ledger.cli.main import commands
from ledger.lint.rules import RULES
from ledger.text.fields import Bounds, Count, FirstDay, OneOf

sys.path.insert(0, str(ROOT / "grammar"))

from make_schemas import ANSWERS, Undescribed, schema_of, schema_path, schema_text

Json = dict[str, object]

BOOKS = ("examples/quarry-lane", "tests/golden/faulty.chores")
SCHEMAS: dict[str, Json] = {
    path.name.removesuffix(".schema.json"): json.loads(path.read_text("utf-8"))
    for path in sorted((ROOT / "grammar").glob("*.schema.json"))
}


def faults(name: str, answer: object) -> list[str]:
    """Where an answer breaks the promise of its schema."""
    # Without a registry it finds nothing but what the schema itself holds.
    validator = Draft202012Validator(
        SCHEMAS[name], format_checker=Draft202012Validator.FORMAT_CHECKER
    )
    return [f"{error.json_path}: {error.message}" for error in validator.iter_errors(answer)]


def answer_of(command: str, *words: str) -> Json:
    if command == "chore":
        words = ("wash-up", *words)
    elif command == "compare":
        # The example with the faults of the other book, or the other way round.
        words = (*(book for book in BOOKS if book != words[0]), *words)
    answer = json.loads(besom(command, *words, "--as", "json").stdout)
    assert isinstance(answer, dict)
    return answer


@pytest.fixture
def at_root(monkeypatch: pytest.MonkeyPatch) -> None:
    """The current folder is that of the project."""
    monkeypatch.chdir(ROOT)


# ----------------------------------------------------------------------- answers keep to them


@pytest.mark.parametrize("book", BOOKS)
@pytest.mark.parametrize(
    "command", ["ahead", "areas", "chore", "compare", "due", "lighten", "review", "week", "lint"]
)
@pytest.mark.parametrize("on", [DAY, "2026-07-20", "2026-11-20"])
def test_answer_is_as_its_schema_says(at_root: None, command: str, book: str, on: str) -> None:
    assert faults(command, answer_of(command, book, "--on", on)) == []


@pytest.mark.parametrize("words", [["oven"], ["oven", "35", "--by", "noor", "--note", "窓 \\"]])
def test_line_that_was_added_is_as_its_schema_says(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str]
) -> None:
    (tmp_path / "home.chores").write_text("person noor\nevery day\n  oven\n", "utf-8")
    monkeypatch.chdir(tmp_path)
    stop_clock(monkeypatch, datetime(2026, 3, 4, 20))
    assert faults("did", answer_of("did", *words)) == []


@pytest.mark.parametrize(
    "words",
    [["skipped", "oven"], ["moved", "oven", "today"], ["worked", "oven", "5"], ["undo"]],
    ids=lambda words: words[0],
)
def test_other_lines_of_the_record_are_as_their_schemas_say(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, words: list[str]
) -> None:
    (tmp_path / "home.chores").write_text("every day\n  oven\n  mop\n", "utf-8")
    monkeypatch.chdir(tmp_path)
    stop_clock(monkeypatch, datetime(2026, 3, 4, 20))
    besom("did", "mop")
    assert faults(words[0], answer_of(*words)) == []


def test_empty_book_is_answered_as_the_schemas_say(tmp_path: Path) -> None:
    (tmp_path / "home.chores").write_bytes(b"")
    for command in ("ahead", "areas", "due", "lighten", "review", "week", "lint"):
        assert faults(command, answer_of(command, str(tmp_path))) == []


@pytest.mark.parametrize("on", [TUESDAY, WEDNESDAY, THURSDAY, "2026-03-08"])
def test_answers_about_all_that_may_vary_are_as_the_schemas_say(tmp_path: Path, on: str) -> None:
    (tmp_path / "home.chores").write_text("\n".join([*HOME, *RECORD, ""]), "utf-8")
    for command in ("ahead", "areas", "due", "lighten", "lint", "review", "week"):
        assert faults(command, answer_of(command, str(tmp_path), "--on", on)) == []
    for chore in ("walk-dog", "lunch-boxes", "turn-mattress", "tax", "sort-photos"):
        words = ("chore", chore, str(tmp_path), "--on", on, "--as", "json")
        assert faults("chore", json.loads(besom(*words).stdout)) == []


def test_answers_together_fill_every_list_of_the_schemas(at_root: None, tmp_path: Path) -> None:
    answers = [
        answer_of(command, book, "--on", on)
        for command in (
            "ahead",
            "areas",
            "chore",
            "compare",
            "due",
            "lighten",
            "review",
            "week",
            "lint",
        )
        for book in BOOKS
        for on in (DAY, "2026-03-08", "2026-07-20", "2026-11-25")
    ]
    (tmp_path / "home.chores").write_text("every day\n  rake\n", "utf-8")
    answers.append(answer_of("areas", str(tmp_path)))
    answers.append(answer_of("ahead", str(tmp_path)))
    answers.append(answer_of("due", BOOKS[0], "--on", DAY, "--minutes", "5"))
    for_tam = "--on", "2026-11-25", "--minutes", "30", "--for", "tam"
    answers.append(answer_of("due", BOOKS[0], *for_tam))
    pair = "area a\nevery day\n  x  in a  uses bleach\n  y  in a  uses ammonia\n"
    (tmp_path / "home.chores").write_text(pair, "utf-8")
    answers += (answer_of(command, str(tmp_path)) for command in ("due", "week"))
    assert [faults(*one) for one in zip(("due", "week"), answers[-2:], strict=True)] == [[], []]
    answers.append(answer_of("lighten", BOOKS[0], "--on", DAY, "--moves", "0"))
    (tmp_path / "home.chores").write_text("\n".join([*HOME, *RECORD, ""]), "utf-8")
    answers.append(answer_of("due", str(tmp_path), "--on", WEDNESDAY))
    alone = f"since 2026-01-01\nperson a\naway {DAY} by a\nevery day\n  x  by a\n"
    (tmp_path / "home.chores").write_text(alone, "utf-8")
    answers.append(answer_of("due", str(tmp_path), "--on", DAY))
    filled = {key for answer in answers for key in filled_keys(answer)}
    lists = {key for schema in SCHEMAS.values() for key in list_keys(schema)}
    assert lists - filled == set()


def filled_keys(value: object) -> Iterator[str]:
    """The keys of an answer under which a list holds something."""
    for key, inner in value.items() if isinstance(value, dict) else ():
        if isinstance(inner, list) and inner:
            yield key
        yield from filled_keys(inner)
    for inner in value if isinstance(value, list) else ():
        yield from filled_keys(inner)


def list_keys(schema: object) -> Iterator[str]:
    """The keys under which a schema promises a list."""
    for properties in parts(schema, "properties"):
        assert isinstance(properties, dict)
        yield from (key for key, part in properties.items() if part.get("type") == "array")


def test_rules_and_severities_of_findings_are_words_that_the_schema_takes() -> None:
    finding: Json = {
        "file": "home.chores", "line": 1, "column": 1, "end_column": 2, "rule": "overlap",
        "severity": "error", "message": "m", "why": "w", "fix": "f", "see": [],
            "fixes": [],
    }  # fmt: skip
    for rule in RULES:
        answer = {"files": 1, "lines": 1, "findings": [{**finding, "rule": rule}]}
        assert faults("lint", answer) == []
    bad = {"files": 1, "lines": 1, "findings": [{**finding, "severity": "fatal"}]}
    assert faults("lint", bad) == ["$.findings[0].severity: 'fatal' is not one of "
                                   "['error', 'warning', 'note']"]  # fmt: skip


# --------------------------------------------------------------------------- they promise enough


@pytest.mark.parametrize(
    "command", ["ahead", "areas", "chore", "compare", "due", "lighten", "review", "week", "lint"]
)
def test_schema_takes_no_key_more_or_less(at_root: None, command: str) -> None:
    answer = shortened(answer_of(command, "tests/golden/faulty.chores", "--on", DAY))
    assert isinstance(answer, dict)
    for holder in objects(answer):
        holder["surplus"] = 1
        assert faults(command, answer)
        del holder["surplus"]
        for key in list(holder):
            value = holder.pop(key)
            assert faults(command, answer)
            holder[key] = value
    assert faults(command, answer) == []


def shortened(value: object) -> object:
    """An answer with three of each list: a year of days says no more of a schema than those."""
    if isinstance(value, dict):
        return {key: shortened(inner) for key, inner in value.items()}
    return [shortened(inner) for inner in value[:3]] if isinstance(value, list) else value


def objects(value: object) -> Iterator[Json]:
    """A JSON object and all those inside it."""
    if isinstance(value, dict):
        yield value
        for inner in list(value.values()):
            yield from objects(inner)
    for inner in value if isinstance(value, list) else ():
        yield from objects(inner)


@pytest.mark.parametrize(
    ("key", "value"),
    [("day", "4 March 2026"), ("day", "2026-02-30"), ("minutes", -1), ("minutes", "40"),
     ("late", None), ("limit", 30.5), ("away", True), ("today", [{}])],
)  # fmt: skip
def test_schema_refuses_what_no_answer_says(at_root: None, key: str, value: object) -> None:
    answer = answer_of("due", "tests/golden/faulty.chores", "--on", DAY)
    assert faults("due", {**answer, key: value})


# ----------------------------------------------------------------------- they are made of types


@pytest.mark.parametrize("name", ANSWERS)
def test_schema_is_current(name: str) -> None:
    text = schema_path(name).read_text("utf-8")
    assert text == schema_text(name), "run python grammar/make_schemas.py"


class Jar(NamedTuple):
    """A jar, or None."""

    opened: FirstDay | None
    lids: Annotated[tuple[Count, ...], Bounds(1, 2)]
    """None is one of the lids."""
    colour: Annotated[str, OneOf("red", "blue")] | None
    """Its
    colour."""
    pair: tuple[bool, bool] = (True, False)
    """Two of a kind."""


class Bare(NamedTuple):
    """A record with a field of which nothing is said."""

    day: date


class Odd(NamedTuple):
    """A record with a field that JSON has not."""

    parts: set[str]
    """The parts."""


def test_each_kind_of_type_is_said_in_the_words_of_json_schema() -> None:
    made = schema_of("jar", Jar)
    assert made["description"] == "A jar, or null."
    assert made["properties"] == {
        "opened": {
            "description": "First day on which it may be done, after any move.",
            "anyOf": [{"$ref": "#/$defs/date"}, {"type": "null"}],
        },
        "lids": {
            "description": "null is one of the lids.",
            "type": "array",
            "items": {"type": "integer", "minimum": 0},
            "minItems": 1,
            "maxItems": 2,
        },
        "colour": {"description": "Its colour.", "enum": ["red", "blue", None]},
        "pair": {
            "description": "Two of a kind.",
            "type": "array",
            "items": {"type": "boolean"},
            "minItems": 2,
            "maxItems": 2,
        },
    }


def test_type_that_no_schema_can_say_is_refused() -> None:
    with pytest.raises(Undescribed, match=r"Bare: day"):
        schema_of("bare", Bare)
    with pytest.raises(TypeError, match=r"cannot say set"):
        schema_of("odd", Odd)


# --------------------------------------------------------------------------------- they are sound


def test_every_command_that_answers_in_json_has_a_schema() -> None:
    answering = {name for name in commands() if "json" in besom(name, "--help").stdout}
    assert answering == SCHEMAS.keys() == ANSWERS.keys()


@pytest.mark.parametrize("name", SCHEMAS)
def test_schema_is_one_of_2020_12(name: str) -> None:
    Draft202012Validator.check_schema(SCHEMAS[name])
    assert SCHEMAS[name]["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert SCHEMAS[name]["$id"] == f"urn:besom:{name}"


@pytest.mark.parametrize("name", SCHEMAS)
def test_schema_refers_to_all_that_it_defines_and_to_nothing_else(name: str) -> None:
    defined = SCHEMAS[name].get("$defs")
    assert isinstance(defined, dict)
    assert set(parts(SCHEMAS[name], "$ref")) == {f"#/$defs/{one}" for one in defined}


@pytest.mark.parametrize("name", SCHEMAS)
def test_every_part_of_a_schema_says_what_it_is_and_holds_no_other(name: str) -> None:
    for properties in parts(SCHEMAS[name], "properties"):
        assert isinstance(properties, dict)
        for part in properties.values():
            assert part["description"].endswith(".")
    for holder in objects(SCHEMAS[name]):
        if holder.get("type") == "object":
            assert holder["additionalProperties"] is False
            properties = holder["properties"]
            assert isinstance(properties, dict)
            assert holder["required"] == list(properties)


def parts(schema: object, keyword: str) -> Iterator[object]:
    """What stands under a keyword, anywhere in a schema."""
    yield from (holder[keyword] for holder in objects(schema) if keyword in holder)
