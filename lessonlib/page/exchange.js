// Keeps a view in step with Python: listens for changes, waits for answers, writes replies, and
// keeps a draft of what was typed.

import { liveRegion, make, makeSetUp, withAttributes } from "./kit.js";

const PATIENCE_MS = 5000;
export const NO_ANSWER =
  "Python has not answered yet. If it was stopped or restarted, choose Run All Above Selected Cell " +
  "in the menu Run, then run this cell and answer.";

// Calls each listener when one of its values changes: `listeners` has them by names with spaces
// between. When the kernel is restarted, `el` is marked as cut off, as JupyterLab marks what it
// draws without a kernel. Returns a function that ends all this, for when the view is closed.
export function follow(model, listeners, el) {
  const cutOff = () => el.classList.add("jupyter-widgets-disconnected");
  const pairs = Object.entries(listeners).flatMap(([names, listener]) =>
    names.split(" ").map((name) => [`change:${name}`, listener]),
  );
  if (el) pairs.push(["comm_live_update", cutOff]);
  pairs.forEach(([event, listener]) => model.on(event, listener));
  return () => pairs.forEach(([event, listener]) => model.off(event, listener));
}

// The notebook that a view stands in, as JupyterLab has it; none on a page by itself.
const notebookOf = (model) => model.widget_manager?.context;

// Calls `late` when Python has not answered turn `turn` after a while, or at once when there is no
// kernel.
export function patience(model, late) {
  let waiting = 0;
  return {
    start(turn) {
      clearTimeout(waiting);
      const wait = notebookOf(model)?.sessionContext?.hasNoKernel ? 0 : PATIENCE_MS;
      waiting = setTimeout(() => {
        if (model.get("heard") !== turn) late();
      }, wait);
    },
    stop: () => clearTimeout(waiting),
  };
}

// A verdict has a sign here, a shape in kit.css, and words in the reply.
const SIGNS = { right: "✓", wrong: "✗", unread: "?" };

export function makeSign(sign) {
  return withAttributes(make("span", "hck-sign", SIGNS[sign] ?? sign), { "aria-hidden": "true" });
}

export function replyRegion() {
  return liveRegion("div", "hck-reply hck-empty");
}

// A number and its unit stay on one line.
const BEFORE_UNIT = /(?<=\d) (?=(?:[GMkmµ]?(?:W|V|A|Ω|Hz)|K|°C|bar|%)(?![\w/]))/g;
export const unbroken = (text) => text.replace(BEFORE_UNIT, "\u00a0");

// Lines are paragraphs; lines that start with "- " are items of a list.
export function write(region, text, verdict = "") {
  region.replaceChildren();
  region.dataset.verdict = verdict;
  region.classList.remove("hck-stale");
  let list = null;
  for (const line of unbroken(text).split("\n")) {
    if (line.startsWith("- ")) {
      list ??= region.appendChild(make("ul"));
      list.append(make("li", "", line.slice(2)));
    } else if (line.trim()) {
      list = null;
      region.append(make("p", "", line));
    }
  }
  if (verdict) region.firstChild?.prepend(makeSign(verdict));
  region.classList.toggle("hck-empty", !region.hasChildNodes());
}

// Says that nobody has answered, with what sets that right in a notebook.
export function writeNoAnswer(region, kept = "") {
  write(region, `${NO_ANSWER} ${kept}`);
  region.append(makeSetUp());
  region.scrollIntoView({ block: "nearest" });
}

// A reply to an answer that has been changed since says so at once.
export function markStale(region, stale, words) {
  if (region.classList.contains("hck-stale") === stale) return;
  region.classList.toggle("hck-stale", stale);
  if (stale) region.prepend(make("p", "hck-stale-note", words));
  else region.querySelector(".hck-stale-note").remove();
}

// What was typed, kept by the browser while the tab is open, if the page may keep anything: under
// the name that the model has for it, in each notebook by itself.
const nameOf = (model) => {
  const notebook = notebookOf(model)?.path;
  return notebook ? `${model.get("draft")} in ${notebook}` : model.get("draft");
};

export const drafts = {
  read(model) {
    try {
      return JSON.parse(sessionStorage.getItem(nameOf(model)));
    } catch {
      return null;
    }
  },
  write(model, given) {
    try {
      if (given === null) sessionStorage.removeItem(nameOf(model));
      else sessionStorage.setItem(nameOf(model), JSON.stringify(given));
    } catch {
      // full, or not allowed here
    }
  },
};
