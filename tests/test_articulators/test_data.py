"""Data files of the organs: every number has a source; a misspelt key or a row without source is refused."""

from __future__ import annotations

from importlib import resources

import pytest

from articulators.errors import BadInput
from articulators.head import Head
from articulators.posture import Parts
from articulators.records import Record
from tests.data_faults import DataFile, Fault, faults, unsourced

HEADS = ("adult_male.toml", "adult_female.toml", "child.toml")
FILES = (*(DataFile("articulators", name, Head) for name in HEADS), DataFile("articulators", "posture.toml", Parts))


def test_every_file_is_looked_at() -> None:
    there = {file.name for file in resources.files("articulators").joinpath("data").iterdir()}
    assert there == {file.name for file in FILES}


@pytest.mark.parametrize("fault", [fault for file in FILES for fault in faults(file)], ids=str)
def test_a_planted_fault_is_refused_with_file_key_and_what_is_allowed(fault: Fault) -> None:
    with pytest.raises(BadInput) as caught:
        fault.read()
    assert str(caught.value).startswith(f"{fault.file.name}: ") and fault.message in str(caught.value)


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.name)
def test_every_number_has_a_source(file: DataFile) -> None:
    assert unsourced(file.values(), file.kind) == []


class Bare(Record, frozen=True):
    """A table without a source."""

    gap_mm: float


class Holder(Record, frozen=True):
    """A file that holds one."""

    bare: Bare


def test_a_number_without_source_is_seen() -> None:
    assert unsourced({"bare": {"gap_mm": 1.0}}, Holder) == [".bare.gap_mm"]
