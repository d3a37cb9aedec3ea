"""`vocaltract words`: practice words and minimal pairs."""

from __future__ import annotations

import argparse
import re
from typing import Any

from articulators.errors import BadInput
from renders.commandline import arguments
from renders.commandline.parser import Parser
from renders.commandline.reporting import Report, as_json
from renders.files.formats import TABLE_ENDINGS

NAME = "words"
ORDER = 80
WHAT = "practice words for a sound, by place and commonness, or minimal pairs"
EXAMPLE = """vocaltract words t                              every place that t has
  vocaltract words t --where flapped              city, water, bottle: how Americans say it at the desk
  vocaltract words k --where held --count 40      picture, doctor, director: kept shut before another stop
  vocaltract words l --where dark --where final   bill, hotel, towel
  vocaltract words "[tʰ]" --where initial         only those with a puff of breath
  vocaltract words v --against w                  vest and west, vine and wine
  vocaltract words t --against d --where final --csv"""
EACH, LISTED = 8, 20


def add(parser: Parser) -> None:
    """Declares what may be typed after the command's name."""
    from vocaltract.words.practice.places import WORD_PLACES

    arguments.add_sound(parser, optional=True)
    parser.add_argument(
        "--where",
        action="append",
        default=[],
        metavar="PLACE",
        help=f"only words that have it there; repeat it to ask for more at once: {', '.join(WORD_PLACES)}",
    )
    parser.add_argument("--against", metavar="SOUND", help="minimal pairs with this sound instead")
    parser.add_argument("--count", metavar="N", help=f"how many, or all (default: {LISTED}, or {EACH} for each place)")
    parser.add_argument("--csv", nargs="?", const="", metavar="FILE", help="print as CSV, or write FILE (.csv)")
    arguments.add_output(parser, f"file to write ({', '.join(TABLE_ENDINGS)}); default: print the list")


def run(args: argparse.Namespace) -> Report:
    """Runs the command; what it gives is printed or reported as JSON."""
    _settle(args)
    name = _name(args)
    where: list[str] = args.where
    count = _count(args.count, LISTED if where or args.against is not None else EACH)
    listed = _words(name, where, count) if args.against is None else _pairs((name, args.against), where, count)
    text, table, values, shown = listed
    if args.out is not None:
        from renders.files.outputs import atomic_path, choose_path

        out = choose_path(args.out, "", TABLE_ENDINGS, args.force)
        made = {".txt": text, ".csv": table, ".json": as_json(values)}[out.suffix.lower()]
        with atomic_path(out, args.force) as part:
            part.write_text(made + "\n", encoding="utf-8", newline="\n")
        return {"out": out, "count": shown}
    if args.json:
        return values
    print(text if args.csv is None else table)
    return {"printed": True}


def _settle(args: argparse.Namespace) -> None:
    """Where the list goes: --csv FILE is another way to write --out FILE."""
    if args.sound is None and args.csv and not args.csv.lower().endswith(".csv"):
        args.sound, args.csv = args.csv, ""  # `words --csv t`
    if args.csv is not None and args.out is not None:
        raise BadInput("--csv and --out both say where the list goes; give one of them")
    if args.csv:
        if not args.csv.lower().endswith(".csv"):
            raise BadInput(f"--csv '{args.csv}' is not a file ending in .csv; write for example --csv words.csv")
        args.out = args.csv
    elif args.csv is not None and args.json:
        raise BadInput("--csv and --json are two forms of one list; give one of them")


def _name(args: argparse.Namespace) -> str:
    """The sound that was asked for, as it was typed or as --as-in finds it."""
    if args.as_in is not None:
        from vocaltract.naming.marked import as_in
        from vocaltract.naming.named import name_of

        return name_of(as_in(args.as_in, args.sound or ""))
    if args.sound is None:
        raise BadInput("words needs a SOUND, such as t or sh")
    return args.sound


def _words(name: str, where: list[str], count: int | None) -> tuple[str, str, dict[str, Any], int]:
    from renders.tables import words_table
    from vocaltract.wordlists import narrow_symbol, practice_words, words_by_place

    if where:
        one = practice_words(name, where, count)
        listings = [one]
        text, asked, total = words_table.listing_text(one), one.where, one.total
    else:
        listings = list(words_by_place(name, count))
        all_words = practice_words(name, (), 1)
        asked, total = all_words.where, all_words.total
        text = words_table.overview_text(narrow_symbol(name), listings)
    values = words_table.listing_values(listings, asked, total)
    return text, words_table.listing_csv(listings), values, len(values["words"])


def _pairs(names: tuple[str, str], where: list[str], count: int | None) -> tuple[str, str, dict[str, Any], int]:
    from renders.tables import words_table
    from vocaltract.wordlists import minimal_pairs

    found = minimal_pairs(*names, where, count)
    values = words_table.pairs_values(found)
    return words_table.pairs_text(found), words_table.pairs_csv(found), values, len(found.pairs)


def _count(given: str | None, usual: int) -> int | None:
    """How many were asked for; None for "all"."""
    if given is None:
        return usual
    if given == "all":
        return None
    if not re.fullmatch(r"[0-9]{1,6}", given) or int(given) < 1:
        raise BadInput(f"count '{given}' is not a whole number from 1, or all")
    return int(given)
