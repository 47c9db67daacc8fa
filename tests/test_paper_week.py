"""The week on paper: the tasks of besom week, each in its frame with a box to tick."""

from __future__ import annotations

import re
from datetime import date
from itertools import chain, groupby, product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from paper_pages import Box, Page, Word, pages_of
from test_cli import besom
from tiny_fonts import write_font

from ledger.homes import read_household
from ledger.render.boxes import PAGE
from ledger.render.paper.fonts import our_font
from ledger.render.paper.measures import Size
from ledger.render.paper.templates import template_of
from ledger.render.paper.typesetting import typeset
from ledger.render.paper.week import EVERYONE, week_data
from ledger.render.week_markdown import week_markdown
from ledger.render.week_text import LET_GO, beyond
from ledger.report.task import cautions_of
from ledger.report.week import Week, week
from ledger.text.values import DAYS as WEEKDAYS

ROOT = Path(__file__).parents[1]
EXAMPLE = ROOT / "examples" / "quarry-lane"
MONDAY, FRIDAY = "2026-11-23", "2026-11-20"
ISOLATES = re.compile("[\u2066-\u2069\u200b]")
LEAST_TYPE, LEAST_LARGE = 8.0, 16.0
"""Points: of anything on the page, and of a title for a child."""


def printed(*words: str) -> bytes:
    result = besom("paper", "week", str(EXAMPLE), *words)
    assert (result.exit_code, result.stderr) == (0, ""), result.stderr
    return result.stdout_bytes


def answer(on: str) -> Week:
    workspace = read_household([EXAMPLE]).on(date(2026, 11, 26).toordinal())
    return week(workspace.household, date.fromisoformat(on).toordinal())


def text(words: list[Word] | tuple[Word, ...]) -> str:
    return ISOLATES.sub("", "".join(word.text for word in words))


def frames(page: Page) -> list[Box]:
    """The frames of a page: all that is wide and in no other."""
    wide = [box for box in page.rectangles if box.width > 50]
    return [box for box in wide if not any(other != box and other.holds(box) for other in wide)]


def boxes(page: Page) -> list[Box]:
    """The boxes to tick: small squares with round corners."""
    shapes = (*page.curves, *page.rectangles)
    return [box for box in shapes if 3 < box.width < 16 and abs(box.width - box.height) < 0.05]


# ---------------------------------------------------------------------------------- what it has


@pytest.mark.parametrize("on", [MONDAY, FRIDAY])
def test_tasks_stand_in_the_order_of_the_week_below_their_days(on: str) -> None:
    (page,) = pages_of(printed("--on", on))
    whole = text(page.words)
    at = 0
    week_asked = answer(on)
    to_come = [day for day in week_asked.days if day.day >= week_asked.on]
    tasks = [task for day in to_come for task in day.tasks]
    for task in [*tasks, *(one.task for one in beyond(week_asked, PAGE))]:
        at = whole.find(task.title.replace(" ", ""), at)
        assert at >= 0, task.title


@pytest.mark.parametrize("words", [(), ("--for", "tam"), ("--in", "kitchen")])
def test_page_says_what_the_page_in_markdown_says(words: tuple[str, ...]) -> None:
    """The same facts, but for the signs of Markdown, the heading, and how late something is."""
    markdown = besom("week", str(EXAMPLE), "--on", FRIDAY, "--as", "markdown", *words).stdout
    facts = re.findall(r"^- \[.\] (.*?)(?: \((.*)\))?$", markdown, re.MULTILINE)
    pages = pages_of(printed("--on", FRIDAY, *words))
    whole = "".join(text(page.words) for page in pages)
    assert len(facts) > 8
    for title, fact in facts:
        assert title.replace("\\", "").replace(" ", "") in whole
        for part in re.split(r", ", fact.replace("\\", "")):
            said = "latefrom" if part.endswith(" late") else part.replace(" ", "")
            assert said in whole
    for heading in re.findall(r"^## (.*)$", markdown, re.MULTILINE):
        for part in re.split(": |, ", heading.replace("\\", "")):
            assert part == "Mind" or part.replace(" ", "") in whole


