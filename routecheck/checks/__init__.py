"""Stage 2, rules: one file a check. Importing this package finds them all."""

from __future__ import annotations

import importlib
import pkgutil

from routecheck.model.rule import REGISTRY, Check


def all_checks() -> tuple[Check, ...]:
    """Every check, by name."""
    for module in pkgutil.iter_modules(__path__):
        importlib.import_module(f"{__name__}.{module.name}")
    return tuple(REGISTRY[name] for name in sorted(REGISTRY))
