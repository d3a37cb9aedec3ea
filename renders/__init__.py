"""Pictures, films, comparisons and lesson folders of what the mouth does, and the command line that makes them.

    import renders

    renders.still("t", labels="technical")                    # shows itself in a notebook
    film = renders.film("luggage", speed=0.25)
    film.save("luggage.mp4")
    renders.learner_page("vest", "west", language="es").save("vest-west.html")

What is given may be a text, or what `vocaltract` makes of one: the timeline of `vocaltract.say`, the comparison of
`vocaltract.compare`, which say how it is spoken. What is made is a value that shows itself in a notebook and saves
itself: `Diagram`, `Film`, `Page`; a `Lesson` saves a folder. What is not understood raises BadInput, in the words of
the command line. Nothing is loaded before it is asked for. (The room `renders.page` makes the page; to ask for one is
`learner_page`.)
"""

from __future__ import annotations

import importlib
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from articulators.errors import BadInput

if TYPE_CHECKING:
    from renders.course.lesson import Lesson
    from renders.files.footage import read_frames
    from renders.files.recorded import read_recording
    from renders.films.film import Film
    from renders.films.shot import Hold, Shot
    from renders.ink.diagram import Diagram
    from renders.page.build import Page
    from vocaltract.motion.timeline import Timeline
    from vocaltract.pairs.occurrences import Comparison
    from vocaltract.phonetics.speaker import Speaker

__all__ = [
    "Diagram", "Film", "Hold", "Lesson", "Page", "Shot", "film", "learner_page", "lesson", "pair", "read_frames",
    "read_recording", "still", "strip",
]  # fmt: skip
_HOMES = {
    "Diagram": "renders.ink.diagram",
    "Film": "renders.films.film",
    "Hold": "renders.films.shot",
    "Lesson": "renders.course.lesson",
    "Page": "renders.page.build",
    "Shot": "renders.films.shot",
    "read_frames": "renders.files.footage",
    "read_recording": "renders.files.recorded",
}


def still(
    sound: str,
    *,
    labels: str = "plain",
    style: str = "light",
    size: tuple[int, int] | None = None,
    show: str | Iterable[str] | None = None,
    hide: str | Iterable[str] = (),
    mirrored: bool = False,
    transparent: bool = False,
    language: str = "en",
    speaker: Speaker | str | None = None,
) -> Diagram:
    """The side view of a sound: a symbol or alias such as "t", "sh", or any IPA symbol in brackets.

    labels       "none", "plain" or "technical"      style  a name, or a style file
    size         width and height in px, even, 64 to 3840; None: 1600 x 1200
    show, hide   parts, such as "tongue"             mirrored  the speaker faces right      transparent  no background
    language     of what is said, such as "es"
    speaker      whose head it is; None: the man's
    BadInput for an unknown sound, labels, style, part, language or speaker, and a size out of range.
    """
    from renders.stills import still as stills

    return stills.still(
        sound, labels=labels, style=style, show=_several(show), hide=_several(hide) or (), mirrored=mirrored,
        transparent=transparent, language=language, speaker=speaker, **_size(size),
    )  # fmt: skip


def strip(
    what: str | Timeline | Comparison, *, event: str = "", style: str = "light", size: tuple[int, int] | None = None,
    language: str = "en", speaker: Speaker | str | None = None,
) -> Diagram:  # fmt: skip
    """Key moments side by side: of a text or timeline, or of a comparison in two rows.

    event  of a comparison: what coincides, "closure", "release" or "vowel"; "" takes what suits
    style  a name, or a style file      size  width and height in px, even, 64 to 3840; None: as the strip is drawn
    language  of what is said, such as "es"      speaker  who says a text; None: the man
    BadInput for what cannot be read, an unknown style, event, size, language or speaker.
    """
    from renders.pairs import pair_strip
    from renders.stills import strip as strips
    from vocaltract.pairs.occurrences import Comparison

    settings = {"style": style, "language": language, **_size(size)}
    if isinstance(what, Comparison):
        _check_unsaid(speaker)
        return pair_strip.pair_strip(what, event=event, **settings)
    return strips.strip(_timeline(what, speaker), **settings)


