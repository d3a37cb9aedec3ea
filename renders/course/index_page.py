"""The page of a lesson: everything in the folder in teaching order, on one HTML page that needs no network."""

from __future__ import annotations

import base64
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from importlib import resources
from string import Template

from renders.course.captions import Cue
from renders.course.key_marks import pictogram
from renders.course.plan import LessonPlan, LessonSound, LessonWord, lesson_table
from renders.films.shot import Shot
from renders.paper.style import load
from renders.wording.languages import Language
from renders.wording.names import sound_name

_ON_SCREEN = ("light", "dark")
RATES = (1.0, 0.5, 0.25)  # of the film, to choose from
NARROW = "(max-width: 40rem)"  # as in page.css
COLOUR_ROLES = ("paper", "panel", "ink", "ink2", "rule", "air", "voice", "contact", "contact_edge", "focus", "on_focus")


@dataclass(frozen=True, slots=True)
class Drawn:
    """A picture in the folder: its paths ("svg" and "png"), what it shows in words, its size in px.

    `tall`: path of the PNG that is shown on a telephone in its place, None where the picture fits any screen.
    """

    files: Mapping[str, str]
    told: str
    size: tuple[int, int]
    tall: str | None = None


@dataclass(frozen=True, slots=True)
class Made:
    """What was made for one sound or word; None: not made. Paths are inside the folder.

    still      side view                    strip       key moments
    film, poster, captions   the film, its first picture on the page, its WebVTT file
    vtt        the text of that file        cues        the film in words
    practice   the learner page that is shown in place of the film
    pictograms  kinds of small drawings in it
    """

    still: Drawn | None = None
    strip: Drawn | None = None
    film: str | None = None
    poster: str | None = None
    captions: str | None = None
    vtt: str = ""
    cues: tuple[Cue, ...] = ()
    pictograms: frozenset[str] = frozenset()
    practice: str | None = None


def page(
    plan: LessonPlan, made: Mapping[str, Made], pair: Drawn | None, shot: Shot, practice: str | None = None
) -> str:
    """The whole page. `made` by slug of the plan; `pair` the comparison, None where not made.

    practice   file of the learner page of both sounds, "" where it could not be made, None where none is wanted
    """
    language = shot.wording
    a, b = (s.entry.symbol for s in plan.sounds)
    speed = speed_words(shot.speed, language)

    def words(key: str, **blanks: str) -> str:
        return language.text(f"lesson.{key}", **blanks)

    cards = "\n".join(_word(w, made[w.slug], shot) for w in plan.words)
    html = [
        _section("look", words("look"), words("look_note"), _stills(plan, made, language)),
        _section("compare", words("compare"), "", _pair(pair, language) + _of_both(practice, f"{a} {b}", language)),
        _section("alone", words("alone"), "", "\n".join(_sound(s, made[s.slug], shot) for s in plan.sounds)),
        _section("words", words("words", a=a, b=b), words("words_note"), cards),
        _section("key", words("key"), words("key_note"), _key(made.values(), language)),
    ]
    # the symbols are marked up, which no text that is escaped may hold
    heading = escape(words("title", a="\0", b="\1")).replace("\0", _tag(a)).replace("\1", _tag(b))
    return Template(_data("page.html")).substitute(
        language=language.tag,
        title=escape(f"{words('title', a=a, b=b)} · {words('kind')}"),
        colours=_colours(shot.style),
        styles=_data("page.css"),
        script=_data("page.js"),
        skip=escape(words("skip")),
        kind=escape(words("kind")),
        heading=heading,
        lead=escape(words("lead")),
        how_title=escape(words("how_title")),
        how="\n".join(f"<li>{escape(words(step, speed=speed))}</li>" for step in ("how_1", "how_2", "how_3")),
        contents_title=escape(words("contents")),
        contents=_contents(plan, language),
        main="\n".join(html),
        footer=_footer(language),
    )


