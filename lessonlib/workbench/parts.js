// The list of parts, the fields of the one that is added or changed, and the form that renames a
// point. `act` sends what was pressed to Python.

import { replyRegion, write } from "../page/exchange.js";
import {
  labelled, make, makeButton, makeForm, makeGroup, makeSelect, newId, setOptions, textBox,
  withAttributes,
} from "../page/kit.js";
import { fieldsOf } from "./fields.js";
import { note } from "./typed.js";

const PINS = ["L", "N", "PE"];
const NODES_HINT =
  "L, N and PE are the pins of the plug. Any other name makes a new point; parts that share a " +
  "point are joined there.";
const LOCKED =
  "The text cannot be read at the moment, so nothing can be added or changed here. First correct " +
  "what is listed under the text, or press Undo.";

export function makeParts(model, act) {
  const form = makeForm("", () => open && act({ ...open.action, typed: open.filled() }));
  const list = withAttributes(make("ul", "hcw-parts"), { "aria-label": "Parts so far" });
  const nodes = make("datalist");
  nodes.id = newId();
  const forms = Object.fromEntries(model.get("forms").map((each) => [each.kind, each]));
  const kinds = Object.values(forms).filter((each) => each.kind !== "appliance");
  const kind = makeSelect([["", "choose a kind"], ...kinds.map((each) => [each.kind, each.word])]);
  const panel = make("div");
  const said = replyRegion();
  const locked = note(LOCKED);
  const title = make("h3", "", "Parts");
  form.append(title, list, labelled("Add a part", kind), panel, said, locked, nodes);
  let open = null; // what the fields are for: { action, filled }

  const close = () => {
    open = null;
    panel.replaceChildren();
    kind.value = "";
  };
  const cancel = () => {
    close();
    kind.focus();
  };
  const show = (action, wanted, values, heading, words) => {
    const { hint } = forms[wanted];
    const suggest = (key) => act({ do: "suggest", kind: wanted, key, typed: open.filled() });
    const { node, ...fields } = fieldsOf(forms[wanted], values, nodes.id, suggest);
    const group = makeGroup(heading, "hcw-open");
    if (hint) group.append(note(hint));
    const needs = forms[wanted].fields.some((field) => field.required && field.type === "number");
    group.append(node);
    if (node.querySelector("[list]")) group.append(note(NODES_HINT));
    if (needs) group.append(note("* is needed"));
    const press = makeButton(words, null, "hck-main");
    group.append(make("div", "hck-row", press, makeButton("Cancel", cancel)));
    panel.replaceChildren(group);
    write(said, "");
    open = { action, ...fields };
  };
  kind.addEventListener("change", () => {
    const wanted = kind.value;
    if (!wanted) return close();
    const values = model.get("begins")[wanted] ?? {};
    show({ do: "add", kind: wanted }, wanted, values, `New ${forms[wanted].word}`, "Add");
  });
  const change = (part, called) => {
    kind.value = "";
    show({ do: "change", name: part.name }, part.kind, part.values, `Change ${called}`, "Apply");
    panel.querySelector("input, select").focus();
  };

  const rowOf = (part) => {
    const isTable = part.name === part.kind; // the whole appliance or its vessel, not a part
    const called = isTable ? part.word : part.name;
    const button = (words, press) => {
      const made = withAttributes(makeButton(words, press), { "aria-label": `${words} ${called}` });
      made.dataset.part = `${words} ${part.name}`;
      return made;
    };
    const buttons = [button("Change", () => change(part, called))];
    if (!isTable) buttons.push(button("Remove", () => act({ do: "remove", name: part.name })));
    const kind = isTable ? "" : ` ${part.word}`;
    const words = make("div", "", part.words);
    const what = make("div", "hcw-what", make("strong", "", called), kind, words);
    return make("li", "hck-row hcw-part", what, make("div", "hck-row", ...buttons));
  };
  const showParts = () => {
    const focused = document.activeElement?.dataset?.part;
    list.replaceChildren(...model.get("parts").map(rowOf));
    const again = [...list.querySelectorAll("button")].find((one) => one.dataset.part === focused);
    if (focused) (again ?? kind).focus();
  };

  const point = makeSelect([]);
  const newName = textBox("", "hcw-short");
  point.classList.add("hcw-short");
  const pointForm = makeForm("hck-row hcw-bar", () =>
    act({ do: "point", name: point.value, new_name: newName.value }),
  );
  const boxes = [labelled("Rename point", point), labelled("to", newName)];
  pointForm.append(...boxes, makeButton("Rename"));
  const showNodes = () => {
    const all = model.get("nodes");
    nodes.replaceChildren(...all.map((node) => Object.assign(make("option"), { value: node })));
    const mine = all.filter((node) => !PINS.includes(node));
    const chosen = point.value;
    setOptions(point, mine.map((node) => [node, node]));
    if (mine.includes(chosen)) point.value = chosen;
    pointForm.hidden = !mine.length;
  };

  return {
    node: make("div", "", form, pointForm),
    said,
    // a button that opens the field that a problem is about
    opener({ part: name, key, at }) {
      const part = model.get("parts").find((each) => each.name === name);
      if (!part) return "";
      const called = part.name === part.kind ? part.word : part.name;
      const press = () => {
        change(part, called);
        open.showWrong({ [key]: at });
      };
      return makeButton(`Change ${called}`, press, "hcw-opener");
    },
    // what is wrong, at the fields; the first of them gets the focus
    showWrong(wrong) {
      open?.showWrong(wrong);
    },
    showParts,
    showNodes,
    showLock() {
      form.classList.toggle("hcw-locked", !model.get("editable"));
      locked.hidden = model.get("editable");
    },
    // a step was taken: clear its fields, or fill in what is proposed
    done(step, suggested) {
      if (step === "suggest") open?.fill(suggested.key, suggested.typed);
      if (step === "point") newName.value = "";
      if (!["add", "change"].includes(step)) return;
      if (panel.contains(document.activeElement)) cancel();
      else close();
    },
  };
}
