"""Classes of words: every word of a line that reads has one, and its place makes it."""

from __future__ import annotations

from pathlib import Path

import pytest
from highlighting import books, words_of
from hypothesis import given
from hypothesis import strategies as st

from ledger.text.classes import CLASSES, classes_of
from ledger.text.parser import kind_of, parser


def said(text: str) -> list[tuple[str, str]]:
    return [(text[start:end], kind) for start, end, kind in classes_of(text)]


@pytest.mark.parametrize(
    ("text", "kinds"),
    [
        ("    every 5 min in in", "name duration duration keyword area"),
        ("\toven 1 h 30 min", "name duration duration duration duration"),
        ("  bins by each  uses lye  after oven", "name keyword keyword keyword name keyword name"),
        ("  bins by by then to or", None),
        ("  bins by by then to", "name keyword person keyword person"),
        ("limit saturday 2 h", "keyword keyword duration duration"),
        ("limit edie 15 min", "keyword person duration duration"),
        ("area in", "keyword area"),
        ("day ends 03:00", "keyword keyword date"),
        ("weekend 1, last # rare", "keyword number keyword comment"),
        ("14 days after done", "number keyword keyword keyword"),
        ("every month on first sat within 7 days",
         "keyword keyword keyword keyword keyword keyword number keyword"),
        ('2026-03-02 did did 1 h, moved by to "by"',
         "date verb name duration duration name keyword person title"),
        ("2026-03-02 skipped skipped", "date verb name"),
        ("2026-03-02 moved to to 2026-03-04", "date verb name keyword date"),
        ("2026-02-30 did oven", "date verb name"),
        (" # only", "comment"),
        ("days at-dads every 2 weeks on fri within 3 days from 2026-09-04",
         "keyword name keyword number keyword keyword keyword keyword number keyword keyword date"),
        ("days school 2026-09-02 to 2026-10-23, 2026-11-02", "keyword name date keyword date date"),
        ("limit ben saturday 2 h", "keyword person keyword duration duration"),
        ("limit edie school 10 min", "keyword person name duration duration"),
        ("limit school 30 min", "keyword person duration duration"),
        ("away at-dads, school by leo", "keyword name name keyword person"),
        ('rest from 2026-12-01 "Flu"', "keyword keyword date title"),
        ("every day during may to july, school except mon, weekend vital spared", None),
        ("every day during may to july, school except mon, weekend vital",
         "keyword keyword keyword keyword keyword keyword name keyword keyword keyword keyword"),
        ("3 times every week expires", "number keyword keyword keyword keyword"),
        ("  a by each of leo, of  paused", "name keyword keyword keyword person person keyword"),
        ("  a by ana and and and ben", "name keyword person keyword person keyword person"),
        ("2026-03-02 worked worked 1 h", "date verb name duration duration"),
        ("  - Key on hook # 3", "keyword title"),
        ("-", "keyword"),
        ("\t-\t \"a\" ", "keyword title"),
        ("- \u202e", None),
        ("every mondey", None),
        ("  half½ 5 min", None),
        ("  a\N{SLIGHTLY SMILING FACE} 5 min", None),
        ("# \u202e", None),
        ("  ", None),
    ],
)  # fmt: skip
def test_word_is_what_its_place_makes_it(text: str, kinds: str | None) -> None:
    assert [kind for _, kind in said(text)] == (kinds.split() if kinds else [])


@pytest.mark.parametrize("path", books(), ids=lambda path: path.stem)
def test_every_word_of_a_line_that_reads_has_one_class(path: Path) -> None:
    lines = [line.removesuffix("\r") for line in path.read_bytes().decode("utf-8").split("\n")]
    for line in dict.fromkeys(lines):
        found = classes_of(line)
        if not found or found[0].kind == "comment":
            continue
        if line.lstrip(" \t").startswith("-"):
            assert [line[start:end] for start, end, _ in found if start < end] == [
                part for part in ("-", line.strip(" \t")[1:].strip(" \t")) if part
            ]
            continue
        words = [token for token in parser().tokens(line) if token.text != ","]
        assert [(start, end) for start, end, _ in found] == [word[2:] for word in words]
        assert parser().parse(line, kind_of(line))


def test_books_use_every_class() -> None:
    assert {word.kind for path in books() for word in words_of(path)} == set(CLASSES)


@given(st.text(max_size=60))
def test_any_line_has_classes_in_order_that_do_not_overlap(text: str) -> None:
    line = text.split("\n")[0]
    ends = [place for start, end, _ in classes_of(line) for place in (start, end)]
    assert ends == sorted(ends)
    assert not ends or ends[-1] <= len(line)
