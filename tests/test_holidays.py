"""Public holidays: the dates of the library as a line that a book takes, and what is refused."""

from __future__ import annotations

import subprocess
import sys
import warnings
from datetime import date, datetime
from pathlib import Path
from typing import Any

import holidays
import pytest
from books import read
from hypothesis import given, settings
from hypothesis import strategies as st
from test_cli import besom, stop_clock
from test_published import published

from ledger.public_holidays import Place, countries, place_named
from ledger.text.clauses import NamedDays
from ledger.text.formatter import formatted

PLACES = [Place(country, region) for country in countries() for region in ("", *country.regions)]


@pytest.fixture(autouse=True)
def on_a_day_of_2026(monkeypatch: pytest.MonkeyPatch) -> None:
    stop_clock(monkeypatch, datetime(2026, 3, 4, 20))


def named_days(text: str) -> NamedDays:
    """The one `days` line of a sound text that otherwise holds comments alone."""
    tree = read(text)
    assert tree.faults() == []
    (node,) = (line.node for line in tree.all_lines() if line.node is not None)
    assert isinstance(node, NamedDays)
    return node


def dates_of(text: str) -> list[date]:
    """The dates of that line, as they stand there."""
    spans = named_days(text).spans
    assert spans is not None
    assert all(first == last for first, last in spans.dates)
    return [date.fromordinal(first.value) for first, _ in spans.dates]


def said(*words: str) -> str:
    """The error of a call that ends with 2 and prints no answer."""
    result = besom("holidays", *words)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "Traceback" not in result.stderr
    return " ".join(result.stderr.partition("Error: ")[2].split())


def of_library(place: Place, years: list[int]) -> dict[date, str]:
    """What the library itself has for these years."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        region = place.region or None
        return dict(holidays.country_holidays(place.country.code, region, years))


# ------------------------------------------------------------------------------------ the line


@settings(max_examples=150, deadline=None)
@given(data=st.data())
def test_line_of_any_place_reads_as_the_dates_of_the_library_and_stands_formatted(
    data: st.DataObject,
) -> None:
    place = data.draw(st.sampled_from(PLACES))
    first, last = place.years
    years = data.draw(st.lists(st.integers(first, last), min_size=1, max_size=3))
    wanted = [of_library(place, [year]) for year in years]
    result = besom("holidays", place.code, *map(str, years))
    if not all(wanted):
        assert (result.exit_code, result.stdout) == (2, "")
        return
    assert (result.exit_code, result.stderr) == (0, "")
    assert dates_of(result.stdout) == sorted({day for of_year in wanted for day in of_year})
    assert formatted(read(result.stdout)) == result.stdout


def test_every_date_is_named_above_the_line() -> None:
    text = besom("holidays", "GB-ENG", "2026").stdout
    rows = [line for line in text.splitlines() if line.startswith("#   ")]
    assert [row.split()[1] for row in rows] == [str(day) for day in dates_of(text)]
    assert "#   2026-12-25  Christmas Day" in rows
    assert "check the dates against your government's list" in text


def test_line_is_called_as_the_call_says_and_says_of_where_it_is() -> None:
    node = named_days(besom("holidays", "DE-BY", "2026", "--name", "feierta\u0308ge").stdout)
    assert node.name.value == "feiert\u00e4ge"
    assert node.title is not None
    assert node.title.value == "Public holidays, DE-BY"


def test_years_in_any_order_and_twice_are_one_line() -> None:
    text = besom("holidays", "US", "2027", "2026", "2027").stdout
    assert text == besom("holidays", "US", "2026", "2027").stdout
    assert dates_of(text) == sorted(of_library(place_named("US"), [2026, 2027]))


def test_names_are_in_the_language_of_the_country_whoever_asks(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("LANGUAGE", "en_US")
    assert "2026-01-01  Neujahr\n" in besom("holidays", "DE", "2026").stdout


@pytest.mark.parametrize(
    ("place", "category"), [("BE", "bank"), ("DK", "optional"), ("TR", "half_day")]
)
def test_days_that_are_no_public_holidays_are_left_out(place: str, category: str) -> None:
    others = holidays.country_holidays(place, years=2026, categories=category)
    assert list(others)
    assert set(others).isdisjoint(dates_of(besom("holidays", place, "2026").stdout))


def test_gap_in_the_list_of_the_library_is_told_in_a_comment() -> None:
    with pytest.warns(UserWarning, match="only from") as told:
        holidays.country_holidays("IN", years=2050)
    result = besom("holidays", "IN", "2050")
    assert result.stderr == ""
    assert f"# {told[0].message}\n" in result.stdout


@pytest.mark.parametrize("name", ['a "b"', "a\nb", "\u202eab", "a # b", "x" * 300])
def test_strange_name_of_a_holiday_stays_in_its_comment(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    day = date(2026, 3, 4)
    monkeypatch.setattr(
        "ledger.public_holidays.holidays.country_holidays", lambda *a, **k: {day: name}
    )
    text = besom("holidays", "GB", "2026").stdout
    assert dates_of(text) == [day]
    assert formatted(read(text)) == text


# ----------------------------------------------------------------------------- beside what stands


BOOK = """\
area kitchen

