"""A fixed 300 of the 5,000 commonest words are simulated without a fault; `python -m tests.sweep` takes them all.

What a word may not do is a matter of definition: a stop is airtight (Ladefoged & Johnson, from memory), tissue does not
pass through tissue. The limit of an open port is row vp_open (Warren et al. 1989).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from articulators.posture import part_index
from tests.sweep.__main__ import checked
from tests.sweep.faults import FIXED, faults, fixed, phrases, words
from vocaltract.motion.timeline import SERIES, Timeline, timeline
from vocaltract.words.text.transcribe import read

BATCHES = 30


@pytest.mark.parametrize("batch", range(BATCHES))
def test_common_words_have_no_fault(batch: int) -> None:
    chosen = fixed()[batch::BATCHES]
    assert len(chosen) == FIXED // BATCHES
    assert [str(fault) for word in chosen for fault in checked(word)] == []


@pytest.mark.parametrize("batch", range(BATCHES // 3))
def test_phrases_of_the_front_desk_have_no_fault(batch: int) -> None:
    chosen = phrases()[:: len(phrases()) // 30][batch :: BATCHES // 3]
    assert [str(fault) for phrase in chosen for fault in checked(phrase)] == []


def test_the_words_are_fixed() -> None:
    """The words and their order come from a list that is no longer changed (wordfreq 3.1.1)."""
    assert len(words()) == len(set(words())) == 5000
    assert words()[:3] == ("the", "to", "and")
    assert len(set(fixed())) == FIXED
    assert set(fixed()) <= set(words())
    assert len(set(phrases())) == 300


def kinds(made: Timeline) -> set[tuple[str, str]]:
    return {(fault.kind, fault.sound) for fault in faults("planted", made)}


def planted(made: Timeline, part: str, value: float, start_s: float, end_s: float) -> Timeline:
    """The same word with one part of the posture held at a value for a while."""
    values = np.array(made._values)
    values[(made._times >= start_s) & (made._times <= end_s), part_index(part)] = value
    return replace(made, _values=values)


def test_each_fault_is_seen_where_it_is_planted() -> None:
    made = timeline(read("doctor"))
    assert kinds(made) == set()
    d, _, k, t, _ = made.spans
    assert (d.sound.symbol, k.sound.symbol, t.sound.symbol) == ("d", "k̚", "t")
    middle = sum(t.hold_s) / 2
    leaking = planted(made, "sides_open", 1.0, middle - 0.02, middle + 0.02)
    assert ("stop not airtight", "t") in kinds(leaking)
    through_the_nose = planted(made, "velum", 0.8, middle, t.hold_s[1])
    assert ("stop not airtight", "t") in kinds(through_the_nose)
    before = (k.hold_s[0] + k.hold_s[1]) / 2
    early = planted(made, "sides_open", 1.0, before, t.hold_s[0] + 0.001)
    assert ("held stop opens early", "k̚") in kinds(early)
    assert ("stop not airtight", "d") in kinds(replace(made, closures=made.closures[1:]))
    backwards = replace(made, spans=(made.spans[1], made.spans[0], *made.spans[2:]))
    assert "reversed time" in {kind for kind, _ in kinds(backwards)}


def test_a_shut_nose_is_seen() -> None:
    made = timeline(read("sun"))
    assert kinds(made) == set()
    column = np.array(made._moments)
    column[:, SERIES.index("port_mm")] = 0.3
    assert ("nasal with port shut", "n") in kinds(replace(made, _moments=column))


@pytest.mark.parametrize("area_cm2", [0.0, 0.4])
def test_a_hiss_without_its_narrowing_is_seen(area_cm2: float) -> None:
    made = timeline(read("sun"))
    column = np.array(made._moments)
    column[:, SERIES.index("mouth_cm2")] = area_cm2
    assert ("hiss without its narrowing", "s") in kinds(replace(made, _moments=column))


def test_a_word_that_is_not_simulated_is_a_fault() -> None:
    assert [fault.kind for fault in checked("?!")] == ["not simulated"]
