"""What the moment is called that two timelines share."""

from __future__ import annotations

from renders.wording.line import Line


def event_title(name: str) -> Line:
    """An alignment's name in full."""
    return Line(f"pair_event.{name}")


def event_label(name: str) -> Line:
    """An alignment's name in short, as it stands at 0."""
    return Line(f"pair_event.zero_{name}")
