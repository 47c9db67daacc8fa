"""Merging steps, lists and the other lines of a book whose parts are merged one by one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable, Sequence
from typing import TypeVar

import pytest
from hypothesis import given
from hypothesis import strategies as st
from test_merge import all_comments, clean, conflicts, merged, tree_of

from ledger.text.clauses import ChoreLine
from ledger.text.tree import Step

T = TypeVar("T", bound=Hashable)
Steps = Sequence[str]


def walk(*steps: str, line: str = "walk  20 min") -> str:
    """A book of three chores, the second with steps."""
    below = "".join(f"        {step}\n" for step in steps)
    return f"every day\n    wash  5 min\n    {line}\n{below}    dry  5 min\n"


def owned(text: str) -> list[tuple[str, str]]:
    """Each step with the chore that it belongs to."""
    return [
        (owner.node.name.value, line.node.text.value)
        for line, owner in tree_of(text).owned_steps()
        if owner and isinstance(owner.node, ChoreLine) and isinstance(line.node, Step)
    ]


# ------------------------------------------------------------------------ steps

THREE = ("- a", "- b", "- c")


@pytest.mark.parametrize(
    ("ours", "theirs", "wanted"),
    [
        (("- a", "- x", "- c"), ("- a", "- b", "- y"), ("- a", "- x", "- y")),
        (("- x", "- b", "- c"), ("- a", "- y", "- c"), ("- x", "- y", "- c")),
        (("- a", "- b"), ("- x", "- a", "- b", "- c"), ("- x", "- a", "- b")),
        ((*THREE, "- x"), (*THREE, "- y"), (*THREE, "- x", "- y")),
        ((*THREE, "- x", "- y"), (*THREE, "- y"), (*THREE, "- x", "- y")),
        (("- a", "- x", "- b", "- c"), ("- a", "- b", "- c", "- y"),
         ("- a", "- x", "- b", "- c", "- y")),
        (("- c", "- a", "- b"), (*THREE, "- y"), ("- c", "- a", "- b", "- y")),
        (("- x", "- y", "- c"), ("- x", "- b", "- c"), ("- x", "- y", "- c")),
        ((), THREE, ()),
        (("- a", "- b", "- c", "- x"), ("-   a", "- b", "- c"), ("-   a", "- b", "- c", "- x")),
        (("- a", "# note", "- b", "- c"), ("- a", "- b", "- x"), ("- a", "# note", "- b", "- x")),
        (("- a", "# one", "- b", "- c"), ("- a", "# two", "- b", "- c"),
         ("- a", "# two", "# one", "- b", "- c")),
        (("- a", "# one", "- c"), ("- a", "# two", "- b", "- c"), ("- a", "# two", "# one", "- c")),
    ],
)  # fmt: skip
def test_steps_that_both_sides_change_come_together(
    ours: Steps, theirs: Steps, wanted: Steps
) -> None:
    one = clean(walk(*THREE), walk(*ours), walk(*theirs, line="walk  25 min"))
    assert one == walk(*wanted, line="walk  25 min")
    other = clean(walk(*THREE), walk(*theirs, line="walk  25 min"), walk(*ours))
    assert owned(other) == owned(one)
    assert all_comments(other) == all_comments(one)


@pytest.mark.parametrize(
    ("base", "ours", "theirs", "wanted"),
    [
        (THREE, ("- a", "- x", "- c"), ("- a", "- y", "- c"), {("- x", "- y")}),
        (THREE, ("- a", "- c"), ("- a", "- y", "- c"), {("", "- y")}),
        (THREE, ("- x", "- y", "- c"), ("- z", "- b", "- c"), {("- x", "- z")}),
        (THREE, ("- x", "- x2", "- b", "- c"), ("- y", "- b", "- c"), {("- x - x2", "- y")}),
        ((), ("- a", "- x"), ("- a", "- y", "- z"), {("- x", "- y - z")}),
    ],
)
def test_a_step_that_both_change_differently_is_a_conflict_of_that_step(
    base: Steps, ours: Steps, theirs: Steps, wanted: set[tuple[str, str]]
) -> None:
    found = merged(walk(*base), walk(*ours), walk(*theirs, line="walk  25 min"))
    assert conflicts(found) == wanted
    assert len(found.conflicts) == len(wanted)
    # The marks do not part the steps from their chore.
    assert {chore for chore, _ in owned(found.source.text)} == {"walk"}
    assert "    walk  25 min\n" in found.source.text


def test_steps_go_where_their_chore_goes() -> None:
    base = walk(*THREE) + "\nevery monday\n    bins  5 min\n"
    ours = walk().replace("    walk  20 min\n", "") + (
        "\nevery monday\n    bins  5 min\n    walk  20 min\n        - a\n        - b\n        - c\n"
    )
    theirs = base.replace("- b", "- x").replace("walk  20", "walk  30")
    wanted = ours.replace("- b", "- x").replace("walk  20", "walk  30")
    assert clean(base, ours, theirs) == wanted
    assert clean(base, theirs, ours) == wanted


def test_steps_go_with_a_chore_that_is_taken_out() -> None:
    theirs = walk(*THREE).replace("wash  5", "wash  6")
    gone = walk().replace("    walk  20 min\n", "")
    assert clean(walk(*THREE), gone, theirs) == gone.replace("wash  5", "wash  6")


def test_changed_steps_of_a_chore_that_is_taken_out_are_a_conflict_of_the_whole() -> None:
    gone = walk().replace("    walk  20 min\n", "")
    found = merged(walk(*THREE), gone, walk("- a", "- x", "- c"))
    assert conflicts(found) == {("", "walk 20 min - a - x - c")}
    respaced = walk("-   a", "-b", "- c")
    assert clean(walk(*THREE), gone, respaced) == gone


def test_a_comment_between_steps_of_a_chore_that_is_taken_out_stays() -> None:
    gone = walk().replace("    walk  20 min\n", "")
    found = clean(walk(*THREE), gone, walk("- a", "# careful", "- b", "- c"))
    assert found == gone.replace("    dry", "        # careful\n    dry")


def test_a_comment_that_both_sides_move_stands_once() -> None:
    base = walk(*THREE).replace("    dry", "    # note\n    dry")
    ours = walk(*THREE, "# note", "- x").replace("        # note", "    # note")
    theirs = walk(*THREE).replace("    wash", "    # note\n    wash")
    assert clean(base, ours, theirs) == ours
    assert clean(base, theirs, ours) == ours


def test_steps_of_a_chore_that_both_move_are_on_both_places() -> None:
    base = walk(*THREE) + "\nevery monday\n    bins  5 min\n\nevery friday\n    oven  9 min\n"
    block = "    walk  20 min\n        - a\n        - b\n        - c\n"
    ours = base.replace(block, "").replace("    bins", block + "    bins")
    theirs = base.replace(block, "").replace("    oven", block + "    oven")
    found = merged(base, ours, theirs)
    said = " ".join(block.split())
    assert conflicts(found) == {(said, ""), ("", said)}


def test_steps_below_a_line_that_cannot_be_read_are_merged_too() -> None:
    base = walk(*THREE, line="walk  20 mins")
    ours = walk("- x", "- b", "- c", line="walk  20 mins")
    theirs = walk("- a", "- b", line="walk  20 mins")
    assert clean(base, ours, theirs) == walk("- x", "- b", line="walk  20 mins")


def test_a_step_of_no_chore_stays_where_it_is() -> None:
    base = "every day\n        - lost\n    wash  5 min\n"
    ours, theirs = base.replace("5 min", "6 min"), base + "    dry  5 min\n"
    assert clean(base, ours, theirs) == base.replace("5 min", "6 min") + "    dry  5 min\n"


def test_marks_between_steps_stay_where_they_are() -> None:
    marked = walk("- a", "<<<<<<< a", "- b", "=======", "- x", ">>>>>>> b", "- c").replace(
        "        <", "<").replace("        =", "=").replace("        >", ">")  # fmt: skip
    theirs = walk(*THREE).replace("wash  5", "wash  6")
    assert clean(walk(*THREE), marked, theirs) == marked.replace("wash  5", "wash  6")
    clashing = merged(walk(), marked.replace("        - a\n", ""), walk("- y")).source.text
    assert "<<<<<<<< ours\n<<<<<<< a\n" in clashing


letters = st.lists(st.sampled_from(["- a", "- b", "- c", "# x", "# y", ""]), max_size=6)


def _kept(base: Counter[T], ours: Counter[T], theirs: Counter[T]) -> set[T]:
    """What neither side has fewer times than the version both come from."""
    return {one for one in {**ours, **theirs} if ours[one] >= base[one] <= theirs[one]}


@given(letters, letters, letters)
def test_no_step_and_no_comment_is_lost(base: Steps, ours: Steps, theirs: Steps) -> None:
    three = walk(*base), walk(*ours), walk(*theirs)
    one, other = merged(*three), merged(three[0], three[2], three[1])
    before, mine, others, now = (Counter(owned(text)) for text in (*three, one.source.text))
    assert _kept(before, mine, others) <= now.keys() <= mine.keys() | others.keys()
    assert all(chore == "walk" for chore, _ in now)
    comments = [all_comments(text) for text in (*three, one.source.text)]
    assert _kept(*comments[:3]) <= comments[3].keys()
    assert conflicts(one) == {(second, first) for first, second in conflicts(other)}
    if not one.conflicts:
        assert owned(one.source.text) == owned(other.source.text)


@given(letters, letters)
def test_steps_that_one_side_changes_are_as_that_side_has_them(base: Steps, side: Steps) -> None:
    theirs = walk(*base).replace("wash  5", "wash  6")
    assert clean(walk(*base), walk(*side), theirs) == walk(*side).replace("wash  5", "wash  6")
    assert clean(walk(*base), theirs, walk(*side)) == walk(*side).replace("wash  5", "wash  6")


def plainly(base: Steps, ours: Steps, theirs: Steps) -> list[str] | None:
    """Steps that all differ, merged by going through those of the base; None for a conflict."""
    found: list[str] = []
    places = [-1, *(base.index(step) for step in base)]
    for place in places:
        if place >= 0:
            step = base[place]
            if step in ours and step in theirs:
                found.append(step)
        after = [_added(base, side, place) for side in (ours, theirs)]
        if after[0] and after[1]:
            return None
        found += after[0] + after[1]
    return found


def _added(base: Steps, side: Steps, place: int) -> list[str]:
    """The new steps of a side behind a step of the base, and before the next that it kept."""
    start = side.index(base[place]) + 1 if place >= 0 and base[place] in side else None
    if place < 0:
        start = 0
    if start is None:
        return []
    found = []
    for step in side[start:]:
        if step in base:
            break
        found.append(step)
    return found


@st.composite
def insertions(draw: st.DrawFn) -> tuple[list[str], list[str], list[str]]:
    """Steps, and two sides that each put new ones between them."""
    base = [f"- {n}" for n in range(draw(st.integers(1, 5)))]
    ours, theirs = list(base), list(base)
    for who, side in (("x", ours), ("y", theirs)):
        for number, place in enumerate(draw(st.lists(st.integers(0, 5), max_size=3))):
            side.insert(place, f"- {who}{number}")
    return base, ours, theirs


@given(insertions())
def test_new_steps_stand_where_their_side_put_them(
    three: tuple[list[str], list[str], list[str]],
) -> None:
    wanted = plainly(*three)
    found = clean(*(walk(*steps) for steps in three))
    if wanted is not None:
        assert found == walk(*wanted)
    assert Counter(owned(found)) == Counter(("walk", step[2:]) for step in {*three[1], *three[2]})


# ------------------------------------------------------------------------ lists

HEAD = "person ann\nperson ben\nperson cat\narea attic\narea hall\n"


@pytest.mark.parametrize(
    ("base", "ours", "theirs", "wanted"),
    [
        ("a  in attic", "a  in attic, hall", "a  in attic, shed", "a  in attic, hall, shed"),
        ("a  in attic, hall", "a  in attic", "a  in attic, hall, shed", "a  in attic, shed"),
        ("a", "a  uses soap", "a  uses water", "a  uses soap, water"),
        ("a  in hall, attic", "a  in attic, hall", "a  in attic, hall, shed",
         "a  in attic, hall, shed"),
        ("a  except may", "a  except may, friday", "a  except may, school",
         "a  except may, friday, school"),
        ("a", "a  except school", "a  except friday", "a  except friday, school"),
        ("a  during may", "a  during may, june", "a  during may, july",
         "a  during may, june, july"),
        ("a  by each of ann", "a  by each of ann, ben", "a  by each of ann, cat",
         "a  by each of ann, ben, cat"),
        ("a  by ann and ben", "a  by ben", "a  by ann and ben  vital", "a  by ben  vital"),
        ("a  vital", "a  vital  expires", "a", "a  expires"),
    ],
)  # fmt: skip
def test_items_of_one_list_are_merged_one_by_one(
    base: str, ours: str, theirs: str, wanted: str
) -> None:
    books = [f"{HEAD}\nevery day\n    {line}\n" for line in (base, ours, theirs, wanted)]
    assert clean(*books[:3]) == books[3]
    assert clean(books[0], books[2], books[1]) == books[3]


@pytest.mark.parametrize(
    ("base", "ours", "theirs"),
    [
        ("a  in attic", "a  in hall", "a  in shed"),
        ("a  during may", "a", "a  during may, june"),
        ("a  during may, june", "a  during may", "a  during june"),
        ("a", "a  during may", "a  during june"),
        ("a  by ann", "a  by ben", "a  by cat"),
        ("a", "a  by ann", "a  by ben"),
        ("a  by ann or ben", "a  by ann and ben", "a  by ann or ben or cat"),
        ("a  by ann then ben", "a  by ann then ben then cat", "a  by cat then ann then ben"),
        ("a", "a  vital", "a  spare"),
    ],
)
def test_lists_that_contradict_each_other_are_a_conflict(base: str, ours: str, theirs: str) -> None:
    one, two, three = (f"{HEAD}\nevery day\n    {line}\n" for line in (base, ours, theirs))
    assert conflicts(merged(one, two, three)) == {
        (" ".join(ours.split()), " ".join(theirs.split()))
    }


DAYS = "days school  2026-09-02 to 2026-10-23, 2026-11-02 to 2026-12-18\n"


@pytest.mark.parametrize(
    ("base", "ours", "theirs", "wanted"),
    [
        (DAYS, DAYS.replace("\n", ", 2027-01-04 to 2027-02-12\n"),
         DAYS.replace("12-18\n", "12-18, 2026-12-21\n"),
         DAYS.replace("\n", ", 2026-12-21, 2027-01-04 to 2027-02-12\n")),
        (DAYS, DAYS.replace("-18\n", '-18  "School days"\n'), DAYS + DAYS.replace("2026", "2027"),
         DAYS.replace("-18\n", '-18  "School days"\n') + DAYS.replace("2026", "2027")),
        ("days x  every friday\n", "days x  every friday  within 2 days\n",
         'days x  every friday  "Off"\n', 'days x  every friday  within 2 days  "Off"\n'),
        ("rest from 2026-11-16 by ben\n", "rest 2026-11-16 to 2026-11-20 by ben\n",
         'rest from 2026-11-16 by ben "Flu"\n', 'rest 2026-11-16 to 2026-11-20 by ben "Flu"\n'),
        ("away dads by ann\n", "away dads, school by ann\n", "away dads by ann, ben\n",
         "away dads, school by ann, ben\n"),
        ("away 2026-07-04\n", "away 2026-07-04\nrest 2026-07-04\n",
         "away 2026-07-04 to 2026-07-09\n", "away 2026-07-04 to 2026-07-09\nrest 2026-07-04\n"),
        ("days x 2026-07-01\ndays x 2026-09-01\n",
         "days x 2026-05-01\ndays x 2026-07-01\ndays x 2026-09-01\n",
         "days x 2026-07-01\ndays x 2026-09-01, 2026-09-03\n",
         "days x 2026-05-01\ndays x 2026-07-01\ndays x 2026-09-01, 2026-09-03\n"),
        ("away 2026-07-04 by ann\n", "away 2026-07-04 by ben\naway 2026-07-04 by ann\n",
         "away 2026-07-04 to 2026-07-09 by ann\n",
         "away 2026-07-04 by ben\naway 2026-07-04 to 2026-07-09 by ann\n"),
        ("limit ben           1 h\nlimit ben saturday  2 h\n",
         "limit ben           1 h\nlimit ben saturday  3 h\n",
         "limit ben           2 h\nlimit ben saturday  2 h\n",
         "limit ben           2 h\nlimit ben saturday  3 h\n"),
        ("every day\n    a\n", "every day except may, friday\n    a\n",
         "every day except school\n    a\n", "every day except may, friday, school\n    a\n"),
        ("every week\n    a\n", "2 times every week\n    a\n", "every week spare\n    a\n",
         "2 times every week spare\n    a\n"),
    ],
)  # fmt: skip
def test_days_and_limits_are_merged_clause_by_clause(
    base: str, ours: str, theirs: str, wanted: str
) -> None:
    def said(text: str) -> set[tuple[str, ...]]:
        return {tuple(sorted(line.replace(",", " ").split())) for line in text.splitlines()}

    assert said(clean(base, ours, theirs)) == said(wanted)
    assert said(clean(base, theirs, ours)) == said(wanted)


@pytest.mark.parametrize(
    ("base", "ours", "theirs"),
    [
        ("rest from 2026-11-16\n", "rest 2026-11-16 to 2026-11-20\n",
         "rest 2026-11-16 to 2026-11-21\n"),
        ("days x 2026-11-16\n", "days x every friday within 2 days\n",
         "days x 2026-11-16, 2026-11-18\n"),
        ("away dads by ann\n", "away dads by ann, ben\n", "away dads\n"),
        ("limit ben saturday 1 h\n", "limit ben saturday 2 h\n", "limit ben saturday 3 h\n"),
    ],
)  # fmt: skip
def test_days_and_limits_that_clash_are_a_conflict(base: str, ours: str, theirs: str) -> None:
    found = conflicts(merged(base, ours, theirs))
    assert found == {(" ".join(ours.split()), " ".join(theirs.split()))}
