// The live picture. The same file runs in a notebook and in a saved page; it computes nothing:
// each choice of switch positions, supply and fault is a row of ready texts in the table that
// Python sent. Every text from an appliance goes in as text, never as markup.

const WAIT_MS = 1500; // longer than this and there is no kernel to answer
const NONE = "–";
const ASK_KERNEL = "This setting was not stored; start the kernel and run this cell to compute it.";
const ASK_NOTEBOOK = "This setting was not stored in this page; open the notebook to compute it.";
const HINT = "Press a switch in the drawing: click, tap, or Tab to it and Enter.";
const HAND = new Set(["switch"]); // what a person moves; everything else moves by itself
// The drawing's letters are 12 px at scale 1: from 11 px on a phone to 16 px where there is room.
const SMALLEST = 0.92;
const LARGEST = 1.35;

let serial = 0;

function make(tag, className = "", text = "", children = []) {
  const node = document.createElement(tag);
  if (className) node.className = className;
  node.textContent = text;
  node.append(...children);
  return node;
}

function setText(node, text) {
  if (node && node.textContent !== text) node.textContent = text;
}

// Nodes by class and data attributes; names are compared, as they may hold what a selector reads.
function pick(root, selector, wanted = {}) {
  const fits = (node) => Object.entries(wanted).every(([key, name]) => node.dataset[key] === name);
  return [...root.querySelectorAll(selector)].filter(fits);
}

function readSvg(text) {
  const svg = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  const shown = document.importNode(svg, true);
  const width = Number(svg.getAttribute("width"));
  Object.assign(shown.style, {
    width: "100%",
    height: "auto",
    minWidth: `${SMALLEST * width}px`,
    maxWidth: `${LARGEST * width}px`,
  });
  return { svg: shown, width };
}

// An empty line of text in the drawing, so many lines under `text`.
function lineUnder(text, lines) {
  const line = text.cloneNode();
  line.removeAttribute("class");
  line.setAttribute("y", Number(text.getAttribute("y")) + 15 * lines);
  text.after(line);
  return line;
}

// What changes in the drawing of one part or contact.
function findRung(svg, { part, contact }) {
  const wanted = { part: part.name, contact: String(contact + 1) };
  const [group] = part.positions.length
    ? pick(svg, ".hc-contact", wanted)
    : pick(svg, ".hc-part", { part: part.name });
  const [reading] = pick(svg, ".hc-reading", wanted);
  const quantity = (name) => pick(reading, "[data-quantity]", { quantity: name })[0];
  const texts = ["voltage", "current", "power"].map(quantity);
  const title = group.querySelector("title");
  // a fault stands in place of the rating; under the readings of a contact, or where there is none
  const rated = part.positions.length ? null : group.querySelector(".hc-rating");
  const note = rated ?? lineUnder(reading, texts[2] ? 2 : 1);
  return { group, title, texts, note, words: title.textContent, rating: note.textContent };
}

// One button a part: its first contact. Its other contacts answer to the pointer as well.
function makeButton(contacts, flip) {
  contacts.forEach((group) => group.addEventListener("click", () => flip(1, true)));
  const [button] = contacts;
  button.setAttribute("role", "button");
  button.setAttribute("tabindex", "0");
  button.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
    if (event.key === "Enter" || event.key === " ") flip(1, true);
    else if (step) flip(step, false);
    else return;
    event.preventDefault();
  });
  return button;
}

function isClosed(part, contact, position, fault) {
  if (fault?.part === part.name && fault.contact === contact + 1) return fault.kind === "welded";
  return part.closed[contact].includes(position);
}

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

function chooser(label, options, changed) {
  const select = make("select", "", "", options.map((option) => make("option", "", option)));
  select.addEventListener("change", () => changed(select.selectedIndex));
  const node = make("label", "hcp-choice", "", [make("span", "", label), select]);
  node.hidden = options.length < 2;
  return { node, show: (index) => (select.selectedIndex = index) };
}

function radios(name, part, changed) {
  const inputs = part.positions.map((position, index) => {
    const input = make("input");
    input.type = "radio";
    input.name = name;
    input.addEventListener("change", () => changed(index));
    return input;
  });
  const labels = inputs.map((input, i) =>
    make("label", "", "", [input, make("span", "", part.positions[i])]),
  );
  const node = make("fieldset", "hcp-positions", "", [make("legend", "", part.name), ...labels]);
  return { node, show: (index) => (inputs[index].checked = true) };
}

