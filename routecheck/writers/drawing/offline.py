"""What a page needs to open without a network: scripts and styles from installed packages, inside.

The map library comes from the XStatic-Leaflet package, never from a copy of our own.
"""

from __future__ import annotations

import base64
import hashlib
import re
from functools import lru_cache
from importlib.metadata import distribution
from importlib.resources import files
from pathlib import Path

_LEAFLET = "xstatic/pkg/leaflet/data"
_ASSETS = ("unpack.js", "water.js", "ask.js", "labels.js", "overlay.js")


@lru_cache(maxsize=1)
def leaflet() -> tuple[str, str]:
    """(script, style) of Leaflet, pictures inside. Raises PackageNotFoundError without it."""
    folder = Path(str(distribution("XStatic-Leaflet").locate_file(_LEAFLET)))
    script = (folder / "leaflet.js").read_text("utf-8")
    script = re.sub(r"(?m)^//[#@] sourceMappingURL=.*$", "", script)
    style = (folder / "leaflet.css").read_text("utf-8")

    def inside(found: re.Match[str]) -> str:
        picture = base64.b64encode((folder / found.group(1)).read_bytes()).decode("ascii")
        return f"url(data:image/png;base64,{picture})"

    return script, re.sub(r"url\((images/[\w.-]+\.png)\)", inside, style)


def own_script() -> str:
    """Our own script for the map."""
    folder = files("routecheck.writers") / "assets"
    return "\n".join((folder / name).read_text("utf-8") for name in _ASSETS)


def asset_script(name: str) -> str:
    """One of our own scripts."""
    return (files("routecheck.writers") / "assets" / name).read_text("utf-8")


def own_style(name: str) -> str:
    """One of our own style sheets."""
    return (files("routecheck.writers") / "assets" / name).read_text("utf-8")


def _hashed(blocks: list[str]) -> str:
    digests = (hashlib.sha256(block.encode("utf-8")).digest() for block in blocks)
    return " ".join(f"'sha256-{base64.b64encode(d).decode('ascii')}'" for d in digests)


def with_policy(page: str) -> str:
    """The page with a content security policy: only the very scripts and styles that stand in it
    now may run, and nothing may be fetched. Raises ValueError where something is to be fetched."""
    fetched = re.search(r"<(?:script|img|iframe)[^>]*\ssrc=|<link[^>]*\shref=", page)
    if fetched:
        raise ValueError(f"the page would fetch something: {fetched.group(0)[:80]}")
    scripts = [
        found.group(2)
        for found in re.finditer(r"(?s)<script([^>]*)>(.*?)</script>", page)
        if "type=" not in found.group(1)
    ]
    styles = re.findall(r"(?s)<style[^>]*>(.*?)</style>", page)
    for style in styles:  # only here: a name in the data may hold these very letters
        if "@import" in style:
            raise ValueError("the page would fetch a style: @import")
    policy = (
        f"default-src 'none'; script-src {_hashed(scripts) or chr(39) + 'none' + chr(39)}; "
        f"style-src {_hashed(styles) or chr(39) + 'none' + chr(39)}; img-src data:; "
        "base-uri 'none'; form-action 'none'"
    )
    meta = f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
    return page.replace("<head>", f"<head>\n{meta}", 1)
