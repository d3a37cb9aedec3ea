"""Reads the page of a lesson as a browser would: elements, texts, links, and tags that do not match."""

from __future__ import annotations

import html.parser
import re
from urllib.parse import unquote

# HTML Living Standard, 13.1.2 "void elements" (from memory)
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}


class Page(html.parser.HTMLParser):
    """Reads a page: every element with its attributes and text; complains of tags that do not match."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.found: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.faults: list[str] = []
        self.text: dict[str, list[str]] = {}
        self.feed(text)
        self.close()
        self.faults += [f"<{tag}> not closed" for tag in self.open]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if len({name for name, _ in attrs}) != len(attrs):
            self.faults.append(f"<{tag}> has an attribute twice")
        self.found.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.found.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open[-1] != tag:
            self.faults.append(f"</{tag}> where <{self.open[-1] if self.open else 'nothing'}> is open")
        elif self.open:
            self.open.pop()

    def handle_data(self, data: str) -> None:
        if self.open:
            self.text.setdefault(self.open[-1], []).append(data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        return [attrs for name, attrs in self.found if name == tag]

    def links(self) -> set[str]:
        """Files that the page refers to, in attributes and in its style sheet."""
        named = {str(a[key]) for _, a in self.found for key in ("href", "src", "srcset", "poster") if a.get(key)}
        named |= set(re.findall(r'url\("([^"]+)"\)', "".join(self.text.get("style", ()))))
        return {unquote(name).partition("#")[0] for name in named if not name.startswith(("#", "data:"))}
