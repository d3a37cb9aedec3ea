"""The one door from a text to its timeline: what is said how, made once, refused with what is allowed."""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from vocaltract.phonetics.inventory import sound
from vocaltract.speech import Speech, say, say_alone


def test_a_text_said_one_way_is_made_once() -> None:
    """Property, no source: timelines are frozen, so whoever asks again may have the same one."""
    assert say("desk") is say("desk")
    assert say_alone(sound("d")) is say_alone(sound("[d]"))
    faster = say("desk", Speech(rate=1.5))
    assert faster is say("desk", Speech(rate=1.5)) and faster is not say("desk")
    assert faster.duration_s < say("desk").duration_s


def test_a_bare_sound_in_brackets_is_said_by_itself() -> None:
    """From rest to rest, and held long enough to be seen: longer than in a word."""
    assert [span.sound.symbol for span in say("[s]").spans] == ["s"]

    def hold_s(text: str) -> float:
        return next(end - start for start, end in (s.hold_s for s in say(text).spans if s.sound.symbol == "s"))

    assert hold_s("[s]") > hold_s("desk")


@pytest.mark.parametrize(
    ("text", "speech", "message"),
    [
        ("", Speech(), "empty"),
        ("front desk", Speech(emphasis=("dask",)), "emphasis 'dask' is no word of the text.*nearest: desk"),
    ],
)
def test_what_cannot_be_said_is_refused_each_time(text: str, speech: Speech, message: str) -> None:
    for _ in range(2):
        with pytest.raises(BadInput, match=message):
            say(text, speech)


def test_a_tempo_out_of_range_is_refused() -> None:
    with pytest.raises(BadInput, match=r"rate 3 is not possible; allowed is 0\.5 to 2"):
        say("desk", rate=3.0)
