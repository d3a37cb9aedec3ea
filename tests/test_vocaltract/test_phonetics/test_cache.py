"""Solved postures kept by content: not trusted when damaged, never half written; memory where nothing can be kept."""

from __future__ import annotations

import dataclasses
import json
import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest
from msgspec.structs import replace

from articulators.head import adult_male
from articulators.posture import Posture, posture_of
from tests.conftest import ROOT
from tests.scaled_speaker import scaled_speaker
from vocaltract.ipa.symbol import parse
from vocaltract.phonetics import cache, cache_folder, rules
from vocaltract.phonetics.speaker import man
from vocaltract.phonetics.targets import Target
from vocaltract.phonetics.vowel_targets import vowel_target

HEAD = adult_male()
TARGET = rules.target(parse("ʈ"))


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Path]:
    """An empty cache folder, and nothing held in memory."""
    where = tmp_path / "kept" / "postures"
    monkeypatch.setenv(cache_folder.VARIABLE, str(where))
    cache._held.cache_clear()
    yield where
    cache._held.cache_clear()


@pytest.fixture
def solving(monkeypatch: pytest.MonkeyPatch) -> list[Target]:
    """The targets that are really solved, with a quick stand-in for the solver."""
    seen: list[Target] = []

    def quick(target: Target, head: object) -> Posture:
        seen.append(target)
        return posture_of(jaw_mm=target.jaw_mm, tip_up_mm=1.25)

    monkeypatch.setattr("vocaltract.phonetics.solver.solve", quick)
    return seen


def again(target: Target = TARGET) -> Posture:
    """The posture as a fresh process would get it."""
    cache._held.cache_clear()
    return cache.solved_posture(target, HEAD)


def test_kept_posture_is_read_again(folder: Path, solving: list[Target]) -> None:
    first = again()
    assert np.array_equal(again().values, first.values)
    assert len(solving) == 1
    assert [p.name for p in folder.iterdir()] == [f"{cache.key(TARGET, HEAD)}.json"]


def test_in_one_process_memory_serves(folder: Path, solving: list[Target]) -> None:
    cache.solved_posture(TARGET, HEAD)
    for file in folder.iterdir():
        file.unlink()
    cache.solved_posture(TARGET, HEAD)
    assert len(solving) == 1


def test_voiced_and_voiceless_share_one_entry(folder: Path, solving: list[Target]) -> None:
    again()
    again(rules.target(parse("ɖ")))
    assert len(solving) == 1


def _damages() -> dict[str, bytes]:
    return {
        "empty": b"",
        "cut": b'{"format": 1, "key": "',
        "binary": bytes(range(256)),
        "list": b"[]",
        "number": b"1",
        "null parts": b'{"key": null, "parts": null, "check": null}',
        "deep": b"[" * 100_000,
    }


@pytest.mark.parametrize("damage", _damages().values(), ids=_damages())
def test_damaged_file_is_made_again(folder: Path, solving: list[Target], damage: bytes) -> None:
    first = again()
    file = next(folder.iterdir())
    good = file.read_bytes()
    file.write_bytes(damage)
    assert np.array_equal(again().values, first.values)
    assert len(solving) == 2
    assert file.read_bytes() == good


@pytest.mark.parametrize(
    "change",
    [
        lambda kept: kept["parts"].update(tip_up_mm=9.0),  # a value that the check does not cover any more
        lambda kept: kept["parts"].pop("jaw_mm"),
        lambda kept: kept["parts"].update(jaw_mm="wide"),
        lambda kept: kept.update(key="0" * 64),
        lambda kept: kept.update(check="0" * 64),
    ],
)
def test_altered_content_is_not_trusted(folder: Path, solving: list[Target], change: object) -> None:
    first = again()
    file = next(folder.iterdir())
    kept = json.loads(file.read_text(encoding="utf-8"))
    change(kept)  # type: ignore[operator]
    file.write_text(json.dumps(kept), encoding="utf-8")
    assert np.array_equal(again().values, first.values)
    assert len(solving) == 2


def test_out_of_range_value_with_a_right_check_is_not_trusted(folder: Path, solving: list[Target]) -> None:
    again()
    file = next(folder.iterdir())
    kept = json.loads(file.read_text(encoding="utf-8"))
    kept["parts"]["jaw_mm"] = 400.0
    kept["check"] = cache._check(kept["key"], kept["parts"])
    file.write_text(json.dumps(kept), encoding="utf-8")
    assert float(again()["jaw_mm"]) == TARGET.jaw_mm


@pytest.mark.skipif(sys.platform == "win32", reason="pipes are no files there")
def test_a_pipe_in_the_place_of_an_entry_is_not_waited_for(folder: Path, solving: list[Target]) -> None:
    first = again()
    file = next(folder.iterdir())
    file.unlink()
    os.mkfifo(file)
    assert np.array_equal(again().values, first.values)
    assert file.is_file()


