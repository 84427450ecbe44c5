// What every widget's page is made of: elements, fields, buttons and live regions. Every text goes
// in as text, never as markup.

let serial = 0;

// An id for a field, or what the ids of a view begin with.
export function newId() {
  return `hck-${++serial}-${Math.random().toString(36).slice(2, 8)}`;
}

// An element with its content: texts and nodes.
export function make(tag, className = "", ...content) {
  const node = document.createElement(tag);
  if (className) node.className = className;
  node.append(...content);
  return node;
}

export function withAttributes(node, attributes) {
  for (const [name, value] of Object.entries(attributes)) node.setAttribute(name, value);
  return node;
}

export function setText(node, text) {
  if (node && node.textContent !== text) node.textContent = text;
}

// The region stays in place while its content changes, so that a screen reader announces it.
export function liveRegion(tag, className) {
  return withAttributes(make(tag, className), { role: "status", "aria-live": "polite" });
}

// The cell of the notebook that a view stands in; none in a saved page.
const cellOf = (node) => node.closest(".jp-Cell");

function cellAfter(cell) {
  let next = cell.nextElementSibling;
  while (next && !next.matches(".jp-Cell:not(.lm-mod-hidden)")) next = next.nextElementSibling;
  return next;
}

function select(cell) {
  cell.focus({ preventScroll: true }); // to JupyterLab this is the selected cell from now on
  cell.scrollIntoView({ block: "nearest" });
}

// Leaves a view for the next cell, which the next Shift+Enter then runs.
export function goOn(node) {
  const cell = cellOf(node);
  if (cell) select(cellAfter(cell) ?? cell);
}

const isSave = (event) =>
  event.key === "s" && (event.ctrlKey || event.metaKey) && !event.shiftKey && !event.altKey;

function pressInCell(root, event) {
  const { key, code, keyCode, ctrlKey, metaKey } = event;
  const same = { key, code, keyCode, ctrlKey, metaKey, bubbles: true, cancelable: true };
  event.preventDefault();
  event.stopPropagation();
  cellOf(root).dispatchEvent(new KeyboardEvent("keydown", same));
}

// Keys belong to a widget while it has the focus: in a notebook, arrow keys would otherwise move to
// another cell and Enter would edit this one. Two keys leave it, before anything in it hears them:
// Shift+Enter for the next cell, Escape for its own. Ctrl+S saves the notebook, as everywhere in it.
export function keepKeys(root) {
  root.dataset.lmSuppressShortcuts = "true";
  const leave = (event) => {
    if (cellOf(root) && isSave(event)) return pressInCell(root, event);
    const goes = event.key === "Enter" && event.shiftKey;
    if (!cellOf(root) || !(goes || event.key === "Escape")) return;
    event.preventDefault();
    event.stopPropagation();
    if (goes) goOn(root);
    else select(cellOf(root));
  };
  root.addEventListener("keydown", leave, true);
  root.addEventListener("keydown", (event) => {
    if (event.key !== "Tab" && event.key !== "Escape") event.stopPropagation();
  });
}

// Calls `then` with the view's cell once a notebook has put it on the page, which takes some frames.
export function whenInCell(node, then, frames = 60) {
  const cell = node.isConnected && cellOf(node);
  if (cell) then(cell);
  else if (frames) requestAnimationFrame(() => whenInCell(node, then, frames - 1));
}

// Calls `begin` where the view's cell has just been run by itself and the person has not moved on:
// then the cell below is the selected one.
export function whenJustRun(node, begin) {
  whenInCell(node, (cell) => {
    const selected = cellAfter(cell)?.contains(document.activeElement);
    if (selected && cell.closest(".jp-Notebook.jp-mod-commandMode")) begin();
  });
}

// A picture that has just been run stays in view and takes the focus, so that Tab leads into it and
// Shift+Enter goes on. JupyterLab would scroll to the cell below, which says what is to be seen.
export function stayAt(root) {
  whenJustRun(root, () => {
    root.tabIndex = -1;
    root.focus({ preventScroll: true });
    root.scrollIntoView({ block: "start" });
  });
}

export function makeForm(className, submit = () => {}) {
  const form = make("form", className);
  form.noValidate = true;
  keepKeys(form);
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.target.type !== "text") return;
    event.preventDefault();
    form.requestSubmit();
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    submit();
  });
  return form;
}

