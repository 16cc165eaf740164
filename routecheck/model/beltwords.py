"""Words for what only the uncertainty of its position brings to the corridor."""

from __future__ import annotations

from routecheck.model.view import Place, Touch


def belt_words(place: Place) -> str:
    """That it lies outside as charted; "" for what the corridor itself meets."""
    if place.touch is not Touch.BELT:
        return ""
    return (
        "As charted it lies outside the corridor, but its position is only known to "
        f"{place.belt_m:.0f} m."
    )
