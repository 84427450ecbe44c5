// Shows the drawing of an appliance and what both panels have around it. Nothing is computed here:
// what to show comes as a row of ready texts.

import {
  keepKeys, labelled, make, makeRadios, makeSelect, setText, withAttributes,
} from "../page/kit.js";

export const NONE = "–";
// The drawing's letters are 12 px at scale 1: from 9 px on a phone to 16 px where there is room.
const SMALLEST = 0.75;
const LARGEST = 1.35;

// Whether a person moves it; everything else is automatic.
export const byHand = (part) => part.kind === "switch";

// Gives the model new values, for Python and a saved notebook.
export function keep(model, values) {
  for (const [name, value] of Object.entries(values)) model.set(name, value);
  model.save_changes();
}

// An element of a drawing.
export function draw(tag, attributes, ...content) {
  const node = document.createElementNS("http://www.w3.org/2000/svg", tag);
  node.append(...content);
  return withAttributes(node, attributes);
}

// Elements by selector and data attributes. Names are compared here, as a name in a selector could
// be read as part of it.
export function pick(root, selector, wanted = {}) {
  const fits = (node) => Object.entries(wanted).every(([key, name]) => node.dataset[key] === name);
  return [...root.querySelectorAll(selector)].filter(fits);
}

function readSvg(text) {
  const found = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  const svg = document.importNode(found, true);
  const width = Number(svg.getAttribute("width"));
  const [minWidth, maxWidth] = [SMALLEST, LARGEST].map((scale) => `${scale * width}px`);
  Object.assign(svg.style, { width: "100%", height: "auto", minWidth, maxWidth });
  return { svg, width };
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
  const texts = reading ? ["voltage", "current", "power"].map(quantity) : [];
  const title = group.querySelector("title");
  // a fault replaces the rating; where there is none, as at a contact, it goes under the readings
  const rated = part.positions.length ? null : group.querySelector(".hc-rating");
  const note = rated ?? (reading && lineUnder(reading, texts[2] ? 2 : 1));
  return { group, title, texts, note, words: title.textContent, rating: note?.textContent };
}

// One button for each part: the frame of its first contact, which has no text of its own, so that
// its name is all that it says. All of its contacts can be clicked.
export function partButton(contacts, flip) {
  contacts.forEach((group) => group.addEventListener("click", () => flip(1, true)));
  const button = contacts[0].querySelector(".hc-hit");
  button.addEventListener("keydown", (event) => {
    const step = { ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1 }[event.key];
    if (event.key === "Enter" || event.key === " ") flip(1, true);
    else if (step) flip(step, false);
    else return;
    event.preventDefault();
  });
  return withAttributes(button, { role: "button", tabindex: 0 });
}

// The position that a step leads to: a press goes round, an arrow key stops at the ends.
export function stepped(position, step, wrap, count) {
  const next = position + step;
  return wrap ? (next + count) % count : Math.min(Math.max(next, 0), count - 1);
}

// What a press on a part does, for a screen reader; beginning with the name in the drawing.
export function labelOf(part, position) {
  const kind = byHand(part) ? "," : ` ${part.kind}, automatic,`;
  const many = part.positions.length > 2;
  const press = many ? "Press for the next, arrow keys for both ways" : "Press to change";
  const last = part.rungs.length;
  const name = last > 1 ? `${part.name}.1 to ${part.name}.${last}` : part.name;
  return `${name}${kind} ${part.positions[position]}. ${press}`;
}

// A list to choose from, by index; hidden where there is no choice.
export function chooser(label, options, changed) {
  const select = makeSelect(options.map((option) => [option, option]));
  select.addEventListener("change", () => changed(select.selectedIndex));
  const node = labelled(label, select);
  node.hidden = options.length < 2;
  return { node, show: (place) => (select.selectedIndex = place) };
}

export const positionRadios = (part, changed) => makeRadios(part.name, part.positions, changed);

// Which ends of parts can give a shock.
export function liveLine() {
  const words = make("span");
  const node = make("p", "hcp-live", make("strong", "", "Live ends: "), words);
  return { node, show: (row) => setText(words, row?.[6] ?? NONE) };
}

