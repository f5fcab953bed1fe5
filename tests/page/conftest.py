"""Open the page for tests, in a browser: one browser and one server for each module of tests."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

import pytest
from page_in_chromium import Served, Tab, chromium, missing, served
from page_in_use import TEXT, drawn, sample_in, save, text_of, write


@pytest.fixture(scope="module")
def browser() -> Iterator[Any]:
    """One browser for all tests of a module."""
    if why := missing():
        pytest.skip(f"no browser: {why}")
    with chromium() as opened:
        yield opened


@pytest.fixture(scope="module")
def text() -> str:
    """The description that tests of a module begin with."""
    return TEXT


@pytest.fixture(scope="module")
def server(browser: Any, text: str, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A panel, served for all tests of a module that need no server of their own."""
    folder = tmp_path_factory.mktemp("page") / "a & b <i>"  # no name may be taken for markup
    folder.mkdir()
    panel = sample_in(folder, text)
    with served(panel.rename(panel.with_name("<b>x&y'.toml"))) as opened:
        yield opened


@pytest.fixture(scope="module")
def common_tab(browser: Any, server: Served) -> Iterator[Tab]:
    """One tab for all tests of a module that need no other, since opening one takes long."""
    tab = Tab(browser, server)
    yield tab
    tab.context.close()


@pytest.fixture
def tab(common_tab: Tab) -> Iterator[Tab]:
    """That tab as it is; afterwards it must not have complained."""
    yield common_tab
    complaints = list(common_tab.complaints)
    common_tab.complaints.clear()
    assert complaints == []


@pytest.fixture
def page(tab: Tab, text: str) -> Any:
    """The panel as it is, saved and drawn, in a page that was loaded anew."""
    if text_of(tab.page) != text or tab.page.inner_text("#state") != "Saved.":
        write(tab.page, text)
        save(tab.page)
    tab.page.evaluate("localStorage.clear()")
    tab.page.reload()
    drawn(tab.page)
    return tab.page


@pytest.fixture
def open_tab(browser: Any) -> Iterator[Callable[..., Tab]]:
    """Open tabs that share nothing with others, and see afterwards that none complained."""
    tabs: list[Tab] = []

    def opened(server: Served, **how: Any) -> Tab:
        tabs.append(Tab(browser, server, **how))
        return tabs[-1]

    yield opened
    for tab in tabs:
        tab.context.close()
    assert [complaint for tab in tabs for complaint in tab.complaints] == []
