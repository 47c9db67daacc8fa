"""The wire: messages cut out of what an editor sends, and found again behind what is none."""

from __future__ import annotations

import asyncio
import io
import json
import os
import random
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ledger.editor.wire import MOST, Sent, Wire, WireEnd

ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner),
    max_leaves=6,
)


class Dribble(io.RawIOBase):
    """A stream that gives what it holds in pieces of random length."""

    def __init__(self, data: bytes, seed: int) -> None:
        self._held, self._chance = io.BytesIO(data), random.Random(seed)

    def read(self, _size: int = -1) -> bytes:
        return self._held.read(self._chance.choice((1, 2, 7, 60, 5000)))


def framed(body: bytes, length: object = None) -> bytes:
    return f"Content-Length: {len(body) if length is None else length}\r\n\r\n".encode() + body


def sent(data: bytes, seed: int | None = None) -> tuple[list[Sent], bool]:
    """All that comes of some bytes, and whether they end inside a message."""
    stream: Any = io.BytesIO(data) if seed is None else Dribble(data, seed)

    async def all_of_it() -> tuple[list[Sent], bool]:
        wire, found = Wire(stream), list[Sent]()
        while True:
            try:
                found.append(await wire.next())
            except WireEnd as end:
                return found, end.inside

    return asyncio.run(all_of_it())


def values(data: bytes) -> list[Any]:
    return [one.value for one in sent(data)[0] if one.fault is None]


@given(st.lists(ANYTHING, max_size=4), st.integers(0, 99))
def test_sound_messages_come_as_they_were_sent(messages: list[Any], seed: int) -> None:
    data = b"".join(framed(json.dumps(one).encode()) for one in messages)
    found, inside = sent(data, seed)
    assert found == [Sent(one) for one in messages]
    assert not inside


SOUND = framed(b'{"id": 1}')
BODY = b'{"id": 2, "text": "a { b } \\r\\nContent-Length: 3\\r\\n"}'


@pytest.mark.parametrize(
    "length", [*range(1, len(BODY) + 90), -5, 0, "x", "", "+5", "1e3", MOST + 1, 10 * 2**30, 10**30]
)
def test_sound_message_behind_a_wrong_length_is_found(length: object) -> None:
    found, inside = sent(framed(BODY, length) + SOUND * 3)
    assert [one.value for one in found if one.fault is None][-3:] == [{"id": 1}] * 3
    assert not inside
    if isinstance(length, int) and len(BODY) <= length <= MOST:
        # What is sound itself is taken, though its length is wrong.
        assert found[0].value == json.loads(BODY)
    else:
        assert any(one.fault for one in found)


@pytest.mark.parametrize(
    "wrong",
    [
        b"Content-Type: application/json\r\n\r\n" + BODY,
        b"Content-Length: 5\r\nContent-Length: 6\r\n\r\n" + BODY,
        b"Nothing\r\n\r\n",
        b"Content-Length: 9\r\n" + b"X: y\r\n" * 3000 + b"\r\n",
        b"\0" * 100_000,
        b"rubbish",
        framed(b"{"),
        framed(b"\xff\xfe"),
        framed(b"[" * 100_000),
        framed(b"9" * 5000),
    ],
    ids=lambda wrong: repr(wrong[:30]),
)
def test_what_is_no_message_is_told_and_passed_over(wrong: bytes) -> None:
    found, inside = sent(wrong + SOUND * 2)
    assert [one.value for one in found] == [None, {"id": 1}, {"id": 1}]
    assert found[0].fault
    assert not inside


def test_head_said_twice_alike_is_taken() -> None:
    head = b"content-length:  %d\nContent-Length: %d\n\n" % (len(BODY), len(BODY))
    assert values(head + BODY) == [json.loads(BODY)]


@pytest.mark.parametrize("cut", range(1, len(SOUND)))
def test_end_inside_a_message_is_told_from_one_between_two(cut: int) -> None:
    found, inside = sent(SOUND + SOUND[:cut])
    assert inside
    assert found == [Sent({"id": 1})]


def test_whole_message_is_not_waited_for_however_long_it_says_it_is() -> None:
    """An editor that counts too many waits for the answer, and sends nothing until then."""
    theirs, ours = os.pipe()

    async def first() -> Sent:
        return await Wire(os.fdopen(theirs, "rb")).next()

    os.write(ours, framed(BODY, 5000))
    assert asyncio.run(asyncio.wait_for(first(), 20)).value == json.loads(BODY)
    os.close(ours)
