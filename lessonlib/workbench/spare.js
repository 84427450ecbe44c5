// Draws the form for a spare part: of which appliance, in place of which part, and what is marked
// on it. The judgement follows as one types.

import { drafts, follow, patience, replyRegion, write, writeNoAnswer } from "../page/exchange.js";
import {
  labelled, make, makeCutOff, makeForm, makeSelect, setOptions, textBox, withAttributes,
} from "../page/kit.js";
import { fieldsOf } from "./fields.js";

const TYPING_MS = 350;
const MOST_CHARACTERS = 40; // of one number
const NO_PART = ["", "choose one"];

function render({ model, el }) {
  let typing = 0;
  let fields = null;
  let drawn = ""; // the form that the fields were made from
  const given = structuredClone(drafts.read(model) ?? model.get("given"));
  const form = makeForm("hck hcw", () => send());
  const reply = replyRegion();
  const wait = patience(model, () => writeNoAnswer(reply));

  const send = () => {
    clearTimeout(typing);
    typing = 0;
    const turn = model.get("asked") + 1;
    model.set("given", structuredClone(given));
    model.set("asked", turn);
    model.save_changes();
    wait.start(turn);
  };
  const changed = () => {
    drafts.write(model, given);
    clearTimeout(typing);
    typing = setTimeout(send, TYPING_MS);
  };
  const number = (key) => {
    const input = Object.assign(textBox(given[key]), { maxLength: MOST_CHARACTERS });
    input.classList.add("hcw-short");
    input.addEventListener("input", () => {
      given[key] = input.value;
      changed();
    });
    return input;
  };
  const choice = (key, options) => {
    const select = makeSelect(options, given[key]);
    select.addEventListener("change", () => {
      given[key] = select.value;
      if (key === "part") given.typed = {};
      changed();
      showChosen();
    });
    return select;
  };

  const names = model.get("appliances");
  const own = ["", "another: I type its power"];
  const appliance = choice("appliance", [own, ...(names ?? []).map((name) => [name, name])]);
  const part = choice("part", [NO_PART]);
  const ofAppliance = labelled("appliance", appliance);
  const volts = labelled("mains voltage (V)", number("volts"));
  const watts = labelled("power on its plate (W)", number("watts"));
  const fitted = labelled("mark of the one fitted (°C)", number("fitted_C"));
  const mains = labelled("used on another mains (V)", number("mains"));
  const marks = make("div");
  const showChosen = () => {
    ofAppliance.hidden = names === null;
    volts.hidden = watts.hidden = names === null || given.appliance !== "";
    fitted.hidden = volts.hidden || given.part !== "thermal fuse";
    part.disabled = model.get("parts").length === 0;
  };

  const showParts = () => {
    setOptions(part, [NO_PART, ...model.get("parts").map((name) => [name, name])]);
    part.value = given.part;
    if (part.selectedIndex < 0) part.value = "";
    showChosen();
  };
  const showFields = () => {
    const found = model.get("form");
    const named = `${given.part} ${JSON.stringify(found)}`;
    if (named === drawn) return;
    drawn = named;
    fields = found.fields?.length ? fieldsOf(found, given.typed, "", () => {}) : null;
    marks.replaceChildren(...(fields ? [fields.node] : []));
  };
  marks.addEventListener("input", () => {
    given.typed = fields.filled();
    changed();
  });
  const show = () => {
    const wrong = Object.entries(model.get("wrong")).map(([key, words]) => `- ${key}: ${words}`);
    write(reply, [...wrong, model.get("reply")].join("\n"), model.get("verdict"));
  };

  form.append(
    make("h4", "", "A spare part: is it good enough?"),
    withAttributes(make("p", "hcw-note", model.get("caution")), { role: "note" }),
    makeCutOff(),
    make(
      "div", "hck-row hcw-fields",
      ofAppliance, volts, watts, labelled("in place of", part), fitted, mains,
    ),
    make("p", "hcw-note", "Fill in what is marked on the spare. Leave out what you do not know."),
    marks, reply,
  );
  const shows = { parts: showParts, form: showFields, "heard reply verdict wrong": show };
  Object.values(shows).forEach((each) => each());
  const unfollow = follow(model, shows, el);
  if (given.part && !model.get("heard")) send();
  el.append(form);

  return () => {
    if (typing) send(); // what was typed last
    wait.stop();
    unfollow();
  };
}

export default { render };
