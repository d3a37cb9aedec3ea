"""Pairs of sounds, words and phrases: what is said against outside tables, alignment, strips and films, bad input."""

from __future__ import annotations

import itertools
import tomllib
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
import panphon
import pytest

from renders import cli
from renders.files.formats import usual_fps
from renders.films.shot import Shot
from renders.ink.recording import recorded_calls
from renders.marks.moments import moments as moments_at
from renders.pairs import pair_film, pair_strip
from renders.pairs.compared import ComparedPair, compared_pair, pair_report
from renders.pairs.in_step import event_frame, in_step
from renders.pairs.layout import film_layout, pair_layout
from renders.pairs.look import PairLook
from renders.pairs.pair_frame import FilmDress, frame, static_layers
from renders.paper.style import load
from renders.wording.languages import language_of
from renders.wording.pair_statement import statement_of
from tests.flash import count_flashes
from tests.picture_text import collisions, outside, text_boxes
from tests.reference.published import HERE
from tests.spoken import said
from vocaltract.motion.playback import constant
from vocaltract.pairs import occurrences
from vocaltract.pairs.difference import difference
from vocaltract.pairs.event import EVENTS, alignment
from vocaltract.pairs.occurrences import Comparison, Occurrence, compare, printed
from vocaltract.phonetics.inventory import entries
from vocaltract.speech import say_alone

CONSONANTS = "p b t d k ɡ tʃ dʒ f v θ ð s z ʃ ʒ h m n ŋ l ɹ w j".split()
PAIRS = list(itertools.combinations(CONSONANTS, 2))
CHART = HERE / "ipa_chart.toml"
# Not cells of the pulmonic table: "other symbols" of the chart, and affricates, which it writes with two letters.
BESIDE_THE_TABLE = {
    "w": ("voiced", "labial-velar", "approximant"),
    "tʃ": ("voiceless", "postalveolar", "affricate"),
    "dʒ": ("voiced", "postalveolar", "affricate"),
    # English r is made behind the ridge (IPA Handbook 1999, illustration of American English: "post-alveolar");
    # the chart writes ɹ under alveolar and lets it stand for all three coronal places
    "ɹ": ("voiced", "postalveolar", "approximant"),
}


