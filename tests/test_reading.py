"""Reading: what was written comes back, nothing is lost, and no line hides another."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from datetime import date

import pytest
import strategies as some
from books import only_line, read
from hypothesis import example, given
from hypothesis import strategies as st

from ledger.text.builder import build
from ledger.text.finding import Finding
from ledger.text.parser import LineFault, kind_of, parser
from ledger.text.parts import Located, Name
from ledger.text.reader import Reader
from ledger.text.record_line import DATE_WIDTH, read_tail
from ledger.text.source import UNSAFE, Source
from ledger.text.tree import Line, Node, RecordEntry, RecordLine, Step, Tree
from ledger.text.values import ValueFault
from ledger.text.writer import write_line

HEAD = "2026-03-02"
any_characters = st.characters(exclude_categories=[])
any_texts = st.one_of(
    st.text(any_characters), st.lists(some.arbitrary_lines).map("\n".join), st.text("\r\n\ufeff a")
)
sound_lines = st.one_of(some.lines, st.sampled_from(["", "  ", "\t# note", "#"]))
all_lines = st.one_of(sound_lines, some.mutated(some.lines), some.arbitrary_lines)
clean_lines = all_lines.filter(lambda line: "\r" not in line)


def by_grammar(tail: str) -> RecordEntry | None:
    """The entry of a record line as the grammar and the builder read it."""
    try:
        node, _ = build(parser().parse(HEAD + tail, "record_line"))
    except (LineFault, ValueFault):
        return None
    assert isinstance(node, RecordLine)
    return node.entry


def parts_of(lines: Iterable[Line]) -> list[tuple[int, str, str, str]]:
    """What lines say, places and all, but not which source they came from."""
    return [
        (line.number, repr(line.node), repr(line.comment), sentences(line.fault)) for line in lines
    ]


def sentences(fault: Finding | None) -> str:
    """A fault with its place inside the line, but not the number of the line."""
    if fault is None:
        return ""
    place = fault.place
    return f"{fault.rule} {place.start} {place.end} {fault.message} {fault.why} {fault.fix}"


def check_whole(tree: Tree) -> None:
    """Every line is in the tree once, and every fault's place lies inside its line."""
    source = tree.source
    assert [line.number for line in tree.all_lines()] == list(range(len(source.lines)))
    for fault in tree.faults():
        place = fault.place
        length = len(source.lines[place.line])
        assert 0 <= place.start <= place.end <= length + 1
        assert place.start <= length


# --------------------------------------------------------------- written and read again


@given(some.parsed_nodes, some.maybe(some.placed(some.comments)))
def test_reading_a_written_line_gives_its_node_and_comment(
    node: Node, comment: Name | None
) -> None:
    line = only_line(write_line(node, comment))
    assert line.fault is None
    assert line.node == node
    assert type(line.node) is type(node)
    assert line.comment == comment


@given(some.steps)
@example(Step(Located("- - # no comment", 0, 0)))
def test_reading_a_written_step_gives_its_text_and_its_place(step: Step) -> None:
    text = write_line(step)
    line = only_line(text)
    assert (line.node, line.comment, line.fault) == (step, None, None)
    assert isinstance(line.node, Step)
    _, begin, end = line.node.text
    assert text[begin:end] == step.text.value
    assert text[:begin].strip() == "-"


@given(some.nodes, some.nodes)
def test_nodes_are_equal_only_if_they_are_written_alike(one: Node, other: Node) -> None:
    assert (one == other) == (write_line(one) == write_line(other))


@given(some.nodes)
def test_a_written_line_is_written_the_same_again(node: Node) -> None:
    text = write_line(node)
    read_back = only_line(text).node
    assert read_back is not None
    assert write_line(read_back) == text


@given(some.lines, st.sampled_from([" ", "\t", " \t "]))
def test_blanks_at_the_end_of_a_line_change_nothing(text: str, blanks: str) -> None:
    assert parts_of([only_line(text + blanks)]) == parts_of([only_line(text)])


@given(some.names)
def test_names_are_equal_however_their_letters_are_composed(name: str) -> None:
    apart = unicodedata.normalize("NFD", name)
    assert only_line(f"area {apart}").node == only_line(f"area {name}").node
    assert only_line(f"  {apart} 5 min").node == only_line(f"  {name} 5 min").node
    assert only_line(f"{HEAD} did {apart}").node == only_line(f"{HEAD} did {name}").node
    assert only_line(f"area {apart}").node is not None


# --------------------------------------------------------------- the fast path


