"""Sets up, uses and undoes in repositories of every kind, and tells what happened in each.

    PYTHONPATH=tests python tests/abuse/git_scenarios.py [NAME]...

The scenarios are those of `tests/scenarios.py`; the tests try some of them.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest
from repositories import stand_alone
from scenarios import SCENARIOS, outcome


def main() -> None:
    names = sys.argv[1:] or list(SCENARIOS)
    wrong = 0
    print(subprocess.run(["git", "--version"], capture_output=True, text=True).stdout.strip())
    for name in names:
        with pytest.MonkeyPatch.context() as monkeypatch, tempfile.TemporaryDirectory() as scratch:
            here = Path.cwd()
            stand_alone(monkeypatch, Path(scratch))
            found = outcome(name, Path(scratch) / "scenario", monkeypatch)
            os.chdir(here)
        print(f"{'WRONG' if found.wrong else 'well':5}  {name}: {found.said}")
        for what in found.wrong:
            print(f"       - {what}")
        wrong += bool(found.wrong)
    print(f"{len(names)} scenarios, {wrong} of them went wrong")
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()
