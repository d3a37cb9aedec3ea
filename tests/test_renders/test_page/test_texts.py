"""The texts of a page: every one that it asks for is there in every language. Outside: none, completeness."""

from __future__ import annotations

import json
import re
from importlib import resources
from typing import Any

import pytest

from renders.page.build import page as made
from renders.page.difference import compared
from renders.page.item_data import NumberedLines
from renders.page.page_data import Content, page_data
from renders.page.subject import Subject, subject_of
from renders.page.texts import as_row, texts_for
from renders.wording.languages import language_of
from renders.wording.line import Line, Series, keys, line
from renders.wording.shipped import languages
from tests.test_renders.test_page.conftest import Open

JOINTS = {"comma": "join_comma", "last": "join_last", "word": "join_word"}


def needed(row: Any) -> set[str]:
    """Keys of the texts that a row of a page asks for."""
    if isinstance(row, str):
        return set()
    if "items" in row:
        return {JOINTS[row["joint"]]} | {key for item in row["items"] for key in needed(item)}
    return {row["key"]} | {key for blank in row.get("fill", {}).values() for key in needed(blank)}


@pytest.fixture(scope="module")
def data(nasal_pair: Subject) -> dict[str, Any]:
    return json.loads(json.dumps(page_data(Content(nasal_pair, "es"))[1]))  # type: ignore[no-any-return]


def test_every_row_of_a_page_has_its_text_in_every_language(data: dict[str, Any]) -> None:
    said = data["difference"]
    rows = [*data["texts"], said["headline"], *said["plain"], *said["technical"], *said["unseen"]]
    asked = {key for row in rows for key in needed(row)}
    assert len(asked) > 60
    for key in languages():
        assert asked - set(data["messages"][key]) == set()


def test_every_key_of_the_table_and_of_the_palate_has_its_text(voiced_pair: Subject) -> None:
    _, data = page_data(Content(voiced_pair))
    for key in languages():
        there = data["messages"][key]
        rows = data["difference"]["rows"]
        assert {v for row in rows for v in (row["a"], row["b"]) if isinstance(v, str)} <= set(there)
        assert {word for half in data["halves"] for _, word in half.get("palatogram", [])} <= set(there)
        assert {f"part_{row['part']}" for row in rows} <= set(there)


def test_every_text_that_the_script_asks_for_is_there() -> None:
    folder = resources.files("renders.page").joinpath("assets")
    script = "\n".join(p.read_text(encoding="utf-8") for p in folder.iterdir() if p.name.endswith(".js"))
    asked = set(re.findall(r"\bsay\(\"(\w+)\"", script)) | set(re.findall(r"\b(?:t|label): \"(\w+)\"", script))
    asked |= set(re.findall(r"\], \"(key_\w+)\"", script))
    known = set(language_of().rows("page")) | set(texts_for(language_of(), ()))
    assert len(asked) > 60
    assert {key for key in asked - known if not key.endswith("_")} == set()


def test_a_page_holds_of_the_places_only_what_is_said() -> None:
    all_places = texts_for(language_of(), ["page.at_velar", "cue.tap"])
    assert "at_velar" in all_places and "at_uvular" not in all_places and "at_ms" in all_places
    assert all_places["cue.tap"] == "Quick tap"


def test_lines_as_rows() -> None:
    organs = Series((Line("pair_organ.jaw"), "x"), "last")
    said = line("pair_sentence.same", organs=organs)
    assert as_row(said) == {
        "key": "pair_sentence.same",
        "fill": {"organs": {"items": [{"key": "pair_organ.jaw"}, "x"], "joint": "last"}},
    }
    assert needed(as_row(said)) == {*keys(said), "join_last"}
    texts = NumberedLines()
    assert [texts.number(Line(key)) for key in ("cue.tap", "cue.held", "cue.tap")] == [0, 1, 0]
    assert texts.lines == (Line("cue.tap"), Line("cue.held"))


@pytest.mark.parametrize(
    ("language", "begins"), [("en", "The same mouth"), ("es", "La misma boca"), ("zh", "口形相同")]
)
def test_the_page_says_it_in_the_language_that_is_chosen(
    language: str, begins: str, opened: Open, voiced_page: object, voiced_pair: Subject
) -> None:
    page = opened(voiced_page, f"#lang={language}")
    assert page.page.locator("#lead strong").inner_text().startswith(begins)
    said = compared(voiced_pair)
    assert said is not None
    # two makers of one sentence, Python's and the page's
    assert page.page.locator(".cue-card").inner_text() == language_of(language).sentences(said.plain)
    page.page.evaluate("document.querySelector('#difference details').open = true")
    technical = page.page.locator("#difference details p").first.inner_text()
    assert technical == language_of(language).sentences(said.technical)


def test_names_of_sounds_by_rule_are_put_together_on_the_page(opened: Open, folder: Any) -> None:
    path = folder / "uvular.html"
    path.write_text(made(subject_of(("[q]", "k")), "es"), encoding="utf-8")
    page = opened(path)
    said = page.page.evaluate("document.querySelector('#difference details p').textContent")
    assert "q: oclusiva uvular sorda" in said
    page.page.select_option("#language", "zh")
    assert "清小舌塞音" in page.page.evaluate("document.querySelector('#difference details p').textContent")
