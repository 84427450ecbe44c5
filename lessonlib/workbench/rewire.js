// Draws the form for rewiring on paper: the parts one has, the powers one wants, and the wirings
// found. A search goes on for as long as this asks for more.

import {
  labelled, make, makeButton, makeGroup, makeOption, makeSelect, setText, showDrawing,
  withAttributes,
} from "../page/kit.js";
import { fieldRow, note, typedForm } from "./typed.js";

function render({ model, el }) {
  let stopping = false;
  const act = (what) => {
    model.set("act", what);
    send();
  };
  const { form, reply, given, send, changed, bind, box, begin } = typedForm(model, {
    title: "Rewiring on paper: which wirings give these powers?",
    warning: model.get("on_paper"),
    submit: () => !model.get("running") && act("begin"),
  });
  const found = make("div", "hcw-shown hcw-rewired");

  const tick = (label, key) => {
    const { node, input } = makeOption("checkbox", label, (on) => {
      given[key] = on;
      changed();
    });
    input.checked = given[key];
    return node;
  };
  const boxes = (label, values, most) =>
    [...Array(most).keys()].map((at) => box(`${label} ${at + 1}`, values, at));

  const parts = makeGroup("What you have");
  if (model.get("parts")) {
    parts.append(
      note(
        `The elements of “${model.get("parts")}”, its diode if it has one, and its thermal fuses, ` +
          "thermostats and pressure switches, which then stand in the line.",
      ),
    );
  } else {
    parts.append(
      fieldRow(...boxes("element", given.elements, model.get("most_parts"))),
      note("In watts, as 1000 W or 1000 W at 240 V, or in ohms, as 52.9 Ω."),
      fieldRow(box("mains voltage (V)", given, "volts"), box("thermal fuse (°C)", given, "fuse")),
      fieldRow(tick("a diode", "diode"), tick("the plug goes in either way", "either")),
    );
  }
  const wanted = makeGroup("What the switch should do");
  const time = bind(makeSelect(model.get("times")), given, "time", "");
  wanted.append(
    fieldRow(...boxes("position", given.wanted, model.get("most_positions"))),
    note(
      "Watts, as 750 W; with a name, as eco: 300 W; or a word: off, low and high (the weakest and " +
        "the strongest element alone), medium, both or all.",
    ),
    fieldRow(box("tolerance (%)", given, "tolerance"), labelled("it may take", time)),
  );

  const start = makeButton("Search", null, "hck-main");
  const stop = makeButton("Stop", () => (stopping = true));
  const bar = withAttributes(make("progress"), { max: 1, "aria-label": "Progress of the search" });
  const far = make("span", "hcw-note");
  const showProgress = () => {
    const running = model.get("running");
    bar.value = model.get("share");
    setText(far, model.get("progress"));
    if (!running && stop === document.activeElement) start.focus(); // before it is hidden
    bar.hidden = stop.hidden = !running;
    start.setAttribute("aria-disabled", String(running));
  };
  const goOn = () => {
    if (!model.get("running") || model.get("heard") !== model.get("asked")) return;
    act(stopping ? "stop" : "on");
    stopping = false;
  };

  form.append(parts, wanted, make("div", "hck-row hcw-go", start, stop, bar, far), reply, found);
  return begin(el, {
    "running share progress": showProgress,
    page: () => showDrawing(found, model.get("page")),
    heard: goOn,
  });
}

export default { render };
