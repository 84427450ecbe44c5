// The fields of one part, made from the form that Python describes, and what is filled in.

import {
  labelled, make, makeButton, makeGroup, makeOption, makeSelect, newId, textBox,
  withAttributes,
} from "../page/kit.js";

const ENDS = ["from point", "to point"];

const asList = (value) => (Array.isArray(value) ? value : []);
const asText = (value) => (value === undefined || value === null ? "" : String(value));

function tick(text, checked, changed = () => {}) {
  const found = makeOption("checkbox", text, changed);
  found.input.checked = checked;
  return found;
}

// Each field is made from its description and its present value; `filled` reads it.

function nodeBoxes(labels, value, nodes) {
  const boxes = labels.map((_, at) =>
    withAttributes(textBox(asText(asList(value)[at]), "hcw-short"), { list: nodes }),
  );
  const shown = labels.map((label, at) => labelled(label, boxes[at]));
  const node = make("div", "hck-row hcw-ends", ...shown);
  return { node, filled: () => boxes.map((box) => box.value) };
}

// A position is known by its box, so it stays ticked when it is renamed.
function positionBoxes(value, changed) {
  const node = makeGroup("positions, one in each box", "hcw-whole");
  const row = node.appendChild(make("div", "hck-row"));
  const boxes = [];
  const add = (text) => {
    const box = textBox(text, "hcw-short");
    box.setAttribute("aria-label", `position ${boxes.length + 1}`);
    let earlier = "";
    box.addEventListener("focus", () => (earlier = box.value.trim()));
    box.addEventListener("input", () => {
      const now = box.value.trim();
      if (boxes.at(-1).value) add(""); // there is always one empty box at the end
      changed(earlier, now);
      earlier = now || earlier;
    });
    boxes.push(box);
    row.append(box);
  };
  [...asList(value).map(asText), ""].forEach(add);
  const named = () => boxes.map((box, at) => [at, box.value.trim()]).filter(([, name]) => name);
  return { node, named, filled: () => named().map(([, name]) => name) };
}

function contactRows(value, nodes, positions) {
  const node = make("div", "hcw-whole");
  const rows = [];
  const add = (contact) => {
    const ends = nodeBoxes(ENDS, contact?.between, nodes);
    const shown = make("div", "hck-row");
    const ticks = makeGroup("closed in");
    ticks.append(shown);
    const group = makeGroup(`contact ${rows.length + 1}`);
    group.append(ends.node, ticks);
    const given = asList(contact?.closed_in);
    const closed = new Set(positions().flatMap(([at, name]) => (given.includes(name) ? [at] : [])));
    const show = () => {
      const boxes = positions().map(([at, name]) =>
        tick(name, closed.has(at), (on) => (on ? closed.add(at) : closed.delete(at))),
      );
      shown.replaceChildren(...boxes.map((box) => box.node));
    };
    show();
    const ticked = () => positions().flatMap(([at, name]) => (closed.has(at) ? [name] : []));
    rows.push({ show, filled: () => ({ between: ends.filled(), closed_in: ticked() }) });
    more.before(group);
    return group;
  };
  const more = makeButton("Add a contact", () => add().querySelector("input").focus());
  node.append(more);
  const given = asList(value);
  (given.length ? given : [null]).forEach(add);
  return {
    node,
    show: () => rows.forEach((row) => row.show()),
    filled: () => rows.map((row) => row.filled()),
  };
}

function plainField({ key, label, type, unit, example, choices, required }, value) {
  const isChoice = type === "choice";
  const input = isChoice
    ? makeSelect([["", "not known"], ...choices.map((choice) => [choice, choice])])
    : textBox();
  input.value = asText(value);
  if (!isChoice && key !== "name") input.placeholder = example;
  const needed = required && type === "number" ? " *" : "";
  if (needed) input.setAttribute("aria-required", "true");
  const node = labelled(`${label}${unit ? ` (${unit})` : ""}${needed}`, input);
  if (type === "text") node.classList.add("hcw-whole");
  return { node, input, filled: () => input.value };
}

function suggestButton({ label }, press) {
  return withAttributes(makeButton("Suggest", press), { "aria-label": `Suggest: ${label}` });
}

// Says at a field what is wrong with it, until it is changed.
function say(node, words) {
  const inputs = node.querySelectorAll("input, select");
  const said = Object.assign(make("p", "hcw-wrong", words), { id: newId() });
  const mark = { "aria-invalid": "true", "aria-describedby": said.id };
  inputs.forEach((input) => withAttributes(input, mark));
  node.append(said);
  const clear = () => {
    said.remove();
    inputs.forEach((input) => Object.keys(mark).forEach((name) => input.removeAttribute(name)));
    node.removeEventListener("input", clear);
  };
  node.addEventListener("input", clear);
  return clear;
}

// The fields of one form. `filled()` gives what is in them, by key; `fill` fills one in, and
// `showWrong` says by key what is wrong. `suggest` asks for a value to be proposed.
export function fieldsOf(form, values, nodes, suggest) {
  const ends = form.kind === "diode" ? ["anode, in", "cathode, out"] : ENDS;
  const fields = {};
  const renamed = (earlier, now) => {
    const start = fields.start?.input;
    fields.contacts?.show();
    if (start && now && earlier && start.value === earlier) start.value = now;
  };
  const flag = (label, value) => {
    const { node, input } = tick(label, value === true);
    return { node, filled: () => input.checked };
  };
  const made = {
    nodes: (field, value) => nodeBoxes(ends, value, nodes),
    names: (field, value) => positionBoxes(value ?? ["off", "on"], renamed),
    contacts: (field, value) => contactRows(value, nodes, fields.positions.named),
    flag: (field, value) => flag(field.label, value),
  };
  for (const field of form.fields) {
    const { key, suggests } = field;
    fields[key] = (made[field.type] ?? plainField)(field, values[key]);
    if (suggests) fields[key].node.append(suggestButton(field, () => suggest(key)));
  }
  const node = make("div", "hcw-grid", ...Object.values(fields).map((field) => field.node));
  let said = [];
  return {
    node,
    filled: () =>
      Object.fromEntries(Object.entries(fields).map(([key, field]) => [key, field.filled()])),
    fill: (key, text) => (fields[key].input.value = text),
    showWrong(wrong) {
      said.forEach((clear) => clear());
      const found = Object.keys(fields).filter((key) => wrong[key]);
      said = found.map((key) => say(fields[key].node, wrong[key]));
      if (!found.length) return;
      const inputs = [...fields[found[0]].node.querySelectorAll("input, select")];
      (inputs.find((input) => !input.value) ?? inputs[0])?.focus();
    },
  };
}
