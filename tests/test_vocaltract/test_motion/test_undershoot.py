"""Amplitude falls with time, stress and style; glides keep their rate: on formants of the moving mouth.

B. Lindblom (1963) J. Acoust. Soc. Am. 35, 1773-1781: vowels between stops of one place move towards their loci as they
get shorter; S.-J. Moon & B. Lindblom (1994) J. Acoust. Soc. Am. 96, 40-55: less in clear speech; T. Gay (1968) J.
Acoust. Soc. Am. 44, 1570-1573: a diphthong's F2 keeps its rate of change and gives up its end. All from memory:
directions, not sizes.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from articulators.curves import Array
from articulators.posture import Posture, part_index
from vocaltract.motion.schedule import schedule
from vocaltract.motion.tracks import mouth_tracks
from vocaltract.phonetics.speaker import man
from vocaltract.phonetics.vowels import formants_of
from vocaltract.words.text.transcribe import read

RATES = (0.7, 1.0, 1.4, 2.0)
LOCUS_OF_D_HZ = 1800.0  # P. C. Delattre, A. M. Liberman & F. S. Cooper 1955


@cache
def vowel(text: str, rate: float = 1.0, style: str = "citation") -> tuple[float, Array, Array]:
    """Length in seconds of a text's first vowel, its postures (n, parts) and formants (n, 3) over nine tenths of it."""
    plan = schedule(read(text), style, rate=rate)
    times = np.arange(0.0, plan.duration_s, 0.001)
    span = next(s for s in plan.spans if s.entry.kind == "vowel")
    length = span.end_s - span.start_s
    at = np.round(1000 * np.linspace(span.start_s + 0.05 * length, span.end_s - 0.005, 37)).astype(int)
    values = mouth_tracks(plan, times)[at]
    return length, values, formants_of(man().head, Posture(values), 3)


@pytest.mark.parametrize("text", ["[dʊd]", "[dʌd]"])
def test_a_shorter_vowel_moves_towards_the_locus(text: str) -> None:
    """F2 nearest to the target in each vowel, at tempos from slow to twice as fast."""
    found = [vowel(text, rate) for rate in RATES]
    lengths, nearest = [f[0] for f in found], [float(f[2][:, 1].min()) for f in found]
    assert lengths == sorted(lengths, reverse=True)
    assert nearest[1] < nearest[2] < nearest[3] < LOCUS_OF_D_HZ
    # it levels off where there is time enough
    assert nearest[1] - nearest[0] < (nearest[3] - nearest[2]) / 2


@pytest.mark.parametrize("text", ["stay", "day"])
def test_a_glide_in_citation_form_moves_f2_by_200_hz(text: str) -> None:
    _, _, formants = vowel(text)
    assert formants[-1, 1] - formants[:, 1].min() >= 200.0


def test_a_glide_keeps_its_rate_and_gives_up_its_end() -> None:
    found = [vowel("stay", rate) for rate in RATES]
    ends = [float(f[2][-1, 1]) for f in found]
    assert ends == sorted(ends, reverse=True)
    assert ends[0] - ends[-1] > 75.0
    rates = [float(np.diff(f[2][:, 1]).max()) / (0.95 * f[0] / 36) for f in found[:3]]
    assert max(rates) / min(rates) < 1.3


def test_a_weak_vowel_and_running_speech_give_way_more() -> None:
    """The jaw of a stressed ɑ against a weak one, and in citation form against running speech, of equal length."""

    def jaw(text: str, style: str) -> float:
        return float(vowel(text, style=style)[1][:, part_index("jaw_mm")].max())

    assert jaw("[ˈdɑdi]", "citation") > jaw("[ˈdɑdi]", "connected") + 0.3
    assert jaw("[ˈdɑdi]", "connected") > jaw("[dɑˈdi]", "connected") + 0.3


@pytest.mark.parametrize("text", ["[sɑs]", "[tɑt]", "[kik]"])
def test_closures_and_hisses_do_not_give_way(text: str) -> None:
    """At twice the rate the consonant's posture is met within what its place depends on."""
    plan = schedule(read(text), rate=2.0)
    times = np.arange(0.0, plan.duration_s, 0.001)
    values = mouth_tracks(plan, times)
    span = plan.spans[0]
    at = round(1000 * sum(span.hold_s) / 2)
    names = ("back_mm", "front_mm", "jaw_mm") if text == "[kik]" else ("blade_mm", "tip_up_mm", "front_mm", "jaw_mm")
    for name in names:
        wanted = float(span.postures[0].values[part_index(name)])
        assert values[at, part_index(name)] == pytest.approx(wanted, abs=0.3), name
