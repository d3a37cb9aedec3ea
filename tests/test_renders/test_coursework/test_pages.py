"""The index of a course and the page of a lesson: links lead to lessons, and what was not made is told."""

from __future__ import annotations

from pathlib import Path

import pytest

from renders.coursework import course_index, lesson_html
from renders.coursework.plan_file import CoursePlan, course_plan, example_plan


@pytest.fixture
def plan(tmp_path: Path) -> CoursePlan:
    """The example."""
    file = tmp_path / "plan.toml"
    file.write_text(example_plan(), encoding="utf-8")
    return course_plan(file)


def test_index_links_every_lesson_and_the_map(plan: CoursePlan) -> None:
    page = course_index.index_files(plan, {course_index.MAP: b'{"consonants": ["a chart", 9, 9]}'})[
        "index.html"
    ].decode()
    assert all(f'href="lessons/{one.name}/index.html"' in page for one in plan.lessons)
    assert 'src="map/consonants.png"' in page
    assert 'name="viewport"' in page


def test_page_of_phrases_tells_what_was_not_made(plan: CoursePlan) -> None:
    page = lesson_html.lesson_html(plan.lessons[-1], {}, None)
    assert "pick it up" in page
    assert 'class="missing"' in page
