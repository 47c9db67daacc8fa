"""Git texts: what `besom git-setup` has to say to git, word for word."""

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

# A line that begins a section, as extended regular expressions; `weekend is` begins none, and
# a line of the record has a hyphen after its first digits.
_SECTION = (
    "^((every|once|paused)[[:blank:]].*)$\n^((weekend[[:blank:]]+[0-9l]|[0-9]+[[:blank:]]+day).*)$"
)
# Names and dates are whole words; commas and quotes stand alone, so that what is beside them is
# the same word with and without them.
_WORD = '[^[:space:]",]+|[",]'
# Git takes any end of a driver up to 128 for a conflict and keeps our side as it is (gitattributes
# manual, "Defining a custom merge driver"). So git's own merge comes in where besom could not be
# run, or ended with 1 as for conflicts and left no mark of any. Where a side is no text, besom
# leaves no mark either: it then ends with a code of its own. Marks of fewer signs than git's own
# default would not be known for marks again.
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
"""What the hook asks: a commit answers for what it brings, notes apart. Time alone brings
findings too, and a chore done must not wait for another one to be set right."""
SIGN = "besom lint --staged"
WRITTEN = "#!/bin/sh\n# Written by `besom git-setup`"
"""How the hook begins, by which even a part of it is known."""
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
