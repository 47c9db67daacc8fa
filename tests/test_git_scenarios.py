"""Repositories of unusual kinds: a setup is made, finds the fault that is staged, and is undone."""

from __future__ import annotations

from pathlib import Path

import pytest
from repositories import stand_alone
from scenarios import SCENARIOS, outcome

# How a setup ends, and then a commit of a fault. The others are tried by hand, by
# `tests/abuse/git_scenarios.py`.
ENDS = {
    "unborn_branch": (0, 1),
    "work_tree_of_a_bare_repository": (0, 1),
    "bare_repository": (2, None),
    "partial_clone": (0, 1),
    "sparse_checkout": (0, 1),
    "path_that_is_no_utf_8": (0, 1),
    "path_of_blanks_quotes_and_line_feeds": (0, 1),
    "hooks_outside": (1, 0),
    "settings_behind_a_link": (0, 1),
    "settings_of_each_work_tree": (0, 1),
    "settings_that_are_locked": (2, 0),
    "folder_of_git_named": (0, 1),
    "folder_of_git_apart": (0, 1),
    "rebase_in_progress": (0, 1),
    "object_that_is_gone": (0, 1),
    "no_folder_of_hooks_and_none_of_info": (0, 1),
}


@pytest.mark.parametrize("name", ENDS)
def test_setup_and_undo_of_a_repository_of_any_kind(
    name: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    stand_alone(monkeypatch, tmp_path)
    found = outcome(name, tmp_path / "scenario", monkeypatch)
    assert found.wrong == []
    assert (found.setup, found.commit) == ENDS[name]


def test_every_scenario_that_is_tried_here_is_there() -> None:
    assert ENDS.keys() <= SCENARIOS.keys()
    assert len(SCENARIOS) > 40
