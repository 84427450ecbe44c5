// What questions and exercises share. It stands in front of either module's text, so both have
// these names. Every text goes in as text, never as markup.

const PATIENCE_MS = 5000;
const NO_ANSWER =
  "Python has not answered yet. If the kernel is stopped, run this cell again and then answer.";

const CHANGED = "You have changed your answer since this reply. Press Check for a new one.";

let serial = 0;

function newId() {
  return `hcq-${++serial}-${Math.random().toString(36).slice(2, 8)}`;
}

function make(tag, className, text) {
  const node = document.createElement(tag);
  if (className) node.className = className;
  if (text !== undefined) node.textContent = text;
  return node;
}

// A verdict has a sign here and a shape in question.css; its words are in the reply.
const SIGNS = { right: "✓", wrong: "✗", unread: "?" };

function makeSign(sign) {
  const node = make("span", "hcq-sign", sign);
  node.setAttribute("aria-hidden", "true");
  return node;
}

// Lines are paragraphs; lines that start with "- " are items of a list.
function write(region, text, verdict = "") {
  region.replaceChildren();
  region.dataset.verdict = verdict;
  region.classList.remove("hcq-stale");
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
  if (verdict) region.firstChild?.prepend(makeSign(SIGNS[verdict]));
  region.classList.toggle("hcq-empty", !region.hasChildNodes());
}

// A reply to an answer that has been changed since says so at once.
function markStale(region, stale, words) {
  if (region.classList.contains("hcq-stale") === stale) return;
  region.classList.toggle("hcq-stale", stale);
  if (stale) region.prepend(make("p", "hcq-stale-note", words));
  else region.querySelector(".hcq-stale-note").remove();
}

// The region stays in place while its content changes, so that a screen reader announces it.
function liveRegion() {
  const region = make("div", "hcq-feedback hcq-empty");
  region.setAttribute("role", "status");
  region.setAttribute("aria-live", "polite");
  return region;
}

// Keys belong to the form while it has the focus: in a notebook, arrow keys would otherwise move
// to another cell and Enter would edit this one.
function makeForm(className, submit) {
  const form = make("form", className);
  form.noValidate = true;
  form.dataset.lmSuppressShortcuts = "true";
  form.addEventListener("keydown", (event) => {
    if (event.key === "Tab" || event.key === "Escape") return;
    event.stopPropagation();
    if (event.key === "Enter" && event.target.type === "text") {
      event.preventDefault();
      form.requestSubmit();
    }
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    submit();
  });
  return form;
}

function makeButton(className, text, press) {
  const button = make("button", `hcq-button ${className}`.trim(), text);
  button.type = press ? "button" : "submit";
  if (press) button.addEventListener("click", press);
  return button;
}

function textBox(id, value) {
  const input = make("input", "hcq-input");
  input.id = id;
  input.type = "text";
  input.autocomplete = "off";
  input.spellcheck = false;
  input.value = value;
  return input;
}

// Listeners that can all be taken off again: a closed view leaves nothing behind.
function listening(model) {
  const pairs = [];
  return {
    on(events, listener) {
      for (const event of events) {
        model.on(event, listener);
        pairs.push([event, listener]);
      }
    },
    stop: () => pairs.forEach(([event, listener]) => model.off(event, listener)),
  };
}

// Calls `late` when Python has not heard of turn `turn` after a while.
function patience(model, late) {
  let waiting = 0;
  return {
    start(turn) {
      clearTimeout(waiting);
      waiting = setTimeout(() => {
        if (model.get("heard") !== turn) late();
      }, PATIENCE_MS);
    },
    stop: () => clearTimeout(waiting),
  };
}

// What is typed, kept by the browser under a name for as long as the tab is open. Where a page may
// keep nothing, nothing is kept.
const drafts = {
  read(name) {
    try {
      return JSON.parse(sessionStorage.getItem(name));
    } catch {
      return null;
    }
  },
  write(name, given) {
    try {
      if (given === null) sessionStorage.removeItem(name);
      else sessionStorage.setItem(name, JSON.stringify(given));
    } catch {
      // full, or not allowed here
    }
  },
};
