"""A measurement as a figure: section, area function and response side by side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from articulators.curves import Array
from renders.anatomy import layers as anatomy
from renders.anatomy.enlarged import drawn_section
from renders.anatomy.pen import PlatePen
from renders.ink import painter
from renders.paper.canvas import Canvas
from renders.paper.fitting import fitted
from renders.paper.picture import Box, Dots, Fill, Group, Layer, Op, Picture, Stroke, Text
from renders.paper.picture import Path as Shape
from renders.paper.style import Style, load
from renders.tables.layout import measurement_layout
from vocaltract.airway.areas import tract_areas
from vocaltract.airway.measure import Measurement
from vocaltract.airway.passage import airway


@dataclass(frozen=True)
class Axes:
    """A field for a curve: box in px, what stands above and below it, ticks as (px, text) from x and y."""

    box: Box
    heading: str
    x_name: str
    x_ticks: Sequence[tuple[float, str]]
    y_ticks: Sequence[tuple[float, str]]


def write_plot(
    measurement: Measurement,
    out: Path,
    *,
    title: str = "",
    style: str = "light",
    size: tuple[int, int] | None = None,
    force: bool = False,
) -> None:
    """Write the figure to .svg, .pdf or .png. `size` in px: as drawn where not given.

    BadInput for an unknown style or ending, and for a file that exists without `force`.
    """
    look, page = load(style), measurement_layout().figure
    size = size or (page.width_px, page.height_px)
    painter.save(fitted(plot_picture(measurement, look, title), size), out, look, force=force)


def plot_picture(measurement: Measurement, style: Style, title: str = "") -> Picture:
    """The figure at 1800 x 760 px."""
    page = measurement_layout().figure
    canvas, shown = Canvas(page.view, style), drawn_section(measurement.shown)
    layers = [
        Layer("ground", (Fill(anatomy.card(page.view), "panel"),)),
        anatomy.fixed_layer(shown.head, canvas),
        anatomy.moving_layer(shown, airway(shown), PlatePen(canvas)),
        _midline(measurement, style),
        _areas(measurement, style),
        _response(measurement, style),
        Layer("title", (Text(title, *page.title_px, style.size("title", "still"), "ink", "bold"),)),
    ]
    return Picture(page.width_px, page.height_px, "paper", tuple(layers), title, _described(measurement))


def _described(measurement: Measurement) -> str:
    narrow = measurement.constriction
    known = [f"{f:.0f}" for f in measurement.formants_hz if math.isfinite(f)]
    sound = f"formants at {', '.join(known)} Hz" if known else "no formants, the tract is shut"
    where = f"{narrow.place}, {narrow.area_cm2:.2f} cm2"
    return f"Side view, areas from glottis to lips, and response. Narrowest: {where}; {sound}."


def _midline(measurement: Measurement, style: Style) -> Layer:
    view = measurement_layout().figure.view
    size = measurement.shown.head.size
    line = view.px(tract_areas(measurement.shown).midline_mm / size)
    thin = style.line("air")
    narrow = measurement.constriction
    spot = view.px(np.array([[narrow.x_mm, narrow.y_mm]]) / size)
    ops = (
        Stroke(Shape.line(line), "air", thin, dash=(7.0, 5.0), casing=("airway", thin + 3)),
        *_dots(spot),
    )
    edge = Stroke(anatomy.card(view), "rule", style.line("rule"))
    return Layer("midline", (Group(ops, clip=anatomy.card(view)), edge))


def _axes(axes: Axes, style: Style) -> list[Op]:
    x, y, width, height = axes.box
    small = style.size("small", "still")
    ops: list[Op] = [Fill(Shape.rectangle(*axes.box), "panel")]
    for at, text in axes.y_ticks:
        ops.append(Stroke(Shape.line([(x, at), (x + width, at)]), "rule", style.line("rule") * 0.6, opacity=0.35))
        ops.append(Text(text, x - 12, at, small, "ink2", family="figures", anchor="end", baseline="middle"))
    for at, text in axes.x_ticks:
        ops.append(Stroke(Shape.line([(at, y + height), (at, y + height + 7)]), "rule", style.line("rule")))
        ops.append(Text(text, at, y + height + 22, small, "ink2", family="figures", anchor="middle", baseline="middle"))
    ops.append(Text(axes.heading, x, y - 22, style.size("second", "still"), "ink", "bold", baseline="middle"))
    middle = x + width / 2
    ops.append(Text(axes.x_name, middle, y + height + 52, small, "ink2", anchor="middle", baseline="middle"))
    return ops


def _dots(at: Array) -> list[Op]:
    """A mark of the narrowest place at points (n, 2) in px."""
    look = measurement_layout().figure
    return [Dots(at, look.dot_rim_px, "contact_edge"), Dots(at, look.dot_px, "contact")]


def _areas(measurement: Measurement, style: Style) -> Layer:
    look = measurement_layout().areas
    x, y, width, height = look.box_px
    edges = np.concatenate([[0.0], np.cumsum(measurement.section_length_cm)])
    top = next((s for s in look.tops_cm2 if s >= look.room * measurement.area_cm2.max()), look.tops_cm2[-1])
    step = top / look.lines
    to_x = width / (math.ceil(edges[-1] / 2) * 2)
    to_y = height / top
    x_ticks = [(x + cm * to_x, f"{cm}") for cm in range(0, int(edges[-1]) + 2, look.every_cm)]
    y_ticks = [(y + height - k * step * to_y, f"{k * step:g}") for k in range(look.lines + 1)]
    axes = Axes(look.box_px, "Area, cm²", "from the glottis to the lips, cm", x_ticks, y_ticks)
    ops = _axes(axes, style)
    upper = y + height - np.repeat(measurement.area_cm2, 2) * to_y
    along = x + np.repeat(edges, 2)[1:-1] * to_x
    steps = np.stack([along, upper], axis=-1)
    ring = np.concatenate([[[along[0], y + height]], steps, [[along[-1], y + height]]])
    ops += [Fill(Shape.polygon(ring), "airtint"), Stroke(Shape.line(steps), "air", style.line("tongue"), join="miter")]
    narrow = measurement.constriction
    at = np.array([[x + narrow.from_glottis_cm * to_x, y + height - narrow.area_cm2 * to_y]])
    ops += _dots(at)
    how = "shut" if narrow.area_cm2 <= 0 else f"{narrow.area_cm2:.2f} cm²"
    small = style.size("small", "still")
    ops += _dots(np.array([[x + 18, y + 22]]))
    ops.append(Text(f"narrowest: {narrow.place}, {how}", x + 36, y + 22, small, "ink", baseline="middle"))
    ops.append(Stroke(Shape.rectangle(*look.box_px), "rule", style.line("rule")))
    return Layer("areas", tuple(ops))


def _response(measurement: Measurement, style: Style) -> Layer:
    look = measurement_layout().response
    x, y, width, height = look.box_px
    shown = measurement.frequency_hz <= look.top_hz
    hz, level = measurement.frequency_hz[shown], measurement.level_db[shown]
    known = np.isfinite(level)
    every = look.every_db
    top = every * math.ceil((level[known].max() + look.above_db) / every) if known.any() else 2 * every
    to_x, to_y = width / look.top_hz, height / look.span_db
    x_ticks = [(x + k * 1000 * to_x, f"{k}") for k in range(int(look.top_hz / 1000) + 1)]
    y_ticks = [(y + k * every * to_y, f"{top - every * k}") for k in range(int(look.span_db / every) + 1)]
    ops = _axes(Axes(look.box_px, "Response, dB", "frequency, kHz", x_ticks, y_ticks), style)
    small = style.size("small", "still")
    if not known.any():
        said, middle = "the tract is shut: no formants", (x + width / 2, y + height / 2)
        ops.append(Text(said, *middle, small, "ink", anchor="middle", baseline="middle"))
    else:
        curve = np.stack([x + hz * to_x, y + (top - level) * to_y], axis=-1)[known]
        ops += _formant_lines(measurement, style)
        line = Stroke(Shape.line(curve), "voice", style.line("tongue"))
        ops.append(Group((line,), clip=Shape.rectangle(*look.box_px)))
    ops.append(Stroke(Shape.rectangle(*look.box_px), "rule", style.line("rule")))
    return Layer("response", tuple(ops))


def _formant_lines(measurement: Measurement, style: Style) -> list[Op]:
    """A dashed line and a name at each formant; the names step down where two are close."""
    look = measurement_layout().response
    x, y, width, height = look.box_px
    small = style.size("small", "still")
    ops: list[Op] = []
    last, row = -1e9, 0
    for i, hz in enumerate(measurement.formants_hz, 1):
        if not math.isfinite(hz) or hz > look.top_hz:
            continue
        at = x + hz / look.top_hz * width
        row = row + 1 if at - last < look.names_apart_px else 0
        last = at
        start = y + look.inset_px + look.step_px * row
        ops.append(
            Stroke(Shape.line([(at, start + 32), (at, y + height)]), "rule", style.line("rule"), dash=(5.0, 5.0))
        )
        casing = ("panel", 3.0)
        place = min(max(at, x + look.inset_px), x + width - look.inset_px)
        size = small * 0.9
        ops += [
            Text(f"F{i}", place, start - 10, size, "ink", "bold", anchor="middle", baseline="middle", casing=casing),
            Text(
                f"{hz:.0f}", place, start + 14, size, "ink2", family="figures", anchor="middle", baseline="middle",
                casing=casing,
            ),
        ]  # fmt: skip
    return ops