def test_each_task_has_a_box_and_what_is_done_is_ticked() -> None:
    week_asked = answer(FRIDAY)
    tasks = [task for day in week_asked.days if day.day >= week_asked.on for task in day.tasks]
    tasks += [one.task for one in beyond(week_asked, PAGE)]
    (page,) = pages_of(printed("--on", FRIDAY))
    done = sum(task.state == "done" for task in tasks)
    assert 0 < done < len(tasks)
    assert len(boxes(page)) == len(tasks)
    inside = [line for line in page.lines if any(box.holds(line) for box in boxes(page))]
    assert len(inside) == 2 * done
    # The mark is drawn: no sign of a font stands in a box.
    assert not any(page.inside(box) for box in boxes(page))


def test_things_to_mind_stand_at_the_end_with_who_says_so(tmp_path: Path) -> None:
    (page,) = pages_of(printed("--on", "2026-11-13"))
    whole = text(page.words)
    assert whole.endswith("whereoneisrequired.")
    assert "ladder:base1outforeach4up" in whole
    assert "[NorthCarolinaState" in whole


def test_things_of_what_is_on_no_day_are_minded_too(tmp_path: Path) -> None:
    book = tmp_path / "home.chores"
    book.write_text(
        "since 2026-11-01\nevery month spare\n    tiles  30 min  uses bleach\n", "utf-8"
    )
    week_of = (str(book), "--on", MONDAY)
    (page,) = pages_of(besom("paper", "week", *week_of).stdout_bytes)
    markdown = besom("week", *week_of, "--as", "markdown").stdout
    for whole in (text(page.words), markdown.replace(" ", "")):
        days, rest = whole.split("Maywaitbeyondthisweek")
        assert "tiles" not in days
        assert "tiles" in rest
        assert "bleach:mixitwithnothingbutwater" in rest


def test_only_things_of_the_days_that_are_printed_are_minded() -> None:
    whole = answer("2026-11-13")._replace(may_wait=())
    counts = []
    for first in whole.days:
        asked = whole._replace(on=first.day)
        tasks = [
            task for day in whole.days if day.day >= first.day for task in day.tasks if task.is_open
        ]
        expected = [f"{one.thing}: {one.caution}" for one in cautions_of(tasks)]
        (listed,) = week_data(asked, None, Size(210, 297))["lists"]
        assert [words.partition(" [")[0] for words in listed["cautions"]] == expected
        assert re.findall(r"^- (\w+: .*?) \\\[", week_markdown(asked), re.MULTILINE) == expected
        counts.append(len(expected))
    assert counts[-1] < counts[0]


def test_steps_are_printed_only_if_asked_for(tmp_path: Path) -> None:
    book = tmp_path / "home.chores"
    book.write_text("since 2026-11-01\nevery day\n    x 5 min\n        - Open it\n", "utf-8")
    # A letter that no font has is in the way only where it is printed.
    book.write_text(book.read_text("utf-8") + "        - \U0001f3e0\n", "utf-8")
    assert besom("paper", "week", str(book)).exit_code == 0
    assert besom("paper", "week", str(book), "--steps").exit_code == 2
    book.write_text(book.read_text("utf-8").replace("\U0001f3e0", "Shut it"), "utf-8")
    plain, steps = (
        text(pages_of(besom("paper", "week", str(book), *words).stdout_bytes)[0].words)
        for words in ((), ("--steps",))
    )
    assert "Openit" not in plain
    assert "–Openit" in steps


LATE_BOOK = """\
household "Home"
since 2026-11-01
limit weekday 15 min
limit weekend 60 min
person edie "Edie, 10"
person noor
every day "Morning tin"
    pick-up  9 min  vital  by edie
    feed     1 min  vital  by edie or noor
every saturday
    dust    30 min  by edie
every sunday
    room     5 min  by edie
every weekend
    hens    10 min  by edie and noor  uses bleach
"""


def late_page(tmp_path: Path, on: str, *words: str) -> Page:
    """The page of a book in which more is late than there is time for."""
    book = tmp_path / "home.chores"
    book.write_text(LATE_BOOK, "utf-8")
    result = besom("paper", "week", str(book), "--on", on, *words)
    assert (result.exit_code, result.stderr) == (0, "")
    (page,) = pages_of(result.stdout_bytes)
    return page


def test_what_is_let_go_has_no_box_and_what_is_late_says_from_when(tmp_path: Path) -> None:
    page = late_page(tmp_path, MONDAY)
    whole = text(page.words)
    before, after = whole.split(LET_GO.replace(" ", ""))
    assert "roomedie,latefromSun22Nov" in before
    assert "dustedie,latefromSat21Nov" in after
    (frame,) = (
        frame for frame in frames(page)
        if text([word for word in page.words if frame.holds(word.box)]).startswith("Letgo")
    )  # fmt: skip
    assert not any(frame.holds(box) for box in boxes(page))
    assert len(boxes(page)) == whole.count("pickup") + whole.count("feed") + len(
        re.findall("dust|room|hens", before)
    )


