"""The laws of the list and the record, in random homes, for everyone who answers."""

from __future__ import annotations

import pytest
from book_laws import (
    any_days_settle_all_parts,
    each_line_counts_once,
    late_is_never_missed,
    windows_are_apart,
)
from hypothesis import given, settings
from hypothesis import strategies as st
from list_laws import (
    Answers,
    Simulated,
    live_by_the_laws,
)
from random_homes import RandomHome, random_home, scribble

SIDES: list[Answers] = [Simulated()]
both = pytest.mark.parametrize("answers", SIDES, ids=lambda side: type(side).__name__)
SEEDS = st.integers(0, 2**32)
HOMES = SEEDS.map(random_home)


@both
def test_whoever_lives_by_the_list_finds_every_law_of_it_kept(answers: Answers) -> None:
    for seed in range(70):
        home = random_home(seed)
        record = live_by_the_laws(answers, home, seed, days=21)
        each_line_counts_once(home.text(record), home.first + 21)


@both
def test_whoever_is_late_but_before_the_next_has_no_miss_and_no_extra(answers: Answers) -> None:
    for seed in range(60):
        late_is_never_missed(answers, random_home(seed), seed, days=21)


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
