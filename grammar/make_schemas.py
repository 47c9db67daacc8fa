"""Writes the JSON Schemas of what commands answer: `python grammar/make_schemas.py`.

They are made from the types of the answers and from their docstrings: nothing is edited by hand.
`ledger/text/fields.py` has the kinds of value; `ledger/render/as_json.py` makes JSON of an answer.
"""

from __future__ import annotations

import ast
import json
import re
from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache
from importlib import import_module
from itertools import pairwise
from pathlib import Path
from types import NoneType, UnionType
from typing import Annotated, Literal, Union, get_args, get_origin, get_type_hints

from ledger.cli.recording import Recorded
from ledger.cli.undo import TakenBack
from ledger.render.as_json import keys_of
from ledger.render.findings_json import Found
from ledger.report.ahead import Ahead
from ledger.report.areas import Areas
from ledger.report.chore import About
from ledger.report.due import Due
from ledger.report.lighten import Lighten
from ledger.report.review import Review
from ledger.report.week import Week
from ledger.text.fields import Bounds, OneOf, Pattern
from ledger.versions.comparison import Comparison

HERE = Path(__file__).parent
Json = dict[str, object]

ANSWERS: Mapping[str, type] = {
    "ahead": Ahead,
    "areas": Areas,
    "chore": About,
    "compare": Comparison,
    "did": Recorded,
    "due": Due,
    "lighten": Lighten,
    "lint": Found,
    "moved": Recorded,
    "review": Review,
    "skipped": Recorded,
    "undo": TakenBack,
    "week": Week,
    "worked": Recorded,
}
"""What each command answers."""

_DATE: Json = {
    "description": "A date, YYYY-MM-DD (ISO 8601).",
    "type": "string",
    "format": "date",
    # Some readers take other forms of ISO 8601 for this format too.
    "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$",
}
_SIMPLE = {bool: "boolean", int: "integer", float: "number", str: "string"}
_BOUNDS = {
    "integer": ("minimum", "maximum"),
    "number": ("minimum", "maximum"),
    "string": ("minLength", "maxLength"),
    "array": ("minItems", "maxItems"),
}
"""How JSON Schema calls the least and the most of a type."""


class Undescribed(Exception):
    """A field that has no docstring, nor has its kind."""


def schema_of(name: str, answer: type) -> Json:
    """The schema of what a command answers, which refers to no other.

    Raises Undescribed for a field without a docstring, and TypeError for a type that JSON has not.
    """
    made = _Made()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "$id": f"urn:besom:{name}",
        "title": f"besom {name} --as json",
        **made.record(answer),
        "$defs": made.definitions,
    }


def schema_text(name: str) -> str:
    """The schema of a command's answer, as its file holds it."""
    return json.dumps(schema_of(name, ANSWERS[name]), ensure_ascii=False, indent=2) + "\n"


def schema_path(name: str) -> Path:
    """The file of a command's schema."""
    return HERE / f"{name}.schema.json"


class _Made:
    """A schema in the making."""

    def __init__(self) -> None:
        self.definitions: Json = {}
        self._kinds: dict[str, type] = {}

    def record(self, kind: type) -> Json:
        """What a record of a kind holds."""
        keys = keys_of(kind)
        hints, described = _hints(kind), _descriptions(kind)
        if missing := [key for key in keys if key not in described]:
            raise Undescribed(f"{kind.__module__}.{kind.__name__}: {', '.join(missing)}")
        return {
            "description": _sentence(kind.__doc__ or ""),
            "type": "object",
            "additionalProperties": False,
            "required": list(keys),
            "properties": {
                key: {"description": described[key], **self.part(hints[key])} for key in keys
            },
        }

    def part(self, hint: object) -> Json:
        """What a type lets stand. Raises TypeError for one that JSON has not."""
        origin, inner = get_origin(hint), get_args(hint)
        if isinstance(hint, type) and hint in _SIMPLE:
            return {"type": _SIMPLE[hint]}
        if isinstance(hint, type) and (hint is date or keys_of(hint)):
            return self._reference(hint)
        if origin is Annotated:
            return _limited(self.part(inner[0]), inner[1:])
        if origin is Literal:
            return {"enum": list(inner)}
        if origin in (Union, UnionType) and len(inner) == 2 and NoneType in inner:
            return _or_null(self.part(inner[inner[0] is NoneType]))
        if origin is tuple and len(set(inner) - {Ellipsis}) == 1:
            length = {} if Ellipsis in inner else {"minItems": len(inner), "maxItems": len(inner)}
            return {"type": "array", "items": self.part(inner[0]), **length}
        raise TypeError(f"a schema cannot say {hint}")

    def _reference(self, kind: type) -> Json:
        """A reference to what is said once of a kind."""
        name = re.sub(r"(?<=[a-z])(?=[A-Z])", "_", kind.__name__).lower()
        if name not in self._kinds:
            self._kinds[name] = kind
            self.definitions[name] = _DATE if kind is date else self.record(kind)
        if self._kinds[name] is not kind:
            raise TypeError(f"{kind} and {self._kinds[name]} have one name")
        return {"$ref": f"#/$defs/{name}"}