@pytest.mark.parametrize(
    ("on", "days"),
    [
        (MONDAY, "Week of Monday 23 November 2026 to Sunday 29 November 2026"),
        ("2026-11-26", "Thursday 26 November 2026 to Sunday 29 November 2026"),
        ("2026-11-22", "Sunday 22 November 2026"),
    ],
)
@pytest.mark.parametrize("words", [(), ("--for", "edie")])
def test_title_says_the_days_that_the_page_has(
    tmp_path: Path, on: str, days: str, words: tuple[str, ...]
) -> None:
    page = late_page(tmp_path, on, *words)
    head = [word for word in page.words if word.box.top < frames(page)[0].top]
    name = "Edie,10" if words else ""
    assert text(head).startswith(name + days.replace(" ", "") + ",Home")


@pytest.mark.parametrize("on", [MONDAY, "2026-11-26", "2026-12-07"])
def test_childs_page_has_their_own_and_no_words_for_those_who_plan(tmp_path: Path, on: str) -> None:
    page = late_page(tmp_path, on, "--for", "edie", "--large")
    name = next(word for word in page.words if word.text == "Edie,")
    assert all(word.size < name.size for word in page.words if word.text not in ("Edie,", "10"))
    days = [word for word in page.words if word.box.top > frames(page)[0].top]
    whole = text(days)
    # Noor is there only where both do it; feeding is proposed to noor.
    assert whole.count("noor") == whole.count("edieandnoor") == whole.count("hens") > 0
    for words in ("feed", "of15min", "shared", "takenas", "Letgo", "until", "vital", "Takeout",
                  "Maywait", "Over", "dustlate"):  # fmt: skip
        assert words not in text(page.words)
    assert {word.size for word in days if word.text in ("pick", "room", "dust")} == {
        max(word.size for word in days if word.text in ("pick", "room", "dust"))
    }
    # What can hurt is told to a child too.
    assert "wheregloves" in whole or "bleach:" in whole
    if on == MONDAY:
        assert "roomlatefromSun22Nov" in whole


# -------------------------------------------------------------------------------- by each person


NAMES = {"noor": "noor", "tam": "tam", "Edie,10": "edie", "Everyone": EVERYONE}
"""The headings of pages, and whose they are."""


def owner(page: Page) -> str:
    return next(name for heading, name in NAMES.items() if text(page.words).startswith(heading))


@pytest.mark.parametrize(
    ("on", "words"),
    [(MONDAY, ()), (FRIDAY, ()), (MONDAY, ("--page", "A5")), (FRIDAY, ("--large",))],
)
def test_each_person_has_pages_with_their_share_of_each_task_once(
    on: str, words: tuple[str, ...]
) -> None:
    week_asked = answer(on)
    expected: dict[str, list[str]] = {}
    days = [day.tasks for day in week_asked.days if day.day >= week_asked.on]
    for task in (*chain(*days), *(one.task for one in beyond(week_asked, PAGE))):
        alone = not (task.each or task.together)
        doers = task.done_by or task.people
        people = (task.proposed or EVERYONE,) if alone and task.is_shared else doers
        for person in people:
            expected.setdefault(person, []).append(task.title.replace(" ", ""))
    pages = pages_of(printed("--on", on, "--each", "person", *words))
    by_owner = [(name, list(some)) for name, some in groupby(pages, owner)]
    found = {name: "".join(text(page.words) for page in some) for name, some in by_owner}
    assert [name for name, _ in by_owner] == list(NAMES.values())
    for person, titles in expected.items():
        at = 0
        for title in titles:
            at = found[person].index(title, at) + 1
        for title in set(titles):
            assert found[person].count(title) == titles.count(title), (person, title)


def test_person_and_a_block_for_each_person_do_not_go_together() -> None:
    result = besom("paper", "week", str(EXAMPLE), "--for", "tam", "--each", "person")
    assert result.exit_code == 2
    assert "leave out `--each person`" in result.stderr


def test_book_without_people_and_without_chores_has_a_page(tmp_path: Path) -> None:
    book = tmp_path / "home.chores"
    for lines, words in product(("", "person noor\n"), ((), ("--each", "person"))):
        book.write_text("since 2026-11-01\n" + lines, "utf-8")
        result = besom("paper", "week", str(book), *words)
        assert (result.exit_code, result.stderr) == (0, "")
        assert len(pages_of(result.stdout_bytes)) == 1


