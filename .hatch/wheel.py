"""Build step: what a wheel holds beside the code, all of it made from the code."""

from __future__ import annotations

import importlib.util
import subprocess
import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class Made(BuildHookInterface[Any]):
    """Adds the grammar and its tables, so that Lark need not run with a command, and the pages of
    the manual. An editable install reads the grammar where it lies, and has no pages."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if version == "editable":
            return
        self._folder = tempfile.TemporaryDirectory()
        self._add_grammar(build_data["force_include"])
        self._add_pages(build_data["shared_data"])

    def _add_grammar(self, included: dict[str, str]) -> None:
        root = Path(self.root)
        module = root / "ledger" / "text" / "grammar.py"
        spec = importlib.util.spec_from_file_location("besom_grammar", module)
        assert spec is not None
        assert spec.loader is not None
        grammar = importlib.util.module_from_spec(spec)
        sys.modules[spec.name] = grammar
        spec.loader.exec_module(grammar)
        source = root / "grammar" / grammar.GRAMMAR_NAME
        tables = grammar.compile_grammar(source.read_text("utf-8"))
        ready = Path(self._folder.name) / grammar.TABLES_NAME
        ready.write_text(grammar.to_json(tables), "utf-8")
        included[str(source)] = f"ledger/text/{grammar.GRAMMAR_NAME}"
        included[str(ready)] = f"ledger/text/{grammar.TABLES_NAME}"

    def _add_pages(self, shared: dict[str, str]) -> None:
        pages = Path(self._folder.name) / "man1"
        writer = Path(self.root) / ".hatch" / "man_pages.py"
        # In a process of its own, which leaves no compiled file in the folder of a reader.
        subprocess.run([sys.executable, "-B", str(writer), str(pages)], check=True)
        shared[str(pages)] = "share/man/man1"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        if version != "editable":
            self._folder.cleanup()
