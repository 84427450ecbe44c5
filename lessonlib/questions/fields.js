// The fields that a kind of answer asks for. Each is made from the answer's form and tells `changed`
// what is filled in, null for nothing; `show` puts an answer in, and leaves alone what says the same
// already. `asItStands` is what counts where nothing has been filled in.

function describedBy(node, id) {
  node.setAttribute("aria-describedby", `${id}-text`);
  return node;
}

function group(legend) {
  const node = make("fieldset", "hcq-choices");
  node.append(make("legend", "hcx-legend", legend));
  return node;
}

function option(type, name, text, changed) {
  const node = make("label", "hcq-option");
  const input = make("input");
  input.type = type;
  input.name = name;
  input.addEventListener("change", () => changed(input.checked));
  node.append(input, make("span", "", text));
  return { node, input, text };
}

function radios(legend, name, texts, changed) {
  const node = group(legend);
  const options = texts.map((text) => option("radio", name, text, () => changed(text)));
  node.append(...options.map((each) => each.node));
  const show = (text) => options.forEach((each) => (each.input.checked = each.text === text));
  return { node, show };
}

function fillIn(input, text) {
  if (input.value !== text) input.value = text;
}

function asText(value) {
  return typeof value === "string" ? value : "";
}

function numberField(form, id, changed) {
  const node = make("div", "hcq-blank");
  const label = form.unit ? `Your answer, with its unit (${form.unit})` : "Your answer";
  const name = make("label", "hcq-label", label);
  const input = describedBy(textBox(`${id}-input`, ""), id);
  name.htmlFor = input.id;
  input.addEventListener("input", () => changed(input.value || null));
  node.append(name, input);
  return { node, show: (given) => fillIn(input, asText(given)) };
}

function choiceField(form, id, changed) {
  const field = radios("Choose one", id, form.options, changed);
  describedBy(field.node, id);
  return field;
}

function settingField(form, id, changed) {
  const node = describedBy(make("div", "hcx-switches"), id);
  node.setAttribute("role", "group");
  node.setAttribute("aria-label", "Your setting");
  let now = {};
  const switches = form.switches.map(({ name, positions }, index) => {
    const field = radios(name, `${id}-${index}`, positions, (position) =>
      changed((now = { ...now, [name]: position })),
    );
    node.append(field.node);
    return { name, show: field.show };
  });
  const show = (given) => {
    now = { ...given };
    switches.forEach((each) => each.show(now[each.name]));
  };
  return { node, show };
}

function pointsField(form, id, changed) {
  const node = describedBy(group("Tick each one that fits"), id);
  const tell = () => {
    const ticked = boxes.filter((box) => box.input.checked).map((box) => box.text);
    changed(ticked.length ? ticked : none.input.checked ? [form.none] : null);
  };
  const boxes = form.points.map((point) => option("checkbox", id, point, tell));
  const none = option("checkbox", id, "none of them", (on) => {
    if (on) boxes.forEach((box) => (box.input.checked = false));
    tell();
  });
  node.append(...boxes.map((box) => box.node), none.node);
  const show = (given) => {
    const ticked = Array.isArray(given) ? given : [];
    boxes.forEach((box) => (box.input.checked = ticked.includes(box.text)));
    none.input.checked = ticked.length === 1 && ticked[0] === form.none;
  };
  return { node, show };
}

function tableField(form, id, changed) {
  const node = make("div", "hcx-scroll");
  const table = describedBy(make("table", "hcx-table"), id);
  const caption = make("caption", "hcx-legend", "Fill in every cell");
  const heading = (scope, name, text) => {
    const cell = make("th", "", text);
    cell.scope = scope;
    cell.id = `${id}-${name}`;
    return cell;
  };
  const top = make("tr");
  top.append(make("td"));
  form.columns.forEach(({ heading: name, unit }, column) =>
    top.append(heading("col", `column-${column}`, unit ? `${name} (${unit})` : name)),
  );
  const boxes = [];
  const tell = () => {
    const cells = boxes.map((row) => row.map((box) => box.value));
    changed(cells.flat().some(Boolean) ? cells : null);
  };
  const body = form.rows.map((name, row) => {
    const line = make("tr");
    line.append(heading("row", `row-${row}`, name));
    boxes.push(
      form.columns.map((_, column) => {
        const box = textBox(`${id}-cell-${row}-${column}`, "");
        box.setAttribute("aria-labelledby", `${id}-row-${row} ${id}-column-${column}`);
        box.addEventListener("input", tell);
        const cell = make("td");
        cell.append(box);
        line.append(cell);
        return box;
      }),
    );
    return line;
  });
  const head = make("thead");
  head.append(top);
  const rest = make("tbody");
  rest.append(...body);
  table.append(caption, head, rest);
  node.append(table);
  const show = (given) =>
    boxes.forEach((row, r) => row.forEach((box, c) => fillIn(box, asText(given?.[r]?.[c]))));
  return { node, show };
}