# ------------------------------------------------------------------------------- how it is laid out


PAGES = (
    ("A4", 210, 297), ("A5", 148, 210), ("A6", 105, 148),
    ("letter", 215.9, 279.4), ("half-letter", 139.7, 215.9),
    ("297x210mm", 297, 210), ("90x120mm", 90, 120),
)  # fmt: skip


@pytest.mark.parametrize(("name", "width", "height"), PAGES)
def test_all_lies_in_its_frame_on_a_page_of_its_size(
    name: str, width: float, height: float
) -> None:
    words = {"A5": ("--each", "person"), "letter": ("--large",), "297x210mm": ("--steps",)}.get(
        name, ()
    )
    for page in pages_of(printed("--on", MONDAY, "--page", name, *words)):
        assert abs(page.width - width) < 0.1
        assert abs(page.height - height) < 0.1
        inner = Box(9, 9, page.width - 9, page.height - 9)
        framed = frames(page)
        assert framed
        for frame in framed:
            assert inner.holds(frame, 0.3)
            assert all(
                one is frame or one.left >= frame.right or one.right <= frame.left
                or one.top >= frame.bottom - 0.1 or one.bottom <= frame.top + 0.1
                for one in framed
            )  # fmt: skip
        below_head = [word for word in page.words if word.box.top > min(f.top for f in framed)]
        for word in below_head:
            assert any(frame.holds(word.box) for frame in framed), word
        for box in boxes(page):
            assert any(frame.holds(box) for frame in framed)
        assert all(word.size >= LEAST_TYPE - 0.01 for word in page.words)


@pytest.mark.parametrize("words", [(), ("--each", "person"), ("--large",)])
def test_each_column_begins_with_the_name_of_its_day(words: tuple[str, ...]) -> None:
    pages = pages_of(printed("--on", MONDAY, "--page", "A5", *words))
    assert len(pages) > 2
    for page in pages:
        for frame in frames(page):
            inside = text([word for word in page.words if frame.holds(word.box)])
            assert inside.startswith((*(day.title() for day in WEEKDAYS), "Maywait"))
        assert "WeekofMonday23November2026toSunday29November2026" in text(page.words)


def test_day_is_broken_where_a_page_would_stay_empty_and_only_there(tmp_path: Path) -> None:
    def pages(counts: tuple[int, ...]) -> list[Page]:
        book = tmp_path / "home.chores"
        days = ("monday", "tuesday", "wednesday", "thursday")
        lines = ["since 2026-11-01"]
        for day, count in zip(days, counts, strict=False):
            lines.append(f"every {day}")
            lines += [f"    {day}-{number}  5 min" for number in range(count)]
        book.write_text("\n".join(lines) + "\n", "utf-8")
        words = ("--on", MONDAY, "--page", "A5")
        return pages_of(besom("paper", "week", str(book), *words).stdout_bytes)

    # What fits a page is on one, in whole days.
    (one,) = pages((5, 12))
    assert "continued" not in text(one.words)
    for counts in ((20, 20, 20), (16, 25, 16, 25)):
        some = pages(counts)
        assert len(some) > 1
        whole = "".join(text(page.words) for page in some)
        assert "continued" in whole
        for page in some[:-1]:
            assert max(frame.bottom for frame in frames(page)) > 9 + 11 + (210 - 29) * 2 / 3
        for page in some:
            for frame in frames(page):
                rows = sum(frame.holds(box) for box in boxes(page))
                assert rows != 1 or "continued" not in whole


def test_type_grows_to_fill_the_page_and_a_childs_is_large() -> None:
    def titles(*words: str) -> float:
        pages = pages_of(printed("--on", MONDAY, *words))
        return min(word.size for page in pages for word in page.words if text([word]) == "make")

    assert 10.5 <= titles() < titles("--for", "edie")
    assert titles("--for", "edie", "--large", "--page", "A5") >= LEAST_LARGE


