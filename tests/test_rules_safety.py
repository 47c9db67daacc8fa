"""Rules about safety: what must never meet, after published advice, and what is never said."""

from __future__ import annotations

import json
import re
from itertools import product
from pathlib import Path

import pytest
from lint_books import all_found, found_of, only_of, places

from ledger.household.cautions import ALL, EVERYDAY, HAZARDS
from ledger.household.dangerous_pairs import DANGERS
from ledger.household.things import LAST_WORD, danger, is_dangerous
from ledger.text.finding import Severity

PAIRS = {
    row["id"]: row
    for row in json.loads(
        (Path(__file__).parent / "published" / "products.json").read_text("utf-8")
    )["pairs"]
}
HARMLESS = (Path(__file__).parent / "harmless.txt").read_text("utf-8").splitlines()
BATH = "    bath  20 min  in b  uses bleach"
TAPS = "    taps  10 min  in b  uses vinegar"
AREAS = ("area b", "area k")


# -------------------------------------------------------------------------- published pairs


@pytest.mark.parametrize("row", PAIRS)
def test_pair_gives_what_is_published_and_names_its_source(row: str) -> None:
    published = PAIRS[row]
    for one, other in product(published["one"].split(), published["other"].split()):
        found = danger(one, other)
        assert found is not None, (one, other)
        assert found == danger(other, one)
        assert found.gives == published["gives"]
        assert found.source.startswith(published["source"])
        assert ("as reported" in found.source) is (published["known"] == "reported")


def test_every_row_of_dangers_is_published_and_speaks_of_some_pair() -> None:
    spoken = {
        id(danger(one, other))
        for published in PAIRS.values()
        for one, other in product(published["one"].split(), published["other"].split())
    }
    # That for toilet-bowl cleaners in a drain names one source more than that for all cleaners.
    assert {id(row) for row in DANGERS} == spoken


def test_every_word_of_a_pair_has_a_caution_and_none_meets_itself() -> None:
    words = {word for row in DANGERS for word in row.one | row.other}
    assert words <= HAZARDS.keys()
    assert all(danger(word, word) is None for word in words)
    assert all(is_dangerous(word) == (word in words) for word in HAZARDS)


def test_each_hazard_has_one_place_words_of_a_book_a_short_caution_and_a_source() -> None:
    words = [word for hazard in ALL for word in hazard.words]
    assert len(words) == len(set(words)) == len(HAZARDS)
    for hazard in ALL:
        assert hazard.everyday <= set(hazard.words)
        assert all(re.fullmatch("[a-z]+(-[a-z]+)*", word) for word in hazard.words)
        assert 0 < len(hazard.caution) <= 100
        assert hazard.source
        assert not re.search(r"\w\.(com|org|net)\b|page of answers|firm's page", hazard.source)


def test_bleach_may_be_mixed_with_water() -> None:
    assert "nothing but water" in HAZARDS["bleach"].caution


@pytest.mark.parametrize(
    "word", ["steps", "roof", "mould", "mold", "chlorine", "petrol", "ladder", "gas", "ash"]
)
def test_word_of_everyday_use_brings_its_caution_behind_uses_alone(word: str) -> None:
    line = f'    {word}-x  5 min  in b  "The {word} of the day"'
    assert found_of("unstated-hazard", *SATURDAY, line) == []
    assert word in EVERYDAY
    assert word in HAZARDS


def test_harmless_chores_bring_no_finding() -> None:
    assert len(HARMLESS) == 100
    for chore in HARMLESS:
        name, _, title = chore.partition(" ")
        found = all_found(*SATURDAY, f"    {name}  5 min  in b  {title}")
        assert [one.message for one in found] == []


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("vinegar", "alcohol"),
        ("vinegar", "glass-cleaner"),
        ("ammonia", "peroxide"),
        ("bleach", "ladder"),
        ("bleach", "mildew-remover"),
        ("bleach", "lye"),
        ("gas", "alcohol"),
        ("drain-opener", "brush"),
        ("baking-soda", "vinegar"),
        ("alcohol", "peroxide"),
    ],
)
def test_things_of_which_nothing_was_read_may_meet(one: str, other: str) -> None:
    assert danger(one, other) is None


# --------------------------------------------------------------------------- dangerous-pair


def test_pair_in_one_area_on_one_day_is_an_error_with_day_gas_and_source() -> None:
    found = only_of("dangerous-pair", *AREAS, "every saturday", BATH, "every weekend", TAPS)
    assert found.severity is Severity.ERROR
    assert (found.place.line, found.place.text) == (5, "vinegar")
    assert [place.text for place in found.see] == ["bleach"]
    assert found.message == ('"bath" uses bleach and "taps" vinegar, both in b on Sat 7 Mar 2026')
    assert "give off chlorine gas (Children's Hospital of Philadelphia," in found.why
    assert "the label decides" in found.why
    assert found.why.endswith(LAST_WORD.rstrip("."))


