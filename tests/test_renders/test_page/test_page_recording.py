"""A learner records and compares: with a microphone that plays a file, refused, absent, and inside another page."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from renders.files.sound_file import write_sound
from renders.page import build
from renders.page.subject import Subject, subject_of
from tests.browser import FLAGS, chromium
from tests.test_renders.test_page.conftest import Open, Opened, quiet
from vocaltract.sound.hearing import HEARD_RATE_HZ, heard

FAKE = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")


@pytest.fixture(scope="session")
def word_subject() -> Subject:
    return subject_of(("seat",))


@pytest.fixture(scope="session")
def word_page(word_subject: Subject, folder: Path) -> Path:
    path = folder / "seat.html"
    path.write_text(build.page(word_subject), encoding="utf-8")
    return path


@pytest.fixture(scope="session")
def with_microphone(browser: Any, word_subject: Subject, folder: Path) -> Iterator[Any]:
    """A browser whose microphone hears the word and a second of silence, again and again."""
    file = folder / "microphone.wav"
    word = heard(word_subject.items[0].timeline)
    write_sound(np.concatenate([word, np.zeros(HEARD_RATE_HZ)]), file, HEARD_RATE_HZ)
    flags = [*FLAGS, *FAKE, f"--use-file-for-fake-audio-capture={file}"]
    made = browser.browser_type.launch(executable_path=chromium(), args=flags, timeout=120_000)
    yield made
    made.close()


@pytest.fixture
def recording(with_microphone: Any, word_page: Path) -> Iterator[Opened]:
    context = with_microphone.new_context(viewport={"width": 1000, "height": 800})
    page = Opened(context.new_page())
    page.page.goto(word_page.as_uri())
    page.until("window.vocaltract !== undefined", 30)
    yield page
    context.close()


def _record(page: Opened, seconds: float) -> None:
    page.page.click("#record")
    page.until("vocaltract.record.stop !== null", 30)
    page.page.wait_for_timeout(1000 * seconds)  # of what the microphone hears
    page.page.click("#record")
    page.until("!vocaltract.record.busy", 30)


def test_what_is_recorded_is_measured_beside_the_model(recording: Opened, word_page: Path) -> None:
    _record(recording, 3.5)
    assert recording.page.inner_text("#record-told").startswith("Here you are")
    mine, model = (
        recording.page.evaluate(f"(() => {{ const m = {of}; return [m.said, m.hz]; }})()")
        for of in ("vocaltract.record.found", "vocaltract.measured(vocaltract.sound.of.waves[0])")
    )
    assert mine[1] == pytest.approx(model[1], rel=0.03)
    said_s = model[0][1] - model[0][0]
    # the microphone says it again and again: a word, or two with the silence between
    assert said_s - 0.05 <= mine[0][1] - mine[0][0] < 3.6
    assert "Hz" in recording.page.inner_text("#record-lengths")
    for name in ("mine", "theirs", "both"):
        recording.page.click(f"#play-{name}")
        recording.until(f"vocaltract.sound.of.one?.length === {2 if name == 'both' else 1}", 30)
    quiet(recording, word_page)


def test_a_recording_is_saved_when_asked_for_and_gone_when_deleted(recording: Opened, tmp_path: Path) -> None:
    import wave

    _record(recording, 2.5)
    with recording.page.expect_download() as found:
        recording.page.click("#record-save")
    found.value.save_as(tmp_path / "mine.wav")
    assert found.value.suggested_filename == "seat.wav"
    with wave.open(str(tmp_path / "mine.wav")) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, 48000)
        assert np.abs(np.frombuffer(file.readframes(file.getnframes()), "<i2")).max() > 500
    recording.page.click("#record-delete")
    assert recording.page.evaluate("['wave', 'found', 'link'].map((name) => vocaltract.record[name])") == [None] * 3
    assert recording.page.is_hidden("#compared")


def test_ten_recordings_leave_one(recording: Opened) -> None:
    for _ in range(10):
        _record(recording, 0.2)
        assert recording.page.evaluate("(vocaltract.record.wave?.length ?? 0) <= 48000 * 8")
    if recording.page.is_visible("#record-delete"):
        recording.page.click("#record-delete")
    assert recording.page.evaluate("vocaltract.record.wave") is None


@pytest.mark.parametrize(
    ("error", "said"),
    [
        ("NotAllowedError", "was not allowed"),
        ("NotFoundError", "No microphone was found"),
        ("NotReadableError", "cannot record here"),
    ],
)
def test_without_a_microphone_the_page_says_so_kindly(
    opened: Open, word_page: Path, error: str, said: str
) -> None:
    refuses = f"navigator.mediaDevices.getUserMedia = () => Promise.reject(new DOMException('', '{error}'))"
    page = opened(word_page, before=refuses)
    page.page.click("#record")
    page.until("!vocaltract.record.busy && vocaltract.record.told !== 'record_asks'", 30)
    assert said in page.page.inner_text("#record-told")
    assert page.page.is_enabled("#record")
    page.page.click("#play")
    page.until("vocaltract.state().at > 0", 30)
    quiet(page, word_page)


def test_a_browser_without_a_recorder_says_so(opened: Open, word_page: Path) -> None:
    page = opened(word_page, before="delete window.MediaRecorder")
    page.page.click("#record")
    assert "cannot record here" in page.page.inner_text("#record-told")


@pytest.mark.parametrize(("allow", "said"), [("", "does not let it use"), (' allow="microphone"', "Recording")])
def test_inside_another_page_it_records_where_that_allows(
    with_microphone: Any, word_page: Path, allow: str, said: str
) -> None:
    frame = f'<iframe id="held" src="https://pages.test/seat.html#embed=1" width="900" height="700"{allow}></iframe>'
    served = {"https://course.test/": frame, "https://pages.test/seat.html": word_page.read_text(encoding="utf-8")}
    context = with_microphone.new_context()
    context.route("**/*", lambda route: route.fulfill(content_type="text/html", body=served[route.request.url]))
    page = context.new_page()
    page.goto("https://course.test/")
    inside = page.frame_locator("#held")
    inside.locator("#record").click(timeout=30_000)
    inside.locator("#record-told", has_text=said).wait_for(timeout=30_000)
    context.close()


@pytest.mark.parametrize("hz", [90.0, 220.0, 380.0])
def test_pitch_and_length_of_a_tone_with_overtones(opened: Open, word_page: Path, hz: float) -> None:
    page = opened(word_page)
    made = f"""(() => {{ const x = new Float32Array(48000);
      for (let i = 12000; i < 36000; i++)
        for (let k = 1; k < 9; k++) x[i] += 0.3 / k * Math.sin(2 * Math.PI * {hz} * k * i / 48000);
      const m = vocaltract.measured(x); return [m.length, m.hz]; }})()"""
    length, found = page.page.evaluate(made)
    assert length == pytest.approx(0.5, abs=0.021)
    assert found == pytest.approx(hz, rel=0.02)
    assert page.page.evaluate("vocaltract.measured(new Float32Array(48000))") is None
