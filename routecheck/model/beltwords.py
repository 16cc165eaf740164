"""Words for what only the uncertainty of its position brings to the corridor."""

from __future__ import annotations

from routecheck.model.view import Place, Touch


def belt_words(place: Place) -> str:
    """That it lies outside as charted; "" for what the corridor itself meets."""
    if place.touch is not Touch.BELT:
        return ""
    return f"As charted it lies {belt_clause(place)}."


def belt_clause(place: Place) -> str:
    """Where it lies as charted, and how far off it may be."""
    where = "outside the corridor"
    if place.hidden:
        where = "where a chart of larger scale counts, which ends near it"
    return f"{where}, but its position is only known to {place.belt_m:.0f} m"
