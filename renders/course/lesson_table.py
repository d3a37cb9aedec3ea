"""What a lesson goes by: the numbers and lists of data/lesson.toml."""

from __future__ import annotations

from articulators.records import Record, Row, table


class Usual(Row, frozen=True, kw_only=True):
    """What is taught: places in teaching order, forms of a sound that are the usual ones where they stand.

    before, after  rules on a neighbour that the taught sound is the reason for
    """

    places: tuple[str, ...]
    targets: tuple[str, ...]
    before: tuple[str, ...]
    after: tuple[str, ...]


class Captions(Row, frozen=True, kw_only=True):
    """How long a caption stands at least, in seconds of film; a shorter one joins the next."""

    least_s: float


class Films(Row, frozen=True, kw_only=True):
    """Rates at which a film may be played on the page, and how often its states are looked through for pictograms."""

    rates: tuple[float, ...]
    state_step_s: float


class Narrow(Row, frozen=True, kw_only=True):
    """What a telephone shows: up to which width of the screen, and cards one below the other.

    screen   a media query, as in page.css     card_px  width and height of a card of a strip
    """

    screen: str
    edge_px: float
    apart_px: float
    cards_a_row: int
    card_px: tuple[float, float]
    most_moments: int


class LessonTable(Record, frozen=True):
    """The file.

    pictograms  those that the key explains, and marks: those of the side view, in the order they are shown
    """

    order: Usual
    captions: Captions
    films: Films
    narrow: Narrow
    pictograms: tuple[str, ...]
    marks: tuple[str, ...]


def lesson_table() -> LessonTable:
    """What a lesson goes by: data/lesson.toml, read once."""
    return table("renders.course", "lesson.toml", LessonTable)
