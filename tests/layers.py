"""The house: which room stands on which floor, and that imports only ever go down.

`python -m tests.layers` draws the floors with the purpose of each room, counts, and prints what is wrong; exit status
1 if anything is. Every import statement counts, wherever it stands: at the top, inside a function, under
TYPE_CHECKING, and a literal name given to import_module.

- A room may import itself and rooms on lower floors, of its own package or of a package below.
- No files import each other in a circle.
- Every folder with code is a room in the table and says in the first line of its __init__ what it is for; a module
  stands in a room, but for those that the table names.
- What runs at build time only is imported by nothing else, and nothing imports the tests.
"""

from __future__ import annotations

import ast
import sys
from collections import deque
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

# Rooms from the ground up; those of one line share a floor and do not know each other. A package that stands in its
# own table is its door: the names that it hands out, fetched when they are asked for.
FLOORS: dict[str, tuple[str, ...]] = {
    "articulators": ("articulators",),
    "vocaltract": (
        "vocaltract.ipa vocaltract.airway vocaltract.words.utterance",
        "vocaltract.words.lexicon vocaltract.phonetics",
        "vocaltract.words.rules",
        "vocaltract.words.text vocaltract.motion",
        "vocaltract.naming vocaltract.words.practice vocaltract.recording",
        "vocaltract.speech",
        "vocaltract.words.make vocaltract.pairs vocaltract.wordlists vocaltract.sound",
        "vocaltract",
    ),
    "renders": (
        "renders.paper renders.files renders.wording",
        "renders.ink renders.anatomy renders.insets",
        "renders.marks renders.tracks renders.labels renders.tables",
        "renders.sideview renders.page",
        "renders.stills renders.films",
        "renders.pairs renders.handouts renders.lesson_items",
        "renders.course",
        "renders.coursework",
        "renders renders.commandline",
        "renders.commands",
        "renders.cli",
        "renders.__main__",
    ),
}
PACKAGES = tuple(FLOORS)  # each may import those before it

# What knows nothing of what, though floors would allow it: words are the same whatever mouth says them.
APART: tuple[tuple[str, str], ...] = (
    ("vocaltract.words", "vocaltract.phonetics"),
    ("vocaltract.words", "vocaltract.airway"),
    ("vocaltract.phonetics", "vocaltract.words"),
)
BUILD_ONLY = ("vocaltract.words.make", "vocaltract.phonetics.build", "renders.paper.make_typeface")

# What is wrong today and about to be mended. An entry that no longer holds is a fault itself.
KNOWN = frozenset({})


@dataclass(frozen=True)
class Import:
    """One project import: module ``importer`` in ``file`` at ``line`` takes ``imported``.

    ``door`` tells that names are taken from the __init__ of a package, other than a version or the like.
    """

    file: Path
    line: int
    importer: str
    imported: str
    door: bool


@dataclass(frozen=True)
class Fault:
    """What is wrong, of which kind, in words that stay the same while lines move, and where it stands."""

    kind: str
    what: str
    place: str = ""

    def __str__(self) -> str:
        return f"{self.place}: {self.what}" if self.place else self.what


def within(module: str, part: str) -> bool:
    """Whether a module is a part of the project or lies in it."""
    return module == part or module.startswith(part + ".")


def floors() -> dict[str, tuple[int, int]]:
    """Room -> (package, floor), the packages in their order, floors from 1 at the ground."""
    return {
        room: (package, floor)
        for package, rows in enumerate(FLOORS.values())
        for floor, row in enumerate(rows, start=1)
        for room in row.split()
    }


def _is_door(room: str) -> bool:
    return room in PACKAGES and FLOORS[room] != (room,)


def room_of(module: str) -> str | None:
    """The room that a module stands in; None where the table has none."""
    fitting = [room for room in floors() if (module == room if _is_door(room) else within(module, room))]
    return max(fitting, key=len, default=None)


def _module_name(root: Path, file: Path) -> str:
    parts = file.relative_to(root).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def modules(root: Path) -> dict[str, Path]:
    """Every module of the three packages and its file."""
    files = (file for package in PACKAGES for file in sorted((root / package).rglob("*.py")))
    return {_module_name(root, file): file for file in files}


def _exists(root: Path, module: str) -> bool:
    place = root.joinpath(*module.split("."))
    return place.is_dir() or place.with_suffix(".py").is_file()


def imported_names(root: Path, importer: str, is_package: bool, node: ast.AST) -> Iterator[tuple[str, bool]]:
    """Modules that a node of a syntax tree imports, each with whether names are taken from a package's __init__."""
    if isinstance(node, ast.Import):
        yield from ((alias.name, False) for alias in node.names)
    elif isinstance(node, ast.ImportFrom):
        base = node.module or ""
        if node.level:
            parts = importer.split(".")
            kept = parts[: len(parts) - node.level + is_package]
            base = ".".join([*kept, base] if base else kept)
        for alias in node.names:
            inner = f"{base}.{alias.name}"
            found = inner if _exists(root, inner) else base
            yield found, found == base and not alias.name.startswith("__")
    elif isinstance(node, ast.Call) and node.args:
        called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
        first = node.args[0]
        if called in ("import_module", "__import__") and isinstance(first, ast.Constant):
            yield str(first.value), False


def imports(root: Path) -> Iterator[Import]:
    """Every import of one project module (or of the tests) by another, under the folder ``root``."""
    for importer, file in modules(root).items():
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"), str(file))):
            for name, door in imported_names(root, importer, file.name == "__init__.py", node):
                if name.split(".")[0] in (*PACKAGES, "tests"):
                    yield Import(file, getattr(node, "lineno", 0), importer, name, door)


