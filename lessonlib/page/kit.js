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

// Keys belong to a widget while it has the focus: in a notebook, arrow keys would otherwise move to
// another cell and Enter would edit this one.
export function keepKeys(root) {
  root.dataset.lmSuppressShortcuts = "true";
  root.addEventListener("keydown", (event) => {
    if (event.key !== "Tab" && event.key !== "Escape") event.stopPropagation();
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
