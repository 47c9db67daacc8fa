"""State: a round as its keys change it. A key and the time go in, a new state comes out."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Literal

from ledger.evening.clock import beaten
from ledger.evening.progress import Counting, Mark, Progress
from ledger.evening.rows import Key, RoundList, Row
from ledger.render.tasks_text import apart_words
from ledger.report.apart import KeptApart
from ledger.text.amount import amount_text
from ledger.text.reader import Reader
from ledger.text.shown import safe
from ledger.text.source import Source
from ledger.text.words import duration

End = Literal["write", "leave", "keep"]
Act = Callable[["State", Row, float], "State"]

PAGE = 8
"""Rows that a page key goes."""
LONGEST = 200
"""Characters that an answer may have."""


@dataclass(frozen=True)
class Asking:
    """A question that waits for its answer."""

    words: str
    answered: Callable[[State, str, float], State]
    """What an answer does. Of a question to be answered by yes or no, the text is `y` or `n`."""
    is_yes_or_no: bool = False
    text: str = ""
    """What was typed so far."""


@dataclass(frozen=True)
class State:
    """A round at one moment."""

    list: RoundList
    progress: Progress
    at: int = 0
    """The row under the pointer."""
    asking: Asking | None = None
    message: str = ""
    """What was said last, for one line."""
    end: End | None = None
    """How the round has ended: written, left without writing, or kept for later."""

    @property
    def row(self) -> Row:
        """The row under the pointer."""
        return self.list.rows[self.at]

    def with_progress(self, progress: Progress, message: str = "") -> State:
        """The state with another progress."""
        return replace(self, progress=progress, message=message)


def begun(round_list: RoundList, progress: Progress) -> State:
    """A round as it begins, or goes on. Asks who goes it, where that matters and is not known."""
    state = State(round_list.of(progress.who), progress)
    if progress.who is None and round_list.must_ask_who:
        choices = ", ".join(f"{n} {name}" for n, name in enumerate(round_list.people, 1))
        return replace(
            state,
            asking=Asking(f"Who goes the round? {choices}  (Enter: nobody in particular)", _who),
        )
    return state


def press(state: State, key: str, now: float) -> State:
    """The state after a key. It is one character, or the name of a key in more than one letter;
    others are ignored."""
    if state.end is not None:
        return state
    if key == "interrupt":
        return replace(state, progress=state.progress.stopped(now), asking=None, end="keep")
    if state.asking is not None:
        return _answer(state, state.asking, key, now)
    if key in MOVES:
        at = min(max(0, state.at + MOVES[key]), len(state.list.rows) - 1)
        return replace(state, at=at, message="")
    if key in KEYS:
        return KEYS[key](replace(state, message=""), state.row, now)
    return state


def seen(state: State, now: float) -> State:
    """The state of a round that is still gone at a moment."""
    running = state.progress.counting
    if running is None:
        return state
    progress = replace(state.progress, counting=running._replace(seen=max(running.seen, now)))
    return replace(state, progress=progress)


def _answer(state: State, asking: Asking, key: str, now: float) -> State:
    """The state after a key of an answer. Escape takes the question back, or says no."""
    if asking.is_yes_or_no:
        said = {"y": "y", "Y": "y", "n": "n", "N": "n", "enter": "n", "escape": "n"}.get(key)
        return asking.answered(replace(state, asking=None), said, now) if said else state
    if key == "enter":
        return asking.answered(replace(state, asking=None), asking.text.strip(), now)
    if key == "escape":
        return replace(state, asking=None)
    text = asking.text
    if key == "backspace":
        text = text[:-1]
    elif key == "space" or (len(key) == 1 and safe(key) == key):
        text = (text + (" " if key == "space" else key))[:LONGEST]
    return replace(state, asking=replace(asking, text=text))


def _who(state: State, text: str, _now: float) -> State:
    """Take the answer to who goes the round: a number, or the beginning of a name."""
    people = state.list.people
    if not text:
        return state
    if text.isdecimal() and 1 <= int(text) <= len(people):
        return _gone_by(state, people[int(text) - 1])
    found = [name for name in people if name.casefold().startswith(text.casefold())]
    if len(found) != 1:
        words = f'"{text}" is nobody\'s name here. Who goes the round? {", ".join(people)}'
        return replace(state, asking=Asking(words, _who))
    return _gone_by(state, found[0])


def _gone_by(state: State, who: str) -> State:
    return replace(state, list=state.list.of(who), progress=replace(state.progress, who=who))


# ------------------------------------------------------------------------------ ticks and skips


def _tick(state: State, row: Row, now: float) -> State:
    mark = state.progress.mark(row.key)
    if mark.ticked:
        return state.with_progress(state.progress.with_mark(row.key, mark._replace(ticked=False)))
    return _careful(state, row, now, _ticked)


def _ticked(state: State, row: Row, now: float) -> State:
    """Tick a row. Its clock stops, and says how long it took."""
    progress = state.progress
    if progress.counting is not None and progress.counting.key == row.key:
        progress = progress.stopped(now)
    progress = progress.with_mark(row.key, progress.mark(row.key)._replace(ticked=True))
    if not row.key.person:
        progress = replace(progress, skips=_without(progress, row))
    return _told(state.with_progress(progress), row)


def _without(progress: Progress, row: Row) -> dict[str, str]:
    return {chore: why for chore, why in progress.skips.items() if chore != row.key.chore}


def _told(state: State, row: Row) -> State:
    """Say what the clock was beaten by; ask about minutes that look like a slip."""
    mark = state.progress.mark(row.key)
    minutes = mark.minutes if mark.ticked else mark.worked
    if minutes is None:
        return state
    title = safe(row.task.title)
    if row.is_long(minutes):
        usual = duration(row.usual or row.task.minutes or 0)
        words = f"{title}: {duration(minutes)}, where {usual} is usual. Is that right? [y/N]"

        def answered(later: State, answer: str, _now: float) -> State:
            if answer == "y":
                return later
            cleared = Mark(later.progress.mark(row.key).ticked)
            return later.with_progress(
                later.progress.with_mark(row.key, cleared), "The minutes are left out"
            )

        return replace(state, asking=Asking(words, answered, is_yes_or_no=True))
    return replace(state, message=f"{title}: {beaten(row, minutes)}")


def _skip(state: State, row: Row, _now: float) -> State:
    progress = state.progress
    if progress.is_skipped(row):
        return state.with_progress(replace(progress, skips=_without(progress, row)))

    def answered(later: State, reason: str, now: float) -> State:
        before = later.progress.stopped(now) if _runs(later, row) else later.progress
        mark = before.mark(row.key)._replace(ticked=False)
        skips = {**before.skips, row.key.chore: reason}
        told = "Left out for all who have not ticked it" if row.key.person else ""
        return later.with_progress(replace(before.with_mark(row.key, mark), skips=skips), told)

    words = f"Skip {safe(row.task.title)}: why? (Enter: no reason, Esc: do not skip)"
    return replace(state, asking=Asking(words, answered))


def _minutes(state: State, row: Row, _now: float) -> State:
    words = f"{safe(row.task.title)}: how many minutes? (Enter: not known)"
    return replace(state, asking=Asking(words, _minutes_for(row.key)))


def _minutes_for(key: Key) -> Callable[[State, str, float], State]:
    def answered(state: State, text: str, now: float) -> State:
        """Take minutes. With some, the row is done; without, it has none, and no clock has run."""
        row = next(row for row in state.list.rows if row.key == key)
        progress = state.progress.stopped(now) if _runs(state, row) else state.progress
        if not text:
            mark = Mark(progress.is_ticked(key))
            return state.with_progress(progress.with_mark(key, mark))
        minutes = minutes_typed(text)
        if minutes is None:
            words = f'"{text}" is no clear time; type 12 or 1h30'
            return replace(state, asking=Asking(words, answered))
        mark = progress.mark(key)._replace(given=minutes)
        state = state.with_progress(progress.with_mark(key, mark))
        return _told(state, row) if mark.ticked else _careful(state, row, now, _ticked)

    return answered


def minutes_typed(text: str) -> int | None:
    """The minutes that a person types, such as `12` or `1h30`; None for what no line of the record
    can say."""
    written = amount_text(text.strip())
    if not written:
        return None
    tree = Reader().read(Source("", f"2000-01-01 did x {written}"))
    minutes = None if tree.faults() else tree.record.entries[0].items[0].minutes
    return None if minutes is None else minutes.value


# ------------------------------------------------------------------------------------- the clock


def _runs(state: State, row: Row) -> bool:
    """True if the clock runs for a row."""
    running = state.progress.counting
    return running is not None and running.key == row.key


def _clock(state: State, row: Row, now: float) -> State:
    """Start the clock of a row, or stop it. One clock runs at a time."""
    if _runs(state, row):
        return _stopped(state, now)
    if state.progress.is_skipped(row):
        return replace(state, message="It is skipped; s takes that back")
    state = _stopped(state, now)
    return state if state.asking else _careful(state, row, now, _started)


def _stopped(state: State, now: float) -> State:
    """Stop the clock that runs, if one does, and say what it has counted."""
    running = state.progress.counting
    if running is None:
        return state
    row = next(row for row in state.list.rows if row.key == running.key)
    progress = state.progress.stopped(now)
    short = "" if progress.mark(row.key).worked else "Under half a minute: it is not counted yet"
    return _told(state.with_progress(progress, short), row)


def _started(state: State, row: Row, now: float) -> State:
    counting = Counting(row.key, now, now)
    return state.with_progress(replace(state.progress, counting=counting))


# ------------------------------------------------------------------------ what must be kept apart


def _careful(state: State, row: Row, now: float, act: Act) -> State:
    """Tick a row, or start its clock; first ask, once, where it must be kept apart from another
    that is done or begun."""
    for pair in state.list.apart:
        if row.key.chore in pair.chores and _meets(state, row, pair):

            def answered(later: State, answer: str, when: float, pair: KeptApart = pair) -> State:
                if answer != "y":
                    return replace(later, message="It stays as it was")
                accepted = later.progress.accepted | {pair.chores}
                later = later.with_progress(replace(later.progress, accepted=accepted))
                return _careful(later, row, when, act)

            words = f"Never on one day: {safe(apart_words(pair))}. Go on all the same? [y/N]"
            return replace(state, asking=Asking(words, answered, is_yes_or_no=True))
    return act(state, row, now)


def _meets(state: State, row: Row, pair: KeptApart) -> bool:
    """True if the other chore of a pair is done or begun, and nobody has accepted that."""
    progress = state.progress
    if pair.chores in progress.accepted or progress.is_touched(row.key):
        return False
    others = [chore for chore in pair.chores if chore != row.key.chore]
    if not others:
        return True
    return others[0] in state.list.done or any(
        progress.is_touched(one.key) for one in state.list.rows if one.key.chore == others[0]
    )


# ------------------------------------------------------------------------------------ how it ends


def _write(state: State, _row: Row, now: float) -> State:
    state = _stopped(state, now)
    if state.asking is not None:
        return state
    if not state.progress.told:
        return replace(state, message="Nothing is ticked yet; Esc leaves")
    return replace(state, end="write", message="")


def _leave(state: State, _row: Row, now: float) -> State:
    told = state.progress.stopped(now).told
    if not told:
        return replace(state, end="leave")

    def answered(later: State, answer: str, _now: float) -> State:
        return replace(later, end="leave") if answer == "y" else later

    words = f"Leave, and write nothing of it ({told})? [y/N]"
    return replace(state, asking=Asking(words, answered, is_yes_or_no=True))


MOVES = {
    "up": -1, "k": -1, "down": 1, "j": 1, "pageup": -PAGE, "pagedown": PAGE,
    "home": -10**6, "end": 10**6,
}  # fmt: skip
"""How far each key moves the pointer."""
KEYS: dict[str, Act] = {
    "space": _tick, "m": _minutes, "s": _skip, "t": _clock, "enter": _write, "escape": _leave,
}  # fmt: skip
"""What each other key does."""
