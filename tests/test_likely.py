"""Likely: the quartiles of what chores take together, against the standard library."""

from __future__ import annotations

from itertools import product
from math import prod
from statistics import fmean, median, pstdev, quantiles

import pytest
from books import house, iso
from counted_work import lines_run
from hypothesis import given
from hypothesis import strategies as st
from plain_likely import plain_range
from simulated_minutes import BEGIN, covered, timed_home

from ledger.household.model import Household
from ledger.keeping.day_effects import DAYS, LEAST_DAYS, LINES, day_effects
from ledger.planning.likely import Draw, Quartiles, likely, quartiles

figures = st.one_of(st.integers(1, 8), st.integers(1, 9999))
samples = st.lists(st.lists(figures, min_size=1, max_size=6), max_size=5).filter(
    lambda some: 2 <= prod(map(len, some)) <= 2000
)


@given(samples, st.integers(0, 500))
def test_quartiles_are_those_of_every_total_that_can_be_drawn(
    some: list[list[int]], fixed: int
) -> None:
    """Against `statistics.quantiles`, its inclusive method, and `statistics.median`."""
    totals = [fixed + sum(drawn) for drawn in product(*some)]
    low, middle, high = quantiles(totals, n=4, method="inclusive")
    assert quartiles(some, fixed) == (low, middle, high)
    assert middle == median(totals)


@pytest.mark.parametrize("some", [[], [[5]], [[5], [7]]])
def test_one_possible_total_is_all_three(some: list[list[int]]) -> None:
    total = 30 + sum(only for (only,) in some)
    assert quartiles(some, 30) == Quartiles(total, total, total)


@given(samples)
def test_order_of_chores_and_figures_is_of_no_account(some: list[list[int]]) -> None:
    mixed = [sorted(sample, reverse=True) for sample in reversed(some)]
    assert quartiles(mixed) == quartiles(some)


def test_many_chores_are_symmetric_about_their_middle() -> None:
    """60 chores with 9 figures each can be drawn in 9 ** 60 ways, each sum as often as its
    mirror image, so the quartiles lie alike on both sides of the middle."""
    found = quartiles([list(range(1, 10))] * 60)
    assert found is not None
    low, middle, high = found
    assert middle == 300
    assert 300 - low == high - 300 > 0


def test_chores_of_one_person_each_draw_for_themselves() -> None:
    """Two dice: of 36 throws 10 come to 5 or less, 15 to 6 or less, and so on."""
    die = list(range(1, 7))
    assert quartiles([die, die]) == (5, 7, 9)


def test_one_mistyped_figure_among_many_chores_is_added_up_in_a_moment() -> None:
    """The week of 60 daily chores; the odd figure is in one draw of nine of one of them."""
    plain = [[9, 9, 10, 10, 10, 10, 10, 11, 11]] * 419
    found = quartiles([*plain[:9], [10] * 8 + [9999], *plain[9:]])
    assert found is not None
    assert 4150 < found.low < found.middle < found.high < 4250


def test_where_all_are_far_apart_nothing_is_said() -> None:
    assert quartiles([[10] * 8 + [9999 - n] for n in range(60)]) is None


# ----------------------------------------------------------------- good days and bad, and few lines

timings = st.dictionaries(st.integers(1, 12), figures, min_size=2, max_size=5)
days_of_chores = st.lists(st.sampled_from("abc"), max_size=3).map(sorted)


def draw(chore: str, timed: dict[int, int]) -> Draw:
    return Draw(chore, tuple(timed.values()), tuple(timed))


@given(
    st.fixed_dictionaries(dict.fromkeys("abc", timings)),
    st.lists(days_of_chores, min_size=1, max_size=2).filter(any),
    st.just(()) | st.lists(st.floats(-0.5, 0.5), min_size=2, max_size=4),
    st.integers(0, 50),
)
def test_range_is_that_of_every_total_made_wider_for_what_is_unknown(
    timed: dict[str, dict[int, int]], days: list[list[str]], effects: list[float], fixed: int
) -> None:
    found = likely([[draw(one, timed[one]) for one in some] for some in days], effects, fixed)
    plain = plain_range([[(one, timed[one]) for one in some] for some in days], fixed, effects)
    assert found == pytest.approx(plain)


