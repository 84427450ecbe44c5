// Draws one question. Every text goes in as text, never as markup. The live region stays in place
// while its content changes, so that a screen reader announces each reply.

const PATIENCE_MS = 5000;
const NO_ANSWER =
  "Python has not answered yet. If the kernel is stopped, run this cell again and then answer.";

let serial = 0;

function make(tag, className, text) {
  const node = document.createElement(tag);
  if (className) node.className = className;
  if (text !== undefined) node.textContent = text;
  return node;
}

// Lines are paragraphs; lines that start with "- " are items of a list.
function write(region, text) {
  region.replaceChildren();
  let list = null;
  for (const line of text.split("\n")) {
    if (line.startsWith("- ")) {
      list ??= region.appendChild(make("ul"));
      list.append(make("li", "", line.slice(2)));
    } else if (line.trim()) {
      list = null;
      region.append(make("p", "", line));
    }
  }
  region.classList.toggle("hcq-empty", !region.hasChildNodes());
}

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
  const input = make("input", "hcq-input");
  input.id = `${id}-input`;
  input.type = "text";
  input.autocomplete = "off";
  input.spellcheck = false;
  input.maxLength = 80;
  input.value = model.get("typed");
  input.setAttribute("aria-describedby", question.id);
  group.append(question, label, input);
  return { node: group, input };
}

function render({ model, el }) {
  const id = `hcq-${++serial}-${Math.random().toString(36).slice(2, 8)}`;
  const form = make("form", "hcq");
  form.noValidate = true;
  // Keys belong to the question while it has the focus: in a notebook, arrow keys would otherwise
  // move to another cell and Enter would edit this one.
  form.dataset.lmSuppressShortcuts = "true";
  form.addEventListener("keydown", (event) => {
    if (event.key === "Tab" || event.key === "Escape") return;
    event.stopPropagation();
    if (event.key === "Enter" && event.target.type === "text") {
      event.preventDefault();
      form.requestSubmit();
    }
  });
  const said = make("div", "hcq-feedback hcq-empty");
  said.setAttribute("role", "status");
  said.setAttribute("aria-live", "polite");

  let waiting = 0;
  const ask = () => {
    const turn = model.get("asked") + 1;
    model.set("asked", turn);
    model.save_changes();
    clearTimeout(waiting);
    waiting = setTimeout(() => {
      if (model.get("heard") !== turn) write(said, NO_ANSWER);
    }, PATIENCE_MS);
  };

  const marks = model.get("marks");
  const isChoice = model.get("options").length > 0;
  const part = isChoice
    ? choices(model, id, (index) => {
        model.set("chosen", index);
        if (marks) model.save_changes();
        else ask();
      })
    : blank(model, id);
  form.append(part.node);

  const buttons = make("div", "hcq-buttons");
  const worked = make("button", "hcq-button", "Show the worked answer");
  if (marks) {
    const send = make("button", "hcq-button hcq-main", "Check");
    send.type = "submit";
    worked.type = "button";
    worked.addEventListener("click", () => {
      model.set("wanted", model.get("wanted") + 1);
      model.save_changes();
    });
    buttons.append(send, worked);
    if (isChoice) form.append(buttons);
    else part.input.after(buttons);
  }
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    if (!marks) return;
    if (part.input) model.set("typed", part.input.value);
    ask();
  });
  form.append(said);

  const showFeedback = () => write(said, model.get("feedback"));
  const showOffer = () => (worked.hidden = !model.get("offered"));
  const showChoice = () => part.show?.();
  model.on("change:feedback", showFeedback);
  // The same reply twice changes nothing in the model; write it again so that it is announced.
  model.on("change:heard", showFeedback);
  model.on("change:offered", showOffer);
  model.on("change:chosen", showChoice);
  showFeedback();
  showOffer();
  el.append(form);

  const stop = () => {
    clearTimeout(waiting);
    model.off("change:feedback", showFeedback);
    model.off("change:heard", showFeedback);
    model.off("change:offered", showOffer);
    model.off("change:chosen", showChoice);
  };
  return stop;
}

export default { render };
