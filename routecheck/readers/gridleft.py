"""What is told of the parts of a grid's file that were left unread."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from routecheck.readers.beside import sidecar_path
from routecheck.readers.gridfound import Found
from routecheck.readers.strict import cleaned

_MOST_NAMED = 5


def left_unread(path: Path, found: Found) -> tuple[str, ...]:
    """A sentence each for further layers, pages, images below these and unused uncertainties."""
    texts = []
    tiles = found.layer.driver == "VRT"
    of_tiles = " of its tiles" if tiles else ""
    if found.unread:
        read, which = cleaned(found.layer.name, longest=40) or "one layer", sidecar_path(path).name
        text = f"{read} was read; may show less water, and was left unread{of_tiles}: "
        text += f"{_listed(found.unread)}. Say in {which} which holds the depths: "
        texts.append(text + 'columns = { depth = "…" }')
    for count, what, first, others in (
        (found.pages, "page", "a second page", "further pages"),
        (found.sub_images, "sub-image", "a sub-image", "sub-images"),
    ):
        if count:
            read = "the first page of each tile" if tiles else "its first page"
            text = f"{read} was read; may show less water, and was left unread{of_tiles}: "
            text += first if count == 1 else f"{count} {others}"
            texts.append(f"{text}. Give each {what} as a file of its own")
    if found.unread_doubts:
        text = f"may say how far its depths are off, and was not used{of_tiles}: "
        text += f"{_listed(found.unread_doubts)}. "
        if tiles:
            text += "Give the tiles themselves, without the virtual raster"
        else:
            text += "Call the one of vertical uncertainties in a stated unit of length uncertainty,"
            text += " and take out the others"
        texts.append(text)
    return tuple(texts)


def _listed(names: Sequence[str]) -> str:
    named = ", ".join(cleaned(name, longest=30) for name in names[:_MOST_NAMED])
    more = len(names) - _MOST_NAMED
    return f"{named} and {more} more" if more > 0 else named
