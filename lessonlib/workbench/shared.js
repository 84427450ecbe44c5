// What the forms of the workbench share. It stands behind common.js and in front of either module.

const TYPING_MS = 350;

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
