// Draws the form for readings: a group of fields for each, with its verdict below, and below all of
// them what they say together and the test to do next.

import { makeSign, replyRegion, write } from "../page/exchange.js";
import { labelled, make, makeButton, makeGroup, makeSelect, setText, textBox } from "../page/kit.js";
import { fieldRow, typedForm } from "./typed.js";

const KINDS = {
  resistance: "ohms, unplugged",
  diode: "diode range, unplugged",
  power: "watts, energy meter at the plug",
  current: "amperes, energy meter at the plug",
};
const UNPLUGGED = ["resistance", "diode"];
const ACCURACY = { percent: "± % of the reading", digits: "± steps of the last digit" };

const PINS = ["L", "N", "PE"];
const NOTHING = "nothing";
const PLACE = ["kind", "red", "black", "unhooked"];

const sameTest = (one, other) =>
  PLACE.every((key) => one[key] === other[key]) &&
  Object.keys(one.setting).every((name) => one.setting[name] === other.setting[name]);
const same = (texts) => texts.map((text) => [text, text]);

function render({ model, el }) {
  const { form, reply, given, send, changed, bind, box, begin } = typedForm(model, {
    title: `Your readings: ${model.get("title")}`,
  });
  const list = make("div");
  let rows = []; // { typed, node, reply, remove, shown, said }

  // `given` follows the rows, and each has its number.
  const renumber = () => {
    given.rows = rows.map((row) => row.typed);
    rows.forEach(({ node, remove }, at) => {
      setText(node.firstChild, `Reading ${at + 1}`);
      remove.setAttribute("aria-label", `Remove reading ${at + 1}`);
    });
  };
  const drop = (row) => {
    rows = rows.filter((each) => each !== row);
    row.node.remove();
    renumber();
  };
  const addRow = (typed) => {
    const choice = (label, values, key, options, className) =>
      labelled(label, bind(makeSelect(options), values, key, className));
    const shown = bind(textBox(), typed, "shown");
    const remove = makeButton("Remove", () => {
      drop(row);
      changed();
      another.focus();
    });
    const fields = fieldRow();
    const row = { typed, remove, shown, reply: replyRegion(), node: makeGroup("", "hcw-reading") };
    const what = choice("What", typed, "kind", Object.entries(KINDS), "hcw-kind");
    const show = () => {
      const atPlug = !UNPLUGGED.includes(typed.kind);
      const points = same(model.get("points"));
      const loosened = [["", NOTHING], ...same(model.get("loose"))];
      const loose = choice("unhooked", typed, "unhooked", loosened);
      const leads = [
        choice("red lead on", typed, "red", points, "hcw-point"),
        choice("black lead on", typed, "black", points, "hcw-point"),
        loose,
      ];
      const showLoose = () => {
        const inside = !PINS.includes(typed.red) || !PINS.includes(typed.black);
        loose.hidden = !inside && !typed.unhooked;
      };
      leads.forEach((each) => each.addEventListener("input", showLoose));
      showLoose();
      const switches = model
        .get("switches")
        .map(({ name, positions }) => choice(`${name} at`, typed.setting, name, same(positions)));
      const unit = model.get("units")[typed.kind];
      const volts = "volts on the same meter, if it shows them";
      fields.replaceChildren(
        what,
        ...(atPlug ? [] : leads),
        ...switches,
        labelled(`the meter shows (${unit}${atPlug ? "" : ", or OL"})`, shown),
        ...(atPlug ? [box(volts, typed, "volts")] : []),
        remove,
      );
    };
    what.addEventListener("change", () => {
      show();
      what.lastChild.focus(); // `show` has moved it, which takes the focus away
    });
    row.node.append(fields, row.reply);
    rows.push(row);
    show();
    list.append(row.node);
    renumber();
    return row;
  };
  // The appliance may have changed since a draft was kept.
  const settingOf = (kept = {}) => {
    const at = ({ name, positions, start }) => (positions.includes(kept[name]) ? kept[name] : start);
    return Object.fromEntries(model.get("switches").map((each) => [each.name, at(each)]));
  };
  const blank = () => ({
    kind: rows.at(-1)?.typed.kind ?? "resistance",
    red: "L",
    black: "N",
    unhooked: "",
    setting: settingOf(),
    shown: "",
    volts: "",
  });
  const emptyRow = () => rows.find((row) => row === rows.at(-1) && !row.typed.shown);

  const another = makeButton("Another reading", () => {
    addRow(blank()).node.querySelector("select").focus();
    showTold();
  });
  const told = replyRegion();
  told.classList.add("hcw-conclusion");
  let toldText = "";
  const all = make("div", "hcw-told");
  const takeNext = makeButton("", () => {
    const empty = emptyRow();
    if (empty) drop(empty);
    addRow(structuredClone(model.get("told").test)).shown.focus();
    changed();
    showTold();
  });
  const tryPairs = makeButton("Try two faults together", () => {
    given.pairs = true;
    send();
    given.pairs = false; // the next change asks for single ones again
  });
  const itemsOf = (lines) => make("ul", "", ...lines.map((words) => make("li", "", ...words)));
  const showTold = () => {
    const { said, rows: reasons, folded, test, alone } = model.get("told");
    const text = said.join("\n");
    if (toldText !== text) write(told, text);
    toldText = text;
    takeNext.hidden = !test || rows.some(({ typed }) => sameTest(test, typed));
    setText(takeNext, `Put this test in as reading ${rows.length + (emptyRow() ? 0 : 1)}`);
    tryPairs.hidden = !alone || model.get("given").pairs;
    const lines = reasons.map(([head, words]) => [make("strong", "", head), ` ${words}`]);
    all.replaceChildren(
      ...(lines.length ? [itemsOf(lines)] : []),
      ...folded.map(([head, words]) => {
        const open = make("summary", "", `${head[0].toUpperCase()}${head.slice(1)}`);
        return make("details", "hcw-folded", open, itemsOf(words.map((each) => [each])));
      }),
    );
  };
  const showReplies = () => {
    if (rows.length !== model.get("replies").length) return; // replies to an earlier state
    rows.forEach((row, at) => {
      const { sign, head, lines } = model.get("replies")[at];
      const said = [head, ...lines.map((line) => `- ${line}`)].join("\n");
      if (row.said === said) return; // a screen reader hears only what has changed
      row.said = said;
      write(row.reply, said);
      row.reply.firstChild.prepend(makeSign(sign));
    });
  };

  const meters = Object.entries(given.meters).map(([meter, values]) => {
    const group = makeGroup(meter);
    group.append(fieldRow(...Object.entries(ACCURACY).map(([key, label]) => box(label, values, key))));
    return group;
  });
  const summary = make("summary", "", "Accuracy of your meters (from their leaflets)");
  const accuracy = make("details", "hcw-accuracy", summary, ...meters);
  form.append(list, another, told, takeNext, tryPairs, all, accuracy, reply);

  given.rows.forEach((typed) =>
    addRow({ ...blank(), ...typed, setting: settingOf(typed.setting) }),
  );
  if (!rows.length) addRow({ ...blank(), ...structuredClone(model.get("told").test) });
  return begin(el, { "heard replies": showReplies, "heard told": showTold });
}

export default { render };
