"""Stands in for a notebook: a page that draws a widget's module with a model of its own.

Without `python`, nobody answers: what Python's side does is tested without a browser. With it, the
widget behind the page is a real one, and what the page saves goes to it as from a notebook.
"""

from __future__ import annotations

from typing import Any

_OF_EVERY_WIDGET = ("layout", "tabbable", "tooltip")
_PAGE = "<!doctype html><html lang='en'><title>t</title><body></body></html>"

_DRAW = """
async ([source, css, state]) => {
  document.head.append(Object.assign(document.createElement("style"), { textContent: css }));
  const listeners = {};
  const dirty = new Set();
  const fire = (keys) =>
    keys.forEach((key) => (listeners["change:" + key] ?? []).forEach((listener) => listener()));
  const take = (changes) => {
    const keys = Object.keys(changes).filter(
      (key) => JSON.stringify(changes[key]) !== JSON.stringify(state[key]),
    );
    keys.forEach((key) => (state[key] = changes[key]));
    fire(keys);
  };
  window.model = {
    state, saves: 0, take,
    get: (key) => state[key],
    set: (key, value) => {
      const changed = state[key] !== value;
      state[key] = value;
      dirty.add(key);
      if (changed) fire([key]);
    },
    save_changes: () => {
      window.model.saves += 1;
      const changes = Object.fromEntries([...dirty].map((key) => [key, state[key]]));
      dirty.clear();
      window.python?.(changes).then(take);
    },
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
  window.view = () => widget.render({ model: window.model, el: document.body });
  window.stop = window.view();
}
"""


def draw(page: Any, widget: Any, state: dict[str, Any]) -> None:
    """Draw the module of `widget` (a class or an object) in an empty page, with a model that holds
    `state`."""
    page.set_content(_PAGE)
    page.evaluate(_DRAW, [widget._esm, widget._css, state])


def own_state(view: Any) -> dict[str, Any]:
    """The synced state of `view`, without what every widget has."""
    names = [name for name in view.keys if name[0] != "_" and name not in _OF_EVERY_WIDGET]
    return dict(view.get_state(names))


def draw_live(page: Any, view: Any) -> None:
    """Draw `view`, a real widget, and join the page's model to it."""

    def python(changes: dict[str, Any]) -> dict[str, Any]:
        view.set_state(changes)
        return own_state(view)

    page.expose_function("python", python)
    draw(page, view, own_state(view))
