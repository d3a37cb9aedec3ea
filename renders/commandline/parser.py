"""A parser that raises BadInput with one line, where argparse prints its usage and exits."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import Any, NoReturn

from articulators.errors import BadInput, nearest


class Parser(argparse.ArgumentParser):
    """Raises BadInput where argparse would print its usage and exit; knows its options and its commands."""

    def __init__(self, **settings: Any) -> None:
        self.options: list[str] = []
        self.commands: dict[str, Parser] = {}
        super().__init__(formatter_class=argparse.RawDescriptionHelpFormatter, allow_abbrev=False, **settings)

    def add_argument(self, *names: str, **settings: Any) -> argparse.Action:
        action = super().add_argument(*names, **settings)
        self.options += action.option_strings
        return action

    def error(self, message: str) -> NoReturn:
        option, _, reason = message.removeprefix("argument ").partition(": ")
        if "; " in reason:  # one of the checks below, which names what was given itself
            raise BadInput(reason)
        raise BadInput(f"{option}: {reason}; see `{self.prog} --help`")

    def parse(self, argv: Sequence[str]) -> argparse.Namespace:
        """Reads a whole command line; BadInput for whatever is not understood."""
        known = ", ".join(self.commands)
        name = next((word for word in argv if not word.startswith("-")), None)
        if name is None and not set(argv) & set(self.options):
            raise BadInput(f"no command given; allowed: {known}; see `{self.prog} --help`")
        if name is not None and name not in self.commands:
            raise BadInput(f"command '{name}' is unknown; allowed: {known}{nearest(name, self.commands)}")
        args, surplus = self.parse_known_args(argv)
        if surplus:
            see = f"`{self.prog} {args.command} --help`"
            given = surplus[0].split("=")[0]
            if given.startswith("-"):
                close = nearest(given, self.commands[args.command].options)
                raise BadInput(f"option '{given}' is unknown; {see} lists them{close}")
            raise BadInput(f"'{surplus[0]}' is one argument too many; see {see}")
        return args


class _Version(argparse.Action):
    def __call__(self, parser: argparse.ArgumentParser, *_: Any) -> None:
        from vocaltract import __version__

        print(f"vocaltract {__version__}")
        parser.exit()


def add_version(parser: Parser) -> None:
    """--version"""
    parser.add_argument("--version", action=_Version, nargs=0, help="print the version and exit")
