"""Other words: what people type for our commands, options and forms, by the word that we have.

Words that are merely misspelt are not here: `text/near.py` finds those.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping

_BOOK = "book file files path folder dir directory home"
_MINUTES = "minutes minute mins min time duration"

COMMANDS = {
    "due": "today list ls now todo agenda show status",
    "due --on tomorrow": "tomorrow",
    "due --on yesterday": "yesterday",
    "begin": "init start new create",
    "did": "done do finish finished complete completed record log add",
    "skipped": "skip",
    "moved": "move postpone defer reschedule",
    "worked": "work spent",
    "undo": "revert",
    "lint": "check validate verify test errors",
    "format": "fmt tidy",
    "review": "stats statistics summary report progress",
    "ahead": "plan next future upcoming forecast month year",
    "compare": "diff changes",
    "explain": "why rule rules",
    "areas": "rooms room area",
    "calendar": "ics ical icalendar phone export",
    "chore": "history info about task",
    "git-setup": "setup install git hook hooks",
    "lighten": "balance relieve",
    "paper": "print printer pdf",
    "paper labels": "labels label",
    "paper sheet": "sheet poster",
    "paper tags": "tags tag cards",
    "--version": "version",
}
OPTIONS = {
    "--on": "date day when",
    "--for": "person who whom by user people member",
    "--by": "person who for user people member",
    "--in": "area room place where",
    "--as": "format output form type",
    "--note": "message comment text m",
    "--book": _BOOK,
    "--minutes": f"{_MINUTES} within",
    "--weeks": "count number",
    "--only": "rule rules select",
    "--without": "ignore exclude except skip",
    "--most": "max limit",
    "--moves": "max limit",
    "--fail-on": "severity level",
    "--check": "dry-run",
    "--dry-run": "check preview",
    "--yes": "y force",
    "--undo": "remove uninstall revert",
    "--print": "stdout show",
    "--output": "out write save to ics",
    "--force": "overwrite replace yes y",
    "--todo": "todos tasks vtodo to-do to-dos",
    "--chores": "chore by-chore",
    "--reminder": "alarm remind valarm notify",
    "--years": "year count number",
    "--fix": "write repair",
    "--staged": "cached index",
    "--page": "paper size",
    "--font": "fonts typeface",
    "--template": "layout style",
    "--large": "big",
    "--help": "usage",
    "--version": "v",
}
ARGUMENTS = {
    "BOOK": _BOOK,
    "FOLDER": _BOOK,
    "CHORE": "chore name task",
    "NAME": "chore name task",
    "MINUTES": _MINUTES,
    "DAY": "date day to on",
    "RULE": "rule name",
}
"""What people type as an option, where it is a word without one."""
VALUES = {
    "markdown": "md",
    "csv": "excel xlsx spreadsheet table tsv",
    "text": "txt plain",
    "svg": "picture image png",
    "png": "picture image jpg jpeg",
    "diff": "patch",
    "error": "err errors",
    "warning": "warn warnings",
    "note": "info notes",
}


def ours(word: str, others: Mapping[str, str], known: Iterable[str]) -> str | None:
    """Our word for another one, of those that are known here; None if there is none."""
    here = set(known)
    for own, theirs in others.items():
        if word in theirs.split() and own.split()[0] in here:
            return own
    return None
