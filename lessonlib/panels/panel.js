// Shows the live picture, in a notebook or a saved page. It computes nothing: each choice of switch
// positions, supply and fault is a row of ready texts in the table that Python sent.

import { follow } from "../page/exchange.js";
import { liveRegion, make, setText, stayAt, withAttributes } from "../page/kit.js";
import {
  byHand, chooser, frame, keep, labelOf, liveLine, NONE, partButton, pick, positionRadios,
  readDrawing, stepped,
} from "./drawing.js";

const WAIT_MS = 1500; // longer than this and there is no kernel to answer
const ASK_KERNEL =
  "This setting was not stored. To compute it, choose Run All Above Selected Cell in the menu " +
  "Run, then run this cell.";
const ASK_NOTEBOOK = "This setting was not stored in this page; open the notebook to compute it.";
const HINT = "Press a switch in the drawing: click, tap, or Tab to it and Enter.";

// What a flip did, in one line: what was moved, what the appliance draws, which points changed.
function news(data, movable, last, now) {
  const [voltage, plug, fault, ...positions] = now.chosen;
  const { words } = data.faults[fault] ?? {};
  const told = [
    `supply ${data.voltages[voltage]}`,
    `plug ${data.plugs[plug]}`,
    words ? `fault ${words}` : "no fault",
    ...movable.map((part, i) => `${part.name} ${part.positions[positions[i]]}`),
  ];
  const moved = told.map((text, i) => now.chosen[i] !== last.chosen[i] && text);
  const changed = [...moved.slice(3), ...moved.slice(0, 3)].filter(Boolean);
  const [short, power, current, , , digits] = now.row;
  const points = data.conditions.map((condition, number) => {
    const turned = (i) => digits[i] === String(number) && digits[i] !== last.row[5][i];
    const names = data.nodes.filter((_, i) => turned(i));
    return names.length && `${names.join(", ")} ${condition}`;
  });
  const result = short === null ? `${power}, ${current}` : `short circuit: ${short}`;
  const after = [result, ...points.filter(Boolean)].join("; ");
  return `${changed.join(", ") || "as before"}: ${after}`;
}

function makeTable(caption, headings, names) {
  const head = (scope, text) => withAttributes(make("th", "", text), { scope });
  const cells = names.map(() => headings.slice(1).map(() => make("td")));
  const lines = names.map((name, i) => make("tr", "", head("row", name), ...cells[i]));
  const node = make(
    "table",
    "hck-table",
    make("caption", "", caption),
    make("thead", "", make("tr", "", ...headings.map((heading) => head("col", heading)))),
    make("tbody", "", ...lines),
  );
  return { node, cells };
}

