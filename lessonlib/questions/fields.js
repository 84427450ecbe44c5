// The fields that a kind of answer asks for. Each is made from the answer's form and tells
// `changed` what is filled in, null for nothing; `show` puts an answer in, and leaves alone what
// says the same already. `asItStands` is what counts where nothing has been filled in.

import { unbroken } from "../page/exchange.js";
import {
  fileBox, labelled, make, makeButton, makeGroup, makeOption, makeRadios, setText, textBox,
  withAttributes,
} from "../page/kit.js";

const TO_SEE_IT =
  "To see it drawn, copy it. Double-click bench.ipynb in the list of files on the left, run its " +
  "first cell, and paste it over the text of the file there.";

// A field that a screen reader describes with the text of the question.
function described(node, id) {
  return withAttributes(node, { "aria-describedby": `${id}-text` });
}

function fillIn(box, given) {
  const text = typeof given === "string" ? given : "";
  if (box.value !== text) box.value = text;
}

function numberField({ unit }, id, changed) {
  const box = described(textBox(), id);
  box.addEventListener("input", () => changed(box.value || null));
  const node = labelled(unit ? `Your answer, with its unit (${unit})` : "Your answer", box);
  node.classList.add("hcq-blank");
  return { node, show: (given) => fillIn(box, given) };
}

function choiceField({ legend = "Choose one", options }, id, changed) {
  const choose = (place) => changed(options[place]);
  const { node, show } = makeRadios(unbroken(legend), options.map(unbroken), choose);
  return { node: described(node, id), show: (given) => show(options.indexOf(given)) };
}

function recallField(form, id, changed) {
  let now = {};
  const choice = choiceField(form, id, (option) => changed((now = { ...now, choice: option })));
  const box = textBox();
  box.maxLength = 300;
  box.addEventListener("input", () => changed((now = { ...now, reason: box.value })));
  const reason = labelled("Your own reason (you may leave it empty)", box);
  reason.classList.add("hcq-reason");
  const show = (given) => {
    now = { ...given };
    choice.show(now.choice);
    fillIn(box, now.reason);
  };
  return { node: make("div", "", choice.node, reason), show };
}

function settingField(form, id, changed) {
  let now = {};
  const switches = form.switches.map(({ name, positions }) => {
    const turn = (place) => changed((now = { ...now, [name]: positions[place] }));
    const { node, show } = makeRadios(name, positions, turn);
    return { node, show: () => show(positions.indexOf(now[name])) };
  });
  const node = make("div", "hck-row hcq-switches", ...switches.map((each) => each.node));
  withAttributes(described(node, id), { role: "group", "aria-label": "Your setting" });
  const show = (given) => {
    now = { ...given };
    switches.forEach((each) => each.show());
  };
  return { node, show };
}

function pointsField(form, id, changed) {
  const tell = () => {
    const ticked = boxes.filter(({ input }) => input.checked).map(({ text }) => text);
    changed(ticked.length ? ticked : none.input.checked ? [form.none] : null);
  };
  const boxes = form.points.map((point) => makeOption("checkbox", point, tell));
  const none = makeOption("checkbox", "none of them", (on) => {
    if (on) boxes.forEach(({ input }) => (input.checked = false));
    tell();
  });
  const node = described(makeGroup("Tick each one that fits"), id);
  node.append(...[...boxes, none].map((each) => each.node));
  const show = (given) => {
    const ticked = Array.isArray(given) ? given : [];
    boxes.forEach(({ input, text }) => (input.checked = ticked.includes(text)));
    none.input.checked = ticked.length === 1 && ticked[0] === form.none;
  };
  return { node, show };
}

