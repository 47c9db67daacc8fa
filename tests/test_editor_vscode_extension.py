"""VS Code: what the extension holds, how it is packed, and how it starts the language server."""

from __future__ import annotations

import json
import shutil
import sys
import zipfile
from pathlib import Path
from subprocess import run
from typing import Any

import pytest
from highlighting import ROOT, program
from node_scripts import EXTENSION, extension_packages, tells

from ledger import __version__

PACKAGE = json.loads((EXTENSION / "package.json").read_text("utf-8"))
SOURCES = [
    ".vscodeignore", "LICENSE", "README.md", "extension.js", "language-configuration.json",
    "language-configuration.json.in", "package.json", "syntaxes",
]  # fmt: skip
PACKED = {
    "[Content_Types].xml",
    "extension.vsixmanifest",
    "extension/LICENSE.txt",
    "extension/dist/extension.js",
    "extension/language-configuration.json",
    "extension/package.json",
    "extension/readme.md",
    "extension/syntaxes/chores.tmLanguage.json",
}
BUTTONS = ["Try again", "Open the setting"]


# ------------------------------------------------------------------ what it holds


def test_package_names_files_that_are_there() -> None:
    [language] = PACKAGE["contributes"]["languages"]
    [grammar] = PACKAGE["contributes"]["grammars"]
    assert (language["id"], language["extensions"]) == (grammar["language"], [".chores"])
    assert (EXTENSION / language["configuration"]).is_file()
    text = (EXTENSION / grammar["path"]).read_text("utf-8")
    assert json.loads(text)["scopeName"] == grammar["scopeName"]


def test_package_has_the_version_and_the_licence_of_besom() -> None:
    assert PACKAGE["version"] == __version__
    assert f"besom-{__version__}.vsix" in (EXTENSION / "README.md").read_text("utf-8")
    assert (EXTENSION / "LICENSE").read_bytes() == (ROOT / "LICENSE").read_bytes()


def test_a_folder_cannot_name_the_program_before_it_is_trusted() -> None:
    [(name, setting)] = PACKAGE["contributes"]["configuration"]["properties"].items()
    assert PACKAGE["capabilities"]["untrustedWorkspaces"]["restrictedConfigurations"] == [name]
    assert (name, setting["default"]) == ("besom.command", "besom")


def test_packing_makes_a_vsix_of_the_files_wanted_and_no_more(tmp_path: Path) -> None:
    for name in SOURCES:
        copy = shutil.copytree if (EXTENSION / name).is_dir() else shutil.copy
        copy(EXTENSION / name, tmp_path / name)
    (tmp_path / "node_modules").symlink_to(extension_packages() / "node_modules")
    packing = [program("npm"), "run", "package", "--offline", "--no-update-notifier"]
    done = run(packing, cwd=tmp_path, capture_output=True, encoding="utf-8", timeout=60)
    assert done.returncode == 0, done.stderr
    assert "WARN" not in done.stdout + done.stderr
    with zipfile.ZipFile(tmp_path / f"besom-{__version__}.vsix") as packed:
        assert {*packed.namelist()} == PACKED
        bundle = packed.read("extension/dist/extension.js")
    assert b'require("vscode")' in bundle
    assert b'require("vscode-languageclient' not in bundle, "it is not in the vsix"


