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
from renders.course.plan import LessonPlan, LessonSound, LessonWord, wording
from renders.films.shot import Shot
from renders.paper.style import load

_ON_SCREEN = ("light", "dark")
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
    words = wording()["page"]
    a, b = (s.entry.symbol for s in plan.sounds)
    speed = speed_words(shot.speed)
    html = [
        _section("look", words["look"], words["look_note"], _stills(plan, made)),
        _section("compare", words["compare"], "", _pair(pair) + _practice_of_both(practice, f"{a} {b}")),
        _section("alone", words["alone"], "", "\n".join(_sound(s, made[s.slug], shot) for s in plan.sounds)),
        _section(
            "words",
            _filled(words["words"], a=a, b=b),
            words["words_note"],
            "\n".join(_word(w, made[w.slug], shot) for w in plan.words),
        ),
        _section("key", words["key"], words["key_note"], _key(made.values())),
    ]
    heading = _filled(escape(words["title"]), a=_tag(a), b=_tag(b))
    return Template(_data("page.html")).substitute(
        title=escape(f"{_filled(words['title'], a=a, b=b)} · {words['kind']}"),
        colours=_colours(shot.style),
        styles=_data("page.css"),
        script=_data("page.js"),
        skip=escape(words["skip"]),
        kind=escape(words["kind"]),
        heading=heading,
        lead=escape(words["lead"]),
        how_title=escape(words["how_title"]),
        how="\n".join(f"<li>{escape(_filled(line, speed=speed))}</li>" for line in words["how"]),
        contents_title=escape(words["contents"]),
        contents=_contents(plan),
        main="\n".join(html),
        footer=_footer(),
    )


def speed_words(speed: float) -> str:
    """A speed in words, e.g. "half speed"."""
    table = wording()["speeds"]
    return table.get(f"{speed:g}") or _filled(table["other"], speed=f"{speed:g}")


def _data(name: str) -> str:
    return resources.files("renders.course").joinpath("data", *name.split("/")).read_text(encoding="utf-8").rstrip()


def _filled(text: str, **names: str) -> str:
    return Template(text).substitute(names)


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


def _contents(plan: LessonPlan) -> str:
    words = wording()["page"]
    links = [(name, words[name]) for name in ("look", "compare", "alone")]
    links += [(f"card-{word.slug}", word.text) for word in plan.words]
    links += [("key", words["key"])]
    return "\n".join(f'<li><a href="#{name}">{escape(text)}</a></li>' for name, text in links)


def _missing(what: str) -> str:
    return f'<p class="missing">{escape(_filled(wording()["film"]["missing"], what=what))}</p>'


def _picture(drawn: Drawn, links: Sequence[str]) -> str:
    """A picture in its frame, on a narrow screen the one that is laid out for it: nothing scrolls sideways.

    The PNG is shown, for the SVG of eight side views takes long to draw on a telephone; all can be kept.
    """
    (width, height), files = drawn.size, drawn.files
    image = f'<img src="{files["png"]}" alt="{escape(drawn.told, quote=True)}" width="{width}" height="{height}">'
    taken = [(files["svg"], links[0]), (files["png"], links[1])]
    if drawn.tall:
        image = f'<picture><source media="{NARROW}" srcset="{drawn.tall}">{image}</picture>'
        taken.append((drawn.tall, wording()["film"]["picture_tall"]))
    return f'<figure>\n<div class="framed">{image}</div>\n<p class="take">{_take(taken)}</p>\n</figure>'


def _take(files: Sequence[tuple[str, str]]) -> str:
    label = escape(wording()["field"]["take"])
    return f"{label}: " + " · ".join(f'<a href="{path}">{escape(text)}</a>' for path, text in files)


def _stills(plan: LessonPlan, made: Mapping[str, Made]) -> str:
    words = wording()["film"]
    links = (words["picture_svg"], words["picture_png"])
    parts = []
    for shown in plan.sounds:
        drawn = made[shown.slug].still
        parts.append(_picture(drawn, links) if drawn else _missing(f"{links[0]}: {shown.entry.symbol}"))
    return f'<div class="pictures">\n{chr(10).join(parts)}\n</div>'


def _pair(pair: Drawn | None) -> str:
    words = wording()["film"]
    if pair is None:
        return _missing(words["pair_svg"])
    return f'<div class="compare">\n{_picture(pair, (words["pair_svg"], words["pair_png"]))}\n</div>'


def _sound(shown: LessonSound, made: Made, shot: Shot) -> str:
    entry, names = shown.entry, wording()["field"]
    fields = [(names["name"], escape(entry.name)), (names["example"], escape(entry.keyword))]
    return _card(shown.slug, _ipa(entry.symbol, "sound"), f"[{entry.symbol}]", fields, made, shot)


def _word(word: LessonWord, made: Made, shot: Shot) -> str:
    names, places = wording()["field"], wording()["places"]
    said = f'<span class="said">{_ipa(word.utterance.transcription, "ipa breaks")}</span>'
    fields = [(names["said"], said)]
    where = "<br>".join(f"{_ipa(s.key, 'sound')} {escape(places[s.place])}" for s in word.shown)
    fields.append((names["where"], where))
    lines = list(dict.fromkeys(line for s in word.shown for line in s.why))
    why = "".join(f"<li>{escape(line)}</li>" for line in lines)
    fields.append((names["why"], f'<ul class="why">{why}</ul>'))
    if word.partner:
        fields.append((names["pair"], f"{escape(word.text)} / {escape(word.partner)}"))
    return _card(word.slug, escape(word.text), word.text, fields, made, shot)


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
            f'<div class="strip">\n{_strip(what, made)}\n</div>',
            "</article>",
        ]
    )


