"""Where this program keeps what it has worked out: the only folder of the user's that it makes unasked."""

from __future__ import annotations

import os
from pathlib import Path

VARIABLE = "VOCALTRACT_CACHE"


def folder() -> Path:
    """The folder that VOCALTRACT_CACHE names, else the user's cache folder; it need not be there."""
    import platformdirs

    named = os.environ.get(VARIABLE, "").strip()
    return Path(named) if named else Path(platformdirs.user_cache_dir("vocaltract", appauthor=False))
