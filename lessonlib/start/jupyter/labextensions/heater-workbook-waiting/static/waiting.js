// Makes a cell that is run wait for its kernel, and for the cells that it needs.
//
// JupyterLab by itself forgets a cell, without a word, that is run while the kernel still starts:
// the first Shift+Enter on a page that was just opened, and all cells but one where the kernel was
// shut down. And in a kernel that has run nothing yet, on another day or after a restart, a cell of
// a lesson would end in an error: so the cells above it that were run before are run first.
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

  // Whether the kernel has run nothing yet. The kernel itself knows: a page may be loaded again.
  const begun = new WeakMap(); // to each notebook, the id of a kernel that has
  const isFresh = async (context) => {
    const kernel = context.session?.kernel;
    if (!kernel || begun.get(context) === kernel.id) return false;
    if (!begun.has(context)) {
      context.statusChanged.connect((_, status) => {
        if (/restarting/.test(status)) begun.set(context, "");
      });
    }
    const nothing = { code: "", silent: true, store_history: false };
    const { content } = await kernel.requestExecute(nothing).done;
    begun.set(context, kernel.id);
    return content.execution_count === 0;
  };

  // The cells of a lesson, whose cells are locked, that this one needs in a fresh kernel: of those
  // above the ones that were run before, and the first, which sets up.
  const neededBy = (cell) => {
    const cells = cell.parent?.widgets ?? [];
    const isLesson = cells.some(({ model }) => model.getMetadata("deletable") === false);
    const above = cells.slice(0, cells.indexOf(cell)).filter(({ model }) => model.type === "code");
    return isLesson ? above.filter(({ model }, place) => !place || model.executionCount) : [];
  };

  const star = (cell) => (cell.model.executionState = "running"); // as for every cell that waits

  const setUp = async (runCell, options) => {
    await ready(options.sessionContext);
    try {
      if (!(await isFresh(options.sessionContext))) return;
      const needed = neededBy(options.cell);
      needed.forEach(star);
      for (const cell of needed) {
        await runCell({ ...options, cell }).catch(() => {}); // an error stands below its cell
      }
    } catch (problem) {
      console.error(problem);
    }
  };

  // One after the other, so that cells are run in the order in which they were asked for.
  const turns = new WeakMap();
  const turn = (context, task) => {
    const next = (turns.get(context) ?? Promise.resolve()).then(task);
    turns.set(context, next);
    return next;
  };

  const plugin = async () => {
    const [version] = Object.values(shared[NOTEBOOK]);
    const notebook = (await version.get())();
    const runCell = async (options) => {
      const { cell, sessionContext } = options;
      if (cell.model.type === "code" && sessionContext) {
        star(cell);
        await turn(sessionContext, () => setUp(notebook.runCell, options));
      }
      return notebook.runCell(options);
    };
    return {
      id: "heater-workbook-waiting:plugin",
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
  window._JUPYTERLAB = { ...window._JUPYTERLAB, "heater-workbook-waiting": extension };
})();
