// Fields of one part: made from what Python's form asks for, and read again as they are filled in.

function fieldset(legend) {
  const node = make("fieldset", "hcq-choices hcw-group");
  node.append(make("legend", "", legend));
  return node;
}

function tick(text, checked) {
  const node = make("label", "hcq-option");
  const input = make("input");
  input.type = "checkbox";
  input.checked = checked;
  node.append(input, make("span", "", text));
  return { node, input };
}

const asList = (value) => (Array.isArray(value) ? value : []);
const asText = (value) => (value === undefined || value === null ? "" : String(value));

// Fields. Each is made from what the form asks for, holds `value`, and tells what is filled in.

function nodeBoxes(id, labels, value, nodes) {
  const boxes = labels.map((label, at) => {
    const box = textBox("", asText(asList(value)[at]));
    box.setAttribute("list", nodes);
    box.classList.add("hcw-short");
    return [labelled(`${id}-${at}`, label, box), box];
  });
  return { nodes: boxes.map(([node]) => node), filled: () => boxes.map(([, box]) => box.value) };
}

// Positions are told apart by their box, so that one that is renamed stays ticked.
function positionBoxes(id, value, changed) {
  const node = fieldset("positions, one in each box");
  const row = node.appendChild(make("div", "hcw-row"));
  const boxes = [];
  // there is always one empty box at the end
  const grow = () => {
    if (boxes.length && !boxes[boxes.length - 1].value) return;
    const box = textBox(`${id}-${boxes.length}`, "");
    box.classList.add("hcw-short");
    box.setAttribute("aria-label", `position ${boxes.length + 1}`);
    let earlier = "";
    box.addEventListener("focus", () => (earlier = box.value.trim()));
    box.addEventListener("input", () => {
      const now = box.value.trim();
      grow();
      changed(earlier, now);
      earlier = now || earlier;
    });
    boxes.push(box);
    row.append(box);
  };
  for (const position of [...asList(value), ""]) {
    grow();
    boxes[boxes.length - 1].value = asText(position);
  }
  const named = () => boxes.map((box, at) => [at, box.value.trim()]).filter(([, name]) => name);
  return { node, named, filled: () => named().map(([, name]) => name) };
}

function contactRows(id, value, nodes, positions) {
  const node = make("div", "hcw-contacts");
  const rows = [];
  const add = (contact) => {
    const group = fieldset(`contact ${rows.length + 1}`);
    const row = group.appendChild(make("div", "hcw-row"));
    const ends = nodeBoxes(`${id}-${rows.length}`, ["from node", "to node"], contact?.between, nodes);
    row.append(...ends.nodes);
    const ticks = fieldset("closed in");
    const shown = ticks.appendChild(make("div", "hcw-row"));
    group.append(ticks);
    const given = asList(contact?.closed_in);
    const closed = new Set(positions().flatMap(([at, name]) => (given.includes(name) ? [at] : [])));
    const show = () => {
      shown.replaceChildren();
      for (const [at, position] of positions()) {
        const { node: label, input } = tick(position, closed.has(at));
        input.addEventListener("change", () =>
          input.checked ? closed.add(at) : closed.delete(at),
        );
        shown.append(label);
      }
    };
    show();
    const ticked = () => positions().flatMap(([at, name]) => (closed.has(at) ? [name] : []));
    rows.push({ ends, closed: ticked, show });
    more.before(group);
    return group;
  };
  const more = makeButton("", "Another contact", () => add().querySelector("input").focus());
  node.append(more);
  const given = asList(value);
  (given.length ? given : [null]).forEach(add);
  return {
    node,
    show: () => rows.forEach((row) => row.show()),
    filled: () => rows.map(({ ends, closed }) => ({ between: ends.filled(), closed_in: closed() })),
  };
}

// The fields of one form: `filled()` gives what is in them, by key.
function fieldsOf(form, id, values, nodes) {
  const node = make("div", "hcw-fields");
  const parts = {};
  let contacts, positions, start;
  for (const { key, label, type, unit, example, choices, required } of form.fields) {
    const name = `${label}${unit ? ` (${unit})` : ""}${required && type === "number" ? ", needed" : ""}`;
    const place = `${id}-${key}`;
    const value = values[key];
    if (type === "nodes") {
      const labels = form.kind === "diode" ? ["anode, in", "cathode, out"] : ["from node", "to node"];
      const boxes = nodeBoxes(place, labels, value, nodes);
      node.append(...boxes.nodes);
      parts[key] = boxes.filled;
    } else if (type === "names") {
      const boxes = positionBoxes(place, value ?? ["off", "on"], (earlier, now) => {
        contacts?.show();
        if (start && now && earlier && start.value === earlier) start.value = now;
      });
      node.append(boxes.node);
      parts[key] = boxes.filled;
      positions = boxes.named;
    } else if (type === "contacts") {
      contacts = contactRows(place, value, nodes, positions);
      node.append(contacts.node);
      parts[key] = contacts.filled;
    } else if (type === "flag") {
      const { node: line, input } = tick(label, value === true);
      node.append(line);
      parts[key] = () => input.checked;
    } else {
      const isChoice = type === "choice";
      const input = isChoice
        ? select([["", "not known"], ...choices.map((choice) => [choice, choice])])
        : textBox("", "");
      input.value = asText(value);
      if (!isChoice && key !== "name") input.placeholder = example;
      if (type === "number") input.classList.add("hcw-short");
      if (type === "text") input.classList.add("hcw-wide");
      if (key === "start") start = input;
      node.append(labelled(place, name, input));
      parts[key] = () => input.value;
    }
  }
  const filled = () => Object.fromEntries(Object.entries(parts).map(([key, read]) => [key, read()]));
  return { node, filled };
}
