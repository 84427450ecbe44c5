"""A cell that is run waits for its kernel and for the cells that it needs: the extension in a plain
page, with a stand-in for JupyterLab. `tests/browser` tries it in a real one."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.browser

SCRIPT = "lessonlib/start/jupyter/labextensions/heater-workbook-waiting/static/waiting.js"

# A notebook of cells, each a word: "text", "new" (never run), "run" or "fails". `ran`: what ran.
STAND_IN = """async ([words, { kernel = null, count = 0, locked = true, status = "idle" }]) => {
  window.ran = [];
  window.started = 0;
  const pause = () => new Promise((done) => setTimeout(done, 5));
  const requestExecute = () => ({ done: Promise.resolve({ content: { execution_count: count } }) });
  const made = { id: "k", status, requestExecute };
  const hearers = [];
  window.context = {
    session: kernel && { kernel: made },
    initialize: pause,
    isRestarting: status === "restarting",
    statusChanged: {
      connect: (hear) => hearers.push(hear),
      disconnect: (gone) => hearers.splice(hearers.indexOf(gone), 1),
    },
    startKernel: async () => {
      await pause();
      started += 1;
      context.session = { kernel: made };
    },
    restartKernel: async () => (made.status = "idle"),
  };
  window.say = (word) => [...hearers].forEach((hear) => hear(context, word));
  const runCell = async ({ cell }) => {
    ran.push(cell.number);
    if (cell.word === "fails") throw new Error("as it should");
  };
  const parent = {};
  window.cells = parent.widgets = words.map((word, number) => ({
    word, number, parent,
    model: {
      type: word === "text" ? "markdown" : "code",
      executionCount: ["run", "fails"].includes(word) ? 1 : null,
      getMetadata: () => (locked ? false : undefined),
    },
  }));
  const extension = window._JUPYTERLAB["heater-workbook-waiting"];
  extension.init({ "@jupyterlab/notebook": { "4.0": { get: async () => () => ({ runCell }) } } });
  window.executor = (await extension.get("./waiting"))().activate();
}"""
RUN = """numbers => Promise.all(numbers.map((number) =>
    executor.runCell({ cell: cells[number], sessionContext: context })))"""
WORDS = ["text", "run", "new", "fails", "run", "new"]


@pytest.fixture(scope="module")
def empty(browser: Any, checkout: Path) -> Iterator[Any]:
    page = browser.new_page()
    page.add_script_tag(path=str(checkout / SCRIPT))
    yield page
    page.close()


def run(page: Any, *numbers: int) -> list[int]:
    """Run these cells, as fast as keys are pressed; returns all that has run so far."""
    page.evaluate(RUN, list(numbers))
    return list(page.evaluate("ran"))


def test_cells_wait_for_a_kernel_that_is_started_once_and_run_in_their_order(empty: Any) -> None:
    empty.evaluate(STAND_IN, [["new", "new", "new"], {}])
    assert run(empty, 0, 1, 2) == [0, 1, 2]
    assert empty.evaluate("started") == 1


def test_in_a_new_kernel_what_was_run_above_a_cell_of_a_lesson_is_run_first_and_once(
    empty: Any,
) -> None:
    empty.evaluate(STAND_IN, [WORDS, {"kernel": True}])
    assert run(empty, 5) == [1, 3, 4, 5]
    assert run(empty, 2) == [1, 3, 4, 5, 2]
    empty.evaluate("say('restarting')")
    assert run(empty, 4) == [1, 3, 4, 5, 2, 1, 3, 4]


def test_in_a_lesson_that_was_never_run_the_first_cell_comes_along(empty: Any) -> None:
    empty.evaluate(STAND_IN, [["text", "new", "new", "new"], {"kernel": True}])
    assert run(empty, 3) == [1, 3]


@pytest.mark.parametrize("how", [{"kernel": True, "count": 7}, {"kernel": True, "locked": False}])
def test_a_cell_runs_alone_in_a_kernel_that_has_begun_and_outside_a_lesson(
    empty: Any, how: dict[str, Any]
) -> None:
    empty.evaluate(STAND_IN, [WORDS, how])
    assert run(empty, 5) == [5]


def test_a_cell_waits_while_its_kernel_restarts_and_restarts_one_that_has_died(empty: Any) -> None:
    empty.evaluate(STAND_IN, [["new"], {"kernel": True, "status": "restarting"}])
    empty.evaluate(
        "() => { window.done = executor.runCell({ cell: cells[0], sessionContext: context }) }"
    )
    empty.evaluate("new Promise((done) => setTimeout(done, 30))")
    assert empty.evaluate("ran") == []
    empty.evaluate("() => { context.isRestarting = false; say('idle'); return done; }")
    assert empty.evaluate("ran") == [0]
    empty.evaluate(STAND_IN, [["new"], {"kernel": True, "status": "dead"}])
    assert run(empty, 0) == [0]
    assert empty.evaluate("context.session.kernel.status") == "idle"
