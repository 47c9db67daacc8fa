"""Settings that all tests share: the same examples on every run, and no clock on any of them."""

import os
import shutil
import tempfile
from pathlib import Path

import pytest
from hypothesis import settings

from ledger.text.grammar import TABLES_NAME, compile_grammar, grammar_text, to_json

# What commands keep between two calls is not kept in the state folder of whoever runs the tests.
os.environ["XDG_STATE_HOME"] = tempfile.mkdtemp(prefix="besom-tests-")
# Nor is anything recorded in the name of whoever runs them.
os.environ.pop("BESOM_ME", None)

# `pytest --hypothesis-profile=search` looks further, at other examples each time.
settings.register_profile("steady", deadline=None, derandomize=True, max_examples=100)
settings.register_profile("search", deadline=None, max_examples=2000)
settings.load_profile("steady")

PACKAGE = Path(__file__).parents[1] / "ledger"


@pytest.fixture(scope="session")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the package as a wheel carries it: with its tables, and no grammar beside."""
    folder = tmp_path_factory.mktemp("wheel")
    package = folder / "ledger"
    shutil.copytree(PACKAGE, package, ignore=shutil.ignore_patterns("__pycache__"))
    tables = to_json(compile_grammar(grammar_text()))
    (package / "text" / TABLES_NAME).write_text(tables, "utf-8")
    return folder
