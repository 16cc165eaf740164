"""GDAL as it was shipped: no stray environment variable changes what a grid reads as."""

from __future__ import annotations

import logging
import os
import re
import warnings
from collections.abc import Iterator
from contextlib import contextmanager

CACHE_MB = 16
"""What GDAL may keep of decoded blocks for itself: ours are kept elsewhere."""
_STRAY = re.compile(
    r"(GDAL|GTIFF|TIFF|GEOTIFF|LIBERTIFF|COG|GTI|OGR|OSR|CPL|VSI|PROJ|PAM|BAG|S10\d|S1\d\d|HDF|NETCDF"
    r"|NC_|AAIGRID|GPKG|SQLITE|ESRI|HFA|USE_|RRD|GMT|LERC|JPEG|WEBP|RASTERIO|AWS|AZURE|GS_|OSS_"
    r"|SWIFT|CURL|HTTP_|HTTPS_|GOOGLE|CHECK_|INTERNAL_|VRT|GML|XML)"
)


@contextmanager
def plain_gdal() -> Iterator[list[str]]:
    """Run GDAL without stray settings, with a small cache; gives the warnings that it utters.

    Environment variables that GDAL or PROJ might heed are put back at the end.
    """
    stray = {name: value for name, value in os.environ.items() if _STRAY.match(name)}
    for name in stray:
        del os.environ[name]
    os.environ["GDAL_CONFIG_FILE"] = os.devnull  # or GDAL would read one in the home folder
    os.environ["GDAL_DRIVER_PATH"] = "disable"
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
        for name in ("GDAL_CONFIG_FILE", "GDAL_DRIVER_PATH"):
            os.environ.pop(name, None)
        os.environ.update(stray)


class _Listener(logging.Handler):
    """Keeps warnings and worse, each once."""

    def __init__(self, said: list[str]) -> None:
        super().__init__(level=logging.WARNING)
        self.said = said

    def emit(self, record: logging.LogRecord) -> None:
        text = re.sub(r"^CPLE_\w+ in ", "", record.getMessage())
        if text not in self.said and len(self.said) < 100:
            self.said.append(text)
