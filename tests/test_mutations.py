"""Mutations: each is a program, differs, and is one of those that are named."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from mutations import difference, mutant, sites

import ledger.text.values

CHANGES = {
    "x = a < b <= c": ["x = a <= b <= c", "x = a < b < c"],
    "x = a > b >= c": ["x = a >= b >= c", "x = a > b > c"],
    "x = a == b": ["x = a != b"],
    "x = a != b": ["x = a == b"],
    "x = a is b": ["x = a is not b"],
    "x = a not in b": ["x = a in b"],
    "x = a + b - c": ["x = a + b + c", "x = a - b - c"],
    "x = a * b": ["x = a // b"],
    "x = a and b or c": ["x = (a and b) and c", "x = (a or b) or c"],
    "x = not a": ["x = a"],
    "x = True": ["x = False"],
    "x = 7": ["x = 8"],
    "x = min(a)": ["x = max(a)"],
    "x = any(a)": ["x = all(a)"],
    "x = a[0]": ["x = a[-1]", "x = a[1]"],
    "x = a[-1]": ["x = a[0]", "x = a[-2]"],
    "def f(): return a": ["def f(): return None"],
    "def f(): raise E": ["def f(): pass"],
    "f(a)": ["pass"],
    "x.y = z": ["pass"],
    "x += y": ["pass"],
    # What is left alone.
    "'a text'": [],
    "x = 'a' + f'{b + 1}'": [],
    "def f(a: Literal[1]) -> Literal[2]:\n  'Says.'\n  x: Literal[3]": [],
    "@cache(None, 1)\ndef f(): pass": [],
    "if TYPE_CHECKING:\n  x = 1": [],
    "def f(): return None": [],
}


@pytest.mark.parametrize("text", CHANGES)
def test_every_change_of_a_program_is_drawn(text: str) -> None:
    found = [mutant(text, site) for site in sites(ast.parse(text))]
    assert [one and ast.dump(ast.parse(one)) for one in found] == [
        ast.dump(ast.parse(one)) for one in CHANGES[text]
    ]


def test_place_behind_other_letters_is_found() -> None:
    text = "x = ('窓', a\n     < b)  # 'é'\n"
    (site,) = sites(ast.parse(text))
    changed = mutant(text, site)
    assert changed == "x = ('窓', (a <= b))  # 'é'\n"
    assert difference(text, changed) == [
        "-x = ('窓', a", "-     < b)  # 'é'", "+x = ('窓', (a <= b))  # 'é'"
    ]  # fmt: skip
    assert list(site.lines) == [1, 2]


def test_place_in_a_block_is_told_by_the_lines_of_its_own_statement() -> None:
    text = "if a < b:\n  c()\n  d(\n    1)\n"
    lines = [list(site.lines) for site in sites(ast.parse(text))]
    assert lines == [[1], [2], [3, 4], [3, 4]]


def test_every_mutant_of_a_module_is_another_program() -> None:
    text = Path(ledger.text.values.__file__).read_text("utf-8")
    tree = ast.parse(text)
    found = [mutant(text, site) for site in sites(tree)]
    assert len(found) > 100
    dumps = {ast.dump(ast.parse(one)) for one in found if one is not None}
    assert len(dumps) == len(found)
    assert ast.dump(tree) not in dumps