function render({ model, el }) {
  const data = model.get("table");
  const alone = Boolean(model.get("alone")); // a saved page: no kernel, and no controls beside it
  const id = `hcp-${++serial}-${Math.random().toString(36).slice(2, 8)}`;
  const movable = data.parts.filter((part) => part.positions.length);
  const traits = ["voltage", "plug", "fault", ...movable.map((_, i) => `position_${i}`)];
  const rungs = data.parts.flatMap((part) =>
    part.rungs.map((_, contact) => ({ part, contact, move: movable.indexOf(part) })),
  );
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
  const { svg, width } = readSvg(data.svg);
  const power = make("strong", "hcp-power");
  const current = make("strong", "hcp-current");
  const short = make("strong", "hcp-short");
  const whole = make("span", "", "Whole appliance");
  const total = make("p", "hcp-total", "", [whole, power, current, short]);
  const said = make("p", "hcp-said", HINT);
  said.setAttribute("role", "status");
  said.setAttribute("aria-live", "polite");
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

  const drawn = rungs.map((rung) => findRung(svg, rung));
  const nodes = data.nodes.map((node) => ({
    groups: pick(svg, ".hc-node", { node }),
    texts: pick(svg, ".hc-node", { node }).flatMap((group) => pick(group, ".hc-node-condition")),
  }));
  const positions = movable.map((part) => pick(svg, ".hc-position", { part: part.name }));

  const buttons = movable.map((part, move) => {
    const contacts = pick(svg, ".hc-contact", { part: part.name });
    return makeButton(contacts, (step, wrap) => flip(move, step, wrap));
  });

  const row = (className, controls) => make("div", className, "", controls.map((c) => c.node));
  const left = make("div", "hcp-left", "", [
    make("div", "hcp-scroll", "", [svg]),
    said,
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
  // Keys belong to the panel while it has the focus: in a notebook, arrow keys would otherwise
  // move to another cell and Enter would edit this one.
  root.dataset.lmSuppressShortcuts = "true";
  root.addEventListener("keydown", (event) => {
    if (event.key !== "Tab" && event.key !== "Escape") event.stopPropagation();
  });

  // --- showing one row -------------------------------------------------------------------------
  function showRungs(row, chosen, fault) {
    rungs.forEach(({ part, contact, move }, i) => {
      const { group, title, texts, note, words, rating } = drawn[i];
      const readings = row?.[3].slice(3 * i, 3 * i + 3) ?? [NONE, NONE, NONE];
      const state = [];
      if (move >= 0) {
        if (HAND.has(part.kind)) state.push(part.positions[chosen[3 + move]]);
        state.push(isClosed(part, contact, chosen[3 + move], fault) ? "closed" : "open");
        group.dataset.state = state.at(-1);
      }
      const faulty = fault?.part === part.name && fault.contact === contact + 1;
      if (faulty) state.push(`fault: ${fault.kind}`);
      group.dataset.fault = faulty ? fault.kind : "";
      setText(note, faulty ? fault.kind : rating);
      note.classList.toggle("hcp-fault", faulty);
      setText(title, [words, ...state, ...readings].join(", "));
      texts.forEach((node, q) => setText(node, readings[q]));
      const kind = HAND.has(part.kind) ? [] : [part.kind]; // its position says that it is a switch
      const cells = [[...kind, ...state].join(", "), ...readings];
      cells.forEach((text, c) => setText(parts.cells[i][c], text));
    });
  }

  function showNodes(row) {
    data.nodes.forEach((name, i) => {
      const condition = row ? data.conditions[row[5][i]] : NONE;
      for (const group of nodes[i].groups) {
        group.dataset.condition = condition;
        setText(group.querySelector("title"), `node ${name}, ${condition}`);
      }
      nodes[i].texts.forEach((node) => setText(node, condition));
      setText(points.cells[i][0], condition);
      points.cells[i][0].dataset.condition = condition;
      setText(points.cells[i][1], row?.[4][i] ?? NONE);
    });
  }

  function showPositions(chosen) {
    movable.forEach((part, move) => {
      const index = chosen[3 + move];
      positions[move].forEach((node) => setText(node, part.shown[index]));
      const kind = HAND.has(part.kind) ? "," : ` ${part.kind}, acts by itself,`;
      const many = part.positions.length > 2;
      const press = many ? "Press for the next, arrow keys for both ways" : "Press to change";
      const label = `${part.name}${kind} ${part.positions[index]}. ${press}`;
      buttons[move].setAttribute("aria-label", label);
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
    showPositions(chosen);
    showRungs(row, chosen, fault);
    showNodes(row);
    [...circumstances, ...own].forEach((control, i) => control.show(chosen[i]));
    const path = row?.[0] ?? "";
    root.classList.toggle("hcp-shorted", path !== "");
    if (path) svg.dataset.short = "true";
    else delete svg.dataset.short;
    pick(svg, ".hc-short").forEach((node) => {
      setText(node, path && `short circuit: ${path}`);
      if (path && node.getComputedTextLength() > width - 24) setText(node, "short circuit");
    });
    setText(short, path && `short circuit: ${path}`);
    setText(power, row?.[1] ?? NONE);
    setText(current, row?.[2] ?? NONE);
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
