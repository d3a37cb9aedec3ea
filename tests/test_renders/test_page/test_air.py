"""Air of a page: what its tables hold is what films draw. Outside: the model's own flows, which other tests measure."""

from __future__ import annotations

from functools import cache

import numpy as np
import shapely

from renders.marks.air import air_flows, held_air
from renders.page import air, outlines, signals
from renders.page.drawn import drawn_tables
from renders.page.pack import packed, unpacked
from renders.page.settings import settings
from vocaltract.motion.instant import instants
from vocaltract.motion.phases import Course
from vocaltract.speech import say


@cache
def item() -> outlines.Sampled:
    return outlines.sampled(say("desk"), 0.0, settings().outlines.rate_hz)


def test_lines_of_flow_and_their_stretches_are_those_of_the_moment() -> None:
    ways, tables = air.air_tables(item(), "a_")
    values = unpacked(*packed(tables))
    count, stations, drawn, _, kept = ways["mouth"]
    look, seen = settings().flow, 0
    for frame, now in enumerate(item().moments):
        flow = next((one for one in air_flows(now) if one.way == "mouth"), None)
        strength = values["a_flow_mouth_more"][frame, count]
        if flow is None:
            assert strength == 0
            continue
        assert abs(strength - flow.strength) <= 0.01
        lines = values["a_flow_mouth"][frame].reshape(count, len(kept), 2)
        shares = values["a_flow_mouth_drawn"][frame].reshape(count, drawn, 2)
        for line, packed_line, stretches in zip(flow.lines.points, lines, shares, strict=True):
            off = shapely.distance(shapely.points(packed_line), shapely.LineString(line))
            assert off.max() <= look.step_mm
            known = stretches[~np.isnan(stretches[:, 0])]
            assert np.all(known[:, 0] <= known[:, 1]) and np.all((known >= 0) & (known <= 1))
        seen += 1
    assert seen > 20 and stations > kept[-1]


def test_dots_lie_in_the_air_that_is_held_and_its_ring_covers_it() -> None:
    _, tables = air.air_tables(item(), "a_")
    values = unpacked(*packed([*tables, *air.grid_tables(item().head)]))
    places = values["a_places"].reshape(-1, 2)
    start, along = (values[f"grid_{name}"].reshape(-1, 2) for name in ("start", "along"))
    seen = 0
    for frame, now in enumerate(item().moments):
        held = held_air(now, air_flows(now))
        pressure = values["a_tint"][frame, 0]
        assert (held is None) == (pressure == 0) or abs(pressure - getattr(held, "pressure", 0.0)) <= 0.002
        if held is None or held.pressure < 0.5:
            continue
        dots = places[values["a_dots"][frame] > 0.5]
        assert len(dots) > 5 and shapely.dwithin(held.shape, shapely.points(dots), 0.1).all()
        inner, outer = values["a_held"][frame].reshape(2, -1)
        there = ~np.isnan(inner)
        walls = [start[there] + mm[there, None] * along[there] for mm in (inner, outer)]
        ring = shapely.Polygon(np.concatenate([walls[0], walls[1][::-1]])).buffer(0)
        corner = values["a_corner"][frame]
        if not np.isnan(corner[0]):
            ring = shapely.union(ring, shapely.Polygon(corner.reshape(-1, 2)).buffer(0))
        # what is left lies below the picture or is thinner than a gridline is wide
        assert shapely.difference(held.shape, ring).area <= 0.06 * held.shape.area
        seen += 1
    assert seen > 3


def test_contact_is_played_while_it_holds() -> None:
    rows, tables = drawn_tables(item(), "a_")
    values = unpacked(*packed(tables))
    bars = [number for number, row in enumerate(rows["contact"]["rows"]) if row[-1].startswith("contact ")]
    shown = values["a_drawn_contact_opacity"][:, bars].max(axis=1) > 0.5
    assert shown.tolist() == [bool(now.contacts) for now in item().moments]


def test_signals_are_those_of_the_instants() -> None:
    timeline = item().timeline
    values = unpacked(*packed(signals.signal_tables(timeline, "a_")))
    times = np.arange(len(values["a_voice"])) / settings().outlines.signal_hz
    found = instants(Course(timeline), times)
    steps = settings().steps
    np.testing.assert_allclose(values["a_voice"][:, 0], [now.voice for now in found], atol=steps.voice / 2 + 1e-9)
    np.testing.assert_allclose(values["a_folds"][:, 0], [now.folds_mm for now in found], atol=steps.folds / 2 + 1e-9)
    assert signals.rig(timeline.head)["hinge"] == timeline.head.jaw.hinge.tolist()
