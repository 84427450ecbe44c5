// Draws a prediction.

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

function render({ model, el }) {
  const said = liveRegion();
  let isReply = false;
  const wait = patience(model, () => {
    isReply = false;
    write(said, NO_ANSWER);
  });
  const part = choices(model, newId(), (index) => {
    const turn = model.get("asked") + 1;
    model.set("chosen", index);
    model.set("asked", turn);
    model.save_changes();
    wait.start(turn);
  });
  const form = makeForm("hcq", () => {});
  form.append(part.node, said);

  const showFeedback = () => {
    write(said, model.get("feedback"));
    isReply = Boolean(model.get("feedback"));
    showStale();
  };
  const showStale = () => {
    const now = model.get("options")[model.get("chosen")] ?? "";
    markStale(said, isReply && now !== model.get("answered"), CHOSEN);
  };
  const listeners = listening(model);
  // The same reply twice changes nothing in the model; write it again so that it is announced.
  listeners.on(["change:feedback", "change:heard"], showFeedback);
  listeners.on(["change:answered", "change:chosen"], showStale);
  listeners.on(["change:chosen"], () => part.show());
  showFeedback();
  el.append(form);

  return () => {
    wait.stop();
    listeners.stop();
  };
}

export default { render };
