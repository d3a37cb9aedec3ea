"""The one root of every error that is the caller's or the surroundings' doing.

A command line prints ``str(error)`` as a single line and exits with ``error.exit_status``.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable

LONGEST_LINE = 500  # characters of a message


class TractError(Exception):
    """Root of the project's own errors; the message is one line."""

    exit_status = 1

    def __str__(self) -> str:
        """The message as one line, whatever was given: controls are written as escapes, the endless is cut."""
        line = "".join(c if c.isprintable() else repr(c)[1:-1] for c in super().__str__())
        return line if len(line) <= LONGEST_LINE else line[: LONGEST_LINE - 1] + "…"


class BadInput(TractError, ValueError):
    """What was given cannot be used. The message says what was given and what is allowed."""

    exit_status = 2


class SurroundingsError(TractError):
    """The disk, the network or another program failed; the input may be fine."""

    exit_status = 1


def nearest(given: str, allowed: Iterable[str]) -> str:
    """A hint `` (nearest: x)`` for a message, or an empty string where nothing is close."""
    close = difflib.get_close_matches(given, list(allowed), n=1, cutoff=0.5)
    return f" (nearest: {close[0]})" if close else ""