def test_sign_of_another_font_moves_neither_box_nor_line(tmp_path: Path) -> None:
    font = write_font(tmp_path / "tall.ttf", "\u263c", "Tall", reach=(0, 1400))
    found = []
    for sign in ("o", "\u263c"):
        book = tmp_path / "home.chores"
        lines = [
            "since 2026-11-01",
            "every monday",
            f'    a  "S{sign}"',
            f'    b  "{sign}"',
            "    c",
        ]
        book.write_text("\n".join(lines) + "\n", "utf-8")
        words = ("--on", MONDAY, "--font", str(font))
        (page,) = pages_of(besom("paper", "week", str(book), *words).stdout_bytes)
        found.append([*boxes(page), *frames(page)])
    assert len(found[0]) > 3
    for mine, other in zip(*found, strict=True):
        assert mine == pytest.approx(other, abs=0.01)


def test_minutes_in_the_heads_of_days_stand_alike(tmp_path: Path) -> None:
    """Beside all names, or below all of them."""
    book, standing = tmp_path / "home.chores", set()
    for first in (5, 200):
        lines = ["since 2026-11-01", "limit weekday 1 h 35 min", "every monday"]
        lines += [f"    a  {first} min", "every tuesday", "    b  5 min"]
        book.write_text("\n".join(lines) + "\n", "utf-8")
        words = ("--on", MONDAY, "--page", "A5")
        (page,) = pages_of(besom("paper", "week", str(book), *words).stdout_bytes)
        below = []
        for frame in frames(page)[:5]:
            inside = [word for word in page.words if frame.holds(word.box)]
            of = next(word for word in inside if word.text == "of")
            below.append(of.box.top > inside[0].box.bottom - 1)
        assert len(set(below)) == 1
        standing.add(below[0])
    assert standing == {True, False}


def test_page_that_is_too_small_is_told() -> None:
    result = besom("paper", "week", str(EXAMPLE), "--page", "80x120mm")
    assert (result.exit_code, result.stdout) == (2, "")
    assert '"80x120mm" is too small for the week; it needs 90 x 120 mm' in result.stderr


rows = st.builds(
    lambda title, facts, state, minutes, steps: {
        "title": title,
        "facts": ", ".join(facts),
        "state": state,
        "minutes": f"{minutes} min",
        "steps": steps,
        "caution": len(title) % 3 == 0,
        "vital": len(title) % 2 == 0,
        "asked": len(title) % 5 != 0,
    },
    st.text('abW \u00e9#$*[\\@"', min_size=1, max_size=120),
    st.lists(st.text("abn or", min_size=1, max_size=30), max_size=3),
    st.sampled_from(["open", "done", "skipped", "missed"]),
    st.integers(1, 999),
    st.lists(st.text("ab W", min_size=1, max_size=60), max_size=2),
)
cards = st.builds(
    lambda name, total, lines, some: {"name": name, "total": total, "lines": lines, "rows": some},
    st.text("aW b", min_size=1, max_size=40),
    st.sampled_from(["", "5 min", "1 h of 2 h; shared: 3 h"]),
    st.lists(st.text("ab ;", min_size=1, max_size=60), max_size=2),
    st.lists(rows, max_size=12),
)
named_lists = st.builds(
    lambda name, some, has_cautions: {
        "name": name, "title": "Week", "notes": [], "cards": some,
        "cautions": ["lye: gloves"] * has_cautions, "last_word": "Follow the label." * has_cautions,
    },
    st.sampled_from(["", "Edie, 10", "W" * 40]),
    st.lists(cards, max_size=5),
    st.booleans(),
)  # fmt: skip


@settings(max_examples=5)
@given(
    st.lists(named_lists, min_size=1, max_size=2),
    st.sampled_from([(210, 297), (148, 210), (90, 120)]),
    st.booleans(),
)
def test_any_list_lies_in_its_frames_with_a_box_for_each_task(
    some: list[dict[str, object]], size: tuple[int, int], large: bool
) -> None:
    data = {
        "title": "Week", "lists": some, "large": large, "steps": True,
        "page": {"width": size[0], "height": size[1]},
    }  # fmt: skip
    made = typeset(template_of("week"), data, [our_font()])
    assert made.unfit == ()
    pages = pages_of(made.files[0])
    all_cards = [card for one in some for card in one["cards"]]  # type: ignore[attr-defined]
    tasks = [row for card in all_cards for row in card["rows"]]
    assert sum(len(boxes(page)) for page in pages) == sum(row["asked"] for row in tasks)
    assert len(pages) >= len(some)
    for page in pages:
        framed = [Box(0, 0, page.width, 9 + 27), *frames(page)]
        for word in page.words:
            assert any(frame.holds(word.box, 0.2) for frame in framed), word
            assert word.size >= LEAST_TYPE - 0.01
