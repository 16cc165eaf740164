"""Predict a year at ten stations with hatyan, an independent library, and keep some heights.

Run by hand in an environment of its own, with the real open data beside the project:

    pip install hatyan==2.14.0
    python tests/authorities/hatyan_heights.py ../shared/data/tides_neaps/stations_subset.json
"""

from __future__ import annotations

import json
import sys
from pathlib import Path

import hatyan
import pandas as pd

# The same constituents under the names of the library; those that it does not know are left out.
NAMES = {
    "LAM2": "LABDA2",
    "LAMBDA2": "LABDA2",
    "RHO": "RO1",
    "RHO1": "RO1",
    "SGM": "SIGMA1",
    "EP2": "EPS2",
    "MTM": "MFM",
}
START, STEP_MIN, COUNT = "2025-01-01T00:00Z", 1310, 400


def main(stations: Path) -> None:
    known = set(hatyan.schureman.get_schureman_table().index)
    times = pd.date_range(START, periods=COUNT, freq=f"{STEP_MIN}min")
    kept = {}
    for station in json.loads(stations.read_text(encoding="utf-8")):
        constants = {
            one["name"]: (one["amplitude"], one["phase"])
            for one in station["harmonic_constituents"]
            if NAMES.get(one["name"], one["name"]) in known
        }
        table = pd.DataFrame(
            {
                "A": [a for a, _ in constants.values()],
                "phi_deg": [g for _, g in constants.values()],
            },
            index=[NAMES.get(name, name) for name in constants],
        )
        table.attrs.update(
            nodalfactors=True, fu_alltimes=True, xfac=False, source="schureman", tzone="UTC+00:00"
        )
        heights = hatyan.prediction(table, times=times)["values"]
        kept[station["id"]] = {
            "constituents": list(constants),
            "height_mm": [round(1000 * float(h)) for h in heights],
        }
    text = json.dumps({"start": START, "step_min": STEP_MIN, "stations": kept})
    out = Path(__file__).with_suffix(".json")
    out.write_text(text.replace('{"constituents"', '\n{"constituents"') + "\n", encoding="utf-8")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
