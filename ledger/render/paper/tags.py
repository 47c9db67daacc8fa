"""Tags: what the tag of each chore says, front and back, and where it lies on a page."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from ledger.household.things import LAST_WORD
from ledger.render.paper.contents import dates_of
from ledger.render.paper.grid import Edge, Grid, is_upright
from ledger.render.paper.measures import PAGES, MeasureFault, Size
from ledger.report.chore_lines import RoutineLine
from ledger.report.routine import RoutineChore, RoutineContainer
from ledger.report.task import Caution
from ledger.text.words import duration

SIZE = Size(60, 25)
"""Of a tag where a call names none."""
MARGIN = 10.0
"""Around the tags of a page, in millimetres: for cut marks, and for what printers cannot reach."""
_LEAST = Size(20, 10)
"""The least sides of a tag, the longer one first: there is room for a hole and a word."""
_BAR_PAGE = 90.0
"""The width of a page that holds a bar of 50 mm with its words."""


class Tag(NamedTuple):
    """The tag of a line of the routine."""

    chore: str
    """Its name."""
    container: str
    front: dict[str, Any]
    """What is printed on it, as the template reads it."""
    back: dict[str, Any]

    def printed(self, backs: bool) -> str:
        """A text that is the same for tags on which the same is printed."""
        sides = [self.front, self.back] if backs else [self.front]
        return json.dumps(sides, sort_keys=True)


def tags_of(containers: Sequence[RoutineContainer]) -> list[Tag]:
    """A tag for each line, in the order of the book."""
    return [_tag(one, container.title) for container in containers for one in container.chores]


def _tag(one: RoutineChore, container: str) -> Tag:
    minutes = "" if one.line.minutes is None else duration(one.line.minutes)
    words = minutes.split()
    front = {
        "title": one.title,
        "minutes": [list(pair) for pair in zip(words[::2], words[1::2], strict=True)],
        "areas": [{"number": area.number, "title": area.title} for area in one.areas],
        "container": container,
        "people": who(one.line),
        "remarks": [word for word in ("vital", "spare") if getattr(one.line, word)],
        "dates": list(dates_of(one.line)),
        "things": [caution.thing for caution in one.cautions],
    }
    back = {
        "title": one.title,
        "steps": list(one.line.steps),
        "cautions": [_words_of(caution) for caution in one.cautions],
    }
    return Tag(one.chore, container, front, back)


def who(line: RoutineLine) -> str:
    """Who does it, in words: `noor, then tam`."""
    if line.form == "each":
        return f"each: {', '.join(line.people)}" if line.people else "each"
    between = {"then": ", then ", "together": " and "}
    return between.get(line.form, " or ").join(line.people) or "anyone"


def _words_of(caution: Caution) -> dict[str, str]:
    return {"thing": caution.thing, "caution": caution.caution, "source": caution.source}


def changed(tags: Sequence[Tag], before: Sequence[Tag], backs: bool) -> list[Tag]:
    """The tags on which something else is printed than on any tag there was before."""
    there = Counter(tag.printed(backs) for tag in before)
    new = []
    for tag in tags:
        printed = tag.printed(backs)
        if there[printed]:
            there[printed] -= 1
        else:
            new.append(tag)
    return new


def gone(tags: Sequence[Tag], before: Sequence[Tag]) -> list[Tag]:
    """The tags of before that no other replaces: those of chores that have fewer lines now."""
    now = Counter(tag.chore for tag in tags)
    kept = {(tag.chore, tag.container) for tag in tags}
    left = []
    # What is in no container any more goes first.
    for tag in sorted(before, key=lambda tag: (tag.chore, tag.container) not in kept):
        if now[tag.chore]:
            now[tag.chore] -= 1
        else:
            left.append(tag)
    return sorted(left, key=before.index)


def check_size(size: Size) -> Size:
    """The same size. Raises MeasureFault if it is too small for a tag."""
    if max(size) < _LEAST.width or min(size) < _LEAST.height:
        raise MeasureFault(
            f"{size} is too small for a tag; its sides are at least {_LEAST}, or {_LEAST.turned}"
        )
    return size


def tags_data(
    household: str | None,
    tags: Sequence[Tag],
    grid: Grid,
    backs: Edge | None,
    ready: bool,
    skip: int,
) -> dict[str, Any]:
    """What the template of tags prints.

    `ready` labels are neither cut nor punched; `skip` of them are gone from the first page. `backs`
    names the edge around which the printer turns the page. The cautions come last too, with who
    says so.
    """
    things = {caution["thing"]: caution for tag in tags for caution in tag.back["cautions"]}
    return {
        "title": household or "Tags",
        "page": grid.page._asdict(),
        "box": grid.box._asdict(),
        "ready": ready,
        "bar": grid.bar(_BAR_PAGE),
        "turned": backs is not None and not is_upright(grid.page, backs),
        "tags": [
            {"front": tag.front, **({"back": tag.back} if backs is not None else {})}
            for tag in tags
        ],
        "sides": list(_sides(len(tags), grid, backs, skip)),
        "mind": [
            {
                **caution,
                "chores": [tag.front["title"] for tag in tags if thing in tag.front["things"]],
            }
            for thing, caution in things.items()
        ],
        "last_word": LAST_WORD,
        "plain": plain_paper(grid.page)._asdict(),
    }


def plain_paper(page: Size) -> Size:
    """What the cautions are printed on, whatever has the tags: letter where that is used, else
    A4."""
    return PAGES["letter"] if page == PAGES["letter"] else PAGES["A4"]


def _sides(count: int, grid: Grid, backs: Edge | None, skip: int) -> Iterator[dict[str, Any]]:
    """The sides of all pages, each with the tags on it; a back comes behind its front."""
    places = [grid.place(skip + number) for number in range(count)]
    for page in range(places[-1].page + 1):
        on_it = [(number, place) for number, place in enumerate(places) if place.page == page]
        upright, lying = grid.holding(len(on_it)).cuts()
        fronts = [{"tag": number, "left": at.left, "top": at.top} for number, at in on_it]
        yield {
            "name": f"front {page + 1}",
            "back": False,
            "boxes": fronts,
            "cuts": [upright, lying],
        }
        if backs is not None:
            behind = [(number, grid.behind(place, backs)) for number, place in on_it]
            boxes = [{"tag": number, "left": at.left, "top": at.top} for number, at in behind]
            yield {"name": f"back {page + 1}", "back": True, "boxes": boxes, "cuts": [[], []]}
