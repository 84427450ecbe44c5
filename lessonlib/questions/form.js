// Draws one question: its text, its drawing, the fields that its kind of answer asks for, and what
// Python says. An exercise has buttons, and keeps what is filled in also in the browser, for when a
// kernel dies; a prediction is answered with the choice itself.

import {
  drafts, follow, makeSign, markStale, NO_ANSWER, patience, replyRegion, write,
  writeNoAnswer,
} from "../page/exchange.js";
import {
  isCutOff, keepKeys, make, makeButton, makeCutOff, makeForm, makeNext, newId, setText,
  showDrawing, whenJustRun,
} from "../page/kit.js";
import { FIELDS } from "./fields.js";

const SAVE_MS = 300;
const KEPT = "What you filled in is kept.";
const CHANGED = "You have changed your answer since this reply. Press the button for a new one.";
const CHOSEN = "You have chosen something else since.";
const CLEARS = "New numbers clear your file. Press New numbers again if that is what you want.";
const HINT_NAMES = ["First hint", "Second hint"];
const TURNS = ["asked", "hint_wanted", "wanted", "new_wanted", "live_wanted"];
const LIVE = "IPY_MODEL_"; // what the name of a live picture begins with

function render({ model, el }) {
  const id = newId();
  const atOnce = Boolean(model.get("form").at_once); // a choice is the answer: nothing to press
  const recalls = model.get("form").kind === "recall"; // what is told is no verdict
  const text = make("div", "hcq-text");
  text.id = `${id}-text`;
  const picture = make("div", "hcq-picture");
  const answer = make("div", "hcq-answer");
  const standing = make("p", "hcq-standing");
  const [said, hints, worked] = [replyRegion(), replyRegion(), replyRegion()];

  let saving = 0;
  let sure = false; // that new numbers may clear a file
  let field = null;
  let judges = false; // whether what is said is the reply to an answer
  let replied = model.get("asked");

  const say = (words, verdict = "") => {
    write(said, words, verdict);
    judges = false;
  };
  const wait = patience(model, () => {
    say("");
    writeNoAnswer(said, atOnce ? "" : KEPT);
  });
  const save = () => {
    clearTimeout(saving);
    saving = 0;
    model.save_changes();
  };
  const press = (name) => {
    model.set(name, model.get(name) + 1);
    save();
    wait.start(TURNS.reduce((sum, each) => sum + model.get(each), 0));
  };
  const changed = (given) => {
    if (atOnce && isCutOff(form)) {
      showField(); // nobody would record another choice
      return goOnFirst();
    }
    sure = false;
    model.set("given", given);
    if (atOnce) return press("asked");
    drafts.write(model, given);
    clearTimeout(saving);
    saving = setTimeout(save, SAVE_MS);
  };

  const isEditedFile = () => {
    const { kind, start_text: start } = model.get("form");
    return kind === "file" && ![null, start].includes(model.get("given"));
  };
  const answered = () => {
    if (atOnce) return;
    if (isCutOff(form)) return goOnFirst();
    // the order that is offered, or the file to begin with, may be somebody's answer
    if (model.get("given") === null && field.asItStands) model.set("given", field.asItStands());
    press("asked");
  };
  const hint = makeButton("Hint", () => model.get("hints_left") && press("hint_wanted"));
  const fresh = makeButton("New numbers", () => {
    if (sure || !isEditedFile()) return press("new_wanted");
    sure = true;
    say(CLEARS);
  });
  const show = makeButton("Show the worked answer", () => press("wanted"));
  const live = makeButton("Show the live picture", () => openLive(), "hck-needs-python");
  const check = makeButton(model.get("form").button ?? "Check", null, "hck-main");
  const buttons = make("div", "hck-row hck-needs-python", check, hint, fresh, show);
  const cutOff = makeCutOff();
  const goOnFirst = () => cutOff.querySelector("button").focus();
  const form = makeForm("hck hcq", answered);
  const next = makeNext();
  const below = atOnce ? [said] : [buttons, standing, said, live, hints, worked];
  form.append(text, picture, answer, cutOff, ...below, next);

  const showField = () => {
    try {
      field.show(model.get("given"));
    } catch {
      field.show(null); // kept from an exercise of another form
    }
  };
  const showQuestion = () => {
    sure = false;
    write(text, model.get("text"));
    showDrawing(picture, model.get("picture"));
    picture.hidden = !picture.hasChildNodes();
    const { kind } = model.get("form");
    field = FIELDS[kind](model.get("form"), id, changed);
    answer.replaceChildren(field.node);
    form.classList.toggle("hcq-lines", kind === "file");
    const keeps = !atOnce && model.get("given") === null;
    const kept = keeps ? drafts.read(model) : null;
    if (kept !== null) {
      model.set("given", kept);
      model.save_changes();
    }
    showField();
  };
  const showReply = () => {
    say(model.get("feedback"), model.get("verdict"));
    const told = atOnce ? "feedback" : recalls ? "solved" : "verdict";
    judges = Boolean(model.get(told));
    showStale();
  };
  const showStale = () => {
    const [now, then] = ["given", "answered"].map((name) => JSON.stringify(model.get(name)));
    markStale(said, judges && now !== then, atOnce ? CHOSEN : CHANGED);
  };
  // The same reply twice changes nothing in the model; write it again so that it is announced. A
  // hint leaves the reply as it is, but words about a kernel that did not answer go.
  const showHeard = () => {
    if (replied !== model.get("asked") || said.textContent.startsWith(NO_ANSWER)) {
      showReply();
      said.scrollIntoView({ block: "nearest" });
    }
    replied = model.get("asked");
  };
  const showHints = () => {
    const left = model.get("hints_left");
    const count = model.get("hints").length + left;
    const names = count > 1 ? HINT_NAMES : ["Hint"];
    write(hints, model.get("hints").map((each, i) => `${names[i]}: ${each}`).join("\n"));
    setText(hint, left ? names[count - left] : "No more hints");
    hint.hidden = !count;
    hint.setAttribute("aria-disabled", !left);
  };
  const showStanding = () => {
    standing.hidden = !model.get("standing");
    standing.replaceChildren(make("strong", "", model.get("standing")));
    if (model.get("draws")) standing.append(` · ${model.get("seed_words")}`);
    fresh.hidden = !model.get("draws");
    if (model.get("solved")) {
      standing.prepend(makeSign("right"));
      drafts.write(model, null);
    }
  };
  const showOffer = () => (show.hidden = !model.get("offered"));
  const showWorked = () => {
    const [steps, file] = model.get("worked").split("\nAnswer:\n");
    const isFile = model.get("form").kind === "file" && file !== undefined;
    write(worked, isFile ? `${steps}\nAnswer:` : model.get("worked"));
    if (isFile) worked.append(make("pre", "hcq-given-file", file)); // keeps its lines, to be copied
  };

  // The live picture is a widget of its own, below the form.
  const livePlace = make("div", "hcq-live");
  livePlace.tabIndex = -1;
  keepKeys(livePlace);
  let opened = "";
  const openLive = () => {
    press("live_wanted");
    livePlace.hidden = false;
    livePlace.focus(); // the button goes away
  };
  const showLive = async () => {
    const wanted = model.get("live");
    live.hidden = Boolean(wanted) || !model.get("live_offered");
    livePlace.hidden = !wanted;
    if (wanted === opened) return;
    opened = wanted;
    livePlace.replaceChildren();
    if (!wanted) return;
    const manager = model.widget_manager;
    const view = await manager.create_view(await manager.get_model(wanted.slice(LIVE.length)));
    if (wanted === opened) livePlace.replaceChildren(view.el);
  };

  const showNext = () => {
    const done = atOnce ? ["feedback"] : ["solved", "worked"];
    next.hidden = !done.some((each) => model.get(each));
  };

  const shown = [showQuestion, showReply, showHints, showStanding, showOffer, showWorked, showNext];
  shown.forEach((each) => each());
  showLive();
  const unfollow = follow(model, {
    draft: showQuestion,
    given: showField,
    "given answered": showStale,
    "feedback verdict": showReply,
    heard: showHeard,
    "hints hints_left": showHints,
    "solved standing seed_words": showStanding,
    offered: showOffer,
    worked: showWorked,
    "feedback solved worked": showNext,
    "live live_offered": showLive,
  }, el);
  el.append(form, livePlace);
  whenJustRun(form, () => {
    form.scrollIntoView({ block: "nearest" });
    const begin = answer.querySelector("input:checked") ?? answer.querySelector("input, textarea");
    (begin ?? answer.querySelector("button"))?.focus({ preventScroll: true });
    if (begin?.type === "text") begin.select(); // what is typed now takes the place of an old answer
  });

  return () => {
    if (saving) save(); // what was typed last
    wait.stop();
    unfollow();
  };
}

export default { render };
