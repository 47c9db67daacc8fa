"""Public holidays as lines of a book. What is no declaration is a comment, so that a book may hold
whatever is printed."""

from __future__ import annotations

from collections.abc import Iterable

from ledger.public_holidays import VERSION, Country, HolidaysFault, Listing, Place
from ledger.text.clauses import NamedDays
from ledger.text.formatter import formatted
from ledger.text.parts import Located, Spans
from ledger.text.reader import Reader
from ledger.text.shown import safe
from ledger.text.source import Source
from ledger.text.writer import write_line


def countries_text(countries: Iterable[Country], year: int) -> str:
    """All countries with their codes, and what to type for one of them."""
    rows = [f"  {country.code}  {country.name}" for country in countries]
    head = [
        "The countries that the library knows.",
        "The regions of one: `besom holidays GB`.",
        f"Its public holidays: `besom holidays GB {year}`.",
    ]
    return _comments([*head, *rows])


def place_text(place: Place, year: int) -> str:
    """The years and the regions of a place, and what to type for its holidays."""
    first, last = place.years
    call = f"`besom holidays {place.code} {min(max(year, first), last)}`"
    lines = [f"{place.country.name} ({place.code}), {first} to {last}: {call}."]
    regions = {} if place.region else place.country.regions
    if regions:
        lines.append("Its regions, which may have holidays of their own:")
    for code, spellings in regions.items():
        region = Place(place.country, code).code
        lines.append(f"  {region}  {', '.join(spellings)}".rstrip())
    return _comments(lines)


def listing_text(listing: Listing, name: str) -> str:
    """A `days` line of a list of holidays, below comments that say what each date is.

    Raises HolidaysFault for a name that no days can have.
    """
    place = listing.place
    rows = [f"  {day}  {title}" for day, title in listing.names.items()]
    comments = [
        f"Public holidays of {place.country.name} ({place.code}), from the Python library "
        f"holidays {VERSION}.",
        "The library may be wrong or late: check the dates against your government's list.",
        *listing.warnings,
        *rows,
    ]
    days = [Located(day.toordinal(), 0, 0) for day in listing.names]
    title = Located(f"Public holidays, {place.code}", 0, 0)
    node = NamedDays(Located(name, 0, 0), Spans(tuple((day, day) for day in days)), title=title)
    tree = Reader().read(Source("", f"{_comments(comments)}{write_line(node)}\n"))
    for fault in tree.faults():
        raise HolidaysFault(f"{fault.message}; {fault.fix}")
    return formatted(tree)


def _comments(lines: Iterable[str]) -> str:
    return "".join(f"# {safe(line)}\n" for line in lines)