@given(some.mutated(some.record_lines) | some.arbitrary_lines.map(lambda text: HEAD + text))
@example(f"{HEAD} did wash-up 0 h 30 min")
@example(f"{HEAD} did wash-up 1 h 60 min")
@example(f"{HEAD} did bins by each")
@example(f"{HEAD} did bins 5 min# no blank")
@example(f"{HEAD} did ² 5 min")
@example(f"{HEAD} worked oven")
@example(f"{HEAD} worked oven 5 min, bins by noor")
def test_fast_path_reads_a_line_as_the_grammar_does_or_leaves_it(line: str) -> None:
    tail = line[DATE_WIDTH:]
    entry = read_tail(tail)
    assert entry is None or repr(entry) == repr(by_grammar(tail))


dated_lines = st.builds(
    str.__add__,
    st.sampled_from([HEAD, "2026-02-29", "1969-12-31", "2026-W10-1", " " * 10]),
    st.one_of(some.record_lines, some.mutated(some.record_lines), st.just(HEAD)).map(
        lambda line: line[DATE_WIDTH:]
    ),
)


@given(st.lists(st.one_of(some.record_lines, dated_lines, all_lines), max_size=12), st.data())
@example(
    [f"{HEAD} did oven", " " * 11 + "did bins", "# did bins", f"{HEAD} did oven # \u202e"], None
)
@example(["2026-W10-1 did bins", f"{HEAD} did bins 0 h 5 min", "1969-12-31 did bins"], None)
def test_record_read_by_columns_is_that_of_its_lines_alone(
    lines: list[str], data: st.DataObject | None
) -> None:
    lines = [line for text in lines for line in Source("", text).lines]
    if data is not None and lines:
        lines += data.draw(st.lists(st.sampled_from(lines), max_size=6))
    record = Reader().read(Source("", "\n".join([*lines, ""]))).record
    sound = [(number, line) for number, line in enumerate(lines) if is_record(line)]
    assert record.numbers == [number for number, _ in sound]
    assert record.dates == [date.fromisoformat(line[:DATE_WIDTH]).toordinal() for _, line in sound]
    assert list(map(repr, record.entries)) == [
        repr(by_grammar(line[DATE_WIDTH:])) for _, line in sound
    ]
    assert record.kinds == {line[DATE_WIDTH:]: by_grammar(line[DATE_WIDTH:]) for _, line in sound}


def is_record(line: str) -> bool:
    """True for a sound line of the record, as the grammar and the builder read it."""
    if line[:1] not in tuple("0123456789") or UNSAFE.search(line):
        return False
    try:
        node, _ = build(parser().parse(line, kind_of(line)))
    except (LineFault, ValueFault):
        return False
    return isinstance(node, RecordLine)


clauses = st.sampled_from(
    [" did", " skipped", " moved", " worked", " to", " by", " 5 min", " 2 h", " 0 h", " 61 min",
     ",", " a", " each", " sunday", " 2026-03-31", " 2026-02-30", ' "n"', ' "\\""', " # c",
     "\t", " h"]
)  # fmt: skip


@given(st.lists(clauses, min_size=2, max_size=10).map("".join))
def test_fast_path_reads_clauses_in_any_order_as_the_grammar_does(tail: str) -> None:
    entry = read_tail(tail)
    assert entry is None or repr(entry) == repr(by_grammar(tail))


@pytest.mark.parametrize("time", ["00:00", "03:59", "11:59"])
def test_day_may_end_at_any_minute_up_to_noon(time: str) -> None:
    node = only_line(f"day ends {time}").node
    assert node is not None
    assert write_line(node) == f"day ends {time}"


@given(some.record_lines)
@example(f"{HEAD} did wash-up 1 min")
@example(f"{HEAD} did wash-up 9999 min")
@example(f"{HEAD} did wash-up 166 h 59 min")
def test_fast_path_reads_every_canonical_line_but_of_a_chore_called_by(line: str) -> None:
    tail = line[DATE_WIDTH:]
    entry, full = read_tail(tail), by_grammar(tail)
    assert full is not None
    called_by = any(item.name.value == "by" for item in full.items)
    assert repr(entry) == repr(full) or (entry is None and called_by)


@given(st.lists(some.record_lines, max_size=4), st.data())
def test_a_reader_that_has_met_a_line_before_reads_it_the_same(
    lines: list[str], data: st.DataObject
) -> None:
    reader = Reader()
    again = data.draw(st.lists(st.sampled_from(lines), max_size=6)) if lines else []
    dates = data.draw(st.lists(some.record_lines, min_size=len(again), max_size=len(again)))
    mixed = [a[:DATE_WIDTH] + b[DATE_WIDTH:] for a, b in zip(dates, again, strict=True)]
    text = "\n".join([*lines, *again, *mixed])
    reader.read(Source("2025.chores", "\n".join(lines)))
    met = reader.read(Source("2026.chores", text))
    assert parts_of(met.all_lines()) == parts_of(read(text).all_lines())


# --------------------------------------------------------------- anything at all


@given(any_texts)
def test_any_text_is_read_whole_and_its_faults_lie_in_their_lines(text: str) -> None:
    check_whole(read(text))


