"""Templates: the files that say how each paper looks. To show one, nothing else is needed."""

from __future__ import annotations

from pathlib import Path


def template_of(name: str) -> Path:
    """Our own template of a paper."""
    return Path(__file__).parent / f"{name}.typ"
