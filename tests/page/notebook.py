"""Stands in for a notebook: a page of Chromium that draws widgets, each with a model of its own.

With `live` the widget behind the page is a real one, and what the page saves goes to it as from a
notebook. With `draw` nobody answers: what Python's side does is tested without a browser. A file
imports the fixture `book` or `still`, with `notebook` or `still_notebook`, whose page it shares.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

WIDTH, HEIGHT = 1000, 900
ADDRESS = "http://workbook.example/"
MARKUP = "<img src=x onerror='window.hit=1'>"
REPLY_MS = 120_000
_OF_EVERY_WIDGET = ("layout", "tabbable", "tooltip")
_PAGE = "<!doctype html><html lang='en'><title>t</title><body></body></html>"

_DRAW = """
async ([source, css, state, path]) => {
  document.head.append(Object.assign(document.createElement("style"), { textContent: css }));
  const listeners = {};
  const dirty = new Set();
  const fire = (event, ...values) =>
    (listeners[event] ?? []).forEach((listener) => listener(...values));
  const take = (changes) => {
    const keys = Object.keys(changes).filter(
      (key) => JSON.stringify(changes[key]) !== JSON.stringify(state[key]),
    );
    keys.forEach((key) => (state[key] = changes[key]));
    keys.forEach((key) => fire("change:" + key));
  };
  window.model = {
    state, saves: 0, sent: [], take, fire, widget_manager: { context: { path } },
    get: (key) => state[key],
    set: (key, value) => {
      const changed = state[key] !== value;
      state[key] = value;
      dirty.add(key);
      if (changed) fire("change:" + key);
    },
    save_changes: () => {
      window.model.saves += 1;
      const changes = Object.fromEntries([...dirty].map((key) => [key, state[key]]));
      dirty.clear();
      window.python(changes).then(take);
    },
    send: (message) => window.model.sent.push(message),
    on: (event, listener) => (listeners[event] ??= []).push(listener),
    off: (event, gone) => {
      listeners[event] = (listeners[event] ?? []).filter((each) => each !== gone);
    },
    count: () => Object.values(listeners).flat().length,
  };
  window.reached = [];
  document.addEventListener("keydown", (event) => window.reached.push(event.key));
  const url = URL.createObjectURL(new Blob([source], { type: "text/javascript" }));
  const { default: widget } = await import(url);
  URL.revokeObjectURL(url);
  window.view = () => widget.render({ model: window.model, el: document.body });
  window.stop = window.view();
}
"""


def own_state(view: Any) -> dict[str, Any]:
    """The synced state of `view`, without what every widget has."""
    names = [name for name in view.keys if name[0] != "_" and name not in _OF_EVERY_WIDGET]
    return dict(view.get_state(names))


class Notebook:
    """The page, and the widget behind it, if any. Short ways to what tests do most."""

    def __init__(self, page: Any) -> None:
        self.page = page
        self.errors: list[str] = []
        self._behind: Any = None
        page.set_default_timeout(REPLY_MS)
        # an address, since a page without one may keep nothing
        page.route("**/*", lambda route: route.fulfill(body=_PAGE, content_type="text/html"))
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.expose_function("python", self._python)

    def _python(self, changes: dict[str, Any]) -> dict[str, Any]:
        if self._behind is None:
            return {}
        self._behind.set_state(changes)
        return own_state(self._behind)

    def lose_kernel(self) -> None:
        """From here on nobody answers."""
        self._behind = None

    def draw(self, view: Any, behind: Any = None, *, path: str = "", **state: Any) -> None:
        """Draw `view` in an empty page, as in the notebook of that path, with a model that holds
        its state and `state`."""
        self._behind = behind
        self.page.set_content(_PAGE)
        self.page.evaluate(_DRAW, [view._esm, view._css, own_state(view) | state, path])

    def live(self, view: Any) -> Any:
        """Draw `view`, a real widget, with itself behind the page's model."""
        self.draw(view, behind=view)
        return view

    def take(self, **changes: Any) -> None:
        """Changes that come from Python."""
        self.page.evaluate("changes => model.take(changes)", changes)

    def get(self, name: str) -> Any:
        return self.page.evaluate("name => model.get(name)", name)

    def press(self, name: str) -> None:
        self.page.get_by_role("button", name=name, exact=True).click()

    def wait_for(self, text: str) -> None:
        self.page.get_by_text(text).first.wait_for()

    def status(self) -> Any:
        """The region that holds the reply."""
        return self.page.get_by_role("status").nth(0)

    def said(self) -> str:
        return str(self.status().inner_text()).replace("\u00a0", " ")

    def focused(self) -> str:
        """Name of what has the focus."""
        return str(
            self.page.evaluate(
                "() => { const node = document.activeElement;"
                " return node.getAttribute('aria-label') || node.labels?.[0]?.textContent"
                " || node.textContent; }"
            )
        )


def _opened(browser: Any) -> Iterator[Notebook]:
    context = browser.new_context(viewport={"width": WIDTH, "height": HEIGHT})
    yield Notebook(context.new_page())
    context.close()


def _begun(found: Notebook) -> Iterator[Notebook]:
    """For one test: an empty page that keeps nothing of the test before."""
    found.page.goto(ADDRESS)
    found.page.evaluate("sessionStorage.clear()")
    yield found
    found.lose_kernel()
    found.page.set_viewport_size({"width": WIDTH, "height": HEIGHT})
    assert found.errors == []


@pytest.fixture(scope="module")
def notebook(browser: Any) -> Iterator[Notebook]:
    yield from _opened(browser)


@pytest.fixture(scope="module")
def still_notebook(browser: Any) -> Iterator[Notebook]:
    for found in _opened(browser):
        found.page.clock.install(time=0)
        found.page.clock.pause_at(1000)
        yield found


@pytest.fixture
def book(notebook: Notebook) -> Iterator[Notebook]:
    """A notebook, shared by the tests of a file."""
    yield from _begun(notebook)


@pytest.fixture
def still(still_notebook: Notebook) -> Iterator[Notebook]:
    """A notebook in which time passes only when a test says so."""
    yield from _begun(still_notebook)
