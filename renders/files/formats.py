"""The formats that results are written in, by the ending of a file, and what each film format can hold.

Imports nothing that takes time.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import PurePath
from types import MappingProxyType

from articulators.errors import BadInput, nearest

SIZE_RANGE_PX = (64, 3840)
FPS_RANGE = (5, 60)
USUAL_FPS, GIF_FPS = 30, 25
USUAL_FILM_PX = (1280, 720)


@dataclass(frozen=True)
class Format:
    """One format.

    ending       of the file's name       what   in words
    transparent  whether it can be see-through
    fps          the only frame rates it can hold exactly, or () for any in range
    sound        the video library's name of the encoder of its sound, "" where it holds none
    """

    ending: str
    what: str
    transparent: bool
    fps: tuple[float, ...] = ()
    sound: str = ""


FORMATS: Mapping[str, Format] = MappingProxyType(
    {
        f.ending: f
        for f in (
            Format(".mp4", "MP4 (H.264)", False, sound="aac"),
            # its unit is the centisecond, and what is whole in it has few decimals; browsers slow 1 cs to 10
            Format(".gif", "GIF", False, fps=(5, 6.25, 10, 12.5, 20, 25, 50)),
            Format(".webm", "WebM (VP9)", True, sound="libopus"),
            Format(".mov", "MOV (ProRes 4444)", True, sound="pcm_s16le"),
            Format(".webp", "animated WebP", True),
            Format(".png", "folder of PNG frames", True),
        )
    }
)
FILM_ENDINGS = tuple(FORMATS)
PICTURE_ENDINGS = (".png", ".svg", ".pdf")
PAGE_ENDINGS = (".html", ".htm")
SOUND_ENDINGS = (".wav", ".flac", ".mp3")
TABLE_ENDINGS = (".txt", ".csv", ".json")


@dataclass(frozen=True)
class Encoding:
    """What a film file holds: `size` in px (width, height), frames a second, and whether opacity is kept."""

    kind: Format
    size: tuple[int, int]
    fps: Fraction
    transparent: bool = False


def encoding(name: str, size: tuple[int, int], fps: float | None = None, transparent: bool = False) -> Encoding:
    """What a film file of that name is to hold; `fps` None takes what suits the format.

    BadInput for another ending, and for a size, a rate or transparency that the format cannot hold.
    """
    kind = format_of(name)
    rate = check_fps(usual_fps(kind) if fps is None else fps, kind)
    if transparent:
        check_transparent(kind)
    return Encoding(kind, check_size(*size), rate, transparent)


def format_of(name: str) -> Format:
    """The film format by the ending of a file's name, without case; BadInput for another ending."""
    return FORMATS[check_ending(name, FILM_ENDINGS)]


def check_ending(name: str, allowed: Sequence[str]) -> str:
    """The ending of a file's name in lower case, such as ".png"; BadInput where it is not one of those allowed."""
    ending = PurePath(name).suffix
    if ending.lower() not in allowed:
        raise BadInput(
            f"output ending of {name!r} is {ending or 'none'}; allowed: {', '.join(allowed)}{nearest(ending, allowed)}"
        )
    return ending.lower()


def check_size(width: int, height: int) -> tuple[int, int]:
    """The size of a film or a picture: even, 64 to 3840 px each way; BadInput otherwise."""
    low, high = SIZE_RANGE_PX
    for what, value in (("width", width), ("height", height)):
        if not low <= value <= high:
            raise BadInput(f"size {width}x{height}: {what} {value} px is out of range; allowed: {low} to {high}")
        if value % 2:
            raise BadInput(f"size {width}x{height}: {what} {value} px is odd; it must be even (nearest: {value + 1})")
    return width, height


def check_fps(fps: float, kind: Format | None = None) -> Fraction:
    """The frame rate as a fraction; BadInput outside 5 to 60, or where the format cannot hold it exactly."""
    low, high = FPS_RANGE
    if not low <= fps <= high:
        raise BadInput(f"frame rate {fps:g} is out of range; allowed: {low} to {high} frames a second")
    rate = Fraction(fps).limit_denominator(1001)
    if kind is not None and kind.fps and rate not in kind.fps:
        *most, last = map(str, kind.fps)
        raise BadInput(
            f"a {kind.what} film counts in hundredths of a second and cannot keep {fps:g} frames a second; "
            f"allowed: {', '.join(most)} or {last}"
        )
    return rate


def usual_fps(kind: Format) -> int:
    """The frame rate where none is asked for."""
    return GIF_FPS if kind.fps else USUAL_FPS


def check_transparent(kind: Format) -> None:
    """BadInput where the format cannot be see-through."""
    if not kind.transparent:
        able = ", ".join(f.ending for f in FORMATS.values() if f.transparent)
        raise BadInput(f"a {kind.what} film cannot be transparent; allowed: {able}")


def check_sound(kind: Format) -> None:
    """BadInput where the format holds no sound."""
    if not kind.sound:
        able = ", ".join(f.ending for f in FORMATS.values() if f.sound)
        raise BadInput(f"a {kind.what} film holds no sound; allowed: {able}, or no sound")
