"""`vocaltract course`: all lessons of a plan, of which only what changed is built."""

from __future__ import annotations

import argparse
from pathlib import Path

from renders.commandline import arguments
from renders.commandline.destinations import folder_of
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report, progress_bar

NAME = "course"
ORDER = 62
WHAT = "the lessons of a plan file and their index; built again only where something changed"
EXAMPLE = """vocaltract course front-desk.toml --out front-desk
  vocaltract course front-desk.toml --out front-desk --cluster tcp://10.0.0.5:8786"""


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    parser.add_argument("plan", metavar="PLAN", help="a plan file; 'vocaltract plan new' writes one")
    parser.add_argument(
        "--out", metavar="DIR", help="folder to build into, again and again; default: that of the plan's name"
    )
    parser.add_argument("--jobs", type=int, default=0, metavar="N", help="processes; default: one for each core")
    parser.add_argument("--cluster", default="", metavar="ADDRESS", help="a Dask scheduler to run on, tcp:// or tls://")
    arguments.add_progress(parser)
    parser.add_argument("--json", action="store_true", help="print a report as JSON")


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.coursework.build import build_course
    from renders.coursework.plan_file import course_plan

    plan = course_plan(args.plan)
    out = folder_of(args.out, Path(args.plan).stem)
    with progress_bar(args, "course") as progress:
        made = build_course(plan, out, jobs=args.jobs, cluster=args.cluster, progress=progress)
    return {"out": out, "notes": [f"{len(made['built'])} items built, {len(made['kept'])} as they were"], **made}
