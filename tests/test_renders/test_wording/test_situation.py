"""A moment and what is said of it, as lines: keys by place and phase, blanks as measured.

Voice onset time of English /t/ about 70 ms: Lisker & Abramson 1964, from memory.
"""

from __future__ import annotations

import pytest

from articulators.errors import BadInput
from renders.wording.cues import lines
from renders.wording.languages import language_of
from renders.wording.line import Line, line
from renders.wording.situation import Situation, by_place, contact_word, narrow_throat, rest_row, text, tongue_place
from renders.wording.states import air_state, contact_state, voice_state
from tests.spoken import said
from vocaltract.motion.instant import instant
from vocaltract.motion.phases import Course


def at(words: str, time_s: float) -> Situation:
    course = Course(said(words))
    return Situation(course, instant(course, time_s))


def test_the_hold_of_a_stop() -> None:
    span = said("two").spans[0]
    here = at("two", 0.2 * span.hold_s[0] + 0.8 * span.hold_s[1])
    assert (here.phase, here.span, here.organs) == ("hold", span, ("coronal",))
    assert contact_state(here).title == Line("contact.coronal_shut")
    assert contact_state(here).second == Line("contact.coronal_shut_second")
    assert air_state(here).gauge == "pressure" and air_state(here).title.key in ("air.rising", "air.held")
    assert voice_state(here).title == Line("voice.apart")
    cue, detail = lines(here)
    assert cue == Line("cue.hold_coronal")
    assert detail.key == "detail.hold_voiceless"


def test_the_release_of_a_stop_says_when_the_voice_comes() -> None:
    span = said("two").spans[0]
    assert span.release_s is not None
    here = at("two", span.release_s + 0.006)
    cue, detail = lines(here)
    assert cue == Line("cue.release_puff") and detail.key == "detail.release_puff_voice"
    assert 50 <= int(str(dict(detail.blanks)["ms"])) <= 90


def test_blanks_are_those_that_the_text_has() -> None:
    here = at("two", said("two").spans[0].start_s + 0.005)
    assert text(here, "cue", "rest_ready").blanks == ()
    assert dict(text(here, "detail", "approach").blanks).keys() == {"symbol", "name"}
    assert dict(text(here, "detail", "same", symbol="[d]").blanks)["symbol"] == "[d]"


def test_places_with_rows_of_their_own_are_named_by_them() -> None:
    spans = said("two").spans
    assert by_place(spans[0], "cue", "hold_") == "hold_coronal"
    assert tongue_place(spans[0]) == ""
    vowel = tongue_place(spans[1])
    assert vowel == line("tongue.place", height=Line("tongue.close"), backness=Line("tongue.back"))
    assert language_of().say(vowel) == "high, back"
    assert contact_word("coronal", "dental") == Line("touch.dental")
    assert contact_word("coronal", "alveolar") == Line("touch.coronal")
    with pytest.raises(BadInput, match="touch 'nose' is unknown"):
        contact_word("nose")


def test_rest_before_and_after() -> None:
    timeline = said("two")
    assert rest_row(at("two", 0.0)) == "rest_before"
    here = at("two", timeline.duration_s - 0.01)
    assert here.span is None and rest_row(here) == "rest_after"
    assert voice_state(here).title == Line("voice.over")
    assert narrow_throat(here) == ""