def film(
    what: str | Timeline | Comparison, *, event: str = "", speaker: Speaker | str | None = None, **shot: Any
) -> Film:
    """A slowed film of a text or timeline, or of a comparison: both in step. Drawn when it is shown, saved or iterated.

    shot   fields of `Shot`: speed, fps, size, style, dwell, captions, transparent, loop, intro_s, holds, language
    event  of a comparison: what coincides, "closure", "release" or "vowel"; "" takes what suits
    speaker  who says a text; None: the man
    ``for frame in film`` gives (height, width, 3) uint8 arrays one at a time; `Film.save` writes a file.
    BadInput for what cannot be read, and for a shot that cannot be.
    """
    from renders.films import film as films
    from renders.films.shot import Shot
    from renders.pairs import pair_film
    from renders.pairs.compared import compared_pair
    from renders.pairs.in_step import in_step
    from vocaltract.pairs.occurrences import Comparison

    made = Shot(**shot)
    if isinstance(what, Comparison):
        _check_unsaid(speaker)
        return pair_film.film_in_step(in_step(compared_pair(what), event), made)
    return films.film(_timeline(what, speaker), made)


def pair(
    a: str | Comparison, b: str = "", *, event: str = "", style: str = "light", size: tuple[int, int] | None = None,
    language: str = "en", speaker: Speaker | str | None = None,
) -> Diagram:  # fmt: skip
    """Two sounds, words or phrases, or a comparison of them, in one picture: what is the same and what differs.

    event  what coincides in time: "closure", "release" or "vowel"; "" takes what suits
    style  a name, or a style file      size  width and height in px, even, 64 to 3840; None: as it is drawn
    language  of what is said, such as "es"      speaker  who says two texts; None: the man
    BadInput for what cannot be read, what is said the same, and an unknown event, style, size, language or speaker.
    """
    import vocaltract
    from renders.pairs.picture import comparison

    if not isinstance(a, str):
        _check_unsaid(speaker)
    two = vocaltract.compare(a, b, **_said_by(speaker)) if isinstance(a, str) else a
    return comparison(two, event=event, style=style, language=language, **_size(size))


def learner_page(
    *what: str | Timeline | Comparison, language: str = "en", speaker: Speaker | str | None = None
) -> Page:
    """A page to play, step through and compare, of one text or two, a timeline, or a comparison.

    speaker  who says the texts; None: the man
    BadInput for what cannot be read or is too long, a speaker who is unknown, and a language that does not ship.
    """
    from renders.page import build
    from renders.page.subject import subject_of, subject_of_timeline, subject_of_two
    from vocaltract.motion.timeline import Timeline
    from vocaltract.pairs.occurrences import Comparison
    from vocaltract.speech import Speech

    first = what[0] if len(what) == 1 else None
    if isinstance(first, Comparison | Timeline):
        _check_unsaid(speaker)
    if isinstance(first, Comparison):
        return build.learner_page(subject_of_two(first), language)
    if isinstance(first, Timeline):
        return build.learner_page(subject_of_timeline(first), language)
    return build.learner_page(subject_of([str(text) for text in what], Speech(**_said_by(speaker))), language)


def lesson(
    a: str, b: str, *, words: Sequence[str] = (), speaker: Speaker | str | None = None, **shot: Any
) -> Lesson:
    """A lesson on two sounds, planned: `save` writes a folder of stills, comparison, strips, films and pages.

    words  words or phrases to show; none: six are chosen      shot  fields of `Shot`, for its films and their style
    speaker  who says it all; None: the man
    BadInput for what is no sound, twice the same, a word that shows neither, an unknown speaker, a shot that cannot be.
    """
    from renders.course import lesson as course
    from renders.films.shot import Shot
    from vocaltract.speech import Speech

    return course.lesson(a, b, words, Shot(**shot), Speech(**_said_by(speaker)))


def _timeline(what: str | Timeline, speaker: Speaker | str | None) -> Timeline:
    from vocaltract.speech import say

    if isinstance(what, str):
        return say(what, **_said_by(speaker))
    _check_unsaid(speaker)
    return what


def _said_by(speaker: Speaker | str | None) -> dict[str, Any]:
    """A field of `Speech`, where a speaker was given."""
    return {} if speaker is None else {"speaker": speaker}


def _check_unsaid(speaker: Speaker | str | None) -> None:
    """BadInput for a speaker of what is said already."""
    if speaker is not None:
        name = speaker if isinstance(speaker, str) else speaker.name
        raise BadInput(f"speaker '{name}' cannot say again what is said; give a text, or the speaker to vocaltract.say")


def _several(given: str | Iterable[str] | None) -> Iterable[str] | None:
    return (given,) if isinstance(given, str) else given


def _size(given: tuple[int, int] | None) -> dict[str, Any]:
    from renders.files.formats import check_size

    return {} if given is None else {"size": check_size(*given)}


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module(_HOMES[name]), name)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
