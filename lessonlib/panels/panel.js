// The live picture, after `drawing.js`. The same text runs in a notebook and in a saved page; it
// computes nothing: each choice of switch positions, supply and fault is a row of ready texts in
// the table that Python sent.

const WAIT_MS = 1500; // longer than this and there is no kernel to answer
const ASK_KERNEL = "This setting was not stored; start the kernel and run this cell to compute it.";
const ASK_NOTEBOOK = "This setting was not stored in this page; open the notebook to compute it.";
const HINT = "Press a switch in the drawing: click, tap, or Tab to it and Enter.";

// What a flip did, in one line: what was moved, what the whole draws, which points changed.
function news(data, last, now) {
  const moved = (index) => now.chosen[index] !== last.chosen[index];
  const changed = data.parts
    .filter((part) => part.positions.length)
    .map((part, i) => moved(3 + i) && `${part.name} ${part.positions[now.chosen[3 + i]]}`);
  const fault = data.faults[now.chosen[2]];
  changed.push(moved(0) && `supply ${data.voltages[now.chosen[0]]}`);
  changed.push(moved(1) && `plug ${data.plugs[now.chosen[1]]}`);
  changed.push(moved(2) && (fault ? `fault ${fault.words}` : "no fault"));
  const [short, power, current, , , digits] = now.row;
  const points = data.conditions.map((condition, number) => {
    const turned = (i) => digits[i] === String(number) && digits[i] !== last.row[5][i];
    const names = data.nodes.filter((_, i) => turned(i));
    return names.length && `${names.join(", ")} ${condition}`;
  });
  const what = changed.filter(Boolean).join(", ") || "as before";
  const result = short === null ? `${power}, ${current}` : `short circuit: ${short}`;
  return `${what}: ${[result, ...points.filter(Boolean)].join("; ")}`;
}

function table(caption, headings, names) {
  const rows = names.map((name) => {
    const head = make("th", "", name);
    head.scope = "row";
    const cells = headings.slice(1).map(() => make("td"));
    return { cells, node: make("tr", "", "", [head, ...cells]) };
  });
  const head = headings.map((heading) => {
    const cell = make("th", "", heading);
    cell.scope = "col";
    return cell;
  });
  const node = make("table", "hcp-table", "", [
    make("caption", "", caption),
    make("thead", "", "", [make("tr", "", "", head)]),
    make("tbody", "", "", rows.map((row) => row.node)),
  ]);
  return { node, cells: rows.map((row) => row.cells) };
}