function orderField(form, id, changed) {
  const node = make("div");
  // The letters stay with their items: they are what a reply calls them.
  const name = make("p", "hcx-legend", "Put them in order, the first on top");
  name.id = `${id}-name`;
  const list = describedBy(make("ol", "hcx-order"), id);
  list.setAttribute("role", "list"); // which one browser forgets where no numbers are drawn
  list.setAttribute("aria-labelledby", name.id);
  const news = make("div", "hcx-unseen");
  news.setAttribute("aria-live", "polite");
  let now = [...form.items];
  const move = (item, step, button) => {
    const from = now.indexOf(item);
    const to = from + step;
    if (to < 0 || to >= now.length) {
      news.textContent = `${item} is already ${step < 0 ? "first" : "last"}.`;
      return;
    }
    now = [...now];
    now.splice(to, 0, ...now.splice(from, 1));
    draw();
    button.focus(); // moved with its row, which takes the focus away
    news.textContent = `${item} is now ${to + 1} of ${now.length}.`;
    changed(now);
  };
  const rows = new Map(
    form.items.map((item, place) => {
      const line = make("li", "hcx-row");
      const buttons = [[-1, "up", "↑"], [1, "down", "↓"]].map(([step, way, sign]) => {
        const button = makeButton("hcx-move", sign, () => move(item, step, button));
        button.setAttribute("aria-label", `Move ${way}: ${item}`);
        button.title = `Move ${way}`;
        return button;
      });
      const side = make("div", "hcx-moves");
      side.append(...buttons);
      line.append(make("span", "hcx-letter", `${form.letters[place]}.`), make("span", "hcx-item", item), side);
      return [item, { line, buttons }];
    }),
  );
  const draw = () => {
    now.forEach((item, place) => {
      const { line, buttons } = rows.get(item);
      if (list.children[place] !== line) list.insertBefore(line, list.children[place] ?? null);
      // not `disabled`, which would take the focus from a button that has just reached the end
      buttons[0].setAttribute("aria-disabled", String(place === 0));
      buttons[1].setAttribute("aria-disabled", String(place === now.length - 1));
    });
  };
  const show = (given) => {
    const fits = Array.isArray(given) && [...given].sort().join("\n") === [...form.items].sort().join("\n");
    now = fits ? [...given] : [...form.items];
    draw();
  };
  node.append(name, list, news);
  return { node, show, asItStands: () => now };
}

function fileField(form, id, changed) {
  const node = make("div");
  const name = make("label", "hcx-legend", "Your circuit file");
  const area = describedBy(make("textarea", "hcq-input hcx-file"), id);
  area.id = `${id}-input`;
  name.htmlFor = area.id;
  area.wrap = "off";
  area.spellcheck = false;
  area.autocapitalize = "off";
  area.autocomplete = "off";
  area.cols = 84;
  area.rows = Math.min(30, Math.max(16, form.start_text.split("\n").length + 2));
  area.addEventListener("input", () => changed(area.value === form.start_text ? null : area.value));
  const drawing = make("p", "", "To see it drawn, paste it between the quotes in a cell of your own:");
  const code = 'from lessonlib import panel, read_appliance\npanel(read_appliance("""\n"""))';
  node.append(name, area, drawing, make("pre", "hcx-drawing-code", code));
  const show = (given) => fillIn(area, typeof given === "string" ? given : form.start_text);
  return { node, show, asItStands: () => area.value };
}

const FIELDS = {
  number: numberField,
  choice: choiceField,
  setting: settingField,
  points: pointsField,
  table: tableField,
  order: orderField,
  file: fileField,
};
