"""What cadences mean in words, and that completion can offer each kind."""

from __future__ import annotations

from typing import get_args

import pytest
from books import read

from ledger.editor.cadence_items import cadence_items
from ledger.text.cadence_meaning import meaning
from ledger.text.cadences import write_cadence
from ledger.text.clauses import SectionHeader
from ledger.text.parts import Cadence, CadenceKind

MEANINGS = {
    "every day": "each day anew",
    "every 3 days": "one day in 3, counted from `from`",
    "every weekday": "each day outside the weekend, anew",
    "every weekend": "the whole weekend: what Saturday leaves, Sunday has",
    "weekend 1": "the first weekend of the month",
    "weekend 5": "the fifth weekend of the month; some months have only four",
    "weekend 2, 4, last": "the second, fourth and last weekend of the month",
    "every tuesday": "each Tuesday",
    "every tuesday, friday": "each Tuesday and Friday",
    "every week": "once a week, on any day of it",
    "every 2 weeks": "on any day of one week in 2, counted from `from`",
    "every 2 weeks on tuesday, friday":
        "Tuesday and Friday of one week in 2, counted from `from`",
    "every month": "once a month, on any day of it",
    "every month on 15, last friday": "on those days of each month",
    "every 3 months": "on any day of one month in 3, counted from `from`",
    "every 3 months on 15": "on those days of one month in 3, counted from `from`",
    "every april": "once in April, on any day of it",
    "every april, october": "once in each of April and October, on any day of it",
    "every april, may on 1": "on those days of April and May",
    "3 times every week": "once in each of 3 parts of the week",
    "3 times every 2 weeks": "once in each of 3 parts of each 2 weeks",
    "2 times every may, june": "once in each of 2 parts of each May and June",
    "14 days after done": "14 days after it was last done or skipped",
    "once from 2026-01-01 to 2026-01-05": "once, on any of these days",
}  # fmt: skip


def cadence_of(header: str) -> Cadence:
    node = read(header).lines[0].node
    assert isinstance(node, SectionHeader)
    return node.cadence.value


@pytest.mark.parametrize(("header", "words"), MEANINGS.items())
def test_each_cadence_says_what_it_means(header: str, words: str) -> None:
    assert meaning(cadence_of(header), (5, 6)) == words


def test_every_kind_of_cadence_is_among_them() -> None:
    assert {cadence_of(header).kind for header in MEANINGS} == set(get_args(CadenceKind))


@pytest.mark.parametrize(
    ("weekend", "words"),
    [
        ((6,), "the whole weekend"),
        ((4, 5), "the whole weekend: what Friday leaves, Saturday has"),
        ((4, 5, 6), "the whole weekend: what Friday leaves, the days after it have"),
    ],
)
def test_weekend_is_that_of_the_household(weekend: tuple[int, ...], words: str) -> None:
    assert meaning(Cadence("weekend"), weekend) == words


@pytest.mark.parametrize("header", [one for one in MEANINGS if "once" not in one])
def test_words_of_a_header_are_offered_one_after_the_other(header: str) -> None:
    """Up to a list, and up to `on`, where the words of the grammar go on."""
    words = header.split(",")[0].split(" on ")[0].split()
    for number in range(1, len(words)):
        begun = " ".join(words[:number]) + " "
        offered = [item.text for item in cadence_items(begun, (5, 6))]
        # Any number may be typed behind `every`; some are offered with their unit.
        if not (words[number].isdigit() and words[number - 1] == "every"):
            assert words[number] in offered, begun


def test_offer_is_the_rest_of_a_cadence_with_its_meaning() -> None:
    for begun in ("every ", "weekend ", "14 days "):
        for item in cadence_items(begun, (5, 6)):
            header = begun + item.text + (" done" if item.text == "after" else "")
            assert item.detail == meaning(cadence_of(header), (5, 6))
            assert write_cadence(cadence_of(header)) == header
