"""What all tests share: Chromium and ngspice where they are there, no silent skips in CI, and the
same random examples in each run unless `--wide` asks for others."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

CHECKOUT = Path(__file__).resolve().parent.parent
CHROMIUM_NAMES = (
    "chromium-headless-shell",  # no windows of its own, and less than half the processor time
    "chromium",
    "chromium-browser",
    "google-chrome",
    "google-chrome-stable",
)
CHROMIUM_FLAGS = (
    "--no-sandbox",  # CI runs as root, where Chromium refuses its sandbox; pages are our own
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


def find_chromium() -> str | None:
    """Path of a Chromium: HEATER_CHROMIUM, one on the PATH, or the one playwright installed."""
    named = os.environ.get("HEATER_CHROMIUM")
    if named:
        return named
    for name in CHROMIUM_NAMES:
        path = shutil.which(name)
        if path:
            return path
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        return None
    with sync_playwright() as playwright:
        own = playwright.chromium.executable_path
    return own if Path(own).exists() else None


@pytest.fixture(scope="session")
def checkout() -> Path:
    """The project's folder."""
    return CHECKOUT


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of a Chromium; the test is skipped, with the reason, where there is none."""
    path = find_chromium()
    if path is None:
        pytest.skip("no Chromium found: install chromium, or set HEATER_CHROMIUM to its path")
    return path


@pytest.fixture(scope="session")
def browser(chromium: str) -> Iterator[Any]:
    """A running Chromium, as a playwright `Browser`; take a new page or context for each test."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        running = playwright.chromium.launch(
            executable_path=chromium, args=list(CHROMIUM_FLAGS), headless=True
        )
        yield running
        running.close()


@pytest.fixture(scope="session")
def lab(
    browser: Any, checkout: Path, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[tuple[Any, str, Path]]:
    """One JupyterLab for all tests: a context of the browser, its address, its working folder."""
    from tests.browser.lab import running_lab

    with running_lab(checkout, tmp_path_factory.mktemp("home")) as (address, folder):
        context = browser.new_context(viewport={"width": 1280, "height": 1000})
        yield context, address, folder
        context.close()


@pytest.fixture
def lesson(lab: tuple[Any, str, Path], request: pytest.FixtureRequest) -> Iterator[Any]:
    """A page in JupyterLab, as a `tests.browser.lab.Lesson`; a new one where a test has failed."""
    from tests.browser.lab import Lesson

    context, address, folder = lab
    page = context.pages[0] if context.pages else context.new_page()
    failed = request.session.testsfailed
    found = Lesson(page, address, folder)
    yield found
    if request.session.testsfailed > failed:
        page.close()
    else:
        found.close()


@pytest.fixture(scope="session")
def ngspice() -> str:
    """Path of ngspice; the test is skipped, with the reason, where there is none."""
    path = shutil.which("ngspice")
    if path is None:
        pytest.skip("no ngspice found: install ngspice")
    return path


@pytest.fixture(scope="session")
def wide(pytestconfig: pytest.Config) -> bool:
    """Whether the wider search was asked for."""
    return bool(pytestconfig.getoption("--wide"))


@pytest.fixture(autouse=True)
def _needs_of_markers(request: pytest.FixtureRequest) -> None:
    for marker, fixture in (("browser", "chromium"), ("spice", "ngspice")):
        if request.node.get_closest_marker(marker):
            request.getfixturevalue(fixture)


class SkipsCount:
    """In CI everything the tests need is there, so a skipped test hides something: it fails."""

    def __init__(self) -> None:
        self.skipped: list[str] = []

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.skipped and not hasattr(report, "wasxfail"):
            self.skipped.append(report.nodeid)

    def pytest_collectreport(self, report: pytest.CollectReport) -> None:
        if report.skipped:
            self.skipped.append(report.nodeid)

    def pytest_sessionfinish(self, session: pytest.Session) -> None:
        if self.skipped and session.exitstatus == pytest.ExitCode.OK:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        if self.skipped:
            terminalreporter.section("skipped, which counts as a failure in CI", red=True)
            for nodeid in self.skipped:
                terminalreporter.write_line(nodeid)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption(
        "--wide",
        action="store_true",
        help="a wider search: other and more random examples, and every lesson in JupyterLab",
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Among processes the files that take long come first: none of them must end last."""
    if one_of_several(config):
        items.sort(key=lambda item: not takes_long(item))


def one_of_several(config: pytest.Config) -> bool:
    """Whether this process got its tests from another one."""
    return hasattr(config, "workerinput")


def takes_long(item: pytest.Item) -> bool:
    if item.path.suffix == ".ipynb" or item.path.name == "test_style.py":
        return True
    return item.get_closest_marker("browser") is not None


def pytest_configure(config: pytest.Config) -> None:
    from hypothesis import settings

    # A test that is green today must be green tomorrow: the default run draws the same examples
    # each time and remembers none. The wide search draws others, and more of them wherever a test
    # counts in the profile's own number. No deadline: a shared machine is slow at any moment.
    settings.register_profile("same", derandomize=True, database=None, deadline=None)
    settings.register_profile(
        "wide", derandomize=False, max_examples=2000, database=None, deadline=None, print_blob=True
    )
    settings.load_profile("wide" if config.getoption("--wide") else "same")
    # the process that hands out the tests hears of every skip
    if os.environ.get("CI", "").lower() in ("1", "true") and not one_of_several(config):
        config.pluginmanager.register(SkipsCount(), "skips-count")
