"""Vets a boat's route against open charts and says plainly what it could not judge."""

from __future__ import annotations

__version__ = "0.1.0"