@pytest.fixture(autouse=True)
def shared_timelines(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setattr(occurrences, "say", said)
    yield


@cache
def alone(symbol: str) -> Occurrence:
    entry = entries()[symbol]
    return Occurrence(entry, "", say_alone(entry), 0)


@cache
def sounds(a: str, b: str) -> ComparedPair:
    return compared_pair(Comparison(alone(a), alone(b), "alone"))


def sentences(a: str, b: str) -> str:
    """What is said of two consonants by themselves, in English, without drawing them."""
    two = Comparison(alone(a), alone(b), "alone")
    one, other = two.first, two.second
    found = statement_of(two, difference(one.timeline, other.timeline, (one.index, other.index)))
    return language_of("en").sentences(found.plain)


def said_of(shown: ComparedPair) -> dict[str, str]:
    """What a pair says in English: title, statement, technical, unseen."""
    return pair_report(shown, language_of("en"))


@cache
def chart() -> dict[str, tuple[str, str, str]]:
    """Voicing, place and manner of every English consonant on the IPA chart, revised to 2020."""
    rows = tomllib.loads(CHART.read_text(encoding="utf-8"))["pulmonic"]
    found = {
        row[voicing]: (voicing, row["place"], row["manner"])
        for row in rows
        for voicing in ("voiceless", "voiced")
        if row[voicing]
    }
    return {**found, **BESIDE_THE_TABLE}


@cache
def features() -> panphon.FeatureTable:
    return panphon.FeatureTable()


def differ(a: str, b: str, feature: str) -> bool:
    one, other = (features().word_fts(s)[0][feature] for s in (a, b))
    return bool(one != other)


@pytest.mark.parametrize("symbol", CONSONANTS)
def test_names_are_those_of_the_chart(symbol: str) -> None:
    a, b = sorted((symbol, "m" if symbol != "m" else "n"), key=CONSONANTS.index)
    assert f"{symbol}: {' '.join(chart()[symbol])}" in said_of(sounds(a, b))["technical"]


def contradictions(a: str, b: str, plain: str) -> list[str]:
    """Where sentences on two consonants say otherwise than panphon's features (Mortensen et al. 2016) or the chart."""
    found = []
    (voice_a, place_a, manner_a), (voice_b, place_b, manner_b) = chart()[a], chart()[b]
    if ("The voice" in plain) and voice_a == voice_b:
        found.append("voice is said to differ")
    if differ(a, b, "nas") != ("hangs down" in plain):
        found.append("nose")
    if differ(a, b, "lat") != ("beside the tongue" in plain):
        found.append("sides")
    same_place = place_a == place_b
    if same_place and "h" not in (a, b) and "Tongue, lips" not in plain and manner_a == manner_b:
        found.append("same place and manner, but not said to be alike")
    if not same_place and "Tongue, lips, jaw and soft palate do the same" in plain:
        found.append("other place, but said to be alike")
    # panphon marks lip rounding of consonants at w alone; of American r, ʃ, ʒ and the affricates it is common practice
    rounded = {"w", "ɹ", "ʃ", "ʒ", "tʃ", "dʒ"}
    for symbol in (a, b):
        if f"more rounded for {symbol}." in plain and symbol not in rounded:
            found.append("rounding")
    return found


@pytest.mark.parametrize("first", CONSONANTS[:-1])
def test_no_statement_contradicts_panphon_or_the_chart(first: str) -> None:
    wrong = {}
    for a, b in PAIRS:
        if a == first:
            found = contradictions(a, b, sentences(a, b))
            if found:
                wrong[f"{a} {b}"] = found
    assert wrong == {}
    assert sentences(first, "j") == said_of(sounds(first, "j"))["statement"]  # what is judged is what is shown


def test_the_check_of_statements_finds_what_is_wrong() -> None:
    good = said_of(sounds("b", "m"))["statement"]
    assert contradictions("b", "m", good) == []
    assert contradictions("p", "b", good) == ["nose"]
    assert contradictions("b", "m", good + " The voice is on while m is held.") == ["voice is said to differ"]
    assert contradictions("b", "m", "Tongue, lips and jaw do the same.") == ["nose"]
    assert contradictions("l", "d", said_of(sounds("t", "d"))["statement"]) != []


@pytest.mark.parametrize(
    ("names", "moved"),
    [("p b", ()), ("t d", ()), ("k ɡ", ()), ("f v", ()), ("s z", ()), ("b m", ("velum",)), ("d n", ("velum",))],
)
def test_only_what_the_chart_says_moves(names: str, moved: tuple[str, ...]) -> None:
    """Pairs of one place and manner differ in the folds alone; a nasal and its plosive in the soft palate alone."""
    assert sounds(*names.split()).difference.moved == moved


def test_the_back_of_the_tongue_rests_on_the_lowered_palate() -> None:
    moved = set(sounds("ɡ", "ŋ").difference.moved)
    assert "velum" in moved and moved <= {"velum", "tongue", "jaw"}


# Alignment


TEXTS = [("ticket", "desk"), ("late", "date"), ("key", "guest"), ("light", "right"), ("good night", "good nice")]


@pytest.mark.parametrize("event", EVENTS)
@pytest.mark.parametrize(("a", "b"), TEXTS)
def test_the_event_lies_on_one_frame_of_both(a: str, b: str, event: str) -> None:
    pair = compared_pair(compare(a, b))
    both = in_step(pair, event)
    fps, speed = 30.0, 0.5
    playback = constant(both.end_s - both.start_s, speed)
    frame = event_frame(both, playback, fps)
    clock = playback.frame_times_s(fps) + both.start_s
    for number, zero in enumerate(both.way.zeros_s):
        shown = both.times_s(clock, number)
        assert abs(shown[frame] - zero) <= 0.5 * speed / fps + 1e-9
        assert int(np.argmin(np.abs(shown - zero))) == frame


# Strips and films


@pytest.mark.parametrize("names", ["two do", "late date", "good_night good_nice", "desk ticket"])
def test_a_strip_has_both_in_every_column_and_its_texts_apart(names: str) -> None:
    a, b = (name.replace("_", " ") for name in names.split())
    pair = compared_pair(compare(a, b))
    way = alignment(pair.said)
    columns = pair_strip.times_s(pair, way)
    assert 3 <= len(columns) <= pair_layout().strip.most
    assert list(columns) == sorted(columns)
    assert min(np.diff(columns)) >= pair_layout().shown_from.columns_apart_s - 1e-9
    style = load("light")
    picture = pair_strip.pair_strip_picture(pair, way, PairLook(style))
    boxes = text_boxes(recorded_calls(picture, style))
    assert outside(boxes, picture.width, picture.height) == []
    assert collisions(boxes) == []


def test_a_strip_of_t_and_d_shows_the_time_between_the_two_voices() -> None:
    pair = compared_pair(compare("two", "do"))
    way = alignment(pair.said)
    onsets = sorted(m.voice_onset_s or 0.0 for m in pair.measures)
    assert any(onsets[0] < t < onsets[1] for t in pair_strip.times_s(pair, way))


@pytest.mark.parametrize("ending", [".mp4", ".gif"])
def test_a_film_shows_the_event_at_the_frame_it_reports(ending: str, tmp_path: Path) -> None:
    import av

    out = tmp_path / f"two-do{ending}"
    counts: list[tuple[int, int]] = []
    made = pair_film.write_pair_film(
        "two", "do", out, Shot(size=(320, 180)), event="release", progress=lambda *done: counts.append(done)
    )
    with av.open(str(out)) as film:
        assert sum(1 for _ in film.decode(video=0)) == made["frames"] == counts[-1][0] == counts[-1][1]
    rate = made["fps"]
    assert rate == usual_fps_of(ending)
    releases = [next(c.end_s for c in said(word).closures if 0 in c.indices) for word in ("two", "do")]
    assert made["aligned_at_s"] == pytest.approx(releases, abs=1e-4)
    assert 0 < made["event_frame"] < made["frames"]


def usual_fps_of(ending: str) -> int:
    from renders.files.formats import format_of

    return usual_fps(format_of(f"film{ending}"))


@pytest.mark.parametrize(("a", "b"), [("ticket", "desk"), ("late", "date"), ("sink", "think")])
def test_both_layouts_keep_their_texts_apart(a: str, b: str) -> None:
    both = in_step(compared_pair(compare(a, b)))
    style = load("light")
    for size in ((1280, 720), (720, 1280)):  # wide and tall
        dress = FilmDress(film_layout(size), PairLook(style), "half speed")
        static = static_layers(both, dress)
        moments = [
            next(moments_at(s.timeline, np.array([zero + 0.03])))
            for s, zero in zip(both.pair.said, both.way.zeros_s, strict=True)
        ]
        picture = frame(both, static, 0.03, (moments[0], moments[1]), dress)
        boxes = text_boxes(recorded_calls(picture, style))
        assert outside(boxes, picture.width, picture.height) == []
        assert collisions(boxes) == []


# What may be typed


@pytest.mark.parametrize(
    ("argv", "wanted"),
    [
        (["t", "t"], "'t' and 't' are the same sound"),
        (["r", "ɹ"], "'r' and 'ɹ' are the same sound"),
        (["flour", "flower"], "are said the same"),
        (["desk", "desk"], "are said the same"),
        (["</script>", "d"], "'<' (LESS-THAN SIGN) at position 1 cannot be read"),
        (["towel " * 400, "desk"], "characters"),
        (["...", "desk"], "has no word in it"),
        (["[tə", "desk"], "no matching"),
        (["t", "d", "--align", "vowl"], "event 'vowl' is unknown; allowed: closure, release, vowel (nearest: vowel)"),
        (["t", "d", "--out", "x.gif", "--fps", "30"], "allowed: 5, 6.25, 10, 12.5, 20, 25 or 50"),
        (["t", "d", "--emphasis", "desk"], "emphasis 'desk'"),
    ],
)
def test_bad_input_is_one_line(
    argv: list[str], wanted: str, capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(["pair", *argv]) == 2
    out, err = capsys.readouterr()
    assert out == "" and err.count("\n") == 1 and wanted in err
    assert list(tmp_path.iterdir()) == []


def test_marks_that_turn_the_writing_are_not_shown() -> None:
    assert printed("\u202etowel\u2069\n bar\u200b") == "towel bar"
    assert compare("\u202etowel", "desk").texts == ("towel", "desk")


def test_texts_of_very_different_length_are_told_by_their_first_difference() -> None:
    two = compare("towel", "a desk beside the door of the lobby")
    assert two.texts[0] == "towel" and len(two.others) > 5
    assert "sounds; this is the first" in said_of(compared_pair(two))["statement"]


def test_a_sound_of_another_language_is_compared_with_the_english_one() -> None:
    """Spanish t is dental (Martínez-Celdrán et al. 2003, JIPA 33, from memory), the trill r has no match in English."""
    dental = compared_pair(compare("[t̪]", "t"))
    assert "dental" in said_of(dental)["technical"] and "alveolar" in said_of(dental)["technical"]
    assert dental.difference.first.organ == dental.difference.second.organ == "coronal"
    trill = compared_pair(compare("[r]", "ɹ"))
    assert "trill" in said_of(trill)["technical"] and "beat against the gum ridge" in said_of(trill)["statement"]


@pytest.mark.parametrize(
    ("a", "b", "part"),
    [
        # Ladefoged & Maddieson, The Sounds of the World's Languages (1996), from memory
        ("[ɓ]", "b", "the larynx is drawn down"),
        ("[tʼ]", "t", "the larynx is pushed up"),
        ("[ǀ]", "t", "air goes in at the release"),
        ("[ɾ]", "d", "taps the gum ridge once"),
        ("[tʰ]", "[t]", "Breath fills that time for tʰ"),
        ("[ʔ]", "h", "together for ʔ"),
        ("bus", "buzz", "shorter in “bus”"),
    ],
)
def test_what_another_airstream_or_manner_does_is_said(a: str, b: str, part: str) -> None:
    assert part in said_of(compared_pair(compare(a, b)))["statement"]


def test_the_statement_is_printed(
    capsys: pytest.CaptureFixture[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert cli.main(["pair", "late", "date", "--strip"]) == 0
    out, _ = capsys.readouterr()
    lines = out.splitlines()
    assert lines[0] == "wrote pair-strip-late-date.png"
    assert any("air passes beside the tongue" in line for line in lines)
    assert "A side view cannot show the sides of the tongue." in lines


@pytest.mark.parametrize("size", [(320, 180), (180, 320)])
def test_a_film_of_two_words_full_of_stops_does_not_flash(size: tuple[int, int]) -> None:
    """WCAG 2.2, 2.3.1: at most three flashes in any second."""
    both = in_step(compared_pair(compare("backpacked", "ticket pocket")))
    report = count_flashes(pair_film.film_in_step(both, Shot(size=size)).frames(), 30)
    assert report.passes and report.red == 0, report