function render({ model, el }) {
  const data = model.get("table");
  const alone = Boolean(model.get("alone")); // a saved page: no kernel, and no controls beside it
  const id = `hcp-${++serial}-${Math.random().toString(36).slice(2, 8)}`;
  const { svg, width, movable, rungs, show: draw } = readDrawing(data);
  const traits = ["voltage", "plug", "fault", ...movable.map((_, i) => `position_${i}`)];
  const answers = new Map(); // rows that Python computed when asked
  let last = null; // the last choice that had a row, with its row: what news is told against
  let shown = ""; // key of what is on show, without a row while Python is asked for it
  let waiting = 0;

  const choose = (trait, index) => {
    model.set(trait, index);
    model.save_changes();
  };
  const flip = (move, step, wrap) => {
    const count = movable[move].positions.length;
    const next = model.get(`position_${move}`) + step;
    const index = wrap ? (next + count) % count : Math.min(Math.max(next, 0), count - 1);
    if (index !== next - step) choose(`position_${move}`, index);
  };

  // --- what there is to show -------------------------------------------------------------------
  const power = make("strong", "hcp-power");
  const current = make("strong", "hcp-current");
  const short = make("strong", "hcp-short");
  const whole = make("span", "", "Whole appliance");
  const total = make("p", "hcp-total", "", [whole, power, current, short]);
  const said = make("p", "hcp-said", HINT);
  said.setAttribute("role", "status");
  said.setAttribute("aria-live", "polite");
  const live = liveLine(data);
  live.node.setAttribute("aria-live", "polite");
  live.node.setAttribute("aria-atomic", "true"); // "Live ends" is read with what they are
  const circumstances = [
    chooser("Supply voltage", data.voltages, (index) => choose("voltage", index)),
    chooser("Plug", data.plugs, (index) => choose("plug", index)),
    chooser("Fault", data.faults.map((fault) => fault?.words ?? "none"), (i) => choose("fault", i)),
  ];
  const own = alone
    ? movable.map((part, i) => radios(`${id}-${i}`, part, (n) => choose(`position_${i}`, n)))
    : [];
  const rungName = ({ part, contact }) =>
    part.rungs.length > 1 ? `${part.name} contact\u00a0${contact + 1}` : part.name;
  const headings = ["Part", "State", "Voltage", "Current", "Power"];
  const parts = table("Parts", headings, rungs.map(rungName));
  const points = table("Points", ["Point", "Condition", "To earth"], data.nodes);

  const buttons = movable.map((part, move) => {
    const contacts = pick(svg, ".hc-contact", { part: part.name });
    return makeButton(contacts, (step, wrap) => flip(move, step, wrap));
  });

  const row = (className, controls) => make("div", className, "", controls.map((c) => c.node));
  const left = make("div", "hcp-left", "", [
    make("div", "hcp-scroll", "", [svg]),
    said,
    live.node,
    row("hcp-choices", own),
    row("hcp-choices", circumstances),
  ]);
  left.style.flexBasis = `${width}px`;
  const root = make("div", "hcp", "", [
    make("p", "hcp-title", alone ? "" : data.title),
    total,
    make("div", "hcp-main", "", [left, row("hcp-tables", [parts, points])]),
  ]);
  root.append(make("p", "hcp-caution", data.caution));
  root.setAttribute("role", "group");
  root.setAttribute("aria-label", `Live picture: ${data.title}`);
  keepKeys(root);

  // --- showing one row -------------------------------------------------------------------------
  function showTables(row, { rungs: states, conditions }) {
    rungs.forEach(({ part }, i) => {
      const { state, readings } = states[i];
      const kind = HAND.has(part.kind) ? [] : [part.kind]; // its position says that it is a switch
      const cells = [[...kind, ...state].join(", "), ...readings];
      cells.forEach((text, c) => setText(parts.cells[i][c], text));
    });
    conditions.forEach((condition, i) => {
      setText(points.cells[i][0], condition);
      points.cells[i][0].dataset.condition = condition;
      setText(points.cells[i][1], row?.[4][i] ?? NONE);
    });
  }

  function show() {
    const chosen = traits.map((trait) => model.get(trait));
    const key = chosen.join(",");
    const row = answers.get(key) ?? data.rows[data.index[key]];
    if (shown === key + Boolean(row)) return;
    shown = key + Boolean(row);
    const fault = data.faults[chosen[2]];
    clearTimeout(waiting);
    const positions = chosen.slice(3);
    showTables(row, draw(row, positions, fault));
    movable.forEach((part, i) => {
      buttons[i].setAttribute("aria-label", labelOf(part, positions[i]));
    });
    [...circumstances, ...own].forEach((control, i) => control.show(chosen[i]));
    const path = row?.[0] ?? "";
    root.classList.toggle("hcp-shorted", path !== "");
    setText(short, path && `short circuit: ${path}`);
    setText(power, row?.[1] ?? NONE);
    setText(current, row?.[2] ?? NONE);
    live.show(row);
    if (!row) ask(key);
    else if (last) setText(said, news(data, last, { chosen, row }));
    if (row) last = { chosen, row };
  }

  function ask(key) {
    setText(said, "Computing this setting …");
    waiting = setTimeout(() => setText(said, alone ? ASK_NOTEBOOK : ASK_KERNEL), WAIT_MS);
    try {
      model.send({ ask: key });
    } catch {
      // no kernel to send to: the time limit says so
    }
  }

  const hear = (message) => {
    if (typeof message?.key !== "string") return;
    answers.set(message.key, message.row);
    show();
  };
  const events = traits.map((trait) => `change:${trait}`);
  events.forEach((event) => model.on(event, show));
  model.on("msg:custom", hear);
  el.append(root);
  show();
  return () => {
    clearTimeout(waiting);
    events.forEach((event) => model.off(event, show));
    model.off("msg:custom", hear);
  };
}

export default { render };
