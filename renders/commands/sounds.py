"""`vocaltract sounds`: what can be named."""

from __future__ import annotations

import argparse

from renders.commandline import arguments
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report, as_json
from renders.files.formats import TABLE_ENDINGS

NAME = "sounds"
ORDER = 100
WHAT = "every sound that can be named"
EXAMPLE = "vocaltract sounds --out sounds.csv"


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    arguments.add_output(parser, f"file to write ({', '.join(TABLE_ENDINGS)}); default: print the list")


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.tables.sounds_table import sounds_csv, sounds_text
    from vocaltract.naming.listing import listing

    rows = listing()
    if args.out is None:
        if not args.json:
            print(sounds_text(rows))
            return {"printed": True}
        return {"sounds": rows}
    from renders.files.outputs import atomic_path, choose_path

    out = choose_path(args.out, "", TABLE_ENDINGS, args.force)
    made = {".txt": sounds_text, ".csv": sounds_csv, ".json": as_json}[out.suffix.lower()](rows)
    with atomic_path(out, args.force) as part:
        part.write_text(made + "\n", encoding="utf-8", newline="\n")
    return {"out": out, "count": len(rows)}
