"""The card of one sound or word: how it is said, what moves, its key moments, and files to keep."""

from __future__ import annotations

import base64
import json
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from renders.course.lesson_files import PartFiles
from renders.course.lesson_table import lesson_table
from renders.course.markup import english, ipa, minus, missing_note, picture, take
from renders.course.plan import LessonSound, LessonWord
from renders.films.shot import Shot
from renders.wording.languages import Language
from renders.wording.names import sound_name


@dataclass(frozen=True, slots=True)
class Card:
    """The words of a card: its slug, its heading as HTML and as plain text, names and values (HTML) of its fields."""

    slug: str
    heading: str
    what: str
    fields: Sequence[tuple[str, str]]


def speed_words(speed: float, language: Language) -> str:
    """A speed in words, e.g. "half speed"."""
    if f"{speed:g}" in language.rows("speed"):
        return language.text(f"speed.{speed:g}")
    return language.text("speed.other_words", speed=f"{speed:g}")


def sound_card(shown: LessonSound, made: PartFiles, shot: Shot) -> str:
    """The card of a sound by itself."""
    entry, language = shown.entry, shot.wording
    name, example = (language.text(f"lesson_field.{key}") for key in ("name", "example"))
    fields = [(name, escape(language.say(sound_name(entry.name)))), (example, english(entry.keyword, language))]
    return _card(Card(shown.slug, ipa(entry.symbol, "sound"), f"[{entry.symbol}]", fields), made, shot)


def word_card(word: LessonWord, made: PartFiles, shot: Shot) -> str:
    """The card of a word or phrase."""
    language = shot.wording
    said = f'<span class="said">{ipa(word.utterance.transcription, "ipa breaks")}</span>'
    places = [(ipa(s.key, "sound"), language.text(f"lesson_place.{s.place}")) for s in word.shown]
    where = "<br>".join(f"{symbol} {escape(place)}" for symbol, place in places)
    reasons = dict.fromkeys(language.say(reason) for shown in word.shown for reason in shown.why)
    why = "".join(f"<li>{escape(reason)}</li>" for reason in reasons)
    values = {"said": said, "where": where, "why": f'<ul class="why">{why}</ul>'}
    if word.partner:
        values["pair"] = english(f"{word.text} / {word.partner}", language)
    fields = [(language.text(f"lesson_field.{key}"), value) for key, value in values.items()]
    return _card(Card(word.slug, english(word.text, language), word.text, fields), made, shot)


def _card(card: Card, made: PartFiles, shot: Shot) -> str:
    slug, what = card.slug, card.what
    fields = [*card.fields, *_sound(what, made, shot.wording)]
    rows = "\n".join(f"<div><dt>{escape(name)}</dt><dd>{value}</dd></div>" for name, value in fields)
    return "\n".join(
        [
            f'<article class="card" id="card-{slug}" aria-labelledby="card-{slug}-title">',
            f'<div class="words">\n<h3 id="card-{slug}-title">{card.heading}</h3>',
            f'<dl class="fields">\n{rows}\n</dl>\n</div>',
            f'<div class="film">\n{_film(what, made, shot)}\n</div>',
            f'<div class="strip">\n{_strip(what, made, shot.wording)}\n</div>',
            "</article>",
        ]
    )


def _sound(what: str, made: PartFiles, language: Language) -> list[tuple[str, str]]:
    """A player of the natural sound, as a field of a card; none where there is no sound."""
    if made.sound is None:
        return []
    label = escape(language.text("lesson_film.sound_label", what=what), quote=True)
    player = f'<audio controls preload="none" src="{made.sound}" aria-label="{label}"></audio>'
    note = escape(language.text("film.voice"))
    return [(language.text("lesson_field.sound"), f"{player}<br><small>{note}</small>")]


def practice(file: str, what: str, language: Language) -> str:
    """The learner page in a frame; it is fetched when it comes into sight, and opens by itself too."""
    title = escape(language.text("lesson_film.practice_label", what=what), quote=True)
    frame = f'<iframe class="practice" src="{file}#embed=1" title="{title}" loading="lazy" allow="microphone"></iframe>'
    return f'{frame}\n<p class="take"><a href="{file}">{escape(language.text("lesson_film.practice_open"))}</a></p>'


def _film(what: str, made: PartFiles, shot: Shot) -> str:
    """What moves: the learner page with the film to keep, or the film where there is no page."""
    language = shot.wording
    if made.practice is None:
        return _video(what, made, shot)
    parts = [practice(made.practice, what, language)]
    if made.film is None:
        return "\n".join([*parts, missing_note(f"{language.text('lesson_film.film')}: {what}", language)])
    poster = (made.poster, language.text("lesson_film.poster"))
    return "\n".join([*parts, _steps(made, language), _film_files(made, language, [poster])])


def _video(what: str, made: PartFiles, shot: Shot) -> str:
    language = shot.wording

    def words(key: str, **blanks: str) -> str:
        return language.text(f"lesson_film.{key}", **blanks)

    if made.film is None:
        return missing_note(f"{words('film')}: {what}", language)
    label = words("label", what=what, speed=speed_words(shot.speed, language))
    # a page opened from a disk may not load a captions file, so the track carries its text itself
    track = base64.b64encode(made.vtt.encode()).decode("ascii")
    tools = json.dumps(
        {
            "title": words("rates_title"),
            "rates": [[words(f"rate_{rate:g}"), rate] for rate in lesson_table().films.rates],
            "back": words("back"),
            "on": words("on"),
            "frame_s": 1 / shot.rate,
        },
        ensure_ascii=False,
    )
    poster = f' poster="{made.poster}"' if made.poster else ""
    return "\n".join(
        [
            f'<video controls preload="none" playsinline style="--wide: {shot.size[0]}; --high: {shot.size[1]}"'
            f'{poster} aria-label="{escape(label, quote=True)}">',
            f'<source src="{made.film}" type="video/mp4">',
            f'<track kind="captions" srclang="{language.tag}" label="{escape(words("captions_label"), quote=True)}" '
            f'src="data:text/vtt;charset=utf-8;base64,{track}">',
            f'<p>{escape(words("instead"))} <a href="{made.film}">{escape(made.film)}</a>.</p>',
            "</video>",
            f'<div class="tools" role="group" aria-label="{escape(words("rates_title") + ": " + what, quote=True)}" '
            f'data-words="{escape(tools, quote=True)}"></div>',
            _steps(made, language),
            _film_files(made, language),
        ]
    )


def _steps(made: PartFiles, language: Language) -> str:
    """The film in words."""
    steps = "\n".join(
        f'<li><span class="ms">{minus(cue.speech_ms)} ms</span>{ipa(cue.symbol, "sound")}'
        f"<span>{escape(cue.text)}</span></li>"
        for cue in made.cues
    )
    title = escape(language.text("lesson_film.steps"))
    return f'<details>\n<summary>{title}</summary>\n<ol class="steps">\n{steps}\n</ol>\n</details>'


def _film_files(made: PartFiles, language: Language, more: Sequence[tuple[str | None, str]] = ()) -> str:
    named = [(made.film, "film"), (made.captions, "captions"), (made.sound, "sound")]
    files = [*((file, language.text(f"lesson_film.{name}")) for file, name in named), *more]
    return f'<p class="take">{take([(file, text) for file, text in files if file], language)}</p>'


def _strip(what: str, made: PartFiles, language: Language) -> str:
    if made.strip is None:
        return missing_note(f"{language.text('lesson_film.strip_svg')}: {what}", language)
    return picture(made.strip, "strip", language)
