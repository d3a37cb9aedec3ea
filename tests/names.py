"""Names with two homes: public functions, classes and constants that more than one module defines.

`python -m tests.names [FOLDER]` lists them, of this repository or of another copy of it, and ends with status 1 where
one has no reason in `REASONS`, or where a reason is left that no name needs. Left out are `main`, what commands have by
agreement, and the names that a package hands out at its door, which are those of its rooms.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

from tests.layers import PACKAGES, modules, within

COMMANDS = "renders.commands"
AGREED = frozenset({"NAME", "ORDER", "WHAT", "EXAMPLE", "SIZE_PX", "add", "run"})
"""What a command is asked for by name; SIZE_PX: how large it draws where --size is not typed."""
REASONS: dict[str, str] = {}
"""Name -> why it may stand in more than one module."""


def defined(tree: ast.Module) -> Iterator[tuple[str, bool]]:
    """Public names that a module defines at its top, each with whether it is a function or a class."""
    for node in tree.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            found = [(node.name, True)]
        elif isinstance(node, ast.Assign | ast.AnnAssign):
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            found = [(part.id, False) for target in targets for part in _parts(target) if isinstance(part, ast.Name)]
        else:
            continue
        yield from (entry for entry in found if not entry[0].startswith("_") and entry[0] != "main")


def _parts(target: ast.expr) -> Iterator[ast.expr]:
    """What is assigned to: `a, (b, c) = ...` gives three."""
    if isinstance(target, ast.Tuple | ast.List):
        for part in target.elts:
            yield from _parts(part)
    else:
        yield target


def defined_in(file: Path) -> set[str]:
    """Public names that a file defines at its top."""
    return {name for name, _ in defined(ast.parse(file.read_text(encoding="utf-8")))}


def in_two_places(root: Path) -> tuple[dict[str, list[str]], dict[str, list[str]]]:
    """Name -> modules that define it, where there are two or more: functions and classes, then constants.

    A name that is a function here and a constant there counts with the functions.
    """
    at: dict[str, set[str]] = {}
    callables = set()
    for module, file in modules(root).items():
        if module in PACKAGES:
            continue
        agreed = AGREED if within(module, COMMANDS) else frozenset()
        for name, is_callable in defined(ast.parse(file.read_text(encoding="utf-8"))):
            if name in agreed:
                continue
            at.setdefault(name, set()).add(module)
            callables |= {name} if is_callable else set()
    twice = {name: sorted(where) for name, where in sorted(at.items()) if len(where) > 1}
    return (
        {name: where for name, where in twice.items() if name in callables},
        {name: where for name, where in twice.items() if name not in callables},
    )


def faults(root: Path) -> list[str]:
    """Names without a reason, each with its homes, and reasons that no name needs."""
    called, constants = in_two_places(root)
    twice = called | constants
    return [
        *(f"{name} is defined in {', '.join(where)}" for name, where in twice.items() if name not in REASONS),
        *(f"REASONS names {name}, which has one home or none" for name in REASONS if name not in twice),
    ]


def main() -> int:
    """Prints the names, with the modules that define them and the reasons, and the counts; 1 where one has none."""
    root = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parent.parent
    called, constants = in_two_places(root)
    for name, where in (called | constants).items():
        print(f"{name:<20} {len(where)}  {', '.join(where)}  {REASONS.get(name, '')}".rstrip())
    print(f"{len(called)} functions and classes, {len(constants)} constants are defined in more than one module")
    wrong = faults(root)
    print(f"names: {len(wrong)} faults")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
