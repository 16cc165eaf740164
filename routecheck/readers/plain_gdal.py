"""What GDAL says while it reads a grid. Only in the grids' own process, whose environment is ours:
there no stray variable or settings file changes what a grid reads as."""

from __future__ import annotations

import logging
import re
import warnings
from collections.abc import Iterator
from contextlib import contextmanager

CACHE_MB = 16
"""What GDAL may keep of decoded blocks for itself: ours are kept elsewhere."""


@contextmanager
def plain_gdal() -> Iterator[list[str]]:
    """Run GDAL with a small cache; gives the warnings that it utters."""
    said: list[str] = []
    listener = _Listener(said)
    logger = logging.getLogger("rasterio")
    propagates, logger.propagate = logger.propagate, False
    logger.addHandler(listener)
    try:
        import rasterio

        with warnings.catch_warnings(), rasterio.Env(GDAL_CACHEMAX=CACHE_MB):
            warnings.simplefilter("ignore")
            yield said
    finally:
        logger.removeHandler(listener)
        logger.propagate = propagates


class _Listener(logging.Handler):
    """Keeps warnings and worse, each once."""

    def __init__(self, said: list[str]) -> None:
        super().__init__(level=logging.WARNING)
        self.said = said

    def emit(self, record: logging.LogRecord) -> None:
        text = re.sub(r"^CPLE_\w+ in ", "", record.getMessage())
        if text not in self.said and len(self.said) < 100:
            self.said.append(text)