function tableField(form, id, changed) {
  const heading = (scope, number, text) =>
    withAttributes(make("th", "", text), { scope, id: `${id}-${scope}-${number}` });
  const top = form.columns.map(({ heading: name, unit }, column) =>
    heading("col", column, unit ? `${name} (${unit})` : name),
  );
  const boxes = form.rows.map((_, row) =>
    form.columns.map((_, column) => {
      const box = textBox();
      box.addEventListener("input", tell);
      const names = `${id}-row-${row} ${id}-col-${column}`;
      return withAttributes(box, { "aria-labelledby": names });
    }),
  );
  function tell() {
    const cells = boxes.map((row) => row.map((box) => box.value));
    changed(cells.flat().some(Boolean) ? cells : null);
  }
  const lines = form.rows.map((name, row) =>
    make("tr", "", heading("row", row, name), ...boxes[row].map((box) => make("td", "", box))),
  );
  const table = make(
    "table",
    "hck-table",
    make("caption", "", "Fill in every cell"),
    make("thead", "", make("tr", "", make("td"), ...top)),
    make("tbody", "", ...lines),
  );
  const show = (given) =>
    boxes.forEach((row, r) => row.forEach((box, c) => fillIn(box, given?.[r]?.[c])));
  return { node: make("div", "hck-scroll hcq-scroll", described(table, id)), show };
}

function orderField(form, id, changed) {
  const name = make("p", "hck-legend", "Put them in order, the first on top");
  name.id = `${id}-name`;
  const list = make("ol", "hcq-order");
  // one browser forgets that it is a list where no numbers are drawn
  withAttributes(list, { role: "list", "aria-labelledby": name.id });
  const news = withAttributes(make("div", "hck-unseen"), { "aria-live": "polite" });
  let now = [...form.items];
  const move = (item, step, button) => {
    const from = now.indexOf(item);
    const to = from + step;
    if (to < 0 || to >= now.length) {
      setText(news, `${item} is already ${step < 0 ? "first" : "last"}.`);
      return;
    }
    now = [...now];
    now.splice(to, 0, ...now.splice(from, 1));
    draw();
    button.focus(); // moved with its row, which takes the focus away
    setText(news, `${item} is now ${to + 1} of ${now.length}.`);
    changed(now);
  };
  const mover = (item, step, way, sign) => {
    const button = makeButton(sign, () => move(item, step, button), "hcq-move");
    button.title = `Move ${way}`;
    return withAttributes(button, { "aria-label": `Move ${way}: ${item}` });
  };
  // the letters stay with their items: they are what a reply calls them
  const row = (item, place) => {
    const [up, down] = [mover(item, -1, "up", "↑"), mover(item, 1, "down", "↓")];
    const letter = make("span", "hcq-letter", `${form.letters[place]}.`);
    const text = make("span", "hcq-item", unbroken(item));
    const line = make("li", "hcq-row", letter, text, make("div", "hcq-moves", up, down));
    return { line, up, down };
  };
  const rows = new Map(form.items.map((item, place) => [item, row(item, place)]));
  const draw = () => {
    now.forEach((item, place) => {
      const { line, up, down } = rows.get(item);
      if (list.children[place] !== line) list.insertBefore(line, list.children[place] ?? null);
      // not `disabled`, which would take the focus from a button that has just reached the end
      withAttributes(up, { "aria-disabled": place === 0 });
      withAttributes(down, { "aria-disabled": place === now.length - 1 });
    });
  };
  const sorted = (items) => JSON.stringify([...items].sort());
  const show = (given) => {
    const fits = Array.isArray(given) && sorted(given) === sorted(form.items);
    now = [...(fits ? given : form.items)];
    draw();
  };
  return { node: make("div", "", name, described(list, id), news), show, asItStands: () => now };
}

function fileField({ start_text: start }, id, changed) {
  const area = described(fileBox(0, "hcq-file"), id);
  area.cols = 84;
  area.rows = Math.min(30, Math.max(16, start.split("\n").length + 2));
  area.addEventListener("input", () => changed(area.value === start ? null : area.value));
  const field = labelled("Your circuit file", area);
  field.firstChild.className = "hck-legend";
  const node = make("div", "", field, make("p", "", TO_SEE_IT));
  const show = (given) => fillIn(area, typeof given === "string" ? given : start);
  return { node, show, asItStands: () => area.value };
}

export const FIELDS = {
  number: numberField,
  choice: choiceField,
  recall: recallField,
  setting: settingField,
  points: pointsField,
  table: tableField,
  order: orderField,
  file: fileField,
};
