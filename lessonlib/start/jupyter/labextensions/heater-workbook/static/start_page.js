// The start page shows its lists by itself, without code in sight; the file list shows the names of
// the lessons whole, and is folded on a narrow screen; a page that was only looked at closes without
// a question, and a page that is saved while it opens still brings back its pictures and forms. An
// extension of JupyterLab in plain script, without a build step: it is what webpack calls a
// container. Without it the page still works, by Run All Cells.

(() => {
  const NAME = "heater-workbook"; // as in package.json
  const START_PAGE = "00_start_here.ipynb"; // no other notebook is ever run by itself
  const STATES = "application/vnd.jupyter.widget-state+json";
  const NARROW_PX = 1000;
  const STYLE = `
    .hw-start-page .jp-CodeCell .jp-Cell-inputWrapper, .hw-start-page .jp-OutputPrompt,
    .hw-start-page .jp-InputPrompt { display: none; }
    .jp-InputPlaceholder, .jp-Placeholder-content, .jp-Placeholder-contentContainer,
    .jp-Placeholder-text { min-width: 0; overflow: hidden; text-overflow: ellipsis; }
    .jp-Notebook .jp-RenderedText pre { word-break: normal; overflow-wrap: anywhere; }
    .lm-DockPanel { --jp-private-horizontal-tab-width: 360px; }
    #jp-left-stack .jp-DirListing-item { height: auto; }
    #jp-left-stack .jp-DirListing-itemText { white-space: normal; overflow-wrap: anywhere; }
    @media (min-width: ${NARROW_PX + 1}px) { #jp-left-stack { min-width: 300px !important; } }
    @media (min-width: 1400px) { #jp-left-stack { min-width: 388px !important; } }
  `;
  document.head.append(Object.assign(document.createElement("style"), { textContent: STYLE }));

  let shared; // the modules that JupyterLab shares, by name and version

  const load = async (name) => (await Object.values(shared[name])[0].get())();
  const tagged = (cell, tag) => (cell.model.getMetadata("tags") ?? []).includes(tag);
  const isExerciseOpen = (cell) => Boolean(cell.node.querySelector("form"));

  // Runs what shows the present state, and once for each kernel what was opened before. A cell in
  // which an exercise is open is left as it is, unless its kernel has gone.
  async function show(panel) {
    await panel.context.ready;
    panel.addClass("hw-start-page");
    await panel.revealed;
    await panel.sessionContext.ready;
    const kernel = panel.sessionContext.session?.kernel;
    await kernel?.info; // a kernel that still starts may drop what it is asked
    if (!kernel || !panel.isVisible) return;
    const isNew = sessionStorage.getItem(NAME) !== kernel.id;
    const cells = panel.content.widgets.filter((cell) => {
      if (isNew && tagged(cell, "run-when-opened")) return true;
      return tagged(cell, "run-when-shown") && (isNew || !isExerciseOpen(cell));
    });
    const { NotebookActions } = await load("@jupyterlab/notebook");
    panel.node.setAttribute("aria-busy", "true");
    await NotebookActions.runCells(panel.content, cells, panel.sessionContext);
    sessionStorage.setItem(NAME, kernel.id);
    await panel.context.save(); // so that it shows at once next time, and closing asks nothing
    panel.node.setAttribute("aria-busy", "false");
  }

  // JupyterLab notes the kernel's name and version down in each notebook that it opens, and then
  // asks on closing whether to save that. What happens before the person has touched the page is
  // none of their work.
  const opened = new WeakSet();
  function askNothingAboutOpening({ node, context }) {
    opened.add(context);
    const forget = ({ dirty }) => dirty && (context.model.dirty = false);
    const stop = () => context.model.stateChanged.disconnect(forget);
    context.ready.then(() => {
      forget(context.model);
      context.model.stateChanged.connect(forget);
      for (const touch of ["keydown", "pointerdown"]) {
        node.addEventListener(touch, stop, { capture: true, once: true });
      }
    });
  }

  // JupyterLab brings back pictures and forms from its copy of the notebook, once there is a kernel.
  // When it saves, it first leaves only those in that copy that are on the page by then. So those of
  // the file are put back; the server drops what no cell shows any more.
  async function keepForRestoring(context) {
    await context.ready;
    const saved = context.model.getMetadata("widgets")?.[STATES]?.state;
    context.saveState.connect((_, step) => {
      const now = context.model.getMetadata("widgets")?.[STATES];
      if (step !== "started" || !saved || !now) return;
      const state = { ...saved, ...now.state };
      context.model.setMetadata("widgets", { [STATES]: { ...now, state } });
    });
  }

  const plugin = {
    id: `${NAME}:start-page`,
    autoStart: true,
    activate: (app) => {
      app.shell.currentChanged?.connect((_, { newValue: panel }) => {
        if (!panel?.context || !panel.sessionContext) return;
        if (!opened.has(panel.context)) {
          askNothingAboutOpening(panel);
          keepForRestoring(panel.context);
        }
        if (panel.context.path.split("/").pop() !== START_PAGE) return;
        // a page that is closed meanwhile, or a kernel that ends: the page says what to do then
        show(panel).catch((error) => console.info(NAME, error));
      });
      app.restored.then(() => {
        app.shell.collapseRight?.(); // nothing is there, and it would take a third of the page
        if (innerWidth <= NARROW_PX) app.shell.collapseLeft?.();
      });
    },
  };

  window._JUPYTERLAB = window._JUPYTERLAB ?? {};
  window._JUPYTERLAB[NAME] = {
    init: (scope) => {
      shared = scope;
    },
    get: async () => () => ({ __esModule: true, default: [plugin] }),
  };
})();
