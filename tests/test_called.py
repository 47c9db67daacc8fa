"""Called: what words mean; an exact name is always that, and what fits several is none of them."""

from __future__ import annotations

from datetime import date
from functools import partial
from typing import NamedTuple

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.cli.items import Item, Known, items_named
from ledger.household.called import Called


class Thing(NamedTuple):
    """A thing with a title."""

    title: str


def called(**titles: str) -> Called:
    return Called({name.replace("_", "-"): Thing(title) for name, title in titles.items()})


HOME = called(
    wash_up="Dishes and counters",
    wash_clothes="A load, hung and folded",
    put_away="Put away last night's dishes",
    walk_dog="walk dog",
    bins_out="Bins to the kerb",
    oven="oven",
    oven_door="oven door",
    ölen="Scharniere ölen",
)

FITS = [
    ("oven", ["oven"]),
    ("OVEN", ["oven"]),
    ("oven d", ["oven-door"]),
    ("ov", ["oven", "oven-door"]),
    ("dishes and counters", ["wash-up"]),
    ("dishes", ["wash-up"]),
    ("wash", ["wash-up", "wash-clothes"]),
    ("wash-c", ["wash-clothes"]),
    ("walk dog", ["walk-dog"]),
    ("dog walk", ["walk-dog"]),
    ("do w", ["walk-dog"]),
    ("d w", ["wash-up", "walk-dog"]),
    ("night dishes", ["put-away"]),
    ("hung", ["wash-clothes"]),
    ("kerb bin", ["bins-out"]),
    ("O\u0308LEN", ["ölen"]),
    ("scharn", ["ölen"]),
    ("fridge", []),
    ("dogs", []),
    ("", []),
    (" - ", []),
    ("the oven", ["oven"]),
    ("walk the dog", ["walk-dog"]),
    ("the", []),
    ("to", []),
]


@pytest.mark.parametrize(("text", "names"), FITS)
def test_words_fit_the_name_the_title_its_beginning_or_its_words(
    text: str, names: list[str]
) -> None:
    assert HOME.fitting(text) == names


@pytest.mark.parametrize(
    ("text", "name"),
    [("ovn", "oven"), ("bin-out", "bins-out"), ("walks dog", "walk-dog"), ("the bins", "bins-out"),
     ("dishes and countrs", "wash-up"), ("night-dish-cloth", "put-away"), ("xylophone", None),
     ("", None)],
)  # fmt: skip
def test_nearest_goes_by_slips_and_by_words_in_common(text: str, name: str | None) -> None:
    assert HOME.nearest(text) == name


def test_nothing_is_near_where_nothing_is_known() -> None:
    assert called().nearest("oven") is None
    assert called().fitting("oven") == []


def test_choices_are_shown_with_the_titles_that_say_more() -> None:
    assert HOME.shown(["wash-up", "oven"]) == ["`wash-up` (Dishes and counters)", "`oven`"]


NAMES = st.from_regex(r"[a-cA-Cä]{1,3}(-[a-c]{1,2})?", fullmatch=True)


@given(st.dictionaries(NAMES, st.builds(Thing, st.text("abc ", min_size=1, max_size=8))))
def test_what_is_called_by_its_exact_name_is_always_that(known: dict[str, Thing]) -> None:
    for name in known:
        assert Called(known).fitting(name) == [name]


@given(
    st.dictionaries(NAMES, st.builds(Thing, st.text("abc ", min_size=1, max_size=8))),
    st.text("bc- ", max_size=5),
)
def test_what_fits_begins_words_of_the_name_or_the_title(
    known: dict[str, Thing], text: str
) -> None:
    for name in Called(known).fitting(text):
        whole = f"{name} {known[name].title}".casefold().replace("-", " ").split()
        typed = text.casefold().replace("-", " ").split()
        assert all(any(word.startswith(one) for word in whole) for one in typed)


def test_a_row_of_exact_names_is_each_of_them_whatever_the_titles() -> None:
    known = Known(called(oven="x", sheets="y", both="Oven sheets", wash_oven="z"), called())
    named = partial(items_named, known=known, today=date(2026, 3, 4))
    assert named(["oven", "sheets"]) == [Item("oven"), Item("sheets")]
    assert named(["oven sheets"]) == [Item("both")]
    assert named(["Oven", "sheets", "5"]) == [Item("both", "5 min")]
    assert named(["wash", "oven"]) == [Item("wash-oven")]


@given(
    st.dictionaries(NAMES, st.builds(Thing, st.text("abc ", min_size=1, max_size=8)), min_size=1),
    st.data(),
)
def test_exact_names_in_a_call_are_always_those(
    known: dict[str, Thing], data: st.DataObject
) -> None:
    words = data.draw(st.lists(st.sampled_from(sorted(known)), min_size=1, max_size=5))
    items = items_named(words, Known(Called(known), called()), date(2026, 3, 4))
    assert [item.name for item in items] == words
