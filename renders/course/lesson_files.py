"""What a lesson folder holds of each part: paths inside the folder, and what its page must know of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from renders.course.captions import Cue


@dataclass(frozen=True, slots=True)
class PictureFiles:
    """A picture in the folder: its paths ("svg" and "png"), what it shows in words, its size in px.

    `tall`: path of the PNG that is shown on a telephone in its place, None where the picture fits any screen.
    """

    files: Mapping[str, str]
    alt: str
    size: tuple[int, int]
    tall: str | None = None


@dataclass(frozen=True, slots=True)
class PartFiles:
    """What was made for one sound or word; None: not made. Paths are inside the folder.

    still      side view                    strip       key moments
    film, poster, captions   the film, its first picture on the page, its WebVTT file
    vtt        the text of that file        cues        the film in words
    practice   the learner page that is shown in place of the film
    sound      how it is heard, at natural speed
    pictograms  kinds of small drawings in it
    """

    still: PictureFiles | None = None
    strip: PictureFiles | None = None
    film: str | None = None
    poster: str | None = None
    captions: str | None = None
    vtt: str = ""
    cues: tuple[Cue, ...] = ()
    pictograms: frozenset[str] = frozenset()
    practice: str | None = None
    sound: str | None = None
