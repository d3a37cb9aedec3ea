"""The lesson folder whole: a tiny one made for real, its page and captions read back, and how it fails."""

from __future__ import annotations

import errno
import itertools
import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from articulators.errors import BadInput, SurroundingsError
from renders.course import lesson, parts
from renders.course.captions import Cue, joined, webvtt
from renders.course.lesson_files import PartFiles
from renders.films.shot import Shot
from renders.paper.picture import Picture
from renders.wording.languages import language_of
from tests.test_renders.test_course.page_reader import Page

TINY = Shot(size=(320, 180), fps=10)
SMALL: dict[str, Any] = {"shot": TINY, "words": ["two"]}

def seconds(stamp: str) -> float:
    hours, minutes, rest = stamp.split(":")
    return 3600 * int(hours) + 60 * int(minutes) + float(rest)


def read_webvtt(text: str) -> list[tuple[float, float, list[str]]]:
    """The cues of a WebVTT text; AssertionError where it breaks the form.

    W3C, WebVTT: The Web Video Text Tracks Format, sections 4.1 and 6 (from memory): the signature, blocks apart by a
    blank line, hours:minutes:seconds.thousandths, a start not before the start of the cue before, an end after the
    start, no "-->" and no bare "<" or "&" in the text of a cue.
    """
    blocks = text.rstrip("\n").split("\n\n")
    assert blocks[0] == "WEBVTT"
    found = []
    before = 0.0
    for block in blocks[1:]:
        _, timing, *lines = block.split("\n")
        match = re.fullmatch(r"(\d{2,}:[0-5]\d:[0-5]\d\.\d{3}) --> (\d{2,}:[0-5]\d:[0-5]\d\.\d{3})( \S+:\S+)*", timing)
        assert match, timing
        start, end = seconds(match[1]), seconds(match[2])
        assert before <= start < end, timing
        assert lines, "a cue without text"
        for line in lines:
            assert "-->" not in line
            assert not re.search(r"[<>]|&(?!amp;|lt;|gt;)", line), line
        found.append((start, end, lines))
        before = start
    return found


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Any], list[tuple[int, int]]]:
    """A lesson made for real, its report, and what progress was told."""
    out = tmp_path_factory.mktemp("lesson") / "front-desk"
    told: list[tuple[int, int]] = []
    report = lesson.write_lesson("t", "d", out, progress=lambda done, total: told.append((done, total)), **SMALL)
    return out, report, told


def files_of(folder: Path) -> set[str]:
    return {p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file()}


def test_the_folder_holds_everything(made: tuple[Path, dict[str, Any], Any]) -> None:
    out, report, _ = made
    expected = {"index.html", "fonts/Andika-Regular.ttf", "fonts/Andika-Bold.ttf", "fonts/OFL.txt"}
    expected |= {f"pair/t-and-d{kind}" for kind in (".svg", ".png", "-tall.png")}
    for name in ("sound-t", "sound-d", "two"):
        expected |= {f"strips/{name}{kind}" for kind in (".svg", ".png", "-tall.png")} | {f"posters/{name}.png"}
        expected |= {f"films/{name}.mp4", f"films/{name}.vtt", f"practice/{name}.html", f"sounds/{name}.mp3"}
    expected |= {"practice/t-and-d.html"}
    expected |= {f"stills/sound-{name}.{kind}" for name in ("t", "d") for kind in ("svg", "png")}
    assert files_of(out) == expected
    assert set(report["files"]) == expected
    assert report["failed"] == []
    assert all((out / name).stat().st_size > 0 for name in expected)


def test_sounds_that_english_has_not_are_taught_whole(tmp_path: Path) -> None:
    report = lesson.write_lesson("[ʈ]", "[ɖ]", tmp_path / "out", shot=replace(TINY, fps=5, speed=2))
    assert report["failed"] == []
    page = Page((tmp_path / "out/index.html").read_text(encoding="utf-8"))
    assert page.faults == []
    assert page.links() == files_of(tmp_path / "out") - {"index.html"}
    assert len(page.all("iframe")) == 3  # each sound, and both side by side


