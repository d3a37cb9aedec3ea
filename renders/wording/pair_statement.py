"""What is said about two texts: the sentences on their sounds, and what only their place in the texts brings."""

from __future__ import annotations

from dataclasses import replace

from renders.wording.line import Blank, Line, Lines, Series, line
from renders.wording.names import sound_name
from renders.wording.statement import Statement, clause, statement
from renders.wording.thresholds import thresholds
from vocaltract.pairs.difference import Difference
from vocaltract.pairs.occurrences import Comparison, Occurrence
from vocaltract.words.utterance import Sound


def statement_of(two: Comparison, d: Difference) -> Statement:
    """What is said of a comparison; of texts, titled by them and with where else they differ."""
    a, b = two.first.entry, two.second.entry
    lengths = [s.span.end_s - s.span.start_s for s in (two.first, two.second)]
    found = statement(d, a, b, two.position, (lengths[0], lengths[1]))
    if two.extra is not None:
        found = _extra(two, d, found)
    elif a.symbol == b.symbol:
        found = _same_sound(two, found)
    before = _before(two, d)
    if before and found.kind == "none":
        found = _headed(found, line("pair_headline.length", symbol=_shorter(d, two).span.sound.symbol))
    if two.texts:
        a_said, b_said = (quoted(text) for text in two.texts)
        found = replace(found, title=line("pair_texts.title", a=a_said, b=b_said, headline=found.headline))
    plain = (*found.plain, *before[:1], *_release(two), *_others(two))
    return replace(found, plain=plain, technical=(*found.technical, *before[1:]))


def quoted(text: str) -> Line:
    """A text of the user between quotes."""
    return line("pair_texts.quoted", text=text)


def _headed(found: Statement, headline: Line) -> Statement:
    """The same statement under another headline."""
    blanks: dict[str, Blank] = {**dict(found.title.blanks), "headline": headline}
    return replace(found, title=line(found.title.key, **blanks), headline=headline)


def _said(two: Comparison) -> tuple[Sound, Sound]:
    return two.first.span.sound, two.second.span.sound


def _same_sound(two: Comparison, found: Statement) -> Statement:
    """One sound of the inventory on both sides: what is printed differs, or only what it stands for."""
    one, other = _said(two)
    if two.first.entry.manner == "tap":
        first, headline = line("pair_texts.same_flap"), line("pair_headline.flap")
    else:
        first = line("pair_texts.same_form", one=one.symbol, other=other.symbol)
        headline = line("pair_headline.form")
    title = line("pair_texts.title_same", one=one.symbol, other=other.symbol, headline=headline)
    rest = () if found.kind == "none" else found.plain
    return replace(found, title=title, headline=headline, plain=(first, *rest))


def _extra(two: Comparison, d: Difference, found: Statement) -> Statement:
    """One text has a sound where the other has none: what that sound is, and nothing on what comes beside it."""
    (owner, other), m = ((two.first, two.second), d.first) if two.extra == 0 else ((two.second, two.first), d.second)
    symbol = owner.span.sound.symbol
    headline = line("pair_headline.extra", symbol=symbol)
    plain = (
        line("pair_texts.extra", owner=quoted(owner.word), symbol=symbol, other=quoted(other.word)),
        line("pair_texts.extra_how", symbol=symbol, clause=clause(m, owner.entry)),
    )
    technical = line("pair_technical.name", symbol=symbol, name=sound_name(owner.entry.name))
    title = line("pair_texts.title_one", symbol=symbol, headline=headline)
    return replace(found, title=title, headline=headline, plain=plain, technical=(technical,), unseen=())


def _before(two: Comparison, d: Difference) -> Lines:
    """The vowel before the two sounds, where it is one vowel of another length: in plain and in technical words."""
    longer_s = d.vowel_before_s
    if longer_s is None or two.extra is not None:
        return ()
    vowels = [s.timeline.spans[s.index - 1].entry.symbol for s in (two.first, two.second)]
    ms = round(abs(longer_s) * 200) * 5
    if vowels[0] != vowels[1] or ms < thresholds().said.vowel_before_ms:
        return ()
    short = _shorter(d, two)
    lengths = [round(1000 * (m.vowel_before_s or 0.0)) for m in (d.first, d.second)]
    where = quoted(short.word) if two.texts else short.span.sound.symbol
    return (
        line("pair_texts.vowel_before", vowel=vowels[0], ms=ms, short=where),
        line("pair_texts.vowel_before_technical", a=lengths[0], b=lengths[1]),
    )


def _shorter(d: Difference, two: Comparison) -> Occurrence:
    """The one with the shorter vowel before it."""
    return two.first if (d.vowel_before_s or 0.0) < 0 else two.second


def _release(two: Comparison) -> Lines:
    """Whether only one of two stops is let go so that it is heard."""
    said = (two.first, two.second)
    if not all(s.entry.is_stop for s in said):
        return ()
    kept = [s for s in said if s.span.release == "none" or s.span.release_s is None]
    if len(kept) != 1:
        return ()
    return (line("pair_texts.held", one=kept[0].span.sound.symbol, word=quoted(kept[0].word)),)


def _others(two: Comparison) -> Lines:
    """What else differs, a few of it."""
    if not two.others:
        return ()
    if len(two.others) > thresholds().said.others_named:
        return (line("pair_texts.many", count=len(two.others) + 1),)
    nothing = line("pair_texts.nothing")
    named = tuple(line("pair_texts.other", a=x or nothing, b=y or nothing) for x, y in two.others)
    return (line("pair_texts.others", list=Series(named)),)
