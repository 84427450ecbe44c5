// The drawing of an appliance and the plain controls under it, shared by the live pictures. Each is
// an ES module made of this file and its own, one after the other, since a notebook takes one text.
// Nothing is computed here: what to show is a row of ready texts. Every text from an appliance goes
// in as text, never as markup.

const NONE = "–";
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

// Keys belong to a picture while it has the focus: in a notebook, arrow keys would otherwise move
// to another cell and Enter would edit this one.
function keepKeys(root) {
  root.dataset.lmSuppressShortcuts = "true";
  root.addEventListener("keydown", (event) => {
    if (event.key !== "Tab" && event.key !== "Escape") event.stopPropagation();
  });
}

// What a press on a part does, for those who do not see it.
function labelOf(part, position) {
  const kind = HAND.has(part.kind) ? "," : ` ${part.kind}, acts by itself,`;
  const many = part.positions.length > 2;
  const press = many ? "Press for the next, arrow keys for both ways" : "Press to change";
  return `${part.name}${kind} ${part.positions[position]}. ${press}`;
}

// Which ends of parts can give a shock; a row holds the words, or their number in the table.
function liveLine(data) {
  const words = make("span");
  const node = make("p", "hcp-live", "", [make("strong", "", "Live ends: "), words]);
  return { node, show: (row) => setText(words, data.live[row?.[6]] ?? row?.[6] ?? NONE) };
}

// The drawing itself. `show` puts a row (dashes where there is none), position indexes, a fault and
// a short circuit's path into it, and returns the state of every rung and node in words.
function readDrawing(data) {
  const { svg, width } = readSvg(data.svg);
  const movable = data.parts.filter((part) => part.positions.length);
  const rungs = data.parts.flatMap((part) =>
    part.rungs.map((_, contact) => ({ part, contact, move: movable.indexOf(part) })),
  );
  const drawn = rungs.map((rung) => findRung(svg, rung));
  const nodes = data.nodes.map((node) => ({
    groups: pick(svg, ".hc-node", { node }),
    texts: pick(svg, ".hc-node", { node }).flatMap((group) => pick(group, ".hc-node-condition")),
  }));
  const positions = movable.map((part) => pick(svg, ".hc-position", { part: part.name }));

  function showRung({ part, contact, move }, i, row, chosen, fault) {
    const { group, title, texts, note, words, rating } = drawn[i];
    const readings = row?.[3].slice(3 * i, 3 * i + 3) ?? [NONE, NONE, NONE];
    const state = [];
    if (move >= 0) {
      if (HAND.has(part.kind)) state.push(part.positions[chosen[move]]);
      state.push(isClosed(part, contact, chosen[move], fault) ? "closed" : "open");
      group.dataset.state = state.at(-1);
    }
    const faulty = fault?.part === part.name && fault.contact === contact + 1;
    if (faulty) state.push(`fault: ${fault.kind}`);
    group.dataset.fault = faulty ? fault.kind : "";
    setText(note, faulty ? fault.kind : rating);
    note.classList.toggle("hcp-fault", faulty);
    setText(title, [words, ...state, ...readings].join(", "));
    texts.forEach((node, q) => setText(node, readings[q]));
    return { state, readings };
  }

  function showNode(name, i, row) {
    const condition = row ? data.conditions[row[5][i]] : NONE;
    for (const group of nodes[i].groups) {
      group.dataset.condition = condition;
      setText(group.querySelector("title"), `node ${name}, ${condition}`);
    }
    nodes[i].texts.forEach((node) => setText(node, condition));
    return condition;
  }

  function showShort(path) {
    if (path) svg.dataset.short = "true";
    else delete svg.dataset.short;
    pick(svg, ".hc-short").forEach((node) => {
      setText(node, path && `short circuit: ${path}`);
      if (path && node.getComputedTextLength() > width - 24) setText(node, "short circuit");
    });
  }

  function show(row, chosen, fault, short = row?.[0] ?? "") {
    movable.forEach((part, i) =>
      positions[i].forEach((node) => setText(node, part.shown[chosen[i]])),
    );
    showShort(short);
    return {
      rungs: rungs.map((rung, i) => showRung(rung, i, row, chosen, fault)),
      conditions: data.nodes.map((name, i) => showNode(name, i, row)),
    };
  }
  return { svg, width, movable, rungs, show };
}
