"""Handouts, keys, slides and lists. Outside: PDFium reads text and draws pages, pikepdf the structure (PDF/UA-1, ISO
14289-1: tags, title, language, alt texts, fonts inside), python-pptx the slides, the csv module the list.
"""

from __future__ import annotations

import csv
import io
import unicodedata
from dataclasses import replace
from typing import Any

import numpy as np
import pikepdf
import pptx
import pypdfium2
import pytest
from PIL import Image

from articulators.errors import BadInput, SurroundingsError
from renders.handouts import handout as printing
from renders.handouts import slides
from renders.handouts.content import Handout, SheetPicture
from renders.handouts.dialogues import dialogue_for, dialogues
from renders.handouts.gathered import handout_of, same_family
from renders.handouts.handout import handout_pdf, key_pdf
from renders.handouts.lists import manifest_sources, practice_csv, rights_text
from renders.handouts.slides import SlideFilm, slides_pptx
from renders.wording.languages import language_of

ALT = "Two side views of a mouth"
CONTRASTS = [("l", "ɹ"), ("i", "ɪ"), ("θ", "s"), ("p", "b"), ("v", "w")]


def png() -> bytes:
    held = io.BytesIO()
    Image.new("RGB", (1044, 548), "grey").save(held, "png")
    return held.getvalue()


@pytest.fixture(scope="module")
def sheet() -> Handout:
    return handout_of(["θ", "s"], picture=SheetPicture(png(), ALT), film="practice.mp4")


def text_of(data: bytes) -> str:
    return "\n".join(page.get_textpage().get_text_range() for page in pypdfium2.PdfDocument(data))


def elements(node: Any) -> list[Any]:
    found = []
    if isinstance(node, pikepdf.Array):
        for one in node:
            found += elements(one)
    elif isinstance(node, pikepdf.Dictionary) and "/S" in node:
        found += [node, *elements(node.get("/K", pikepdf.Array()))]
    return found


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("key", ["en", "es", "zh"])
def test_a_handout_is_a_tagged_document(key: str, paper: str, sheet: Handout) -> None:
    language = language_of(key)
    made = handout_of(["θ", "s"], language, picture=sheet.picture, film="practice.mp4")
    pdf = pikepdf.open(io.BytesIO(handout_pdf(made, paper)))
    assert bool(pdf.Root.MarkInfo.Marked) and str(pdf.Root.Lang).startswith(language.tag.split("-")[0])
    with pdf.open_metadata() as about:
        assert about["pdfuaid:part"] == "1" and about["dc:title"] == made.title
    tags = elements(pdf.Root.StructTreeRoot.K)
    kinds = {str(tag.S) for tag in tags}
    assert {"/H1", "/H2", "/Table", "/TH", "/Figure", "/L", "/Link"} <= kinds
    assert [str(tag.Alt) for tag in tags if str(tag.S) == "/Figure"] == [ALT]
    wide, high = (float(n) for n in pdf.pages[0].MediaBox[2:])
    assert (round(wide), round(high)) == {"a4": (595, 842), "letter": (612, 792)}[paper]
    fonts = [font for page in pdf.pages for font in page.Resources.Font.values()]
    for font in fonts:
        inner = font.DescendantFonts[0].FontDescriptor
        assert "/FontFile2" in inner or "/FontFile3" in inner
        assert any(name in str(inner.FontName) for name in ("Andika", "VocaltractHan", "Vocaltract"))


def test_its_text_can_be_taken_out_with_ipa(sheet: Handout) -> None:
    text = unicodedata.normalize("NFC", text_of(handout_pdf(sheet)))
    for wanted in ("[θ]", "sink", "Tongue tip lightly", "practice.mp4", "speech-language pathologist", "Day 4"):
        assert wanted in text


@pytest.mark.parametrize("paper", ["a4", "letter"])
@pytest.mark.parametrize("sounds", CONTRASTS, ids="".join)
def test_pages_are_two_and_full(sounds: tuple[str, str], paper: str) -> None:
    made = handout_of(sounds, picture=SheetPicture(png(), ALT), film="practice.mp4")
    assert len(made.pairs) == 6
    for data in (handout_pdf(made, paper), key_pdf(made, paper)):
        pages = pypdfium2.PdfDocument(data)
        assert len(pages) == (1 if data == key_pdf(made, paper) else 2)
        for page in pages:
            ink = np.asarray(page.render(scale=0.5).to_pil().convert("L")).min(axis=1) < 200
            rows = np.flatnonzero(ink)
            assert np.diff(rows).max() < 0.25 * len(ink)
        assert smallest_pt(pages) >= 11.9


