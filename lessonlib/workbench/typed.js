// What a form of typed values has: it is sent a moment after the last key, and kept as a draft.

import { drafts, patience, writeNoAnswer } from "../page/exchange.js";
import { textBox } from "../page/kit.js";

const TYPING_MS = 350;
const MOST_CHARACTERS = 40; // of one number

// `given` is what the browser kept, or what Python has; the form fills it in. `box` is a field for
// one of its values.
export function typedForm(model, reply) {
  let typing = 0;
  const given = structuredClone(drafts.read(model) ?? model.get("given"));
  const wait = patience(model, () => writeNoAnswer(reply));
  const send = () => {
    clearTimeout(typing);
    typing = 0;
    const turn = model.get("asked") + 1;
    model.set("given", structuredClone(given));
    model.set("asked", turn);
    model.save_changes();
    wait.start(turn);
  };
  const changed = () => {
    drafts.write(model, given);
    clearTimeout(typing);
    typing = setTimeout(send, TYPING_MS);
  };
  const box = (values, key, className) => {
    const input = Object.assign(textBox(values[key] ?? ""), { maxLength: MOST_CHARACTERS });
    input.classList.add(className);
    input.addEventListener("input", () => {
      values[key] = input.value;
      changed();
    });
    return input;
  };
  const stop = () => {
    if (typing) send(); // what was typed last
    wait.stop();
  };
  return { given, send, changed, box, stop };
}
