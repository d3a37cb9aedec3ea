"""What may be typed, as the parser has it: a command or an option that is added later is covered from its first day."""

from __future__ import annotations

import argparse
import re
import shlex
from dataclasses import dataclass
from functools import cache
from pathlib import PurePath

from renders import cli
from renders.files.formats import PICTURE_ENDINGS

Argument = tuple[str, ...]
"""An option with what follows it, or one word by itself."""

# added to an example where the command knows them, so that a case takes a fraction of a second
CHEAP: tuple[Argument, ...] = (("--size", "96x64"), ("--fps", "5"), ("--speed", "2"))
LONG = frozenset({"--all", "--solve"})
"""Flags that ask for every sound there is, a work of minutes."""
_DEAR = LONG | {"--shape", *(name for name, _ in CHEAP)}


@dataclass(frozen=True)
class Slot:
    """A place of the command line that takes a value, or a flag that takes none.

    name      the option, or the metavar of a positional        words    what its help names: good values are among them
    reads, writes   whether it names a file or folder that is read or written     endings  those that its help lists
    """

    name: str
    flag: bool
    words: tuple[str, ...]
    reads: bool = False
    writes: bool = False
    endings: tuple[str, ...] = ()

    @property
    def option(self) -> bool:
        """Whether it has a name that is typed."""
        return self.name.startswith("-")


@dataclass(frozen=True)
class Usage:
    """A command: its options, its positionals, and the examples of its help, made cheap."""

    command: str
    slots: tuple[Slot, ...]
    examples: tuple[tuple[Argument, ...], ...]

    def slot(self, name: str) -> Slot | None:
        """The option of that name."""
        return next((slot for slot in self.slots if slot.name == name), None)


def _slot(action: argparse.Action, name: str) -> Slot:
    said = action.help or ""
    shown = str(action.metavar or "")
    place = "FILE" in shown or "PATH" in shown or ".toml file" in said
    writes = place and ("write" in said or "figure" in said)
    words = [word.strip(":.`'") for word in re.split(r"[\s,;()]+", said)] + [str(c) for c in action.choices or ()]
    endings = tuple(dict.fromkeys(re.findall(r"\.[a-z0-9]+\b", said))) if place else ()
    return Slot(name, action.nargs == 0, tuple(word for word in words if word), place and not writes, writes, endings)


def _example(line: str, options: dict[str, argparse.Action], usual: str) -> tuple[Argument, ...]:
    """The arguments of a line of the help, made cheap; what follows two spaces there is a remark. ``usual`` is the
    ending of what is written where --out is not typed.
    """
    typed = shlex.split(re.split(r"\s{2,}", line.strip())[0])[2:]
    arguments: list[Argument] = []
    while typed:
        word = typed.pop(0)
        takes = word in options and options[word].nargs != 0 and typed and not typed[0].startswith("-")
        arguments.append((word, typed.pop(0)) if takes else (word,))
    kept = [argument for argument in arguments if argument[0] not in _DEAR]
    ending = PurePath(dict(a for a in kept if len(a) == 2).get("--out", usual)).suffix
    cheap = CHEAP[:1] if ending in PICTURE_ENDINGS else CHEAP
    return (*kept, *(argument for argument in cheap if argument[0] in options))


WHOLE_COURSES = ("plan", "course")
"""Not tried yet: they write beside the plan that is named, and make some fifty things at a time."""


@cache
def usages() -> tuple[Usage, ...]:
    """Every command of the parser."""
    parser, found = cli.build_parser(), []
    for module in cli.modules():
        if module.NAME in WHOLE_COURSES:
            continue
        actions = [a for a in parser.commands[module.NAME]._actions if not isinstance(a, argparse._HelpAction)]
        options = {name: action for action in actions for name in action.option_strings}
        slots = [_slot(action, name) for name, action in options.items()]
        slots += [_slot(action, str(action.metavar)) for action in actions if not action.option_strings]
        out = next((slot for slot in slots if slot.name == "--out"), None)
        usual = "result" + (out.endings or ("",))[0] if out else ""
        examples = tuple(_example(line, options, usual) for line in module.EXAMPLE.splitlines())
        found.append(Usage(module.NAME, tuple(slots), examples))
    return tuple(found)
