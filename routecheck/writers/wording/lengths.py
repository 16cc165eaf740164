"""Numbers as a skipper reads them, in metres or feet. JSON never sees these."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from enum import StrEnum

from routecheck.units import METRES_PER_FOOT, METRES_PER_NMI

_IN_METRES = re.compile(
    # What a chart says word for word stays as it is.
    r"\N{LEFT DOUBLE QUOTATION MARK}[^\N{RIGHT DOUBLE QUOTATION MARK}]*"
    r"|(?<![\w.,])(?P<low>\d[\d,]*(?:\.\d+)? to [-+\N{MINUS SIGN}]?)?"
    r"(?P<number>\d[\d,]*(?:\.\d+)?) m(?P<square>\N{SUPERSCRIPT TWO})?(?!\w)"
)
_NOISE = 1e-6  # of the last place: 2.3 m must not be floored to 2.2


class Units(StrEnum):
    """What lengths are shown in."""

    METRIC = "metric"
    FEET = "feet"


@dataclass(frozen=True, kw_only=True, slots=True)
class Lengths:
    """Lengths in words, and times. `minus` is the sign to print: a hyphen suits a terminal; `zone`
    the clock on which times are shown."""

    units: Units = Units.METRIC
    minus: str = "\N{MINUS SIGN}"
    zone: tzinfo = UTC

    def clock(self, time: datetime | None) -> str:
        """A time on the reader's clock, "" for none."""
        return clock(time, self.zone)

    @property
    def unit(self) -> str:
        """The unit's sign."""
        return "ft" if self.units is Units.FEET else "m"

    def of(self, value_m: float) -> float:
        """The number in the reader's unit."""
        return value_m / METRES_PER_FOOT if self.units is Units.FEET else value_m

    def number(
        self, value: float, decimals: int, *, sign: bool = False, grouped: bool = False
    ) -> str:
        """A number with our sign; a negative one never shows as zero."""
        # Halves go up on both sides of a sum: 1.905 + 1 = 2.905 must not show as 1.91 + 1 = 2.90.
        shown = round(abs(value) + _NOISE * 10.0**-decimals, decimals)
        if shown == 0.0 and value < -1e-9:
            shown = 10.0**-decimals
        text = f"{shown:,.{decimals}f}" if grouped else f"{shown:.{decimals}f}"
        negative = value < 0.0 and shown != 0.0
        return (self.minus if negative else "+" if sign else "") + text

    def decimals(self, values_m: Iterable[float]) -> int:
        """One decimal where all values of a sum are whole tenths, else two."""
        for value_m in values_m:
            tenths = self.of(value_m) * 10.0
            if abs(tenths - round(tenths)) > 5e-3:
                return 2
        return 1

    def exact(self, value_m: float, decimals: int | None = None, *, sign: bool = False) -> str:
        """A term of a sum, to the centimetre where it needs it."""
        places = self.decimals([value_m]) if decimals is None else decimals
        return f"{self.number(self.of(value_m), places, sign=sign)} {self.unit}"

    def floored(self, value_m: float, *, sign: bool = False, decimals: int = 1) -> str:
        """A depth or a margin in a table: rounded down to a tenth, against the boat."""
        scale = 10.0**decimals
        down = math.floor(self.of(value_m) * scale + _NOISE) / scale
        return f"{self.number(down, decimals, sign=sign)} {self.unit}"

    def raised(self, value_m: float) -> str:
        """A height of water in a table: rounded up to a tenth, against the mast."""
        tenths = math.ceil(self.of(value_m) * 10.0 - _NOISE) / 10.0
        return f"{self.number(tenths, 1)} {self.unit}"

    def prose(self, text: str) -> str:
        """A sentence of the model, whose lengths and areas stand in metres, in the reader's unit.

        >>> Lengths(units=Units.FEET).prose("charted at 2.0 m, 55 to 60 m off, on 1,000 m²; 3 min")
        'charted at 6.6 ft, 180 to 197 ft off, on 10,764 ft²; 3 min'
        """
        if self.units is Units.METRIC:
            return text

        def one(written: str, per_unit: float) -> str:
            value = float(written.replace(",", "")) / per_unit
            # A foot is a third of a metre: hundredths of a metre are not hundredths of a foot,
            # and a few whole metres want a decimal.
            whole = "." not in written
            places = 2 if 0.0 < value < 1.0 else int(0.0 < value < 33.0 or not whole)
            return self.number(value, places, grouped="," in written or value >= 10_000.0)

        def told(found: re.Match[str]) -> str:
            if found["number"] is None:
                return found.group()
            square = found["square"] or ""
            per_unit = METRES_PER_FOOT**2 if square else METRES_PER_FOOT
            low = found["low"] or ""
            if low:
                first, _, sign = low.partition(" to ")
                low = f"{one(first, per_unit)} to {sign}"
            return f"{low}{one(found['number'], per_unit)} {self.unit}{square}"

        return _IN_METRES.sub(told, text)

    def off(self, distance_m: float) -> str:
        """A distance off the track or to a mark."""
        if abs(distance_m) >= METRES_PER_NMI:
            return f"{abs(distance_m) / METRES_PER_NMI:.2f} nmi"
        return f"{round(self.of(abs(distance_m)))} {self.unit}"


def along(distance_m: float) -> str:
    """A distance along the route, in nautical miles."""
    return f"{distance_m / METRES_PER_NMI:.2f} nmi"


def bearing(angle_deg: float) -> str:
    """A true course or bearing in three figures.

    >>> bearing(7.4), bearing(359.9)
    ('007°', '000°')
    """
    return f"{round(angle_deg) % 360:03d}°"


def clock(time: datetime | None, zone: tzinfo = UTC) -> str:
    """A time on the clock of a zone, "" for none.

    >>> from datetime import timedelta, timezone
    >>> clock(datetime(2027, 5, 14, 7, 30, tzinfo=UTC), timezone(timedelta(hours=2)))
    '2027-05-14 09:30 +02:00'
    """
    if time is None:
        return ""
    there = time.astimezone(zone)
    if not there.utcoffset():
        return there.strftime("%Y-%m-%d %H:%M UTC")
    ahead = there.strftime("%z")
    return f"{there:%Y-%m-%d %H:%M} {ahead[:3]}:{ahead[3:5]}"


def position(lon_deg: float, lat_deg: float) -> str:
    """Degrees and decimal minutes, latitude first.

    >>> position(-76.2834, 38.6525)
    "38°39.150'N 076°17.004'W"
    """
    lon_deg = (lon_deg + 180.0) % 360.0 - 180.0

    def one(angle_deg: float, width: int, signs: str) -> str:
        thousandths = round(abs(angle_deg) * 60_000.0)
        degrees, rest = divmod(thousandths, 60_000)
        return f"{degrees:0{width}d}°{rest / 1000.0:06.3f}'{signs[angle_deg < 0.0]}"

    return f"{one(lat_deg, 2, 'NS')} {one(lon_deg, 3, 'EW')}"


def zone_words(zone: tzinfo, at: datetime) -> str:
    """The name of a clock: "UTC", or like "+02:00"."""
    ahead = at.astimezone(zone).strftime("%z")
    return "UTC" if ahead == "+0000" else f"{ahead[:3]}:{ahead[3:]}"
