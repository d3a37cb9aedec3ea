"""What a command gives back, and how it tells of its work while it lasts."""

from __future__ import annotations

import argparse
import contextlib
import json
import os
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any, TextIO

if TYPE_CHECKING:
    from renders.files.outputs import Progress

Report = dict[str, Any]
"""What is reported: "out" (what was written), "notes" (lines to show), "failed" (what was not made), "printed" (all was
said on standard output already), and whatever else there is to know."""


class _Onlooker:
    """Standard error as a bar sees it: where its reader has gone or its disk is full, the work goes on."""

    def __init__(self, stream: TextIO) -> None:
        self._stream = stream
        self.encoding = stream.encoding

    def write(self, text: str) -> None:
        with contextlib.suppress(OSError):
            self._stream.write(text)

    def flush(self) -> None:
        with contextlib.suppress(OSError):
            self._stream.flush()

    def fileno(self) -> int:
        return self._stream.fileno()

    def isatty(self) -> bool:
        return self._stream.isatty()


@contextlib.contextmanager
def progress_bar(args: argparse.Namespace, what: str) -> Iterator[Progress | None]:
    """A bar on standard error, told (done, total), after one second; None where nobody watches."""
    watched = sys.stderr
    if watched is None or not (args.progress or watched.isatty()):  # None where it was closed before the start
        yield None
        return
    from tqdm import tqdm

    delay_s = 0.0 if args.progress else 1.0
    with tqdm(desc=what, delay=delay_s, leave=args.progress, file=_Onlooker(watched)) as bar:

        def show(done: int, total: int) -> None:
            bar.total = total
            bar.update(done - bar.n)

        yield show


def as_json(value: Any) -> str:
    """JSON for people and programs: IPA as it is, paths as text."""
    return json.dumps(value, ensure_ascii=False, indent=2, default=os.fspath)
