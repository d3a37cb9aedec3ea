"""Errors: one line, an exit status, a hint only where something is near."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from articulators.errors import BadInput, SurroundingsError, TractError, nearest


@given(st.text(max_size=40) | st.just("p" * 10_000))
def test_a_message_is_one_line_whatever_it_quotes(text: str) -> None:
    for kind in (BadInput, SurroundingsError):
        message = str(kind(f"sound {text} is not known"))
        assert len(f"x{message}x".splitlines()) == 1
        assert len(message) <= 500


def test_ordinary_messages_and_ipa_are_kept() -> None:
    for text in ("sound 'ɹ̥' is not known", "speed 0 is not possible; allowed is 0.05 to 2", "tʃ ɫ̩ n̩ é"):
        assert str(BadInput(text)) == text


def test_exit_statuses() -> None:
    """Issue 2: 2 bad input, 1 failure of the surroundings."""
    assert (BadInput("x").exit_status, SurroundingsError("x").exit_status) == (2, 1)
    assert issubclass(BadInput, TractError)
    assert issubclass(BadInput, ValueError)


@pytest.mark.parametrize(("given_name", "hint"), [("velun", " (nearest: velum)"), ("zzz", ""), ("", "")])
def test_nearest(given_name: str, hint: str) -> None:
    assert nearest(given_name, ["velum", "larynx"]) == hint