def _practice(file: str, what: str) -> str:
    """The learner page in a frame; it is fetched when it comes into sight, and opens by itself too."""
    words = wording()["film"]
    title = escape(_filled(words["practice_label"], what=what), quote=True)
    frame = f'<iframe class="practice" src="{file}#embed=1" title="{title}" loading="lazy"></iframe>'
    return f'{frame}\n<p class="take"><a href="{file}">{escape(words["practice_open"])}</a></p>'


def _practice_of_both(file: str | None, what: str) -> str:
    if file is None:
        return ""
    if not file:
        return "\n" + _missing(f"{wording()['film']['practice']}: {what}")
    return f'\n<div class="both">\n{_practice(file, what)}\n</div>'


def _film(what: str, made: Made, shot: Shot) -> str:
    """What moves: the learner page with the film to keep, or the film where there is no page."""
    words = wording()["film"]
    if made.practice is None:
        return _video(what, made, shot)
    parts = [_practice(made.practice, what)]
    if made.film is None:
        return "\n".join([*parts, _missing(f"{words['film']}: {what}")])
    return "\n".join([*parts, _steps(made), _film_files(made, [(made.poster, words["poster"])])])


def _video(what: str, made: Made, shot: Shot) -> str:
    words = wording()["film"]
    if made.film is None:
        return _missing(f"{words['film']}: {what}")
    label = _filled(words["label"], what=what, speed=speed_words(shot.speed))
    # a page opened from a disk may not load a captions file, so the track carries its text itself
    track = base64.b64encode(made.vtt.encode()).decode("ascii")
    tools = json.dumps(
        {
            "title": words["rates_title"],
            "rates": words["rates"],
            "back": words["back"],
            "on": words["on"],
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
            f'<track kind="captions" srclang="en-US" label="{escape(words["captions_label"], quote=True)}" '
            f'src="data:text/vtt;charset=utf-8;base64,{track}">',
            f'<p>{escape(words["instead"])} <a href="{made.film}">{escape(made.film)}</a>.</p>',
            "</video>",
            f'<div class="tools" role="group" aria-label="{escape(words["rates_title"] + ": " + what, quote=True)}" '
            f'data-words="{escape(tools, quote=True)}"></div>',
            _steps(made),
            _film_files(made),
        ]
    )


def _steps(made: Made) -> str:
    """The film in words."""
    steps = "\n".join(
        f'<li><span class="ms">{_minus(cue.speech_ms)} ms</span>{_ipa(cue.symbol, "sound")}'
        f"<span>{escape(cue.text)}</span></li>"
        for cue in made.cues
    )
    title = escape(wording()["film"]["steps"])
    return f'<details>\n<summary>{title}</summary>\n<ol class="steps">\n{steps}\n</ol>\n</details>'


def _film_files(made: Made, more: Sequence[tuple[str | None, str]] = ()) -> str:
    words = wording()["film"]
    files = [(made.film, words["film"]), (made.captions, words["captions"]), *more]
    return f'<p class="take">{_take([(file, text) for file, text in files if file])}</p>'


def _minus(ms: int) -> str:
    return str(ms).replace("-", "\u2212")


def _strip(what: str, made: Made) -> str:
    words = wording()["film"]
    links = (words["strip_svg"], words["strip_png"])
    return _picture(made.strip, links) if made.strip else _missing(f"{links[0]}: {what}")


def _key(made: Iterable[Made]) -> str:
    words, page_words = wording(), wording()["page"]
    marks = [(_data(f"marks/{row['drawing']}.svg"), row["name"], row["means"]) for row in words["mark"]]
    drawn = {kind for part in made for kind in part.pictograms}
    small = [(pictogram(kind), means, "") for kind, means in words["pictograms"].items() if kind in drawn]
    return "\n".join(
        f'<h3>{escape(title)}</h3>\n<ul class="marks">\n{_marks(rows)}\n</ul>'
        for title, rows in ((page_words["key_marks"], marks), (page_words["key_pictograms"], small))
        if rows
    )


def _marks(rows: Sequence[tuple[str, str, str]]) -> str:
    def told(name: str, means: str) -> str:
        return f"<strong>{escape(name)}</strong><br>{escape(means)}" if means else escape(name)

    return "\n".join(f"<li>{drawing}<p>{told(name, means)}</p></li>" for drawing, name, means in rows)


def _footer() -> str:
    words = wording()["page"]
    caution = "\n".join(f"<p>{escape(line)}</p>" for line in words["caution"])
    return "\n".join(
        [
            f"<section>\n<h2>{escape(words['caution_title'])}</h2>\n{caution}\n</section>",
            f"<section>\n<h2>{escape(words['licences_title'])}</h2>",
            f"<p>{escape(words['made_by'])}</p>",
            f"<p>{escape(words['dictionary'])}</p>",
            f'<p>{escape(words["typeface"])} <a href="fonts/OFL.txt">{escape(words["typeface_link"])}</a>.</p>',
            "</section>",
        ]
    )
