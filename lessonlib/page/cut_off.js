// The line that says how to go on, for a list of plain buttons that has no view of our own.

import { keepKeys, makeCutOff } from "./kit.js";

function render({ el }) {
  const line = makeCutOff();
  line.classList.add("hck");
  keepKeys(line);
  el.append(line);
}

export default { render };