def speed_words(speed: float, language: Language) -> str:
    """A speed in words, e.g. "half speed"."""
    if f"{speed:g}" in language.rows("speed"):
        return language.text(f"speed.{speed:g}")
    return language.text("speed.other_words", speed=f"{speed:g}")


def _data(name: str) -> str:
    return resources.files("renders.course").joinpath("data", *name.split("/")).read_text(encoding="utf-8").rstrip()


def _ipa(symbol: str, classes: str = "ipa") -> str:
    return f'<span class="{classes}" lang="en-fonipa">{escape(symbol)}</span>'


def _tag(symbol: str) -> str:
    return _ipa(symbol, "tag")


def _colours(picture_style: str) -> str:
    def rules(style: str, indent: str) -> str:
        colours = load(style).colours
        lines = [f"{indent}--{role}: {colours[role]};" for role in COLOUR_ROLES]
        return "\n".join([*lines, f"{indent}--link: {colours['air']};"])

    light, dark = (rules(name, indent) for name, indent in zip(_ON_SCREEN, ("  ", "    "), strict=True))
    on_paper = rules("print", "    ")
    return (
        f":root {{\n  color-scheme: light dark;\n  --picture: {load(picture_style).colours['paper']};\n{light}\n}}\n"
        f"@media screen and (prefers-color-scheme: dark) {{\n  :root {{\n{dark}\n  }}\n}}\n"
        f"@media print {{\n  :root {{\n{on_paper}\n  }}\n}}"
    )


def _section(name: str, title: str, note: str, inside: str) -> str:
    noted = f'\n<p class="note">{escape(note)}</p>' if note else ""
    headed = f'<section id="{name}" aria-labelledby="{name}-title">\n<h2 id="{name}-title">{escape(title)}</h2>'
    return f"{headed}{noted}\n{inside}\n</section>"


def _contents(plan: LessonPlan, language: Language) -> str:
    links = [(name, language.text(f"lesson.{name}")) for name in ("look", "compare", "alone")]
    links += [(f"card-{word.slug}", word.text) for word in plan.words]
    links += [("key", language.text("lesson.key"))]
    return "\n".join(f'<li><a href="#{name}">{escape(text)}</a></li>' for name, text in links)


def _missing(what: str, language: Language) -> str:
    return f'<p class="missing">{escape(language.text("lesson_film.missing", what=what))}</p>'


def _picture(drawn: Drawn, kind: str, language: Language) -> str:
    """A picture in its frame, on a narrow screen the one that is laid out for it: nothing scrolls sideways.

    The PNG is shown, for the SVG of eight side views takes long to draw on a telephone; all can be kept.
    """
    (width, height), files = drawn.size, drawn.files
    image = f'<img src="{files["png"]}" alt="{escape(drawn.told, quote=True)}" width="{width}" height="{height}">'
    taken = [(files[ending], language.text(f"lesson_film.{kind}_{ending}")) for ending in ("svg", "png")]
    if drawn.tall:
        image = f'<picture><source media="{NARROW}" srcset="{drawn.tall}">{image}</picture>'
        taken.append((drawn.tall, language.text("lesson_film.picture_tall")))
    return f'<figure>\n<div class="framed">{image}</div>\n<p class="take">{_take(taken, language)}</p>\n</figure>'


def _take(files: Sequence[tuple[str, str]], language: Language) -> str:
    label = escape(language.text("lesson_field.take"))
    return f"{label}: " + " · ".join(f'<a href="{path}">{escape(text)}</a>' for path, text in files)


def _stills(plan: LessonPlan, made: Mapping[str, Made], language: Language) -> str:
    parts = []
    for shown in plan.sounds:
        drawn = made[shown.slug].still
        name = f"{language.text('lesson_film.picture_svg')}: {shown.entry.symbol}"
        parts.append(_picture(drawn, "picture", language) if drawn else _missing(name, language))
    return f'<div class="pictures">\n{chr(10).join(parts)}\n</div>'


