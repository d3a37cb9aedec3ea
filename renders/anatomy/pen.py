"""The pen that a side view is drawn with: ops in millimetres of the head, lines and soft edges of a style."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np

from articulators.curves import Array
from renders.anatomy.plate import plate
from renders.paper.canvas import Canvas
from renders.paper.picture import Fill, Group, Op, Path, Stroke
from renders.paper.strokes import Edge, anticlockwise, ends, shifted

if TYPE_CHECKING:
    import shapely


class PlatePen:
    """Ops of one head on one canvas, in millimetres: `placed` puts them into the picture.

    A film draws every frame with the same pen, which keeps what only changes its place (`carried`).
    """

    def __init__(self, canvas: Canvas) -> None:
        self.canvas, self.style = canvas, canvas.style
        self._kept: dict[str, tuple[Op, ...]] = {}

    def placed(self, ops: Sequence[Op], clip: Path) -> Group:
        """Ops in mm put into the picture and cut off at ``clip``, which is in px."""
        return Group((Group(tuple(ops), transform=self.canvas.view.matrix),), clip=clip)

    def carried(self, name: str, draw: Callable[[], Sequence[Op]], place: Array | None = None) -> Group:
        """What ``draw`` draws, made once for each ``name`` and carried by ``place`` (2, 3) in mm."""
        if name not in self._kept:
            self._kept[name] = tuple(draw())
        return Group(self._kept[name], transform=place)

    def width_mm(self, part: str) -> float:
        """How wide the line of a part is."""
        return self.canvas.line(part) / self.canvas.scale

    def area(self, ring: Array, colour: str, opacity: float = 1.0, name: str = "") -> Fill:
        """The inside of a ring (n, 2)."""
        return Fill(Path.polygon(ring), colour, opacity, name)

    def line(
        self, points: Array, colour: str, part: str, share: float = 1.0, opacity: float = 1.0, name: str = ""
    ) -> Stroke:
        """A line (n, 2), ``share`` as wide as its part."""
        return Stroke(Path.line(points), colour, self.width_mm(part) * share, opacity=opacity, name=name)

    def outline(
        self, ring: Array, colour: str, part: str, share: float = 1.0, opacity: float = 1.0, name: str = ""
    ) -> Stroke:
        """The line around a ring (n, 2), ``share`` as wide as its part."""
        return Stroke(Path.polygon(ring), colour, self.width_mm(part) * share, opacity=opacity, name=name)

    def lines(self, runs: Sequence[Array], colour: str, part: str, share: float = 1.0, opacity: float = 1.0) -> Stroke:
        """Several lines of one kind with blunt ends."""
        return Stroke(Path.lines(runs), colour, self.width_mm(part) * share, opacity=opacity, cap="butt")

    def pressed(self, along: Array | Edge, colour: str, part: str, weights: Any = 1.0, opacity: float = 1.0,
                name: str = "") -> Fill:  # fmt: skip
        """A line drawn with a pressure (n,) of 1 where it is as wide as its part."""
        edge = along if isinstance(along, Edge) else Edge(along)
        return self.area(edge.pressed(self.width_mm(part) * np.asarray(weights)), colour, opacity, name)

    def soft(
        self, line: Array, depths: tuple[float, ...], colour: str, opacity: float, reach: float = 6.0
    ) -> list[Op]:
        """A soft edge on the left of a line: bands that lie on each other, thinning out to the ends."""
        if self.style.shading <= 0:
            return []
        edge, weights = Edge(line), ends(line, reach)
        each = opacity * self.style.shading
        return [self.area(edge.band(depth * weights), colour, each) for depth in depths]

    def soft_ring(self, ring: Array, depths: tuple[float, ...], colour: str, opacity: float) -> list[Op]:
        """A soft edge inside a closed ring: the same shape again and again, a little smaller."""
        if self.style.shading <= 0:
            return []
        ring = anticlockwise(ring)
        each = opacity * self.style.shading
        return [self.area(shifted(ring, depth, closed=True), colour, each) for depth in depths]

    def hatch(self, shape: shapely.Geometry) -> list[Op]:
        """Oblique lines over an area, for styles without greys."""
        import shapely

        (x0, y0, x1, y1), pitch = shape.bounds, plate().hatching.pitch_mm
        at = np.arange(x0 + y0 - pitch, x1 + y1, pitch)
        at = np.round(at / pitch) * pitch
        runs = shapely.linestrings([[[c - y1, y1], [c - y0, y0]] for c in at])
        cut = shapely.get_parts(shapely.intersection(runs, shape))
        runs_mm = [shapely.get_coordinates(run) for run in shapely.get_parts(cut) if run.geom_type == "LineString"]
        return [self.lines(runs_mm, "ink", "fibre", 0.5)]
