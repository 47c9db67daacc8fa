"""What could stand at the fault of a line, in words that fit what the line was about to say."""

from __future__ import annotations

import re
from collections.abc import Iterable

from ledger.text.clauses import CLAUSES, ChoreLine, Clause, NamedDays, SectionHeader
from ledger.text.hints.misread import Hint, Misread
from ledger.text.hints.reading import Edit, applied, reads
from ledger.text.hints.titles import begins_clause
from ledger.text.parser import END, parser

_PHRASES = {
    "NAME": "a name",
    "INT": "a number",
    "DATE": "a date, `YYYY-MM-DD`",
    "DAY": "a day of the week",
    "MONTH": "a month",
    "ORDINAL": "`first` to `fifth`",
    "TITLE": 'a title in double quotes, `"..."`',
    "CLOCK": "a time, `HH:MM`",
    "COMMA": "a comma",
}


def expectation(miss: Misread) -> Hint:
    """What the line lacks, or which word does not fit: the last hint, which fits every line."""
    return _too_soon(miss) if miss.ended else _in_the_way(miss)


def _too_soon(miss: Misread) -> Hint:
    message = next(
        (message for kinds, message in _LACKS if miss.wants(*kinds)),
        f"the line ends where {wanted_here(miss)} must stand",
    )
    edit = Edit(miss.body, miss.body, f" {_example(miss)}")
    return Hint(message, "write it, such as {}", (edit,), whole=True, is_example=True)


_LACKS = (
    (("EVERY", "DATE"), "the line ends before it says which days these are"),
    (("WEEKDAY", "DAY_UNIT"), "the line ends before it says how often"),
    (("EVERY",), "the line ends before it says how often"),
    (("WEEKS", "MONTHS"), "the line ends before it says what it counts"),
    (("DID", "MOVED"), "the line ends before it says what was done"),
    (("ORDINAL",), "the line ends before it names a day of the month"),
)


def _example(miss: Misread) -> str:
    """An example of words that would complete the line."""
    first = miss.text[: miss.body].split()[0]
    if "NAME" in miss.expected:
        return _example_name(miss, first)
    if first == "limit" and miss.wants("INT"):
        return "45 min"
    if miss.expected == {"EVERY"}:
        return "every week"
    if miss.expected == {"FROM"}:
        return f"from {miss.date} to {miss.date}"
    if miss.wants("DAYS") and not miss.wants("WEEKS"):
        return "days" if first != miss.head else "days after done"
    if miss.wants("DAY") and miss.head.endswith(" is"):
        return "saturday, sunday"
    if miss.wants("TO"):
        return f"to {miss.head[-10:]}" if first == "once" else f"to {miss.date}"
    return next((words for kind, words in _EXAMPLES if kind in miss.expected), "") or miss.date


_EXAMPLES = (
    ("EVERY", "every monday"), ("WEEKDAY", "monday"), ("WEEK", "week"), ("DID", "did wash-up"),
    ("CLOCK", "03:00"), ("DONE", "done"), ("IS", "1"), ("WEEKS", "weeks"), ("ORDINAL", "1"),
    ("MONTH", "october"), ("STARTS", "starts monday"), ("ENDS", "ends 03:00"),
    ("DAY", "monday"), ("TITLE", '"12 Quarry Lane"'), ("AFTER", "after done"), ("INT", "45 min"),
)  # fmt: skip


def _example_name(miss: Misread, first: str) -> str:
    """A name that would fit, one of the book where possible."""
    before = miss.head.rsplit(None, 1)[-1]
    if first == "limit":
        return "weekday 45 min"
    if first in ("away", "rest", "days"):
        return miss.date if first != "days" else f"school {miss.date}"
    if before in ("during", "except"):
        return "april to october"
    if before in ("by", "of", "or", "then", "and") or first == "person":
        named = miss.head.replace(",", " ").split() if first != "person" else miss.people
        return next((name for name in miss.people if name not in named), "noor")
    if before == "in" or first == "area":
        return min(miss.areas, default="kitchen") if first != "area" else "kitchen"
    if before == "uses":
        return "ladder"
    return "wash-up" if miss.start != "declaration_line" else "noor"


