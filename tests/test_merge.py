"""Merge: laws over random edits of one book, and the cases that a household meets."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Sequence

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from strategies import arbitrary_lines, comments, lines, mutated

from ledger.text.clauses import SectionHeader
from ledger.text.formatter import format_tree, is_formatted
from ledger.text.reader import Reader
from ledger.text.source import Source
from ledger.text.tree import Tree
from ledger.versions.merge import Labels, Merged, merge
from ledger.versions.order import pieces
from ledger.versions.settled import settled_lines
from ledger.versions.units import FileVersion, versions
from ledger.workspace import read_sources

BASE = """\
# The book of a house by the mill.

household "Mill House"
since 2026-01-01

person ann
person ben

area attic
area cellar  "Cellar and stairs"

# What a day can hold.
limit weekday   40 min
limit saturday   2 h

every day
    dishes  15 min  in cellar  by ann then ben
    # The cat does not count as a person.
    feed     5 min             by ann or ben

every saturday "Big tin"
    dust   20 min  in attic
    boxes  30 min  in attic  # ask first

# Outdoors

every 2 weeks on friday from 2026-01-02
    lawn  25 min

2026-01-01 did dishes 12 min by ann
2026-01-02 did dishes, feed
2026-01-02 did lawn 25 min "wet"
# From here on with the new mower.
2026-01-03 did dust
2026-01-03 did dust
2026-01-04 skipped dishes  # out
2026-01-05 moved dust to 2026-01-06
"""

Edit = tuple[str, int, int]
Lines = list[str]


def of(text: str) -> Source:
    return Source("home.chores", text)


def merged(base: str, ours: str, theirs: str, labels: Labels | None = None) -> Merged:
    found = merge(of(base), of(ours), of(theirs), labels or Labels())
    assert found.source.path == "home.chores"
    return found


def clean(base: str, ours: str, theirs: str) -> str:
    """The text of a merge without a conflict."""
    found = merged(base, ours, theirs)
    assert found.conflicts == ()
    return found.source.text


def tree_of(text: str) -> Tree:
    return Reader().read(of(text))


# ------------------------------------------------------------------------ what is compared


def record(text: str) -> Counter[Hashable]:
    """The lines of a record by date and words, and how often each stands."""
    tree = tree_of(text).record
    return Counter(zip(tree.dates, tree.entries, strict=True))


def days(text: str) -> list[int]:
    return tree_of(text).record.dates


def all_comments(text: str) -> Counter[Hashable]:
    return Counter(line.comment.value for line in tree_of(text).all_lines() if line.comment)


def unread(text: str) -> Counter[Hashable]:
    tree = tree_of(text)
    found = (tree.source.lines[line.number].strip() for line in tree.lines if line.fault)
    return Counter(found)


def names(text: str) -> Counter[Hashable]:
    """What the lines of a routine and its declarations are about."""
    nodes = (line.node for line in tree_of(text).lines)
    return Counter(
        (type(node), (node.cadence, node.title) if isinstance(node, SectionHeader) else node[0])
        for node in nodes
        if node is not None
    )


def reading(text: str) -> tuple[object, ...]:
    """What a book means, but for the order of its lines, which is free save in the record."""
    house = read_sources([of(text)]).household
    chores = {
        name: (chore.title, Counter(map(repr, (line.section[:-1] for line in chore.routines))),
               Counter((line.minutes, line.areas, line.assignment, line.first, line.last,
                        line.things, line.after, line.paused) for line in chore.routines))
        for name, chore in house.chores.items()
    }  # fmt: skip
    log = list(zip(house.log.dates, house.log.entries, strict=True))
    limits = {who: limit.minutes for who, limit in house.limits.items()}
    declared = dict(house.people), dict(house.areas), limits
    return house.title, house.since, *declared, chores, log


def added_up(
    base: str, ours: str, theirs: str, counted: Callable[[str], Counter[Hashable]]
) -> Counter[Hashable]:
    """How often each thing is to stand: as either side changed it, or as both did at most."""
    b, o, t = map(counted, (base, ours, theirs))
    found: Counter[Hashable] = Counter()
    for key in {*b, *o, *t}:
        ours_by, theirs_by = o[key] - b[key], t[key] - b[key]
        if ours_by * theirs_by > 0:
            change = max(ours_by, theirs_by, key=abs)
        else:
            change = ours_by + theirs_by
        if b[key] + change:
            found[key] = b[key] + change
    return found


def kept(
    base: str, ours: str, theirs: str, counted: Callable[[str], Counter[Hashable]]
) -> set[Hashable]:
    """The things that neither side has fewer times than the version both come from."""
    b, o, t = map(counted, (base, ours, theirs))
    return {key for key in {*o, *t} if o[key] >= b[key] <= t[key]}


# ------------------------------------------------------------------------ random edits


def _at(places: Sequence[int], number: int) -> int:
    return places[number % len(places)]


def _places(text: Lines, start: Callable[[str], bool]) -> list[int]:
    return [number for number, line in enumerate(text) if start(line)]


def _chores(text: Lines) -> list[int]:
    return _places(text, lambda line: line.startswith("    ") and "#" not in line[:6])


def _headers(text: Lines) -> list[int]:
    return _places(text, lambda line: line.startswith("every"))


def _record(text: Lines) -> list[int]:
    return _places(text, lambda line: line[:4].isdigit())


def edited(text: str, edits: Iterable[Edit], side: str) -> str:
    """A book after some edits, each of which a person makes in a minute."""
    found = text.split("\n")[:-1]
    for kind, n, m in edits:
        if kind == "append":
            day = f"2026-01-{4 + n % 5:02}"
            line = f"{day} did {('dishes', 'feed', 'dust')[m % 3]}"
            later = [k for k in _record(found) if found[k][:10] > day]
            found.insert(later[0] if later else len(found), line)
        elif kind == "correct" and (some := _record(found)):
            found[_at(some, n)] = found[_at(some, n)][:10] + f" did lawn {1 + m} min"
        elif kind == "take" and (some := _record(found)):
            del found[_at(some, n)]
        elif kind == "minutes" and (some := _chores(found)):
            line = found[_at(some, n)]
            found[_at(some, n)] = re.sub(r"\d+ min", f"{1 + m} min", line, count=1)
        elif kind == "area" and (some := _chores(found)):
            line = found[_at(some, n)]
            area = "in attic" if m % 2 else "in cellar"
            there = re.search(r"in (attic|cellar)", line)
            found[_at(some, n)] = line.replace(there[0], area) if there else f"{line}  {area}"
        elif kind == "move" and (some := _chores(found)):
            line = found.pop(_at(some, n))
            found.insert(_at(_headers(found), m) + 1, line)
        elif kind == "add":
            name = f"new-{'abc'[m % 3]}"
            if not any(line.split()[:1] == [name] for line in found):
                found.insert(_at(_headers(found), n) + 1, f"    {name}  {1 + m % 2} min")
        elif kind == "retire" and (some := _chores(found)):
            del found[_at(some, n)]
        elif kind == "remark":
            found.insert(n % (len(found) + 1), f"# {side} {m}")
        elif kind == "forget" and (some := _places(found, lambda line: line[:1] == "#")):
            del found[_at(some, n)]
        elif kind == "limit" and (some := _places(found, lambda line: line[:5] == "limit")):
            line = found[_at(some, n)]
            found[_at(some, n)] = f"{line[:14]} {1 + m} min"
        elif kind == "title":
            some = _places(found, lambda line: line[:4] == "area")
            found[_at(some, n)] = f'{" ".join(found[_at(some, n)].split()[:2])}  "T{m}"'
    return "\n".join(found) + "\n"


KINDS = ("append", "correct", "take", "minutes", "area", "move", "add", "retire", "remark",
         "forget", "limit", "title")  # fmt: skip
some_edits = st.lists(
    st.tuples(st.sampled_from(KINDS), st.integers(0, 40), st.integers(0, 40)), max_size=5
)
sides = st.tuples(some_edits, some_edits).map(
    lambda edits: (edited(BASE, edits[0], "ann"), edited(BASE, edits[1], "ben"))
)


@given(sides)
def test_record_is_what_both_sides_make_of_it_in_order_of_date(both: tuple[str, str]) -> None:
    result = merged(BASE, *both).source.text
    assert record(result) == added_up(BASE, *both, record)
    assert days(result) == sorted(days(result))


@given(sides)
def test_every_comment_stands_that_no_side_took_out(both: tuple[str, str]) -> None:
    found = all_comments(merged(BASE, *both).source.text).keys()
    assert added_up(BASE, *both, all_comments).keys() <= found
    assert found <= all_comments(both[0]).keys() | all_comments(both[1]).keys()


@given(sides)
def test_only_the_marks_of_conflicts_cannot_be_read(both: tuple[str, str]) -> None:
    found = merged(BASE, *both)
    tree = tree_of(found.source.text)
    marks = [tree.source.lines[line.number] for line in tree.lines if line.fault]
    assert marks == ["<<<<<<< ours", "=======", ">>>>>>> theirs"] * len(found.conflicts)
    opened = [n for n, line in enumerate(tree.source.lines, 1) if line.startswith("<<<<<<<")]
    assert list(found.conflicts) == opened


@given(sides)
def test_swapping_the_sides_changes_no_meaning(both: tuple[str, str]) -> None:
    ours, theirs = both
    one, other = merged(BASE, ours, theirs), merged(BASE, theirs, ours)
    assert conflicts(one) == {(second, first) for first, second in conflicts(other)}
    assert len(one.conflicts) == len(other.conflicts)
    assert all_comments(one.source.text).keys() == all_comments(other.source.text).keys()
    if not one.conflicts:
        assert reading(one.source.text) == reading(other.source.text)


def conflicts(found: Merged) -> set[tuple[str, str]]:
    """Both sides of every conflict, without their blanks."""
    text = found.source.text
    parts = re.findall(r"<{7} ours\n(.*?)={7}\n(.*?)>{7} theirs\n", text, re.DOTALL)
    return {(" ".join(ours.split()), " ".join(theirs.split())) for ours, theirs in parts}


@given(some_edits)
def test_one_side_alone_and_two_alike_are_kept_to_the_letter(edits: list[Edit]) -> None:
    side = edited(BASE, edits, "ann")
    assert merged(BASE, side, BASE) == (of(side), ())
    assert merged(BASE, BASE, side) == (of(side), ())
    assert merged(BASE, side, side) == (of(side), ())


@given(some_edits)
def test_what_one_side_changes_is_kept_to_the_letter_beside_a_change_elsewhere(
    edits: list[Edit],
) -> None:
    theirs = BASE.replace('household "Mill House"', 'household "Old Mill"')
    side = edited(BASE, edits, "ann").replace("person ben\n", "person ben   # at work\n")
    wanted = side.replace('household "Mill House"', 'household "Old Mill"')
    assert clean(BASE, side, theirs) == wanted
    assert clean(BASE, theirs, side) == wanted


# ------------------------------------------------------------------------ books of any kind

remarks = st.builds(str.__add__, st.sampled_from(["", "    ", "\t"]), comments)
headers = st.sampled_from(["every day", "every mondy", "weekend 1", 'every day "T"', "persn x"])
marks = st.sampled_from(["<<<<<<< a", "=======", ">>>>>>> b", "||||||| c"])
few_lines = st.sampled_from(["# x", "", "2026-01-01 did a", "2026-01-02 did a  # y", "    a  5 min",
                             "    b  in a", "area a", "2026-1-1 did a"])  # fmt: skip
book_lines = st.one_of(
    few_lines, few_lines, lines, remarks, headers, marks, mutated(lines), arbitrary_lines
).filter(lambda line: "\n" not in line and not line.endswith("\r"))
cuts = st.lists(
    st.tuples(st.integers(0, 12), st.integers(0, 2), st.lists(book_lines, max_size=2)), max_size=3
)


def changed(text: Lines, edits: Iterable[tuple[int, int, Lines]]) -> str:
    """A book with some of its lines cut out, and others put there."""
    found = list(text)
    for at, count, new in edits:
        at = min(at, len(found))
        found[at : at + count] = new
    return "".join(line + "\n" for line in found)


@example(["every day", "    a  5 min"], [(0, 1, ["weekend 1"])], [(0, 1, ["every mondy"])])
@given(st.lists(book_lines, max_size=12), cuts, cuts)
def test_nothing_of_any_book_is_lost(
    text: Lines, our_cuts: list[tuple[int, int, Lines]], their_cuts: list[tuple[int, int, Lines]]
) -> None:
    base, ours, theirs = changed(text, ()), changed(text, our_cuts), changed(text, their_cuts)
    one, other = merged(base, ours, theirs), merged(base, theirs, ours)
    assert record(one.source.text) == added_up(base, ours, theirs, record)
    found = all_comments(one.source.text).keys()
    assert kept(base, ours, theirs, all_comments) <= found
    assert found <= all_comments(ours).keys() | all_comments(theirs).keys()
    assert found == all_comments(other.source.text).keys()
    assert kept(base, ours, theirs, names) <= names(one.source.text).keys()
    if not one.conflicts:
        assert added_up(base, ours, theirs, unread) <= unread(one.source.text)
    assert len(one.conflicts) == len(other.conflicts)


# ------------------------------------------------------------------------ long records

days_and_chores = st.tuples(st.integers(1, 9), st.sampled_from("ab"))
record_lines = st.one_of(
    st.builds(lambda line: f"2026-01-{line[0]:02} did {line[1]}", days_and_chores),
    st.sampled_from(["# x", "", "every day", "    a", "2026-1-1 did a"]),
)
record_cuts = st.lists(
    st.tuples(st.integers(0, 30), st.integers(0, 2), st.lists(record_lines, max_size=2)),
    max_size=2,
)


@given(st.lists(record_lines, max_size=30), st.booleans(), record_cuts, record_cuts)
def test_lines_that_no_side_touched_can_be_left_out_of_a_merge(
    text: Lines,
    is_sorted: bool,
    our_cuts: list[tuple[int, int, Lines]],
    their_cuts: list[tuple[int, int, Lines]],
) -> None:
    text = sorted(text) if is_sorted else text
    trees = [tree_of(changed(text, edits)) for edits in ((), our_cuts, their_cuts)]
    assert written(versions(trees, settled_lines(trees))) == written(versions(trees, [()] * 3))


record_days = st.lists(st.integers(1, 28), max_size=40).map(sorted)


@given(record_days, st.booleans(), record_cuts, record_cuts)
def test_lines_of_both_ends_of_a_record_can_be_left_out_of_a_merge(
    days: list[int],
    has_comments: bool,
    our_cuts: list[tuple[int, int, Lines]],
    their_cuts: list[tuple[int, int, Lines]],
) -> None:
    text = ["every day", "    a", ""]
    for day in days:
        text += ["# x"] * (has_comments and day % 3 == 0) + [f"2026-01-{day:02} did a"]
    trees = [tree_of(changed(text, edits)) for edits in ((), our_cuts, their_cuts)]
    assert written(versions(trees, settled_lines(trees))) == written(versions(trees, [()] * 3))


def written(three: Sequence[FileVersion]) -> Lines:
    base, ours, theirs = three
    return [
        line
        for piece in pieces(base, ours, theirs)
        for line in (
            *piece.lead,
            *piece.ours,
            *(piece.theirs if piece.ours != piece.theirs else ()),
        )
    ]


def test_most_of_a_long_record_is_left_out() -> None:
    heads = ["every day\n    a\n", "every day\n    a  5 min\n", "every day\n    a\n\n# Ours\n"]
    record = "".join(
        f"2026-{month:02}-{day:02} did a\n" for month in range(1, 13) for day in range(1, 29)
    )
    trees = [
        tree_of(f"{head}{record}2026-12-28 did a {minutes} min\n")
        for minutes, head in enumerate(heads, 1)
    ]
    settled = settled_lines(trees)
    # The first line, the last older than what differs, the one as old, and the one that differs.
    assert [[len(lines) for lines in some] for some in settled] == [[12 * 28 - 3]] * 3
    assert [lines.start for (lines,) in settled] == [3, 3, 5]
    assert [len(version.units) for version in versions(trees, settled)] == [2 + 4 + 1] * 3


def test_most_of_a_long_record_is_left_out_where_its_beginning_is_changed() -> None:
    record = "".join(
        f"2026-{month:02}-{day:02} did a\n" for month in range(1, 13) for day in range(1, 29)
    )
    heads = ["every day\n    a\n" + "# Ours\n" * lines for lines in (1, 2, 3)]
    trees = [
        tree_of(f"{head}2026-01-01 did a {minutes} min\n{record}")
        for minutes, head in enumerate(heads, 1)
    ]
    settled = settled_lines(trees)
    # The one that differs, the one as old, the first that is newer, and the last line.
    assert [[len(lines) for lines in some] for some in settled] == [[12 * 28 - 3]] * 3
    assert [lines.start for (lines,) in settled] == [6, 7, 8]
    assert [len(version.units) for version in versions(trees, settled)] == [2 + 4 + 1] * 3


# ------------------------------------------------------------------------ what a home meets

Pairs = tuple[tuple[str, str], ...]
DISHES = "    dishes  15 min  in cellar  by ann then ben\n"
FEED = "    feed     5 min             by ann or ben\n"
DUST = "    dust   20 min  in attic\n"
BOXES = "    boxes  30 min  in attic  # ask first\n"
BIG = 'every saturday "Big tin"\n'
FORTNIGHT = "every 2 weeks on friday from 2026-01-02\n"
LAWN = "    lawn  25 min\n"
LAST = "2026-01-05 moved dust to 2026-01-06\n"

TOGETHER: dict[str, tuple[Pairs, Pairs, Pairs]] = {
    "a chore that one side moves takes the minutes of the other": (
        ((BOXES, ""), (DISHES, DISHES + BOXES)),
        ((BOXES, BOXES.replace("30", "40")),),
        ((BOXES, ""), (DISHES, DISHES + BOXES.replace("30", "40"))),
    ),
    "clauses of one chore": (
        ((FEED, FEED.replace(" 5 min", " 6 min")),),
        ((FEED, FEED.replace("ann or ben", "ben")),),
        ((FEED, "    feed     6 min             by ben\n"),),
    ),
    "season and end of one section": (
        ((FORTNIGHT, FORTNIGHT.replace("from", "during april to october from")),),
        ((FORTNIGHT, FORTNIGHT.replace("\n", " until 2026-12-31\n")),),
        (
            (
                FORTNIGHT,
                "every 2 weeks on friday during april to october from 2026-01-02 "
                "until 2026-12-31\n",
            ),
        ),
    ),
    "a chore goes into the section that the other side renames": (
        ((BIG, 'every sunday "Heavy tin"\n'),),
        ((DUST, DUST + "    rugs   15 min\n"),),
        ((BIG, 'every sunday "Heavy tin"\n'), (DUST, DUST + "    rugs   15 min\n")),
    ),
    "a section that one side takes out stays for the chore that the other puts in": (
        ((BIG + DUST + BOXES + "\n", ""),),
        ((DUST, DUST + "    rugs   15 min\n"),),
        ((DUST + BOXES, "    rugs  15 min\n"),),
    ),
    "sections of both sides at one place": (
        (("# Outdoors\n", "every monday\n    bins  5 min\n\n# Outdoors\n"),),
        ((DUST + BOXES, DUST + BOXES + "\nevery tuesday\n    jars  5 min\n"),),
        (
            (
                "# Outdoors\n",
                "every monday\n    bins  5 min\n\nevery tuesday\n    jars  5 min\n\n# Outdoors\n",
            ),
        ),
    ),
    "order of the side that changed it": (
        ((DUST, ""), (BOXES, BOXES + DUST)),
        ((LAST, LAST + "2026-01-06 did dust\n"),),
        ((DUST, ""), (BOXES, BOXES + DUST), (LAST, LAST + "2026-01-06 did dust\n")),
    ),
    "one line that both add stands once, and each by its date": (
        ((LAST, LAST + "2026-01-06 did dust\n2026-01-07 did feed\n"),),
        ((LAST, "2026-01-04 did feed\n" + LAST + "2026-01-06 did dust\n"),),
        (
            (
                LAST,
                "2026-01-04 did feed\n" + LAST + "2026-01-06 did dust\n2026-01-07 did feed\n",
            ),
        ),
    ),
    "a line of the record that both correct stands as each would have it": (
        (("did lawn 25 min", "did lawn 35 min"),),
        (("did lawn 25 min", "did lawn 30 min"),),
        (
            (
                '2026-01-02 did lawn 25 min "wet"\n',
                '2026-01-02 did lawn 30 min "wet"\n2026-01-02 did lawn 35 min "wet"\n',
            ),
        ),
    ),
    "two comments at one line": (
        ((LAWN, LAWN.replace("\n", "  # ann\n")),),
        ((LAWN, LAWN.replace("\n", "  # ben\n")),),
        ((LAWN, "    # ben\n" + LAWN.replace("\n", "  # ann\n")),),
    ),
    "a comment at a line that the other side takes out": (
        ((DUST, DUST.replace("\n", "  # the lamp too\n")),),
        ((DUST, ""),),
        ((DUST, "    # the lamp too\n"),),
    ),
    "a comment at a declaration that the other side takes out": (
        (("area attic\n", "area attic  # the ladder sticks\n"),),
        (("area attic\n", ""),),
        (("area attic\n", "# the ladder sticks\n"),),
    ),
    "a comment at a section that the other side takes out": (
        ((FORTNIGHT, "# wait for the frost to go\n" + FORTNIGHT),),
        ((FORTNIGHT + LAWN + "\n", ""),),
        ((FORTNIGHT + LAWN + "\n", "# wait for the frost to go\n"),),
    ),
    "a comment at the last chore of a section that the other side takes out": (
        ((BOXES, "    # not the heavy ones\n" + BOXES),),
        ((BOXES, ""),),
        ((BOXES, "    # not the heavy ones\n"),),
    ),
    "a comment that one side takes out and the other changes": (
        (("  # ask first\n", "\n"),),
        (("# ask first\n", "# ask ann first\n"),),
        (("# ask first\n", "# ask ann first\n"),),
    ),
    "a comment above lines that both put there stands once": (
        (("# Outdoors\n\n", "# Outdoors\n\nevery monday\n    bins  5 min\n\n"),),
        (("# Outdoors\n\n", "# Outdoors\n\nevery tuesday\n    jars  5 min\n\n"),),
        (
            (
                "# Outdoors\n\n",
                "# Outdoors\n\nevery monday\n    bins  5 min\n\nevery tuesday\n    jars  5 min\n\n",
            ),
        ),
    ),
}


def after(pairs: Pairs, text: str = BASE) -> str:
    for old, new in pairs:
        assert text.count(old) == 1, old
        text = text.replace(old, new)
    return text


@pytest.mark.parametrize("name", TOGETHER)
def test_changes_of_both_sides_take_effect(name: str) -> None:
    ours, theirs, wanted = map(after, TOGETHER[name])
    assert clean(BASE, ours, theirs) == wanted
    assert reading(clean(BASE, theirs, ours)) == reading(wanted)


CLASHES: dict[str, tuple[Pairs, Pairs, list[tuple[str, str]]]] = {
    "minutes of a chore": (
        ((LAWN, "    lawn  30 min\n"),),
        ((LAWN, "    lawn  35 min\n"),),
        [("    lawn  30 min\n", "    lawn  35 min\n")],
    ),
    "minutes, beside clauses that do not clash": (
        ((FEED, "    feed  6 min  in cellar  by ann or ben\n"),),
        ((FEED, "    feed  7 min  by ben  # quick\n"),),
        [
            (
                "    feed  6 min  in cellar  by ben  # quick\n",
                "    feed  7 min  in cellar  by ben  # quick\n",
            )
        ],
    ),
    "a limit": (
        (("weekday   40 min", "weekday   50 min"),),
        (("weekday   40 min", "weekday   30 min"),),
        [("limit weekday   50 min\n", "limit weekday   30 min\n")],
    ),
    "a setting": (
        (("Mill House", "Old Mill"),),
        (("Mill House", "Mill"),),
        [('household "Old Mill"\n', 'household "Mill"\n')],
    ),
    "a chore that one side takes out and the other changes": (
        ((LAWN, ""),),
        ((LAWN, "    lawn  35 min\n"),),
        [("", "    lawn  35 min\n")],
    ),
    "a chore that both add": (
        ((LAWN, LAWN + "    hedge  10 min\n"),),
        ((LAWN, LAWN + "    hedge  20 min  in attic\n"),),
        [("    hedge  10 min  in attic\n", "    hedge  20 min  in attic\n")],
    ),
    "a chore that both move": (
        ((BOXES, ""), (DISHES, DISHES + BOXES)),
        ((BOXES, ""), (LAWN, LAWN + BOXES)),
        [(BOXES, ""), ("", BOXES)],
    ),
    "the cadence of a section, with what it counts from": (
        ((FORTNIGHT, "every 3 weeks on friday from 2026-01-02\n"),),
        ((FORTNIGHT, "every friday\n"),),
        [("every 3 weeks on friday from 2026-01-02\n", "every friday\n")],
    ),
}


@pytest.mark.parametrize("name", CLASHES)
def test_what_both_sides_change_differently_is_a_conflict_of_that_line(name: str) -> None:
    ours, theirs, wanted = CLASHES[name]
    found = merged(BASE, after(ours), after(theirs))
    text = found.source.text
    parts = re.findall(r"<{7} ours\n(.*?)={7}\n(.*?)>{7} theirs\n", text, re.DOTALL)
    assert parts == wanted
    assert len(found.conflicts) == len(wanted)
    without = re.sub(r"<{7} ours\n(.*?)={7}\n(.*?)>{7} theirs\n", "", text, flags=re.DOTALL)
    # All other lines are those of the base.
    assert Counter(without.split("\n")) <= Counter(BASE.split("\n"))


def test_sections_of_one_cadence_are_told_apart_by_their_season() -> None:
    summer = "every week during april to october\n    lawn  25 min\n"
    winter = "every week during november to march\n    paths  10 min\n"
    theirs = summer + "    hedge  10 min\n"
    assert clean(summer, winter + "\n" + summer, theirs) == winter + "\n" + theirs


def test_new_section_without_the_chores_of_one_taken_out_is_not_that_one() -> None:
    base = "every day\n    a  5 min\n\nevery monday\n    b  5 min\n    c  5 min\n    d  5 min\n"
    ours = "every day\n    a  5 min\n\nevery tuesday\n    b  5 min\n"
    theirs = base + "    e  5 min\n"
    found = clean(base, ours, theirs)
    assert found == ours + "\nevery monday\n    e  5 min\n"


def test_lines_of_one_chore_are_told_apart_by_their_section() -> None:
    base = "every day\n    dust  5 min\n\nevery monday\n    dust  9 min\n    bins  2 min\n"
    ours = base.replace("5 min", "6 min").replace("every monday", "every tuesday")
    theirs = base.replace("9 min", "8 min")
    assert clean(base, ours, theirs) == ours.replace("9 min", "8 min")


def test_lines_are_added_to_the_stretch_of_the_record_that_they_stand_in() -> None:
    base = "2026-01-01 did a\n\nevery day\n    a  5 min\n\n2026-02-01 did a\n"
    first = base.replace("\n\nevery", "\n2026-01-01 did a 4 min\n2026-01-02 did a\n\nevery")
    both = first.replace("01-02 did a\n", "01-02 did a\n2026-01-03 did a\n")
    later = base.replace("\n\nevery", "\n2026-01-03 did a\n\nevery")
    assert clean(base, later, first) == clean(base, first, later) == both


def test_record_goes_to_the_end_of_a_book_that_has_none() -> None:
    base = "every day\n    a  5 min\n"
    ours = base + "\nevery monday\n    b  5 min\n"
    assert clean(base, ours, base + "\n2026-01-01 did a\n") == ours + "\n2026-01-01 did a\n"


def test_two_formatted_sides_make_a_formatted_book() -> None:
    base = "every day\n    a  5 min\n\nevery monday\n    b  5 min\n"
    ours = base.replace("    a  5 min", "    a         5 min\n    dishes   15 min")
    theirs = base.replace("a  5 min", "a   5 min\n    feed-cat  5 min")
    ours, theirs = shaped(ours), shaped(theirs)
    wanted = "    a          5 min\n    dishes    15 min\n    feed-cat   5 min\n"
    assert wanted in clean(base, ours, theirs)
    assert is_formatted(tree_of(clean(base, ours, theirs)))
    # What is not in the formatter's shape on a side is not brought into it.
    loose = ours.replace("every monday", "every  monday")
    assert clean(base, loose, theirs).startswith(
        "every day\n    a        5 min\n    dishes  15 min\n    feed-cat  5 min\n"
    )


def shaped(text: str) -> str:
    return format_tree(tree_of(text))


def test_marks_that_an_earlier_merge_has_left_stay_around_their_lines() -> None:
    marked = (
        "<<<<<<< a\n    lawn  30 min\n=======\n    lawn  35 min\n>>>>>>> b\n    hedge  5 min\n"
        "    paths  5 mins\n"
    )
    ours = BASE.replace(LAWN, marked)
    theirs = BASE.replace("Mill House", "Mill")
    assert clean(BASE, ours, theirs) == ours.replace("Mill House", "Mill")


def test_labels_and_length_of_the_marks_are_those_asked_for() -> None:
    found = merged("area a\n", 'area a "A"\n', 'area a "B"\n', Labels("mine", "yours", 9))
    assert found.source.text == (
        '<<<<<<<<< mine\narea a "A"\n=========\narea a "B"\n>>>>>>>>> yours\n'
    )


@pytest.mark.parametrize(
    ("base", "ours", "theirs", "wanted"),
    [
        (b"area a\n", b"area a\r\narea b\r\n", b"area a\narea c\n",
         b"area a\r\narea b\r\narea c\r\n"),
        (b"area a\n", b"area a\narea b\n", b"area a\r\narea c\r\n",
         b"area a\r\narea b\r\narea c\r\n"),
        (b"area a\n", b"\xef\xbb\xbfarea a  # \xff\n", b"area a\narea c\n",
         b"\xef\xbb\xbfarea a  # \xff\narea c\n"),
        (b"area a", b"area a\narea b", b"area a\narea c", b"area a\narea b\narea c"),
        (b"area a", b"area a\narea b", b"area a\narea c\n", b"area a\narea b\narea c\n"),
        (b"", b"area b\r\n", b"area c\n", b"area b\r\narea c\r\n"),
        (b"area a\n", b"", b"area a\r\narea c\r\n", b"area c\r\n"),
    ],
)  # fmt: skip
def test_ends_and_mark_are_those_of_the_side_that_changed_them(
    base: bytes, ours: bytes, theirs: bytes, wanted: bytes
) -> None:
    one, other, third = (Source.decode("home.chores", data) for data in (base, ours, theirs))
    found = merge(one, other, third)
    assert (found.source.encode(), found.conflicts) == (wanted, ())


def test_mark_stands_once_in_a_book_that_is_formatted_anew() -> None:
    base, ours, theirs = (
        Source.decode("a", b"\xef\xbb\xbfevery day\n" + body)
        for body in (b"", b"    dishes  5 min\n", b"    a  5 min\n")
    )
    wanted = b"\xef\xbb\xbfevery day\n    dishes  5 min\n    a       5 min\n"
    assert merge(base, ours, theirs).source.encode() == wanted


def test_part_of_a_chore_moved_apart_from_orphans_is_shown_on_both_places() -> None:
    base = "every day\n    a  5 min\n\nevery monday\n    b  5 min\n"
    ours = "    a  5 min\n" + base.replace("    a  5 min\n", "")
    theirs = base.replace("    a  5 min\n", "") + "    a  5 min\n"
    found = merged(base, ours, theirs)
    assert conflicts(found) == {("a 5 min", ""), ("", "a 5 min")}
    assert found.source.text.startswith("<<<<<<< ours\n    a  5 min\n=======\n")


# White space of kinds that are no blank of the format, alone and around words, and returns that
# end no line.
ODD = ["\u00a0", "\u2003", "\u3000", "\f", "\v", "\x1c", "\x85", "\u200b", "\u2028", "\ufeff",
       "    \u00a0", "\u00a0x", "x\u00a0", "\u2003# x", "x\r", "\r\r", "x\ry"]  # fmt: skip


@pytest.mark.parametrize("first", ODD)
def test_line_of_any_white_space_is_merged_and_kept_to_the_letter(first: str) -> None:
    for second in ODD:
        ours = BASE.replace("person ben\n", f"person ben\n{first}\n")
        theirs = BASE.replace("# Outdoors\n", f"{second}\n# Outdoors\n")
        for one, other in ((ours, theirs), (theirs, ours)):
            found = merged(BASE, one, other)
            lines, added = found.source.lines, of(f"{first}\n{second}\n").lines
            if first.strip(" \t") == second.strip(" \t"):
                # One line that both have added, at two places or two depths.
                assert added[0].strip(" \t") in [line.strip(" \t") for line in lines]
            else:
                assert found.conflicts == ()
                assert Counter(lines) == Counter((*of(BASE).lines, *added))
        # On one side from the start, and untouched.
        changed_there = theirs.replace("limit saturday   2 h", "limit saturday   3 h")
        changed_here = theirs.replace("limit weekday   40 min", "limit weekday   30 min")
        kept = of(clean(theirs, changed_here, changed_there)).lines
        assert Counter(kept)[second] == Counter(of(theirs).lines)[second]


def test_return_at_the_end_of_an_open_last_line_stays_where_it_is() -> None:
    ours = BASE + "x\r"
    theirs = BASE.replace("person ben", "person bea")
    assert clean(BASE, ours, theirs) == theirs + "x\r"