def _pair(pair: Drawn | None, language: Language) -> str:
    if pair is None:
        return _missing(language.text("lesson_film.pair_svg"), language)
    return f'<div class="compare">\n{_picture(pair, "pair", language)}\n</div>'


def _english(text: str, language: Language) -> str:
    """English words, marked as such in a page of another language."""
    return escape(text) if language.tag.startswith("en") else f'<span lang="en">{escape(text)}</span>'


def _sound(shown: LessonSound, made: Made, shot: Shot) -> str:
    entry, language = shown.entry, shot.wording
    name, example = (language.text(f"lesson_field.{key}") for key in ("name", "example"))
    fields = [(name, escape(language.say(sound_name(entry.name)))), (example, _english(entry.keyword, language))]
    return _card(shown.slug, _ipa(entry.symbol, "sound"), f"[{entry.symbol}]", fields, made, shot)


def _word(word: LessonWord, made: Made, shot: Shot) -> str:
    language = shot.wording
    said = f'<span class="said">{_ipa(word.utterance.transcription, "ipa breaks")}</span>'
    places = [(_ipa(s.key, "sound"), language.text(f"lesson_place.{s.place}")) for s in word.shown]
    where = "<br>".join(f"{symbol} {escape(place)}" for symbol, place in places)
    reasons = dict.fromkeys(language.say(reason) for shown in word.shown for reason in shown.why)
    why = "".join(f"<li>{escape(reason)}</li>" for reason in reasons)
    values = {"said": said, "where": where, "why": f'<ul class="why">{why}</ul>'}
    if word.partner:
        values["pair"] = _english(f"{word.text} / {word.partner}", language)
    fields = [(language.text(f"lesson_field.{key}"), value) for key, value in values.items()]
    return _card(word.slug, _english(word.text, language), word.text, fields, made, shot)


def _card(
    slug: str, heading: str, what: str, fields: Sequence[tuple[str, str]], made: Made, shot: Shot
) -> str:
    rows = "\n".join(f"<div><dt>{escape(name)}</dt><dd>{value}</dd></div>" for name, value in fields)
    return "\n".join(
        [
            f'<article class="card" id="card-{slug}" aria-labelledby="card-{slug}-title">',
            f'<div class="words">\n<h3 id="card-{slug}-title">{heading}</h3>',
            f'<dl class="fields">\n{rows}\n</dl>\n</div>',
            f'<div class="film">\n{_film(what, made, shot)}\n</div>',
            f'<div class="strip">\n{_strip(what, made, shot.wording)}\n</div>',
            "</article>",
        ]
    )


def _practice(file: str, what: str, language: Language) -> str:
    """The learner page in a frame; it is fetched when it comes into sight, and opens by itself too."""
    title = escape(language.text("lesson_film.practice_label", what=what), quote=True)
    frame = f'<iframe class="practice" src="{file}#embed=1" title="{title}" loading="lazy"></iframe>'
    return f'{frame}\n<p class="take"><a href="{file}">{escape(language.text("lesson_film.practice_open"))}</a></p>'


def _of_both(file: str | None, what: str, language: Language) -> str:
    """The learner page of both sounds."""
    if file is None:
        return ""
    if not file:
        return "\n" + _missing(f"{language.text('lesson_film.practice')}: {what}", language)
    return f'\n<div class="both">\n{_practice(file, what, language)}\n</div>'


def _film(what: str, made: Made, shot: Shot) -> str:
    """What moves: the learner page with the film to keep, or the film where there is no page."""
    language = shot.wording
    if made.practice is None:
        return _video(what, made, shot)
    parts = [_practice(made.practice, what, language)]
    if made.film is None:
        return "\n".join([*parts, _missing(f"{language.text('lesson_film.film')}: {what}", language)])
    poster = (made.poster, language.text("lesson_film.poster"))
    return "\n".join([*parts, _steps(made, language), _film_files(made, language, [poster])])