// Without `press` it submits its form.
export function makeButton(text, press, className = "") {
  const button = make("button", `hck-button ${className}`.trim(), text);
  button.type = press ? "button" : "submit";
  if (press) button.addEventListener("click", press);
  return button;
}

// The way on without Shift+Enter, for the end of a question. Only a notebook shows it.
export function makeNext() {
  const button = makeButton("Next ", () => goOn(button), "hck-in-notebook hck-next");
  button.append(withAttributes(make("span", "", "▸"), { "aria-hidden": "true" }));
  return button;
}

// Runs the cells above the view's own, then that one. A view cannot reach the notebook's commands,
// but presses the key that our settings (start/jupyter) have for them; without those it goes away.
export function makeSetUp() {
  const keys = { key: "Enter", code: "Enter", keyCode: 13, ctrlKey: true, altKey: true };
  const button = makeButton(
    "Set up and go on",
    () => {
      const cell = cellOf(button);
      select(cell);
      const press = new KeyboardEvent("keydown", { ...keys, bubbles: true, cancelable: true });
      button.hidden = cell.dispatchEvent(press); // nobody took it
    },
    "hck-in-notebook",
  );
  return button;
}

// A view is cut off where no Python stands behind it any more: the notebook was opened again, or
// its kernel restarted. JupyterLab marks it so.
export const isCutOff = (node) => Boolean(node.closest(".jupyter-widgets-disconnected"));

// Says how to go on in a view that is cut off; kit.css shows it in no other.
export function makeCutOff() {
  const words = make("p", "", "This is as you left it. To go on, the cells above must run again:");
  const button = makeSetUp();
  words.id = newId();
  button.setAttribute("aria-describedby", words.id);
  return make("div", "hck-cut-off", words, button);
}

export function textBox(value = "", className = "") {
  const box = make("input", `hck-input ${className}`.trim());
  return Object.assign(box, { type: "text", autocomplete: "off", spellcheck: false, value });
}

// A box for a whole file, whose lines stay as they are.
export function fileBox(rows, className) {
  const area = make("textarea", `hck-input hck-file ${className}`);
  const plain = { autocomplete: "off", autocapitalize: "off", spellcheck: false };
  return Object.assign(area, { rows, wrap: "off", ...plain });
}

export function setOptions(select, options) {
  const made = options.map(([value, text]) => Object.assign(make("option", "", text), { value }));
  select.replaceChildren(...made);
}

// A list to choose from, of pairs: value and text.
export function makeSelect(options, chosen) {
  const select = make("select", "hck-input");
  setOptions(select, options);
  if (chosen !== undefined) select.value = chosen;
  return select;
}

// A field with its label above it.
export function labelled(text, input) {
  input.id ||= newId();
  const label = make("label", "", text);
  label.htmlFor = input.id;
  return make("div", "hck-field", label, input);
}

export function makeGroup(legend, className = "") {
  const node = make("fieldset", `hck-group ${className}`.trim());
  node.append(make("legend", "hck-legend", legend));
  return node;
}

// A radio button or a box to tick, with its text beside it.
export function makeOption(type, text, changed, name = "") {
  const input = Object.assign(make("input"), { type, name });
  input.addEventListener("change", () => changed(input.checked));
  return { node: make("label", "hck-option", input, make("span", "", text)), input, text };
}

// One of several, told and shown by its place.
export function makeRadios(legend, texts, changed) {
  const node = makeGroup(legend);
  const name = newId();
  const options = texts.map((text, place) => makeOption("radio", text, () => changed(place), name));
  node.append(...options.map((option) => option.node));
  const show = (place) => options.forEach(({ input }, i) => (input.checked = i === place));
  return { node, show };
}

// Our own drawing, which Python sends as HTML.
export function showDrawing(region, html) {
  const drawn = new DOMParser().parseFromString(html, "text/html");
  region.replaceChildren(...drawn.body.childNodes);
}

// A file that opens from the page itself, so it needs no address on a server.
export function linkTo({ name, data }) {
  const type = name.endsWith(".pdf") ? "application/pdf" : "text/html";
  const bytes = Uint8Array.from(atob(data), (each) => each.charCodeAt(0));
  const href = URL.createObjectURL(new Blob([bytes], { type }));
  return Object.assign(make("a", "hck-button", `Open ${name}`), { href, target: "_blank" });
}
