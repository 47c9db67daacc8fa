"""Extras: what a command says where the packages that it needs are not installed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import click


@contextmanager
def needing(extra: str, what: str, *packages: str) -> Iterator[None]:
    """Ends with exit 2, and says what to install, if an import in it fails for one of the packages
    of an extra. `what` says who needs them, with its verb."""
    try:
        yield
    except ModuleNotFoundError as missing:
        if (missing.name or "").partition(".")[0] not in packages:
            raise
        raise click.UsageError(
            f"{what} {packages[0]}: pip install '.[{extra}]' in a copy of besom"
        ) from missing
