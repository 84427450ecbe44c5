// Draws one question: a prediction, or a check.

const CHOSEN = "You have chosen something else since.";

function choices(model, name, changed) {
  const group = make("fieldset", "hcq-choices");
  group.append(make("legend", "hcq-question", model.get("question")));
  const inputs = model.get("options").map((option, index) => {
    const label = make("label", "hcq-option");
    const input = make("input");
    input.type = "radio";
    input.name = name;
    input.addEventListener("change", () => changed(index));
    label.append(input, make("span", "", option));
    group.append(label);
    return input;
  });
  const show = () => inputs.forEach((input, index) => (input.checked = index === model.get("chosen")));
  show();
  return { node: group, show };
}

function blank(model, id) {
  const group = make("div", "hcq-blank");
  const question = make("p", "hcq-question", model.get("question"));
  question.id = `${id}-question`;
  const label = make("label", "hcq-label", model.get("label"));
  label.htmlFor = `${id}-input`;
  const input = textBox(`${id}-input`, model.get("typed"));
  input.maxLength = 80;
  input.setAttribute("aria-describedby", question.id);
  group.append(question, label, input);
  return { node: group, input };
}

function render({ model, el }) {
  const id = newId();
  const marks = model.get("marks");
  const isChoice = model.get("options").length > 0;
  const said = liveRegion();
  let isReply = false;
  const wait = patience(model, () => {
    isReply = false;
    write(said, NO_ANSWER);
  });
  const ask = () => {
    const turn = model.get("asked") + 1;
    model.set("asked", turn);
    model.save_changes();
    wait.start(turn);
  };
  const form = makeForm("hcq", () => {
    if (!marks) return;
    if (part.input) model.set("typed", part.input.value);
    ask();
  });

  const part = isChoice
    ? choices(model, id, (index) => {
        model.set("chosen", index);
        if (marks) model.save_changes();
        else ask();
      })
    : blank(model, id);
  form.append(part.node);
  part.input?.addEventListener("input", () => showStale());

  const worked = makeButton("", "Show the worked answer", () => {
    model.set("wanted", model.get("wanted") + 1);
    model.save_changes();
  });
  if (marks) {
    const buttons = make("div", "hcq-buttons");
    buttons.append(makeButton("hcq-main", "Check"), worked);
    if (isChoice) form.append(buttons);
    else part.input.after(buttons);
  }
  form.append(said);

  const showFeedback = () => {
    write(said, model.get("feedback"), model.get("verdict"));
    isReply = Boolean(model.get(marks ? "verdict" : "feedback")); // a worked answer is none
    showStale();
  };
  const showStale = () => {
    const now = isChoice ? (model.get("options")[model.get("chosen")] ?? "") : part.input.value;
    markStale(said, isReply && now !== model.get("answered"), marks ? CHANGED : CHOSEN);
  };
  const showOffer = () => (worked.hidden = !model.get("offered"));
  const listeners = listening(model);
  // The same reply twice changes nothing in the model; write it again so that it is announced.
  listeners.on(["change:feedback", "change:verdict", "change:heard"], showFeedback);
  listeners.on(["change:answered", "change:chosen"], showStale);
  listeners.on(["change:offered"], showOffer);
  listeners.on(["change:chosen"], () => part.show?.());
  showFeedback();
  showOffer();
  el.append(form);

  return () => {
    wait.stop();
    listeners.stop();
  };
}

export default { render };
