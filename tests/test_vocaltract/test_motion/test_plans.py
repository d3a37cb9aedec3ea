"""What sounds ask of tongue, lips, jaw and soft palate: who asks for what, how firmly, and who gives way.

Directions are phonetic common sense named beside each; no number here is read off the output.
"""

from __future__ import annotations

import numpy as np
import pytest

from articulators.posture import part_index
from vocaltract.motion.asking import LIPS, TIP, VELUM, apart, asked_hold, firmness, mask, ordered, vowel_plan
from vocaltract.motion.easing import Plateau
from vocaltract.motion.lip_plan import jaw_plan, larynx_plan, lip_plan
from vocaltract.motion.palate_plan import palate_plan
from vocaltract.motion.schedule import Schedule, schedule
from vocaltract.motion.timeline import alone
from vocaltract.motion.tongue_plan import LOOSE, is_lingual, tongue_plan
from vocaltract.words.text.transcribe import read


def plan(text: str) -> Schedule:
    said = read(text)
    return schedule(said, "citation" if len(said.words) == 1 else "connected")


def test_closures_are_asked_for_most_firmly_and_weak_vowels_least() -> None:
    """Lindblom (1963); Recasens's scale of resistance, from memory: stops, hisses, laterals, approximants, vowels."""
    stop, hiss, lateral, approximant = (plan(f"[{symbol}ɑ]").spans[0] for symbol in "pslɹ")
    assert firmness(stop) > firmness(hiss) > firmness(lateral) > firmness(approximant)
    strong, weak = plan("[ˈsɑsə]"), plan("[səˈsɑ]")
    stressed = vowel_plan(strong, strong.spans[1])[0].weight.max()
    assert firmness(approximant) > stressed > vowel_plan(weak, weak.spans[1])[0].weight.max()


def test_a_vowel_asks_less_of_the_tip_than_of_the_body() -> None:
    one = plan("see")
    (found,) = vowel_plan(one, one.spans[1])
    assert found.weight[part_index("tip_up_mm")] < found.weight[part_index("back_mm")]
    assert np.ptp(found.weight[mask(TIP) > 0]) == 0


def test_a_diphthong_asks_for_two_targets_and_a_short_one_for_less_of_the_second() -> None:
    """The rate is kept and the end given up (Gay 1968)."""
    ways = []
    for rate in (0.7, 2.0):
        one = schedule(read("stay"), rate=rate)
        span = next(s for s in one.spans if s.entry.kind == "vowel")
        first, second = vowel_plan(one, span)
        assert first.end_s <= second.start_s
        whole = np.linalg.norm(span.postures[1].values - span.postures[0].values)
        ways.append(np.linalg.norm(second.values - first.values) / whole)
    assert ways[0] == pytest.approx(1.0)
    assert ways[1] < 0.9


def test_tip_and_back_leave_each_other_free() -> None:
    two = plan("tag")
    t, ɡ = (p for p in tongue_plan(two) if p.end_s > p.start_s)
    for found, free, kept in ((t, "back_mm", "tip_up_mm"), (ɡ, "tip_up_mm", "back_mm")):
        assert found.weight[part_index(free)] < found.weight[part_index(kept)] / 10
    assert "back_mm" in LOOSE["coronal"] and "tip_up_mm" in LOOSE["dorsal"]


def test_a_tap_is_asked_for_where_contact_is_made_and_broken() -> None:
    city = plan("city")
    span = next(s for s in city.spans if s.entry.manner == "tap")
    firm = [p for p in tongue_plan(city) if p.start_s == p.end_s]
    assert [p.start_s for p in firm] == list(span.hold_s)
    assert is_lingual(span)


def test_lips_just_touch_when_contact_is_made_and_when_they_let_go() -> None:
    map_ = plan("[ɑpɑ]")
    span, aperture = map_.spans[1], part_index("aperture_mm")
    made, pressed, let_go = lip_plan(map_)
    assert (made.start_s, let_go.start_s) == span.hold_s
    assert made.values[aperture] == let_go.values[aperture] == 0.0
    assert pressed.values[aperture] < 0
    assert span.hold_s[0] < pressed.start_s < pressed.end_s < span.hold_s[1]


def test_lips_do_not_open_for_the_first_sound_and_the_jaw_gives_way_to_lips() -> None:
    pay = plan("pay")
    assert min(p.start_s for p in lip_plan(pay)) < pay.speech_s[0] - 0.1
    (jaw,) = jaw_plan(pay, tongue_plan(pay))
    assert 0 < jaw.weight.max() < max(p.weight.max() for p in lip_plan(pay)) / 100


def test_the_soft_palate_is_sealed_more_firmly_under_pressure_than_in_vowels() -> None:
    """Heights: stops above vowels (F. Bell-Berti 1976, from memory); lowered in a nasal."""
    velum = part_index("velum")
    t, ɛ, n = palate_plan(plan("ten"))
    assert t.values[velum] < ɛ.values[velum] < n.values[velum]
    assert t.weight[velum] > n.weight[velum] > ɛ.weight[velum]
    assert ɛ.end_s < n.start_s - 0.02, "nasality begins before the closure"
    assert set(np.flatnonzero(n.weight)) == set(np.flatnonzero(mask(VELUM)))


def test_the_larynx_moves_for_ejectives_only() -> None:
    assert larynx_plan(plan("tea")) == []
    (found,) = larynx_plan(schedule(alone("tʼ"), alone=True))
    assert found.values[part_index("larynx_mm")] > 0


def _plateau(start: float, end: float, value: float, weight: float) -> Plateau:
    return Plateau(start, end, np.full(21, value), weight * mask(LIPS))


def test_of_two_that_touch_the_less_firm_gives_way() -> None:
    firm, weak = _plateau(0.1, 0.2, 0.0, 1000.0), _plateau(0.2, 0.3, 5.0, 1.0)
    first, second = apart([weak, firm])
    assert (first.start_s, first.end_s) == (0.1, 0.2)
    assert second.start_s > 0.23
    both = apart([firm, _plateau(0.2, 0.3, 5.0, 1000.0)])
    assert both[0].end_s < 0.2 < both[1].start_s
    assert ordered([weak, firm]) == [firm, weak]


def test_a_hold_is_asked_for_within_its_contact() -> None:
    span = plan("tea").spans[0]
    start, end = asked_hold(span)
    assert span.hold_s[0] < start < end < span.hold_s[1]