def _video(what: str, made: Made, shot: Shot) -> str:
    language = shot.wording

    def words(key: str, **blanks: str) -> str:
        return language.text(f"lesson_film.{key}", **blanks)

    if made.film is None:
        return _missing(f"{words('film')}: {what}", language)
    label = words("label", what=what, speed=speed_words(shot.speed, language))
    # a page opened from a disk may not load a captions file, so the track carries its text itself
    track = base64.b64encode(made.vtt.encode()).decode("ascii")
    tools = json.dumps(
        {
            "title": words("rates_title"),
            "rates": [[words(f"rate_{rate:g}"), rate] for rate in RATES],
            "back": words("back"),
            "on": words("on"),
            "frame_s": 1 / shot.rate,
        },
        ensure_ascii=False,
    )
    poster = f' poster="{made.poster}"' if made.poster else ""
    return "\n".join(
        [
            f'<video controls preload="none" playsinline muted style="--wide: {shot.size[0]}; --high: {shot.size[1]}"'
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


def _steps(made: Made, language: Language) -> str:
    """The film in words."""
    steps = "\n".join(
        f'<li><span class="ms">{_minus(cue.speech_ms)} ms</span>{_ipa(cue.symbol, "sound")}'
        f"<span>{escape(cue.text)}</span></li>"
        for cue in made.cues
    )
    title = escape(language.text("lesson_film.steps"))
    return f'<details>\n<summary>{title}</summary>\n<ol class="steps">\n{steps}\n</ol>\n</details>'


def _film_files(made: Made, language: Language, more: Sequence[tuple[str | None, str]] = ()) -> str:
    named = [(made.film, "film"), (made.captions, "captions")]
    files = [*((file, language.text(f"lesson_film.{name}")) for file, name in named), *more]
    return f'<p class="take">{_take([(file, text) for file, text in files if file], language)}</p>'


def _minus(ms: int) -> str:
    return str(ms).replace("-", "\u2212")


def _strip(what: str, made: Made, language: Language) -> str:
    if made.strip is None:
        return _missing(f"{language.text('lesson_film.strip_svg')}: {what}", language)
    return _picture(made.strip, "strip", language)


def _key(made: Iterable[Made], language: Language) -> str:
    shown = {kind for part in made for kind in part.pictograms}
    kinds = [kind for kind in lesson_table().pictograms if kind in shown]
    small = [(pictogram(kind), language.text(f"lesson_pictogram.{kind}"), "") for kind in kinds]
    marks = []
    for mark in lesson_table().marks:
        name, means = (language.text(f"lesson_mark.{key}") for key in (mark, f"{mark}_means"))
        marks.append((_data(f"marks/{mark}.svg"), name, means))
    return "\n".join(
        f'<h3>{escape(language.text(f"lesson.{title}"))}</h3>\n<ul class="marks">\n{_marks(rows)}\n</ul>'
        for title, rows in (("key_marks", marks), ("key_pictograms", small))
        if rows
    )


def _marks(rows: Sequence[tuple[str, str, str]]) -> str:
    def named(name: str, means: str) -> str:
        return f"<strong>{escape(name)}</strong><br>{escape(means)}" if means else escape(name)

    return "\n".join(f"<li>{drawing}<p>{named(name, means)}</p></li>" for drawing, name, means in rows)


def _footer(language: Language) -> str:
    def words(key: str) -> str:
        return escape(language.text(f"lesson.{key}"))

    caution = "\n".join(f"<p>{words(key)}</p>" for key in ("caution_1", "caution_2"))
    return "\n".join(
        [
            f"<section>\n<h2>{words('caution_title')}</h2>\n{caution}\n</section>",
            f"<section>\n<h2>{words('licences_title')}</h2>",
            f"<p>{words('made_by')}</p>",
            f"<p>{words('dictionary')}</p>",
            f'<p>{words("typeface")} <a href="fonts/OFL.txt">{words("typeface_link")}</a>.</p>',
            "</section>",
        ]
    )
