// Draws the form for rewiring on paper: the parts one has, the powers one wants, and the wirings
// found. A search goes on for as long as this asks for more.

import { drafts, follow, patience, replyRegion, write, writeNoAnswer } from "../page/exchange.js";
import {
  labelled, make, makeButton, makeCutOff, makeForm, makeGroup, makeOption, makeSelect, setText,
  showDrawing, textBox, withAttributes,
} from "../page/kit.js";

const MOST_CHARACTERS = 60; // of one field

function render({ model, el }) {
  const given = structuredClone(drafts.read(model) ?? model.get("given"));
  const form = makeForm("hck hcw", () => !model.get("running") && send("begin"));
  const reply = replyRegion();
  const found = make("div", "hcw-shown hcw-rewired");
  const wait = patience(model, () => {
    written = "";
    writeNoAnswer(reply);
  });
  let written = ""; // the reply shown, which is said again only when it changes
  let stopping = false;

  const send = (act) => {
    const turn = model.get("asked") + 1;
    model.set("given", structuredClone(given));
    model.set("act", act);
    model.set("asked", turn);
    model.save_changes();
    wait.start(turn);
  };
  const keep = (values, key, value) => {
    values[key] = value;
    drafts.write(model, given);
  };
  const box = (label, values, key) => {
    const input = Object.assign(textBox(values[key] ?? ""), { maxLength: MOST_CHARACTERS });
    input.classList.add("hcw-short");
    input.addEventListener("input", () => keep(values, key, input.value));
    return labelled(label, input);
  };
  const tick = (label, key) => {
    const { node, input } = makeOption("checkbox", label, (on) => keep(given, key, on));
    input.checked = given[key];
    return node;
  };
  const boxes = (label, values, most) =>
    [...Array(most).keys()].map((at) => box(`${label} ${at + 1}`, values, at));
  const row = (...nodes) => make("div", "hck-row hcw-fields", ...nodes);
  const note = (words) => make("p", "hcw-note", words);

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
      row(...boxes("element", given.elements, model.get("most_parts"))),
      note("In watts, as 1000 W or 1000 W at 240 V, or in ohms, as 52.9 Ω."),
      row(box("mains voltage (V)", given, "volts"), box("thermal fuse (°C)", given, "fuse")),
      row(tick("a diode", "diode"), tick("the plug goes in either way", "either")),
    );
  }
  const wanted = makeGroup("What the switch should do");
  const time = makeSelect(model.get("times"), given.time);
  time.addEventListener("change", () => keep(given, "time", time.value));
  wanted.append(
    row(...boxes("position", given.wanted, model.get("most_positions"))),
    note(
      "Watts, as 750 W; with a name, as eco: 300 W; or a word: off, low and high (the weakest and " +
        "the strongest element alone), medium, both or all.",
    ),
    row(box("tolerance (%)", given, "tolerance"), labelled("it may take", time)),
  );

  const start = makeButton("Search", null, "hck-main");
  const stop = makeButton("Stop", () => (stopping = true));
  const bar = withAttributes(make("progress"), { max: 1, "aria-label": "Progress of the search" });
  const far = make("span", "hcw-note");
  const draw = () => showDrawing(found, model.get("page"));
  const show = () => {
    const running = model.get("running");
    if (written !== model.get("reply")) write(reply, (written = model.get("reply")));
    bar.value = model.get("share");
    setText(far, model.get("progress"));
    if (!running && stop === document.activeElement) start.focus(); // before it is hidden
    bar.hidden = stop.hidden = !running;
    start.setAttribute("aria-disabled", String(running));
  };
  const heard = () => {
    show();
    if (!model.get("running") || model.get("heard") !== model.get("asked")) return;
    send(stopping ? "stop" : "on");
    stopping = false;
  };

  form.append(
    make("h4", "", "Rewiring on paper: which wirings give these powers?"),
    withAttributes(
      make("p", "", make("strong", "", model.get("on_paper")), ` ${model.get("caution")}`),
      { role: "note" },
    ),
    makeCutOff(), parts, wanted, make("div", "hck-row hcw-go", start, stop, bar, far), reply, found,
  );
  const unfollow = follow(model, { heard, reply: show, page: draw }, el);
  show();
  draw();
  el.append(form);
  return () => {
    wait.stop();
    unfollow();
  };
}

export default { render };
