"""The table of marks is refused where it is wrong. Outside: none, a rule of ours."""

from __future__ import annotations

from renders.marks.dimensions import Dimensions, dimensions
from tests.planted import refuses_planted_faults


def test_a_fault_in_the_table_is_told() -> None:
    refuses_planted_faults("renders.marks", "marks.toml", Dimensions)


def test_numbers_that_depend_on_each_other_agree() -> None:
    flow, jet, nose = dimensions().flow, dimensions().jet, dimensions().nose
    assert list(flow.lines) == sorted(flow.lines) and flow.lines[0] > 0 and flow.lines[-1] < 1
    assert flow.one_line_mm < flow.all_lines_mm and flow.arrow_room_mm < flow.arrows_room_mm
    assert jet.shortest_mm < jet.longest_mm and jet.nose_shortest_mm < jet.nose_longest_mm
    assert len(nose.lines) == len(nose.lift_mm)
