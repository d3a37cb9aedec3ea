"""From a display list to pixels, SVG and PDF, in one process or two."""
