"""What the tests of commands have in common: no drawing, and a folder of their own."""

from __future__ import annotations

import sys
import types
from pathlib import Path

import pytest

from tests.test_renders.test_commands.makers import MAKERS, Makers


@pytest.fixture
def makers(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Makers:
    made = Makers()
    for command, (module, function, _) in MAKERS.items():
        fake = types.ModuleType(module)
        setattr(fake, function, made.maker(command))
        monkeypatch.setitem(sys.modules, module, fake)
    monkeypatch.chdir(tmp_path)
    return made
