"""What the tests of the moving mouth share: timelines made once, and measures taken on outlines alone.

Nothing here reads a target or an inventory row: closures, places and features come from sections.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
import shapely

from articulators.curves import Array, arc_length
from articulators.section import Section, section
from vocaltract.airway.gaps import gaps
from vocaltract.airway.passage import airway
from vocaltract.motion.timeline import Timeline, timeline
from vocaltract.phonetics.inventory import entry_of
from vocaltract.speech import say, say_alone
from vocaltract.words.text.transcribe import read

TOUCH_MM = 0.1
STRICTURE_MM = (
    3.5  # nearer than this an organ narrows the passage; neutral lips stand about 6 mm apart (common practice)
)
BLADE_MM = 20.0  # tip and blade: what lies under the ridge at rest, about 2 cm (Ladefoged & Johnson, from memory)


@cache
def said(text: str, style: str = "citation") -> Timeline:
    """The timeline of a text, made once; of a word in the usual style, the one that pictures show."""
    return say(text) if text.isalpha() and style == "citation" else timeline(read(text), style=style)


def by_itself(symbol: str) -> Timeline:
    """The timeline of one sound alone, the one that pictures show."""
    return say_alone(entry_of(symbol))


def mid_hold(symbol: str) -> Section:
    """The section in the middle of the hold of a sound alone."""
    made = by_itself(symbol)
    return section(made.head, made.posture(np.array(sum(made.spans[0].hold_s) / 2)))


@dataclass(frozen=True)
class Place:
    """Where the tongue comes nearest to the roof: gap, x of the roof's point, length of tongue back from the tip."""

    gap_mm: float
    roof_x_mm: float
    behind_tip_mm: float


def place(one: Section) -> Place:
    """The narrowest place between tongue and roof (tooth, palate, soft palate) of one moment."""
    roof = _roof(one)
    tongue = one["tongue"]
    away = np.asarray(shapely.distance(roof, shapely.points(tongue)))
    touching = np.flatnonzero(away <= max(float(away.min()), TOUCH_MM))
    at = int(touching[len(touching) // 2])
    on_roof = shapely.get_coordinates(shapely.shortest_line(roof, shapely.Point(tongue[at])))[0]
    tip = int(np.argmin(np.where(tongue[:, 1] > -25 * one.head.size, tongue[:, 0], np.inf)))
    run = arc_length(tongue)
    return Place(float(away[at]), float(on_roof[0]), float(abs(run[tip] - run[at])))


def contact_x_mm(one: Section) -> tuple[float, float]:
    """First and last x of the tongue's points that touch the roof; nan, nan where none do."""
    tongue = one["tongue"]
    away = np.asarray(shapely.distance(_roof(one), shapely.points(tongue)))
    x = tongue[away <= TOUCH_MM, 0]
    return (float(x.min()), float(x.max())) if len(x) else (float("nan"), float("nan"))


def _roof(one: Section) -> shapely.Geometry:
    lines = [shapely.LineString(one[organ]) for organ in ("palate", "velum")]
    solid = [shapely.Polygon(one[organ]) for organ in ("upper_incisor", "upper_gum")]
    return shapely.union_all([*lines, *solid])


def features(one: Section) -> dict[str, bool]:
    """Nasal, labial, coronal and continuant as they are on the outlines and in the air of one moment."""
    gap, air, near, size = gaps(one), airway(one), place(one), one.head.size
    lips = min(float(gap.lips), float(gap.teeth)) < STRICTURE_MM
    tongue = near.gap_mm < STRICTURE_MM * size
    return {
        "nas": bool(air.nose),
        "lab": lips,
        "cor": tongue and near.behind_tip_mm < BLADE_MM * size and (not lips or float(gap.lips) > 0),
        "cont": bool(air.mouth),
    }


def times(made: Timeline, step_s: float = 0.01) -> Array:
    """Times over a whole timeline."""
    return np.arange(0.0, made.duration_s, step_s)
