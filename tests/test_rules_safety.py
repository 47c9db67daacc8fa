"""Rules about safety: what must never meet, after published advice, and what is never said."""

from __future__ import annotations

import json
from itertools import product
from pathlib import Path

import pytest
from lint_books import all_found, found_of, only_of, places

from ledger.household.things import DANGERS, HAZARDS, danger, is_dangerous
from ledger.text.finding import Severity

PAIRS = {
    row["id"]: row
    for row in json.loads(
        (Path(__file__).parent / "published" / "products.json").read_text("utf-8")
    )["pairs"]
}
# The words of a book for the products of a row, and a word of what the row says of them.
WORDS = {
    "P01": ("bleach hypochlorite mildew-remover", "ammonia", "chloramine"),
    "P02": ("bleach hypochlorite mildew-remover", "acid", "chlorine"),
    "P03": ("bleach", "vinegar", "chlorine"),
    "P04": ("bleach", "toilet-cleaner", "chlorine"),
    "P05": ("bleach", "phosphoric-acid", "chlorine"),
    "P06": ("bleach", "descaler lime-remover rust-remover", "chlorine"),
    "P07": ("bleach", "drain-opener", "chlorine"),
    "P08": ("bleach", "dishwasher-detergent rinse-aid", "chlorine"),
    "P09": ("bleach", "glass-cleaner", "chloramines"),
    "P10": ("bleach", "litter-box nappy-pail", "chloramines"),
    "P11": ("bleach", "alcohol", "chloroform"),
    "P12": ("bleach", "acetone", "chloroform"),
    "P13": ("peroxide", "vinegar", "peracetic acid"),
    "P14": ("bleach", "peroxide", "oxygen"),
    "P15": ("lye caustic", "acid phosphoric-acid", "boil"),
    "P16": ("drain-opener", "lye vinegar ammonia peroxide", "back out of the drain"),
    "P17": ("drain-opener", "toilet-cleaner", "react"),
    "P19": ("bleach", "oven-cleaner pool-chlorine insecticide", "react"),
    "P20": ("bleach", "quats", "irritating vapours"),
}
SOURCES = {
    "National Fire Protection Association": "NFPA",
    "Columbia University": "Columbia University",
    "Illinois Poison Center": "Illinois Poison Center",
    "CDC, Morbidity and Mortality": "CDC, Morbidity and Mortality",
    "chemistry literature": "chemistry textbooks",
    "science explainer": "science explainer",
    "science writer": "science writer",
    "US Environmental Protection Agency": "US EPA",
    "Beyond Toxics": "Beyond Toxics",
    "Washington State Department of Health": "Washington State Department of Health",
    "EPA-registered labels": "labels",
}
BATH = "    bath  20 min  in b  uses bleach"
TAPS = "    taps  10 min  in b  uses vinegar"
AREAS = ("area b", "area k")


# -------------------------------------------------------------------------- published pairs


def test_every_published_pair_is_known_but_the_one_that_only_fizzes() -> None:
    assert PAIRS.keys() - WORDS.keys() == {"P18"}
    assert danger("baking-soda", "vinegar") is None
    assert not is_dangerous("baking-soda")


@pytest.mark.parametrize("row", WORDS)
def test_pair_gives_what_is_published_and_names_its_source(row: str) -> None:
    ones, others, gives = WORDS[row]
    published = PAIRS[row]
    source = next(
        ours for theirs, ours in SOURCES.items() if published["source"].startswith(theirs)
    )
    for one, other in product(ones.split(), others.split()):
        found = danger(one, other)
        assert found is not None
        assert found == danger(other, one)
        assert gives in found.gives
        assert source in found.source
        assert ("from memory" in found.source) is (published["known"] == "memory")
        if published["year"]:
            assert str(published["year"]) in found.source


def test_every_word_of_a_pair_has_a_caution_and_none_meets_itself() -> None:
    words = {word for row in DANGERS for word in row.one | row.other}
    assert words <= HAZARDS.keys()
    assert all(danger(word, word) is None for word in words)


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
    assert "give off chlorine gas (NFPA," in found.why
    assert "the label decides" in found.why


def test_pair_in_two_areas_on_one_day_is_a_note() -> None:
    taps = TAPS.replace("in b", "in k")
    found = only_of("dangerous-pair", *AREAS, "every saturday", BATH, taps)
    assert found.severity is Severity.NOTE
    assert found.message.endswith("in two areas on Sat 7 Mar 2026")


def test_pair_in_two_areas_with_days_to_choose_from_is_not_found() -> None:
    taps = TAPS.replace("in b", "in k")
    assert found_of("dangerous-pair", *AREAS, "every saturday", BATH, "every month", taps) == []
    assert len(found_of("dangerous-pair", *AREAS, "every saturday", BATH, "every month", TAPS)) == 1


@pytest.mark.parametrize(
    "header",
    [
        "every wednesday",
        "every weekday",
        "paused every saturday",
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


def test_pair_without_areas_is_a_note() -> None:
    lines = ("    bath  20 min  uses bleach", "    taps  10 min  uses vinegar")
    found = only_of("dangerous-pair", "every saturday", *lines)
    assert found.severity is Severity.NOTE
    assert found.message.endswith("both on Sat 7 Mar 2026")


def test_chore_after_done_meets_on_the_day_that_is_next() -> None:
    book = (*AREAS, "every saturday", BATH, "7 days after done", TAPS)
    assert found_of("dangerous-pair", *book, "2026-03-03 did taps") == []
    found = only_of("dangerous-pair", *book, "2026-02-28 did taps")
    assert "Sat 7 Mar 2026" in found.message


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
        ('"Wipe it, from the ladder"', "ladder"),
        ('"LADDER out"', "LADDER"),
        ('"Pour drain opener in"', "drain opener"),
        ('uses cloth "Gas boiler"', "Gas"),
    ],
)
def test_hazard_that_is_named_and_not_used_is_marked(clauses: str, marked: str) -> None:
    found = only_of("unstated-hazard", *SATURDAY, f"    x  5 min  in b  {clauses}")
    assert (found.severity, found.place.text) == (Severity.WARNING, marked)
    assert found.why.startswith("its caution is never shown: ")


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
