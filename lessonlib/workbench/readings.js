// Draws the form for readings: a group of fields for each, with its verdict below, and below all of
// them what they say together and the test to do next.

import {
  drafts, follow, makeSign, patience, replyRegion, write, writeNoAnswer,
} from "../page/exchange.js";
import {
  labelled, make, makeButton, makeCutOff, makeForm, makeGroup, makeSelect, setText, textBox,
  withAttributes,
} from "../page/kit.js";

const TYPING_MS = 350;
const MOST_CHARACTERS = 80; // of one number
const KINDS = {
  resistance: "ohms, unplugged",
  diode: "diode range, unplugged",
  power: "watts, energy meter at the plug",
  current: "amperes, energy meter at the plug",
};
const ACCURACY = { percent: "± % of the reading", digits: "± steps of the last digit" };

const PINS = ["L", "N", "PE"];
const NOTHING = "nothing";
const PLACE = ["kind", "red", "black", "unhooked"];

const sameTest = (one, other) =>
  PLACE.every((key) => one[key] === other[key]) &&
  Object.keys(one.setting).every((name) => one.setting[name] === other.setting[name]);
const same = (texts) => texts.map((text) => [text, text]);
const numberBox = (text) => Object.assign(textBox(text), { maxLength: MOST_CHARACTERS });

// A labelled field that keeps what is filled in as `values[key]`.
function bound(label, input, values, key, changed, className = "hcw-short") {
  input.classList.add(className);
  input.addEventListener("input", () => {
    values[key] = input.value;
    changed();
  });
  return labelled(label, input);
}