every day except bank-holidays
    sink  5 min  in kitchen

2026-03-03 did sink
"""


@pytest.mark.parametrize("written", ["", BOOK, BOOK.replace(" except bank-holidays", "")])
def test_line_behind_a_book_or_alone_lints_clean(tmp_path: Path, written: str) -> None:
    path = tmp_path / "home.chores"
    path.write_text(written, "utf-8")
    if not written:
        (tmp_path / "routine.chores").write_text(BOOK, "utf-8")
    with path.open("ab") as book:
        subprocess.run(
            [sys.executable, "-m", "ledger", "holidays", "GB-ENG", "2026"],
            stdout=book, check=True, timeout=60,
        )  # fmt: skip
    result = besom("lint", str(tmp_path), "--on", "2026-03-04")
    assert (result.exit_code, result.stderr) == (0, "")
    assert formatted(read(path.read_text("utf-8"))) == path.read_text("utf-8")


def test_line_behind_a_last_line_without_an_end_joins_nothing(tmp_path: Path) -> None:
    path = tmp_path / "home.chores"
    path.write_text(BOOK.rstrip("\n"), "utf-8")
    with path.open("ab") as book:
        subprocess.run(
            [sys.executable, "-m", "ledger", "holidays", "FJ"], stdout=book, check=True, timeout=60
        )
    assert path.read_text("utf-8").startswith(BOOK)


# ------------------------------------------------------------------------------- how it is called


@settings(max_examples=200, deadline=None)
@given(place=st.sampled_from(PLACES))
def test_every_spelling_of_a_place_is_taken(place: Place) -> None:
    country, region = place
    spellings = [f"-{other}" for other in (region, *country.regions[region])] if region else [""]
    for one in (country.code, country.name, *country.others):
        for other in spellings:
            text = f"{one}{other}"
            assert place_named(text) == place_named(text.replace("-", " ")) == place
            assert place_named(text.lower()) == place


@pytest.mark.parametrize(
    "words",
    [("GB-ENG", "2026"), ("gb-england", "2026"), ("GBR", "ENG", "2026"), ("UK-Eng", "2026"),
     ("United Kingdom", "England", "2026"), ("united", "kingdom", "england", "2026"),
     ("2026", "GB-ENG")],
)  # fmt: skip
def test_words_in_any_order_that_can_mean_one_thing_only_are_taken(words: tuple[str, ...]) -> None:
    assert besom("holidays", *words).stdout == besom("holidays", "GB-ENG", "2026").stdout


def test_without_a_country_all_are_listed_as_comments_of_a_book() -> None:
    text = besom("holidays").stdout
    rows = [line for line in text.splitlines() if line.startswith("#   ")]
    assert rows == [f"#   {country.code}  {country.name}" for country in countries()]
    assert len(rows) > 100
    assert {line.is_comment for line in read(text).all_lines()} == {True}


def test_without_a_year_the_regions_are_listed_as_comments_of_a_book() -> None:
    text = besom("holidays", "GB").stdout
    assert (
        f"# United Kingdom (GB), 1970 to {place_named('GB').years[1]}: `besom holidays GB 2026`.\n"
        in text
    )
    assert "#   GB-NIR  Northern Ireland\n" in text
    assert {line.is_comment for line in read(text).all_lines()} == {True}
    assert besom("holidays", "GB-SCT").stdout.count("\n") == 1


def test_year_that_is_offered_is_one_that_the_library_has(monkeypatch: pytest.MonkeyPatch) -> None:
    stop_clock(monkeypatch, datetime(9999, 3, 4, 20))
    call = besom("holidays", "GB").stdout.partition("`besom ")[2].partition("`")[0]
    assert besom(*call.split()).exit_code == 0


# ---------------------------------------------------------------------------------- what is refused


WRONG = [
    ("United Kindom 2026", 'there is no country "United Kindom"; did you mean `GB` (United'),
    ("Hmph 2026", 'there is no country "Hmph"; `besom holidays` lists them all'),
    ("England 2026", "did you mean `GB-ENG` (England)?"),
    ("Korea 2026", "did you mean `KP` (North Korea), `KR` (South Korea)?"),
    ("- 2026", 'there is no country "-"; `besom holidays` lists them all'),
    ("Germny-BY 2026", "did you mean `DE` (Germany)?"),
    ("GB-Scotlnd 2026", 'United Kingdom has no region "Scotlnd"; did you mean `GB-SCT`?'),
    ("GB-Hmph", 'United Kingdom has no region "Hmph"; `besom holidays GB` lists them all'),
    ("Guinea-Bissau-XX", "the library has no regions of Guinea Bissau"),
    ("FJ-XX 2026", 'the library has no regions of Fiji; write `FJ` without "XX"'),
    ("BV 2026", "the library has no public holidays of Bouvet Island in 2026"),
    ("GB 1969", "the library has no year 1969 for United Kingdom; it has 1970 to 2"),
    ("GB 2026 9999", "the library has no year 9999 for United Kingdom; it has 1970 to 2"),
    ("GB 26", '"26" is no year; write four digits, such as 2026'),
    ("GB 2026-2028", '"2026-2028" is no year'),
    ("GB ٢٠٢٦", '"٢٠٢٦" is no year'),
    ("2026", "name a country too: `besom holidays GB 2026`"),
    ("GB 2026 --name monday", "`monday` means days already, so no others can be called that"),
    ("GB 2026 --name june", "write another name, such as `june-days`"),
    (
        "GB 2026 --name 2x",
        '"2x" cannot be a name: write a letter, then letters, digits and hyphens',
    ),
]


@pytest.mark.parametrize(("call", "message"), WRONG, ids=[call for call, _ in WRONG])
def test_wrong_call_is_told_what_there_is(call: str, message: str) -> None:
    assert message in said(*call.split())


@pytest.mark.parametrize("name", ["bank holidays", "x 2026-01-01 #", 'x "y"', "x every day #", ""])
def test_name_that_is_none_never_reaches_the_line(name: str) -> None:
    assert f'"{name}" cannot be a name' in said("GB", "2026", "--name", name)


def test_name_of_several_words_is_offered_with_hyphens() -> None:
    assert said("GB", "2026", "--name", "bank holidays").endswith("such as bank-holidays")


def test_advice_can_be_typed_as_it_stands() -> None:
    for call in ("Texas", "Korea", "GER", "Bayern"):
        code = said(call, "2026").partition("`")[2].partition("`")[0]
        assert besom("holidays", code, "2026").exit_code == 0


def test_without_the_library_the_command_says_what_to_install() -> None:
    blocked = (
        "import sys; sys.modules['holidays'] = None\n"
        "from ledger.cli.main import main; main(['holidays', 'GB', '2026'])"
    )
    done = subprocess.run(
        [sys.executable, "-c", blocked], capture_output=True, text=True, check=False, timeout=60
    )
    assert (done.returncode, done.stdout) == (2, "")
    assert "need the library holidays: pip install '.[holidays]'" in done.stderr


# ---------------------------------------------------------------------------- checked from outside


LISTS: list[dict[str, Any]] = published("holidays.json")["lists"]


@pytest.mark.parametrize(
    ("place", "of_year"),
    [(place, of_year) for of_year in LISTS for place in of_year["places"]],
    ids=lambda value: value if isinstance(value, str) else str(value["year"]),
)
def test_line_has_the_dates_that_a_government_publishes(
    place: str, of_year: dict[str, Any]
) -> None:
    """holidays.json: GOV.UK, "UK bank holidays"; U.S. Office of Personnel Management, "Federal
    Holidays"."""
    days = of_year["days"]
    itself = [stands_for for _, _, *stood_for in days for stands_for in stood_for]
    assert all(date.fromisoformat(day).weekday() >= 5 for day in itself)
    wanted = sorted([*(day for day, *_ in days), *itself])
    text = besom("holidays", place, str(of_year["year"])).stdout
    assert [str(day) for day in dates_of(text)] == wanted
