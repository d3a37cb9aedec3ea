"""What is said about two texts: the sentences on their sounds, and what only their place in the texts brings."""

from __future__ import annotations

from dataclasses import replace

from renders.wording.statement import Statement, clause, statement, texts
from vocaltract.pairs.chosen import Said, Told
from vocaltract.pairs.difference import Difference
from vocaltract.words.utterance import Sound


def statement_of(two: Told, d: Difference) -> Statement:
    """The texts of a comparison; with texts of their own, titled by them and told where else they differ."""
    a, b = two.first.entry, two.second.entry
    lengths = [s.span.end_s - s.span.start_s for s in (two.first, two.second)]
    told = statement(d, a, b, two.position, (lengths[0], lengths[1]))
    if two.extra is not None:
        told = _extra(two, d, told)
    elif a.symbol == b.symbol:
        told = _alike(two, told)
    before = _before(two, d)
    title = told.title
    if before[0] and told.kind == "none":
        headline = texts()["texts"]["headline_length"].format(symbol=_shorter(d, two).span.sound.symbol)
        title = f"{told.title.partition(': ')[0]}: {headline}"
    if two.texts:
        headline = title.partition(": ")[2]
        title = texts()["texts"]["title"].format(a=_quoted(two.texts[0]), b=_quoted(two.texts[1]), headline=headline)
    plain = _joined([told.plain, before[0], _release(two), _others(two)])
    return replace(told, title=title, plain=plain, technical=_joined([told.technical, before[1]]))


def _joined(sentences: list[str]) -> str:
    return " ".join(s for s in sentences if s)


def _quoted(text: str) -> str:
    return f"\u201c{text}\u201d"


def _said(two: Told) -> tuple[Sound, Sound]:
    return two.first.span.sound, two.second.span.sound


def _alike(two: Told, told: Statement) -> Statement:
    """One sound of the inventory on both sides: what is printed differs, or only what it stands for."""
    one, other = _said(two)
    say = texts()["texts"]
    kind = "flap" if two.first.entry.manner == "tap" else "form"
    names = {"one": one.symbol, "other": other.symbol, "name": two.first.entry.name}
    plain = say[f"alike_{kind}"].format(**names)
    headline = say[f"headline_{kind}"]
    rest = "" if told.kind == "none" else told.plain
    return replace(told, title=f"{one.symbol} {other.symbol}: {headline}", plain=_joined([plain, rest]))


def _extra(two: Told, d: Difference, told: Statement) -> Statement:
    """One text has a sound where the other has none: what that sound is, and nothing on what comes beside it."""
    (owner, other), m = ((two.first, two.second), d.first) if two.extra == 0 else ((two.second, two.first), d.second)
    say, symbol = texts()["texts"], owner.span.sound.symbol
    plain = [
        say["extra"].format(owner=_quoted(owner.word), symbol=symbol, other=_quoted(other.word)),
        say["extra_how"].format(symbol=symbol, clause=clause(m, owner.entry)),
    ]
    headline = say["headline_extra"].format(symbol=symbol)
    technical = texts()["technical"]["name"].format(symbol=symbol, name=owner.entry.name)
    return replace(told, title=f"{symbol}: {headline}", plain=_joined(plain), technical=technical, unseen="")


def _before(two: Told, d: Difference) -> tuple[str, str]:
    """The vowel before the two sounds, where it is one vowel of another length."""
    longer_s = d.vowel_before_s
    if longer_s is None or two.extra is not None:
        return "", ""
    vowels = [s.timeline.spans[s.index - 1].entry.symbol for s in (two.first, two.second)]
    ms = round(abs(longer_s) * 200) * 5
    if vowels[0] != vowels[1] or ms < texts()["limit"]["vowel_before_ms"]:
        return "", ""
    short = _shorter(d, two)
    lengths = [round(1000 * (m.vowel_before_s or 0.0)) for m in (d.first, d.second)]
    say = texts()["texts"]
    where = _quoted(short.word) if two.texts else short.span.sound.symbol
    return (
        say["vowel_before"].format(vowel=vowels[0], ms=ms, short=where),
        say["vowel_before_technical"].format(a=lengths[0], b=lengths[1]),
    )


def _shorter(d: Difference, two: Told) -> Said:
    """The one with the shorter vowel before it."""
    return two.first if (d.vowel_before_s or 0.0) < 0 else two.second


def _release(two: Told) -> str:
    """Whether only one of two stops is let go so that it is heard."""
    said = (two.first, two.second)
    if not all(s.entry.is_stop for s in said):
        return ""
    kept = [s for s in said if s.span.release == "none" or s.span.release_s is None]
    if len(kept) != 1:
        return ""
    return str(texts()["texts"]["held"].format(one=kept[0].span.sound.symbol, word=_quoted(kept[0].word)))


def _others(two: Told) -> str:
    """What else differs, a few of it."""
    if not two.others:
        return ""
    say = texts()["texts"]
    most = int(say["others_named"])
    if len(two.others) > most:
        return str(say["many"].format(count=len(two.others) + 1))
    named = [say["other"].format(a=x or say["nothing"], b=y or say["nothing"]) for x, y in two.others]
    return str(say["others"].format(list=", ".join(named)))
