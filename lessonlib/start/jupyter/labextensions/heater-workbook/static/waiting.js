// Makes a cell that is run wait for its kernel. JupyterLab by itself forgets such a cell, without a
// word, while the kernel still starts: the first Shift+Enter on a page that was just opened, and
// all cells but one where the kernel was shut down.
//
// JupyterLab loads this as an extension, with its ways of loading written out by hand, so that
// nothing has to be built: it calls `init` with the modules that it shares, and then `get`.

(() => {
  const NOTEBOOK = "@jupyterlab/notebook";
  let shared;

  const restarted = (context) =>
    new Promise((done) => {
      const look = () => {
        if (context.isRestarting) return;
        context.statusChanged.disconnect(look);
        done();
      };
      context.statusChanged.connect(look);
      look();
    });

  // Once this is done, there is a kernel, or JupyterLab asks for one or says what is wrong.
  const ready = async (context) => {
    try {
      await context.initialize();
      await restarted(context);
      const kernel = context.session?.kernel;
      if (!kernel) await context.startKernel();
      else if (kernel.status === "dead") await context.restartKernel();
    } catch (problem) {
      console.error(problem);
    }
  };

  // One after the other, so that cells are run in the order in which they were asked for.
  const turns = new WeakMap();
  const turn = (context) => {
    const next = (turns.get(context) ?? Promise.resolve()).then(() => ready(context));
    turns.set(context, next);
    return next;
  };

  const plugin = async () => {
    const [version] = Object.values(shared[NOTEBOOK]);
    const notebook = (await version.get())();
    const runCell = async (options) => {
      const { cell, sessionContext } = options;
      if (cell.model.type === "code" && sessionContext) {
        cell.model.executionState = "running"; // a star, as for every cell that waits
        await turn(sessionContext);
      }
      return notebook.runCell(options);
    };
    return {
      id: "heater-workbook:waiting",
      autoStart: true,
      provides: notebook.INotebookCellExecutor,
      activate: () => ({ runCell }),
    };
  };

  const extension = {
    init: (modules) => (shared = modules),
    get: async () => {
      const made = await plugin();
      return () => made;
    },
  };
  window._JUPYTERLAB = { ...window._JUPYTERLAB, "heater-workbook": extension };
})();