def test_progress_rises_to_the_total(made: tuple[Path, Any, list[tuple[int, int]]]) -> None:
    told = made[2]
    assert len({total for _, total in told}) == 1
    counts = [done for done, _ in told]
    assert counts == sorted(counts)
    assert counts[-1] == told[-1][1]


def test_every_link_leads_to_a_file_and_every_file_is_linked(made: tuple[Path, Any, Any]) -> None:
    out = made[0]
    page = Page((out / "index.html").read_text(encoding="utf-8"))
    assert page.links() == files_of(out) - {"index.html"}
    assert not any("//" in link or link.startswith("/") for link in page.links())  # nothing from a network
    ids = [attrs["id"] for _, attrs in page.found if "id" in attrs]
    assert len(set(ids)) == len(ids)
    inside = {str(a["href"])[1:] for a in page.all("a") if str(a["href"]).startswith("#")}
    named = {name for _, a in page.found for name in str(a.get("aria-labelledby") or "").split()}
    assert inside | named <= set(ids)


def test_the_page_is_well_formed_and_tells_who_cannot_see(made: tuple[Path, Any, Any]) -> None:
    # WCAG 2.2 (from memory): 1.1.1 text alternatives, 1.2.2 captions, 1.3.1 headings, 1.4.2 nothing starts by itself,
    # 3.1.1 language
    page = Page((made[0] / "index.html").read_text(encoding="utf-8"))
    assert page.faults == []
    assert page.all("html")[0]["lang"] == "en"
    assert all(len(image["alt"] or "") > 20 for image in page.all("img"))
    assert [frame["src"] for frame in page.all("iframe")] == [
        f"practice/{name}.html#embed=1" for name in ("t-and-d", "sound-t", "sound-d", "two")
    ]
    assert all(len(frame["title"] or "") > 20 and frame["loading"] == "lazy" for frame in page.all("iframe"))
    levels = [int(tag[1]) for tag, _ in page.found if re.fullmatch("h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after - before <= 1 for before, after in itertools.pairwise(levels))
    assert all("src" not in script for script in page.all("script"))
    text = " ".join(" ".join(parts) for parts in page.text.values())
    assert "licensed speech-language pathologist" in text


def test_captions_are_webvtt_inside_the_film(made: tuple[Path, Any, Any]) -> None:
    cv2 = pytest.importorskip("cv2")  # decodes films with a library that did not write them
    out = made[0]
    for name in ("sound-t", "sound-d", "two"):
        text = (out / f"films/{name}.vtt").read_text(encoding="utf-8")
        found = read_webvtt(text)
        shown = cv2.VideoCapture(str(out / f"films/{name}.mp4"))
        length_s = shown.get(cv2.CAP_PROP_FRAME_COUNT) / shown.get(cv2.CAP_PROP_FPS)
        assert found[0][0] == 0.0
        assert found[-1][1] <= length_s + 1e-6
        assert length_s - found[-1][1] < 0.002


@pytest.mark.parametrize(
    "text",
    [
        "webvtt\n\n1\n00:00:00.000 --> 00:00:01.000\nLips shut\n",
        "WEBVTT\n\n1\n00:00:00,000 --> 00:00:01,000\nLips shut\n",
        "WEBVTT\n\n1\n00:00:01.000 --> 00:00:01.000\nLips shut\n",
        "WEBVTT\n\n1\n00:00:00.000 --> 00:00:01.000\nLips <shut\n",
        "WEBVTT\n\n1\n00:00:00.000 --> 00:00:01.000\n",
        "WEBVTT\n\n1\n00:00:03.000 --> 00:00:04.000\na\n\n2\n00:00:01.000 --> 00:00:02.000\nb\n",
    ],
)
def test_the_reader_of_captions_sees_faults(text: str) -> None:
    with pytest.raises(AssertionError):
        read_webvtt(text)


def test_caption_text_is_escaped_and_hours_are_written() -> None:
    text = webvtt([Cue(0.0, 1.0, 0, "", "a < b & c --> d"), Cue(3599.9996, 3661.5, 0, "", "end")], language_of())
    assert "a &lt; b &amp; c --&gt; d" in text
    assert "00:59:59.999 --> 01:01:01.500" in text
    assert len(read_webvtt(text)) == 2


def test_captions_of_another_language_are_marked() -> None:
    # W3C, WebVTT, 4.2.2: a language span holds a BCP 47 tag
    text = webvtt([Cue(0.0, 1.0, 0, "", "Labios cerrados")], language_of("es"))
    assert "<lang es>Labios cerrados</lang>" in text
    assert "<lang" not in webvtt([Cue(0.0, 1.0, 0, "", "Lips shut")], language_of())


def test_the_page_of_a_lesson_speaks_the_language_of_its_shot() -> None:
    planned = lesson.plan_lesson("t", "d", ["two"])
    made = {item.slug: PartFiles() for item in (*planned.sounds, *planned.words)}
    page = Page(lesson.lesson_page(planned, made, None, replace(TINY, language="es")))
    assert page.faults == []
    assert page.all("html")[0]["lang"] == "es"
    assert "Cómo usar esta ficha" in page.text["h2"]
    assert [span["lang"] for span in page.all("span") if span.get("lang") == "en"]  # English words are marked
    assert "Un soplo de aire" in " ".join(page.text["li"])


def test_short_cues_share_a_caption_and_none_is_lost() -> None:
    found = [
        Cue(0.0, 0.1, 0, "t", "rises"),
        Cue(0.1, 0.2, 5, "t", "shut"),
        Cue(0.2, 1.0, 9, "u", "steady"),
        Cue(1.0, 1.1, 50, "", "rest"),
    ]
    made = joined(found, 0.35)
    assert [(c.start_s, c.end_s) for c in made] == [(0.0, 1.1)]
    assert [c.text.split("\n") for c in made] == [["t – rises · shut", "u – steady", "rest"]]
    assert [(c.start_s, c.end_s) for c in joined(found, 0.05)] == [(c.start_s, c.end_s) for c in found]


# Failures


def entries_of(folder: Path) -> dict[str, bytes]:
    return {p.relative_to(folder).as_posix(): p.read_bytes() for p in folder.rglob("*") if p.is_file()}


def test_an_existing_folder_is_left_alone_without_force(tmp_path: Path) -> None:
    out = tmp_path / "front-desk"
    out.mkdir()
    (out / "mine.txt").write_text("mine")
    with pytest.raises(BadInput, match=r"not empty.*--force"):
        lesson.write_lesson("t", "d", out, **SMALL)
    assert entries_of(tmp_path) == {"front-desk/mine.txt": b"mine"}


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"words": ["two", "water"]}, "flap"),
        ({"shot": {"size": (321, 180)}}, "odd"),
        ({"shot": {"fps": 0}}, "frame rate"),
        ({"shot": {"speed": 0}}, "speed"),
        ({"shot": {"style": "lihgt"}}, "lihgt.*nearest: light"),
    ],
)
def test_bad_input_stops_before_anything_is_written(tmp_path: Path, change: dict[str, Any], message: str) -> None:
    with pytest.raises(BadInput, match=message):
        given = {**SMALL, **change, "shot": Shot(**change.get("shot", {}))}
        lesson.write_lesson("t", "d", tmp_path / "out", **given)
    assert list(tmp_path.iterdir()) == []


