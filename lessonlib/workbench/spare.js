// Draws the form for a spare part: of which appliance, in place of which part, and what is marked
// on it. The judgement follows as one types.

import { follow, replyRegion, write } from "../page/exchange.js";
import {
  labelled, make, makeCutOff, makeForm, makeSelect, setOptions, withAttributes,
} from "../page/kit.js";
import { fieldsOf } from "./fields.js";
import { typedForm } from "./typed.js";

const NO_PART = ["", "choose one"];

function render({ model, el }) {
  let fields = null;
  let drawn = ""; // the form that the fields were made from
  const form = makeForm("hck hcw", () => send());
  const reply = replyRegion();
  const { given, send, changed, box, stop } = typedForm(model, reply);
  const number = (key) => box(given, key, "hcw-short");
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
  appliance.classList.add("hcw-kind");
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
  const show = () => write(reply, model.get("reply"), model.get("verdict"));

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
  const shows = { parts: showParts, form: showFields, "heard reply verdict": show };
  Object.values(shows).forEach((each) => each());
  const unfollow = follow(model, shows, el);
  if (given.part && !model.get("heard")) send();
  el.append(form);

  return () => {
    stop();
    unfollow();
  };
}

export default { render };