@given(st.lists(all_lines).map("\n".join))
def test_lines_with_slips_are_read_whole_and_their_faults_lie_in_their_lines(text: str) -> None:
    check_whole(read(text))


@given(st.binary() | any_texts.map(lambda text: text.encode("utf-8", "surrogatepass")))
@example(b"\xef\xbb\xbf\xef\xbb\xbfperson a")
@example(b"person a\r\r\n\xff\xfe")
def test_any_bytes_are_read_and_come_back(data: bytes) -> None:
    source = Source.decode("home.chores", data)
    check_whole(Reader().read(source))
    assert source.encode() == data


@given(st.lists(clean_lines), clean_lines, st.data())
def test_one_more_line_never_changes_how_the_others_read(
    lines: list[str], added: str, data: st.DataObject
) -> None:
    at = data.draw(st.integers(0, len(lines)))
    without = [part[1:] for part in parts_of(read("\n".join([*lines, ""])).all_lines())]
    longer = [*lines[:at], added, *lines[at:], ""]
    within = [part[1:] for part in parts_of(read("\n".join(longer)).all_lines())]
    assert within[:at] + within[at + 1 :] == without


@given(st.lists(clean_lines), st.booleans())
def test_both_line_ends_read_alike(lines: list[str], ended: bool) -> None:
    text = "\n".join(lines) + ("\n" if ended else "")
    unix, windows = read(text), read(text.replace("\n", "\r\n"))
    assert parts_of(windows.all_lines()) == parts_of(unix.all_lines())


@given(some.lines, st.sampled_from(some.UNSAFE + "\r\ud800\udcff"), st.data())
def test_an_unsafe_character_is_a_fault_that_marks_it(
    line: str, character: str, data: st.DataObject
) -> None:
    at = data.draw(st.integers(0, len(line)))
    text = line[:at] + character + line[at:] + "."
    if character == "\n":
        return
    fault = only_line(text).fault
    assert fault is not None
    assert fault.rule == "unreadable-line"
    assert fault.place.text == character


@pytest.mark.parametrize(
    ("line", "rule", "marked"),
    [
        ("since 2026-02-30", "impossible-date", "2026-02-30"),
        ("since 1969-12-31", "impossible-date", "1969-12-31"),
        ("weekend 6", "impossible-number", "6"),
        ("weekend is monday, wednesday", "impossible-number", "monday, wednesday"),
        ("day ends 12:00", "impossible-number", "12:00"),
        ("every monday, mon", "repeated-word", "mon"),
        ("every day within 3 days within 4 days", "repeated-word", "within 4 days"),
        ("away 2026-03-02 to 2026-03-01", "impossible-date", "2026-03-01"),
        ("rest 2026-03-04, 2026-03-03 to 2026-03-01", "impossible-date", "2026-03-01"),
        ("days school 2026-03-04 to 2026-03-03", "impossible-date", "2026-03-03"),
        (
            "days school every monday until 2026-03-03 until 2026-03-04",
            "repeated-word",
            "until 2026-03-04",
        ),
        ("every day during school, may, school", "repeated-word", "school"),
        ("days a every day within 1 day within 2 days", "repeated-word", "within 2 days"),
        # Of several the first from the left.
        ("every 0 weeks on monday, monday", "impossible-number", "0"),
        ("8 times every 0 weeks", "impossible-number", "0"),
        ("2026-02-30 worked a 0 min, b 0 min", "impossible-date", "2026-02-30"),
        ("every april on 31 within 0 days", "impossible-date", "every april on 31"),
        ("every day except may, may to may", "repeated-word", "may to may"),
        ("every day vital paused vital", "repeated-word", "vital"),
        ("every day spare vital", "repeated-word", "vital"),
        ("    oven vital 5 min spare", "repeated-word", "spare"),
        ("1 times every week", "impossible-number", "1"),
        ("8 times every week", "impossible-number", "8"),
        ("15 times every 2 weeks", "impossible-number", "15"),
        ("29 times every month", "impossible-number", "29"),
        ("29 times every february, may", "impossible-number", "29"),
        ("31 times every april", "impossible-number", "31"),
        ("60 times every 2 months", "impossible-number", "60"),
        ("366 times every 12 months", "impossible-number", "366"),
        ("    oven 0 min", "impossible-number", "0"),
        ("    oven 1 h 60 min", "impossible-number", "60"),
        ("    oven 5 min in a in b", "repeated-word", "in b"),
        ("every month on 32", "impossible-number", "32"),
        ("every 0 days", "impossible-number", "0"),
        ("2026-03-02 moved oven to 2026-13-01", "impossible-date", "2026-13-01"),
        ("area o_ven", "unreadable-line", "o_ven"),
    ],
)
def test_a_word_that_cannot_be_is_a_fault_that_marks_it(line: str, rule: str, marked: str) -> None:
    fault = only_line(line).fault
    assert fault is not None
    assert (fault.rule, fault.place.text) == (rule, marked)
