"""Plan files: the example is right; what is wrong is told with its line."""

from __future__ import annotations

from pathlib import Path

import pytest

from articulators.errors import BadInput
from renders.coursework.contents import contents
from renders.coursework.items import course_items
from renders.coursework.plan_file import course_plan, example_plan


def test_example_has_six_lessons_and_every_item_once(tmp_path: Path) -> None:
    file = tmp_path / "plan.toml"
    file.write_text(example_plan(), encoding="utf-8")
    plan = course_plan(file)
    assert len(plan.lessons) == 6
    names = [item.name for item in course_items(plan)]
    assert len(names) == len(set(names))
    assert all(shown.why for word, _ in contents(plan.lessons[-1]).words for shown in word.shown)


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('kind = "phrases"', 'kind = "phrase"', "line {line}: lesson[6].kind: 'phrase' is unknown"),
        ('name = "phrases"', 'name = "l-and-r"', "line {line}: lesson[6].name: 'l-and-r' is the name of an"),
        ('name = "phrases"', 'name = "../x"', "line {line}: lesson[6].name"),
        ('name = "phrases"', 'name = "con"', "reserved"),
        ('sounds = ["l", "r"]', 'sounds = ["l"]', "line {line}: lesson[1].sounds: 1 sounds"),
        ('style = "light"', 'styel = "light"', "line {line}: key 'styel' is unknown"),
        ("version = 1", "version = 0", "has version 0; this program reads version 1"),
        ("[[lesson]]", "[[lesson]", "not TOML"),
        ("# [word.valet]", "[word.valot]", "no lesson has the word 'valot' (nearest: valet)"),
    ],
)
def test_faults(tmp_path: Path, old: str, new: str, told: str) -> None:
    assert old in example_plan()
    file = tmp_path / "plan.toml"
    file.write_text(example_plan().replace(old, new), encoding="utf-8")
    line = example_plan()[: example_plan().index(old)].count("\n") + 1
    with pytest.raises(BadInput) as fault:
        course_plan(file)
    assert told.format(line=line) in str(fault.value)
