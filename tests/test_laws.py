"""The laws of the list and the record, in random homes, for everyone who answers."""

from __future__ import annotations

from functools import cache

import pytest
from book_laws import (
    any_days_settle_all_parts,
    each_line_counts_once,
    late_is_never_missed,
    windows_are_apart,
)
from differences import first_difference
from hypothesis import given, settings
from hypothesis import strategies as st
from list_laws import Answers, Simulated, live_by_the_laws
from product_answers import Product
from random_homes import RandomHome, random_home, scribble

SIMULATED, PRODUCT = Simulated(), Product()
SIDES: list[Answers] = [SIMULATED, PRODUCT]
both = pytest.mark.parametrize("answers", SIDES, ids=lambda side: type(side).__name__)
SEEDS = st.integers(0, 2**32)
HOMES = SEEDS.map(random_home)
HOMES_LIVED_IN, DAYS = 60, 21


@cache
def lived(side: int, seed: int) -> list[str]:
    """The record of someone who lives by the list of a side, if all its laws hold."""
    return live_by_the_laws(SIDES[side], random_home(seed), seed, DAYS)


@both
def test_whoever_lives_by_the_list_finds_every_law_of_it_kept(answers: Answers) -> None:
    for seed in range(HOMES_LIVED_IN):
        home = random_home(seed)
        each_line_counts_once(home.text(lived(SIDES.index(answers), seed)), home.first + DAYS)


@both
def test_whoever_is_late_but_before_the_next_has_no_miss_and_no_extra(answers: Answers) -> None:
    for seed in range(50):
        late_is_never_missed(answers, random_home(seed), seed, DAYS)


@both
def test_parts_of_a_period_are_settled_on_any_days(answers: Answers) -> None:
    for seed in range(100):
        any_days_settle_all_parts(answers, seed)


@both
@settings(max_examples=200)
@given(HOMES)
def test_windows_of_a_chore_never_overlap(answers: Answers, home: RandomHome) -> None:
    windows_are_apart(answers, home)


@settings(max_examples=100)
@given(HOMES, SEEDS)
def test_every_line_and_minute_of_any_record_counts_once(home: RandomHome, seed: int) -> None:
    each_line_counts_once(home.text(scribble(home, seed)), home.first + 40)


@pytest.mark.parametrize("seed", range(HOMES_LIVED_IN))
def test_product_and_simulator_say_the_same_of_who_lives_by_the_list(seed: int) -> None:
    answers_are_alike(random_home(seed), lived(SIDES.index(PRODUCT), seed))


def test_product_and_simulator_say_the_same_of_any_record() -> None:
    for seed in range(1000, 1140):
        home = random_home(seed)
        answers_are_alike(home, scribble(home, seed, DAYS))


def answers_are_alike(home: RandomHome, record: list[str]) -> None:
    """They share only the reading of lines: what lines mean each works out in its own way."""
    text, days = home.text(record), range(home.first, home.first + DAYS, 3)
    found = first_difference(SIMULATED, PRODUCT, text, days)
    assert found is None, f"{found.difference(SIMULATED, PRODUCT, text)}\n{text}"
