"""Symbols of marks as small inline SVG, and a tag that says how each was passed.

Shape follows the hand or kind (IALA Recommendation R1001): can to port, cone to starboard, the
two cones of the cardinals, two balls, one ball, a cross. What is not decided has a question mark:
a ball for a lateral mark, a spar without cones for a cardinal mark, a hexagon for one of unknown
kind. The body has the mark's own colours, but nothing is told by colour alone: the tag says the
side in a letter. Nothing here is file text.
"""

from __future__ import annotations

from routecheck.model.finding import MarkOutcome, MarkRow

SIZE_PX = 26
INK = "#17141c"
_COLOURS = {
    "white": "#ffffff",
    "black": "#1a1a1a",
    "red": "#c8202f",
    "green": "#0b7a45",
    "blue": "#1f4fa3",
    "yellow": "#f2c500",
    "grey": "#8a8a8a",
    "brown": "#7a4b2a",
    "amber": "#f0a000",
    "violet": "#6f3fa0",
    "orange": "#e8702a",
    "magenta": "#c0307f",
    "pink": "#f0a0b8",
}
_NO_COLOUR = "#d6d2ca"
# Bodies in a box of 26 by 26, the mark's place at the middle of the foot.
_CAN = "M6 6H20V22H6Z"
_CONE = "M13 3L22 22H4Z"
_BALL = "M13 5A8.5 8.5 0 1 1 12.99 5Z"
_SPAR = "M10 12H16V23H10Z"
_BODIES = {
    "port-hand": _CAN,
    "starboard-hand": _CONE,
    "preferred-channel-to-starboard": _CAN,
    "preferred-channel-to-port": _CONE,
    "safe-water": _BALL,
    "special": "M13 2.5L23.5 13L13 23.5L2.5 13Z",
    "unknown": "M13 3L22.5 8V18.5L13 23.5L3.5 18.5V8Z",
    "emergency-wreck": "M10 3H16V10H23V16H16V23H10V16H3V10H10Z",
}
_UP, _DOWN = "M13 {0}L18 {1}H8Z", "M8 {0}H18L13 {1}Z"
_TOPMARKS = {
    "north": (_UP.format(0.5, 5.5), _UP.format(6, 11)),
    "south": (_DOWN.format(0.5, 5.5), _DOWN.format(6, 11)),
    "east": (_UP.format(0.5, 5.5), _DOWN.format(6, 11)),
    "west": (_DOWN.format(0.5, 5.5), _UP.format(6, 11)),
    "isolated-danger": ("M13 0.5A2.6 2.6 0 1 1 12.99 0.5Z", "M13 6A2.6 2.6 0 1 1 12.99 6Z"),
}
_CARDINAL_BODIES = {
    "north": ("black", "yellow"),
    "south": ("yellow", "black"),
    "east": ("black", "yellow", "black"),
    "west": ("yellow", "black", "yellow"),
    "isolated-danger": ("black", "red", "black"),
}


def _striped(path: str, colours: tuple[str, ...], top: float, bottom: float, clip: str) -> str:
    known = [_COLOURS.get(colour.strip().lower(), _NO_COLOUR) for colour in colours]
    fills = known or [_NO_COLOUR]
    height = (bottom - top) / len(fills)
    stripes = "".join(
        f'<rect x="0" y="{top + i * height:.2f}" width="26" height="{height + 0.05:.2f}" '
        f'fill="{fill}"/>'
        for i, fill in enumerate(fills)
    )
    return (
        f'<clipPath id="{clip}"><path d="{path}"/></clipPath>'
        f'<path d="{path}" fill="none" stroke="#ffffff" stroke-width="4.5" '
        f'stroke-linejoin="round"/><g clip-path="url(#{clip})">{stripes}</g>'
        f'<path d="{path}" fill="none" stroke="{INK}" stroke-width="1.4" '
        f'stroke-linejoin="round"/>'
    )


def mark_symbol(kind: str, colours: tuple[str, ...], ident: str) -> str:
    """The mark as SVG. `ident` must be unique in the page and fit for an XML id."""
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="mark" width="{SIZE_PX}" '
        f'height="{SIZE_PX}" viewBox="0 0 26 26" aria-hidden="true">'
    )
    if kind in _TOPMARKS:
        tops = "".join(
            f'<path d="{d}" fill="{INK}" stroke="#ffffff" stroke-width="2" paint-order="stroke"/>'
            for d in _TOPMARKS[kind]
        )
        shown = colours or _CARDINAL_BODIES[kind]
        return f"{head}{_striped(_SPAR, shown, 12.0, 23.0, ident)}{tops}</svg>"
    if kind == "cardinal":
        spar = _striped(_SPAR, colours, 12.0, 23.0, ident)
        return f"{head}{spar}{_asked(10.5, 12)}</svg>"
    body = _BODIES.get(kind, "M13 3.5A9.5 9.5 0 1 1 12.99 3.5Z")
    shape = _striped(body, colours, 3.0, 23.5, ident)
    if kind not in _BODIES or kind == "unknown":
        # A lateral mark whose hand is not decided, or a mark of unknown kind.
        shape += _asked(18, 14)
    return f"{head}{shape}</svg>"


def _asked(foot: float, size: int) -> str:
    return (
        f'<text x="13" y="{foot:g}" font-size="{size}" font-weight="700" text-anchor="middle" '
        f'fill="{INK}" stroke="#ffffff" stroke-width="3" paint-order="stroke">?</text>'
    )


_LETTERS = {
    "port": "P",
    "starboard": "S",
    "north": "to N",
    "east": "to E",
    "south": "to S",
    "west": "to W",
}


def side_tag(mark: MarkRow) -> tuple[str, str]:
    """(text of the tag, its style's name): the side passed, and what is wrong with it.

    A plain letter is the right side; ``P≠S`` was left to port and should be to starboard.
    """
    passed = _LETTERS.get(mark.side_passed, "?")
    if mark.outcome is MarkOutcome.RIGHT:
        return passed, "right"
    if mark.outcome is MarkOutcome.WRONG:
        required = _LETTERS.get(mark.side_required, "?").removeprefix("to ")
        return f"{passed}≠{required}", "wrong"
    if mark.outcome is MarkOutcome.CROSSED:
        return f"{passed}×", "crossed"
    return f"{passed}?", "unjudged"
