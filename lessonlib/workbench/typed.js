// What every form of typed values has: its frame, its fields, and the exchange with Python, which
// own_form.py answers. What is filled in is kept as a draft.

import { drafts, follow, patience, replyRegion, write, writeNoAnswer } from "../page/exchange.js";
import { labelled, make, makeCutOff, makeForm, textBox, withAttributes } from "../page/kit.js";

const TYPING_MS = 350;
const MOST_CHARACTERS = 80; // of one field

export const note = (...words) => make("p", "hcw-note", ...words);
export const fieldRow = (...nodes) => make("div", "hck-row hcw-fields", ...nodes);

// Sends the values to Python, and waits for the answer.
export function ask(model, wait, values) {
  const asked = model.get("asked") + 1;
  Object.entries({ ...values, asked }).forEach(([name, value]) => model.set(name, value));
  model.save_changes();
  wait.start(asked);
}

// `given` is what the browser kept, or what Python has; the form fills it in. It is sent a moment
// after the last key, or only by `submit`, where there is one.
export function typedForm(model, { title, warning = "", submit = null }) {
  const given = structuredClone(drafts.read(model) ?? model.get("given"));
  const form = makeForm("hck hcw", () => (submit ?? send)());
  const reply = replyRegion();
  let typing = 0;
  let said = ""; // the reply shown, which is said again only when it changes

  const wait = patience(model, () => {
    said = null;
    writeNoAnswer(reply);
  });
  const send = () => {
    clearTimeout(typing);
    typing = 0;
    ask(model, wait, { given: structuredClone(given) });
  };
  const changed = () => {
    drafts.write(model, given);
    if (submit) return;
    clearTimeout(typing);
    typing = setTimeout(send, TYPING_MS);
  };
  const showReply = () => {
    const text = model.get("reply");
    if (said === text) return;
    said = text;
    write(reply, text, model.get("verdict"));
    if (text) wait.start(model.get("asked")); // Python is at work
  };

  // A field that shows `values[key]`, and keeps there what is filled in.
  const bind = (input, values, key, className = "hcw-short") => {
    input.value = values[key] ?? "";
    if (input.type === "text") input.maxLength = MOST_CHARACTERS;
    if (className) input.classList.add(className);
    input.addEventListener("input", () => {
      values[key] = input.value;
      changed();
    });
    return input;
  };
  const box = (label, values, key) => labelled(label, bind(textBox(), values, key));

  const caution = note(...(warning ? [make("strong", "", warning), " "] : []), model.get("caution"));
  form.append(make("h3", "", title), withAttributes(caution, { role: "note" }), makeCutOff());

  // Shows everything, and keeps it in step with the model until the view is closed.
  const begin = (el, listeners) => {
    const all = { "heard reply": showReply, ...listeners };
    Object.values(all).forEach((show) => show());
    const unfollow = follow(model, all, el);
    if (!submit && !model.get("heard") && drafts.read(model)) send();
    el.append(form);
    return () => {
      if (typing) send(); // what was typed last
      wait.stop();
      unfollow();
    };
  };
  return { form, reply, given, send, changed, bind, box, begin };
}
