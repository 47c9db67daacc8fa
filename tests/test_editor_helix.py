"""Helix is told of the language server in a file that it can read."""

from __future__ import annotations

import tomllib

from highlighting import EDITORS

from ledger.cli.main import commands

SETTINGS = tomllib.loads((EDITORS / "helix" / "languages.toml").read_text("utf-8"))


def test_a_book_is_given_to_a_command_that_there_is() -> None:
    (language,) = SETTINGS["language"]
    assert language["file-types"] == ["chores"]
    (named,) = language["language-servers"]
    server = SETTINGS["language-server"][named]
    assert server["command"] == "besom"
    assert server["args"][0] in commands()


def test_comments_and_indents_are_those_of_a_book() -> None:
    (language,) = SETTINGS["language"]
    assert language["comment-tokens"] == "#"
    assert language["indent"] == {"tab-width": 4, "unit": "    "}
