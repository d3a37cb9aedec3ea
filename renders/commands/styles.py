"""`vocaltract styles`: the looks that pictures and films come in, and a copy of one to make an own look from."""

from __future__ import annotations

import argparse

from articulators.errors import BadInput
from renders.commandline import arguments
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report

NAME = "styles"
ORDER = 110
WHAT = "the looks to choose from, a copy of one to change, or a check of one that was changed"
EXAMPLE = "vocaltract styles light --out my-look.toml"
LOOK_ENDINGS = (".toml",)


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    parser.add_argument(
        "style", metavar="STYLE", nargs="?", help="a look to copy, or a .toml file to check; none: list the looks"
    )
    arguments.add_output(parser, "file to write a copy of STYLE to (.toml); change it and use it with --style FILE")


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    from renders.paper import style, style_file

    if args.out is not None:
        if args.style is None:
            raise BadInput(f"which look is to be copied? Name one: {', '.join(style.names())}")
        return _copied(args)
    if args.style is not None and args.style.endswith(style_file.ENDING):
        return _checked(args)
    names = style.names() if args.style is None else (style.load(args.style).name,)
    rows = [{"name": name, "title": style.load(name).title} for name in names]
    if args.json:
        return {"styles": rows}
    wide = max(len(row["name"]) for row in rows)
    print("\n".join(f"{row['name']:<{wide}}  {row['title']}" for row in rows))
    return {"printed": True}


def _copied(args: argparse.Namespace) -> Report:
    from renders.files.outputs import atomic_path, choose_path
    from renders.paper import style

    text = style.copy_of(args.style)
    out = choose_path(args.out, "", LOOK_ENDINGS, args.force)
    with atomic_path(out, args.force) as part:
        part.write_text(text, encoding="utf-8", newline="\n")
    return {"out": out, "copy_of": args.style, "notes": [f"change it, then use it: --style {out}"]}


def _checked(args: argparse.Namespace) -> Report:
    """A look of one's own: contrast, which it must have, and how far its signal colours lie apart."""
    from pathlib import Path

    from renders.paper import legibility, style
    from renders.paper.style_table import style_table

    look = style.load(args.style, checked=False)
    faint = legibility.too_faint(look.colours)
    apart = {kind: round(least, 1) for kind, least in legibility.least_differences(look.colours).items()}
    least = style_table().difference.least
    if not args.json:
        lines = [f"{Path(args.style).name}: " + ("too faint" if faint else "contrast is enough everywhere"), *faint]
        lines.append(f"air, voice, contact and moving parts lie apart by (CIEDE2000, at least {least:g} is good):")
        lines += [f"  {kind}: {value:g}" + ("" if value >= least else "  too close") for kind, value in apart.items()]
        print("\n".join(lines))
    return {"style": args.style, "too_faint": faint, "smallest_difference": apart, "printed": True}
