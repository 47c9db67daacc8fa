"""Public holidays: the countries, regions and dates that the library `holidays` knows.

To import this module raises ModuleNotFoundError where the library is not installed.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterable, Iterator, Mapping
from datetime import date
from functools import cache
from typing import NamedTuple
from unicodedata import normalize

import holidays
from holidays.constants import PUBLIC
from holidays.registry import COUNTRIES
from holidays.version import __version__

from ledger.text.near import nearest
from ledger.text.values import FIRST_YEAR
from ledger.text.words import listed

VERSION = __version__
"""The version of the library: two versions may give different dates."""

_SMALL_WORDS = {"and", "of", "the"}
_BLANKS = re.compile(r"[-_\s]+")


class HolidaysFault(Exception):
    """The library does not have what was asked for; the message says what it has instead."""


class Country(NamedTuple):
    """A country that the library knows."""

    code: str
    """ISO 3166-1 alpha-2."""
    name: str
    """In English."""
    others: tuple[str, ...]
    """More codes: alpha-3, and others in use."""

    @property
    def regions(self) -> dict[str, list[str]]:
        """The other spellings of each region, by its code: the part of ISO 3166-2 behind the
        hyphen, or what the library has instead."""
        entity = getattr(holidays, self.code)
        spellings = entity.get_subdivision_aliases()
        return {code: spellings.get(code, []) for code in sorted(entity.subdivisions)}


class Place(NamedTuple):
    """A country, or a region of it."""

    country: Country
    region: str = ""
    """Its code; empty for the whole country."""

    @property
    def code(self) -> str:
        """What to type for it: `GB`, `GB-ENG`."""
        return f"{self.country.code}-{self.region}" if self.region else self.country.code

    @property
    def years(self) -> tuple[int, int]:
        """The first and the last year that both the library and a book can hold."""
        entity = getattr(holidays, self.country.code)
        return max(entity.start_year, FIRST_YEAR), entity.end_year


class Listing(NamedTuple):
    """The public holidays of a place in some years."""

    place: Place
    names: Mapping[date, str]
    """What each date is called there, in order of date."""
    warnings: tuple[str, ...]
    """What the library says of gaps in its list."""


@cache
def countries() -> tuple[Country, ...]:
    """All countries that the library knows, by name."""
    found = (
        Country(codes[0], _in_words(key), tuple(code for code in codes[1:] if len(code) <= 3))
        for key, (_, *codes) in COUNTRIES.items()
    )
    return tuple(sorted(found, key=lambda country: country.name))


def place_named(text: str) -> Place:
    """The place of a text such as `GB`, `GBR`, `united kingdom`, `GB-ENG` or `GB-England`.

    Capitals make no difference, and a hyphen is as good as a blank. Raises HolidaysFault for a
    country or a region that the library does not know.
    """
    known = {key: country for country in countries() for key in _keys_of(country)}
    gaps = [(gap.start(), gap.end()) for gap in _BLANKS.finditer(text)]
    # The longest beginning that is a country: `guinea bissau` is not a region of Guinea.
    for end, start in [(len(text), len(text)), *reversed(gaps)]:
        country = known.get(_key(text[:end]))
        if country is not None:
            return Place(country, _region(country, text[start:]))
    key = _key(text)
    likely = [*_with_word(key), *_regions_called(key)]
    near = nearest(key, known) or nearest(key.partition(" ")[0], known)
    if not likely and near is not None:
        likely = [f"`{known[near].code}` ({known[near].name})"]
    advice = f"did you mean {listed(likely)}? " if likely else ""
    raise HolidaysFault(f'there is no country "{text}"; {advice}`besom holidays` lists them all')


def holidays_of(place: Place, years: Iterable[int]) -> Listing:
    """The public holidays of a place in these years; also the days that stand in for others.

    Half days and the days off of banks or schools alone are left out. Raises HolidaysFault for a
    year of which the library has none.
    """
    first, last = place.years
    names: dict[date, str] = {}
    said: dict[str, None] = {}
    for year in years:
        if not first <= year <= last:
            raise HolidaysFault(
                f"the library has no year {year} for {place.country.name}; it has {first} to {last}"
            )
        with warnings.catch_warnings(record=True) as caught:
            warnings.simplefilter("always")
            of_year = holidays.country_holidays(
                place.country.code,
                subdiv=place.region or None,
                years=year,
                categories=PUBLIC,
                # Otherwise the names are in the language of whoever asks, if there is one.
                language=getattr(holidays, place.country.code).default_language,
            )
        if not of_year:
            raise HolidaysFault(
                f"the library has no public holidays of {place.country.name} in {year}"
            )
        names |= of_year
        said |= {str(warning.message): None for warning in caught}
    return Listing(place, dict(sorted(names.items())), tuple(said))


def _region(country: Country, text: str) -> str:
    """The code of a region of a country; empty for an empty text."""
    regions = country.regions
    known = {_key(word): code for code, others in regions.items() for word in (code, *others)}
    if not text:
        return ""
    if _key(text) in known:
        return known[_key(text)]
    if not regions:
        raise HolidaysFault(
            f'the library has no regions of {country.name}; write `{country.code}` without "{text}"'
        )
    near = nearest(_key(text), known)
    advice = f"did you mean `{country.code}-{known[near]}`? " if near else ""
    raise HolidaysFault(
        f'{country.name} has no region "{text}"; {advice}'
        f"`besom holidays {country.code}` lists them all"
    )


def _keys_of(country: Country) -> Iterator[str]:
    return map(_key, (country.code, country.name, *country.others))


def _with_word(key: str) -> list[str]:
    """The countries with a word in their name that begins so, as advice."""
    return [
        f"`{country.code}` ({country.name})"
        for country in countries()
        if key and f" {key}" in f" {_key(country.name)}"
    ]


def _regions_called(key: str) -> list[str]:
    """The regions of any country that have exactly this name, as advice."""
    return [
        f"`{country.code}-{code}` ({spelling})"
        for country in countries()
        for code, spellings in country.regions.items()
        for spelling in spellings
        if _key(spelling) == key
    ]


def _key(text: str) -> str:
    """What two spellings of one place have in common."""
    return _BLANKS.sub(" ", normalize("NFC", text)).strip().casefold()


def _in_words(key: str) -> str:
    """The name of a country, given the library's key for it: `isle_of_man` is Isle of Man."""
    words = key.split("_")
    return " ".join(word if word in _SMALL_WORDS else word.capitalize() for word in words)
