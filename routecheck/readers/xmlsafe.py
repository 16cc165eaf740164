"""XML from strangers: no document type, no entities, nothing fetched, everything bounded.

Parsed by expat through defusedxml. Only the elements that a reader asks for are kept, so that a
file of 64 MB cannot fill the memory; what stands inside any other element is counted and left.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import ParseError

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser

from routecheck.model.errors import BadInput
from routecheck.readers.strict import cleaned, read_bytes

MOST_BYTES = 64 * 2**20
DEEPEST = 100
MOST_ELEMENTS = 5_000_000
MOST_KEPT = 500_000
_LONGEST_TEXT = 10_000
_MOST_NAMES = 1_000
_CHUNK = 2**16


@dataclass(slots=True)
class Element:
    """One element that was kept: local name, attributes, text, kept children, line number."""

    name: str
    attributes: dict[str, str]
    line: int
    text: str = ""
    children: list[Element] = field(default_factory=list)

    def all(self, name: str) -> list[Element]:
        """Its kept children of this name."""
        return [child for child in self.children if child.name == name]

    def first(self, name: str) -> Element | None:
        """Its first kept child of this name."""
        return next((child for child in self.children if child.name == name), None)

    def words(self, name: str) -> str:
        """The text of its first child of this name, "" where there is none."""
        child = self.first(name)
        return child.text if child is not None else ""


@dataclass(frozen=True, kw_only=True)
class Document:
    """The kept elements, and how many of each name were left aside with all their content."""

    root: Element
    left: Counter[str]


Keep = Mapping[str, Collection[str]]
"""For each element that is kept, the children of it that are kept too."""


class _Refused(Exception):
    """A limit was passed; the text says which."""


class _RootSeen(Exception):
    """The root element, and nothing else, was asked for."""


class _Keeper:
    """The parser's target: keeps wanted elements, counts the rest."""

    def __init__(self, keep: Keep, namespaces: Collection[str], root_only: bool) -> None:
        self.keep, self.namespaces, self.root_only = keep, namespaces, root_only
        self.expat: Any = None
        self.root: Element | None = None
        self.root_namespace = ""
        self.left: Counter[str] = Counter()
        self.open: list[Element] = []
        self.skipping = 0
        self.elements = self.kept = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        namespace, _, name = tag[1:].rpartition("}") if tag[:1] == "{" else ("", "", tag)
        self.elements += 1
        if self.elements > MOST_ELEMENTS:
            raise _Refused(f"it has more than {MOST_ELEMENTS} elements")
        if len(self.open) + self.skipping >= DEEPEST:
            raise _Refused(f"its elements are nested more than {DEEPEST} deep")
        if self.root is None:
            self.root_namespace = namespace
            self.root = Element(name, attributes, self.expat.CurrentLineNumber)
            self.open.append(self.root)
            if self.root_only:
                raise _RootSeen
            return
        if (
            self.skipping
            or name not in self.keep.get(self.open[-1].name, ())
            or (namespace and namespace not in self.namespaces)
        ):
            if not self.skipping and (name in self.left or len(self.left) < _MOST_NAMES):
                self.left[name] += 1
            self.skipping += 1
            return
        self.kept += 1
        if self.kept > MOST_KEPT:
            raise _Refused(f"it has more than {MOST_KEPT} elements to be read")
        element = Element(name, attributes, self.expat.CurrentLineNumber)
        self.open[-1].children.append(element)
        self.open.append(element)

    def end(self, _tag: str) -> None:
        if self.skipping:
            self.skipping -= 1
        else:
            self.open.pop()

    def data(self, text: str) -> None:
        if not self.skipping and len(self.open[-1].text) < _LONGEST_TEXT:
            self.open[-1].text += text[:_LONGEST_TEXT]

    def close(self) -> None:
        return None


def read_xml(path: Path, *, root: str, keep: Keep, namespaces: Collection[str]) -> Document:
    """The elements that `keep` names, in any of `namespaces` or in none, below the root `root`.

    Raises BadInput, with the line, for anything that is not well-formed, has a document type
    or an entity, passes a limit, or has another root.
    """
    keeper = _parse(path, keep=keep, namespaces=namespaces, root_only=False)
    found = keeper.root
    if found is None:
        raise BadInput(file=str(path), wrong="it holds no element")
    name, space = cleaned(found.name, longest=40), cleaned(keeper.root_namespace, longest=80)
    if found.name != root:
        raise BadInput(file=str(path), wrong=f"its root element is <{name}>, not <{root}>")
    if keeper.root_namespace and keeper.root_namespace not in namespaces:
        raise BadInput(file=str(path), wrong=f"the namespace {space!r} of <{name}> is not known")
    return Document(root=found, left=keeper.left)


def root_name(path: Path) -> str:
    """The local name of an XML file's root element. Raises BadInput as `read_xml` does."""
    keeper = _parse(path, keep={}, namespaces=(), root_only=True)
    return keeper.root.name if keeper.root is not None else ""


def _parse(path: Path, *, keep: Keep, namespaces: Collection[str], root_only: bool) -> _Keeper:
    data = read_bytes(path, most_bytes=MOST_BYTES)
    keeper = _Keeper(keep, namespaces, root_only)
    parser = DefusedXMLParser(target=keeper, forbid_dtd=True)
    keeper.expat = parser.parser

    def wrong(text: str, do: str = "", line: int | None = None) -> BadInput:
        at = keeper.expat.CurrentLineNumber if line is None else line
        return BadInput(file=str(path), where=f"line {at}", wrong=text, do=do)

    try:
        for start in range(0, len(data), _CHUNK):
            parser.feed(data[start : start + _CHUNK])
        parser.close()
    except _RootSeen:
        pass
    except _Refused as refused:
        raise wrong(str(refused)) from None
    except DefusedXmlException:
        raise wrong(
            "it has a document type or entities (<!DOCTYPE …>), which are never read",
            "remove them, or export the file again",
        ) from None
    except ParseError as error:
        line = error.position[0] if error.position else None
        text = str(error).rsplit(": line", 1)[0]
        if text in ("no element found", "unclosed token", "unclosed CDATA section"):
            raise wrong(
                "the file ends before its last element does", "is it cut short?", line
            ) from None
        raise wrong(f"this is not well-formed XML ({text})", line=line) from None
    except (ValueError, LookupError, MemoryError) as error:
        raise wrong(f"this XML cannot be read ({cleaned(str(error), longest=80)})") from None
    return keeper
