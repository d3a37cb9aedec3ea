"""What stands in for the functions that draw, so that commands are tested without drawing; lines on stderr."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

# Of each command that draws: the module and function that do, and how many sounds it is asked for.
MAKERS = {
    "still": ("renders.stills.still", "write_still", 1),
    "strip": ("renders.stills.strip", "write_strip", 1),
    "film": ("renders.films.film", "write_film", 1),
    "pair": ("renders.pairs.picture", "write_pair", 2),
    "lesson": ("renders.course.lesson", "write_lesson", 2),
    "page": ("renders.page.build", "write_page", 1),
}

Call = tuple[str, tuple[Any, ...], dict[str, Any]]


class Makers:
    """Stands in for the functions that draw: records each call, then does ``then``."""

    def __init__(self) -> None:
        self.calls: list[Call] = []
        self.then: Callable[[], dict[str, Any] | None] = dict

    def maker(self, name: str) -> Callable[..., Any]:
        def make(*args: Any, **settings: Any) -> Any:
            self.calls.append((name, args, settings))
            return self.then()

        return make


def one_line(capsys: pytest.CaptureFixture[str]) -> str:
    """The one line on standard error; fails where there is another number of lines or anything on stdout."""
    out, err = capsys.readouterr()
    assert out == ""
    assert err.endswith("\n"), err
    assert err.count("\n") == 1, err
    assert err.startswith("vocaltract: ")
    return err.removeprefix("vocaltract: ").rstrip("\n")