def _in_the_way(miss: Misread) -> Hint:
    shown = miss.word if len(miss.word) <= 30 else miss.word[:29] + "…"
    if miss.wants("HOUSEHOLD", "EVERY"):
        return Hint(
            f'no line begins with "{shown}"',
            "begin a section with `every`, `weekend` or `once`, a chore with blanks, a line of the "
            "record with its date, and a comment with `#`: {}",
            (Edit(miss.margin, miss.margin, "# "),),
            whole=True,
        )
    if "NAME" in miss.expected and not miss.head.strip(" \t"):
        edit = Edit(miss.margin, miss.margin, "wash-up  ")
        if not reads(applied(miss.text, edit)):
            return Hint("the line names no chore", "write its name first, such as `wash-up`")
        fix = "write its name first, such as {}"
        return Hint("the line names no chore", fix, (edit,), whole=True, is_example=True)
    if miss.names_no_days:
        return _no_days(miss, shown)
    complete = reads(miss.head) and not miss.leaves_dates
    for kind, what, line in _CLAUSES:
        if miss.wants(kind):
            message = f'no clause of {what} begins with "{shown}"'
            return _or_comment(miss, message, _clauses(miss, CLAUSES[line]))
    if miss.wants("WEEKDAY", "DAY_UNIT"):
        return Hint(
            f'a book does not count in "{shown}"',
            "write `day`, `week`, `month`, `weekday` or `weekend`, a day of the week, a month, or "
            "a number with `days`, `weeks` or `months`",
        )
    if complete and shown.startswith(","):
        return Hint("the list cannot go on with this", "write a header of its own for it")
    if complete and miss.text.startswith("limit "):
        edit = Edit(len(miss.head), miss.body, "")
        message = f"a limit has no `{shown}`" if miss.word.islower() else "a limit has no title"
        return Hint(message, "leave it out: {}", (edit,), miss.body, whole=True)
    if complete:
        return _or_comment(miss, f'"{shown}" is more than this line can say', "")
    wanted = wanted_here(miss)
    to_write = wanted.replace(_PHRASES["DATE"], f"a date such as `{miss.date}`")
    return Hint(f'"{shown}" stands where {wanted} must', f"write {to_write}")


def _no_days(miss: Misread, shown: str) -> Hint:
    days = "a month, a day of the week or the name of some days"
    if miss.start == "declaration_line" and "DURING" not in miss.expected:
        days = "a date or the name of some days"
    return Hint(f'"{miss.names_no_days} {shown}" names no days', f"write {days}")


_CLAUSES = (
    ("USES", "a chore", ChoreLine),
    ("DURING", "a header", SectionHeader),
    ("WITHIN", "named days", NamedDays),
)


def _clauses(miss: Misread, clauses: Iterable[Clause]) -> str:
    """A list of the clauses that the line has not yet, each by its keyword, or by its kind where it
    has no keyword."""
    has, whole = miss.head.split(), reads(miss.head)

    def fits(clause: Clause) -> bool:
        return clause.kind != "flag" or not whole or reads(f"{miss.head} {clause.keyword}")

    *labels, last = (
        "minutes" if clause.kind == "duration" else clause.label
        for clause in clauses
        if clause.kind != "cadence" and clause.keyword not in has and fits(clause)
    )
    return f"{', '.join(labels)} or {last}"


def _or_comment(miss: Misread, message: str, clauses: str) -> Hint:
    edit = Edit(miss.at, miss.at, "# ")
    if clauses and begins_clause(miss.rest):
        return Hint(message, f"write {clauses} in double quotes", (), miss.body)
    fix = "leave it out, or make it a comment: {}"
    if clauses:
        fix = f"write {clauses}; or make it a comment: {{}}"
    return Hint(message, fix, (edit,), miss.body, whole=True)


_DAY_LIST = re.compile(r"[ \t](?:during|except)(?:[ \t].*,)?\Z")


def wanted_here(miss: Misread) -> str:
    """What could stand at the fault, in words."""
    labels = parser().tables.labels
    # Any line may end in a comment; saying so helps nobody. What stands before the fault is no
    # whole line, so it cannot end here either.
    kinds = miss.expected - {"COMMENT", END}
    if "NAME" in kinds:
        # Where a name may stand, so may most keywords.
        if _DAY_LIST.search(miss.head):
            return "a month, a day of the week or a name"
        turns = {"EACH"} if miss.head.endswith(" by") else set()
        kinds = kinds & ({"NAME", "TITLE", "DATE", "INT"} | turns)
    phrases = sorted({_PHRASES.get(k) or f"`{labels[k].strip(chr(34))}`" for k in kinds})
    if len(phrases) <= 1:
        return phrases[0] if phrases else "something else"
    return ", ".join(phrases[:-1]) + f" or {phrases[-1]}"
