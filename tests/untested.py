"""Modules that no test imports directly: `python -m tests.untested` lists them.

A module counts as tested directly where a test imports it, or a name from it, by any import statement in the files
under `tests`, wherever it stands, or by a literal name given to import_module.
"""

from __future__ import annotations

import ast
import sys
from pathlib import Path

from tests.layers import imported_names, modules

# Module -> why no test imports it.
REASONS: dict[str, str] = {
    "renders.__main__": "is run as `python -m renders` by the tests of the commands",
}
# Modules that are about to get a test of their own; an entry that has one is refused.
AWAITED = frozenset(
    """
    articulators.lips
    articulators.outlines
    articulators.tongue
    renders.anatomy.fixed
    renders.anatomy.moving
    renders.anatomy.plate_pen
    renders.commands.film
    renders.commands.lesson
    renders.commands.measure
    renders.commands.page
    renders.commands.pair
    renders.commands.shared
    renders.commands.sounds
    renders.commands.speech
    renders.commands.still
    renders.commands.strip
    renders.commands.styles
    renders.commands.timing
    renders.commands.words
    renders.course.narrow
    renders.files.gif
    renders.films.panel
    renders.insets.lines
    renders.labels.leader_search
    renders.marks.outflow
    renders.page.half
    renders.page.plate
    renders.paper.mirror
    renders.paper.rims
    renders.paper.runs
    renders.paper.strokes
    renders.sideview.burst
    renders.sideview.overlay
    renders.tables.sound_table
    renders.tracks.pair_tracks
    renders.wording.key_moments
    renders.wording.lines
    renders.wording.rows
    renders.wording.told
    vocaltract.airway.channel
    vocaltract.motion.folds
    vocaltract.motion.instant
    vocaltract.motion.score
    vocaltract.motion.stops
    vocaltract.pairs.alignment
    vocaltract.phonetics.measured
    vocaltract.phonetics.surfaces
    vocaltract.words.make.gather
    vocaltract.words.make.index
    vocaltract.words.practice.where
    vocaltract.words.rules.contexts
    vocaltract.words.rules.line
    vocaltract.words.rules.optional_contexts
    vocaltract.words.text.given
    vocaltract.words.text.numerals
    vocaltract.words.text.reading
    vocaltract.words.text.spelling
    """.split()
)


def imported(root: Path) -> set[str]:
    """Everything that files under the folder of tests import."""
    found = set()
    for file in sorted((root / "tests").rglob("*.py")):
        importer = ".".join(file.relative_to(root).with_suffix("").parts)
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            found |= {name for name, _ in imported_names(root, importer, file.name == "__init__.py", node)}
    return found


def untested(root: Path) -> list[str]:
    """Modules that no test imports; a folder's __init__ without code of its own is none."""
    wanted = {
        module
        for module, file in modules(root).items()
        if file.name != "__init__.py" or len(ast.parse(file.read_text(encoding="utf-8")).body) > 1
    }
    return sorted(wanted - imported(root))


def main() -> int:
    """Prints what no test imports and what has no reason; 1 where there is any."""
    found = untested(Path(__file__).resolve().parent.parent)
    missing = [module for module in found if module not in REASONS]
    print(*missing, sep="\n")
    print(f"untested: {len(missing)} modules that no test imports, {len(REASONS)} with a reason")
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main())
