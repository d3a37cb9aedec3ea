"""The chain of segments that a rule looks at, and what its change may be."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from vocaltract.words.rules.segments import Segment

Edit = Mapping[int, "Segment | tuple[Segment, ...] | None"]
"""New segments by place; None removes one, several stand in its place."""

STOPS = frozenset("pbtdkɡ")
VOICELESS_STOPS = frozenset("ptk")


@dataclass(frozen=True, slots=True)
class Chain:
    """The segments, with neighbours that end at a thought-group break."""

    segments: list[Segment]

    def at(self, i: int, step: int = 0) -> Segment | None:
        """The segment `step` places on within the same thought group, or None."""
        j = i + step
        if not 0 <= j < len(self.segments) or self.segments[j].group != self.segments[i].group:
            return None
        return self.segments[j]

    def new_word(self, i: int) -> bool:
        """Whether segment i begins a word other than that of the segment before it."""
        before = self.at(i, -1)
        return before is not None and before.word != self.segments[i].word

    def starts_piece(self, i: int) -> bool:
        """Whether segment i begins a word or a part of a compound."""
        before = self.at(i, -1)
        return before is None or before.piece != self.segments[i].piece

    def ends_piece(self, i: int) -> bool:
        """Whether segment i ends a word or a part of a compound."""
        following = self.at(i, 1)
        return following is None or following.piece != self.segments[i].piece

    def stress_of(self, segment: Segment) -> int:
        """Stress of the segment's syllable."""
        return max((s.stress or 0 for s in self.segments if s.syllable == segment.syllable), default=0)


def is_one_of(segment: Segment | None, *targets: str) -> bool:
    """Whether there is a segment and its target is one of these."""
    return segment is not None and segment.target in targets


def is_syllabic(segment: Segment | None) -> bool:
    """Whether there is a segment and it is a consonant that forms a syllable."""
    return segment is not None and "syllabic" in segment.features
