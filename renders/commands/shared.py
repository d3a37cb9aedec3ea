"""What several commands need: names of sounds, places to write to, a progress bar."""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from articulators.errors import BadInput

PICTURE_ENDINGS = (".png", ".svg", ".pdf")
TABLE_ENDINGS = (".txt", ".csv", ".json")

Report = dict[str, Any]
Progress = Callable[[int, int], None]


def file_of(command: str, endings: tuple[str, ...]) -> str:
    """Help for --out: what may be written, and the default name."""
    return f"file to write ({', '.join(endings)}); default: ./{command}-NAME{endings[0]}"


def default_name(command: str, text: str, ending: str) -> str:
    """Name of the file that is written where --out is not given."""
    from renders.files.names import slug

    return f"{command}-{slug(text)}{ending}"


def folder(given: str | None, default: str) -> Path:
    """The folder of --out; BadInput where it is given but has no name."""
    if given == "":
        raise BadInput("the folder given with --out has no name; write for example --out front-desk")
    return Path(given or default)


def one_sound(name: str) -> str:
    """Symbol of a sound of the inventory, or one in brackets for any other; BadInput where it is no sound."""
    from vocaltract.phonetics.inventory import entries, sound

    entry = sound(name)
    return entry.symbol if entry.symbol in entries() else f"[{entry.symbol}]"


def two_sounds(args: argparse.Namespace) -> tuple[str, str]:
    """Symbols of A and B; BadInput where they are the same sound."""
    a, b = one_sound(args.a), one_sound(args.b)
    if a == b:
        raise BadInput(f"'{args.a}' and '{args.b}' are the same sound; name two different ones")
    return a, b


@contextlib.contextmanager
def progress_bar(args: argparse.Namespace, what: str) -> Iterator[Progress | None]:
    """A bar on standard error, told (done, total), after one second; None where nobody watches."""
    if not (args.progress or sys.stderr.isatty()):
        yield None
        return
    from tqdm import tqdm

    delay_s = 0.0 if args.progress else 1.0
    with tqdm(desc=what, delay=delay_s, leave=args.progress, file=sys.stderr) as bar:

        def told(done: int, total: int) -> None:
            bar.total = total
            bar.update(done - bar.n)

        yield told


def as_json(value: Any) -> str:
    """JSON for people and programs: IPA as it is, paths as text."""
    return json.dumps(value, ensure_ascii=False, indent=2, default=os.fspath)