# ------------------------------------------------------------------ the server


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A home folder that has a `besom` in `bin` and one in `house/bin`, and a broken one."""
    for place, text in {
        "bin/besom": "exit 0",
        "house/bin/besom": "exit 0",
        "bin/broken": "echo 'Error: needs pygls' >&2\nexit 1",
    }.items():
        file = tmp_path / place
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(f"#!/bin/sh\n{text}\n", "utf-8")
        file.chmod(0o755)
    return tmp_path


def starting(home: Path, command: str, **told: Any) -> list[dict[str, Any]]:
    """What the extension does in a window with this setting, in order."""
    extension_packages()
    told |= {"extension": str(EXTENSION / "extension.js"), "command": command}
    env = {"HOME": str(home), "PATH": str(home / "bin")}
    done: list[dict[str, Any]] = tells(
        "vscode/starts.cjs", told | {"folder": str(home / "house")}, env
    )
    return done


def steps(done: list[dict[str, Any]]) -> list[str]:
    return [str(step["did"]) for step in done]


@pytest.mark.parametrize(
    ("setting", "command"),
    [
        ("besom", "besom"),
        ("", "besom"),
        ("~/bin/besom", "{home}/bin/besom"),
        ("./bin/besom", "{home}/house/bin/besom"),
    ],
)
def test_the_server_that_the_setting_names_is_started(
    home: Path, setting: str, command: str
) -> None:
    done = starting(home, setting)
    assert steps(done) == ["made", "started", "deactivated", "disposed"]
    [made] = [step for step in done if step["did"] == "made"]
    assert made["server"] == {
        "command": command.format(home=home),
        "args": ["language-server"],
        "options": {"cwd": str(home / "house")},
    }
    assert made["client"]["documentSelector"] == [
        {"scheme": "file", "language": "chores"},
        {"scheme": "untitled", "language": "chores"},
    ]


@pytest.mark.parametrize(
    ("setting", "fault"), [("bosem", "it was not found"), ("broken", "needs pygls")]
)
def test_a_command_that_does_not_start_is_told_with_what_to_do(
    home: Path, setting: str, fault: str
) -> None:
    [told, *others] = starting(home, setting)
    assert f'the command "{setting}" does not start: {fault}. Install it' in told["message"]
    assert "besom.command" in told["message"]
    assert told["buttons"] == BUTTONS
    assert steps(others) == ["deactivated"]


def test_a_change_of_the_setting_counts_at_once(home: Path) -> None:
    done = starting(home, "bosem", then=["besom", "~/bin/besom"])
    assert steps(done) == [
        "told", "made", "started", "disposed", "made", "started", "deactivated", "disposed",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("chosen", "next_step"),
    [
        ("Try again", {"did": "told"}),
        (
            "Open the setting",
            {"did": "executed", "words": ["workbench.action.openSettings", "besom.command"]},
        ),
    ],
)
def test_buttons_of_the_message_do_what_they_say(
    home: Path, chosen: str, next_step: dict[str, Any]
) -> None:
    _, following, *_ = starting(home, "bosem", chosen=chosen)
    assert next_step.items() <= following.items()


def test_a_client_that_fails_after_all_is_not_told_twice(home: Path) -> None:
    assert "told" not in steps(starting(home, "besom", fails="gone"))


def test_a_mistake_comes_back_from_the_server_as_vs_code_asks(tmp_path: Path) -> None:
    text = "person zoë\nevery day\n    sweep  5 min  by zoé\n"
    file = tmp_path / "home.chores"
    file.write_text(text, "utf-8")
    told = {
        "packages": str(extension_packages()),
        "command": sys.executable,
        "args": ["-m", "ledger", "language-server", "--on", "2026-11-25"],
        "folder": str(tmp_path),
        "file": str(file),
        "text": text,
    }
    heard = tells("vscode/talk.mjs", told, {"PYTHONPATH": str(ROOT)})
    [unknown] = [some for some in heard["diagnostics"] if some["code"] == "unknown-name"]
    assert (unknown["source"], unknown["severity"]) == ("besom", 1)
    assert unknown["range"] == {
        "start": {"line": 2, "character": 21},
        "end": {"line": 2, "character": 24},
    }
    assert heard["code"] == 0
    [mapped] = PACKAGE["contributes"]["semanticTokenScopes"]
    assert set(heard["legend"]["tokenTypes"]) == mapped["scopes"].keys()
    types = [heard["legend"]["tokenTypes"][index] for index in heard["data"][3::5]]
    assert types == [
        "keyword", "parameter", "keyword", "keyword", "variable", "number", "number", "keyword",
        "parameter",
    ]  # fmt: skip
