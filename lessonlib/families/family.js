// The live picture of a family as a widget of its own; `side_by_side.js` draws it.

import { renderFamily } from "./side_by_side.js";

const render = renderFamily;

export default { render };
