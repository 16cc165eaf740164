"""Shapes and top marks against the kind of a mark: IALA Recommendation R1001.

Lateral marks, both regions alike (colours change with the region, shapes do not): port hand and
preferred channel to starboard are cans with a can for a top mark, starboard hand and preferred
channel to port cones with a cone, point up. Pillars, spars and what else may be either hand say
nothing. Cardinal marks: two cones, up (north), down (south), base to base (east), point to point
(west).
"""

from __future__ import annotations

from routecheck.nav.buoyage import HAND

_OF_HAND = {"can": "port", "cone": "starboard"}
_CONES = {
    "two cones, points up": "north",
    "two cones, points down": "south",
    "two cones, base to base": "east",
    "two cones, point to point": "west",
}


def cones(top_mark: str) -> str:
    """The quadrant of the cardinal mark that has these two cones; "" for any other top mark.

    >>> cones("two cones, points up, black"), cones("can, red")
    ('north', '')
    """
    fitted = top_mark.strip().lower()
    found = {
        next((name for shape, name in _CONES.items() if one.strip().startswith(shape)), "")
        for one in fitted.split(";")
    }
    return found.pop() if len(found) == 1 else ""


def shape_contradiction(kind: str, shape: str, top_mark: str) -> str:
    """What in the shape ("can", "conical", …) and top mark ("can, red") of a mark does not fit its
    kind, in words; "" where all fits, or nothing is stated.

    >>> shape_contradiction("starboard-hand", "can", "")
    'a can is the shape of a mark for the port hand; this one is of kind starboard-hand'
    >>> shape_contradiction("port-hand", "pillar", "can, red")
    ''
    """
    said = []
    hand = HAND.get(kind, "")
    body = {"can": "can", "conical": "cone"}.get(shape.strip().lower(), "")
    if hand and body and _OF_HAND[body] != hand:
        said.append(f"a {body} is the shape of a mark for the {_OF_HAND[body]} hand")
    fitted = top_mark.strip().lower()
    top = next((word for word in _OF_HAND if fitted == word or fitted.startswith(f"{word},")), "")
    if hand and top and "point down" not in fitted and _OF_HAND[top] != hand:
        said.append(f"a {top} is the top mark of a mark for the {_OF_HAND[top]} hand")
    quarter = cones(top_mark)
    if quarter and hand:
        said.append(f"two cones are the top mark of the {quarter} cardinal mark")
    elif quarter and kind in _CONES.values() and quarter != kind:
        said.append(f"these cones are the top mark of the {quarter} cardinal mark")
    return f"{' and '.join(said)}; this one is of kind {kind}" if said else ""
