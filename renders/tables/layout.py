"""Where things lie on the figure of a measurement: the numbers of data/layout.toml."""

from __future__ import annotations

from articulators.records import Record, Row, table
from renders.paper.picture import Box
from renders.paper.view import View


class Figure(Row, frozen=True):
    """The whole figure and its side view."""

    width_px: int
    height_px: int
    title_px: tuple[float, float]
    card_px: Box
    scale_px_per_mm: float
    middle_mm: tuple[float, float]
    dot_px: float
    dot_rim_px: float

    @property
    def view(self) -> View:
        """How the head lies in the card."""
        return View(self.card_px, self.scale_px_per_mm, self.middle_mm)


class AreaAxes(Row, frozen=True):
    """Areas from the glottis to the lips."""

    box_px: Box
    tops_cm2: tuple[float, ...]
    room: float
    lines: int
    every_cm: int


class ResponseAxes(Row, frozen=True):
    """Level over frequency."""

    box_px: Box
    top_hz: float
    span_db: float
    every_db: int
    above_db: float
    names_apart_px: float
    step_px: float
    inset_px: float


class MeasurementLayout(Record, frozen=True):
    """The whole file."""

    figure: Figure
    areas: AreaAxes
    response: ResponseAxes


def measurement_layout() -> MeasurementLayout:
    """The numbers; BadInput where the data file does not fit."""
    return table("renders.tables", "layout.toml", MeasurementLayout)
