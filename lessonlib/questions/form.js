// Draws one exercise: its text, its drawing, the fields that its kind of answer asks for, and what
// Python says. What is filled in is kept in the model, and in the browser for when a kernel dies.

const MOST_CHARACTERS = 100_000; // of one answer: no circuit file comes near, a wrong paste does
const SAVE_MS = 300;
const KEPT = "What you filled in is kept.";
const HINT_NAMES = ["First hint", "Second hint"];
// of a question with one hint, that is simply the hint
const hintNames = (count) => (count > 1 ? HINT_NAMES : ["Hint"]);
const TURNS = ["asked", "hint_wanted", "wanted", "new_wanted"];

function render({ model, el }) {
  const id = newId();
  const text = make("div", "hcx-text");
  text.id = `${id}-text`;
  const picture = make("div", "hcx-picture");
  const answer = make("div", "hcx-answer");
  const standing = make("p", "hcx-standing");
  const said = liveRegion();
  const hints = liveRegion();
  const worked = liveRegion();

  const turn = () => TURNS.reduce((sum, name) => sum + model.get(name), 0);
  const wait = patience(model, () => write(said, `${NO_ANSWER} ${KEPT}`));
  let saving = 0;
  let tooLong = 0;
  let sure = false; // that new numbers may clear a file
  let field = null;
  let replied = model.get("asked");

  const changed = (given) => {
    sure = false;
    const size = JSON.stringify(given).length;
    const was = tooLong;
    tooLong = size > MOST_CHARACTERS ? size : 0;
    if (tooLong) return sayTooLong();
    if (was) showFeedback();
    model.set("given", given);
    drafts.write(model.get("draft"), given);
    clearTimeout(saving);
    saving = setTimeout(save, SAVE_MS);
  };
  const sayTooLong = () =>
    write(
      said,
      `That is ${tooLong} characters long, and at most ${MOST_CHARACTERS} are read. ` +
        "Nothing was sent. Shorten it, then press Check.",
    );
  const save = () => {
    clearTimeout(saving);
    saving = 0;
    model.save_changes();
  };
  const press = (name) => {
    model.set(name, model.get(name) + 1);
    save();
    wait.start(turn());
  };

  const isEditedFile = () => {
    const { kind, start_text: start } = model.get("form");
    return kind === "file" && ![null, start].includes(model.get("given"));
  };
  const form = makeForm("hcq hcx", () => {
    if (tooLong) return sayTooLong();
    // the order that is offered, or the file to begin with, may be somebody's answer
    if (model.get("given") === null && field.asItStands) model.set("given", field.asItStands());
    press("asked");
  });
  const hint = makeButton("", "Hint", () => {
    if (model.get("hints_left")) press("hint_wanted");
  });
  const fresh = makeButton("", "New numbers", () => {
    if (isEditedFile() && !sure) {
      sure = true;
      write(said, "New numbers clear your file. Press New numbers again if that is what you want.");
    } else press("new_wanted");
  });
  const show = makeButton("", "Show the worked answer", () => press("wanted"));
  const buttons = make("div", "hcq-buttons");
  buttons.append(makeButton("hcq-main", "Check"), hint, fresh, show);
  form.append(text, picture, answer, buttons, standing, said, hints, worked);

  const showField = () => {
    try {
      field.show(model.get("given"));
    } catch {
      field.show(null); // kept from an exercise of another form
    }
  };
  const showExercise = () => {
    tooLong = 0;
    sure = false;
    write(text, model.get("text"));
    const drawn = new DOMParser().parseFromString(model.get("picture"), "text/html");
    picture.replaceChildren(...drawn.body.childNodes);
    picture.hidden = !picture.hasChildNodes();
    field = FIELDS[model.get("form").kind](model.get("form"), id, changed);
    answer.replaceChildren(field.node);
    form.classList.toggle("hcx-lines", model.get("form").kind === "file");
    const kept = model.get("given") === null ? drafts.read(model.get("draft")) : null;
    if (kept !== null) {
      model.set("given", kept);
      model.save_changes();
    }
    showField();
  };
  const showFeedback = () => {
    write(said, model.get("feedback"), model.get("verdict"));
    showStale();
  };
  const showStale = () => {
    const [now, then] = ["given", "answered"].map((name) => JSON.stringify(model.get(name)));
    markStale(said, Boolean(said.dataset.verdict) && now !== then, CHANGED);
  };
  // The same reply twice changes nothing in the model; write it again so that it is announced. A
  // hint leaves the reply as it is, but words about a kernel that did not answer go.
  const showHeard = () => {
    if (replied !== model.get("asked") || said.textContent.startsWith(NO_ANSWER)) showFeedback();
    replied = model.get("asked");
  };
  const showHints = () => {
    const left = model.get("hints_left");
    const count = model.get("hints").length + left;
    const names = hintNames(count);
    write(hints, model.get("hints").map((each, i) => `${names[i]}: ${each}`).join("\n"));
    hint.textContent = left ? names[count - left] : "No more hints";
    hint.hidden = !count;
    hint.setAttribute("aria-disabled", String(!left));
  };
  const showStanding = () => {
    const solved = model.get("solved");
    standing.replaceChildren(make("strong", "hcx-tries", model.get("standing")));
    if (model.get("draws")) standing.append(make("span", "", ` · ${model.get("seed_words")}`));
    fresh.hidden = !model.get("draws");
    form.classList.toggle("hcx-solved", solved);
    if (solved) {
      standing.prepend(makeSign(SIGNS.right));
      drafts.write(model.get("draft"), null);
    }
  };
  const showOffer = () => (show.hidden = !model.get("offered"));
  const showWorked = () => {
    const [steps, file] = model.get("worked").split("\nAnswer:\n");
    const isFile = model.get("form").kind === "file" && file !== undefined;
    write(worked, isFile ? `${steps}\nAnswer:` : model.get("worked"));
    if (isFile) worked.append(make("pre", "hcx-given-file", file)); // keeps its lines, to be copied
  };

  showExercise();
  showFeedback();
  showHints();
  showStanding();
  showOffer();
  showWorked();
  const listeners = listening(model);
  listeners.on(["change:draft"], showExercise);
  listeners.on(["change:given"], showField);
  listeners.on(["change:given", "change:answered"], showStale);
  listeners.on(["change:feedback", "change:verdict"], showFeedback);
  listeners.on(["change:heard"], showHeard);
  listeners.on(["change:hints", "change:hints_left"], showHints);
  listeners.on(["change:solved", "change:standing", "change:seed_words"], showStanding);
  listeners.on(["change:offered"], showOffer);
  listeners.on(["change:worked"], showWorked);
  el.append(form);

  return () => {
    if (saving) save(); // what was typed last
    wait.stop();
    listeners.stop();
  };
}

export default { render };
