"""What libraries would do unasked when the command line is used: make folders of their own, and write to the screen."""

from __future__ import annotations

import logging
import os

from vocaltract.phonetics.cache_folder import folder


def keep_libraries_apart() -> None:
    """matplotlib keeps its list of fonts within our cache (in a passing folder where that cannot be written), reads no
    settings of the user's, and says nothing below an error. To be called before it is imported; a folder that
    MPLCONFIGDIR names stays.
    """
    if not os.environ.get("MPLCONFIGDIR"):
        os.environ["MPLCONFIGDIR"] = str(folder().absolute() / "matplotlib")
    logging.getLogger("matplotlib").setLevel(logging.ERROR)
