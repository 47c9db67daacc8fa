"""Node, and the npm packages that the VS Code extension and calendars are tested with."""

from __future__ import annotations

import json
import os
import subprocess
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import pytest
from highlighting import ALL_ARE_HERE, EDITORS, ROOT, program

EXTENSION = EDITORS / "vscode"
SCRIPTS = ROOT / "tests"
CALENDARS = ("ical.js",)
"""What calendars are read with; `.ci/node-packages` names it too, with its version."""
FOLDER = "BESOM_NODE_PACKAGES"
"""Says where the packages are, if not in `.ci/node`, where `.ci/node-packages` puts them."""


def extension_packages() -> Path:
    """The folder with the packages of the extension; see `packages`."""
    return packages(json.loads((EXTENSION / "package.json").read_text("utf-8"))["devDependencies"])


def packages(wanted: Iterable[str]) -> Path:
    """The folder whose `node_modules` holds the packages; else as where a program is missing."""
    folder = Path(os.environ.get(FOLDER) or ROOT / ".ci" / "node")
    missing = [name for name in wanted if not (folder / "node_modules" / name).is_dir()]
    if not missing:
        return folder
    reason = f"needs {', '.join(missing)} of npm, from .ci/node-packages"
    if os.environ.get(ALL_ARE_HERE):
        pytest.fail(f"{reason}, and {ALL_ARE_HERE} says that they are installed")
    pytest.skip(reason)


def tells(script: str, told: object, env: Mapping[str, str] | None = None) -> Any:
    """What a script in `tests` prints, as JSON, when it is told this."""
    done = subprocess.run(
        [program("node"), str(SCRIPTS / script)],
        input=json.dumps(told),
        capture_output=True,
        encoding="utf-8",
        timeout=60,
        env=None if env is None else {**os.environ, **env},
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)
