"""A headless Chromium without a network, which fails a test on any request or console error."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]
VIEWPORTS = {"desktop": (1360, 860), "phone": (390, 844)}
Opened = Callable[..., Any]


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """One browser for all tests; they are skipped, with the reason, where there is none."""
    path = os.environ.get("ROUTECHECK_CHROMIUM") or shutil.which("chromium")
    if path is None:
        pytest.skip("no Chromium on this machine: install one or set ROUTECHECK_CHROMIUM")
    playwright = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with playwright.sync_playwright() as running:
        started = running.chromium.launch(executable_path=path, args=ARGUMENTS)
        yield started
        started.close()


@pytest.fixture
def opened(browser: Browser, tmp_path: Path) -> Iterator[Opened]:
    """``opened(page_text, viewport="desktop", init="")``: the page, from disk, network off.

    After the test: nothing was asked for but the file itself, no console error, no exception,
    no dialogue.
    """
    wrong: list[str] = []
    contexts: list[Any] = []

    def open_(text: str, viewport: str = "desktop", init: str = "") -> Page:
        file = tmp_path / f"page{len(contexts)}.html"
        file.write_text(text, encoding="utf-8", newline="")
        width, height = VIEWPORTS[viewport]
        context = browser.new_context(
            offline=True, viewport={"width": width, "height": height}, has_touch=viewport == "phone"
        )
        contexts.append(context)
        if init:
            context.add_init_script(init)
        page = context.new_page()

        def asked(request: Any) -> None:
            if request.url != file.as_uri() and not request.url.startswith("data:"):
                wrong.append(f"asked for {request.url[:200]}")

        def said(message: Any) -> None:
            if message.type == "error":
                wrong.append(f"console: {message.text[:300]}")

        def dialogue(one: Any) -> None:
            wrong.append(f"dialogue: {one.message}")
            one.dismiss()

        page.on("request", asked)
        page.on("console", said)
        page.on("pageerror", lambda error: wrong.append(f"exception: {error}"))
        page.on("dialog", dialogue)
        page.goto(file.as_uri())
        return page

    yield open_
    for context in contexts:
        context.close()
    assert wrong == []
