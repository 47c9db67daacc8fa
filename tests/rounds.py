"""Rounds for tests: a home, its list, and keys pressed one after another."""

from __future__ import annotations

from collections.abc import Iterable

from books import day
from hypothesis import strategies as st

from ledger.evening.progress import Progress
from ledger.evening.rows import RoundList, round_list
from ledger.evening.state import KEYS, MOVES, State, begun, press
from ledger.household.model import Household
from ledger.report.due import due
from ledger.text.source import Source
from ledger.workspace import Workspace, read_sources

TODAY = "2026-03-04"
BEGAN = 1_772_653_200.0
"""Wednesday 4 March 2026, 19:40 in UTC."""
BOOK = """\
household "A flat"
since 2026-03-01
person noor
person tam
area kitchen
area bathroom
every day "Morning tin"
    beds    5 min  in kitchen  by each
    cups    4 min  in kitchen  by noor
        - Rinse them first
        - Handles to the right
every day "Evening tin"
    sink   15 min  in kitchen  by noor then tam  "The sink and the counters"
    table  10 min  in kitchen  by noor and tam
every wednesday
    oven   20 min  in bathroom  uses bleach
    lime   10 min  in bathroom  uses vinegar  vital
    mats           in bathroom
every week
    mop    30 min  in kitchen
every month spare
    photos 30 min
"""

NAMED_KEYS = [*MOVES, *KEYS, "backspace"]
PRESSES = st.lists(
    st.tuples(
        st.one_of(
            st.sampled_from(NAMED_KEYS),
            st.sampled_from(["space", "t", "m", "s", "y", "down", "enter", "1", "9"]),
            st.characters(),
        ),
        st.floats(0, 900),
    ),
    max_size=60,
)
"""Keys, each with the seconds before it."""


def workspace(text: str = BOOK, today: str = TODAY) -> Workspace:
    """A home as of a day."""
    return read_sources([Source("home.chores", text)]).on(day(today))


def listed(household: Household) -> RoundList:
    """The list of a home's today."""
    return round_list(household, due(household, household.today))


def start(household: Household, who: str | None = "noor") -> State:
    """A round that begins."""
    return begun(listed(household), Progress(household.today, BEGAN, who))


def pressed(state: State, keys: str | Iterable[str], now: float = BEGAN) -> State:
    """A state after some keys; a text is keys with blanks between them."""
    for key in keys.split() if isinstance(keys, str) else keys:
        state = press(state, key, now)
    return state


def at(state: State, chore: str, person: str = "") -> State:
    """The state with the pointer on a row."""
    keys = [row.key for row in state.list.rows]
    there = keys.index((chore, person))  # type: ignore[arg-type]
    return pressed(state, ["home", *["down"] * there])


def gone_through(state: State, presses: list[tuple[str, float]]) -> tuple[State, float]:
    """A state after keys at their times, and the time then."""
    now = BEGAN
    for key, seconds in presses:
        now += seconds
        state = press(state, key, now)
    return state, now
