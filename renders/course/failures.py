"""Parts of a lesson that fail: one is named and the rest goes on; what would stop every other part is raised."""

from __future__ import annotations

import contextlib
import errno
import sys
from collections.abc import Iterable, Iterator
from pathlib import Path

from articulators.errors import TractError

# failures of the disk that every later file would meet too
HOPELESS = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO)


@contextlib.contextmanager
def trying(what: str, failed: list[str], files: Iterable[Path] = ()) -> Iterator[None]:
    """A part that fails is named and its files are taken away; what would stop every other part is raised."""
    try:
        yield
    except Exception as error:
        for file in files:
            file.unlink(missing_ok=True)
        cause = error if isinstance(error, OSError) else error.__cause__ or error.__context__
        if isinstance(cause, OSError) and cause.errno in HOPELESS:
            raise
        if sys.flags.dev_mode and not isinstance(error, TractError):
            raise
        failed.append(f"{what} ({' '.join(str(error).split()) or type(error).__name__})")
