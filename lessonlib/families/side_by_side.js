// Shows the members of a family, side by side or one at a time. A flip of a switch in one of them
// sets all others that have a setting which does the same. Nothing is computed here: what each
// setting does, and the texts of all rows, came from Python.

import { liveRegion, make, makeButton, setText, withAttributes } from "../page/kit.js";
import {
  byHand, chooser, frame, labelOf, liveLine, NONE, partButton, pick, positionRadios, readDrawing,
  stepped,
} from "../panels/drawing.js";

const SMALLEST = 0.75; // the drawing's letters are 12 px at scale 1
const [NARROWEST_PX, ROOM_PX] = [270, 40]; // of a card, and in it around its drawing
const HINT =
  "Press a switch in any drawing, or a row of the table: every one that can do the same follows.";
const SHEET_COMES = "<p>The sheet is being made. If none comes, run the cell again.</p>";

const differing = (one, other) => one.filter((each, i) => each !== other[i]).length;

// The bench sheets, one at a time over the page. Each is a page of its own, with its own style for
// paper, and stands in this file: so a link to it works on a phone too, which opens one file alone.
function makeSheets(model) {
  const page = make("iframe");
  page.setAttribute("sandbox", "allow-same-origin allow-modals");
  const close = makeButton("Close", () => dialog.close());
  const print = makeButton("Print it", () => page.contentWindow.print());
  const dialog = make("dialog", "hck hcp hcf-sheet", make("div", "hck-row", close, print), page);
  dialog.dataset.lmSuppressShortcuts = "true"; // of a notebook
  dialog.addEventListener("keydown", (event) => event.stopPropagation());
  page.addEventListener("load", () => {
    const leave = ({ key }) => key === "Escape" && dialog.close();
    page.contentDocument?.addEventListener("keydown", leave);
  });
  let asked = -1;
  const show = () => {
    page.srcdoc = model.get("sheets")[asked] ?? SHEET_COMES;
  };
  model.on("change:sheets", show);
  function open(place, label) {
    asked = place;
    withAttributes(page, { title: `Bench sheet: ${label}` });
    dialog.setAttribute("aria-label", page.title);
    if (!model.get("sheets")[place]) {
      model.set("wanted", place);
      model.save_changes();
    }
    show();
    dialog.showModal();
  }
  return { node: dialog, open, leave: () => model.off("change:sheets", show) };
}

