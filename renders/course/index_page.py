"""The page of a lesson: everything in the folder in teaching order, on one HTML page that needs no network."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from string import Template

from renders.course.cards import practice, sound_card, speed_words, word_card
from renders.course.key_marks import pictogram
from renders.course.lesson_files import PartFiles, PictureFiles
from renders.course.lesson_table import lesson_table
from renders.course.markup import asset, ipa, missing_note, page_section, picture
from renders.course.plan import LessonPlan
from renders.films.shot import Shot
from renders.paper.style import load
from renders.wording.languages import Language

_ON_SCREEN = ("light", "dark")
COLOUR_ROLES = ("paper", "panel", "ink", "ink2", "rule", "air", "voice", "contact", "contact_edge", "focus", "on_focus")


def lesson_page(
    plan: LessonPlan, made: Mapping[str, PartFiles], pair: PictureFiles | None, shot: Shot, of_both: str | None = None,
    voice: str = "",
) -> str:
    """The whole page. `made` by slug of the plan; `pair` the comparison, None where not made.

    voice     whose recorded voice is heard, "" where nobody's
    of_both   file of the learner page of both sounds, "" where it could not be made, None where none is wanted
    """
    language = shot.wording
    a, b = (s.entry.symbol for s in plan.sounds)
    speed = speed_words(shot.speed, language)

    def words(key: str, **blanks: str) -> str:
        return language.text(f"lesson.{key}", **blanks)

    cards = "\n".join(word_card(w, made[w.slug], shot) for w in plan.words)
    html = [
        page_section("look", words("look"), words("look_note"), _stills(plan, made, language)),
        page_section("compare", words("compare"), "", _pair(pair, language) + _of_both(of_both, f"{a} {b}", language)),
        page_section("alone", words("alone"), "", "\n".join(sound_card(s, made[s.slug], shot) for s in plan.sounds)),
        *([page_section("words", words("words", a=a, b=b), words("words_note"), cards)] if cards else []),
        page_section("key", words("key"), words("key_note"), key_of_marks(made.values(), language)),
    ]
    # the symbols are marked up, which no text that is escaped may hold
    heading = escape(words("title", a="\0", b="\1")).replace("\0", ipa(a, "tag")).replace("\1", ipa(b, "tag"))
    return Template(asset("page.html")).substitute(
        language=language.tag,
        title=escape(f"{words('title', a=a, b=b)} · {words('kind')}"),
        colours=page_colours(shot.style),
        styles=asset("page.css"),
        script=asset("page.js"),
        skip=escape(words("skip")),
        kind=escape(words("kind")),
        heading=heading,
        lead=escape(words("lead")),
        how_title=escape(words("how_title")),
        how="\n".join(f"<li>{escape(words(step, speed=speed))}</li>" for step in ("how_1", "how_2", "how_3")),
        contents_title=escape(words("contents")),
        contents=_contents(plan, language),
        main="\n".join(html),
        footer=page_footer(language, voice),
    )


def page_colours(picture_style: str) -> str:
    """The colours of a page in CSS: light, dark, on paper, and that of the pictures."""
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


def _contents(plan: LessonPlan, language: Language) -> str:
    links = [(name, language.text(f"lesson.{name}")) for name in ("look", "compare", "alone")]
    links += [(f"card-{word.slug}", word.text) for word in plan.words]
    links += [("key", language.text("lesson.key"))]
    return "\n".join(f'<li><a href="#{name}">{escape(text)}</a></li>' for name, text in links)


def _stills(plan: LessonPlan, made: Mapping[str, PartFiles], language: Language) -> str:
    parts = []
    for shown in plan.sounds:
        still = made[shown.slug].still
        name = f"{language.text('lesson_film.picture_svg')}: {shown.entry.symbol}"
        parts.append(picture(still, "picture", language) if still else missing_note(name, language))
    return f'<div class="pictures">\n{chr(10).join(parts)}\n</div>'


def _pair(pair: PictureFiles | None, language: Language) -> str:
    if pair is None:
        return missing_note(language.text("lesson_film.pair_svg"), language)
    return f'<div class="compare">\n{picture(pair, "pair", language)}\n</div>'


def _of_both(file: str | None, what: str, language: Language) -> str:
    """The learner page of both sounds."""
    if file is None:
        return ""
    if not file:
        return "\n" + missing_note(f"{language.text('lesson_film.practice')}: {what}", language)
    return f'\n<div class="both">\n{practice(file, what, language)}\n</div>'


def key_of_marks(made: Iterable[PartFiles], language: Language) -> str:
    """What marks and pictograms mean."""
    shown = {kind for part in made for kind in part.pictograms}
    kinds = [kind for kind in lesson_table().pictograms if kind in shown]
    small = [(pictogram(kind), language.text(f"lesson_pictogram.{kind}"), "") for kind in kinds]
    marks = []
    for mark in lesson_table().marks:
        name, means = (language.text(f"lesson_mark.{key}") for key in (mark, f"{mark}_means"))
        marks.append((asset(f"marks/{mark}.svg"), name, means))
    return "\n".join(
        f'<h3>{escape(language.text(f"lesson.{title}"))}</h3>\n<ul class="marks">\n{_marks(rows)}\n</ul>'
        for title, rows in (("key_marks", marks), ("key_pictograms", small))
        if rows
    )


def _marks(rows: Sequence[tuple[str, str, str]]) -> str:
    def named(name: str, means: str) -> str:
        return f"<strong>{escape(name)}</strong><br>{escape(means)}" if means else escape(name)

    return "\n".join(f"<li>{drawing}<p>{named(name, means)}</p></li>" for drawing, name, means in rows)


def page_footer(language: Language, voice: str) -> str:
    """The caution and the licences."""
    def words(key: str) -> str:
        return escape(language.text(f"lesson.{key}"))

    caution = "\n".join(f"<p>{words(key)}</p>" for key in ("caution_1", "caution_2"))
    return "\n".join(
        [
            f"<section>\n<h2>{words('caution_title')}</h2>\n{caution}\n</section>",
            f"<section>\n<h2>{words('licences_title')}</h2>",
            f"<p>{words('made_by')}</p>",
            *([f"<p>{escape(language.text('lesson.voice_of', who=voice))}</p>"] if voice else []),
            f"<p>{words('dictionary')}</p>",
            f'<p>{words("typeface")} <a href="fonts/OFL.txt">{words("typeface_link")}</a>.</p>',
            "</section>",
        ]
    )