def smallest_pt(pages: pypdfium2.PdfDocument) -> float:
    import ctypes

    found = []
    for page in pages:
        text = page.get_textpage()
        for at in range(text.count_chars()):
            if pypdfium2.raw.FPDFText_GetUnicode(text, at) > 32:
                found.append(float(pypdfium2.raw.FPDFText_GetFontSize(text, ctypes.c_int(at))))
    return min(found)


def test_the_key_stands_apart_and_gives_no_pattern(sheet: Handout) -> None:
    answers = sheet.answers()
    assert sorted(answers) == [0, 0, 0, 1, 1, 1]
    assert answers not in {(0, 1) * 3, (1, 0) * 3, (0, 0, 0, 1, 1, 1), (1, 1, 1, 0, 0, 0)}
    assert "Answer key" in text_of(key_pdf(sheet)) and "Answer key" not in text_of(handout_pdf(sheet))
    with pytest.raises(BadInput, match="no key"):
        key_pdf(replace(sheet, pairs=()))


def test_one_sound_makes_a_handout_without_a_listening_task() -> None:
    made = handout_of(["t"], picture=SheetPicture(png(), ALT))
    text = text_of(handout_pdf(made))
    assert "which word" not in text and "Palm before your mouth" in text


def test_dialogues_have_six_turns_of_guest_and_clerk() -> None:
    for one in dialogues():
        assert len(one.turns) == 6
        assert [turn.who for turn in one.turns[::2]] == [one.turns[0].who] * 3
        assert one.turns[0].who != one.turns[1].who
        for turn in one.turns:
            assert turn.text.count("*") % 2 == 0 and any(beat for _, beat in turn.parts)
            assert "".join(part for part, _ in turn.parts) == turn.plain
    assert dialogue_for(["l", "ɹ"]).name == "checking in"
    assert dialogue_for(["ʒ"]).sounds == ()


def test_words_of_one_family_are_one() -> None:
    assert same_family("collect", "collects") and same_family("collecting", "collect") and same_family("key", "key")
    assert not same_family("seat", "sit") and not same_family("key", "keep")


def test_slides_can_be_edited_and_have_notes_and_alt_texts(sheet: Handout) -> None:
    data = slides_pptx(sheet, [SlideFilm("think", b"a film", png(), "Film of think")])
    assert data == slides_pptx(sheet, [SlideFilm("think", b"a film", png(), "Film of think")])
    show = pptx.Presentation(io.BytesIO(data))
    assert show.slide_width / show.slide_height == pytest.approx(16 / 9, rel=1e-3)
    said, alts, links = [], [], []
    for page in show.slides:
        assert page.shapes.title.text and page.notes_slide.notes_text_frame.text
        for shape in page.shapes:
            if shape.shape_type in (13, 16):
                alts.append(shape._element.nvPicPr.cNvPr.get("descr"))
            if shape.has_text_frame:
                said.append(shape.text_frame.text)
                runs = [run for row in shape.text_frame.paragraphs for run in row.runs]
                assert all(run.font.size.pt >= 18 for run in runs)
                links += [run.hyperlink.address for run in runs if run.hyperlink.address]
    assert alts == [ALT, "Film of think"] and links == ["practice.mp4"]
    assert "Tongue tip lightly" in "\n".join(said)


def test_the_practice_list_is_read_back(sheet: Handout) -> None:
    rows = list(csv.reader(io.StringIO(practice_csv(sheet))))
    assert rows[0] == ["word", "said", "sound", "place", "minimal pair"]
    words = [word for group in sheet.groups for word in group.words]
    assert [(row[0], row[1]) for row in rows[1:]] == [(word.text, word.ipa) for word in words]
    assert any(row[0] == "thank" and row[4] == "sank" for row in rows)


def test_rights_and_sources_name_every_licence() -> None:
    told = rights_text(language_of("en"))
    for licence in ("MIT", "BSD-2-Clause", "OFL-1.1", "LicenseRef-SCOWL"):
        assert licence in told
    assert manifest_sources()["program"] == "vocaltract"


def test_a_missing_extra_is_one_line(sheet: Handout, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(__import__("sys").modules, "typst", None)
    monkeypatch.setitem(__import__("sys").modules, "pptx", None)
    with pytest.raises(SurroundingsError, match=r"vocaltract\[print\]"):
        printing.handout_pdf(sheet)
    with pytest.raises(SurroundingsError, match=r"vocaltract\[slides\]"):
        slides.slides_pptx(sheet)
