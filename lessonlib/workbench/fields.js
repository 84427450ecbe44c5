// The fields of one part, made from the form that Python describes, and what is filled in.

import {
  labelled, make, makeButton, makeGroup, makeOption, makeSelect, textBox, withAttributes,
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
  return { nodes: shown, filled: () => boxes.map((box) => box.value) };
}

// A position is known by its box, so it stays ticked when it is renamed.
function positionBoxes(value, changed) {
  const node = makeGroup("positions, one in each box");
  const row = node.appendChild(make("div", "hck-row hcw-fields"));
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
  return { nodes: [node], named, filled: () => named().map(([, name]) => name) };
}

function contactRows(value, nodes, positions) {
  const node = make("div", "hcw-contacts");
  const rows = [];
  const add = (contact) => {
    const ends = nodeBoxes(ENDS, contact?.between, nodes);
    const shown = make("div", "hck-row hcw-fields");
    const ticks = makeGroup("closed in");
    ticks.append(shown);
    const group = makeGroup(`contact ${rows.length + 1}`);
    group.append(make("div", "hck-row hcw-fields", ...ends.nodes), ticks);
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
  const more = makeButton("Another contact", () => add().querySelector("input").focus());
  node.append(more);
  const given = asList(value);
  (given.length ? given : [null]).forEach(add);
  return {
    nodes: [node],
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
  if (type === "number") input.classList.add("hcw-short");
  if (type === "text") input.classList.add("hcw-wide");
  const needed = required && type === "number" ? ", needed" : "";
  const node = labelled(`${label}${unit ? ` (${unit})` : ""}${needed}`, input);
  return { nodes: [node], input, filled: () => input.value };
}

// The fields of one form: `filled()` gives what is in them, by key.
export function fieldsOf(form, values, nodes) {
  const ends = form.kind === "diode" ? ["anode, in", "cathode, out"] : ENDS;
  const fields = {};
  const renamed = (earlier, now) => {
    const start = fields.start?.input;
    fields.contacts?.show();
    if (start && now && earlier && start.value === earlier) start.value = now;
  };
  const flag = (label, value) => {
    const { node, input } = tick(label, value === true);
    return { nodes: [node], filled: () => input.checked };
  };
  const made = {
    nodes: (field, value) => nodeBoxes(ends, value, nodes),
    names: (field, value) => positionBoxes(value ?? ["off", "on"], renamed),
    contacts: (field, value) => contactRows(value, nodes, fields.positions.named),
    flag: (field, value) => flag(field.label, value),
  };
  for (const field of form.fields) {
    fields[field.key] = (made[field.type] ?? plainField)(field, values[field.key]);
  }
  const shown = Object.values(fields).flatMap((field) => field.nodes);
  const filled = () =>
    Object.fromEntries(Object.entries(fields).map(([key, field]) => [key, field.filled()]));
  return { node: make("div", "hck-row hcw-fields", ...shown), filled };
}
