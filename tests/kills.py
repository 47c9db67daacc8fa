"""Kills: a call of ours in a process of its own, killed before the nth thing that it does to files.

Python tells an audit hook of each such thing before it is done, so that every moment between two
of them can be tried, one after the other.
"""

from __future__ import annotations

import os
import signal
import sys
from collections.abc import Callable

_WRITING = {"os.rename", "os.link", "os.remove", "os.mkdir", "os.rmdir", "os.chmod", "os.truncate"}


def killed_at(moment: int, call: Callable[[], None]) -> bool:
    """Run a call in a process of its own and kill it at a moment, counted from 0.

    True where it was killed; False where it came to its end before.
    """
    child = os.fork()
    if child == 0:
        _die_at(moment)
        try:
            call()
        except BaseException:
            os._exit(2)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        assert os.WTERMSIG(status) == signal.SIGKILL
        return True
    assert os.WEXITSTATUS(status) == 0
    return False


def _die_at(moment: int) -> None:
    seen = 0

    def look(event: str, given: tuple[object, ...]) -> None:
        nonlocal seen
        is_opened = event == "open" and isinstance(given[2], int) and given[2] & os.O_CREAT
        if is_opened or event in _WRITING or event == "subprocess.Popen":
            if seen == moment:
                os.kill(os.getpid(), signal.SIGKILL)
            seen += 1

    sys.addaudithook(look)
