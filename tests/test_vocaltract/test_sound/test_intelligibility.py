"""The measures of hearing: that they tell words apart and can fail, and that the model is far from chance.

What is asked of the voice stands in `tests/hearing/words.toml`; `python -m tests.hearing` prints every figure.
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.hearing import outside_voices, recogniser, templates
from tests.hearing.__main__ import LISTS, model
from vocaltract.sound.spoken import spoken
from vocaltract.speech import say

pytest.importorskip("librosa", reason="extra test-sound is not installed")
pytestmark = [
    pytest.mark.skipif(not outside_voices.present(), reason=f"{outside_voices.PROGRAM} is not installed"),
    pytest.mark.long,
]
WORDS = LISTS["first"]


def test_an_outside_voice_is_understood_by_the_others() -> None:
    """Else the measure is worth nothing: one of six voices against the other five."""
    one, *others = outside_voices.VOICES
    right = sum(
        templates.nearest_word(templates.features(*outside_voices.said(word, one)), WORDS, others) == word
        for word in WORDS
    )
    assert right >= 20


def test_words_said_backwards_are_misheard() -> None:
    backwards = templates.misheard(WORDS[:8], lambda word: (model(word)[0][::-1], model(word)[1]))
    assert len(backwards) >= 5


def test_the_model_is_understood_far_above_chance() -> None:
    """Chance is 1 of 22; that 8 or more come out by chance has a likelihood below 1 in 100,000."""
    assert len(WORDS) - len(templates.misheard(WORDS, model)) >= 8


def test_the_recogniser_hears_the_model_and_no_noise() -> None:
    """A third of the words at least, where chance is 1 of 22; of mere noise no such share."""
    pytest.importorskip("pocketsphinx", reason="extra test-sound is not installed")
    words = WORDS[:12]
    share, _ = recogniser.share_right(words, model, range(1))
    noise, _ = recogniser.share_right(
        words, lambda _: (np.random.default_rng(5).standard_normal(12000), 24000), range(1)
    )
    assert share >= 1 / 3 > noise


def test_a_word_is_longer_said_slowly_and_heard_alike() -> None:
    """The features of a word are nearer to itself said slowly than to another word."""
    word, slow, other = (templates.features(spoken(t), 24000) for t in (say("seat"), say("seat", rate=0.8), say("map")))
    assert templates.distance(word, slow) < templates.distance(word, other)
