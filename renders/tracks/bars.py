"""Bars of contact along an axis of time."""

from __future__ import annotations

from renders.paper.picture import Fill, Op, Path, Stroke
from renders.paper.style import Style


def contact_bar(path: Path, style: Style, edge_px: float, thin_px: float, name: str) -> list[Op]:
    """A bar with an edge, and a thin line of ink around it where the edge has the colour of the paper."""
    ops: list[Op] = [Fill(path, "contact", name=name), Stroke(path, "contact_edge", edge_px, join="miter")]
    if style.hex("contact_edge") == style.hex("paper"):
        ops.append(Stroke(path, "ink", thin_px, join="miter"))
    return ops