function render({ model, el }) {
  const data = model.get("table");
  const alone = Boolean(model.get("alone")); // a saved page: no kernel
  const { svg, width, movable, rungs, show: draw } = readDrawing(data);
  const traits = ["voltage", "plug", "fault", ...movable.map((_, i) => `position_${i}`)];
  const answers = new Map(); // rows that Python computed when asked
  let last = null; // the last choice that had a row, with that row, to tell what has changed
  let shown = ""; // key of what is shown, and whether its row was there
  let waiting = 0;

  const choose = (trait) => (index) => keep(model, { [trait]: index });
  const flip = (move) => (step, wrap) => {
    const now = model.get(`position_${move}`);
    const next = stepped(now, step, wrap, movable[move].positions.length);
    if (next !== now) choose(`position_${move}`)(next);
  };

  // --- what there is to show -------------------------------------------------------------------
  const [power, current, short] = ["power", "current", "short"].map((name) =>
    make("strong", `hcp-${name}`),
  );
  const whole = make("span", "", "Whole appliance");
  const total = make("p", "hck-row hcp-total", whole, power, current, short);
  const said = liveRegion("p", "hcp-said");
  setText(said, HINT);
  const live = liveLine();
  // atomic: "Live ends" is read with what they are
  withAttributes(live.node, { "aria-live": "polite", "aria-atomic": "true" });
  const faults = data.faults.map((fault) => fault?.words ?? "none");
  const circumstances = [
    chooser("Supply voltage", data.voltages, choose("voltage")),
    chooser("Plug", data.plugs, choose("plug")),
    chooser("Fault", faults, choose("fault")),
  ];
  const own = movable.map((part, i) => positionRadios(part, choose(`position_${i}`)));
  const rungName = ({ part, contact }) =>
    part.rungs.length > 1 ? `${part.name}.${contact + 1}` : part.name;
  // the state comes last: where the screen is narrow, that is what one has to scroll to
  const headings = ["Part", "Voltage", "Current", "Power", "State"];
  const parts = makeTable("Parts", headings, rungs.map(rungName));
  const floats = make("p", "hcp-floats", `${NONE} no fixed voltage: an end of the part floats`);
  const points = makeTable("Points", ["Point", "Condition", "To earth"], data.nodes);
  const buttons = movable.map((part, move) =>
    partButton(pick(svg, ".hc-contact", { part: part.name }), flip(move)),
  );

  const row = (className, controls) => make("div", className, ...controls.map((c) => c.node));
  const scroll = make("div", "hck-scroll hcp-scroll", svg);
  const choices = [own, circumstances].map((each) => row("hck-row hcp-choices", each));
  const left = make("div", "hcp-left", scroll, said, live.node, ...choices);
  left.style.flexBasis = `${width}px`;
  const measured = { node: make("div", "", parts.node, floats) };
  const tables = row("hck-scroll hck-row hcp-tables", [measured, points]);
  const main = make("div", "hck-row hcp-main", left, tables);
  const root = frame("Live picture", "hck hcp", data, alone, total, main);

  // --- showing one row -------------------------------------------------------------------------
  function showTables(row, { rungs: states, conditions }) {
    rungs.forEach(({ part }, i) => {
      const { state, readings } = states[i];
      const kind = byHand(part) ? [] : [part.kind]; // its position says that it is a switch
      const texts = [...readings, [...kind, ...state].join(", ")];
      texts.forEach((text, c) => setText(parts.cells[i][c], text));
    });
    floats.hidden = !row || row[0] !== null || !states.some(({ readings }) => readings[0] === NONE);
    conditions.forEach((condition, i) => {
      const [place, potential] = points.cells[i];
      setText(place, condition);
      place.dataset.condition = condition;
      setText(potential, row?.[4][i] ?? NONE);
    });
  }

  function show() {
    const chosen = traits.map((trait) => model.get(trait));
    const key = chosen.join(",");
    const row = answers.get(key) ?? data.rows[data.index[key]];
    if (shown === key + Boolean(row)) return;
    shown = key + Boolean(row);
    const [, , fault, ...positions] = chosen;
    clearTimeout(waiting);
    showTables(row, draw(row, positions, data.faults[fault]));
    movable.forEach((part, i) => {
      buttons[i].setAttribute("aria-label", labelOf(part, positions[i]));
    });
    [...circumstances, ...own].forEach((control, i) => control.show(chosen[i]));
    const path = row?.[0] ?? "";
    root.classList.toggle("hcp-shorted", path !== "");
    setText(short, path && `short circuit: ${path}`);
    setText(power, row?.[1] ?? NONE);
    setText(current, row?.[2] ?? NONE);
    live.show(row);
    if (!row) ask(chosen);
    else if (last) setText(said, news(data, movable, last, { chosen, row }));
    if (row) last = { chosen, row };
  }

  function ask(chosen) {
    setText(said, "Computing this setting …");
    waiting = setTimeout(() => setText(said, alone ? ASK_NOTEBOOK : ASK_KERNEL), WAIT_MS);
    try {
      model.send({ ask: chosen });
    } catch {
      // no kernel to send to: the message after WAIT_MS says so
    }
  }

  const hear = ({ key, row }) => {
    answers.set(key, row);
    show();
  };
  const unfollow = follow(model, { [traits.join(" ")]: show });
  model.on("msg:custom", hear);
  el.append(root);
  stayAt(root);
  show();
  return () => {
    clearTimeout(waiting);
    unfollow();
    model.off("msg:custom", hear);
  };
}

export default { render };
