"""What the moment is called that two timelines share."""

from __future__ import annotations

from renders.wording.statement import texts


def event_title(name: str) -> str:
    """An alignment's name in full."""
    return str(texts()["tracks"][name])


def event_label(name: str) -> str:
    """An alignment's name in short, as it stands at 0."""
    return str(texts()["tracks"][f"zero_{name}"])
