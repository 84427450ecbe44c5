// Draws the form for a spare part: of which appliance, in place of which part, and what is marked
// on it. The judgement follows as one types.

import { labelled, make, makeSelect, setOptions } from "../page/kit.js";
import { fieldsOf } from "./fields.js";
import { fieldRow, note, typedForm } from "./typed.js";

const NO_PART = ["", "choose one"];

function render({ model, el }) {
  let fields = null;
  let drawn = ""; // the form that the fields were made from
  const { form, reply, given, changed, bind, box, begin } = typedForm(model, {
    title: "A spare part: is it good enough?",
  });
  const names = model.get("appliances");
  const marks = make("div");
  marks.addEventListener("input", () => {
    given.typed = fields.filled();
    changed();
  });

  const named = [["", "another: I type its power"], ...(names ?? []).map((name) => [name, name])];
  const appliance = bind(makeSelect(named), given, "appliance", "hcw-kind");
  const ofAppliance = labelled("appliance", appliance);
  const part = makeSelect([NO_PART]);
  part.addEventListener("input", () => (given.typed = {}));
  const inPlaceOf = labelled("in place of", bind(part, given, "part", ""));
  const volts = box("mains voltage (V)", given, "volts");
  const watts = box("power on its plate (W)", given, "watts");
  const fitted = box("mark of the one fitted (°C)", given, "fitted_C");
  const showChosen = () => {
    ofAppliance.hidden = names === null;
    volts.hidden = watts.hidden = names === null || given.appliance !== "";
    fitted.hidden = volts.hidden || given.part !== "thermal fuse";
    part.disabled = model.get("parts").length === 0;
  };
  [part, appliance].forEach((each) => each.addEventListener("input", showChosen));

  form.append(
    fieldRow(
      ofAppliance, volts, watts, inPlaceOf, fitted,
      box("used on another mains (V)", given, "mains"),
    ),
    note("Fill in what is marked on the spare. Leave out what you do not know."),
    marks, reply,
  );
  return begin(el, {
    parts: () => {
      setOptions(part, [NO_PART, ...model.get("parts").map((name) => [name, name])]);
      part.value = given.part;
      if (part.selectedIndex < 0) part.value = "";
      showChosen();
    },
    "form heard": () => {
      const found = model.get("form");
      const wanted = `${given.part} ${JSON.stringify(found)}`;
      if (wanted === drawn) return;
      drawn = wanted;
      fields = found.fields?.length ? fieldsOf(found, given.typed, "", () => {}) : null;
      marks.replaceChildren(...(fields ? [fields.node] : []));
    },
  });
}

export default { render };
