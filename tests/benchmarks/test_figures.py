"""The benchmarks' verdict can go both ways; no time is asserted."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from tests.benchmarks.figures import Figure, command_seconds, limited


def test_verdict() -> None:
    assert not Figure("work", 1.0, "s", limit=1.0).short
    assert Figure("work", 1.1, "s", limit=1.0).short
    assert Figure("work", math.nan, "s", limit=1.0).short
    assert not Figure("work", 1e9, "s").short
    assert str(Figure("work", 1.1, "s", limit=1.0)).endswith("FALLS SHORT")


def test_limits_have_a_unit() -> None:
    assert limited("help", 0.1).unit == "s"


def test_a_failing_command_is_not_timed(tmp_path: Path) -> None:
    with pytest.raises(RuntimeError, match="command 'stil' is unknown"):
        command_seconds("stil")
