"""The files of the editors: made from the grammar, and current."""

from __future__ import annotations

import re
import sys
from pathlib import Path

import pytest
from highlighting import EDITORS

from ledger.text.grammar import compile_grammar, grammar_text
from ledger.text.values import DAY_NUMBERS, MONTH_NUMBERS, ORDINALS

sys.path.insert(0, str(EDITORS))

from make import made, templates, word_groups

GROUPS = word_groups()


@pytest.mark.parametrize("template", templates(), ids=lambda path: path.name)
def test_made_file_is_current(template: Path) -> None:
    text = made(template.read_text("utf-8"), GROUPS)
    assert template.with_suffix("").read_text("utf-8") == text, "run python editors/make.py"


@pytest.mark.parametrize("template", templates(), ids=lambda path: path.name)
def test_made_file_holds_every_word_of_the_grammar(template: Path) -> None:
    text = template.with_suffix("").read_text("utf-8")
    words = set(re.findall(r"[a-z]+", text))
    assert {word for group in GROUPS.values() for word in group} <= words


def test_groups_are_the_words_of_the_grammar() -> None:
    assert set(GROUPS["keywords"]) == compile_grammar(grammar_text()).keywords.keys()
    assert set(GROUPS["days"]) == DAY_NUMBERS.keys()
    assert set(GROUPS["months"]) == MONTH_NUMBERS.keys()
    assert GROUPS["ordinals"] == list(ORDINALS)
    assert GROUPS["verbs"] == ["did", "skipped", "moved", "worked"]
    grouped = {word for name, group in GROUPS.items() if name != "keywords" for word in group}
    assert set(GROUPS["keywords"]) <= grouped
