"""Cuts the face for what Andika lacks: the characters of all languages, and no others. Runs when a text changes.

`python -m renders.paper.make_typeface REGULAR BOLD`: two font files or collections that hold Noto Sans CJK SC (the
Debian package fonts-noto-cjk has them). It needs fonttools, which the extra `dev` brings; nothing here is imported by
the rest. The cut has a name of its own: a changed font may not keep a reserved one.
"""

from __future__ import annotations

import sys
from pathlib import Path

from renders.paper import typeface

FAMILY = "Vocaltract Han"
FACE = "Noto Sans CJK SC"
FACE_VERSION = "Version 1.0"
TEXTS = Path(__file__).parents[1] / "wording" / "data"
_NAMES = {1: FAMILY, 3: "{full}; {version}", 4: "{full}", 5: FACE_VERSION, 6: "{file}"}
_KEPT_NAMES = (0, 13, 14)  # copyright, licence, where it is found


def characters_wanted(weight: str) -> str:
    """The characters of all languages that the first face of a weight lacks, in their order."""
    texts = "".join(file.read_text(encoding="utf-8") for file in sorted(TEXTS.glob("*.toml")))
    return "".join(sorted(char for char in typeface.lacking(texts, weight) if not char.isspace()))


def cut(source: Path, weight: str) -> bytes:
    """The cut of a weight as an OpenType font. Raises ValueError where the source lacks the face or a character."""
    import io

    from fontTools.subset import Options, Subsetter
    from fontTools.ttLib import TTCollection, TTFont

    faces = TTCollection(str(source)).fonts if source.suffix in (".ttc", ".otc") else [TTFont(str(source))]
    font = next((face for face in faces if FACE in (face["name"].getDebugName(1), face["name"].getDebugName(16))), None)
    if font is None:
        raise ValueError(f"{source} does not hold {FACE}")
    font.recalcTimestamp = False
    chars = characters_wanted(weight)
    if lacking := [char for char in chars if ord(char) not in font.getBestCmap()]:
        raise ValueError(f"{FACE} lacks {' '.join(lacking)}")
    options = Options(layout_features=[], hinting=False, desubroutinize=True, notdef_outline=True)
    options.name_IDs = ["*"]
    options.drop_tables += ["VORG", "vhea", "vmtx", "BASE", "DSIG"]
    subsetter = Subsetter(options)
    subsetter.populate(text=chars)
    subsetter.subset(font)
    _name(font, weight)
    made = io.BytesIO()
    font.save(made, reorderTables=True)
    return made.getvalue()


def _name(font: object, weight: str) -> None:
    """Gives the cut its own name, also inside its outlines; copyright and licence stay."""
    table, style = font["name"], weight.capitalize()  # type: ignore[index]
    full, file = f"{FAMILY} {style}", f"{FAMILY.replace(' ', '')}-{style}"
    table.names = [row for row in table.names if row.nameID in _KEPT_NAMES and row.platformID == 3]
    for number, text in {**_NAMES, 2: style}.items():
        table.setName(text.format(full=full, version=FACE_VERSION, file=file), number, 3, 1, 0x409)
    outlines = font["CFF "].cff  # type: ignore[index]
    outlines.fontNames = [file]
    top = outlines[0]
    for key, text in {"FullName": full, "FamilyName": FAMILY, "version": "1.0"}.items():
        setattr(top, key, text)
        top.rawDict[key] = text
    for number, part in enumerate(getattr(top, "FDArray", ())):
        part.FontName = f"{file}-{number}"
        part.rawDict["FontName"] = part.FontName


def main(arguments: list[str]) -> int:
    """Writes both weights beside Andika and prints their sizes."""
    for weight, source in zip(("regular", "bold"), arguments, strict=True):
        data = cut(Path(source), weight)
        path = Path(typeface.font_files(weight)[1])
        path.write_bytes(data)
        print(f"{path.name}: {len(characters_wanted(weight))} characters, {len(data)} bytes")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
