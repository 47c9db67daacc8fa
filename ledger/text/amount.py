"""Amount: minutes and hours as a person types them."""

from __future__ import annotations

import re

_HOURS, _MINUTES = "(?:hours?|hrs?|h)", "(?:minutes?|mins?|m)"
_AMOUNT = re.compile(rf"(?:([0-9]+) ?{_HOURS})? ?(?:([0-9]+) ?{_MINUTES}?)?", re.IGNORECASE)
_PIECE = re.compile(
    rf"[0-9]+{_MINUTES}?|[0-9]+{_HOURS}(?:[0-9]+{_MINUTES}?)?|{_HOURS}|{_MINUTES}", re.IGNORECASE
)


def may_be_part(word: str) -> bool:
    """True for a word that an amount of time may be made of."""
    return _PIECE.fullmatch(word) is not None


def amount_text(text: str) -> str | None:
    """An amount of time (`12`, `15min`, `1h30`) as a line of the record writes it; None for a text
    that is none."""
    amount = _AMOUNT.fullmatch(text)
    if amount is None:
        return None
    hours, minutes = amount.groups()
    return " ".join([f"{hours} h"] * bool(hours) + [f"{minutes} min"] * bool(minutes))
