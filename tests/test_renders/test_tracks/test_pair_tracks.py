"""Two sounds in time: bars lie where the timeline has contact, voice where it vibrates. To one px."""

from __future__ import annotations

import numpy as np
import pytest

from renders.paper.picture import Fill, Group, Layer, Op, Stroke, Text
from renders.paper.style import load
from renders.tracks.pair_row import Axis, TrackRow
from renders.tracks.pair_tracks import MarkedSpan, PairTracks, axis_of, tracks_layer
from renders.wording.languages import language_of
from renders.wording.line import line
from tests.spoken import said
from vocaltract.airway.limits import narrow
from vocaltract.motion.limits import vibrates

BOX, WINDOW = (0.0, 0.0, 1200.0, 326.0), (0.25, 0.25)
PLACE = (line("organ.coronal"),)
LATER = line("pair_bracket.onset", one="t", other="d")


def row(text: str, degree: str) -> TrackRow:
    shown = said(text)
    span = shown.spans[0]
    zero = span.release_s if span.release_s is not None else sum(span.hold_s) / 2
    return TrackRow(span.sound.symbol, shown, zero, 0, PLACE, degree)


def layer(*rows: TrackRow, differs: MarkedSpan | None = None) -> Layer:
    tracks = PairTracks(rows, line("pair_event.release"), line("pair_event.zero_release"), differs, WINDOW)
    return tracks_layer(tracks, BOX, load(), language_of())


def named(ops: tuple[Op, ...], name: str) -> list[Op]:
    found: list[Op] = []
    for op in ops:
        found += named(op.ops, name) if isinstance(op, Group) else [op] if getattr(op, "name", "") == name else []
    return found


def ends(op: Op) -> tuple[float, float]:
    assert isinstance(op, Stroke | Fill)
    x = op.path.vertices[:, 0]
    return float(x.min()), float(x.max())


def axis() -> Axis:
    return axis_of(BOX, WINDOW)


def test_the_bar_of_contact_lasts_as_long_as_the_closure() -> None:
    shown = row("two", "touch")
    (bar,) = named(layer(shown).ops, "contact")
    closure = shown.timeline.closures[0]
    wanted = [axis().x(t - shown.zero_s) for t in (closure.start_s, closure.end_s)]
    assert ends(bar) == pytest.approx(wanted, abs=1.0)


def test_a_hiss_has_a_broken_bar_as_long_as_it_is_narrow() -> None:
    shown = row("suite", "narrow")
    edges = named(layer(shown).ops, "narrow")
    times = np.arange(shown.timeline.spans[0].start_s, shown.timeline.spans[0].end_s, 0.001)
    near = times[narrow(shown.timeline.moment(times).coronal_mm)]
    wanted = [axis().x(t - shown.zero_s) for t in (near[0], near[-1])]
    assert len(edges) == 2 and all(isinstance(edge, Stroke) and edge.dash for edge in edges)
    assert all(ends(edge) == pytest.approx(wanted, abs=3.0) for edge in edges)


def test_voice_starts_where_the_folds_do() -> None:
    shown = row("two", "touch")
    starts = [ends(op)[0] for op in named(layer(shown).ops, "voice starts")]
    times = shown.zero_s + np.arange(0.0, WINDOW[1], 0.001)
    onset = times[int(np.argmax(vibrates(shown.timeline.moment(times).voice)))]
    assert min(abs(start - axis().x(onset - shown.zero_s)) for start in starts) < 2.5


def test_both_rows_share_one_axis_and_what_differs_is_bracketed() -> None:
    drawn = layer(row("two", "touch"), row("do", "touch"), differs=MarkedSpan(0.0, 0.06, LATER))
    assert ends(named(drawn.ops, "zero")[0]) == pytest.approx((axis().zero, axis().zero))
    a, b = ends(named(drawn.ops, "bracket")[0])
    assert (a, b) == pytest.approx((axis().x(0.0), axis().x(0.06)), abs=1.0)
    assert language_of().say(LATER) in [op.string for op in drawn.ops if isinstance(op, Text)]
