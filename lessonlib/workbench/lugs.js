// Draws the form for readings between lugs: a triangle of fields, with what they say below.

import {
  labelled, make, makeSelect, setText, showDrawing, textBox, withAttributes,
} from "../page/kit.js";
import { fieldRow, note, typedForm } from "./typed.js";

const FEWEST = 2;

function render({ model, el }) {
  const { form, reply, given, bind, box, begin } = typedForm(model, {
    title: "An element block: which lug is which?",
  });
  const picture = make("div", "hcw-shown");
  const file = make("pre", "hcw-lugs-file");
  const start = make(
    "details", "", make("summary", "", "The start of an appliance file"),
    note("Copy it into the text of a new appliance, and add what you find."), file,
  );

  const table = make("div", "hcw-lugs-table hck-scroll");
  const head = (scope, text) => withAttributes(make("th", "", text), { scope });
  const drawTable = () => {
    const lugs = [...Array(Number(given.count)).keys()].map((lug) => `${lug + 1}`);
    const across = [...lugs.slice(1), model.get("case")];
    const cells = (from, at) =>
      across.map((to, column) => {
        if (column < at) return make("td");
        const input = bind(textBox(), given.typed, `${from}–${to}`, "hcw-ohms");
        const label = `Ohms between ${from} and ${to}`;
        return make("td", "", withAttributes(input, { "aria-label": label }));
      });
    const rows = lugs.map((from, at) => make("tr", "", head("row", from), ...cells(from, at)));
    const top = make("tr", "", make("td"), ...across.map((to) => head("col", to)));
    table.replaceChildren(make("table", "", make("thead", "", top), make("tbody", "", ...rows)));
  };

  const counts = [...Array(model.get("most") - FEWEST + 1).keys()].map((n) => `${n + FEWEST}`);
  const count = bind(makeSelect(counts.map((n) => [n, n])), given, "count");
  count.addEventListener("input", drawTable);

  form.append(
    fieldRow(
      labelled("number of lugs", count),
      box("mains voltage (V)", given, "volts"),
      box("leads touching (Ω)", given, "leads"),
    ),
    note(
      "Take all wires off the block and number its lugs. Write the ohms between each two, and " +
        "between each lug and the case. OL means no path. Leave out what you have not measured.",
    ),
    table, reply, picture, start,
  );
  drawTable();
  return begin(el, {
    page: () => showDrawing(picture, model.get("page")),
    file: () => {
      setText(file, model.get("file"));
      start.hidden = !model.get("file");
    },
  });
}

export default { render };