// A whole panel, with its title and the caution.
export function frame(what, className, data, alone, ...content) {
  const title = make("p", "hcp-title", alone ? "" : data.title);
  const root = make("div", className, title, ...content, make("p", "hcp-caution", data.caution));
  keepKeys(root);
  return withAttributes(root, { role: "group", "aria-label": `${what}: ${data.title}` });
}

// Shows in the drawing where the switches stand: their positions in words, and the blade of a
// change-over switch between its contacts while none of them is closed.
function showPositions(svg, movable, positions) {
  movable.forEach((part, i) => {
    const texts = pick(svg, ".hc-position", { part: part.name });
    texts.forEach((text) => setText(text, part.shown[positions[i]]));
  });
  for (const { dataset } of svg.querySelectorAll(".hc-rest")) {
    const own = dataset.contacts.split(",");
    const closed = pick(svg, ".hc-contact", { part: dataset.part, state: "closed" });
    const some = closed.some((contact) => own.includes(contact.dataset.contact));
    dataset.state = some ? "closed" : "open";
  }
}

function isClosed(part, contact, position, fault) {
  return fault ? fault.kind === "welded" : part.closed[contact].includes(position);
}

// As drawn and as said: without current only a voltage that is there, as in captions.py.
function withoutZeros(readings) {
  const [voltage, current] = readings;
  if (current !== "0 A") return [readings, readings.filter((value) => value !== NONE)];
  const shown = [voltage].filter((value) => value !== "0 V" && value !== NONE);
  return [shown, [...shown, "no current"]];
}

// The drawing itself, with readings or without. `show` puts in a row (dashes where there is none),
// position indexes, a fault and a short circuit's path, and returns the state of every rung and
// node in words.
export function readDrawing(data) {
  const { svg, width } = readSvg(data.svg);
  const movable = data.parts.filter((part) => part.positions.length);
  const rungs = data.parts.flatMap((part) =>
    part.rungs.map((_, contact) => ({ part, contact, move: movable.indexOf(part) })),
  );
  const drawn = rungs.map((rung) => findRung(svg, rung));
  const nodes = data.nodes.map((node) => {
    const groups = pick(svg, ".hc-node", { node });
    return { groups, texts: groups.flatMap((group) => pick(group, ".hc-node-condition")) };
  });

  function showRung({ part, contact, move }, i, row, chosen, chosenFault) {
    const { group, title, texts, note, words, rating } = drawn[i];
    const readings = row?.[3].slice(3 * i, 3 * i + 3) ?? [NONE, NONE, NONE];
    const isHere = chosenFault?.part === part.name && chosenFault.contact === contact + 1;
    const fault = isHere ? chosenFault : null;
    const state = [];
    if (move >= 0) {
      if (byHand(part)) state.push(part.positions[chosen[move]]);
      state.push(isClosed(part, contact, chosen[move], fault) ? "closed" : "open");
      group.dataset.state = state.at(-1);
    }
    if (fault) state.push(`fault: ${fault.kind}`);
    group.dataset.fault = fault?.kind ?? "";
    setText(note, fault?.kind ?? rating);
    note?.classList.toggle("hcp-fault", Boolean(fault));
    const [shown, said] = withoutZeros(readings);
    setText(title, [words, ...state, ...said].join(", "));
    texts.forEach((node, q) => setText(node, shown[q] ?? ""));
    return { state, readings };
  }

  function showNode(name, i, row) {
    const condition = row ? data.conditions[row[5][i]] : NONE;
    for (const group of nodes[i].groups) {
      group.dataset.condition = condition;
      setText(group.querySelector("title"), row ? `point ${name}, ${condition}` : `point ${name}`);
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
    showShort(short);
    const shown = rungs.map((rung, i) => showRung(rung, i, row, chosen, fault));
    showPositions(svg, movable, chosen);
    return {
      rungs: shown,
      conditions: data.nodes.map((name, i) => showNode(name, i, row)),
    };
  }
  return { svg, width, movable, rungs, show };
}
