"""`vocaltract plan`: a plan file begun, checked, or compared with what is built."""

from __future__ import annotations

import argparse
from pathlib import Path

from articulators.errors import BadInput
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report

NAME = "plan"
ORDER = 61
WHAT = "the plan file of a course: begin one, check it, or see what would be built"
EXAMPLE = """vocaltract plan new front-desk.toml          six lessons with comments, to change
  vocaltract plan check front-desk.toml
  vocaltract plan changes front-desk.toml --out front-desk"""


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    parser.add_argument("what", choices=("new", "check", "changes"), help="what to do with the plan")
    parser.add_argument("plan", metavar="PLAN", help="the plan file")
    parser.add_argument(
        "--out", metavar="DIR", help="changes: the folder of the course; default: that of the plan's name"
    )
    parser.add_argument("--force", action="store_true", help="new: replace a file that exists")
    parser.add_argument("--json", action="store_true", help="print a report as JSON")


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.coursework.build import what_changes
    from renders.coursework.items import course_items
    from renders.coursework.plan_file import course_plan, example_plan
    from renders.files.outputs import atomic_path, choose_path

    if args.what != "changes" and args.out is not None:
        raise BadInput(f"--out goes with 'plan changes'; 'plan {args.what}' has no folder")
    if args.what == "new":
        path = choose_path(args.plan, args.plan, (".toml",), args.force)
        with atomic_path(path, args.force) as part:
            part.write_text(example_plan(), encoding="utf-8", newline="\n")
        return {"out": path}
    plan = course_plan(args.plan)
    if args.what == "check":
        items = course_items(plan)
        notes = [f"{plan.title}: {len(plan.lessons)} lessons, {len(items)} items; nothing is wrong"]
        return _told(args, notes, {"lessons": [one.name for one in plan.lessons], "items": len(items)})
    found = what_changes(plan, Path(args.out or Path(args.plan).stem))
    notes = [f"{name}: {why}" for name, why in found.items()] or ["nothing is to be built"]
    return _told(args, notes, {"changes": found})


def _told(args: argparse.Namespace, lines: list[str], report: Report) -> Report:
    """The report, or its lines printed."""
    if args.json:
        return report
    print("\n".join(lines))
    return {"printed": True}
