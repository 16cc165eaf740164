"""Where a route goes, as boxes: what the readers need to know to leave far charts unread."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from routecheck.model.route import Route
from routecheck.nav.angles import Floats
from routecheck.survey.corridors import corridors
from routecheck.survey.settings import SurveySettings
from routecheck.survey.surroundings import surroundings


def neighbourhood(routes: Sequence[Route], settings: SurveySettings) -> Floats:
    """(west, south, east, north) in degrees, one box a chunk of each leg of all routes with its
    corridor, shape (n, 4); longitudes run on. Raises ValueError where a leg has no length."""
    boxes = []
    for route in routes:
        widths = tuple(settings.half_widths_m(leg)[:2] for leg in route.legs)
        legs = corridors(route, widths)
        # Bends reach beyond the legs' own boxes by no more than the corridor's width.
        widest_m = max(max(pair) for pair in widths)
        boxes.append(surroundings(legs, room_m=widest_m + settings.mark_far_m).boxes_deg)
    return np.concatenate(boxes) if boxes else np.empty((0, 4))
