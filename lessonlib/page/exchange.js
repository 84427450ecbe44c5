// What keeps a view in step with Python: who hears of which change, how long to wait for an answer,
// how a reply is written, and what the browser keeps of what was typed.

import { liveRegion, make, makeSetUp, withAttributes } from "./kit.js";

const PATIENCE_MS = 5000;
export const NO_ANSWER =
  "Python has not answered yet. If it was stopped or restarted, choose Run All Above Selected Cell " +
  "in the menu Run, then run this cell and answer.";

// Calls each listener when one of the values in front of it, parted by spaces, changes. What it
// returns takes all of them off again: a closed view leaves nothing behind.
export function follow(model, listeners) {
  const pairs = Object.entries(listeners).flatMap(([names, listener]) =>
    names.split(" ").map((name) => [`change:${name}`, listener]),
  );
  pairs.forEach(([event, listener]) => model.on(event, listener));
  return () => pairs.forEach(([event, listener]) => model.off(event, listener));
}

// Calls `late` when Python has not heard of turn `turn` after a while.
export function patience(model, late) {
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

// A verdict has a sign here and a shape in kit.css; its words are in the reply.
const SIGNS = { right: "✓", wrong: "✗", unread: "?" };

export function makeSign(sign) {
  return withAttributes(make("span", "hck-sign", SIGNS[sign] ?? sign), { "aria-hidden": "true" });
}

export function replyRegion() {
  return liveRegion("div", "hck-reply hck-empty");
}

// Lines are paragraphs; lines that start with "- " are items of a list.
export function write(region, text, verdict = "") {
  region.replaceChildren();
  region.dataset.verdict = verdict;
  region.classList.remove("hck-stale");
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

// What is typed, kept by the browser under a name for as long as the tab is open. Where a page may
// keep nothing, nothing is kept.
export const drafts = {
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
