"""The week on paper: the tasks of besom week, each in its frame with a box to tick."""

from __future__ import annotations

import re
from datetime import date
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from paper_pages import Box, Page, Word, pages_of
from test_cli import besom

from ledger.homes import read_household
from ledger.render.boxes import PAGE
from ledger.render.paper.fonts import our_font
from ledger.render.paper.typesetting import template_of, typeset
from ledger.render.week_text import beyond
from ledger.report.week import Week, week

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
    for day in week_asked.days:
        if day.day >= week_asked.on:
            for task in day.tasks:
                at = whole.index(task.title.replace(" ", ""), at)
    for one in beyond(week_asked, PAGE):
        at = whole.index(one.task.title.replace(" ", ""), at)


@pytest.mark.parametrize("words", [(), ("--for", "tam"), ("--in", "kitchen")])
def test_page_says_what_the_page_in_markdown_says(words: tuple[str, ...]) -> None:
    """The same facts in the same order, but for the signs of Markdown."""
    markdown = besom("week", str(EXAMPLE), "--on", FRIDAY, "--as", "markdown", *words).stdout
    facts = re.findall(r"^- \[.\] (.*?)(?: \((.*)\))?$", markdown, re.MULTILINE)
    pages = pages_of(printed("--on", FRIDAY, *words))
    whole = "".join(text(page.words) for page in pages)
    assert len(facts) > 8
    for title, fact in facts:
        assert title.replace("\\", "").replace(" ", "") in whole
        for part in re.split(r", ", fact.replace("\\", "")):
            assert part.replace(" ", "") in whole
    for heading in re.findall(r"^##? (.*)$", markdown, re.MULTILINE):
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


def test_steps_are_printed_only_if_asked_for(tmp_path: Path) -> None:
    book = tmp_path / "home.chores"
    book.write_text("since 2026-11-01\nevery day\n    x 5 min\n        - Open it\n", "utf-8")
    plain, steps = (
        text(pages_of(besom("paper", "week", str(book), *words).stdout_bytes)[0].words)
        for words in ((), ("--steps",))
    )
    assert "Openit" not in plain
    assert "–Openit" in steps


# -------------------------------------------------------------------------------- by each person


def test_each_share_of_a_task_stands_once_with_whoever_does_it() -> None:
    week_asked = answer(MONDAY)
    expected: dict[str, list[str]] = {}
    for day in week_asked.days:
        for task in day.tasks:
            alone = not (task.each or task.together)
            people = (task.proposed or "Anyone",) if alone and task.is_shared else task.people
            for person in people:
                expected.setdefault(person, []).append(task.title.replace(" ", ""))
    found: dict[str, str] = {}
    names = {"noor": "noor", "tam": "tam", "Edie,10": "edie", "Anyone": "Anyone"}
    for page in pages_of(printed("--on", MONDAY, "--each", "person")):
        for frame in sorted(frames(page), key=lambda box: (box.left, box.top)):
            words = [word for word in page.words if frame.holds(word.box)]
            top = [word for word in words if word.box.top < words[0].box.bottom]
            person = next((own for name, own in names.items() if text(top).startswith(name)), "")
            found[person] = found.get(person, "") + text(words)
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


def test_name_of_a_day_or_person_is_said_again_where_it_goes_on() -> None:
    first, *others = pages_of(printed("--on", MONDAY, "--each", "person", "--page", "A5"))
    assert others
    names = ("noor", "tam", "Edie,10", "Anyone", "Everyone", "Maywait")
    for page in others:
        words = [word for word in page.words if word.box.top > frames(page)[0].top]
        assert text(words).startswith(names)
        assert text(first.words).startswith("WeekofMonday23November")
        assert text(page.words).startswith("WeekofMonday23November")


def test_type_grows_to_fill_the_page_and_a_childs_is_large() -> None:
    def titles(*words: str) -> float:
        pages = pages_of(printed("--on", MONDAY, *words))
        return min(word.size for page in pages for word in page.words if text([word]) == "make")

    assert 10.5 <= titles() < titles("--for", "edie")
    assert titles("--for", "edie", "--large", "--page", "A5") >= LEAST_LARGE


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
    },
    st.text('abW \u00e9#$*[\\@"', min_size=1, max_size=120),
    st.lists(st.text("abn or", min_size=1, max_size=30), max_size=3),
    st.sampled_from(["open", "done", "skipped", "missed"]),
    st.integers(1, 999),
    st.lists(st.text("ab W", min_size=1, max_size=60), max_size=2),
)
parts = st.builds(
    lambda name, lines, some: {"name": name, "total": "5 min", "lines": lines, "rows": some},
    st.sampled_from(["", "Monday"]),
    st.lists(st.text("ab ;", min_size=1, max_size=60), max_size=2),
    st.lists(rows, max_size=5),
)
cards = st.builds(
    lambda name, some: {"name": name, "total": "1 h of 2 h", "parts": some},
    st.text("aW b", min_size=1, max_size=40),
    st.lists(parts, min_size=1, max_size=3),
)


@settings(max_examples=5)
@given(
    st.lists(cards, max_size=5), st.sampled_from([(210, 297), (148, 210), (90, 120)]), st.booleans()
)
def test_any_list_lies_in_its_frames_with_a_box_for_each_task(
    some: list[dict[str, object]], size: tuple[int, int], large: bool
) -> None:
    data = {
        "title": "Week", "notes": [], "cards": some, "cautions": ["lye: gloves"] * large,
        "last_word": "Follow the label." * large, "large": large, "steps": True,
        "page": {"width": size[0], "height": size[1]},
    }  # fmt: skip
    made = typeset(template_of("week"), data, [our_font()])
    assert made.unfit == ()
    pages = pages_of(made.files[0])
    tasks = [row for card in some for part in card["parts"] for row in part["rows"]]  # type: ignore[attr-defined]
    assert sum(len(boxes(page)) for page in pages) == len(tasks)
    for page in pages:
        framed = [Box(0, 0, page.width, 9 + 16), *frames(page)]
        for word in page.words:
            assert any(frame.holds(word.box, 0.2) for frame in framed), word
            assert word.size >= LEAST_TYPE - 0.01
