// The live picture of a family as a widget of its own; `side_by_side.js` draws it.

import { stayAt } from "../page/kit.js";
import { renderFamily } from "./side_by_side.js";

function render({ model, el }) {
  const close = renderFamily({ model, el });
  stayAt(el.querySelector(".hcf"));
  return close;
}

export default { render };
