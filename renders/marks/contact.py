"""The mark of contact on a side view: a bar on every seam, and where a voiced closure is felt."""

from __future__ import annotations

import numpy as np

from articulators.curves import Array
from renders.marks.dimensions import dimensions
from renders.marks.moment import Moment
from renders.marks.waves import felt_opacity, wave
from renders.paper.canvas import Canvas
from renders.paper.picture import Layer, Op, Path, Stroke


def contact_layer(now: Moment, canvas: Canvas) -> Layer:
    """A bar on the seam of every closure that holds; beside it, waves where a voiced closure is felt."""
    ops: list[Op] = []
    fill, edge = canvas.line("contact"), canvas.line("contact_edge")
    # where the style has no colour for contact, its bar is broken, so that it is not taken for a gap
    uncoloured = canvas.style.hex("contact") == canvas.style.hex("airway")
    broken = (1.1 * canvas.scale, 0.9 * canvas.scale) if uncoloured else None
    for organ, line in now.contacts.items():
        path = Path.line(canvas.px(line))
        ops += [
            Stroke(path, "contact_edge", edge),
            Stroke(path, "contact", fill, dash=broken, cap="butt" if broken else "round", name=f"contact {organ}"),
        ]
        if now.instant.closures and now.instant.vibrates:
            ops.append(_felt(line, organ, now, canvas))
    return Layer("contact", tuple(ops))


def _felt(line: Array, organ: str, now: Moment, canvas: Canvas) -> Op:
    """Paired zigzags at the ends of a voiced contact: vibration that can be felt there."""
    middle, front, rear = line[len(line) // 2], line[np.argmin(line[:, 0])], line[np.argmax(line[:, 0])]
    starts = (front, rear) if organ == "dorsal" else (middle, middle)
    offsets = dimensions().felt.of(organ)
    marks = [
        wave(start + np.array(offset), now.drift, upright=True) for start, offset in zip(starts, offsets, strict=True)
    ]
    width = canvas.line("voice") * 0.8
    casing = ("airway", width + canvas.line("casing"))
    path = Path.bundle(canvas.px(np.stack(marks)))
    return Stroke(
        path, "voice", width, casing=casing, opacity=felt_opacity(now.instant.felt_contact), name="felt here"
    )
