// What the forms of the workbench share. It stands behind common.js and in front of either module.

const TYPING_MS = 350;

// What is typed, kept by the browser for as long as the tab is open. Where a page may keep nothing,
// nothing is kept.
const drafts = {
  read(name) {
    try {
      return JSON.parse(sessionStorage.getItem(name));
    } catch {
      return null;
    }
  },
  write(name, typed) {
    try {
      if (typed === null) sessionStorage.removeItem(name);
      else sessionStorage.setItem(name, JSON.stringify(typed));
    } catch {
      // full, or not allowed here
    }
  },
};

function labelled(id, text, input) {
  const node = make("div", "hcw-field");
  const label = make("label", "", text);
  label.htmlFor = input.id = id;
  node.append(label, input);
  return node;
}

function select(options, chosen) {
  const node = make("select", "hcq-input");
  for (const [value, text] of options) {
    const option = make("option", "", text);
    option.value = value;
    node.append(option);
  }
  if (chosen !== undefined) node.value = chosen;
  return node;
}
