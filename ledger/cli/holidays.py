"""`besom holidays`: the public holidays of a country as a line of the book."""

from __future__ import annotations

from collections.abc import Sequence

import click

from ledger.cli.extras import needing
from ledger.cli.naming import check_name
from ledger.cli.output import fills_file, give
from ledger.clock import today_of
from ledger.household.model import Household


@click.command("holidays")
@click.argument("words", nargs=-1, metavar="[COUNTRY[-REGION]] [YEAR]...")
@click.option(
    "--name",
    metavar="DAYS",
    default="bank-holidays",
    show_default=True,
    help="What the book calls these days.",
)
def command(words: tuple[str, ...], name: str) -> None:
    """The public holidays of a country as a `days` line, with a comment on each date.

    COUNTRY is a code of ISO 3166-1 (GB, GBR) or the English name, REGION what follows the hyphen
    in ISO 3166-2 (ENG) or its name. Without a year: the regions of the country, and for how many
    years there are dates. Without a country: all countries.

    The dates come from the Python library holidays. They may be wrong or late: check them against
    your government's list. Needs the extra `holidays`: pip install '.[holidays]' in a copy of
    besom.

    \b
    Examples:
      besom holidays                          all countries, a line each
      besom holidays GB                       its regions
      besom holidays GB-ENG 2026              then: every day except bank-holidays
      besom holidays GB-ENG 2026 2027 >> home.chores
      besom holidays DE-BY 2026 --name feiertage
    """
    with needing("holidays", "public holidays need the library", "holidays"):
        from ledger import public_holidays as library
    check_name(name)
    try:
        text = _answer(words, name, today_of(Household()).year)
    except library.HolidaysFault as fault:
        raise click.UsageError(str(fault)) from fault
    give("\n" + text if fills_file() else text)


def _answer(words: Sequence[str], name: str, this_year: int) -> str:
    """The answer to a call: words that begin with a digit are years, all others name the place."""
    from ledger import public_holidays as library
    from ledger.render import holidays_text as pages

    years = [word for word in words if word[:1].isdigit()]
    text = " ".join(word for word in words if word not in years).strip()
    if not text and years:
        raise click.UsageError(f"name a country too: `besom holidays GB {years[0]}`")
    if not text:
        return pages.countries_text(library.countries(), this_year)
    place = library.place_named(text)
    if not years:
        return pages.place_text(place, this_year)
    listing = library.holidays_of(place, [_year(word, this_year) for word in years])
    return pages.listing_text(listing, name)


def _year(word: str, this_year: int) -> int:
    if not (word.isdecimal() and word.isascii() and len(word) == 4):
        raise click.UsageError(f'"{word}" is no year; write four digits, such as {this_year}')
    return int(word)
