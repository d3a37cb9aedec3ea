"""The way in from Python: values that show, iterate and save themselves, and errors in the words of the command line.

What notebooks look for in a value (`_repr_svg_`, `_repr_html_`, `_repr_mimebundle_`): IPython's documentation, "Rich
display" (from memory).
"""

from __future__ import annotations

import base64
import html.parser
import importlib.util
import subprocess
import sys
import xml.etree.ElementTree as ET
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

import renders
import vocaltract as vt
from renders import cli
from tests.scaled_speaker import scaled_speaker

SMALL = (320, 180)


class Tags(html.parser.HTMLParser):
    """The start tags of a piece of HTML with their attributes."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))


def test_a_still_shows_and_saves_itself(tmp_path: Path) -> None:
    still = renders.still("t", labels="technical", style="dark", size=(800, 600), hide="spine")
    root = ET.fromstring(still._repr_svg_())
    assert root.tag.endswith("svg") and (root.get("width"), root.get("height")) == ("800", "600")
    assert "[t]" in (root[0].text or "")
    still.save(tmp_path / "t.svg")
    assert (tmp_path / "t.svg").read_text(encoding="utf-8").endswith(still._repr_svg_())
    still.save(str(tmp_path / "t.png"))
    assert still.pixels().shape == (600, 800, 4) and still.pixels()[..., 3].min() == 255
    bare = renders.still("t", size=(800, 600), transparent=True)
    assert bare.pixels()[2, 2, 3] == 0


def test_strips_and_pairs_are_pictures_that_say_what_they_show() -> None:
    pair = vt.compare("vest", "west")
    assert renders.strip("towel").report["moments"][0].keys() == {"label", "time_ms"}
    assert renders.pair(pair, size=(800, 550)).size == (800, 550)
    assert renders.pair(pair).report["words"] == ["vest", "west"] == renders.strip(pair).report["words"]
    assert renders.pair("vest", "west").picture.title == renders.pair(pair).picture.title


def test_a_film_plays_in_a_notebook_and_is_saved(tmp_path: Path) -> None:
    film = renders.film(vt.say("key"), speed=1.0, size=SMALL, fps=25)
    bundle = film._repr_mimebundle_()
    assert set(bundle) == {"text/html", "text/plain"}
    ((tag, attributes),) = Tags(bundle["text/html"]).found
    kind, _, data = (attributes["src"] or "").partition(",")
    assert tag == "video" and "controls" in attributes and kind == "data:video/mp4;base64"
    (tmp_path / "shown.mp4").write_bytes(base64.b64decode(data))
    report = film.save(tmp_path / "key.mp4")
    assert (tmp_path / "shown.mp4").read_bytes() == (tmp_path / "key.mp4").read_bytes()
    assert report["fps"] == 25 and report["transcription"] == vt.say("key").utterance.transcription
    read = list(renders.read_frames(tmp_path / "shown.mp4"))
    assert len(read) == report["frames"] == round(vt.say("key").duration_s * 25)


def test_a_film_is_iterated_as_colours_and_what_is_read_back_is_near() -> None:
    film = renders.film("key", speed=2.0, size=SMALL, fps=10)
    drawn = list(film)
    assert all(frame.shape == (180, 320, 3) and frame.dtype == np.uint8 and frame.flags.c_contiguous for frame in drawn)
    assert any(np.any(drawn[0] != frame) for frame in drawn[1:])
    for colours, whole in zip(drawn, film.frames(), strict=True):
        np.testing.assert_array_equal(colours, whole[..., :3])


def test_a_transparent_film_plays_in_a_format_that_can_be(tmp_path: Path) -> None:
    film = renders.film("[t]", speed=2.0, size=SMALL, fps=10, transparent=True)
    assert "data:video/webm;base64," in film._repr_mimebundle_()["text/html"]
    with pytest.raises(vt.BadInput, match=r"a MP4 \(H.264\) film cannot be transparent"):
        film.save(tmp_path / "t.mp4")
    with pytest.raises(vt.BadInput, match=r"ending of 'film.png' is .png; allowed: .mp4"):
        film.as_bytes(".png")
    assert list(tmp_path.iterdir()) == []


def test_a_comparison_runs_in_step(tmp_path: Path) -> None:
    report = renders.film(vt.compare("two", "do"), event="release", speed=2.0, size=SMALL).save(tmp_path / "a.gif")
    assert report["words"] == ["two", "do"] and report["fps"] == 25
    with pytest.raises(vt.BadInput, match="a film of two in step has no dwell and no loop; leave it out"):
        renders.film(vt.compare("two", "do"), dwell=True, loop=True)


def test_a_page_shows_itself_in_a_frame_of_its_own(tmp_path: Path) -> None:
    page = renders.learner_page("key", language="es")
    ((tag, attributes),) = Tags(page._repr_html_()).found
    assert tag == "iframe" and attributes["srcdoc"] == page.html and attributes["title"] == "key"
    page.save(tmp_path / "key.html")
    assert (tmp_path / "key.html").read_text(encoding="utf-8") == page.html and 'lang="es"' in page.html
    assert renders.learner_page(vt.say("key")).report["shown"] == ["key"]


def test_a_lesson_is_planned_before_it_is_made() -> None:
    lesson = renders.lesson("v", "w", words=["valet", "window"], size=SMALL)
    assert lesson.words == ("valet", "window") and lesson.shot.size == SMALL


# What may be wrong: what is typed, and the same from Python; {out} is a file that may be written.
WRONG: list[tuple[list[str], Callable[[Path], Any]]] = [
    (["still", "tt"], lambda _: renders.still("tt")),
    (["still", ""], lambda _: renders.still("")),
    (["still", "t", "--style", "drak"], lambda _: renders.still("t", style="drak")),
    (["still", "t", "--labels", "plane"], lambda _: renders.still("t", labels="plane")),
    (["still", "t", "--show", "tong"], lambda _: renders.still("t", show="tong")),
    (["still", "t", "--show", "air"], lambda _: renders.still("t", show=["air"])),
    (["still", "t", "--size", "1281x720"], lambda _: renders.still("t", size=(1281, 720))),
    (["still", "t", "--size", "62x64"], lambda _: renders.still("t", size=(62, 64))),
    (["still", "t", "--out", "t.mp4"], lambda _: renders.still("t").save("t.mp4")),
    (["strip", "qzx"], lambda _: renders.strip("qzx")),
    (["strip", "..."], lambda _: renders.strip(what="...")),
    (["strip", "[qx7]"], lambda _: vt.say("[qx7]")),
    (["strip", "towel", "--rate", "9"], lambda _: vt.say("towel", rate=9)),
    (["strip", "towel", "--emphasis", "desk"], lambda _: vt.say("towel", emphasis=["desk"])),
    (["still", "t", "--speaker", "mann"], lambda _: renders.still("t", speaker="mann")),
    (["strip", "towel", "--speaker", "mann"], lambda _: renders.strip("towel", speaker="mann")),
    (["film", "towel", "--speaker", "mann"], lambda _: renders.film("towel", speaker="mann")),
    (["pair", "t", "d", "--speaker", "mann"], lambda _: renders.pair("t", "d", speaker="mann")),
    (["page", "towel", "--speaker", "mann"], lambda _: renders.learner_page("towel", speaker="mann")),
    (["lesson", "t", "d", "--speaker", "mann"], lambda _: renders.lesson("t", "d", speaker="mann")),
    (["measure", "t", "--speaker", "mann"], lambda _: vt.measure("t", speaker="mann")),
    (["film", "towel", "--speed", "3"], lambda _: renders.film("towel", speed=3)),
    (["film", "towel", "--fps", "61"], lambda _: renders.film("towel", fps=61)),
    (["film", "towel", "--size", "64x62"], lambda _: renders.film("towel", size=(64, 62))),
    (["film", "towel", "--intro", "99"], lambda _: renders.film("towel", intro_s=99)),
    (["film", "towel", "--intro", "1", "--loop"], lambda _: renders.film("towel", intro_s=1, loop=True)),
    (["film", "towel", "--hold", "closur"], lambda _: renders.film("towel", holds=["closur"])),
    (["film", "sea", "--hold", "closure"], lambda _: renders.film("sea", holds=["closure"])),
    (["film", "towel", "--out", "towel.avi"], lambda _: renders.film("towel").save("towel.avi")),
    (["film", "towel", "--out", "towel.gif", "--fps", "30"], lambda _: renders.film("towel", fps=30).save("towel.gif")),
    (["film", "towel", "--transparent"], lambda _: renders.film("towel", transparent=True).save("film-towel.mp4")),
    (["pair", "t", "t"], lambda _: vt.compare("t", "t")),
    (["pair", "flour", "flower"], lambda _: renders.pair("flour", "flower")),
    (["pair", "t", "d", "--align", "vowl"], lambda _: renders.pair("t", "d", event="vowl")),
    (["still", "t", "--language", "xx"], lambda _: renders.still("t", language="xx")),
    (["strip", "towel", "--language", "xx"], lambda _: renders.strip("towel", language="xx")),
    (["film", "towel", "--language", "ex"], lambda _: renders.film("towel", language="ex")),
    (["pair", "t", "d", "--language", "xx"], lambda _: renders.pair("t", "d", language="xx")),
    (["lesson", "t", "d", "--language", "xx"], lambda _: renders.lesson("t", "d", language="xx")),
    (["page", "towel", "desk", "key"], lambda _: renders.learner_page("towel", "desk", "key")),
    (["page", "towel", "--language", "xx"], lambda _: renders.learner_page("towel", language="xx")),
    (["page", "towel", "--out", "towel.pdf"], lambda _: renders.learner_page("towel").save("towel.pdf")),
    (["lesson", "t", "q"], lambda _: renders.lesson("t", "q")),
    (["lesson", "t", "t"], lambda _: renders.lesson("t", "t")),
    (["lesson", "t", "d", "--word", "water"], lambda _: renders.lesson("t", "d", words=["water"])),
    (["words", "tt"], lambda _: vt.practice_words("tt")),
    (["words", "t", "--where", "initail"], lambda _: vt.practice_words("t", where="initail")),
    (["words", "t", "--against", "t"], lambda _: vt.minimal_pairs("t", "t")),
    (["measure", "tt"], lambda _: vt.measure("tt")),
]


@pytest.mark.parametrize(("argv", "call"), WRONG, ids=lambda value: " ".join(value) if isinstance(value, list) else "")
def test_what_is_wrong_is_said_in_the_same_words(
    argv: list[str], call: Callable[[Path], Any], tmp_path: Path, monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    monkeypatch.chdir(tmp_path)
    assert cli.main(argv) == 2
    typed = capsys.readouterr().err
    with pytest.raises(vt.BadInput) as caught:
        call(tmp_path)
    assert typed == f"vocaltract: {caught.value}\n"
    assert list(tmp_path.iterdir()) == []


def test_the_same_words_can_differ() -> None:
    """The comparison above tells two faults apart."""
    said = []
    for symbol in ("tt", "dd"):
        with pytest.raises(vt.BadInput) as caught:
            renders.still(symbol)
        said.append(str(caught.value))
    assert said[0] != said[1]


def test_nothing_is_loaded_before_it_is_asked_for() -> None:
    code = (
        "import sys, renders, vocaltract\n"
        "heavy = {'numpy', 'scipy', 'shapely', 'matplotlib', 'av', 'PIL', 'imageio', 'tqdm', 'msgspec'}\n"
        "assert not heavy & set(sys.modules), heavy & set(sys.modules)\n"
        "assert {'still', 'film', 'Shot'} <= set(dir(renders)) and {'say', 'BadInput'} <= set(dir(vocaltract))\n"
        "renders.Shot\n"
        "assert 'numpy' in sys.modules, 'the check can fail'\n"
    )
    subprocess.run([sys.executable, "-c", code], check=True, timeout=60)


@pytest.mark.parametrize("package", [renders, vt], ids=lambda package: package.__name__)
def test_a_name_means_one_thing(package: Any) -> None:
    """Every public name is there and says what it is; none is that of a room or a module as well."""
    for name in package.__all__:
        assert getattr(package, name).__doc__, name
        assert importlib.util.find_spec(f"{package.__name__}.{name}") is None, name
    assert importlib.util.find_spec("renders.films") is not None, "the check can fail"
    with pytest.raises(AttributeError, match="has no attribute 'movie'"):
        _ = package.movie


@pytest.mark.parametrize("make", [renders.strip, renders.film, renders.pair, renders.learner_page])
def test_what_is_said_already_is_not_said_again_by_another(make: Callable[..., object]) -> None:
    said = vt.compare("t", "d") if make is renders.pair else vt.say("key")
    with pytest.raises(vt.BadInput, match="speaker 'man' cannot say again what is said; give a text"):
        make(said, speaker="man")


def test_a_picture_is_of_the_speaker_that_is_asked_for() -> None:
    other = scaled_speaker(0.85)
    drawn = [renders.still("t", speaker=speaker)._repr_svg_() for speaker in (None, "man", other)]
    assert drawn[0] == drawn[1] != drawn[2]
    assert vt.measure("m", speaker=other).section_length_cm[0] < vt.measure("m").section_length_cm[0]