def _wrong(found: Import) -> tuple[str, str] | None:
    """Kind and words of what is wrong with one import."""
    importer, imported = found.importer, found.imported
    arrow = f"{importer} imports {imported}"
    if within(imported, "tests"):
        return "tests", f"{arrow}: the tests stay at home"
    if imported == importer or (importer.startswith(imported + ".") and not found.door):
        return None  # a package that holds the importer is loaded before it in any case
    for room in BUILD_ONLY:
        if within(imported, room) and not within(importer, room):
            return "build only", f"{arrow}: {room} runs at build time only"
    for one, other in APART:
        if within(importer, one) and within(imported, other):
            return "apart", f"{arrow}: {one} knows nothing of {other}"
    here, there = room_of(importer), room_of(imported)
    if here is None or there is None or here == there:
        return None  # a module without a room is told apart from this
    place = floors()
    (package, floor), (below, lower) = place[here], place[there]
    if package > below or (package == below and floor > lower):
        return None
    return "climbs", f"{arrow}: floor {lower} of {PACKAGES[below]} from floor {floor} of {PACKAGES[package]}"


def _shortest_circle(start: str, arrows: Mapping[str, set[str]]) -> list[str]:
    """The shortest way along arrows from a file back to itself; empty where there is none."""
    came: dict[str, str] = {}
    queue = deque([start])
    while queue:
        file = queue.popleft()
        for following in sorted(arrows.get(file, ())):
            if following == start:
                way = [start]
                while file != start:
                    way.insert(1, file)
                    file = came[file]
                return [*way, start]
            if following not in came:
                came[following] = file
                queue.append(following)
    return []


def circles(arrows: Mapping[str, set[str]]) -> list[list[str]]:
    """The shortest circle through each file that lies on one, each circle once, from its first name by letter."""
    found = set()
    for start in arrows:
        way = _shortest_circle(start, arrows)[:-1]
        if way:
            first = way.index(min(way))
            found.add((*way[first:], *way[:first], way[first]))
    return [list(way) for way in sorted(found)]


def _purpose(file: Path) -> str:
    text = ast.get_docstring(ast.parse(file.read_text(encoding="utf-8"))) if file.is_file() else None
    return (text or "").split("\n")[0]


def _standing(root: Path, every: Mapping[str, Path]) -> Iterator[Fault]:
    """Rooms without a purpose or a row in the table, rows without a room, modules that stand in none."""
    rooms = floors()
    for room in rooms:
        if room not in every:
            yield Fault("no such room", f"{room}: stands in the table of floors, and nowhere else")
        elif not _purpose(every[room]):
            yield Fault("no purpose", f"{room}: its first line does not say what it is for")
    for module, file in every.items():
        if room_of(module):
            continue
        if file.name != "__init__.py":
            yield Fault("flat", f"{module}: stands in no room")
        elif not any(within(room, module) for room in rooms):
            yield Fault("not in the table", f"{module}: a room that the table of floors does not hold")
        elif len(ast.parse(file.read_text(encoding="utf-8")).body) > 1:
            yield Fault("flat", f"{module}: holds rooms, and no code of its own")


def faults(root: Path) -> list[Fault]:
    """All that is wrong with the house under the folder ``root``."""
    every = modules(root)
    arrows: dict[str, set[str]] = {}
    found = list(_standing(root, every))
    for one in imports(root):
        wrong = _wrong(one)
        if wrong:
            found.append(Fault(*wrong, place=f"{one.file.relative_to(root)}:{one.line}"))
        if one.imported != one.importer and (one.door or not one.importer.startswith(one.imported + ".")):
            arrows.setdefault(one.importer, set()).add(one.imported)
    found += [Fault("circle", "circle of files: " + " -> ".join(way)) for way in circles(arrows)]
    return found


def room_arrows(root: Path) -> set[tuple[str, str]]:
    """Which room imports which, without the packages that are one room."""
    pairs = ((room_of(one.importer), room_of(one.imported)) for one in imports(root))
    return {(here, there) for here, there in pairs if here and there and here != there}


def drawing(root: Path) -> Iterator[str]:
    """The floors as lines of text, the highest first; a line a room: how many modules it holds, what it is for."""
    every = modules(root)
    held: dict[str, int] = {}
    for module in every:
        held[room_of(module) or ""] = held.get(room_of(module) or "", 0) + 1
    for package in reversed(PACKAGES):
        for floor, row in reversed(list(enumerate(FLOORS[package], start=1))):
            for index, room in enumerate(row.split()):
                if room in every:
                    number = "" if index else str(floor)
                    yield f"{number:>3}  {room:<26}{held[room]:>3}  {_purpose(every[room])}"
        yield ""


def main() -> int:
    """Draws the house and checks it; 0 where all is well, 1 where something is wrong or nothing was found to check."""
    root = Path(__file__).resolve().parent.parent
    every, found = list(imports(root)), faults(root)
    print(*drawing(root), sep="\n")
    new = [fault for fault in found if fault.what not in KNOWN]
    mended = KNOWN - {fault.what for fault in found}
    arrows = room_arrows(root)
    inside = sum(here.startswith("renders.") and there.startswith("renders.") for here, there in arrows)
    print(f"{len(modules(root))} modules in {len(floors())} rooms, {len(every)} imports;"
          f" {len(arrows)} arrows between rooms, {inside} of them within renders")  # fmt: skip
    for fault in new:
        print(fault)
    for what in sorted(mended):
        print(f"mended, to be taken out of KNOWN: {what}")
    print(f"layers: {len(new)} faults, {len(KNOWN)} known")
    return 1 if new or mended or not every else 0


if __name__ == "__main__":
    sys.exit(main())
