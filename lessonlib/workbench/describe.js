// Draws the form of a description: the parts so far, the text of the file, what is wrong with it,
// the drawing, and what else can be shown. Every press goes to Python, which edits the text.

import {
  drafts, follow, NO_ANSWER, patience, replyRegion, write, writeNoAnswer,
} from "../page/exchange.js";
import {
  fileBox, labelled, linkTo, make, makeButton, makeCutOff, makeForm, makeGroup, makeSelect, setOptions,
  setText, showDrawing, textBox, whenJustRun, withAttributes,
} from "../page/kit.js";
import { makeParts } from "./parts.js";
import { ask, note } from "./typed.js";

const TYPING_MS = 350;
const MOST_CHARACTERS = 1_000_000; // no appliance file comes near, a wrong paste does
const KEPT = "Your text is kept here.";
const OLD = "▲ Not up to date: this is of the last description without problems.";
const RESCUED =
  "Your browser kept a text that you had not saved. It differs from the one below.";

function render({ model, el }) {
  let pressed = ""; // what was pressed last
  let typing = 0;
  let typed = false; // whether the last change was typed into the text

  const act = (action) => {
    clearTimeout(typing);
    typing = 0;
    const waits = model.get("heard") !== model.get("asked") && !isLate();
    if (waits && action.do === pressed && pressed !== "type") return; // pressed twice
    pressed = action.do;
    typed = pressed === "type";
    ask(model, wait, { text: area.value, action });
  };

  const bar = (press, ...nodes) => {
    const made = makeForm("hck-row hcw-bar", press);
    made.append(...nodes);
    return made;
  };

  // Start from another appliance.
  const start = makeSelect([]);
  const undo = makeButton("Undo", () => act({ do: "undo" }));
  const redo = makeButton("Redo", () => act({ do: "redo" }));
  const startForm = bar(
    () => act({ do: "start", name: start.value }),
    labelled("Start from", start), makeButton("Open"), undo, redo,
  );
  const opened = replyRegion();

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
  const area = Object.assign(fileBox(12, "hcw-file"), { maxLength: MOST_CHARACTERS });
  const keep = () => drafts.write(model, area.value);
  area.addEventListener("input", () => {
    keep();
    clearTimeout(typing);
    typing = setTimeout(() => act({ do: "type" }), TYPING_MS);
  });
  const standing = make("p", "hcw-standing");
  const remarks = make("ul", "hcw-remarks");
  const problems = make("ol", "hcw-problems");
  const judged = withAttributes(make("div", "", standing, remarks, problems), { role: "status" });
  const textField = labelled("Text of the file: edit it as you like", area);
  textField.firstChild.className = "hcw-head";
  const textForm = makeForm("hcw-text");
  textForm.append(judged, textField);

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
  const unsaved = make("span", "hcw-saved");
  const first = makeButton("Save", null, "hck-main");
  const saveForm = bar(save(false), labelled("Save as", name), first, unsaved, replace);
  const saved = replyRegion();
  const stale = make("p", "hcw-stale");
  const picture = make("div");

  // What can be shown: one at a time, a widget right below this box.
  const lookForm = makeForm("");
  const lookButtons = new Map(
    model.get("looks").map(([look, words]) => [
      look,
      makeButton(words, () => act({ do: "look", name: look })),
    ]),
  );
  const lookBar = makeGroup("Show", "hcw-looks");
  lookBar.append(make("div", "hck-row", ...lookButtons.values()));
  const looked = replyRegion();
  const lookStale = make("p", "hcw-stale", OLD);
  const print = makeButton("Write it as PDF and as a web page", () => act({ do: "paper" }));
  const links = make("p", "hcw-links");
  const shown = make("div", "hcw-shown");
  lookForm.append(lookBar, looked, lookStale, print, links, shown);

  const caution = withAttributes(note(model.get("caution")), { role: "note" });
  const main = make("div", "hcw-main", parts.node, textForm);
  const box = make("div", "hck hcw", makeCutOff(), rescue, caution, startForm, opened, main);
  box.append(stale, picture, saveForm, saved, lookForm);
  // each reply stands where the press was
  const regions = {
    start: opened, undo: opened, redo: opened, save: saved, type: saved, look: looked, paper: looked,
  };
  const replies = [opened, saved, looked, parts.said];
  const say = (text, how = write) => {
    const here = regions[pressed] ?? parts.said;
    replies.forEach((each) => each === here || write(each, ""));
    how(here, text);
  };
  const isLate = () => replies.some((each) => each.textContent.startsWith(NO_ANSWER));
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
  const remarkOf = ({ warning, words }) =>
    make("li", warning ? "hcw-warning" : "", `${warning ? "▲ " : ""}${words}`);
  const problemOf = (problem) => {
    if (problem.words && !typed) return make("li", "", problem.words, " ", parts.opener(problem));
    const lines = ["found", "accepted", "next"].map((key) =>
      make("div", "", make("span", "hcw-key", `${key}: `), problem[key]),
    );
    return make("li", "", make("strong", "", problem.place), ...lines);
  };
  const showProblems = () => {
    const found = model.get("problems");
    const sign = found.length === 0 ? "✓" : model.get("begun") ? "…" : "▲";
    setText(standing, `${sign} ${model.get("standing")}`);
    remarks.replaceChildren(...model.get("remarks").map(remarkOf));
    problems.replaceChildren(...found.map(problemOf));
  };
  const showPicture = () => showDrawing(picture, model.get("picture"));
  const showLook = () => {
    const look = model.get("look");
    for (const [each, button] of lookButtons) {
      button.setAttribute("aria-expanded", each === look);
      button.setAttribute("aria-disabled", each !== look && model.get("problems").length > 0);
    }
    const old = model.get("stale");
    picture.hidden = look === "live";
    picture.classList.toggle("hcw-old", old);
    const none = "The drawing appears once the description has no problems.";
    setText(stale, model.get("picture") ? OLD : none);
    stale.hidden = picture.hidden || (model.get("picture") !== "" && !old);
    lookStale.hidden = !(look && old);
    showDrawing(shown, model.get("shown"));
    const papers = model.get("papers");
    const pressing = print === document.activeElement;
    print.hidden = !model.get("printable").includes(look) || papers.length > 0;
    links.replaceChildren(...papers.flatMap((paper) => [linkTo(paper), " "]));
    if (pressing && print.hidden) links.querySelector("a")?.focus(); // it would be lost
  };
  const showState = () => {
    undo.setAttribute("aria-disabled", !model.get("steps_back"));
    redo.setAttribute("aria-disabled", !model.get("steps_forward"));
    const isOwn = model.get("saved").includes(model.get("begun_from"));
    setText(unsaved, model.get("unsaved") ? "● Not saved yet" : isOwn ? "✓ Saved" : "");
    if (replace === document.activeElement && !model.get("in_the_way")) first.focus();
    replace.hidden = !model.get("in_the_way");
    setText(replace, `Replace ${model.get("in_the_way")} and keep the old one`);
  };
  const showOffered = () => {
    const groups = [["Your own", "saved"], ["Examples", "examples"]].map(([label, names]) => {
      const options = model.get(names).map((each) => make("option", "", each));
      return Object.assign(make("optgroup", "", ...options), { label });
    });
    setOptions(start, [["", "a new appliance"]]);
    start.append(...groups.filter((group) => group.hasChildNodes()));
    start.value = model.get("begun_from");
  };
  const showHeard = () => {
    if (pressed !== "type" || model.get("said") || isLate()) say(model.get("said"));
    parts.showWrong(model.get("wrong"));
    if (!model.get("done")) return;
    parts.done(pressed, model.get("suggested"));
    if (pressed === "look" && model.get("look")) lookBar.scrollIntoView({ block: "nearest" });
    if (model.get("unsaved")) keep();
    else drafts.write(model, null);
    if (["save", "start"].includes(pressed)) nameAgain();
  };
  const showName = () => {
    if (!named || ["undo", "redo"].includes(pressed)) nameAgain();
  };

  const kept = drafts.read(model);
  rescue.hidden = kept === null || kept === model.get("text");
  const showers = {
    text: showText,
    parts: parts.showParts,
    nodes: parts.showNodes,
    "problems standing remarks": showProblems,
    picture: showPicture,
    "stale picture look shown papers problems": showLook,
    "steps_back steps_forward unsaved saved begun_from in_the_way": showState,
    editable: parts.showLock,
    "saved examples begun_from": showOffered,
  };
  Object.values(showers).forEach((each) => each());
  const unfollow = follow(model, { ...showers, save_as: showName, heard: showHeard }, el);
  el.append(box);
  whenJustRun(box, () => start.focus());

  return () => {
    if (typing) act({ do: "type" }); // what was typed last
    wait.stop();
    unfollow();
  };
}

export default { render };
