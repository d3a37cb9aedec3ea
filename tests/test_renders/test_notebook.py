"""A notebook that is really run: a still, a film and a page show themselves in it, and an error is one line.

Which forms a notebook looks for: Jupyter's message protocol, "display_data" (from memory): a bundle of media types.
"""

from __future__ import annotations

import base64
from pathlib import Path
from typing import Any

import pytest

from renders.files.footage import read_frames

CELLS = (
    "import renders\nimport vocaltract as vt",
    "renders.still('t', size=(640, 480))",
    "film = renders.film(vt.say('key'), speed=1.0, fps=25, size=(160, 90))\nfilm",
    "renders.learner_page('key')",
    "sum(1 for frame in film), frame.shape if (frame := next(iter(film))) is not None else None",
    "try:\n    vt.say('[qx7]')\nexcept vt.BadInput as error:\n    print(error)",
)


@pytest.fixture(scope="module")
def outputs(root: Path, tmp_path_factory: pytest.TempPathFactory) -> list[list[Any]]:
    """What each cell put out."""
    nbformat = pytest.importorskip("nbformat")
    nbclient = pytest.importorskip("nbclient")
    pytest.importorskip("ipykernel")
    notebook = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(cell) for cell in CELLS])
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("PYTHONPATH", str(root))
        folder = tmp_path_factory.mktemp("notebook")
        patch.setenv("IPYTHONDIR", str(folder))
        patch.setenv("JUPYTER_RUNTIME_DIR", str(folder))
        client = nbclient.NotebookClient(
            notebook, timeout=120, kernel_name="python3", resources={"metadata": {"path": str(folder)}}
        )
        client.execute()
    return [cell["outputs"] for cell in notebook["cells"]]


def shown(outputs: list[Any]) -> dict[str, str]:
    """The bundle of a cell that puts out one thing."""
    (only,) = outputs
    assert only["output_type"] == "execute_result"
    return dict(only["data"])


def test_a_still_is_shown_as_svg(outputs: list[list[Any]]) -> None:
    bundle = shown(outputs[1])
    assert set(bundle) == {"image/svg+xml", "text/plain"}
    assert bundle["image/svg+xml"].startswith("<svg") and 'width="640"' in bundle["image/svg+xml"]


def test_a_film_is_shown_in_a_player_that_carries_it(outputs: list[list[Any]], tmp_path: Path) -> None:
    bundle = shown(outputs[2])
    assert set(bundle) == {"text/html", "text/plain"} and bundle["text/plain"] == "Film of key"
    assert bundle["text/html"].startswith("<video controls")
    data = bundle["text/html"].partition("data:video/mp4;base64,")[2].partition('"')[0]
    (tmp_path / "key.mp4").write_bytes(base64.b64decode(data))
    assert {frame.shape for frame in read_frames(tmp_path / "key.mp4")} == {(90, 160, 3)}


def test_a_page_is_shown_in_a_frame(outputs: list[list[Any]]) -> None:
    bundle = shown(outputs[3])
    assert set(bundle) == {"text/html", "text/plain"}
    assert bundle["text/html"].startswith("<iframe") and "srcdoc=" in bundle["text/html"]


def test_frames_are_arrays_there_too(outputs: list[list[Any]]) -> None:
    assert shown(outputs[4])["text/plain"].endswith("(90, 160, 3))")


def test_an_error_is_one_line(outputs: list[list[Any]]) -> None:
    (said,) = outputs[5]
    assert said["output_type"] == "stream" and said["text"].count("\n") == 1 and "'q'" in said["text"]
