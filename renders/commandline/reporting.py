"""What a command gives back, and how it tells of its work while it lasts."""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from renders.files.outputs import Progress

Report = dict[str, Any]
"""What is reported: "out" (what was written), "notes" (lines to show), "failed" (what was not made), "printed" (all was
said on standard output already), and whatever else there is to know."""


@contextlib.contextmanager
def progress_bar(args: argparse.Namespace, what: str) -> Iterator[Progress | None]:
    """A bar on standard error, told (done, total), after one second; None where nobody watches."""
    if not (args.progress or sys.stderr.isatty()):
        yield None
        return
    from tqdm import tqdm

    delay_s = 0.0 if args.progress else 1.0
    with tqdm(desc=what, delay=delay_s, leave=args.progress, file=sys.stderr) as bar:

        def show(done: int, total: int) -> None:
            bar.total = total
            bar.update(done - bar.n)

        yield show


def as_json(value: Any) -> str:
    """JSON for people and programs: IPA as it is, paths as text."""
    return json.dumps(value, ensure_ascii=False, indent=2, default=os.fspath)
