"""The current triangle: course to steer and speed over the ground.

Vector addition (common practice): sin(heading - course) = -(drift / speed) . sin(set - course).
Set is where the current goes to, in degrees true.
"""

from __future__ import annotations

import math

from routecheck.nav.angles import wrap360_deg


def speed_over_ground_kn(
    *, course_deg: float, speed_kn: float, set_deg: float, drift_kn: float
) -> tuple[float, float] | None:
    """(heading to steer in degrees true, speed over the ground) to make good a course.

    None where the boat cannot: the current across is more than its speed, or the current ahead
    takes it backwards or leaves it where it is.

    >>> heading, over_ground = speed_over_ground_kn(
    ...     course_deg=90.0, speed_kn=5.0, set_deg=180.0, drift_kn=2.0)
    >>> round(heading, 2), round(over_ground, 3)
    (66.42, 4.583)
    """
    across_kn = drift_kn * math.sin(math.radians(set_deg - course_deg))
    along_kn = drift_kn * math.cos(math.radians(set_deg - course_deg))
    if abs(across_kn) >= speed_kn:
        return None
    over_ground_kn = math.sqrt(speed_kn**2 - across_kn**2) + along_kn
    if not over_ground_kn > 0.0:
        return None
    heading = course_deg - math.degrees(math.asin(across_kn / speed_kn))
    return float(wrap360_deg(heading)), over_ground_kn
