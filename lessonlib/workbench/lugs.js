// Draws the form for readings between lugs: a triangle of fields, with what they say below.

import { follow, replyRegion, write } from "../page/exchange.js";
import {
  labelled, make, makeCutOff, makeForm, makeSelect, setText, showDrawing, withAttributes,
} from "../page/kit.js";
import { typedForm } from "./typed.js";

const FEWEST = 2;

function render({ model, el }) {
  const form = makeForm("hck hcw", () => send());
  const reply = replyRegion();
  const picture = make("div", "hcw-lugs-found");
  const file = make("pre", "hcw-lugs-file");
  const start = make(
    "details", "", make("summary", "", "The start of an appliance file"),
    make("p", "hcw-note", "Copy it into the text of a new appliance, and add what you find."), file,
  );
  const { given, send, changed, box, stop } = typedForm(model, reply);

  const table = make("div", "hcw-lugs-table hck-scroll");
  const names = () => [...Array(given.count).keys()].map((lug) => `${lug + 1}`);
  const drawTable = () => {
    const all = [...names(), model.get("case")];
    const across = all.slice(1);
    const head = make("tr", "", make("td"));
    for (const to of across) {
      head.append(withAttributes(make("th", "", to), { scope: "col" }));
    }
    const rows = names().map((from, at) => {
      const row = make("tr", "", withAttributes(make("th", "", from), { scope: "row" }));
      across.forEach((to, column) => {
        const cell = row.appendChild(make("td"));
        if (column < at) return;
        const input = box(given.typed, `${from}–${to}`, "hcw-ohms");
        cell.append(withAttributes(input, { "aria-label": `Ohms between ${from} and ${to}` }));
      });
      return row;
    });
    table.replaceChildren(make("table", "", make("thead", "", head), make("tbody", "", ...rows)));
  };

  const counts = [...Array(model.get("most") - FEWEST + 1).keys()].map((n) => `${n + FEWEST}`);
  const count = makeSelect(counts.map((n) => [n, n]), `${given.count}`);
  count.classList.add("hcw-short");
  count.addEventListener("change", () => {
    given.count = Number(count.value);
    drawTable();
    changed();
  });
  const show = () => {
    write(reply, model.get("reply"));
    showDrawing(picture, model.get("page"));
    setText(file, model.get("file"));
    start.hidden = !model.get("file");
  };

  form.append(
    make("h3", "", "An element block: which lug is which?"),
    withAttributes(make("p", "hcw-note", model.get("caution")), { role: "note" }),
    makeCutOff(),
    make(
      "div", "hck-row hcw-fields",
      labelled("number of lugs", count),
      labelled("mains voltage (V)", box(given, "volts", "hcw-short")),
      labelled("leads touching (Ω)", box(given, "leads", "hcw-short")),
    ),
    make(
      "p", "hcw-note",
      "Take all wires off the block and number its lugs. Write the ohms between each two, and " +
        "between each lug and the case. OL means no path. Leave out what you have not measured.",
    ),
    table, reply, picture, start,
  );
  drawTable();
  const unfollow = follow(model, { "heard reply page file": show }, el);
  show();
  if (Object.values(given.typed).some((text) => text) && !model.get("heard")) send();
  el.append(form);

  return () => {
    stop();
    unfollow();
  };
}

export default { render };
