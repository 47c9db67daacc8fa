"""Git texts: what `besom git-setup` writes for git, word for word."""

from __future__ import annotations

from ledger.writing import TEMPORARY

ATTRIBUTES = ".gitattributes"
LINES = (
    "# besom git-setup: how git compares and merges a book",
    "*.chores diff=chores merge=chores",
)

EXCLUDED = (
    "# besom git-setup: what is half written beside a book",
    f".*{TEMPORARY}",
)

# Lines that begin a section, as extended regular expressions. `weekend is` begins none, and a line
# of the record has a hyphen after its first digits.
_SECTION = (
    "^((every|once)[[:blank:]].*)$\n"
    "^((weekend[[:blank:]]+[0-9l]|[0-9]+[[:blank:]]+(day|times)).*)$"
)
# Names and dates are whole words. Commas and quotes are words of their own, so that a name beside
# one is still the same word.
_WORD = '[^[:space:]",]+|[",]'
# Git takes any exit code of a driver up to 128 for a conflict and keeps our side as it is
# (gitattributes manual, "Defining a custom merge driver"). So git's own merge runs if besom could
# not be run, or if it ended with 1, as for conflicts, and left no marker. If a side is binary,
# besom leaves no marker either, so it then ends with a code of its own. Git would not recognize
# markers shorter than its default.
_DRIVER = (
    "besom merge --marker-size %L --binary-code 3 --path %P %O %A %B || { "
    "case $? in 3) exit 1 ;; 1) grep -q '^<<<<' %A && exit 1 ;; esac; "
    "git merge-file --marker-size=$(( %L > 7 ? %L : 7 )) -L ours -L base -L theirs %A %O %B "
    "|| exit 1; }"
)
SETTINGS = {
    "diff.chores.xfuncname": _SECTION,
    "diff.chores.wordRegex": _WORD,
    "merge.chores.name": "chore books, by what their lines mean",
    "merge.chores.driver": _DRIVER,
}

HOOK = "pre-commit"
CHECK = "besom lint --staged --since HEAD --fail-on warning"
"""What the hook runs. New errors and warnings stop a commit, notes do not. Time alone brings
findings too, and they must not stop a commit that records a chore."""
SIGN = "besom lint --staged"
WRITTEN = "#!/bin/sh\n# Written by `besom git-setup`"
"""The start of the hook, which shows that even a part of it is ours."""
_FIRST_CHECK = "besom lint --staged --fail-on error"
HOOK_TEXT = f"""\
{WRITTEN}, and taken back by `besom git-setup --undo`.
# Lints the books as they are staged where a commit changes one, whatever the folder holds.

git -c core.fsmonitor=false diff --cached --quiet --no-ext-diff --no-textconv -- '*.chores' &&
    exit 0

if ! command -v besom >/dev/null 2>&1; then
    echo 'besom: not found on PATH, so the book was not checked and nothing was committed.' >&2
    echo 'Install besom, or enter its environment; or commit unchecked: git commit --no-verify' >&2
    exit 1
fi

if git rev-parse --verify --quiet HEAD >/dev/null; then
    check='{CHECK}'
else
    # The first commit takes a home as it is, but for lines that cannot be used.
    check='{_FIRST_CHECK}'
fi
said=$($check --most 10 2>&1) && exit 0
printf '%s\\n\\n' "$said" >&2
echo 'besom: nothing was committed. Mend the book, stage it (git add), and commit again;' >&2
echo 'or commit it as it is: git commit --no-verify' >&2
echo "To see all of it: $check" >&2
exit 1
"""