// One member: its drawing and switches, what it does now, and what has changed in it.
function makeCard(member, place, moved, openSheet) {
  const { svg, width, movable, show: draw } = readDrawing(member);
  Object.assign(svg.style, {
    width: `calc(var(--hcf-scale) * ${width}px)`,
    minWidth: `${SMALLEST * width}px`,
    maxWidth: "100%",
  });
  let positions = [...member.start];

  const settings = Object.entries(member.does).map(([key, row]) => ({
    positions: key ? key.split(",").map(Number) : [],
    row,
  }));
  const choose = (move, index) => {
    positions[move] = index;
    moved(place);
  };
  const flip = (move) => (step, wrap) => {
    const next = stepped(positions[move], step, wrap, movable[move].positions.length);
    if (next !== positions[move]) choose(move, next);
  };
  const buttons = movable.map((part, move) =>
    partButton(pick(svg, ".hc-contact", { part: part.name }), flip(move)),
  );
  const radios = movable.map(
    (part, move) => byHand(part) && positionRadios(part, (index) => choose(move, index)),
  );
  const total = make("strong", "hcp-power");
  const cannot = make("span", "hcf-cannot");
  const live = liveLine();
  const items = member.changes.map(({ words, kind }, i) => {
    const badge = make("span", "hcf-badge", String(i + 1));
    badge.setAttribute("aria-hidden", "true");
    const item = make("li", "", badge, make("span", "", words));
    item.dataset.kind = kind;
    return item;
  });
  const told = member.unchanged
    ? make("p", "hcf-unchanged", member.unchanged)
    : make("ol", "hcf-changes", ...items);
  const sheet = makeButton("Bench sheet", () => openSheet(place, member.label));
  sheet.setAttribute("aria-label", `Bench sheet of ${member.label}`);
  const choices = radios.filter(Boolean).map((each) => each.node);
  const side = make(
    "div", "hcf-side",
    make("p", "hcf-now", total, " ", cannot),
    live.node,
    make("div", "hck-row hcp-choices", ...choices),
    ...(place ? [told] : []),
    make("p", "hcf-link", sheet),
  );
  const head = make("h2", "hcf-label", make("span", "hcf-number", `${place + 1}`), member.label);
  const body = make("div", "hcf-body", make("div", "hck-scroll hcp-scroll", svg), side);
  const node = make("section", "hcf-card", head, body);
  withAttributes(node, { "aria-label": `${place + 1}: ${member.label}` });
  node.style.flexBasis = `${Math.max(width + ROOM_PX, NARROWEST_PX)}px`;

  // Goes to a setting that does what the first of these rows of the table says that it can, the
  // nearest; says whether there is one.
  function follow(rows) {
    const far = (each) => rows.indexOf(each.row) * 1000 + differing(each.positions, positions);
    const [best] = settings
      .filter(({ row }) => rows.includes(row))
      .sort((a, b) => far(a) - far(b));
    if (best) positions = [...best.positions];
    return Boolean(best);
  }

  function show(plug, asked) {
    const key = [0, Math.min(plug, member.ways - 1), 0, ...positions].join(",");
    const row = member.rows[member.index[key]];
    draw(row, positions, null);
    movable.forEach((part, i) => {
      buttons[i].setAttribute("aria-label", `${member.label}: ${labelOf(part, positions[i])}`);
      if (radios[i]) radios[i].show(positions[i]);
    });
    const power = row ? `${row[1]}, ${row[2]}` : NONE;
    setText(total, row?.[0] ? `short circuit: ${row[0]}` : power);
    setText(cannot, asked && `cannot give ${asked}, and stays as it was`);
    node.classList.toggle("hcf-stays", Boolean(asked));
    live.show(row);
  }

  // The first `count` changes are told and marked.
  function reveal(count) {
    items.forEach((item, i) => (item.hidden = i >= count));
    pick(svg, ".hcf-frame, .hcf-mark").forEach((mark) => {
      mark.style.display = Number(mark.dataset.change) > count ? "none" : "";
    });
  }

  return {
    node, follow, show, reveal, label: member.label,
    row: () => member.does[positions.join(",")],
  };
}

// All settings of all members; a press on the heat of a row chooses it.
function makeSettings(data, choose) {
  const buttons = data.rows.map(({ heat }, row) => makeButton(heat, () => choose(row), "hcf-row"));
  const lines = data.rows.map(({ cells }, row) => {
    const head = withAttributes(make("th", "", buttons[row]), { scope: "row" });
    const made = cells.map((cell) => {
      if (!cell.length) return make("td", "hcf-none", "not possible");
      const each = cell.map(([by, current, live]) =>
        make("p", "", make("strong", "", by), make("span", "", `${current}; live: ${live}`)),
      );
      return make("td", "", ...each);
    });
    return make("tr", "", head, ...made);
  });
  const heads = ["heat", ...data.members.map(({ label }) => label)].map((text) =>
    withAttributes(make("th", "", text), { scope: "col" }),
  );
  const table = make(
    "table", "hck-table",
    make("caption", "", make("span", "", data.caption)),
    make("thead", "", make("tr", "", ...heads)),
    make("tbody", "", ...lines),
  );
  const show = (chosen) => {
    buttons.forEach((button, row) => {
      button.setAttribute("aria-pressed", String(row === chosen));
      lines[row].classList.toggle("hcf-chosen", data.rows[chosen].alike.includes(row));
    });
  };
  return { node: make("div", "hck-scroll hcf-settings", table), show };
}

