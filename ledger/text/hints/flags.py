"""Near misses of flags: other words for them, and words around them."""

from __future__ import annotations

from ledger.text.hints.slips import LEAVE_OUT, SAYS, Slip, Words, next_word_fits
from ledger.text.hints.spans import later, month_span
from ledger.text.hints.vocabulary import (
    DATE,
    FLAGS,
    MONTH,
    NUMBER,
    any_of,
    month_name,
    number_in,
    small,
)

_ALL = any_of(FLAGS)
_OTHERS = {
    "vital": r"(?:very |really |so |most )?(?:vital|important|urgent|critical|essential|crucial"
    r"|mandatory|required|necessary|compulsory)|(?:high|top) priority|priority (?:high|1)|always"
    r"|must(?: do)?|vitally",
    "spare": r"optional(?:ly)?|(?:if|when) (?:at all )?possible|(?:if|when) (?:there(?:'s| is)"
    r"|(?:i|we|you) have) (?:any |some )?(?:spare )?time|(?:if|when) time (?:allows|is left)|maybe"
    r"|perhaps|extra|bonus|(?:in )?(?:the )?spare time|(?:low|lowest) priority|nice to have",
    "expires": r"expiring|never late|(?:or )?(?:lapses?|is lost|drops)|no catching up"
    r"|not late|(?:only )?on the day",
    "paused": r"on (?:hold|pause)|pausing|paused (?:for now|again)|for now not|not (?:for now|now)"
    r"|no longer|not any ?more|inactive|skip(?:ped)?|suspended for now",
}
_NOT = {"vital": "not (?:so )?(?:vital|important|urgent)", "paused": "not paused|unpaused"}


def _again(words: Words) -> str:
    """The clause that ends a pause."""
    if words["month"]:
        return f"from {month_span(words['month'], '', words['date'])[0]}"
    if words["day"]:
        return f"from {words['day']}"
    days = number_in(words["n"]) * {"w": 7, "m": 30}.get(small(words["unit"])[:1], 1)
    return f"from {later(words['date'], days)}"


PAUSED_UNTIL = (
    Slip(
        "VITAL",
        rf"(?:until|till|to) (?:(?P<month>{MONTH})|(?P<day>{DATE}))|(?:for )(?P<n>{NUMBER})"
        r" (?P<unit>days?|weeks?|months?)",
        _again,
        "what is paused for a time is in force again from a date",
        "write that, such as {}",
        before=r"(?P<old>\bpaused )",
        whole=True,
        is_example=True,
    ),
    Slip(
        "DATE",
        rf"(?P<month>{MONTH})(?P<day>)",
        _again,
        "what is paused for a time is in force again from a date",
        "write that, such as {}",
        before=r"(?P<old>\bpaused until )",
        whole=True,
        is_example=True,
    ),
    Slip(
        "VITAL",
        rf"(?:in|for|during) (?P<month>{MONTH})",
        lambda words: f"except {month_name(words['month'])}",
        "what is paused for a month has that month behind `except`",
        before=r"(?P<old>\bpaused )",
        whole=True,
    ),
    Slip(
        "DATE",
        rf"(?P<month>{MONTH})",
        lambda words: f"until {later(month_span(words['month'], '', words['date'])[0], -1)}",
        "what is paused from a day on is in force until the day before",
        "write that, such as {}",
        before=r"(?P<old>\bpaused from )",
        whole=True,
        is_example=True,
    ),
)
"""`paused until march`, which would hold until March if its words were written so."""

EXPIRES_ON = (
    Slip(
        "VITAL",
        rf"(?:on|at|by|after)? *(?P<day>{DATE})",
        "until {day}",
        "`expires` says that a window is never late, and `until` when a line ends",
        before=r"(?P<old>\bexpires )",
        whole=True,
    ),
    Slip(
        "VITAL",
        rf"(?:after|in|within) (?P<n>{NUMBER}) days?",
        lambda words: f"within {number_in(words['n'])} days expires",
        "how long a window is stands behind `within`",
        before=r"(?P<old>\bexpires )",
        start="declaration_line",
        whole=True,
    ),
)

FLAGS_IN_WORDS = tuple(
    Slip("VITAL", rf"(?!(?-i:[A-Z]))(?:is |are )?(?:{words})", flag, SAYS, check=next_word_fits)
    for flag, words in _OTHERS.items()
)
FLAGS_DENIED = tuple(
    Slip(
        "VITAL",
        words,
        "",
        f"a line without `{flag}` is not {flag}",
        LEAVE_OUT,
        joins=True,
        whole=True,
    )
    for flag, words in _NOT.items()
)
IN_THE_CADENCE = Slip(
    "WEEKDAY DAY_UNIT",
    rf"(?P<flag>{_ALL}) (?P<unit>\S+)",
    "{unit} {flag}",
    "`{flag}` comes behind the cadence",
    whole=True,
)
AROUND = (
    Slip(
        "VITAL",
        r"time|again|for now|now|yes|true|please|(?:on )?(?:the |that )?same day|that day",
        "",
        '"{wrong}" says nothing here that the flag does not',
        LEAVE_OUT,
        before=rf"\b{_ALL} *",
        joins=True,
        whole=True,
    ),
    Slip(
        "VITAL",
        rf"(?P<wrong>is|are|and|but|also|&|\+|!+)(?![^\s!]) *(?={_ALL}(?![^\s,]))",
        "",
        'no "{wrong}" stands before a flag',
        LEAVE_OUT,
        touches=True,
        whole=True,
    ),
    Slip(
        "VITAL",
        rf"(?P<wrong>!+)(?={_ALL})",
        "",
        'no "{wrong}" stands before a flag',
        LEAVE_OUT,
        touches=True,
        whole=True,
    ),
)
SLIPS = (*PAUSED_UNTIL, *EXPIRES_ON, *FLAGS_DENIED, *FLAGS_IN_WORDS, IN_THE_CADENCE, *AROUND)
