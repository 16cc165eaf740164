"""Our page templates, with escaping always on."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from jinja2 import Environment


@lru_cache(maxsize=1)
def _environment() -> Environment:
    from jinja2 import Environment, PackageLoader, StrictUndefined

    return Environment(
        loader=PackageLoader("routecheck.writers", "templates"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )


def rendered(name: str, **values: object) -> str:
    """A template of writers/templates filled with values; all text is escaped."""
    return _environment().get_template(name).render(**values)
