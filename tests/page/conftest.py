"""Open the page for tests, in a browser: one browser and one server for each module of tests."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from page_in_chromium import SAMPLE, Served, Tab, chromium, missing, served
from page_in_use import TEXT, drawn, save, text_of, write


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """One browser for all tests of a module."""
    if why := missing():
        pytest.skip(f"no browser: {why}")
    with chromium() as opened:
        yield opened


@pytest.fixture(scope="module")
def server(browser: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The sample, served for all tests of a module that need no server of their own."""
    folder = shutil.copytree(SAMPLE, tmp_path_factory.mktemp("page") / "sample")
    with served(folder / "panel.toml") as opened:
        yield opened


@pytest.fixture
def open_tab(browser: Any) -> Iterator[Callable[..., Tab]]:
    """Open pages, and see afterwards that none of them complained."""
    tabs: list[Tab] = []

    def opened(server: Served, **how: Any) -> Tab:
        tabs.append(Tab(browser, server, **how))
        return tabs[-1]

    yield opened
    for tab in tabs:
        tab.context.close()
    assert [complaint for tab in tabs for complaint in tab.complaints] == []


@pytest.fixture
def page(server: Served, open_tab: Callable[..., Tab]) -> Any:
    """The sample as it is, saved and drawn, in a tab of its own."""
    page = open_tab(server).page
    if text_of(page) != TEXT or page.inner_text("#state") != "Saved.":
        write(page, TEXT)
        save(page)
    drawn(page)
    return page