function render({ model, el }) {
  let typing = 0;
  const form = makeForm("hck hcw", () => send());
  const list = make("div");
  const late = replyRegion();
  const wait = patience(model, () => writeNoAnswer(late));
  const { rows: inModel, meters: usual } = model.get("given");
  const kept = inModel.length ? null : drafts.read(model);
  const meters = structuredClone({ ...usual, ...kept?.meters });
  let rows = []; // { typed, node, reply, remove, said }

  let pairs = false; // whether to try two faults at a time, for the rows as they are
  const given = () => ({ rows: rows.map((row) => row.typed), meters, pairs });
  const send = () => {
    clearTimeout(typing);
    typing = 0;
    const turn = model.get("asked") + 1;
    model.set("given", structuredClone(given()));
    model.set("asked", turn);
    model.save_changes();
    wait.start(turn);
  };
  const changed = () => {
    pairs = false;
    drafts.write(model, given());
    clearTimeout(typing);
    typing = setTimeout(send, TYPING_MS);
  };

  const addRow = (typed) => {
    const node = makeGroup("", "hcw-reading");
    const fields = make("div", "hck-row hcw-fields");
    const reply = replyRegion();
    const shown = numberBox(typed.shown);
    const remove = makeButton("Remove", () => {
      rows = rows.filter((each) => each !== row);
      node.remove();
      number();
      changed();
      another.focus();
    });
    const row = { typed, node, reply, remove, shown };
    const kind = makeSelect(Object.entries(KINDS), typed.kind);
    const what = bound("What", kind, typed, "kind", changed, "hcw-kind");
    const field = (key, label, input) => bound(label, input, typed, key, changed);
    const lead = (key, label, input) => bound(label, input, typed, key, changed, "hcw-point");
    const show = () => {
      const atPlug = !["resistance", "diode"].includes(typed.kind);
      const points = same(model.get("points"));
      const unhooked = makeSelect([["", NOTHING], ...same(model.get("loose"))], typed.unhooked);
      const loose = field("unhooked", "unhooked", unhooked);
      const leads = [
        lead("red", "red lead on", makeSelect(points, typed.red)),
        lead("black", "black lead on", makeSelect(points, typed.black)),
        loose,
      ];
      const showLoose = () => {
        const inside = !PINS.includes(typed.red) || !PINS.includes(typed.black);
        loose.hidden = !inside && !typed.unhooked;
      };
      leads.forEach((each) => each.addEventListener("input", showLoose));
      showLoose();
      const switches = model.get("switches").map(({ name, positions }) => {
        const at = makeSelect(same(positions), typed.setting[name]);
        return bound(`${name} at`, at, typed.setting, name, changed);
      });
      const unit = model.get("units")[typed.kind];
      const label = `the meter shows (${unit}${atPlug ? "" : ", or OL"})`;
      const volts = "volts on the same meter, if it shows them";
      fields.replaceChildren(
        what,
        ...(atPlug ? [] : leads),
        ...switches,
        field("shown", label, shown),
        ...(atPlug ? [field("volts", volts, numberBox(typed.volts))] : []),
        remove,
      );
    };
    kind.addEventListener("change", () => {
      show();
      kind.focus(); // `show` has moved it, which takes the focus away
    });
    node.append(fields, reply);
    rows.push(row);
    show();
    list.append(node);
    number();
    return row;
  };
  const number = () =>
    rows.forEach(({ node, remove }, at) => {
      setText(node.firstChild, `Reading ${at + 1}`);
      remove.setAttribute("aria-label", `Remove reading ${at + 1}`);
    });
  const blank = () => ({
    kind: rows.at(-1)?.typed.kind ?? "resistance",
    red: "L",
    black: "N",
    unhooked: "",
    setting: Object.fromEntries(model.get("switches").map((each) => [each.name, each.start])),
    shown: "",
    volts: "",
  });

  const another = makeButton("Another reading", () => {
    addRow(blank()).node.querySelector("select").focus();
    showTold();
  });
  const told = replyRegion();
  told.classList.add("hcw-conclusion");
  const all = make("div", "hcw-told");
  const takeNext = makeButton("", () => {
    const empty = rows.at(-1);
    if (empty && !empty.typed.shown) {
      rows.pop();
      empty.node.remove();
    }
    addRow(structuredClone(model.get("told").test)).shown.focus();
    changed();
    showTold();
  });
  const tryPairs = makeButton("Try two faults together", () => {
    pairs = true;
    send();
  });
  const showTold = () => {
    const { said, rows: reasons, folded, test, alone } = model.get("told");
    const text = said.join("\n");
    if (told.said !== text) write(told, text);
    told.said = text;
    const ready = test && rows.some(({ typed }) => sameTest(test, typed));
    takeNext.hidden = !test || ready;
    const empty = rows.length && !rows.at(-1).typed.shown;
    setText(takeNext, `Put this test in as reading ${rows.length + (empty ? 0 : 1)}`);
    tryPairs.hidden = !alone || pairs;
    const line = ([head, words]) => make("li", "", make("strong", "", head), ` ${words}`);
    all.replaceChildren(
      ...(reasons.length ? [make("ul", "", ...reasons.map(line))] : []),
      ...folded.map(([head, lines]) => {
        const open = make("summary", "", `${head[0].toUpperCase()}${head.slice(1)}`);
        const items = lines.map((words) => make("li", "", words));
        return make("details", "hcw-folded", open, make("ul", "", ...items));
      }),
    );
  };
  const meterFields = Object.entries(meters).map(([meter, values]) => {
    const boxes = Object.entries(ACCURACY).map(([key, label]) =>
      bound(label, numberBox(values[key]), values, key, changed),
    );
    const group = makeGroup(meter);
    group.append(make("div", "hck-row hcw-fields", ...boxes));
    return group;
  });
  const summary = make("summary", "", "Accuracy of your meters (from their leaflets)");
  const showReplies = () => {
    write(late, "");
    showTold();
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

  form.append(
    make("h3", "", `Your readings: ${model.get("title")}`),
    withAttributes(make("p", "hcw-note", model.get("caution")), { role: "note" }),
    makeCutOff(),
    list,
    another,
    told,
    takeNext,
    tryPairs,
    all,
    make("details", "hcw-accuracy", summary, ...meterFields),
    late,
  );
  (kept?.rows ?? inModel).forEach((typed) => addRow({ ...blank(), ...structuredClone(typed) }));
  if (!rows.length) addRow({ ...blank(), ...structuredClone(model.get("told").test) });
  if (kept) send();
  else showReplies();
  const showProgress = () => {
    const text = model.get("progress");
    if (!text) return;
    wait.start(model.get("asked")); // Python is at work
    write(late, text);
  };
  const follows = { "heard replies told": showReplies, progress: showProgress };
  const unfollow = follow(model, follows, el);
  el.append(form);

  return () => {
    if (typing) send(); // what was typed last
    wait.stop();
    unfollow();
  };
}

export default { render };