def test_pair_in_two_areas_on_one_day_is_a_note() -> None:
    taps = TAPS.replace("in b", "in k")
    found = only_of("dangerous-pair", *AREAS, "every saturday", BATH, taps)
    assert found.severity is Severity.NOTE
    assert found.message.endswith("in two areas on Sat 7 Mar 2026")


def test_pair_in_two_areas_with_days_to_choose_from_is_not_found() -> None:
    taps = TAPS.replace("in b", "in k")
    assert found_of("dangerous-pair", *AREAS, "every saturday", BATH, "every month", taps) == []
    assert found_of("dangerous-pair", *AREAS, "every month", taps, "every saturday", BATH) == []
    assert len(found_of("dangerous-pair", *AREAS, "every saturday", BATH, "every month", TAPS)) == 1


@pytest.mark.parametrize(
    "header",
    [
        "every wednesday",
        "every weekday",
        "every saturday paused",
        "every saturday until 2026-02-28",
        "once from 2026-03-09 to 2026-03-13",
        "every saturday from 2028-01-01",
    ],
)
def test_pair_that_shares_no_day_in_the_year_ahead_may_be_used(header: str) -> None:
    assert found_of("dangerous-pair", *AREAS, "every saturday", BATH, header, TAPS) == []


def test_first_day_of_a_pair_may_be_far_ahead() -> None:
    found = only_of(
        "dangerous-pair", *AREAS, "every saturday", BATH, "once from 2026-10-01 to 2026-10-06", TAPS
    )
    assert found.message.endswith("both in b on Sat 3 Oct 2026")


def test_two_things_of_one_chore_meet_wherever_it_is_done() -> None:
    found = only_of("dangerous-pair", *AREAS, "every saturday", BATH + ", cloth, vinegar")
    assert (found.severity, found.place.text) == (Severity.ERROR, "vinegar")
    assert found.message == '"bath" uses bleach and vinegar, next on Sat 7 Mar 2026'
    bare = "    bath  20 min  uses bleach, vinegar"
    assert only_of("dangerous-pair", "every saturday", bare).severity is Severity.ERROR


def test_each_pair_of_chores_is_one_finding_the_worst_of_it() -> None:
    book = (
        "every saturday", BATH + ", peroxide",
        "    taps  10 min  in k  uses vinegar",
        "every friday", "    taps  10 min  in b  uses vinegar",
        "every sunday", "    bath  20 min  in b  uses bleach",
        "every sunday", "    sink  5 min  in k  uses ammonia",
    )  # fmt: skip
    found = found_of("dangerous-pair", *AREAS, *book)
    assert [(one.severity, one.place.line) for one in found] == [
        (Severity.ERROR, 3),
        (Severity.NOTE, 4),
        (Severity.NOTE, 10),
    ]
    assert "bleach and peroxide" in found[0].message


@pytest.mark.parametrize("areas", ["", "  in k"])
def test_chore_without_areas_counts_as_in_every_one(areas: str) -> None:
    lines = ("    bath  20 min  uses bleach", f"    taps  10 min{areas}  uses vinegar")
    found = only_of("dangerous-pair", *AREAS, "every saturday", *lines)
    assert found.severity is Severity.ERROR
    assert found.message.endswith("both on Sat 7 Mar 2026")


def test_chore_after_done_meets_on_the_day_that_is_next() -> None:
    book = (*AREAS, "every saturday", BATH, "7 days after done", TAPS)
    assert found_of("dangerous-pair", *book, "2026-03-03 did taps") == []
    found = only_of("dangerous-pair", *book, "2026-02-28 did taps")
    assert "Sat 7 Mar 2026" in found.message


@pytest.mark.parametrize(
    ("one", "other", "meet"),
    [
        ("every week except saturday", "every saturday", False),
        ("every week except sunday", "every saturday", True),
        ("every saturday except away-days", "every saturday during away-days", False),
        ("every week during weekday", "every weekend", False),
    ],
)
def test_pair_meets_on_days_on_which_both_are_asked(one: str, other: str, meet: bool) -> None:
    days = "days away-days every 2 weeks on saturday from 2026-03-07"
    found = found_of("dangerous-pair", *AREAS, days, one, BATH, other, TAPS)
    assert [finding.severity for finding in found] == [Severity.ERROR] * meet


def test_pair_of_people_who_are_never_both_there_does_not_meet() -> None:
    people = ("person noor", "person tam", "away from 2026-03-05 by noor", "every saturday")
    assert found_of("dangerous-pair", *AREAS, *people, BATH + "  by noor", TAPS) == []
    shares = (BATH + "  by each of noor, tam", TAPS)
    assert len(found_of("dangerous-pair", *AREAS, *people, *shares)) == 1


def test_few_days_on_which_a_long_window_is_asked_leave_little_choice() -> None:
    taps = TAPS.replace("in b", "in k")
    book = (*AREAS, "every saturday", BATH)
    assert found_of("dangerous-pair", *book, "every week", taps) == []
    found = only_of("dangerous-pair", *book, "every week during weekend", taps)
    assert found.severity is Severity.NOTE


def test_things_that_are_no_pair_are_not_found() -> None:
    book = (*AREAS, "every saturday", TAPS, "    sink  5 min  in b  uses baking-soda, ladder")
    assert found_of("dangerous-pair", *book) == []


