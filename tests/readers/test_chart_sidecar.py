"""A chart's sidecar: what it states, and every slip in it told with its key."""

from __future__ import annotations

from pathlib import Path

import pytest

from routecheck.model.errors import BadInput
from routecheck.model.source import UNKNOWN_QUALITY
from routecheck.readers.chart_sidecar import Sidecar, read_sidecar, sidecar_path

WHOLE = """
quantity = "elevation"
unit = "ft"
datum = "mllw"
datum_below_msl = "1.35 m"
vertical_uncertainty = "0.5 m + 1 %"
horizontal_uncertainty = "20 m"
surveyed = 2019
class = "DEPARE"
columns = { depth = "ZMIN", depth_max = "ZMAX" }

[layers.rocks]
class = "UWTROC"
columns = { VALSOU = "TOP" }
"""


def read(folder: Path, text: str) -> Sidecar | None:
    chart = folder / "chart.gpkg"
    sidecar_path(chart).write_text(text, encoding="utf-8")
    return read_sidecar(chart)


def test_everything_that_can_be_stated(tmp_path: Path) -> None:
    sidecar = read(tmp_path, WHOLE)
    assert sidecar is not None
    assert (sidecar.quantity, sidecar.unit_m, sidecar.datum) == ("elevation", 0.3048, "MLLW")
    assert (sidecar.datum_below_msl_m, sidecar.surveyed) == (1.35, 2019)
    assert (sidecar.quality.vertical_m, sidecar.quality.vertical_share) == (0.5, 0.01)
    assert sidecar.quality.horizontal_m == 20.0
    assert sidecar.whole.cls == "DEPARE"
    assert sidecar.columns == {"depth": "ZMIN", "depth_max": "ZMAX"}
    assert sidecar.layers["rocks"].cls == "UWTROC"
    assert sidecar.layers["rocks"].columns == {"VALSOU": "TOP"}


def test_the_sidecar_bears_the_whole_name_of_its_chart(tmp_path: Path) -> None:
    assert sidecar_path(Path("a/b.tif")) == Path("a/b.tif.toml")
    assert read_sidecar(tmp_path / "none.tif") is None


def test_what_is_not_stated_is_unknown(tmp_path: Path) -> None:
    sidecar = read(tmp_path, 'unit = "m"')
    assert sidecar is not None
    assert (sidecar.quantity, sidecar.datum, sidecar.surveyed) == ("", "", None)
    assert sidecar.quality is UNKNOWN_QUALITY


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('datums = "LAT"', "did you mean 'datum'"),
        ('unit = "kg"', "unit: depth '1 kg' is in 'kg', which is no unit"),
        ('unit = "km"', "unit: 'km' is no unit of depth"),
        ('unit = "nmi"', "unit: 'nmi' is no unit of depth"),
        ("unit = 1", "unit: 1 is no unit"),
        ('unit = "3 m"', "is no unit"),
        ('datum = "sea level"', "datum: datum 'sea level' is not known"),
        ('quantity = "height"', "quantity: 'height' is neither"),
        ("surveyed = 19", "surveyed: 19 is not a year"),
        ("surveyed = true", "surveyed: True is not a year"),
        ('vertical_uncertainty = "2"', "vertical_uncertainty: .* has no unit"),
        ('vertical_uncertainty = "-1 m"', "vertical_uncertainty: .* is negative"),
        ('horizontal_uncertainty = "nan m"', "horizontal_uncertainty"),
        ('columns = { dept = "Z" }', "did you mean 'depth'"),
        ("columns = { depth = 3 }", "is not a column's name"),
        ("[layers]\nrocks = 1", "is not a table"),
        ("[layers.rocks]\nunit = 'm'", "'unit' is not a key here"),
        ("unit = [", "this is not TOML"),
    ],
)
def test_slips_are_refused_with_their_key(tmp_path: Path, text: str, words: str) -> None:
    with pytest.raises(BadInput, match=words) as caught:
        read(tmp_path, text)
    assert "chart.gpkg.toml" in str(caught.value)
    assert "\n" not in str(caught.value)
