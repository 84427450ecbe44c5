// Draws the form of a description: the parts so far, the text of the file, what is wrong with it,
// and the drawing. Every press goes to Python, which edits the text.

import {
  drafts, follow, NO_ANSWER, patience, replyRegion, write, writeNoAnswer,
} from "../page/exchange.js";
import {
  fileBox, labelled, make, makeButton, makeCutOff, makeForm, makeSelect, setOptions, setText,
  showDrawing, textBox, withAttributes,
} from "../page/kit.js";
import { makeParts } from "./parts.js";

const TYPING_MS = 350;
const MOST_CHARACTERS = 1_000_000; // no appliance file comes near, a wrong paste does
const KEPT = "Your text is kept here.";
const STEPS = ["add", "change", "remove", "point"]; // their reply stands beside the fields
const RESCUED =
  "Your browser kept a text that you had not saved. It differs from the one below.";

function render({ model, el }) {
  let pressed = ""; // what was pressed last
  let typing = 0;

  const act = (action) => {
    clearTimeout(typing);
    typing = 0;
    if (area.value.length > MOST_CHARACTERS) {
      say(`That is ${area.value.length} characters; the most is ${MOST_CHARACTERS}.`);
      return;
    }
    pressed = action.do;
    const turn = model.get("asked") + 1;
    model.set("text", area.value.toWellFormed?.() ?? area.value); // half a character cannot be sent
    model.set("action", action);
    model.set("asked", turn);
    model.save_changes();
    wait.start(turn);
  };

  // Start from another appliance.
  const start = makeSelect([]);
  const undo = makeButton("Undo", () => act({ do: "undo" }));
  const redo = makeButton("Redo", () => act({ do: "redo" }));
  const startForm = makeForm("hck-row hcw-bar", () => act({ do: "start", name: start.value }));
  startForm.append(labelled("Start from", start), makeButton("Open"), undo, redo);

  // What the browser kept when the page was closed or the kernel stopped.
  const rescue = makeForm("hcw-rescue");
  const restore = () => {
    area.value = drafts.read(model) ?? area.value;
    rescue.hidden = true;
    act({ do: "type" });
  };
  const discard = () => {
    rescue.hidden = true;
    keep();
  };
  const yes = makeButton("Restore it", restore, "hck-main");
  const no = makeButton("Discard it", discard);
  rescue.append(make("p", "", RESCUED), make("div", "hck-row", yes, no));

  const parts = makeParts(model, act);

  // The text.
  const area = fileBox(16, "hcw-file");
  const keep = () => drafts.write(model, area.value);
  area.addEventListener("input", () => {
    keep();
    clearTimeout(typing);
    typing = setTimeout(() => act({ do: "type" }), TYPING_MS);
  });
  const standing = make("p", "hcw-standing");
  const findings = make("ul", "hcw-findings");
  const problems = make("ol", "hcw-problems");
  const judged = withAttributes(make("div", "", standing, findings, problems), { role: "status" });
  const textField = labelled("Text of the file: edit it as you like", area);
  textField.firstChild.className = "hcw-head";
  const textForm = makeForm("");
  textForm.append(textField, judged);

  // Save, and look. The name follows the appliance until somebody types one.
  const name = textBox(model.get("save_as"));
  let named = false;
  const save = (replaces) => () => act({ do: "save", name: name.value, replace: replaces });
  const replace = makeButton("", save(true));
  name.addEventListener("input", () => {
    named = true;
    replace.hidden = true;
  });
  const nameAgain = () => {
    named = false;
    name.value = model.get("save_as");
  };
  const unsaved = make("span", "hcw-note");
  const saveForm = makeForm("hck-row hcw-bar", save(false));
  const first = makeButton("Save", null, "hck-main");
  saveForm.append(labelled("Save as", name), first, replace, unsaved);
  const live = makeButton("", () => act({ do: "live" }));
  const lookForm = makeForm("hck-row hcw-bar");
  lookForm.append(live);
  const said = replyRegion();
  const stale = make("p", "hcw-stale");
  const picture = make("div");

  const main = make("div", "hcw-main", parts.node, make("div", "", textForm, picture));
  const bars = make("div", "hck-row hcw-bars", saveForm, lookForm);
  const box = make("div", "hck hcw", makeCutOff(), rescue, startForm, main, bars, said);
  const say = (text, how = write) => {
    const [here, elsewhere] = STEPS.includes(pressed) ? [parts.said, said] : [said, parts.said];
    how(here, text);
    write(elsewhere, "");
  };
  const wait = patience(model, () => say(KEPT, writeNoAnswer));

  const showText = () => {
    const text = model.get("text");
    if (typing || area.value === text) return;
    let same = 0;
    while (same < text.length && text[same] === area.value[same]) same += 1;
    area.value = text;
    // bring what has changed into view
    const line = text.slice(0, same).split("\n").length - 4;
    area.scrollTop = Math.max(0, line) * parseFloat(getComputedStyle(area).lineHeight || "20");
  };
  const findingOf = ({ warning, words }) =>
    make("li", warning ? "hcw-warning" : "", `${warning ? "▲ " : ""}${words}`);
  const problemOf = (problem) => {
    const lines = ["found", "accepted", "next"].map((key) =>
      make("div", "", make("span", "hcw-key", `${key}: `), problem[key]),
    );
    return make("li", "", make("strong", "", problem.place), ...lines);
  };
  const showProblems = () => {
    const found = model.get("problems");
    setText(standing, `${found.length ? "▲" : "✓"} ${model.get("standing")}`);
    findings.replaceChildren(...model.get("findings").map(findingOf));
    problems.replaceChildren(...found.map(problemOf));
  };
  const showPicture = () => showDrawing(picture, model.get("picture"));
  const showLook = () => {
    const isLive = model.get("live");
    picture.hidden = isLive;
    setText(live, isLive ? "Show the plain drawing" : "Show the live panel");
    live.setAttribute("aria-disabled", !isLive && model.get("problems").length > 0);
    const what = isLive ? "panel" : "drawing";
    const words = model.get("picture")
      ? `▲ Not up to date: the ${what} shows the last text without problems.`
      : "The drawing appears once the text has no problems.";
    setText(stale, words);
    stale.hidden = !model.get("stale") && model.get("picture") !== "";
    picture.classList.toggle("hcw-old", model.get("stale"));
    if (isLive) box.append(stale); // the panel is below
    else picture.before(stale);
  };
  const showState = () => {
    undo.setAttribute("aria-disabled", !model.get("steps_back"));
    redo.setAttribute("aria-disabled", !model.get("steps_forward"));
    setText(unsaved, model.get("unsaved") ? "Not saved yet." : "");
    replace.hidden = !model.get("in_the_way");
    setText(replace, `Replace ${model.get("in_the_way")} and keep the old one`);
  };
  const showOffered = () => {
    const names = model.get("offered").map((each) => [each, each]);
    setOptions(start, [["", "a new appliance"], ...names]);
    start.value = model.get("begun_from");
  };
  const showHeard = () => {
    if (pressed !== "type" || said.textContent.startsWith(NO_ANSWER)) say(model.get("said"));
    if (!model.get("done")) return;
    parts.done(pressed);
    if (model.get("unsaved")) keep();
    else drafts.write(model, null);
    if (["save", "start"].includes(pressed)) nameAgain();
  };
  const showName = () => {
    if (!named || ["undo", "redo"].includes(pressed)) nameAgain();
  };

  const kept = drafts.read(model);
  rescue.hidden = kept === null || kept === model.get("text");
  const shown = {
    text: showText,
    parts: parts.showParts,
    nodes: parts.showNodes,
    "problems standing findings": showProblems,
    picture: showPicture,
    "stale picture live problems": showLook,
    "steps_back steps_forward unsaved in_the_way": showState,
    editable: parts.showLock,
    "offered begun_from": showOffered,
  };
  Object.values(shown).forEach((each) => each());
  const unfollow = follow(model, { ...shown, save_as: showName, heard: showHeard }, el);
  el.append(box);

  return () => {
    if (typing) act({ do: "type" }); // what was typed last
    wait.stop();
    unfollow();
  };
}

export default { render };