def test_chores_alone_on_their_day_have_no_day_in_common() -> None:
    a, b = draw("a", {n: 20 + n for n in range(9)}), draw("b", {n: 10 + n for n in range(9, 18)})
    effects = (-0.3, 0.0, 0.3)
    apart, together = likely([[a], [b]], effects), likely([[a, b]], effects)
    assert apart == likely([[a], [b]], ())
    assert together is not None
    assert apart is not None
    assert together.high - together.low > apart.high - apart.low


def test_nothing_timed_has_no_range() -> None:
    assert likely([[], []], (0.1, -0.1), 30) is None


@pytest.mark.parametrize(("kind", "shared"), [("normal", 0.2), ("bad", 0.15)])
@pytest.mark.parametrize("size", [1, 3, 8])
def test_middle_half_holds_half_of_the_days_of_twenty_years(
    kind: str, shared: float, size: int
) -> None:
    """Days of all kinds, and days of which every fifth is a bad one."""
    assert 0.45 <= covered(timed_home(size, shared, 3, kind), 17) <= 0.55


@pytest.mark.parametrize("size", [1, 3, 8])
def test_middle_half_holds_half_of_the_days_where_days_are_alike(size: int) -> None:
    assert 0.45 <= covered(timed_home(size, 0, 3), 17) <= 0.55


@pytest.mark.parametrize("shared", [0, 0.2])
def test_middle_half_of_a_week_holds_half_of_the_weeks(shared: float) -> None:
    assert 0.45 <= covered(timed_home(4, shared, 3), 17, days=7) <= 0.55


# -------------------------------------------------------------------- what the record shows of days


def shown(household: Household, days: int) -> float:
    """The standard deviation of days that so many days of the record show."""
    effects = day_effects(household, BEGIN + days - 1)
    return pstdev(effects) if effects else 0.0


def test_effects_of_days_are_about_those_that_made_the_record() -> None:
    home = timed_home(8, 0.2, 1).household
    found = [shown(home, days) for days in range(60, 6000, 60)]
    assert fmean(found) == pytest.approx(0.2, abs=0.02)
    for days in (100, 1000):
        assert fmean(day_effects(home, BEGIN + days)) == pytest.approx(0)


def test_days_that_are_alike_show_next_to_nothing() -> None:
    home = timed_home(8, 0, 1).household
    found = [shown(home, days) for days in range(60, 6000, 60)]
    assert sum(one == 0 for one in found) > len(found) / 2
    assert fmean(found) < 0.03


def test_few_days_and_days_with_one_timed_line_show_nothing() -> None:
    two, one = timed_home(2, 0.3, 1).household, timed_home(1, 0.3, 1).household
    assert shown(two, LEAST_DAYS - 1) == 0
    assert shown(two, DAYS) > 0
    assert shown(one, DAYS) == 0


def test_days_are_looked_at_no_further_back_however_long_the_record_is() -> None:
    home = timed_home(5, 0.2, 1).household
    work = [lines_run(lambda on: day_effects(home, BEGIN + on), days) for days in (60, 700, 7000)]
    assert max(work) < 1.1 * min(work)


def test_long_days_are_looked_at_up_to_a_number_of_lines() -> None:
    lines = [f"{iso(BEGIN + n // 500)} did c{n % 7} {3 + n % 5} min" for n in range(9000)]
    chores = [f"    c{n}  5 min" for n in range(7)]
    homes = {n: house("every day", *chores, *lines[:n]) for n in (2 * LINES, 9000)}
    for home in homes.values():
        home.log.by_chore  # noqa: B018
    last = {n: home.log.dates[-1] for n, home in homes.items()}
    work = [lines_run(lambda n: day_effects(homes[n], last[n]), n) for n in homes]
    assert max(work) < 1.1 * min(work)