# -------------------------------------------------------------------------- unstated-hazard

SATURDAY = ("area b", "every saturday")


@pytest.mark.parametrize(
    ("clauses", "marked"),
    [
        ("uses strong-bleach", "strong-bleach"),
        ("uses bleach-tablets", "bleach-tablets"),
        ("uses old-drain-opener", "old-drain-opener"),
        ('"Wipe it with the descaler"', "descaler"),
        ('"MOWER out"', "MOWER"),
        ('"Pour drain opener in"', "drain opener"),
        ('"A dab of nail polish remover"', "nail polish remover"),
        ('uses cloth "Gas heater"', "Gas heater"),
        ("uses white-vinegar", "white-vinegar"),
        ("uses tall-ladder", "tall-ladder"),
    ],
)
def test_hazard_that_is_named_and_not_used_is_marked(clauses: str, marked: str) -> None:
    found = only_of("unstated-hazard", *SATURDAY, f"    x  5 min  in b  {clauses}")
    assert (found.severity, found.place.text) == (Severity.WARNING, marked)
    assert found.why.startswith("its caution is never shown: ")


def test_hazard_in_a_step_is_marked_there_and_written_at_its_chore() -> None:
    chore = (
        "    x  5 min  in b",
        "        - Rinse it",
        "        - A cap of bleach, no bleach more",
    )
    found = only_of("unstated-hazard", *SATURDAY, *chore)
    assert (found.place.line, found.place.text) == (4, "bleach")
    assert found.message == '"x" speaks of `bleach`, and does not say it uses it'
    assert [edit.line for fix in found.fixes for edit in fix.edits] == [2]
    used = chore[0] + "  uses bleach"
    assert found_of("unstated-hazard", *SATURDAY, used, *chore[1:]) == []


def test_hazard_in_the_name_is_told_once_a_line() -> None:
    line = '    clean-mower  5 min  in b  "Clean the mower"'
    found = found_of("unstated-hazard", *SATURDAY, line)
    assert places(found) == [(3, "clean-mower")]
    assert "`uses mower`" in found[0].fix


@pytest.mark.parametrize(
    "clauses",
    [
        'uses ladder "Wipe it, from the ladder"',
        "uses bleach, strong-bleach",
        'uses hypochlorite "Bleach the sink"',
        'uses lye "Caustic in the oven"',
        'uses bleach-free-spray "No bleach here"',
        "uses non-bleach-spray",
        '"Read the gas meter"',
        "uses roof-box, vinegar-bottle, ladder-back-chair",
        '"Wipe it, from the ladder"',
        '"Pay the gas bill"',
        '"Bleached towels, gaslight, ladders"',
        "uses towel, bladder, glass",
        '"Glass of the cleaner kind"',
    ],
)
def test_word_that_is_covered_or_no_hazard_is_left_alone(clauses: str) -> None:
    assert found_of("unstated-hazard", *SATURDAY, f"    x  5 min  in b  {clauses}") == []


def test_misspelt_hazard_is_not_an_unstated_one_too() -> None:
    found = all_found(*SATURDAY, "    x  5 min  in b  uses blaech")
    assert [one.rule for one in found] == ["misspelt-hazard"]


def test_of_many_dangerous_chores_each_is_told_and_not_each_pair() -> None:
    bleach = [f"    bleach-{number}  uses bleach" for number in range(40)]
    acids = [f"    acid-{number}  uses vinegar" for number in range(40)]
    both = ["    both  in hall  uses bleach, vinegar"]
    found = found_of("dangerous-pair", "area hall", "every day", *bleach, *acids, *both)
    names = {finding.place.source.lines[finding.place.line].split()[0] for finding in found}
    # All but the first: the others are told with it.
    assert names == {line.split()[0] for line in [*bleach[1:], *acids, *both]}
    assert {finding.place.text for finding in found} == {"bleach", "vinegar"}
    assert [one.severity for one in found if "both" in one.place.source.lines[one.place.line]][
        -1
    ] is Severity.ERROR
    assert len(found) < 4 * 40


def test_of_sixty_dangerous_chores_each_pair_is_told() -> None:
    bleach = [f"    bleach-{number}  uses bleach" for number in range(30)]
    acids = [f"    acid-{number}  uses vinegar" for number in range(30)]
    assert len(found_of("dangerous-pair", "every day", *bleach, *acids)) == 30 * 30


def test_why_of_an_unstated_hazard_names_source_and_last_word() -> None:
    found = only_of("unstated-hazard", *SATURDAY, "    x  5 min  in b  uses strong-bleach")
    hazard = HAZARDS["bleach"]
    assert found.why.endswith(f"{hazard.caution} ({hazard.source}). {LAST_WORD.rstrip('.')}")


@pytest.mark.parametrize("thing", ["glue", "wash", "mesh", "stops", "bold"])
def test_short_word_of_everyday_use_is_no_slip_away_from_another(thing: str) -> None:
    assert all_found(*SATURDAY, f"    x  5 min  in b  uses {thing}") == []
