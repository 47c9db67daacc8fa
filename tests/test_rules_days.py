"""Rules about days: what lists of days leave a line, what runs out, and who is there."""

from __future__ import annotations

import pytest
from books import day, house, shares
from lint_books import all_found, found_of, mended, only_of, places

from ledger.text.finding import Severity

X = "    x  5 min  in k"
Y = "    y  5 min  in k"
SCHOOL = ("area k", "days school 2026-01-06 to 2026-03-06, 2026-09-01 to 2026-09-04")


# ---------------------------------------------------------------------------- empty-except


@pytest.mark.parametrize(
    ("header", "marked", "says", "cure"),
    [
        ("every wednesday except wednesday", "except wednesday", "`every wednesday`", ""),
        ("every day except weekend during saturday", "except weekend", "`during` leaves it", ""),
        (
            "every month on 1 except school, july to june",
            "except school, july to june",
            "`every month on 1`",
            "july to june",
        ),
        ("2 times every week during july except july", "except july", "`during` leaves it", ""),
        ("every weekend except sunday, saturday", "except sunday, saturday", "`every weekend`", ""),
        ("every friday except friday, may", "except friday, may", "`every friday`", "friday"),
        (
            "once from 2026-06-01 to 2026-06-10 except june",
            "except june",
            "`once from 2026-06-01 to 2026-06-10`",
            "",
        ),
        (
            "every monday except march from 2026-03-01 until 2026-03-31",
            "except march",
            "takes every day of `every monday`",
            "",
        ),
    ],
)
def test_except_that_takes_every_day_of_a_section_is_named(
    header: str, marked: str, says: str, cure: str
) -> None:
    (found,) = all_found(*SCHOOL, "days camp 2026-05-05 to 2026-05-07", header, X)
    assert (found.rule, found.severity) == ("empty-except", Severity.ERROR)
    assert found.place.text == marked
    assert found.message.startswith(f"`{marked}` takes every day of ")
    assert says in found.message
    assert [fix.title for fix in found.fixes] == [f"Delete `{cure or marked}`"]


@pytest.mark.parametrize(
    "header",
    [
        "every week except wednesday",
        "every weekend except saturday",
        "every month on 31 except july",
        "every monday during school except march",
        "every monday except march until 2026-04-06",
        "every monday except monday paused",
        "every monday except monday until 2026-03-03",
        "14 days after done except january to december",
        "every june during may except june",
    ],
)
def test_except_that_leaves_some_day_or_is_not_the_reason_is_no_fault(header: str) -> None:
    assert found_of("empty-except", *SCHOOL, header, X) == []


def test_except_of_a_chore_may_take_every_day_of_its_section() -> None:
    found = all_found("area k", "every monday during may", X + "  except may", Y)
    assert [(one.rule, *at) for one, at in zip(found, places(found), strict=True)] == [
        ("empty-except", 3, "except may")
    ]
    assert "as it stands no list ever shows x" in found[0].why
    both = all_found("area k", "every monday except may to march", X + "  except april", Y)
    assert places(both) == [(3, "except april")]


def test_except_of_a_section_is_told_once_for_all_its_chores() -> None:
    found = all_found("area k", "every monday except weekday", X + "  except monday", Y)
    assert places(found) == [(2, "except weekday")]
    assert "no list ever shows x, y" in found[0].why


def test_chore_may_be_called_except() -> None:
    line = "    except  5 min  in k  except monday"
    found = only_of("empty-except", "area k", "every monday", line, Y)
    assert found.place.start == len(line) - len("except monday")


# ---------------------------------------------------------------------------- idle-expires


def test_flag_of_a_header_is_told_once_with_all_its_chores() -> None:
    found = all_found("area k", "14 days after done expires", X, Y)
    assert [(one.rule, *at) for one, at in zip(found, places(found), strict=True)] == [
        ("idle-expires", 2, "expires")
    ]
    assert found[0].severity is Severity.NOTE
    assert found[0].message == "`expires` has no effect under `14 days after done`"
    assert found[0].why == "x, y stay on the list until they are done, with the flag or without it"


def test_each_flag_is_told_by_itself() -> None:
    found = found_of(
        "idle-expires", "area k", "3 days after done expires", f"{X}  expires", Y, "    z  5 min"
    )
    assert places(found) == [(2, "expires"), (3, "expires")]


def test_two_headers_alike_are_both_told() -> None:
    header = "14 days after done expires"
    found = found_of("idle-expires", "area k", header, X, "every day", "    z  5 min", header, Y)
    assert places(found) == [(2, "expires"), (6, "expires")]
    assert [one.why.split()[0] for one in found] == ["x", "y"]


@pytest.mark.parametrize("header", ["every 14 days from 2026-01-01 expires", "14 days after done"])
def test_flag_that_has_an_effect_or_is_not_there_is_no_fault(header: str) -> None:
    assert found_of("idle-expires", "area k", header, X) == []


def test_chore_called_expires_keeps_its_name() -> None:
    text = "area k\n14 days after done\n    expires  5 min  in k  expires vital\n"
    assert mended(text) == "area k\n\n14 days after done\n    expires  5 min  in k  vital\n"


@pytest.mark.parametrize("clauses", ["", "within 3 days", "during march", "spare", "vital"])
def test_no_list_changes_when_the_flag_is_taken_away(clauses: str) -> None:
    """Every day of two months is asked, with the flag and without it."""
    record = ("2026-03-01 did x", "2026-03-12 moved x to 2026-03-14", "2026-03-30 did x")
    with_flag, without = (
        house("person a", "away 2026-03-05 to 2026-03-09", f"5 days after done {clauses} {flag}",
              "    x 5 min", *record)
        for flag in ("expires", "")
    )  # fmt: skip
    for on in range(day("2026-03-01"), day("2026-05-01")):
        lists = (
            [(one.first, one.last) for share in shares(book, on) if (one := share.shown)]
            for book in (with_flag, without)
        )
        assert next(lists) == next(lists)
