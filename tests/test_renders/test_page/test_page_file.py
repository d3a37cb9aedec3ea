"""The file of a page: one file, small, closed to the outside, and safe whatever the text is."""

from __future__ import annotations

import base64
import dataclasses
import hashlib
import json
import re
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from articulators.errors import BadInput
from articulators.section import section
from renders.anatomy.lines import ink_lines
from renders.page import build, outlines
from renders.page.difference import compared
from renders.page.settings import settings
from renders.page.subject import Item, Subject, subject_of
from tests.test_renders.test_page.conftest import apart_mm, unpacked_page

MOST_BYTES = 250_000 + 25_000 + 15_000  # asked for: the page, and the sound of two words; what records, no source
HOSTILE = "</script><script>alert(1)</script><img src=x onerror=alert(2)> \u202egnp.exe\u2066 & \u2028 \"'"


class Reader(HTMLParser):
    """Elements with their attributes, and the text of scripts and styles."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.inside: list[tuple[str, str]] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_data(self, data: str) -> None:
        if self.tags and self.tags[-1][0] in ("script", "style"):
            self.inside.append((self.tags[-1][0], data))


def _read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    return reader


def _data(html: str) -> dict[str, Any]:
    return unpacked_page(html)[0]


def test_a_pair_of_words_stays_under_the_limit(voiced_page: Path, nasal_page: Path) -> None:
    for path in (voiced_page, nasal_page):
        assert 50_000 < path.stat().st_size < MOST_BYTES


def test_a_pair_of_long_words_stays_under_the_limit_too() -> None:
    html = build.page(subject_of(("reservation", "registration")), "zh")
    assert len(html.encode("utf-8")) < MOST_BYTES
    data = _data(html)
    assert (
        data["rate"] == settings().outlines.long_rate_hz
    )  # stands in the file, and lower only where the texts are long
    assert _data(build.page(subject_of(("t", "d"))))["rate"] == settings().outlines.rate_hz


def test_the_file_refers_to_nothing_outside(voiced_page: Path) -> None:
    html = voiced_page.read_text(encoding="utf-8")
    for tag, attributes in _read(html).tags:
        assert tag not in ("link", "img", "iframe", "object", "embed", "video", "audio", "base", "form")
        assert not {"src", "srcset", "action", "style"} & set(attributes), (tag, attributes)
        assert not [name for name in attributes if name.startswith("on")]
        assert attributes.get("href", "#").startswith("#")  # type: ignore[union-attr]
    data, _ = unpacked_page(html)
    # packed bytes may look like anything: what they say is looked at instead
    told = re.sub(r'"(?:told|packed)":"[^"]*"', "", html) + json.dumps(data)
    outside = set(re.findall(r"(?:https?:)?//[\w.-]+\.\w+", told.replace("//www.w3.org/2000/svg", "")))
    assert outside == set()
    assert not re.search(
        r"url\(|@import|@font-face|fetch\(|XMLHttp|WebSocket|sendBeacon|eval\(|innerHTML|insertAdjacent", told
    )


def test_the_policy_names_exactly_the_script_and_the_style(voiced_page: Path) -> None:
    # source: Content Security Policy Level 3 (W3C): hash-source is base64 of the digest of the element's text
    html = voiced_page.read_text(encoding="utf-8")
    reader = _read(html)
    policy = next(str(a["content"]) for t, a in reader.tags if a.get("http-equiv") == "Content-Security-Policy")
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'none'"
    assert rules["base-uri"] == rules["form-action"] == "'none'"
    blocks = re.findall(r"<(script|style)>(.*?)</\1>", html, re.DOTALL)
    assert [kind for kind, _ in blocks] == ["style", "script"]
    for kind, text in blocks:
        digest = base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode()
        assert rules[f"{kind}-src"] == f"'sha256-{digest}'"


def _renamed(item: Item, name: str) -> Item:
    utterance = dataclasses.replace(item.timeline.utterance, text=name, words=(name,), transcription=f"[{name}]")
    timeline = dataclasses.replace(item.timeline, utterance=utterance)
    return dataclasses.replace(item, name=name, timeline=timeline)


def hostile(subject: Subject) -> str:
    """A page whose texts are hostile: the reading of texts refuses them, so they are put in behind its back."""
    items = tuple(_renamed(item, HOSTILE) for item in subject.items)
    return build.page(Subject(items, subject.told))


def test_a_hostile_text_stays_text(voiced_pair: Subject) -> None:
    html = hostile(voiced_pair)
    reader = _read(html)
    assert [t for t, _ in reader.tags if t == "script"] == ["script", "script"]
    assert [t for t, _ in reader.tags if t == "img"] == []
    assert _data(html)["halves"][0]["name"] == HOSTILE


def test_json_in_a_page_can_neither_end_nor_start_an_element() -> None:
    text = build.json_for_html({"a": HOSTILE})
    assert not set("<>&\u2028\u2029") & set(text)
    assert json.loads(text)["a"] == HOSTILE


@pytest.mark.parametrize(
    ("texts", "message"),
    [
        (("t", "t"), "same sound"),
        (("two", "too"), "said the same"),
        ((), "0 texts"),
        (("a", "b", "c"), "3 texts"),
        (("town " * 400,), "2000 letters; a page takes up to 400"),
        (("reservation " * 12,), "sounds; a page takes up to 60"),
        (("</script>",), "cannot be read"),
        (("",), "empty"),
    ],
)
def test_bad_input_is_told_before_anything_is_drawn(texts: tuple[str, ...], message: str) -> None:
    with pytest.raises(BadInput, match=message):
        subject_of(texts)


@pytest.mark.parametrize("mark", ["\u202e", "\u2066", "\u200f"])
def test_marks_that_turn_a_line_are_refused_or_left_out(mark: str) -> None:
    # source: Unicode Standard Annex 9, explicit directional formatting characters
    try:
        name = subject_of((f"{mark}town",)).items[0].name
    except BadInput:
        return
    assert name == "town"


def test_sounds_that_share_nothing_make_a_page() -> None:
    pair = subject_of(("[s]", "[i]"))
    said = compared(pair)
    assert said is not None
    assert said.shared == 0
    assert {row["part"] for row in said.rows if not row["same"]} >= {"contact", "tongue"}


# Statement rows against handbook facts: Ladefoged & Johnson, A Course in Phonetics, from memory.
@pytest.mark.parametrize(
    ("pair", "differs", "same"),
    [
        (("t", "d"), {"folds", "voice_onset", "puff"}, {"place", "contact", "tongue", "lips", "jaw", "velum", "nose"}),
        (("b", "m"), {"velum", "nose"}, {"place", "contact", "lips", "jaw"}),
        (("d", "l"), {"sides"}, {"nose", "velum"}),
    ],
)
def test_the_table_tells_what_differs(pair: tuple[str, str], differs: set[str], same: set[str]) -> None:
    said = compared(subject_of(pair))
    assert said is not None
    found = {row["part"]: row["same"] for row in said.rows}
    assert {part for part in differs if found.get(part) is not False} == set()
    assert {part for part in same if found.get(part) is not True} == set()


def test_packed_lines_are_those_of_the_model(nasal_pair: Subject) -> None:
    data, tables = unpacked_page(build.page(nasal_pair))
    worst = 0.0
    for number, (prefix, half) in enumerate(zip("ab", nasal_pair.items, strict=True)):
        offset = data["halves"][number]["offset"]
        times = offset + 0.01 * np.arange(len(tables[f"{prefix}_tongue"]))
        model = ink_lines(section(half.timeline.head, half.timeline.posture(times)))
        for line in outlines.FINELY[:-1]:
            every = data["lines"]["bent"][line][2]
            drawn = tables[f"{prefix}_{line}"]
            for frame in range(0, len(drawn), 4):
                worst = max(worst, apart_mm(drawn[frame].reshape(-1, 2), model[line][every * frame]))
    assert worst <= 0.1
    assert worst > 0.001  # lines are simplified: none at all would mean that nothing was compared


def test_comparison_of_outlines_notices_a_shift() -> None:
    line = np.stack([np.linspace(0, 10, 30), np.sin(np.linspace(0, 3, 30))], axis=-1)
    assert apart_mm(line, line + [0.0, 0.2]) > 0.1