export function renderFamily({ model, el }) {
  const data = model.get("table");
  const alone = Boolean(model.get("alone"));
  let plug = 0;
  let chosen = 0; // row of the table
  let single = false; // one member at a time
  // the steps of a talk: each member with none of its changes, then one more at a time
  const steps = data.members.flatMap(({ changes }, member) =>
    [null, ...changes].map((last, count) => ({ member, count, words: last?.words ?? "" })),
  );
  let at = 0; // of them

  const sheets = makeSheets(model);
  const cards = data.members.map((member, place) => makeCard(member, place, flipped, sheets.open));
  const said = liveRegion("p", "hcp-said");
  setText(said, HINT);
  const table = makeSettings(data, (row) => choose(row, -1));
  const turn = chooser("Plug", data.plugs, (index) => {
    plug = index;
    show();
  });
  const mode = makeButton("", () => present(!single));
  const back = makeButton("◂ Back", () => go(-1));
  const next = makeButton("Next ▸", () => go(1));
  const tools = make("div", "hck-row hcf-tools", mode, back, next, turn.node);
  const shelf = make("div", "hcf-shelf", ...cards.map((card) => card.node));
  const notes = data.notes.map((words) => make("p", "hcf-note", words));
  const root = frame(
    "Family", "hck hcp hcf", data, alone, tools, said, shelf, table.node, ...notes,
  );
  let can = []; // whether each can do what was chosen

  // A row, from the member at `from`, or from the table.
  function choose(row, from) {
    chosen = row;
    const { alike, heat } = data.rows[row];
    can = cards.map((card, place) => place === from || card.follow(alike));
    const count = can.filter(Boolean).length;
    const who = count === cards.length ? "every one" : `${count} of ${cards.length}`;
    setText(said, `${heat}: ${who} can do this`);
    show();
  }

  function flipped(place) {
    const row = cards[place].row();
    if (row !== undefined) choose(row, place);
    else show();
  }

  function show() {
    cards.forEach((card, i) => card.show(plug, can[i] ? "" : data.rows[chosen].heat));
    table.show(chosen);
    turn.show(plug);
  }

  // --- one member at a time --------------------------------------------------------------------
  function present(one) {
    single = one;
    at = steps.findIndex(({ member }) => member === steps[at].member);
    root.dataset.mode = single ? "one" : "all";
    setText(mode, single ? "Show all side by side" : "Show one at a time");
    back.hidden = next.hidden = !single;
    place();
  }

  function go(by) {
    at = Math.max(0, Math.min(at + by, steps.length - 1));
    place();
  }

  function place() {
    const { member, count, words } = steps[at];
    cards.forEach((card, i) => {
      card.node.classList.toggle("hcf-away", single && i !== member);
      card.reveal(single && i === member ? count : Infinity);
    });
    back.setAttribute("aria-disabled", String(at === 0));
    next.setAttribute("aria-disabled", String(at === steps.length - 1));
    if (!single) return;
    const where = `${member + 1} of ${cards.length}, ${cards[member].label}`;
    setText(said, words ? `${where}: ${words}` : `${where}. Arrow keys go on and back.`);
  }

  const hear = (event) => {
    const by = { ArrowRight: 1, PageDown: 1, ArrowLeft: -1, PageUp: -1 }[event.key];
    const busy = event.target.closest?.("input, select, dialog, svg [role=button]");
    if (!single || !by || busy) return;
    event.preventDefault();
    go(by);
  };
  const ears = alone ? document : root;
  ears.addEventListener("keydown", hear, true);
  el.append(root, sheets.node);
  present(Boolean(data.one_at_a_time));
  // what most of them can do; of several such things the most heat, which comes last
  const able = data.rows.map(({ alike, heats }) => {
    const does = (_, i) => alike.some((row) => data.rows[row].cells[i].length);
    return heats ? cards.filter(does).length : 0;
  });
  choose(able.lastIndexOf(Math.max(...able)), -1);
  can.fill(true); // nobody has asked for a heat yet
  show();
  setText(said, HINT);
  return () => {
    ears.removeEventListener("keydown", hear, true);
    sheets.leave();
  };
}
