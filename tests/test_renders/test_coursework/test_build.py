"""The builder on small items: what is built, kept, resumed, refused; processes and a real Dask scheduler."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from articulators.errors import BadInput, SurroundingsError
from renders.coursework.build import build_items
from renders.coursework.built import Built, built, put_item, why_to_build
from renders.coursework.workers import outcomes
from renders.lesson_items.item import Files, LessonItem


def say(text: str, given: Files) -> Files:
    """A file of the text, or of the files it reads."""
    if text == "broken":
        raise SurroundingsError("cannot be said")
    return {f"words/{text}.txt": text.encode() + b"".join(given.values())}


def items(*texts: str) -> tuple[LessonItem, ...]:
    """One a text, and one that reads them all."""
    made = [LessonItem(f"desk: {text}", {"text": text}, partial(say, text)) for text in texts]
    return (*made, LessonItem("desk: page", {}, partial(say, "page"), tuple(f"words/{text}.txt" for text in texts)))


def test_only_what_changed_is_built(tmp_path: Path) -> None:
    assert build_items(items("key", "desk"), tmp_path, jobs=1)["built"] == ["desk: desk", "desk: key", "desk: page"]
    assert build_items(items("key", "desk"), tmp_path, jobs=1)["built"] == []
    assert build_items(items("key", "desk", "room"), tmp_path, jobs=1)["built"] == ["desk: page", "desk: room"]
    assert (tmp_path / "words" / "page.txt").read_bytes() == b"pagekeydeskroom"


def test_what_fails_is_told_and_the_rest_is_built(tmp_path: Path) -> None:
    made = build_items(items("key", "broken"), tmp_path, jobs=1)
    assert made["failed"] == ["desk: broken (cannot be said)"]
    assert made["built"] == ["desk: key", "desk: page"]


def test_files_of_others_stay(tmp_path: Path) -> None:
    (tmp_path / "words").mkdir()
    (tmp_path / "words" / "key.txt").write_text("mine")
    made = build_items(items("key"), tmp_path, jobs=1)
    assert "somebody else" in made["failed"][0]
    assert (tmp_path / "words" / "key.txt").read_text() == "mine"


def test_a_build_killed_between_files_knows_them_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (item, _) = items("key")
    build_items([], tmp_path)
    put_item(tmp_path, item, "", {"words/key.txt": b"key"})  # as one that was killed before its last record
    assert why_to_build(tmp_path, item, item.key()) == "interrupted"
    assert build_items([item], tmp_path, jobs=1)["built"] == [item.name]
    there = built(tmp_path, item)
    assert isinstance(there, Built)
    assert there.key == item.key()


def test_bad_folder_and_jobs(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(BadInput, match="give a folder"):
        build_items(items("key"), tmp_path / "file")
    with pytest.raises(BadInput, match="jobs"):
        build_items(items("key"), tmp_path, jobs=-1)


def test_dask_gives_the_same_bytes(tmp_path: Path) -> None:
    distributed = pytest.importorskip("distributed")
    work = [(item, {}) for item in items("key", "desk", "room")]
    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, processes=False, dashboard_address=None, host="127.0.0.1", protocol="tcp://"
    ) as cluster:
        there = {o.number: o.files for o in outcomes(work, cluster=cluster.scheduler_address)}
    here = {o.number: o.files for o in outcomes(work)}
    assert there == here


def test_no_cluster_is_one_line() -> None:
    pytest.importorskip("distributed")
    with pytest.raises(BadInput, match="does not answer"):
        list(outcomes([(items("key")[0], {})], cluster="nonsense://x"))