def _limited(part: Json, limits: Sequence[object]) -> Json:
    for limit in limits:
        match limit:
            case OneOf(words=words):
                part = {"enum": list(words)}
            case Pattern(regex):
                part = {**part, "pattern": regex}
            case Bounds(least, most):
                low, high = _BOUNDS[str(part["type"])]
                part = {**part, low: least} | ({} if most is None else {high: most})
    return part


def _or_null(part: Json) -> Json:
    if "$ref" in part:
        return {"anyOf": [part, {"type": "null"}]}
    if isinstance(words := part.get("enum"), list):
        return {"enum": [*words, None]}
    return {**part, "type": [part["type"], "null"]}


def _hints(kind: type) -> dict[str, object]:
    """The types of all that a record has by name, its properties too."""
    module = kind.__module__
    # What is imported for type checkers alone, the module itself does not have.
    imported = {name: getattr(import_module(home), name) for name, home in _homes(module).items()}
    names = vars(import_module(module)) | imported
    properties = {
        name: get_type_hints(value.fget, names, include_extras=True)["return"]
        for name, value in vars(kind).items()
        if isinstance(value, property)
    }
    return properties | get_type_hints(kind, names, include_extras=True)


def _descriptions(kind: type) -> dict[str, str]:
    """What is said of all that a record has by name: at its field, or else at its type."""
    module = kind.__module__
    (body,) = (
        node.body
        for node in _tree(module).body
        if isinstance(node, ast.ClassDef) and node.name == kind.__name__
    )
    at_types = {
        ast.unparse(node.target): _said_of_type(module, node.annotation)
        for node in body
        if isinstance(node, ast.AnnAssign)
    }
    properties = {
        node.name: ast.get_docstring(node) for node in body if isinstance(node, ast.FunctionDef)
    }
    said = at_types | properties | _docstrings(body)
    return {name: _sentence(text) for name, text in said.items() if text}


def _said_of_type(module: str, annotation: ast.expr) -> str | None:
    """What is said of the first type of an annotation of which something is said."""
    names = (node.id for node in ast.walk(annotation) if isinstance(node, ast.Name))
    homes = ((name, _homes(module).get(name, module)) for name in names)
    said = (_docstrings(_tree(home).body).get(name) for name, home in homes)
    return next((text for text in said if text), None)


def _docstrings(body: Sequence[ast.stmt]) -> dict[str, str]:
    """The texts that stand below assignments, by the names that are assigned."""
    found = {}
    for node, below in pairwise(body):
        match node, below:
            case (
                ast.AnnAssign(target=ast.Name(name)) | ast.Assign(targets=[ast.Name(name)]),
                ast.Expr(ast.Constant(str(text))),
            ):
                found[name] = text
    return found


@cache
def _homes(module: str) -> dict[str, str]:
    """The modules of our own from which a module imports names."""
    return {
        alias.name: node.module
        for node in ast.walk(_tree(module))
        if isinstance(node, ast.ImportFrom) and node.module and node.module.startswith("ledger.")
        for alias in node.names
    }


@cache
def _tree(module: str) -> ast.Module:
    return ast.parse(Path(import_module(module).__file__ or "").read_text("utf-8"))


def _sentence(text: str) -> str:
    """A docstring as one line, in the words of JSON."""
    return re.sub(r"\bNone\b", "null", " ".join(text.split()))


if __name__ == "__main__":
    for answered in ANSWERS:
        schema_path(answered).write_text(schema_text(answered), "utf-8")
