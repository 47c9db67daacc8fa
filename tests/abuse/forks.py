"""Commands in processes of their own, forked from one that has loaded besom: 20 ms each."""

from __future__ import annotations

import fcntl
import os
import resource
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))


_MOST_PRINTED = 1 << 20
"""Bytes that a command may print before somebody reads them."""


class Ended(NamedTuple):
    """How a command ended."""

    code: int
    """The exit code; minus the number of the signal for one that was killed."""
    output: str
    errors: str


class Running:
    """A command that runs, or a piece of Python in its place."""

    def __init__(self, work: Callable[[], None], largest_file: int | None = None) -> None:
        # Pipes, as a limit on files must not hold for what is printed.
        self._pipes = [os.pipe() for _ in range(2)]
        for _, end in self._pipes:
            fcntl.fcntl(end, fcntl.F_SETPIPE_SZ, _MOST_PRINTED)
        self._pid = os.fork()
        if self._pid == 0:
            code = 70
            try:
                if largest_file is not None:
                    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
                    resource.setrlimit(resource.RLIMIT_FSIZE, (largest_file, largest_file))
                code = self._run(work)
            finally:
                os._exit(code)
        for _, end in self._pipes:
            os.close(end)

    def _run(self, work: Callable[[], None]) -> int:
        texts = [os.fdopen(end, "w", encoding="utf-8") for _, end in self._pipes]
        sys.stdout, sys.stderr = texts
        code = 0
        try:
            work()
        except SystemExit as end:
            code = end.code if isinstance(end.code, int) else 1
        for text in texts:
            text.flush()
        return code

    def kill_after(self, seconds: float) -> None:
        """End it with SIGKILL after a time, if it still runs then."""
        time.sleep(seconds)
        os.kill(self._pid, signal.SIGKILL)

    def wait(self) -> Ended:
        """Wait for its end."""
        _, status = os.waitpid(self._pid, 0)
        said = []
        for start, _ in self._pipes:
            with os.fdopen(start, "rb") as pipe:
                said.append(pipe.read().decode("utf-8", "replace"))
        return Ended(os.waitstatus_to_exitcode(status), *said)


def besom(*words: str, largest_file: int | None = None) -> Running:
    """A command of besom, begun."""
    from ledger.cli.main import main

    def work() -> None:
        main([*words], prog_name="besom")

    return Running(work, largest_file)


def load_all(calls: Sequence[Sequence[str]]) -> None:
    """Call these once here, so that what they import is there in every process forked later."""
    from click.testing import CliRunner

    from ledger.cli.main import main

    for words in calls:
        CliRunner().invoke(main, [*words])


def scratch_state() -> None:
    """Keep what commands keep in a folder of this run."""
    os.environ["XDG_STATE_HOME"] = tempfile.mkdtemp(prefix="besom-abuse-")
