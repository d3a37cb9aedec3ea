"""The moving mouth: no tissue in tissue, the tongue keeps its area, nothing jumps, rest at both ends."""

from __future__ import annotations

import dataclasses
from functools import cache

import numpy as np
import pytest

from articulators.curves import Array
from articulators.errors import BadInput
from articulators.head import adult_male
from articulators.posture import parts, posture_from
from articulators.section import Section, rest_tongue_area_mm2, section
from tests.test_articulators.tissues import AREA_SHARE, crossing, folded_mm2
from tests.test_vocaltract.spoken import by_itself, said, times
from vocaltract.airway.gaps import gaps
from vocaltract.motion.timeline import Timeline, alone, timeline
from vocaltract.phonetics.postures import posture
from vocaltract.words.utterance import Utterance

# Words of the front desk: every place, nasals, laterals, the flap, held stops, close and open vowels.
WORDS = ["backpack", "doctor", "good guest", "picture", "napkin", "stop talking", "front desk", "city", "two", "hotel"]
ALONE = ["p", "d", "k", "s", "m", "l"]
# No articulator changes a part of the posture by more than this in a millisecond: 1 mm in 1 ms is 1 m/s, about three
# times the fastest tongue and lip movements of speech (articulograph studies, from memory). A jump is far beyond.
STEP_OF_A_MM_PART = 1.0
STEP_OF_A_SHARE = 0.06


@cache
def moments(text: str) -> Section:
    """Sections of every 10th millisecond."""
    made = said(text)
    return section(made.head, made.posture(times(made, 0.01)))


@pytest.mark.parametrize("text", WORDS)
def test_no_tissue_crosses_in_any_frame(text: str) -> None:
    found = moments(text).at(slice(None, None, 2))  # type: ignore[arg-type]
    assert crossing(found) == {}
    assert folded_mm2(found) == {}


@pytest.mark.parametrize("text", WORDS)
def test_tongue_keeps_its_area_every_10_ms(text: str) -> None:
    off = moments(text).tongue_area_mm2() / rest_tongue_area_mm2(adult_male()) - 1
    assert float(np.abs(off).max()) <= AREA_SHARE


def steps_too_far(values: Array) -> dict[str, float]:
    """Parts that move farther in one millisecond than a part may."""
    most = np.abs(np.diff(values, axis=0)).max(axis=0)
    allowed = {"mm": STEP_OF_A_MM_PART, "1": STEP_OF_A_SHARE, "deg": 5.0}
    return {p.name: float(x) for p, x in zip(parts(), most, strict=True) if x > allowed[p.unit]}


@pytest.mark.parametrize("text", WORDS)
def test_nothing_jumps(text: str) -> None:
    made = said(text)
    assert steps_too_far(made.posture(times(made, 0.001)).values) == {}


def test_comparer_sees_a_planted_jump() -> None:
    made = said("city")
    values = np.array(made.posture(times(made, 0.001)).values)
    values[500:, 0] += 2.0
    assert steps_too_far(values) == {"jaw_mm": pytest.approx(2.0, abs=0.2)}


@pytest.mark.parametrize("text", WORDS)
def test_every_posture_on_the_way_is_within_range(text: str) -> None:
    made = said(text)
    assert posture_from(made.posture(times(made, 0.005)).values).shape


@pytest.mark.parametrize("text", ["two", "napkin"])
def test_the_mouth_rests_before_and_after(text: str) -> None:
    made = said(text)
    ends = made.posture(np.array([-1.0, 0.0, made.duration_s, made.duration_s + 9.0]))
    still = [i for i, p in enumerate(parts()) if p.name not in ("glottis_mm", "fold_tension")]
    assert np.abs(ends.values[:, still] - posture("rest").values[still]).max() < 0.05
    assert np.all(gaps(section(made.head, ends)).port > 0), "breath goes through the nose"
    assert np.all(made.posture(np.array([0.0, made.duration_s]))["glottis_mm"] > 5), "folds are apart for breath"


@pytest.mark.parametrize("symbol", ALONE)
def test_a_sound_alone_goes_from_rest_through_its_hold_to_rest(symbol: str) -> None:
    made = by_itself(symbol)
    (span,) = made.spans
    assert 0 < span.start_s - 0.02 < span.hold_s[0] < span.hold_s[1]  # contact comes up to 20 ms before the plan
    assert span.hold_s[1] <= made.speech_s[1] + 0.05 < made.duration_s
    rest = posture("rest").values
    away = np.abs(made.posture(np.array([0.0, sum(span.hold_s) / 2, made.duration_s])).values - rest)[:, :16].max(
        axis=1
    )
    assert away[0] < 0.05
    assert away[2] < 0.05
    assert away[1] > 1.0


@pytest.mark.parametrize("text", ["stop talking", "napkin", "city"])
def test_spans_follow_one_another(text: str) -> None:
    made = said(text)
    assert [s.index for s in made.spans] == list(range(len(made.spans)))
    for a, b in zip(made.spans, made.spans[1:], strict=False):
        assert a.start_s < a.end_s <= b.start_s + 1e-9
        assert a.hold_s[0] <= a.hold_s[1]
    assert made.span_at(-0.1) is None
    assert made.span_at(made.duration_s + 1) is None
    for span in made.spans:
        assert made.span_at((span.start_s + span.end_s) / 2) is span


def test_any_times_in_any_order_give_the_same_moments() -> None:
    made = said("city")
    at = times(made, 0.013)
    order = np.random.default_rng(3).permutation(len(at))
    assert np.array_equal(made.posture(at).values[order], made.posture(at[order]).values)
    assert np.array_equal(made.moment(at).voice[order], made.moment(at[order]).voice)
    one_by_one = [made.posture(np.array(t)).values for t in at[:5]]
    assert np.allclose(made.posture(at[:5]).values, one_by_one, atol=1e-12)
    assert made.posture(np.array([])).shape == (0,)


def test_a_timeline_is_frozen() -> None:
    made = said("city")
    with pytest.raises(dataclasses.FrozenInstanceError):
        made.duration_s = 1.0  # type: ignore[misc]
    for array in (made._times, made._values, made._moments):
        with pytest.raises(ValueError, match="read-only"):
            array[0] = 0.0


def test_the_same_utterance_gives_the_same_timeline() -> None:
    first = said("two")
    second: Timeline = timeline(first.utterance)
    assert second.spans == first.spans
    assert second.closures == first.closures
    assert np.array_equal(second._values, first._values)
    assert np.array_equal(second._moments, first._moments)


@pytest.mark.parametrize(
    ("utterance", "style", "text"),
    [
        (Utterance("", (), (), "[]"), "citation", "no sound"),
        (alone("t"), "conected", "nearest: connected"),
        (alone("t"), "", "style ''"),
    ],
)
def test_what_cannot_be_planned_is_refused_in_one_line(utterance: Utterance, style: str, text: str) -> None:
    with pytest.raises(BadInput) as caught:
        timeline(utterance, style=style)
    assert text in str(caught.value)
    assert "\n" not in str(caught.value)
