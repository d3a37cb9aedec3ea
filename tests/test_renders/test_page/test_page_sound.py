"""The page's sound in a real browser: the clips, slowed and natural, and what is heard beside the picture."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from renders.page import build, voice
from renders.page.settings import settings
from renders.page.subject import Subject, subject_of
from tests.test_renders.test_page.conftest import Open, Opened, quiet, unpacked_page
from vocaltract.motion.playback import constant
from vocaltract.sound.pace import transients_s, with_transients

HZ = 48000  # of what the page's script makes
LEVEL_S = 0.005
OFFSET_S = 0.020  # asked for by the issue: offset under 20 ms
LEVELS = "(x) => { const n = 240, out = []; for (let i = 0; i + n <= x.length; i += n) { let s = 0;" \
    " for (let k = i; k < i + n; k++) s += x[k] * x[k]; out.push(Math.sqrt(s / n)); } return out; }"  # fmt: skip


@pytest.fixture(scope="session")
def stop_pair() -> Subject:
    return subject_of(("two", "do"))


@pytest.fixture(scope="session")
def stop_page(stop_pair: Subject, folder: Path) -> Path:
    path = folder / "stops.html"
    path.write_text(build.page(stop_pair), encoding="utf-8")
    return path


def levels(samples: np.ndarray, rate_hz: int) -> np.ndarray:
    """Root of the mean square in every step of LEVEL_S."""
    step = round(LEVEL_S * rate_hz)
    return np.sqrt(np.square(samples[: len(samples) // step * step]).reshape(-1, step).mean(axis=1))


def lag_s(found: np.ndarray, wanted: np.ndarray, step_s: float) -> float:
    """How much later levels (n,) come than others (n,), at even steps."""
    count = min(len(found), len(wanted))
    a, b = (x[:count] - x[:count].mean() for x in (found, wanted))
    reach = round(0.2 / step_s)
    across = np.correlate(np.pad(a, reach), b, "valid")
    assert across.max() > 0.8 * np.linalg.norm(a) * np.linalg.norm(b)
    best = int(np.clip(across.argmax(), 1, len(across) - 2))
    before, here, after = across[best - 1 : best + 2]
    between = 0.5 * (before - after) / (before - 2 * here + after)  # the top of a parabola through the three
    return float((best + between - reach) * step_s)


def clip_of(page: Opened, half: int, speed: float) -> np.ndarray:
    page.until("vocaltract.sound.of.waves.every((wave) => wave !== null)", 30)
    return np.array(page.page.evaluate(f"Array.from(vocaltract.sound.clipAt({half}, {speed}))"))


@pytest.mark.parametrize("speed", [1, 0.5, 0.25])
def test_levels_come_when_the_picture_has_them(
    opened: Open, stop_page: Path, stop_pair: Subject, speed: float
) -> None:
    page = opened(stop_page)
    for half, item in enumerate(stop_pair.items):
        natural = levels(voice.clip_samples(item.timeline), settings().sound.rate_hz)
        pace = with_transients(constant(item.timeline.duration_s, speed), transients_s(item.timeline))
        film = np.arange(0, item.timeline.duration_s / speed, LEVEL_S)
        wanted = np.interp(pace.speech_time_s(film), (np.arange(len(natural)) + 0.5) * LEVEL_S, natural)
        assert abs(lag_s(levels(clip_of(page, half, speed), HZ), wanted, LEVEL_S)) < OFFSET_S
    quiet(page, stop_page)


def _begins(samples: np.ndarray, from_s: float) -> tuple[float, float]:
    """When after a time a burst has a tenth of its peak, and how long from there to nine tenths, in s."""
    first = round((from_s - 0.010) * HZ)
    envelope = np.abs(samples[first : first + round(0.030 * HZ)])
    steep = np.maximum.accumulate(envelope)
    low, high = (int(np.argmax(steep >= share * steep[-1])) for share in (0.1, 0.9))
    return (first + low) / HZ, (high - low) / HZ


@pytest.mark.parametrize("speed", [0.5, 0.25])
def test_a_burst_keeps_its_rise_and_its_place(
    opened: Open, stop_page: Path, stop_pair: Subject, speed: float
) -> None:
    # asked for by the issue: rise at most 1.2 times, onset within 2 ms at half speed
    page = opened(stop_page)
    release = stop_pair.items[0].timeline.spans[0].release_s
    assert release is not None
    natural_s, natural_rise = _begins(clip_of(page, 0, 1), release)
    slow_s, rise = _begins(clip_of(page, 0, speed), release / speed)
    assert rise <= 1.2 * natural_rise
    assert slow_s - release / speed == pytest.approx(natural_s - release, abs=0.002 if speed == 0.5 else 0.004)


def _period_s(samples: np.ndarray, middle_s: float) -> float:
    """The period of the voice around a time, of an even number of them by correlation."""
    half = round(0.03 * HZ)
    part = samples[round(middle_s * HZ) - half : round(middle_s * HZ) + half]
    found = np.correlate(part, part, "full")[len(part) - 1 :] / np.arange(len(part), 0, -1)
    low, high = round(0.006 * HZ), round(0.013 * HZ)
    return float((low + found[low:high].argmax()) / HZ)


@pytest.mark.parametrize("speed", [0.75, 0.5, 0.25])
def test_a_slowed_voice_keeps_its_pitch(opened: Open, stop_page: Path, stop_pair: Subject, speed: float) -> None:
    # asked for by the issue: within 1 %
    page = opened(stop_page)
    vowel = stop_pair.items[1].timeline.spans[1]
    middle = (vowel.start_s + vowel.end_s) / 2
    natural = _period_s(clip_of(page, 1, 1), middle)
    slowed = np.median([_period_s(clip_of(page, 1, speed), middle / speed + d) for d in (-0.02, 0, 0.02)])
    assert slowed == pytest.approx(natural, rel=0.01)


RECORDS = """() => {
  const { context, gain } = vocaltract.sound.of.out, taps = context.createScriptProcessor(256, 1, 1);
  window.taped = { levels: [], pictures: [] };
  taps.onaudioprocess = (event) => {
    let sum = 0;
    for (const x of event.inputBuffer.getChannelData(0)) sum += x * x;
    taped.levels.push([event.playbackTime - 256 / context.sampleRate, Math.sqrt(sum / 256)]);
  };
  gain.connect(taps);
  taps.connect(context.destination);
  const look = () => {
    const now = vocaltract.state();
    if (now.playing) taped.pictures.push([vocaltract.sound.heardAt(), now.at, now.view, vocaltract.sound.of.turn]);
    requestAnimationFrame(look);
  };
  look();
}"""


@pytest.mark.parametrize("speed", ["1", "05", "025"])
def test_what_is_heard_goes_with_what_is_seen(opened: Open, stop_page: Path, stop_pair: Subject, speed: str) -> None:
    page = opened(stop_page, "#view=first")
    page.page.click(f"#speed-{speed}")
    page.page.click("#sound")
    page.until("vocaltract.sound.of.out.context.state === 'running'", 30)
    page.page.evaluate(RECORDS)
    page.page.click("#start")
    page.page.click("#play")
    page.until("taped.pictures.length > 3 && !vocaltract.state().playing", 60)
    taped: dict[str, Any] = page.page.evaluate("taped")
    item, rate = stop_pair.items[0], {"1": 1.0, "05": 0.5, "025": 0.25}[speed]
    clock, seen = (np.array([row[i] for row in taped["pictures"]], dtype=float) for i in (0, 1))
    moving = np.concatenate([[False], np.diff(seen) > 0])
    zero = page.page.evaluate("vocaltract.zeros()")[0]
    heard_s, level = np.array(taped["levels"]).T
    # the picture's time of each level, by the frames that were shown about then
    shown = np.median(seen[moving] - rate * clock[moving]) + rate * heard_s + zero
    natural = levels(voice.clip_samples(item.timeline), settings().sound.rate_hz)
    step = LEVEL_S * rate
    grid = np.arange(item.timeline.speech_s[0] - 0.05, item.timeline.speech_s[1] + 0.1, step)
    pace = with_transients(constant(item.timeline.duration_s, rate), transients_s(item.timeline))
    sounding = pace.speech_time_s(grid / rate)
    wanted = np.interp(sounding, (np.arange(len(natural)) + 0.5) * LEVEL_S, natural)
    live_s = OFFSET_S + LEVEL_S  # what is taped of a browser at work is known to a step of levels
    assert abs(lag_s(np.interp(grid, shown, level), wanted, LEVEL_S)) < live_s
    # ... and no frame is away from that by more
    assert np.abs(seen[moving] - rate * clock[moving] - np.median(seen[moving] - rate * clock[moving])).max() < 0.1
    assert [fault for fault in page.faults if "ScriptProcessorNode" not in fault] == []  # that one is the test's own


def test_nothing_sounds_unasked_and_the_choice_is_remembered(opened: Open, stop_page: Path) -> None:
    # WCAG 2.2, 1.4.2: nothing plays by itself
    page = opened(stop_page)
    assert page.page.get_attribute("#sound", "aria-pressed") == "false"
    page.page.click("#play")
    page.until("vocaltract.state().at > 0")
    assert page.page.evaluate("vocaltract.sound.of.out") is None
    page.page.click("#sound")
    page.page.reload()
    page.until("window.vocaltract !== undefined")
    assert page.page.get_attribute("#sound", "aria-pressed") == "true"
    assert page.page.evaluate("vocaltract.sound.of.out") is None
    page.page.click("#sound")
    page.page.reload()
    page.until("window.vocaltract !== undefined")
    assert page.page.get_attribute("#sound", "aria-pressed") == "false"


def test_two_in_step_are_heard_one_after_the_other(opened: Open, stop_page: Path) -> None:
    page = opened(stop_page, "#view=side")
    page.page.click("#sound")
    page.until("vocaltract.sound.of.out.context.state === 'running'", 30)
    page.page.click("#start")
    page.page.click("#speed-1")
    page.page.click("#play")
    page.until("document.querySelector('#half-0').hasAttribute('data-heard')", 30)
    page.until("document.querySelector('#half-1').hasAttribute('data-heard')", 30)
    page.until("!vocaltract.state().playing", 30)
    assert page.page.locator("[data-heard]").count() == 0


def test_words_and_sounds_are_heard_by_themselves(opened: Open, stop_page: Path) -> None:
    page = opened(stop_page)
    page.page.click("#hear-1")
    page.until("vocaltract.sound.of.one?.length === 1", 30)
    page.page.click("#hear-both")
    page.until("vocaltract.sound.of.one?.length === 2", 30)
    page.page.click("#sound")
    page.page.click("#sound-1-0")
    page.until("vocaltract.sound.of.one?.length === 1", 30)
    page.page.click("#play")
    page.until("vocaltract.sound.of.one === null", 30)


def test_where_clips_cannot_be_played_the_page_says_so(opened: Open, stop_page: Path) -> None:
    broken = "OfflineAudioContext.prototype.decodeAudioData = () => Promise.reject(new Error('no decoder'))"
    page = opened(stop_page, before=broken)
    page.until("vocaltract.sound.of.failed", 30)
    assert page.page.is_disabled("#sound")
    assert "cannot play" in page.page.inner_text("#voice-note")
    page.page.click("#play")
    page.until("vocaltract.state().at > 0")
    quiet(page, stop_page)


def test_two_words_add_little_to_a_page(stop_page: Path) -> None:
    # asked for by the issue: at most 25 kB more for two words
    html = stop_page.read_text(encoding="utf-8")
    carried = json.loads(html.split('id="page-data">')[1].split("</script>")[0])
    added = sum(len(text) for text in carried["clips"])
    added += sum(len(build._lean(build._asset(name))) for name in ("stretch.js", "sound.js", "sound.css"))
    data, tables = unpacked_page(html)
    assert set(tables) >= {"a_wave", "b_wave"}
    assert added + len(json.dumps(data["stretching"])) < 25_000
