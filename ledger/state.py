"""The state folder: what besom remembers from one command to the next."""

from __future__ import annotations

import os
from pathlib import Path


def state_folder() -> Path:
    """The folder for what besom remembers from one command to the next; it may not exist yet.

    `$XDG_STATE_HOME/besom` (XDG Base Directory Specification 0.8, 2021), by default
    `~/.local/state/besom`; on Windows below the local application data.
    """
    named = os.environ.get("XDG_STATE_HOME", "")
    # The specification says to ignore a relative path.
    if Path(named).is_absolute():
        return Path(named) / "besom"
    if local := os.environ.get("LOCALAPPDATA"):
        return Path(local) / "besom"
    return Path("~").expanduser() / ".local" / "state" / "besom"


def undo_log() -> Path:
    """The file of the lines that commands added to records; it may not exist yet."""
    return state_folder() / "added-lines.jsonl"
