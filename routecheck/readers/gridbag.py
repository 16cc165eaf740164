"""What is peculiar to BAG: variable resolution, its system, and what its uncertainties are.

Open Navigation Surface project, BAG format specification 1.6: elevations up, no data 1,000,000;
`varres_refinements` hold the finer nodes of a grid of variable resolution. Runs in the grids' own
process: it trusts no size that a file states.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np

SIGMAS_OF_95 = 1.96
"""Of a normal distribution, two-sided: a BAG's uncertainties are standard deviations, or do not
say which (BAG_VertUncertCode), and are taken as such."""
_MOST_NODES = 1 << 25
"""Of more nodes the worst is not looked for: it would take longer than a file may take."""
_NOTHING = 1e6


def is_variable(dataset: Any) -> bool:
    """Whether a BAG has nodes finer than its grid."""
    tags = dataset.tags()
    return "HAS_SUPERGRIDS" in tags or "MIN_RESOLUTION_X" in tags


def worst_refinement_m(path: Path) -> float | None:
    """The greatest uncertainty of all nodes of a BAG of variable resolution, if all have one."""
    import h5py

    worst_m = 0.0
    try:
        with h5py.File(path, "r") as file:
            nodes = file["BAG_root/varres_refinements"]
            across = nodes.shape[-1]
            if nodes.ndim != 2 or nodes.size > _MOST_NODES:
                return None
            for start in range(0, across, 1 << 20):
                some = nodes[:, start : start + (1 << 20)]
                u_m = some["depth_uncrt"][some["depth"] != _NOTHING].astype(np.float64)
                if not ((u_m > 0.0) & (u_m < _NOTHING)).all():
                    return None
                worst_m = max(worst_m, float(u_m.max(initial=0.0)))
    except (OSError, KeyError, ValueError, TypeError, AttributeError):
        return None
    return SIGMAS_OF_95 * worst_m if worst_m > 0.0 else None


def bag_system(xml: str) -> str | None:
    """The EPSG code in a BAG's metadata, which GDAL reads only as WKT."""
    pattern = r">(\d{4,5})</gco:CharacterString>\s*</gmd:code>\s*<gmd:codeSpace>[^E]{0,80}EPSG<"
    found = re.search(pattern, xml)
    return f"EPSG:{found.group(1)}" if found else None
