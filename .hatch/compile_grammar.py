"""Build step: compiles the grammar's tables into the wheel, so that Lark need not at run time."""

from __future__ import annotations

import importlib.util
import sys
import tempfile
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface


class GrammarTables(BuildHookInterface[Any]):
    """Adds `ledger/text/tables.json`, and the grammar itself, to a wheel; an editable install
    reads the grammar where it lies."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        if version == "editable":
            return
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
        self._folder = tempfile.TemporaryDirectory()
        ready = Path(self._folder.name) / grammar.TABLES_NAME
        ready.write_text(grammar.to_json(tables), "utf-8")
        build_data["force_include"][str(source)] = f"ledger/text/{grammar.GRAMMAR_NAME}"
        build_data["force_include"][str(ready)] = f"ledger/text/{grammar.TABLES_NAME}"

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        if version != "editable":
            self._folder.cleanup()
