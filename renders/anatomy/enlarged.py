"""Whoever speaks, a picture shows a mouth as large as the adult man's: views, marks and lines are the same for all."""

from __future__ import annotations

from articulators.head import Head
from articulators.scaled import scaled_head, scaled_section
from articulators.section import Section


def drawn_head(head: Head) -> Head:
    """A head in the size in which it is drawn."""
    return head if head.size == 1 else scaled_head(head, 1 / head.size)


def drawn_section(section: Section) -> Section:
    """A section, or a batch of them, in the size in which it is drawn, with its posture."""
    return section if section.head.size == 1 else scaled_section(section, 1 / section.head.size)