def test_key_follows_target_head_solver_and_tables(monkeypatch: pytest.MonkeyPatch) -> None:
    one = cache.key(TARGET, HEAD)
    assert one == cache.key(replace(TARGET, symbols=("x",)), HEAD), "a name changes nothing in the mouth"
    assert one != cache.key(replace(TARGET, jaw_mm=TARGET.jaw_mm + 0.1), HEAD)
    moved = replace(HEAD.palate, surface=HEAD.palate.surface + 0.1)
    assert one != cache.key(TARGET, replace(HEAD, palate=moved))
    same = replace(HEAD, palate=replace(HEAD.palate, surface=np.array(HEAD.palate.surface)))
    assert one == cache.key(TARGET, same)
    monkeypatch.setattr("vocaltract.phonetics.solver.SOLVER_VERSION", -1)
    assert one != cache.key(TARGET, HEAD)
    monkeypatch.undo()
    monkeypatch.setattr("vocaltract.phonetics.cache._tables_hash", lambda tables: b"other")
    assert one != cache.key(TARGET, HEAD)


def test_key_of_a_vowel_follows_formants_start_and_head() -> None:
    vowel, start = vowel_target("ɛ"), posture_of()
    one = cache.vowel_key(vowel, man(), start)
    assert one == cache.vowel_key(vowel, dataclasses.replace(man(), name="other", rate=1.2), start)
    assert one != cache.vowel_key(vowel, man(), start.with_parts(jaw_mm=7.0))
    higher = {**man().formants_hz, "ɛ": (540.0, 1840.0, 2480.0)}
    assert one != cache.vowel_key(vowel, dataclasses.replace(man(), formants_hz=higher), start)
    assert one != cache.vowel_key(vowel, scaled_speaker(0.85), start)


def test_words_of_a_head_change_nothing_in_the_mouth() -> None:
    named = replace(HEAD, head_of=replace(HEAD.head_of, name="guest", title="a guest", source="elsewhere"))
    assert cache.key(TARGET, named) == cache.key(TARGET, HEAD)


def test_a_folder_that_cannot_be_made_falls_back_to_memory(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, solving: list[Target]
) -> None:
    file = tmp_path / "file"
    file.write_text("not a folder")
    monkeypatch.setenv(cache_folder.VARIABLE, str(file / "below"))
    first = again()
    assert np.array_equal(cache.solved_posture(TARGET, HEAD).values, first.values)
    assert len(solving) == 1
    assert file.read_text() == "not a folder"


def test_a_folder_that_refuses_writing_falls_back_to_memory(
    folder: Path, monkeypatch: pytest.MonkeyPatch, solving: list[Target]
) -> None:
    """Root may write anywhere, so that refusal is played by the call that would write."""

    def refuse(*_: object, **__: object) -> tuple[int, str]:
        raise PermissionError(13, "read-only")

    monkeypatch.setattr("tempfile.mkstemp", refuse)
    first = again()
    assert np.array_equal(cache.solved_posture(TARGET, HEAD).values, first.values)
    assert len(solving) == 1
    assert list(folder.iterdir()) == []


def test_a_disk_that_fills_up_leaves_no_half_file(
    folder: Path, monkeypatch: pytest.MonkeyPatch, solving: list[Target]
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "no space left")

    monkeypatch.setattr("os.replace", full)
    again()
    assert list(folder.iterdir()) == []


def test_place_is_the_named_folder_or_the_users_own(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(cache_folder.VARIABLE, "/somewhere/else")
    assert cache_folder.folder() == Path("/somewhere/else")
    for unset in ("", "  "):
        monkeypatch.setenv(cache_folder.VARIABLE, unset)
        assert cache_folder.folder().name == "vocaltract"
        assert cache_folder.folder().is_absolute()


CHILD = """
from articulators.head import adult_male
from vocaltract.phonetics import cache, cache_folder, rules
from vocaltract.ipa.symbol import parse
head = adult_male()
for symbol in "ʈ c q ħ".split():
    print(cache.solved_posture(rules.target(parse(symbol)), head).values.tolist())
"""


def test_processes_that_write_at_once_agree_and_leave_whole_files(folder: Path) -> None:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONUTF8": "1", "OMP_NUM_THREADS": "1"}
    running = [
        subprocess.Popen([sys.executable, "-c", CHILD], env=environment, stdout=subprocess.PIPE, encoding="utf-8")
        for _ in range(3)
    ]
    said = {process.communicate(timeout=120)[0] for process in running}
    assert [process.returncode for process in running] == [0, 0, 0]
    assert len(said) == 1
    files = list(folder.iterdir())
    assert len(files) == 4, files
    for file in files:
        kept = json.loads(file.read_text(encoding="utf-8"))
        assert kept["check"] == cache._check(kept["key"], kept["parts"])
        assert file.stem == kept["key"]
