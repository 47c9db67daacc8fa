"""Git texts: what `besom git-setup` writes for git, word for word."""

from __future__ import annotations

import shlex

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
    "^((every|once)[[:blank:]].*)$\n^((weekend[[:blank:]]+[0-9l]|[0-9]+[[:blank:]]+(day|times)).*)$"
)
# Names and dates are whole words. Commas and quotes are words of their own, so that a name beside
# one is still the same word.
_WORD = '[^[:space:]",]+|[",]'
# Git takes any exit code of a driver up to 128 for a conflict and keeps our side as it is
# (gitattributes manual, "Defining a custom merge driver"). So git's own merge runs if besom could
# not be run, or if it ended with 1, as for conflicts, and left no marker. If a side is binary,
# besom leaves no marker either, so it then ends with a code of its own. Git would not recognize
# markers shorter than its default.
# Git says from version 2.44 on what the marks should call both sides (%X and %Y). An older one
# leaves those two as they are; the pattern of the case must be none of its placeholders.
_DRIVER = (
    "ours=%X theirs=%Y; case $ours in [%]?) ours=ours theirs=theirs ;; esac; "
    'besom merge --marker-size %L --binary-code 3 --ours "$ours" --theirs "$theirs" '
    "--path %P %O %A %B || { "
    "case $? in 3) exit 1 ;; 1) grep -q '^<<<<' %A && exit 1 ;; esac; "
    "git merge-file --marker-size=$(( %L > 7 ? %L : 7 )) "
    '-L "$ours" -L base -L "$theirs" %A %O %B || exit 1; }'
)
SETTINGS = {
    "diff.chores.xfuncname": _SECTION,
    "diff.chores.wordRegex": _WORD,
    "merge.chores.name": "chore books, by what their lines mean",
    "merge.chores.driver": _DRIVER,
}

HOOK = "pre-commit"
SIGN = "besom lint --staged"
_JUDGED = "--least warning --fail-on error"
CHECK = f"{SIGN} . --since HEAD {_JUDGED}"
"""What the hook runs. New errors stop a commit, new warnings are shown, notes are left out. Time
alone brings findings too, and they must not stop a commit that records a chore. The folder is
named: a book of the environment may be another repository's."""
WRITTEN = "#!/bin/sh\n# Written by `besom git-setup`"
"""The start of the hook, which shows that even a part of it is ours."""
_HOOK_START = f"""\
{WRITTEN}, and taken back by `besom git-setup --undo`.
# Lints the books as they are staged where a commit changes one, whatever the folder holds.

git -c core.fsmonitor=false diff --cached --quiet --no-ext-diff --no-textconv -- '*.chores' &&
    exit 0

besom="""
_HOOK_REST = f"""
[ -x "$besom" ] || besom=$(command -v besom) || {{
    echo 'besom: not found, neither where it was nor on PATH, so the book was not checked and' >&2
    echo 'nothing was committed. Install besom, or enter its environment, and run' >&2
    echo '`besom git-setup`; or commit unchecked: git commit --no-verify' >&2
    exit 1
}}

if git rev-parse --verify --quiet HEAD >/dev/null; then
    check='{CHECK}'
else
    check='{SIGN} . {_JUDGED}'
fi
said=$("$besom" ${{check#besom }} --most 10 2>&1)
ended=$?
case "$ended $said" in
0*': warning: '*)
    printf '%s\\n\\n' "$said" >&2
    echo 'besom: these warnings do not stop the commit.' >&2
    exit 0
    ;;
0*) exit 0 ;;
esac
printf '%s\\n\\n' "$said" >&2
echo 'besom: nothing was committed. Mend the book, stage it (git add), and commit again;' >&2
echo 'or commit it as it is: git commit --no-verify' >&2
command -v besom >/dev/null || check="'$besom' ${{check#besom }}"
echo "To see all of it: $check" >&2
exit 1
"""


def hook_text(command: str) -> str:
    """The hook that runs besom by this path, or by the PATH where nothing can be run there."""
    return _HOOK_START + shlex.quote(command) + _HOOK_REST


def is_whole_hook(text: str) -> bool:
    """True for our hook, whatever path of besom it has."""
    return text.startswith(_HOOK_START) and text.endswith(_HOOK_REST)
