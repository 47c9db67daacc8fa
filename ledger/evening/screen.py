"""Screen: a round in a terminal. Alone imports prompt_toolkit, which draws and reads keys."""

from __future__ import annotations

import asyncio
import signal
from collections.abc import Callable
from contextlib import suppress

from prompt_toolkit.application import Application
from prompt_toolkit.formatted_text import StyleAndTextTuples
from prompt_toolkit.key_binding import KeyBindings, KeyPressEvent
from prompt_toolkit.keys import Keys
from prompt_toolkit.layout import FormattedTextControl, Layout, Window
from prompt_toolkit.output import ColorDepth
from prompt_toolkit.styles import Style

from ledger.evening.state import State, press, seen
from ledger.evening.view import screen_lines, shown_fragments

STYLE = Style.from_dict(
    {
        "head": "bold", "at": "reverse", "later": "ansibrightblack", "done": "ansigreen",
        "step": "", "counting": "bold", "ask": "bold", "keys": "ansibrightblack",
    }
)  # fmt: skip
NAMES = {
    Keys.Up: "up", Keys.Down: "down", Keys.PageUp: "pageup", Keys.PageDown: "pagedown",
    Keys.Home: "home", Keys.End: "end", Keys.Enter: "enter", Keys.Escape: "escape",
    Keys.Backspace: "backspace", Keys.ControlC: "interrupt", Keys.SIGINT: "interrupt",
    Keys.ControlD: "interrupt", " ": "space",
}  # fmt: skip
"""What the keys of the terminal are called in `press`."""
ESCAPE_WAIT = 0.1
"""Seconds after which an escape is the key, and not the beginning of an arrow."""
SECOND = 1.0
KEEP_EVERY = 10
"""Seconds between two times at which a clock that runs is kept."""


class Screen:
    """A round on a screen: each key makes a new state, which is kept at once."""

    def __init__(
        self, state: State, now: Callable[[], float], keep: Callable[[State], str], colours: bool
    ) -> None:
        """`keep` keeps a state, and returns why it cannot, or nothing."""
        self.state = state
        self._now = now
        self._keep = keep
        self._application: Application[None] = Application(
            layout=Layout(Window(FormattedTextControl(self._shown, show_cursor=False))),
            key_bindings=self._keys(),
            style=STYLE,
            full_screen=True,
            color_depth=None if colours else ColorDepth.DEPTH_1_BIT,
        )
        self._application.ttimeoutlen = ESCAPE_WAIT
        self._application.timeoutlen = 0

    def run(self) -> State:
        """Show the round until it ends. The end of the terminal keeps it for later."""
        # A terminal that is gone can be neither read nor written.
        with suppress(EOFError, OSError):
            self._application.run(pre_run=self._begin, handle_sigint=True)
        if self.state.end is None:
            self._press("interrupt")
        return self.state

    def _begin(self) -> None:
        """Begin to count seconds, and mind the signals that end a process."""
        self._application.create_background_task(self._count())
        for name in ("SIGHUP", "SIGTERM"):
            # There is no SIGHUP on Windows, nor can a loop mind it there.
            with suppress(AttributeError, NotImplementedError, RuntimeError, ValueError):
                asyncio.get_running_loop().add_signal_handler(
                    getattr(signal, name), self._press, "interrupt"
                )

    async def _count(self) -> None:
        """Show each second of a clock that runs, and keep some."""
        seconds = 0
        while True:
            await asyncio.sleep(SECOND)
            if self.state.progress.counting is not None:
                seconds += 1
                self.state = seen(self.state, self._now())
                if seconds % KEEP_EVERY == 0:
                    self._keep(self.state)
                self._application.invalidate()

    def _press(self, key: str) -> None:
        before = self.state.progress
        self.state = press(self.state, key, self._now())
        fault = "" if self.state.progress == before else self._keep(self.state)
        if fault and self.state.asking is None:
            self.state = self.state.with_progress(
                self.state.progress, f"This round cannot be kept for later ({fault})"
            )
        if self.state.end is not None and self._application.is_running:
            leave = self._application.exit
            # Two signals at once ask for the end twice.
            with suppress(Exception):
                leave()

    def _shown(self) -> StyleAndTextTuples:
        size = self._application.output.get_size()
        lines = screen_lines(self.state, self._now(), size.columns, size.rows)
        return [*shown_fragments(lines)]

    def _keys(self) -> KeyBindings:
        keys = KeyBindings()

        def named(event: KeyPressEvent) -> None:
            self._press(NAMES[event.key_sequence[0].key])

        for key in NAMES:
            keys.add(key)(named)

        @keys.add(Keys.Any)
        def _(event: KeyPressEvent) -> None:
            self._press(event.data)

        @keys.add(Keys.BracketedPaste)
        def _(event: KeyPressEvent) -> None:
            # Only an answer takes a text; as keys, it would do what nobody wants.
            if self.state.asking is not None and not self.state.asking.is_yes_or_no:
                for character in event.data:
                    self._press("space" if character.isspace() else character)

        @keys.add(Keys.ControlZ)
        def _(event: KeyPressEvent) -> None:
            event.app.suspend_to_background()

        return keys