@pytest.fixture
def quick(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Stands in for what draws, so that failures are reached at once."""

    def save(picture: Picture, path: Path, *_: Any, **__: Any) -> None:
        path.write_bytes(b"picture")

    def save_film(film: Any, path: Path, **_: Any) -> None:
        path.write_bytes(b"film")

    drawn = Picture(160, 66, "paper", (), description="what the picture shows")
    monkeypatch.setattr(parts.painter, "save", save)
    monkeypatch.setattr(parts.still, "still_picture", lambda *_: drawn)
    monkeypatch.setattr(parts.strip, "strip_picture", lambda *_: drawn)
    monkeypatch.setattr(lesson, "compared_sounds", lambda *_: None)
    monkeypatch.setattr(lesson, "pair_picture", lambda *_: drawn)
    monkeypatch.setattr(parts.film.Film, "save", save_film)
    monkeypatch.setattr(parts, "_write_poster", lambda part, path, shot: path.write_bytes(b"poster"))
    yield


def failing(real: Callable[..., Any], error: BaseException, stem: str) -> Callable[..., Any]:
    def write(*args: Any, **settings: Any) -> Any:
        if any(isinstance(a, Path) and a.stem == stem for a in args):
            raise error
        return real(*args, **settings)

    return write


def test_one_part_that_fails_is_named_and_the_rest_is_whole(
    tmp_path: Path, quick: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    fails = failing(parts.film.Film.save, SurroundingsError("no encoder"), "two")
    monkeypatch.setattr(parts.film.Film, "save", fails)
    out = tmp_path / "out"
    report = lesson.write_lesson("t", "d", out, **SMALL)
    assert report["failed"] == ["film of 'two' (no encoder)"]
    assert not list(out.glob("films/two.*"))
    assert (out / "films/sound-d.mp4").exists()
    page = Page((out / "index.html").read_text(encoding="utf-8"))
    assert page.faults == []
    assert page.links() == files_of(out) - {"index.html"}
    assert "Not made" in "".join(page.text["p"])


def full_disk() -> SurroundingsError:
    """The error of a writer that met a full disk and said so in its own words."""
    try:
        try:
            raise OSError(errno.ENOSPC, "No space left on device")
        except OSError:
            raise SurroundingsError("cannot write films/two.mp4") from None
    except SurroundingsError as error:
        return error


@pytest.mark.parametrize(
    ("error", "raised"),
    [
        (OSError(errno.ENOSPC, "No space left on device"), SurroundingsError),
        (full_disk(), SurroundingsError),
        (KeyboardInterrupt(), KeyboardInterrupt),
    ],
)
def test_what_stops_everything_leaves_nothing(
    tmp_path: Path, quick: None, monkeypatch: pytest.MonkeyPatch, error: BaseException, raised: type[BaseException]
) -> None:
    monkeypatch.setattr(parts.film.Film, "save", failing(parts.film.Film.save, error, "two"))
    with pytest.raises(raised):
        lesson.write_lesson("t", "d", tmp_path / "out", **SMALL)
    assert list(tmp_path.iterdir()) == []


def test_a_page_that_fails_leaves_nothing_and_an_old_folder_as_it_was(
    tmp_path: Path, quick: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "index.html").write_text("old")

    def fails(*_: Any) -> str:
        raise RuntimeError("a fault")

    monkeypatch.setattr(lesson, "lesson_page", fails)
    with pytest.raises(RuntimeError):
        lesson.write_lesson("t", "d", out, force=True, **SMALL)
    assert entries_of(tmp_path) == {"out/index.html": b"old"}


def test_where_nothing_can_be_made_the_lesson_fails(
    tmp_path: Path, quick: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(*_: Any, **__: Any) -> None:
        raise SurroundingsError("no room")

    monkeypatch.setattr(parts.painter, "save", fails)
    monkeypatch.setattr(parts.film.Film, "save", fails)
    with pytest.raises(SurroundingsError, match="nothing could be made"):
        lesson.write_lesson("t", "d", tmp_path / "out", **SMALL)
    assert list(tmp_path.iterdir()) == []


def test_force_replaces_and_keeps_other_files(tmp_path: Path, quick: None) -> None:
    out = tmp_path / "out"
    out.mkdir()
    (out / "mine.txt").write_text("mine")
    (out / "index.html").write_text("old")
    lesson.write_lesson("t", "d", out, force=True, **SMALL)
    assert (out / "mine.txt").read_text() == "mine"
    assert (out / "index.html").read_text(encoding="utf-8") != "old"
